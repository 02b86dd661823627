//! Values of a disk field between its stations, along its features.
//!
//! A thin wake crosses two neighbouring stations at different azimuths. Interpolation at constant azimuth would
//! show it as a row of beads that is not in the flow. So neighbouring stations are matched first, as a picture
//! between two video frames is made: for each azimuth the shift is found at which the outer station's values
//! resemble the inner's most, and the field is interpolated along the shift. At the stations themselves the
//! values are those computed, whatever the shifts. This serves the drawing only.

use std::f64::consts::TAU;

use super::sample::Sampler;

/// Largest shift between neighbouring stations, rad; tangent to a ring a wake has no shift.
const REACH_RAD: f64 = 0.2;
/// Half-width of the window that is compared, rad.
const WINDOW_RAD: f64 = 0.12;
/// Mean square of the difference, over the square of the field's range, that the largest shift must save.
/// Where the field is smooth all shifts are alike, and this prefers none.
const PENALTY: f64 = 1e-3;

/// A field with the shifts between its stations.
pub(crate) struct RingMatch<'a> {
    disk: Sampler<'a>,
    /// Azimuth cells from the inner station to the outer, for each pair of stations and azimuth.
    shifts: Vec<Vec<f64>>,
}

impl<'a> RingMatch<'a> {
    /// Matches each station with the next.
    pub fn new(disk: Sampler<'a>) -> Self {
        let azimuths = disk.field.ncols();
        let pairs = disk.radius_m.len().saturating_sub(1);
        let penalty = PENALTY * range(&disk).powi(2);
        let shifts = (0..pairs)
            .map(|inner| (0..azimuths).map(|at| best_shift(&disk, inner, at, penalty)).collect())
            .collect();
        Self { disk, shifts }
    }

    /// Interpolation along the shifts; beyond the ends the nearest station.
    pub fn value(&self, radius_m: f64, azimuth_rad: f64) -> f64 {
        if self.shifts.is_empty() || self.disk.field.is_empty() {
            return self.disk.value(radius_m, azimuth_rad);
        }
        let (inner, outer, along) = self.disk.stations(radius_m);
        let azimuths = self.disk.field.ncols();
        let turn = azimuth_rad.rem_euclid(TAU) / TAU * azimuths as f64;
        let shift = self.shifts[inner][turn.round() as usize % azimuths];
        let within = self.disk.ring(inner, turn - along * shift);
        let beyond = self.disk.ring(outer, turn + (1.0 - along) * shift);
        within * (1.0 - along) + beyond * along
    }
}

fn range(disk: &Sampler<'_>) -> f64 {
    let (low, high) = super::loads::extremes(disk.field.iter().copied());
    high - low
}

/// The shift, in azimuth cells, with the least difference over the window around an azimuth.
fn best_shift(disk: &Sampler<'_>, inner: usize, at: usize, penalty: f64) -> f64 {
    let cells = |angle: f64| (angle / TAU * disk.field.ncols() as f64).round() as i64;
    let (reach, window) = (cells(REACH_RAD), cells(WINDOW_RAD));
    let cost = |shift: i64| {
        let share = shift as f64 / reach.max(1) as f64;
        mismatch(disk, inner, at as i64, shift, window) + penalty * share * share
    };
    let costs = (-reach..=reach).map(|shift| (shift, cost(shift)));
    costs.min_by(|(_, a), (_, b)| a.total_cmp(b)).map_or(0.0, |(shift, _)| shift as f64)
}

/// Variance over the window of the difference between the stations at a shift; the mean is free, since the field
/// may grow with radius.
fn mismatch(disk: &Sampler<'_>, inner: usize, at: i64, shift: i64, window: i64) -> f64 {
    let azimuths = disk.field.ncols() as i64;
    let (near, far) = (disk.field.row(inner), disk.field.row(inner + 1));
    let (mut sum, mut squares) = (0.0, 0.0);
    for cell in -window..=window {
        let place = at + cell - shift.div_euclid(2);
        let (a, b) = (place.rem_euclid(azimuths), (place + shift).rem_euclid(azimuths));
        let difference = near[a as usize] - far[b as usize];
        sum += difference;
        squares += difference * difference;
    }
    let count = (2 * window + 1) as f64;
    squares / count - (sum / count).powi(2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use ndarray::Array2;

    /// A level wake below the hub, thinner than the distance of the stations: half-way between two stations it
    /// is as deep as on them, where interpolation at constant azimuth loses a good part of it.
    #[test]
    fn a_thin_wake_keeps_its_depth_between_stations() {
        let radius_m: Vec<f64> = (0..8).map(|s| 0.5 + 0.07 * f64::from(s)).collect();
        let wake = |r: f64, psi: f64| 1.0 - (-((r * psi.cos() + 0.3) / 0.015).powi(2)).exp();
        let field = Array2::from_shape_fn((8, 720), |(s, a)| wake(radius_m[s], TAU * a as f64 / 720.0));
        let rings = RingMatch::new(Sampler { radius_m: &radius_m, field: &field });
        let plain = Sampler { radius_m: &radius_m, field: &field };
        for pair in radius_m.windows(2) {
            let middle_m = 0.5 * (pair[0] + pair[1]);
            let centre = (-0.3 / middle_m).acos();
            assert!(plain.value(middle_m, centre) > 0.3, "the test wake is thin at {middle_m}");
            let least = (-8..=8)
                .map(|k| rings.value(middle_m, centre + TAU * f64::from(k) / 1440.0))
                .fold(f64::INFINITY, f64::min);
            assert!(least < 0.15, "depth {least} at {middle_m}");
        }
    }

    #[test]
    fn on_the_stations_the_values_are_those_computed() {
        let field = Array2::from_shape_fn((3, 36), |(s, a)| ((s * 7 + a * a) as f64 * 0.37).sin());
        let radius_m = [1.0, 1.5, 2.0];
        let rings = RingMatch::new(Sampler { radius_m: &radius_m, field: &field });
        for (s, r) in radius_m.iter().enumerate() {
            for a in 0..36 {
                let value = rings.value(*r, TAU * a as f64 / 36.0);
                assert!((value - field[[s, a]]).abs() < 1e-9, "{s} {a}");
            }
        }
    }
}
