//! The axisymmetric wake that carries a body's drag, from the boundary layer on its closing tail on.
//!
//! The deficit over edge speed at distance r from the axis is
//!
//! δ = u₀ exp(−(r² − r_b²)/(2σ²)), r_b the body's radius there, 0 behind the tail.
//!
//! With the area between r and the body as coordinate it is the same profile on the body and behind it: an exponential
//! boundary layer where r_b is large beside σ, a Gaussian of spread σ behind the tail. It holds the momentum area
//! Θ = ∫ δ(1 − δ) dA = πσ²(2u₀ − u₀²) and has the shape factor H = 1/(1 − u₀/2) whatever r_b is.
//!
//! - Drag: Θ = (`C_D` A/2) (V/U_e)^((H+5)/2), H.B. Squire and A.D. Young's relation, which A.D. Young (R&M 1874, 1939)
//!   uses for bodies of revolution (both from memory). U_e is the body's own potential flow two σ outside the body.
//! - On the body: a turbulent layer from the nose with the friction of a flat plate, c_f/2 = 0.0288 Re_x^(−1/5)
//!   (L. Prandtl 1927, H. Schlichting, Boundary-Layer Theory, ch. XXI; from memory; Re 5e5 to 1e7), gives the
//!   momentum area ∫ (c_f/2) 2π r_b dx and, at the shape factor 1.4 of the flat plate (u₀ = 0.571), its width. Of
//!   the drag as much is in the wake at x as of this friction. Drag below the friction makes the profile shallower; drag
//!   above it widens it at that depth. Without widening no Gaussian carries the drag below σ = √(`C_D` A/2π), where
//!   u₀ reaches 1; where that limit is passed the wake warns.
//! - Behind the tail: σ grows with the spreading rate S = (U/u₀) db/dx = 0.064 of slender bodies, b = σ√(2 ln 2) the half-depth
//!   radius (W. Rodi 1975, after S.B. Pope, Turbulent Flows, ch. 5; from memory). Far behind b³ = 3 S `C_D` A x ln 2/(2π):
//!   width as x^(1/3), deficit as x^(−2/3) (L.M. Swain 1929). Published rates run from 0.064 to 0.8 (porous disk), which is 2.3
//!   times in far width; within a diameter of the tail it moves the width by a few per cent only.
//!
//! The axis is the body's axis up to the tail, from there it follows the free stream. Cross flow around the tail at incidence, which
//! rolls the layer to the lee side, is not modelled.

use std::f64::consts::{LN_2, PI};

use super::shape::{BodyShape, Meridian};

/// Shape factor of a turbulent flat plate (from memory; common textbook value).
const FLAT_PLATE_SHAPE_FACTOR: f64 = crate::wake::edge_table::FLAT_PLATE_SHAPE_FACTOR;

/// Spreading rate of the axisymmetric wake of a slender body.
pub const SPREADING_RATE: f64 = 0.064;

/// Rows over the part of the body abreast of the disk.
const BODY_ROWS: usize = 17;

/// exp(−27.6) is 1e-12: beyond this many 2σ² of area coordinate nothing is left.
const SUPPORT: f64 = 27.631;

/// The wake at one station along the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundWakeStation {
    /// Greatest velocity deficit over edge speed, u₀.
    pub peak: f64,
    /// Spread σ, m.
    pub spread_m: f64,
    /// Radius of the solid in its middle, m; 0 behind the tail.
    pub core_m: f64,
}

impl RoundWakeStation {
    /// Velocity deficit over edge speed where the squared distance from the axis is `square_m2`.
    #[must_use]
    #[inline]
    pub fn deficit(&self, square_m2: f64) -> f64 {
        let area = (square_m2 - self.core_m * self.core_m).max(0.0);
        self.peak * (-area / (2.0 * self.spread_m * self.spread_m)).exp()
    }

    /// The same wake with its cross-section outside the solid scaled by `area_factor`.
    #[must_use]
    #[inline]
    pub fn scaled(&self, area_factor: f64) -> Self {
        Self { spread_m: self.spread_m * area_factor.sqrt(), ..*self }
    }

