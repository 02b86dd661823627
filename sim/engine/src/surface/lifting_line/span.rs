//! The span as the lifting line sees it: strips, and what trailing vortices do to them.
//!
//! The coordinate σ runs along the trace of the surface in the plane square to x: from the port tip over the root
//! to the starboard tip of a mirrored surface, from root to tip of a single half. With σ = −(b/2) cos θ the N + 1
//! trailing vortices leave at θ_j = jπ/N and the N control points lie at mid-angle φ_i = (i + ½)π/N. Circulation
//! is Σ A_n sin nθ with the N coefficients that match the control points, so that each vortex carries −dΓ/dθ π/N
//! (half of it at the tips). On a straight span the sum over these vortices is the exact downwash of every one of
//! the N terms (Glauert, Elements of Aerofoil and Airscrew Theory, ch. XI; Multhopp 1938), of the elliptic load
//! with any N. A kink at the root leaves a smooth remainder that falls with N.

use std::f64::consts::PI;
use std::sync::Arc;

use nalgebra::DMatrix;

use crate::base::Vec3;
use crate::base::kept::Kept;
use crate::point::input::Surface;
use crate::surface::geometry::{Half, halves};

/// Strip counts whose matrix is kept: an aircraft's surfaces use one or two.
const KEPT: usize = 4;

static TRAILING: Kept<Arc<DMatrix<f64>>> = Kept::new(KEPT);

/// One strip of the span, at its control point.
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    /// Which half of the surface, in the order of [`halves`].
    pub half: usize,
    /// Distance from the root along the half, m.
    pub s_m: f64,
    /// Weight of the strip in an integral over the span, m.
    pub width_m: f64,
    /// Chord, m.
    pub chord_m: f64,
    /// σ of the control point, m.
    sigma_m: f64,
    /// Control point on the quarter-chord line, aircraft axes, m.
    pub quarter_chord_m: Vec3,
}

/// A surface cut into strips.
#[derive(Debug, Clone, PartialEq)]
pub struct Span {
    /// Halves of the surface.
    pub halves: Vec<Half>,
    /// Strips in order of σ.
    pub controls: Vec<Control>,
    /// Quarter chords at the strip edges in order of σ, one more than strips, m.
    pub edges_m: Vec<Vec3>,
    /// Planform area, along the surface, m².
    pub area_m2: f64,
}

/// Matrix of [`Span::trailing_from_circulation`] for a number of strips: it depends on nothing else.
fn trailing_from_circulation(count: usize) -> DMatrix<f64> {
    // All angles are multiples of π/2N: sin(kπ/2N) for one turn.
    let turn = 4 * count;
    let table: Vec<f64> = (0..turn).map(|k| (k as f64 * PI / (2 * count) as f64).sin()).collect();
    let sine = |k: usize| table[k % turn];
    let cosine = |k: usize| table[(k + count) % turn];
    DMatrix::from_fn(count + 1, count, |j, i| {
        let end = if j == 0 || j == count { 0.5 } else { 1.0 };
        let sum: f64 = (1..=count)
            .map(|n| {
                let share = if n == count { 0.5 } else { 1.0 };
                share * n as f64 * sine(n * (2 * i + 1)) * cosine(2 * n * j)
            })
            .sum();
        -end * sum * 2.0 * PI / (count * count) as f64
    })
}

impl Span {
    /// Cuts a surface into strips: at least four, and an even number on a mirrored surface, so that an edge lies
    /// at its root.
    #[must_use]
    pub fn new(surface: &Surface, strips: usize) -> Self {
        let halves = halves(surface);
        let count = strips.max(4).next_multiple_of(halves.len());
        let length_m = halves[0].length_m;
        let (middle_m, half_span_m) =
            if halves.len() == 2 { (0.0, length_m) } else { (0.5 * length_m, 0.5 * length_m) };
        let sigma_m = |theta: f64| middle_m - half_span_m * theta.cos();
        let step = PI / count as f64;
        let controls = (0..count)
            .map(|i| {
                let theta = (i as f64 + 0.5) * step;
                let (half, s_m) = on_half(sigma_m(theta));
                Control {
                    half,
                    s_m,
                    width_m: half_span_m * theta.sin() * step,
                    chord_m: halves[half].chord_m(s_m),
                    sigma_m: sigma_m(theta),
                    quarter_chord_m: halves[half].quarter_chord(s_m),
                }
            })
            .collect();
        let edges_m = (0..=count)
            .map(|j| {
                if halves.len() == 2 && 2 * j == count {
                    // Neither root's own: with incidence and dihedral both lie aside of the plane of symmetry.
                    return 0.5 * (halves[0].quarter_chord(0.0) + halves[1].quarter_chord(0.0));
                }
                let (half, s_m) = on_half(sigma_m(j as f64 * step));
                halves[half].quarter_chord(s_m)
            })
            .collect();
        let area_m2 = surface.span_m * 0.5 * (surface.root_chord_m + surface.tip_chord_m);
        Self { halves, controls, edges_m, area_m2 }
    }

