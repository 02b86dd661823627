//! Shape factor of a plane turbulent wake against distance, by [lag entrainment](super::lag_entrainment).

use super::lag_entrainment::{LayerKind, SHAPE_FACTOR_RANGE, edge_entrainment};
use thiserror::Error;

/// Length that separates near and far spacing of the table, in θ of the whole wake.
const NEAR_LENGTH: f64 = 10.0;
/// Spacing of the table in ln(1 + x/θ/10).
const STEP: f64 = 1.0 / 16.0;
/// Nodes of the longest table: up to x/θ = 1e5, 500 chords behind a section of drag coefficient 0.01.
const NODES: usize = 148;

/// A shape factor at the trailing edge outside the range of the model.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("shape factor {value} at the trailing edge is outside {low} to {high}")]
pub struct ShapeFactorError {
    /// The value given.
    pub value: f64,
    /// Least value allowed.
    pub low: f64,
    /// Greatest value allowed.
    pub high: f64,
}

/// Shape factor and entrainment coefficient.
pub type State = [f64; 2];

/// H against distance behind the trailing edge.
///
/// ln(H − 1) is tabulated against ln(1 + x/(10 θ)) with its exact slope and read by cubic Hermite polynomials,
/// so H and its slope are continuous; beyond the end, where H − 1 falls as a power of x, the last slope is carried on.
#[derive(Debug, Clone, PartialEq)]
pub struct ShapeFactorTable {
    /// (value, slope) of ln(H − 1) at equal steps of ln(1 + x/(10 θ)).
    nodes: Vec<(f64, f64)>,
}

impl ShapeFactorTable {
    /// A wake without pressure gradient that starts in equilibrium with an edge of which only the shape factor is known.
    ///
    /// # Errors
    /// [`ShapeFactorError`] if the shape factor at the edge is outside [`SHAPE_FACTOR_RANGE`].
    pub fn new(edge_shape_factor: f64) -> Result<Self, ShapeFactorError> {
        let (low, high) = SHAPE_FACTOR_RANGE;
        if !(low..=high).contains(&edge_shape_factor) {
            return Err(ShapeFactorError { value: edge_shape_factor, low, high });
        }
        let start = [edge_shape_factor, edge_entrainment(edge_shape_factor)];
        Ok(Self::integrated(start, |_| (0.0, 0.0), f64::INFINITY, 1))
    }

    /// A wake from a state at the edge through a known edge speed: `speed` gives ln(U_e/V) and its slope by x/θ at a
    /// distance x/θ, both with θ = c_d c/2, that of the whole wake far away. Tabulated to `reach` in the same measure.
    #[must_use]
    pub fn through(start: State, speed: impl Fn(f64) -> (f64, f64), reach: f64) -> Self {
        Self::integrated(start, speed, reach, 1)
    }

    fn integrated(start: State, speed: impl Fn(f64) -> (f64, f64), reach: f64, substeps: usize) -> Self {
        let last = (reach.max(0.0) / NEAR_LENGTH).ln_1p() / STEP;
        let count = (last.min((NODES - 2) as f64).ceil() as usize + 2).min(NODES);
        let step = STEP / substeps as f64;
        let flow = |tau: f64| EdgeSpeed::new(tau, &speed);
        let mut state = start;
        let mut here = flow(0.0);
        let mut nodes = Vec::with_capacity(count);
        for node in 0..count {
            nodes.push(((state[0] - 1.0).ln(), here.rate(state)[0] / (state[0] - 1.0)));
            for substep in 0..substeps {
                let tau = (node * substeps + substep) as f64 * step;
                let (middle, end) = (flow(tau + 0.5 * step), flow(tau + step));
                state = runge_kutta([&here, &middle, &end], state, step);
                here = end;
            }
        }
        Self { nodes }
    }

    /// Shape factor at a distance behind the edge in momentum thicknesses of the whole wake, θ = c_d c/2.
    #[must_use]
    pub fn shape_factor(&self, distance_over_theta: f64) -> f64 {
        1.0 + self.ln_excess(distance_over_theta).exp()
    }

    /// ln(H − 1) there.
    #[must_use]
    pub fn ln_excess(&self, distance_over_theta: f64) -> f64 {
        let tau = (distance_over_theta.max(0.0) / NEAR_LENGTH).ln_1p();
        let last = self.nodes.len() - 1;
        let position = tau / STEP;
        if position >= last as f64 {
            let (value, slope) = self.nodes[last];
            return value + slope * (tau - last as f64 * STEP);
        }
        let index = position as usize;
        hermite(self.nodes[index], self.nodes[index + 1], STEP, position - index as f64)
    }
}

/// Cubic through two (value, slope) pairs a step apart, at `t` of the step.
fn hermite(left: (f64, f64), right: (f64, f64), step: f64, t: f64) -> f64 {
    let (t2, t3) = (t * t, t * t * t);
    left.0 * (2.0 * t3 - 3.0 * t2 + 1.0)
        + right.0 * (3.0 * t2 - 2.0 * t3)
        + step * (left.1 * (t3 - 2.0 * t2 + t) + right.1 * (t3 - t2))
}

