//! The thrusts of several propellers as one.
//!
//! A thrust to be met is counted along the shaft of the first propeller. A given one is what all thrusts Tᵢ have along that shaft,
//! Σ Tᵢ eᵢ·e₁. One that meets the drag D is met along the flight path, Σ Tᵢ aᵢ = D with aᵢ the part of shaft i along it, and counted as
//! what the first shaft alone would have to give, Σ Tᵢ aᵢ/a₁ = D/a₁. Propellers on like shafts count fully in both.

use super::ThrustTarget;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{OperatingPoint, Placement};

/// Thrust against the flight path: the parts of its unit vector along the path and square to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ThrustLine {
    /// Forward along the path.
    pub along: f64,
    /// Up, square to the path.
    pub up: f64,
}

/// What counts of the thrust of each further propeller.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct ThrustSum {
    shares: Vec<f64>,
}

impl ThrustLine {
    pub(super) fn new(placement: &Placement, point: &OperatingPoint, angle_rad: f64) -> Self {
        let thrust = -aft(placement, point);
        let (sin, cos) = angle_rad.sin_cos();
        let (sin_b, cos_b) = point.flight.sideslip_rad.sin_cos();
        let ahead = -Vec3::new(cos * cos_b, -sin_b, sin * cos_b);
        Self { along: thrust.dot(&ahead), up: thrust.dot(&Vec3::new(-sin, 0.0, cos)) }
    }

    /// That of a propeller at the angle of attack of its point.
    pub(super) fn of(placement: &Placement, point: &OperatingPoint) -> Self {
        Self::new(placement, point, point.flight.angle_of_attack_rad)
    }
}

impl ThrustSum {
    /// For a thrust to be met at the angle of attack of the point.
    pub(super) fn new(point: &OperatingPoint, target: ThrustTarget) -> Self {
        let first = &point.placement;
        let share = |placement: &Placement| {
            // Like shafts give 1 to the last bit.
            if aft(placement, point) == aft(first, point) {
                return 1.0;
            }
            match target {
                ThrustTarget::Given(_) => aft(placement, point).dot(&aft(first, point)),
                ThrustTarget::Drag => {
                    ThrustLine::of(placement, point).along / ThrustLine::of(first, point).along
                }
            }
        };
        Self { shares: point.further.iter().map(|one| share(&one.placement)).collect() }
    }

    /// The sum, N, of the thrust of each propeller along its own shaft, the first one's first; NaN where one is lacking.
    pub(super) fn of_n(&self, thrusts_n: &[f64]) -> f64 {
        let Some((first_n, further_n)) = thrusts_n.split_first() else { return f64::NAN };
        if further_n.len() != self.shares.len() {
            return f64::NAN;
        }
        further_n.iter().zip(&self.shares).fold(*first_n, |sum, (thrust_n, share)| sum + share * thrust_n)
    }

    /// Lift, N, of the thrusts beyond that of the whole sum along the first shaft: what unlike shafts add.
    pub(super) fn lift_beyond_n(&self, point: &OperatingPoint, thrusts_n: &[f64]) -> f64 {
        let up_of_first = ThrustLine::of(&point.placement, point).up;
        let further = point.further.iter().zip(&self.shares).zip(thrusts_n.iter().skip(1));
        further.fold(0.0, |sum, ((one, share), thrust_n)| {
            sum + thrust_n * (ThrustLine::of(&one.placement, point).up - share * up_of_first)
        })
    }
}

/// Unit vector of a shaft, aft.
fn aft(placement: &Placement, point: &OperatingPoint) -> Vec3 {
    DiskAxes::new(placement, point.propeller.rotation).aft
}
