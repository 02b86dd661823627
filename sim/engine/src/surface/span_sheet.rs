//! Velocity of a lifting line whose trailing vortices are a sheet.
//!
//! Between strip edges the strength of the sheet is linear along the span. A panel is half the infinitely long plane
//! strip plus what its start adds: with x the distance behind the start and r that from it, each thread of the sheet
//! is (1 + x/r)/2 of an infinite vortex. That factor is smooth behind the wing; it is taken linear over a panel and
//! the rest is integrated in closed form, so that no single vortex shows near the sheet. Across it the velocity along
//! the span jumps and the upwash has a kink, as for a real sheet. At the tips, where the sheet would be endlessly
//! strong, the velocity falls off within a core as in a Lamb vortex.
//!
//! The sheet of each half lies in the plane of the x axis and the span, along the stream's direction in that plane:
//! wakes follow the edge, not the stream (see [`super::centre_line`]), and heights are measured from there.

use nalgebra::Complex;
use std::f64::consts::PI;

use super::lifting_line::LiftingLine;
use crate::base::Vec3;

/// Below this size of half a panel over its distance the logarithm is taken as a series; what is left out is 1e-5.
const FAR: f64 = 0.25;
/// Core radius of the bound vortex over the chord, as in the lifting line itself.
pub(super) const BOUND_CORE: f64 = 0.01;
/// Core radius at a panel's ends over its width: keeps the logarithm at the tips finite.
const END_CORE: f64 = 1e-3;

/// Core radius of a tip vortex over the tip's chord (common practice): an elliptic load has an endless strength there.
const TIP_CORE: f64 = 0.05;
/// Exponent at which a Lamb vortex turns fastest at its core radius.
const LAMB: f64 = 1.256_43;

/// Bound vortex and trailing sheet of a lifting line.
#[derive(Debug, Clone, PartialEq)]
pub struct SpanSheet {
    edges_m: Vec<Vec3>,
    panels: Vec<Panel>,
    /// Core radii of the vortices at the two ends, m.
    tip_cores_m: [f64; 2],
}

/// A vortex that trails from a free end of the span.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct EndVortex {
    /// Where it leaves, m.
    pub from_m: Vec3,
    /// Its direction.
    pub aft: Vec3,
    /// Radius of its core, m.
    pub core_m: f64,
}

/// The part between two strip edges.
#[derive(Debug, Clone, PartialEq)]
struct Panel {
    /// Direction of the threads.
    aft: Vec3,
    /// Along the panel, square to the threads.
    along: Vec3,
    /// Square to the panel.
    normal: Vec3,
    width_m: f64,
    /// Strength of the sheet at its two edges, m/s.
    sheet_m_s: [f64; 2],
    /// Bound circulation, m²/s.
    bound_m2_s: f64,
    bound_core_squared_m2: f64,
}

impl SpanSheet {
    /// Bound vortex and sheet of a solved lifting line.
    #[must_use]
    pub fn new(line: &LiftingLine) -> Self {
        let edges_m = line.span.edges_m.clone();
        let strength = strengths(line);
        let panels = line
            .span
            .controls
            .iter()
            .zip(&line.strips)
            .enumerate()
            .map(|(i, (control, strip))| {
                let half = line.span.half(control);
                let up = line.velocity_m_s.dot(&half.normal);
                let in_plane = line.velocity_m_s - up * half.normal;
                let aft = in_plane.try_normalize(0.0).unwrap_or_else(Vec3::x);
                let step = edges_m[i + 1] - edges_m[i];
                let across = step - step.dot(&aft) * aft;
                let width_m = across.norm();
                let along = across / width_m;
                Panel {
                    aft,
                    along,
                    normal: aft.cross(&along),
                    width_m,
                    sheet_m_s: [strength[i], strength[i + 1]],
                    bound_m2_s: strip.circulation_m2_s,
                    bound_core_squared_m2: (BOUND_CORE * control.chord_m * step.norm()).powi(2),
                }
            })
            .collect();
        let core_m = |i: usize| TIP_CORE * line.strips[i].chord_m;
        Self { edges_m, panels, tip_cores_m: [core_m(0), core_m(line.strips.len() - 1)] }
    }

