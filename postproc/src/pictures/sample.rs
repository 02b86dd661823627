//! Values of a disk field between its stations and azimuths.

use std::f64::consts::TAU;

use ndarray::Array2;

/// A field (S, A) over stations and an even azimuth grid that leaves out 2π.
pub(crate) struct Sampler<'a> {
    pub radius_m: &'a [f64],
    pub field: &'a Array2<f64>,
}

impl Sampler<'_> {
    /// Bilinear interpolation; beyond the ends the nearest station. NaN where the field is empty.
    pub fn value(&self, radius_m: f64, azimuth_rad: f64) -> f64 {
        if self.field.is_empty() || self.radius_m.is_empty() {
            return f64::NAN;
        }
        let (inner, outer, along) = self.stations(radius_m);
        let turn = azimuth_rad / TAU * self.field.ncols() as f64;
        self.ring(inner, turn) * (1.0 - along) + self.ring(outer, turn) * along
    }

    /// Value at a station; `turn` counts azimuth cells.
    pub(crate) fn ring(&self, station: usize, turn: f64) -> f64 {
        let azimuths = self.field.ncols();
        let turn = turn.rem_euclid(azimuths as f64);
        let (first, around) = (turn as usize % azimuths, turn.fract());
        let second = (first + 1) % azimuths;
        self.field[[station, first]] * (1.0 - around) + self.field[[station, second]] * around
    }

    /// The stations on both sides of a radius and the share of the outer one.
    pub(crate) fn stations(&self, radius_m: f64) -> (usize, usize, f64) {
        let last = self.radius_m.len() - 1;
        let outer = self.radius_m.partition_point(|r| *r < radius_m).clamp(last.min(1), last);
        let inner = outer.saturating_sub(1);
        let span = self.radius_m[outer] - self.radius_m[inner];
        let along = if span > 0.0 { (radius_m - self.radius_m[inner]) / span } else { 0.0 };
        (inner, outer, along.clamp(0.0, 1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn between_points_the_field_is_linear_and_periodic() {
        let field = Array2::from_shape_fn((2, 4), |(s, a)| 10.0 * s as f64 + a as f64);
        let disk = Sampler { radius_m: &[1.0, 2.0], field: &field };
        assert_eq!(disk.value(1.5, 0.0), 5.0);
        assert_eq!(disk.value(1.0, TAU / 8.0), 0.5);
        assert_eq!(disk.value(1.0, -TAU / 8.0), 1.5); // half-way between azimuths 3 and 0
        assert_eq!(disk.value(0.1, 0.0), 0.0);
        assert_eq!(disk.value(9.0, 0.0), 10.0);
    }

    #[test]
    fn one_station_serves_all_radii() {
        let field = Array2::from_elem((1, 1), 7.0);
        let disk = Sampler { radius_m: &[1.0], field: &field };
        assert_eq!(disk.value(0.5, 1.0), 7.0);
    }
}