    /// Mean deficit over a straight path: its squared distance from the axis is `square_m2`, at the distances `from_m` to `to_m`
    /// along it from the foot of the axis. Exact for a path that does not meet the solid.
    #[must_use]
    pub fn mean_over(&self, square_m2: f64, from_m: f64, to_m: f64) -> f64 {
        let scale = 1.0 / (std::f64::consts::SQRT_2 * self.spread_m);
        let span = scale * (to_m - from_m);
        let share = if span.abs() < 1e-6 {
            (-(0.5 * scale * (from_m + to_m)).powi(2)).exp()
        } else {
            0.5 * PI.sqrt() * (libm::erf(scale * to_m) - libm::erf(scale * from_m)) / span
        };
        let area = square_m2 - self.core_m * self.core_m;
        (self.peak * (-area * scale * scale).exp() * share).min(self.peak)
    }

    /// Half-depth radius of the wake behind the tail, b = σ√(2 ln 2), m.
    #[must_use]
    pub fn half_radius_m(&self) -> f64 {
        self.spread_m * (2.0 * LN_2).sqrt()
    }

    /// Distance from the axis beyond which the deficit is below 1e-12 of its peak, m.
    #[must_use]
    pub fn support_m(&self) -> f64 {
        (self.core_m * self.core_m + self.support_area_m2()).sqrt()
    }

    /// The same as r² − r_b², m².
    #[must_use]
    pub fn support_area_m2(&self) -> f64 {
        2.0 * SUPPORT * self.spread_m * self.spread_m
    }

    /// Momentum area ∫ δ(1 − δ) dA outside the solid, m².
    #[must_use]
    pub fn momentum_area_m2(&self) -> f64 {
        PI * self.spread_m * self.spread_m * self.peak * (2.0 - self.peak)
    }

    /// Displacement over momentum area.
    #[must_use]
    pub fn shape_factor(&self) -> f64 {
        1.0 / (1.0 - 0.5 * self.peak)
    }
}

/// What decides a body's wake.
pub struct BodyWakeInput<'a> {
    /// The shape.
    pub shape: &'a BodyShape,
    /// Drag coefficient on frontal area, above 0.
    pub drag_coefficient: f64,
    /// Airspeed over kinematic viscosity, 1/m.
    pub reynolds_per_m: f64,
    /// Edge speed over airspeed at a distance behind the nose and from the axis, m.
    pub edge_speed_ratio: &'a dyn Fn(f64, f64) -> f64,
}

/// A body's wake over a range of stations.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyWake {
    shape: BodyShape,
    /// Distance behind the nose, peak and spread.
    rows: Vec<(f64, f64, f64)>,
    drag_over_friction: f64,
}

/// Drag area over 2 of a body, and how it divides.
struct Drag<'a> {
    input: &'a BodyWakeInput<'a>,
    /// `C_D` A/2, m².
    total_m2: f64,
    /// Momentum area of the plate's friction over the whole body, m².
    friction_m2: f64,
    /// Peak on the body.
    peak: f64,
}

/// Peak of a shape factor, u₀ = 2(1 − 1/H).
fn peak_of(shape_factor: f64) -> f64 {
    2.0 * (1.0 - 1.0 / shape_factor)
}

impl<'a> Drag<'a> {
    fn new(input: &'a BodyWakeInput<'a>) -> Self {
        let total_m2 = 0.5 * input.drag_coefficient * input.shape.frontal_area_m2();
        let mut drag = Self { input, total_m2, friction_m2: 0.0, peak: peak_of(FLAT_PLATE_SHAPE_FACTOR) };
        drag.friction_m2 = drag.friction_to(input.shape.length_m);
        let depth = drag.peak * (2.0 - drag.peak) * drag.over_friction().min(1.0);
        drag.peak = 1.0 - (1.0 - depth).sqrt();
        drag
    }

    /// Momentum area of the plate's friction from the nose to `x_m`, m².
    fn friction_to(&self, x_m: f64) -> f64 {
        let half_friction = |x: f64| 0.0288 * (self.input.reynolds_per_m * x).powf(-0.2);
        self.input.shape.integral(x_m, |x| half_friction(x) * 2.0 * PI * self.input.shape.radius_m(x))
    }

    fn over_friction(&self) -> f64 {
        self.total_m2 / self.friction_m2
    }

    /// Momentum area of `share` of the drag at a station whose layer has this spread and peak, m².
    fn momentum_area(&self, share: f64, x_m: f64, spread_m: f64, peak: f64) -> f64 {
        let core = self.input.shape.radius_m(x_m);
        let edge = (self.input.edge_speed_ratio)(x_m, (core * core + 4.0 * spread_m * spread_m).sqrt());
        let shape_factor = 1.0 / (1.0 - 0.5 * peak);
        share * self.total_m2 * edge.max(0.1).powf(-0.5 * (shape_factor + 5.0))
    }

