//! The boundary layers of a section at its trailing edge, in balance with the stream that they displace.
//!
//! A stream that follows the section alone has a stagnation point at the trailing edge; no boundary layer survives
//! that. The real stream follows section plus displacement thickness and passes the edge at 0.9 of its speed. Both
//! are found together:
//!
//! - edge speed U(x)/V = 1 + u_t(x) + (1/π) ∫ d(U δ*)/dξ dξ/(x − ξ), u_t the thickness of the closed four-digit section by
//!   linear theory ([`thickness_speed_on_axis`]), δ* = θ H of one side, carried on into the wake;
//! - θ, H and C_E by [lag entrainment](super::lag_entrainment), on the wall to the edge, then as a wake.
//!
//! Layer and stream are solved together station by station from the suction peak aft, with the influence of the station on its
//! own speed in the equations and that of the others from the sweep before, until nothing moves: quasi-simultaneous
//! coupling (Veldman, AIAA J. 19, 1981, 79; from memory). Source lines sit half way between stations, steps are
//! implicit (Euler).
//!
//! Assumptions: both sides alike (zero lift: lift adds to the pressure rise of one side what it takes from the
//! other), turbulent from the suction peak on, the layer there that of a plate turbulent from its leading edge. None
//! weighs much, as the last tenth of the chord decides: a start at 0.12 or 0.3 chord moves H at the edge by 1e-3, a
//! start three times as thick by 0.04. Range: closed edges, thickness to 0.24, Reynolds numbers 1e5 to 1e7. Beyond H = 2.4
//! turbulent layers separate; thicker sections than those that reach it are given 2.4.

use super::lag_entrainment::{LayerKind, SHAPE_FACTOR_RANGE};
use crate::section::shape::turbulent_friction;
use crate::surface::section_field::thickness_speed_on_axis;
use nalgebra::{Matrix4, Vector4};
use std::f64::consts::PI;

/// Where the turbulent layer is taken over from the plate, chords: the suction peak of four-digit sections.
const START: f64 = 0.15;
/// Stations from there to the edge, and behind it.
const BODY: usize = 40;
const WAKE: usize = 30;
/// End of the wake that takes part, chords behind the edge.
const WAKE_END: f64 = 1.5;
/// Spacing at the edge, chords.
const EDGE_STEP: f64 = 0.004;
/// Points of the displacement's growth ahead of the start.
const NOSE: usize = 7;
/// Sweeps allowed, and the relative change of U δ* that ends them.
const SWEEPS: usize = 200;
const SETTLED: f64 = 1e-6;
/// Shape factors an iterate may take.
const ITERATE: (f64, f64) = (1.002, 4.0);
/// Furthest shift of the thickness field's pole, chords.
const FURTHEST_POLE: f64 = 0.3;

/// What the boundary layers hand to the wake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeState {
    /// H at the trailing edge, both sides alike.
    pub shape_factor: f64,
    /// C_E there.
    pub entrainment: f64,
    /// How far ahead of the edge the thickness field of linear theory has to end for the edge speed to be that of the
    /// coupled stream, in momentum thicknesses of the whole wake far behind (`c_d` c/2): the stream sees the edge that
    /// much further off, as the layers fill the corner.
    pub edge_shift: f64,
}

/// Solves layer and stream of a section; `None` if they do not settle.
#[must_use]
pub fn edge_state(thickness_ratio: f64, reynolds: f64) -> Option<EdgeState> {
    Layers::new(thickness_ratio, reynolds, START, 1.0).solve()
}

/// One layer's unknowns: ln θ, H, C_E.
type Layer = [f64; 3];

struct Layers {
    thickness_ratio: f64,
    reynolds: f64,
    /// Momentum thickness at the start, chords.
    start_theta: f64,
    /// Stations, chords from the nose.
    x: Vec<f64>,
    /// Points of U δ*: ahead of the start, then the stations.
    points: Vec<f64>,
    /// Speed at station i by U δ* at point j, row by row.
    influence: Vec<f64>,
    /// Speed without displacement.
    bare: Vec<f64>,
    speed: Vec<f64>,
    layer: Vec<Layer>,
    flux: Vec<f64>,
}