    /// Velocity at a point, aircraft axes, m/s.
    #[must_use]
    pub fn velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        let (mut trailing, mut bound) = (Vec3::zeros(), Vec3::zeros());
        let mut from = point_m - self.edges_m[0];
        let mut distance = from.norm();
        for (panel, edge) in self.panels.iter().zip(&self.edges_m[1..]) {
            let next = point_m - edge;
            let next_distance = next.norm();
            if distance > 0.0 && next_distance > 0.0 {
                trailing += panel
                    .trailing(&from, [from.dot(&panel.aft) / distance, next.dot(&panel.aft) / next_distance]);
                bound += panel.bound(&from, &next, (distance, next_distance));
            }
            (from, distance) = (next, next_distance);
        }
        bound + trailing * self.outside_tip_cores(point_m)
    }

    /// The vortices at the two ends, in order of the strips.
    pub(super) fn ends(&self) -> [EndVortex; 2] {
        let last = self.panels.len() - 1;
        let end = |edge: usize, panel: usize, core_m: f64| EndVortex {
            from_m: self.edges_m[edge],
            aft: self.panels[panel].aft,
            core_m,
        };
        [end(0, 0, self.tip_cores_m[0]), end(last + 1, last, self.tip_cores_m[1])]
    }

    /// The threads that leave a place on the bound vortex within strip `strip`; their core is as wide as the strip.
    pub(super) fn vortex_from(&self, from_m: Vec3, strip: usize) -> EndVortex {
        EndVortex { from_m, aft: self.panels[strip].aft, core_m: self.panels[strip].width_m }
    }

    /// Share of the trailing velocity that the cores of the tip vortices leave, 1 − exp(−1.256 d²/core²) for each.
    fn outside_tip_cores(&self, point_m: &Vec3) -> f64 {
        self.ends()
            .iter()
            .map(|end| {
                let from = point_m - end.from_m;
                let aside = (from - from.dot(&end.aft) * end.aft).norm_squared();
                -(-LAMB * aside / (end.core_m * end.core_m)).exp_m1()
            })
            .product()
    }
}

/// Strength of the sheet at the strip edges: each trailing vortex over the mean width beside it, m/s.
fn strengths(line: &LiftingLine) -> Vec<f64> {
    let edges = &line.span.edges_m;
    let last = edges.len() - 1;
    let width = |a: usize, b: usize| {
        let step = edges[b] - edges[a];
        step.y.hypot(step.z)
    };
    (0..=last)
        .map(|j| {
            let beside =
                if j == 0 { 0.0 } else { width(j - 1, j) } + if j == last { 0.0 } else { width(j, j + 1) };
            line.trailing_m2_s[j] / (0.5 * beside)
        })
        .collect()
}

impl Panel {
    /// Velocity of the sheet at a point seen from its first edge; `cosines` are x/r from both edges.
    fn trailing(&self, from: &Vec3, cosines: [f64; 2]) -> Vec3 {
        let [g_a, g_b] = [0, 1].map(|i| 0.5 * self.sheet_m_s[i] * (1.0 + cosines[i]));
        let mean = 0.5 * (g_a + g_b);
        let slope = (g_b - g_a) / self.width_m;
        let middle = Complex::new(from.dot(&self.along) - 0.5 * self.width_m, from.dot(&self.normal));
        let half = 0.5 * self.width_m;
        let integral = if half * half < FAR * FAR * middle.norm_sqr() {
            let m = half / middle;
            let square = m * m;
            m * (1.0 + square / 3.0) * (2.0 * mean)
                + square * (1.0 / 3.0 + square / 5.0) * (slope * self.width_m)
        } else {
            let log = self.log(middle);
            log * (mean + middle * slope) - slope * self.width_m
        };
        // v₁ − iv₂ = integral/(2πi).
        let scale = 0.5 / PI;
        scale * (integral.im * self.along + integral.re * self.normal)
    }