    /// Spread on the body, m.
    fn spread_on_body(&self, x_m: f64) -> f64 {
        let share = self.friction_to(x_m) / self.friction_m2;
        let depth = PI * self.peak * (2.0 - self.peak);
        let mut spread = (share * self.total_m2 / depth).sqrt();
        // The edge speed hardly changes with the distance it is read at: twice is enough.
        for _ in 0..2 {
            spread = (self.momentum_area(share, x_m, spread, self.peak) / depth).sqrt();
        }
        spread
    }

    /// Peak behind the tail at a given spread.
    fn peak_behind(&self, x_m: f64, spread_m: f64, guess: f64) -> f64 {
        let mut peak = guess;
        for _ in 0..2 {
            let depth = self.momentum_area(1.0, x_m, spread_m, peak) / (PI * spread_m * spread_m);
            peak = 1.0 - (1.0 - depth).max(0.01).sqrt();
        }
        peak
    }
}

impl BodyWake {
    /// The wake between two distances behind the nose, m; `None` where there is no drag, no airspeed or no
    /// station behind the nose.
    #[must_use]
    pub fn new(input: &BodyWakeInput, from_m: f64, to_m: f64) -> Option<Self> {
        if input.drag_coefficient <= 0.0 || input.reynolds_per_m <= 0.0 || to_m <= 0.0 {
            return None;
        }
        let drag = Drag::new(input);
        let length = input.shape.length_m;
        // At the nose itself there is no layer yet.
        let from_m = from_m.max(1e-3 * length);
        let mut rows = Vec::new();
        if from_m < length {
            let end = to_m.min(length);
            for i in 0..BODY_ROWS {
                let x = from_m + (end - from_m) * i as f64 / (BODY_ROWS - 1) as f64;
                rows.push((x, drag.peak, drag.spread_on_body(x)));
            }
        }
        if to_m > length {
            let behind = behind_tail(&drag, to_m);
            let first = behind.partition_point(|row| row.0 <= from_m).saturating_sub(1);
            let end = rows.last().map_or(f64::NEG_INFINITY, |row: &(f64, f64, f64)| row.0);
            rows.extend(behind[first..].iter().filter(|row| row.0 > end));
        }
        Some(Self { shape: input.shape.clone(), rows, drag_over_friction: drag.over_friction() })
    }

    /// The wake at a distance behind the nose; the ends of the range hold outside it.
    #[must_use]
    pub fn station(&self, x_m: f64) -> RoundWakeStation {
        let above = self.rows.partition_point(|row| row.0 <= x_m);
        let (a, b) = (&self.rows[above.saturating_sub(1)], &self.rows[above.min(self.rows.len() - 1)]);
        let t = if b.0 > a.0 { (x_m - a.0) / (b.0 - a.0) } else { 0.0 };
        RoundWakeStation {
            peak: a.1 + t * (b.1 - a.1),
            spread_m: a.2 + t * (b.2 - a.2),
            core_m: self.shape.radius_m(x_m),
        }
    }

    /// Drag over the turbulent friction of the body's surface.
    #[must_use]
    pub fn drag_over_friction(&self) -> f64 {
        self.drag_over_friction
    }

    /// Ratio by which the spread exceeds the boundary layer's where no profile of that width carries the drag; `None`
    /// where one does.
    #[must_use]
    pub fn widened_by(&self) -> Option<f64> {
        let peak = peak_of(FLAT_PLATE_SHAPE_FACTOR);
        let depth = peak * (2.0 - peak) * self.drag_over_friction;
        (depth > 1.0).then(|| self.drag_over_friction.sqrt())
    }

    /// Greatest support of all stations, m.
    #[must_use]
    pub fn reach_m(&self) -> f64 {
        self.rows.iter().map(|row| self.station(row.0).support_m()).fold(0.0, f64::max)
    }
}