impl Layers {
    fn new(thickness_ratio: f64, reynolds: f64, start: f64, start_factor: f64) -> Self {
        let body = stretched(1.0 - start, BODY);
        let wake = stretched(WAKE_END, WAKE);
        let x: Vec<f64> =
            body.iter().rev().map(|d| 1.0 - d).chain(wake[1..].iter().map(|d| 1.0 + d)).collect();
        let ahead = (0..NOSE).map(|i| start * i as f64 / NOSE as f64);
        let points: Vec<f64> = ahead.chain(x.iter().copied()).collect();
        let mut influence = vec![0.0; x.len() * points.len()];
        for (row, x) in influence.chunks_mut(points.len()).zip(&x) {
            for (j, pair) in points.windows(2).enumerate() {
                let source = 1.0 / (PI * (x - 0.5 * (pair[0] + pair[1])));
                row[j + 1] += source;
                row[j] -= source;
            }
        }
        let bare: Vec<f64> = x.iter().map(|x| 1.0 + thickness_ratio * cell_mean(*x)).collect();
        let start_theta = 0.5 * start * turbulent_friction(reynolds * start) * start_factor;
        let speed = bare.iter().map(|u| u.max(0.9)).collect();
        let layer =
            x.iter().map(|x| [(start_theta * (x / start).min(1.0 / start)).ln(), 1.4, 0.02]).collect();
        let flux = vec![0.0; points.len()];
        Self { thickness_ratio, reynolds, start_theta, x, points, influence, bare, speed, layer, flux }
    }

    fn solve(mut self) -> Option<EdgeState> {
        for i in 0..self.x.len() {
            self.flux[NOSE + i] = self.flux_of(self.speed[i], &self.layer[i]);
        }
        for _ in 0..SWEEPS {
            if self.sweep() < SETTLED {
                return Some(self.edge());
            }
        }
        None
    }

    fn edge(&self) -> EdgeState {
        let [ln_theta, shape_factor, entrainment] = self.layer[BODY];
        let speed = self.speed[BODY];
        // Squire and Young, R&M 1838 (1938); both sides.
        let far_theta = 2.0 * ln_theta.exp() * speed.powf(0.5 * (shape_factor + 5.0));
        EdgeState {
            shape_factor: shape_factor.min(SHAPE_FACTOR_RANGE.1),
            entrainment,
            edge_shift: edge_shift(self.thickness_ratio, speed) / far_theta,
        }
    }

    /// One pass from the start to the end of the wake; the largest relative change of U δ*.
    fn sweep(&mut self) -> f64 {
        let mut change = self.start();
        for i in 1..self.x.len() {
            let (speed, layer) = self.station(i);
            let flux = self.flux_of(speed, &layer);
            change = change.max((flux / self.flux[NOSE + i] - 1.0).abs());
            self.flux[NOSE + i] = flux;
            self.speed[i] = speed;
            self.layer[i] = layer;
        }
        change
    }

    /// The plate's layer at the start, its displacement growing evenly from the nose.
    fn start(&mut self) -> f64 {
        let wall = LayerKind::wall(self.reynolds * self.speed[0] * self.start_theta);
        let shape = wall.plate_shape_factor();
        self.layer[0] = [self.start_theta.ln(), shape, wall.equilibrium_entrainment(shape)];
        let before = self.flux[NOSE];
        let flux = self.flux_of(self.speed[0], &self.layer[0]);
        for j in 0..=NOSE {
            self.flux[j] = flux * self.points[j] / self.points[NOSE];
        }
        self.speed[0] = self.bare[0] + self.induced(0);
        (flux / before - 1.0).abs()
    }

    fn flux_of(&self, speed: f64, layer: &Layer) -> f64 {
        speed * layer[0].exp() * layer[1]
    }

    fn row(&self, i: usize) -> &[f64] {
        &self.influence[i * self.points.len()..(i + 1) * self.points.len()]
    }

    /// Speed at station i from U δ* everywhere.
    fn induced(&self, i: usize) -> f64 {
        self.row(i).iter().zip(&self.flux).map(|(a, m)| a * m).sum()
    }

    /// Layer and speed of station i together, by Newton's method.
    fn station(&self, i: usize) -> (f64, Layer) {
        let own = self.row(i)[NOSE + i];
        let others = self.bare[i] + self.induced(i) - own * self.flux[NOSE + i];
        let step = self.x[i] - self.x[i - 1];
        let (before, ln_before) = (self.layer[i - 1], self.speed[i - 1].ln());
        let residual = |z: &Vector4<f64>| -> Vector4<f64> {
            let (theta, speed) = (z[0].exp(), z[3].exp());
            let kind =
                if i <= BODY { LayerKind::wall(self.reynolds * speed * theta) } else { LayerKind::WAKE };
            let rates = kind.rates([z[1], z[2]], theta * (z[3] - ln_before) / step);
            let moved = |k: usize| z[k] - before[k] - step * rates[k] / theta;
            Vector4::new(moved(0), moved(1), moved(2), speed - others - own * speed * theta * z[1])
        };
        let old = self.layer[i];
        let mut z = Vector4::new(old[0], old[1], old[2], self.speed[i].ln());
        for _ in 0..12 {
            let Some(change) = newton_step(&residual, &z) else { break };
            let limits = [0.3, 0.1 * (z[1] - 1.0) + 0.02, 0.02, 0.05];
            let scale = (0..4).map(|k| limits[k] / change[k].abs().max(limits[k])).fold(1.0, f64::min);
            z -= scale * change;
            z[1] = z[1].clamp(ITERATE.0, ITERATE.1);
            z[2] = z[2].clamp(-0.009, 0.4);
            if change.amax() < 1e-8 {
                break;
            }
        }
        (z[3].exp(), [z[0], z[1], z[2]])
    }
}

