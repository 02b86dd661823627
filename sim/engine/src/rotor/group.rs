//! Eight blade stations side by side, as the sweep needs them.

use super::station_section::StationSection;
use crate::base::lanes::{LANES, Lanes};
use crate::blade::BladeStation;
use crate::point::input::{AnalyticSection, Compressibility};
use crate::section::LINEAR_PART;

/// Eight stations of one blade. Lanes beyond the last station repeat it and count for nothing.
#[derive(Debug, Clone)]
pub struct StationGroup {
    /// Stations in use, 1 to 8.
    pub used: usize,
    /// Radius, m.
    pub radius_m: Lanes,
    /// Chord, m.
    pub chord_m: Lanes,
    /// Sine of the blade angle with pitch offset and the blade's own error.
    pub sin_blade_angle: Lanes,
    /// Cosine of the same.
    pub cos_blade_angle: Lanes,
    /// Section of each lane.
    pub sections: [StationSection; LANES],
    /// The lift line of the lanes; see [`LinearPart`].
    pub linear: LinearPart,
}

/// The straight part of eight analytic sections, evaluated without leaving the lanes.
#[derive(Debug, Clone, Copy)]
pub struct LinearPart {
    /// Lift slope, per rad.
    pub slope: Lanes,
    /// Angle of zero lift, rad.
    pub zero_lift_rad: Lanes,
    /// Least drag.
    pub drag_min: Lanes,
    /// Drag rise with the square of lift off that of least drag.
    pub drag_rise: Lanes,
    /// Lift of least drag.
    pub lift_at_drag_min: Lanes,
    /// Lift below which the line bends.
    pub lift_low: Lanes,
    /// Lift above which the line bends.
    pub lift_high: Lanes,
    /// Whether lift follows Prandtl and Glauert.
    pub compressible: bool,
}

impl StationGroup {
    /// A group of up to eight stations at blade angle `twist + pitch_rad`.
    #[must_use]
    pub fn new(stations: &[BladeStation], sections: &[StationSection], pitch_rad: f64) -> Self {
        let used = stations.len().min(LANES);
        let pick = |lane: usize| lane.min(used - 1);
        let lanes = |value: &dyn Fn(&BladeStation) -> f64| Lanes::from_fn(|i| value(&stations[pick(i)]));
        let sections: [StationSection; LANES] = std::array::from_fn(|i| sections[pick(i)].clone());
        Self {
            used,
            radius_m: lanes(&|s| s.radius_m),
            chord_m: lanes(&|s| s.chord_m),
            sin_blade_angle: lanes(&|s| (s.twist_rad + pitch_rad).sin()),
            cos_blade_angle: lanes(&|s| (s.twist_rad + pitch_rad).cos()),
            linear: LinearPart::new(&sections),
            sections,
        }
    }
}

impl LinearPart {
    /// Constants of the analytic lanes; every other lane gets an empty straight part.
    fn new(sections: &[StationSection; LANES]) -> Self {
        let analytic = |i: usize| match &sections[i] {
            StationSection::Analytic(section, _) => Some(section),
            _ => None,
        };
        let lanes = |value: &dyn Fn(&AnalyticSection) -> f64, other: f64| {
            Lanes::from_fn(|i| analytic(i).map_or(other, value))
        };
        let compressible = sections
            .iter()
            .any(|s| matches!(s, StationSection::Analytic(_, Compressibility::PrandtlGlauert)));
        Self {
            slope: lanes(&|s| s.lift_slope_per_rad, 0.0),
            zero_lift_rad: lanes(&|s| s.zero_lift_rad, 0.0),
            drag_min: lanes(&|s| s.drag_min, 0.0),
            drag_rise: lanes(&|s| s.drag_rise, 0.0),
            lift_at_drag_min: lanes(&|s| s.lift_at_drag_min, 0.0),
            lift_low: lanes(&|s| LINEAR_PART * s.lift_min, 1.0),
            lift_high: lanes(&|s| LINEAR_PART * s.lift_max, -1.0),
            compressible,
        }
    }
}