    /// The same span with another chord law, m as a function of the distance from the root, m.
    #[must_use]
    pub fn with_chord(mut self, chord_m: impl Fn(f64) -> f64) -> Self {
        for control in &mut self.controls {
            control.chord_m = chord_m(control.s_m);
        }
        self.area_m2 = self.controls.iter().map(|control| control.chord_m * control.width_m).sum();
        self
    }

    /// The half a strip lies on.
    #[must_use]
    pub fn half(&self, control: &Control) -> &Half {
        &self.halves[control.half]
    }

    /// Strengths of the trailing vortices, about the aft direction, from the circulations at the control points:
    /// a matrix of N + 1 rows and N columns.
    pub(super) fn trailing_from_circulation(&self) -> Arc<DMatrix<f64>> {
        let count = self.controls.len();
        TRAILING.of(count, || Arc::new(trailing_from_circulation(count)))
    }

    /// Velocity along the normal at each control point by trailing vortices of unit strength that leave square to
    /// the trace, per m: a matrix of N rows and N + 1 columns.
    pub(super) fn normal_velocity_from_trailing(&self) -> DMatrix<f64> {
        DMatrix::from_fn(self.controls.len(), self.edges_m.len(), |i, j| {
            let control = &self.controls[i];
            let mut from_vortex = control.quarter_chord_m - self.edges_m[j];
            from_vortex.x = 0.0;
            let velocity = Vec3::x().cross(&from_vortex) / from_vortex.norm_squared();
            velocity.dot(&self.half(control).normal) / (4.0 * PI)
        })
    }

    /// Weights that smooth a quantity over about one chord of span, rows of sum one.
    pub(super) fn chord_mean(&self) -> DMatrix<f64> {
        let count = self.controls.len();
        let mut mean = DMatrix::from_fn(count, count, |i, k| {
            let (at, from) = (&self.controls[i], &self.controls[k]);
            let distance = (at.sigma_m - from.sigma_m) / at.chord_m;
            from.width_m * (-0.5 * distance * distance).exp()
        });
        for mut row in mean.row_iter_mut() {
            let sum = row.sum();
            row /= sum;
        }
        mean
    }
}

/// Half and distance from the root of a σ: starboard or the only half is first, port second.
fn on_half(sigma_m: f64) -> (usize, f64) {
    if sigma_m < 0.0 { (1, -sigma_m) } else { (0, sigma_m) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;
    use nalgebra::DVector;

    /// Downwash of Γ = sin nθ on a straight span is n sin nφ/(2 b sin φ) for every n up to N.
    #[test]
    fn downwash_of_every_term_is_exact_on_a_straight_span() {
        let span = Span::new(&wing(), 12);
        let influence = span.normal_velocity_from_trailing() * &*span.trailing_from_circulation();
        let angle = |i: usize| (i as f64 + 0.5) * PI / 12.0;
        for n in 1..=12_usize {
            let circulation = DVector::from_fn(12, |i, _| (n as f64 * angle(i)).sin());
            let velocity = &influence * circulation;
            for i in 0..12 {
                let exact = -(n as f64) * (n as f64 * angle(i)).sin() / (2.0 * 2.0 * angle(i).sin());
                assert_relative_eq!(velocity[i], exact, epsilon = 1e-12, max_relative = 1e-12);
            }
        }
    }

    #[test]
    fn trailing_vortices_leave_nothing_behind_in_sum() {
        for surface in [wing(), Surface { mirror: false, ..wing() }] {
            let trailing = Span::new(&surface, 10).trailing_from_circulation();
            let sums = trailing.row_sum();
            assert!(sums.iter().all(|sum| sum.abs() < 1e-12));
        }
    }

    #[test]
    fn single_half_spans_root_to_tip_and_a_mirrored_one_tip_to_tip() {
        let fin = Span::new(&Surface { mirror: false, ..wing() }, 5);
        assert_eq!(fin.controls.len(), 5);
        assert_relative_eq!(fin.edges_m[0].y, 0.0, epsilon = 1e-15);
        let wing = Span::new(&wing(), 5);
        assert_eq!(wing.controls.len(), 6);
        assert_relative_eq!(wing.edges_m[3].y, 0.0, epsilon = 1e-15);
        assert_relative_eq!(wing.edges_m[0].y, -1.0, epsilon = 1e-15);
        assert_relative_eq!(wing.area_m2, 0.6, epsilon = 1e-15);
    }
}