/// Rows from the tail to `to_m` behind the nose: dσ/dx = S u₀/√(2 ln 2), by Heun's method.
fn behind_tail(drag: &Drag, to_m: f64) -> Vec<(f64, f64, f64)> {
    let rate = SPREADING_RATE / (2.0 * LN_2).sqrt();
    let tail = drag.input.shape.length_m;
    let mut row = (tail, drag.peak, drag.spread_on_body(tail));
    let mut rows = vec![row];
    while row.0 < to_m {
        let (x, peak, spread) = row;
        // σ grows by less than 4 % of a σ in one σ of distance.
        let step = (to_m - x).min((0.5 * spread).max(0.1 * (x - tail)));
        let ahead = drag.peak_behind(x + step, spread + rate * peak * step, peak);
        let spread = spread + 0.5 * rate * (peak + ahead) * step;
        row = (x + step, drag.peak_behind(x + step, spread, ahead), spread);
        rows.push(row);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::shape::tests::pod;
    use approx::assert_relative_eq;

    fn wake(drag_coefficient: f64, from_m: f64, to_m: f64) -> BodyWake {
        let shape = BodyShape::new(&pod());
        let input = BodyWakeInput {
            shape: &shape,
            drag_coefficient,
            reynolds_per_m: 1.1e6,
            edge_speed_ratio: &|x, _| 1.0 - 0.08 * (-((x - 0.75) / 0.1).powi(2)).exp(),
        };
        BodyWake::new(&input, from_m, to_m).unwrap()
    }

    #[test]
    fn layer_and_wake_join_at_the_tail() {
        for drag in [0.05, 0.11, 0.4] {
            let wake = wake(drag, 0.5, 1.2);
            let steps: Vec<RoundWakeStation> =
                (0..=7000).map(|i| wake.station(0.5 + f64::from(i) * 1e-4)).collect();
            for pair in steps.windows(2) {
                assert!((pair[1].peak - pair[0].peak).abs() < 2e-3, "{pair:?}");
                assert!((pair[1].spread_m / pair[0].spread_m - 1.0).abs() < 2e-3, "{pair:?}");
            }
            assert!(steps.iter().all(|s| s.peak > 0.0 && s.peak < 0.6));
        }
    }

    #[test]
    fn thickness_on_the_cylinder_is_that_of_a_plate() {
        // Thin beside the radius: Θ = 2πRθ with θ = 0.036 x Re_x^(−1/5).
        let mut body = pod();
        (body.length_m, body.diameter_m, body.closing_length_m) = (20.0, 1.0, 2.0);
        let shape = BodyShape::new(&body);
        let input = BodyWakeInput {
            shape: &shape,
            drag_coefficient: 0.1,
            reynolds_per_m: 1e6,
            edge_speed_ratio: &|_, _| 1.0,
        };
        let drag = Drag::new(&input);
        // Between two stations, so that the nose's smaller girth is out of it; the rule's error is left.
        let theta = |x: f64| 0.036 * x * (1e6 * x).powf(-0.2);
        let area = drag.friction_to(15.0) - drag.friction_to(5.0);
        assert_relative_eq!(area / (2.0 * PI * 0.5), theta(15.0) - theta(5.0), max_relative = 1e-4);
    }

    #[test]
    fn mean_over_a_chord_is_the_integral() {
        let station = RoundWakeStation { peak: 0.5, spread_m: 0.01, core_m: 0.0 };
        let (square, from, to) = (4e-5, -0.004, 0.013);
        let cells = 20_000;
        let at = |i: i32| from + (to - from) * (f64::from(i) + 0.5) / f64::from(cells);
        let sum: f64 = (0..cells).map(|i| station.deficit(square + at(i).powi(2))).sum();
        assert_relative_eq!(station.mean_over(square, from, to), sum / f64::from(cells), max_relative = 1e-8);
        assert_relative_eq!(station.mean_over(square, 0.003, 0.003), station.deficit(square + 9e-6));
    }

    #[test]
    fn widening_is_told_where_no_gaussian_of_the_layers_width_carries_the_drag() {
        assert_eq!(wake(0.1, 0.7, 0.8).widened_by(), None);
        let wide = wake(0.3, 0.7, 0.8);
        // σ of the layer against the least that carries the drag, √(C_D A/2π).
        let area = BodyShape::new(&pod()).frontal_area_m2();
        let layer = wide.station(0.75).spread_m / wide.widened_by().unwrap();
        assert!(layer < (0.3 * area / (2.0 * PI)).sqrt() * 1.15);
        assert!(wide.station(0.75).spread_m > (0.3 * area / (2.0 * PI)).sqrt());
    }

    #[test]
    fn no_drag_and_no_speed_leave_no_wake() {
        let shape = BodyShape::new(&pod());
        for (drag_coefficient, reynolds_per_m) in [(0.0, 1e6), (0.1, 0.0)] {
            let input = BodyWakeInput {
                shape: &shape,
                drag_coefficient,
                reynolds_per_m,
                edge_speed_ratio: &|_, _| 1.0,
            };
            assert_eq!(BodyWake::new(&input, 0.7, 0.8), None);
        }
    }
}