    /// ln[(τ)/(τ − L)] with τ from the first edge, cut along the panel.
    fn log(&self, middle: Complex<f64>) -> Complex<f64> {
        let half = 0.5 * self.width_m;
        let (a, b) = (middle.re + half, middle.re - half);
        let h = middle.im;
        let core = (END_CORE * self.width_m).powi(2);
        let size = 0.5 * ((a * a + h * h + core) / (b * b + h * h + core)).ln();
        Complex::new(size, (-h * self.width_m).atan2(a * b + h * h))
    }

    /// Velocity of the straight bound vortex at a point seen from its ends.
    fn bound(&self, from: &Vec3, next: &Vec3, (distance, next_distance): (f64, f64)) -> Vec3 {
        let across = from.cross(next);
        let reach = (from - next).dot(&(from / distance - next / next_distance));
        across * (self.bound_m2_s * reach / (4.0 * PI * (across.norm_squared() + self.bound_core_squared_m2)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::lifting_line::linear_lift;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    fn line(strips: usize) -> LiftingLine {
        // A stream in the plane of the wing at incidence, so that both models trail along the same direction.
        let mut wing = wing();
        wing.incidence_rad = 0.1;
        LiftingLine::new(&wing, &Vec3::new(20.0, 0.0, 0.0), strips, linear_lift(&wing.section)).unwrap()
    }

    #[test]
    fn away_from_the_sheet_it_is_the_sum_of_its_vortices() {
        let line = line(80);
        let sheet = SpanSheet::new(&line);
        for point in [Vec3::new(1.6, 0.1, 0.5), Vec3::new(1.6, 0.5, -0.1), Vec3::new(3.0, 1.5, 0.3)] {
            let exact = line.induced_velocity(&point);
            // The distance is several strips or more; the tip strips are narrow.
            assert_relative_eq!(sheet.velocity_m_s(&point), exact, epsilon = 2e-3 * exact.norm());
        }
    }

    #[test]
    fn near_the_sheet_coarse_and_fine_strips_agree_without_ripple() {
        let (coarse, fine) = (SpanSheet::new(&line(40)), SpanSheet::new(&line(200)));
        for step in 0..=60 {
            let y = 0.1 + 0.005 * f64::from(step);
            for above in [1e-6, 0.01, -0.02] {
                let point = Vec3::new(1.45, y, line(40).span.halves[0].quarter_chord(y).z + above);
                let (a, b) = (coarse.velocity_m_s(&point), fine.velocity_m_s(&point));
                // 0.1 % of the stream's 20 m/s.
                assert!((a - b).norm() < 0.02, "{y} {above}: {a} {b}");
            }
        }
    }

    #[test]
    fn spanwise_velocity_jumps_by_the_strength_of_the_sheet() {
        let line = line(80);
        let sheet = SpanSheet::new(&line);
        let (y, z) = (0.5, line.span.halves[0].quarter_chord(0.5).z);
        let far = |above: f64| sheet.velocity_m_s(&Vec3::new(60.0, y, z + above));
        let jump = far(1e-6).y - far(-1e-6).y;
        let gradient = {
            let strips: Vec<_> = line.strips.iter().filter(|s| s.half == 0).collect();
            let i = strips.iter().position(|s| s.s_m > y).unwrap();
            (strips[i].circulation_m2_s - strips[i - 1].circulation_m2_s)
                / (strips[i].s_m - strips[i - 1].s_m)
        };
        // Air above a lifting wing's wake runs inboard: the jump is dΓ/dy.
        assert_relative_eq!(jump, gradient, max_relative = 0.02);
        assert_relative_eq!(far(1e-6).z, far(-1e-6).z, max_relative = 1e-5);
    }
}