/// J⁻¹ r with the Jacobian by differences; `None` where it is singular.
fn newton_step(residual: &impl Fn(&Vector4<f64>) -> Vector4<f64>, z: &Vector4<f64>) -> Option<Vector4<f64>> {
    const SHIFT: f64 = 1e-7;
    let here = residual(z);
    let mut jacobian = Matrix4::zeros();
    for k in 0..4 {
        let mut shifted = *z;
        shifted[k] += SHIFT;
        jacobian.set_column(k, &((residual(&shifted) - here) / SHIFT));
    }
    jacobian.lu().solve(&here)
}

/// Distances from 0 to `length` whose steps grow evenly from [`EDGE_STEP`].
fn stretched(length: f64, count: usize) -> Vec<f64> {
    let end = |ratio: f64| EDGE_STEP * (ratio.powi(count as i32) - 1.0) / (ratio - 1.0);
    let (mut low, mut high) = (1.0 + 1e-6, 2.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if end(middle) > length { high = middle } else { low = middle }
    }
    let ratio = 0.5 * (low + high);
    (0..=count).map(|i| EDGE_STEP * (ratio.powi(i as i32) - 1.0) / (ratio - 1.0)).collect()
}

/// Speed by thickness over the thickness ratio; at the edge, where linear theory has a logarithm's pole, its mean over a step.
fn cell_mean(x: f64) -> f64 {
    const PARTS: i32 = 40;
    if (x - 1.0).abs() > 0.5 * EDGE_STEP {
        return thickness_speed_on_axis(x).0;
    }
    let part = |i: i32| x + EDGE_STEP * ((f64::from(i) + 0.5) / f64::from(PARTS) - 0.5);
    (0..PARTS).map(|i| thickness_speed_on_axis(part(i)).0).sum::<f64>() / f64::from(PARTS)
}

/// Distance behind the edge at which linear theory has the speed that the coupled stream has at the edge.
fn edge_shift(thickness_ratio: f64, speed: f64) -> f64 {
    let (mut low, mut high) = (1e-4, FURTHEST_POLE);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let faster = 1.0 + thickness_ratio * thickness_speed_on_axis(1.0 + middle).0 > speed;
        if faster { high = middle } else { low = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(start: f64, start_factor: f64) -> EdgeState {
        Layers::new(0.12, 1e6, start, start_factor).solve().unwrap()
    }

    /// Where and how thick the layer starts hardly matters: the last tenth of the chord decides. What little room the
    /// corner is filled by grows with the layer, so the shift keeps its measure in momentum thicknesses.
    #[test]
    fn state_at_the_edge_forgets_its_start() {
        let plain = state(START, 1.0);
        for start in [0.12, 0.2, 0.3] {
            let other = state(start, 1.0);
            assert!((other.shape_factor - plain.shape_factor).abs() < 3e-3, "{start}: {other:?} {plain:?}");
        }
        for factor in [0.4, 3.0] {
            let other = state(START, factor);
            assert!((other.shape_factor - plain.shape_factor).abs() < 0.04, "{factor}: {other:?} {plain:?}");
            assert!(
                (other.edge_shift / plain.edge_shift - 1.0).abs() < 0.25,
                "{factor}: {other:?} {plain:?}"
            );
        }
    }

    /// A plate has no pressure rise but the little that its displacement makes: H of a plate's layer.
    #[test]
    fn plate_keeps_the_shape_factor_of_a_plate() {
        for reynolds in [3e5, 3e6] {
            let edge = edge_state(0.0, reynolds).unwrap();
            let theta = 0.5 * turbulent_friction(reynolds);
            let plate = LayerKind::wall(reynolds * theta).plate_shape_factor();
            assert!((edge.shape_factor - plate).abs() < 0.03, "{} {plate}", edge.shape_factor);
        }
    }

    /// Thicker edges and lower Reynolds numbers mean more pressure rise on weaker layers.
    #[test]
    fn shape_factor_grows_with_thickness_and_falls_with_reynolds_number() {
        let state = |t, re| edge_state(t, re).unwrap().shape_factor;
        for re in [1e5, 1e6, 1e7] {
            assert!(state(0.06, re) < state(0.12, re) && state(0.12, re) < state(0.18, re));
        }
        assert!(state(0.12, 1e5) > state(0.12, 1e6) && state(0.12, 1e6) > state(0.12, 1e7));
    }
}