/// Edge speed at τ = ln(1 + x/(10 θ)).
struct EdgeSpeed {
    /// d(x/θ)/dτ.
    distance_per_tau: f64,
    /// ln(U_e/V).
    ln_speed: f64,
    /// Its slope by x/θ.
    slope: f64,
}

impl EdgeSpeed {
    fn new(tau: f64, speed: impl Fn(f64) -> (f64, f64)) -> Self {
        let (ln_speed, slope) = speed(NEAR_LENGTH * tau.exp_m1());
        Self { distance_per_tau: NEAR_LENGTH * tau.exp(), ln_speed, slope }
    }

    /// Derivative of the state by τ; θ of one side is half that of the wake, and by Squire and Young
    /// (V/U_e)^((H + 5)/2) of it where the speed is U_e.
    fn rate(&self, state: State) -> State {
        let thickening =
            if self.ln_speed == 0.0 { 1.0 } else { (-0.5 * (state[0] + 5.0) * self.ln_speed).exp() };
        let side = 0.5 * thickening;
        let [_, shape, entrainment] = LayerKind::WAKE.rates(state, side * self.slope);
        let scale = self.distance_per_tau / side;
        [scale * shape, scale * entrainment]
    }
}

/// One step of the classical fourth-order Runge–Kutta method; the edge speed at its start, middle and end.
fn runge_kutta([start, middle, end]: [&EdgeSpeed; 3], state: State, step: f64) -> State {
    let along = |k: State, h: f64| [state[0] + h * k[0], state[1] + h * k[1]];
    let k1 = start.rate(state);
    let k2 = middle.rate(along(k1, 0.5 * step));
    let k3 = middle.rate(along(k2, 0.5 * step));
    let k4 = end.rate(along(k3, step));
    let mean = |i: usize| (k1[i] + 2.0 * (k2[i] + k3[i]) + k4[i]) / 6.0;
    along([mean(0), mean(1)], step)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A falling, then rising edge speed, as behind a section, with θ 0.005 chord.
    fn speed(distance: f64) -> (f64, f64) {
        let chords = 0.005 * distance + 0.02;
        let deficit = 0.02 / (chords + 0.15);
        ((-deficit).ln_1p(), 0.005 * deficit / (chords + 0.15) / (1.0 - deficit))
    }

    /// Largest difference of H between two tables over the whole range.
    fn difference(a: &ShapeFactorTable, b: &ShapeFactorTable) -> f64 {
        (0..4000)
            .map(|i| (f64::from(i) * 2.5e-3).exp_m1())
            .map(|x| (a.shape_factor(x) - b.shape_factor(x)).abs())
            .fold(0.0, f64::max)
    }

    #[test]
    fn integration_is_of_fourth_order_and_far_below_1e_5() {
        let table = |substeps| ShapeFactorTable::integrated([1.7, 0.03], speed, f64::INFINITY, substeps);
        let exact = table(16);
        let (coarse, fine) = (difference(&table(1), &exact), difference(&table(2), &exact));
        let order = (coarse / fine).log2();
        assert!((order - 4.0).abs() < 0.3, "order {order}");
        assert!(coarse < 2e-6, "{coarse:e}");
    }

    #[test]
    fn reading_between_nodes_keeps_the_accuracy() {
        // The same equations, marched with half the step, met at the middle of each step too.
        let table = ShapeFactorTable::integrated([1.7, 0.03], speed, f64::INFINITY, 2);
        let mut state = [1.7, 0.03];
        for half in 0..2 * (NODES - 1) {
            let tau = half as f64 * 0.5 * STEP;
            assert_relative_eq!(table.shape_factor(NEAR_LENGTH * tau.exp_m1()), state[0], epsilon = 1e-6);
            let at = |part: f64| EdgeSpeed::new(tau + part * 0.5 * STEP, speed);
            state = runge_kutta([&at(0.0), &at(0.5), &at(1.0)], state, 0.5 * STEP);
        }
    }

    #[test]
    fn a_short_table_is_the_beginning_of_a_long_one() {
        let long = ShapeFactorTable::through([1.6, 0.025], speed, f64::INFINITY);
        let short = ShapeFactorTable::through([1.6, 0.025], speed, 60.0);
        assert!(short.nodes.len() < 40);
        for x in [0.0, 3.0, 17.0, 60.0] {
            assert_eq!(short.shape_factor(x), long.shape_factor(x));
        }
    }

    #[test]
    fn shape_factor_falls_steadily_to_one() {
        let table = ShapeFactorTable::new(2.0).unwrap();
        let values: Vec<f64> = (0..80).map(|i| table.shape_factor((f64::from(i) * 0.2).exp_m1())).collect();
        assert!(values.windows(2).all(|pair| pair[1] < pair[0]));
        assert_relative_eq!(values[0], 2.0, epsilon = 1e-15);
        assert!(values[79] > 1.0 && values[79] < 1.001);
    }

    #[test]
    fn shape_factor_outside_the_range_is_refused() {
        for value in [1.0, 2.5, f64::NAN] {
            assert!(ShapeFactorTable::new(value).is_err());
        }
    }
}
