//! What the geometry of an operating point implies before anything is computed.

use std::f64::consts::{PI, TAU};

mod body_wake;
mod clearance;
mod ground;
mod neighbours;
mod rules;
mod structure;
mod thrust_line;
mod wake_crossing;

pub use ground::{NOSE_WHEEL_RULE_M, TAIL_WHEEL_RULE_M, WATER_RULE_M};
pub use rules::{ClearanceRule, clearance_rules};
pub use structure::{AXIAL_RULE_M, TIP_RULE_M};
pub(crate) use thrust_line::pitching_arm_m;

use super::input::{OperatingPoint, Propeller, Survey};
use super::result::{Scalar, Warning};
use crate::air::standard_air;
use crate::inflow::survey::AxialRatio;

/// What the first propeller is called beside further ones.
const FIRST_PROPELLER: &str = "propeller";

/// The radius at which a blade is judged by a single section, over tip radius (common practice).
pub(super) const TYPICAL_RADIUS_RATIO: f64 = 0.75;

/// Numbers that follow from the case alone: speeds, frequencies, clearances.
///
/// Reduced frequency is k = ωc/2W with the blade's chord c and speed W = √(V² + (Ωr)²) at 0.75 R. Distances are
/// from the trailing edge of each surface at the hub's span station; a surface that does not reach abreast of
/// the hub has only its clearance, the least distance between trailing edge and disk. Of a wake the width,
/// depth and place at the hub are given, without the propeller's suction.
#[must_use]
pub fn consequences(point: &OperatingPoint) -> Vec<Scalar> {
    let mut all = speeds(point);
    all.extend(blade_section(point));
    for surface in &point.surfaces {
        let radius_m = 0.5 * point.propeller.diameter_m;
        all.extend(clearance::surface_distances(surface, &point.placement, radius_m));
        all.extend(wake_crossing::wake_crossing(surface, point));
    }
    for body in &point.bodies {
        all.extend(body_wake::body_wake(body, point));
    }
    if let Some(survey) = &point.survey {
        all.extend(survey_over_disk(survey, point));
    }
    all
}

/// What a survey holds, as far as one can judge at a glance.
fn survey_over_disk(survey: &Survey, point: &OperatingPoint) -> [Scalar; 3] {
    let axial = AxialRatio::new(survey, &point.propeller, &point.placement);
    let told = |name: &str, words: &str, value: f64| {
        let words = format!("axial velocity of the survey over airspeed, {words}");
        scalar(format!("survey_axial_ratio_{name}"), "1", words, value)
    };
    [
        told("mean", "mean over the disk", axial.mean),
        told("least", "least on the disk", axial.least),
        told("greatest", "greatest on the disk", axial.greatest),
    ]
}

/// Clearances of the blades and the height of the thrust line: what a placement means for the airframe.
///
/// Ground, water and thrust line stand where the airframe tells of them. All is that of the first propeller but the clearance between
/// propellers; of each further one `airframe_consequences` of the point with it alone tells.
#[must_use]
pub fn airframe_consequences(point: &OperatingPoint) -> Vec<Scalar> {
    let mut all = structure::structure(point);
    all.extend(ground::ground_and_water(point));
    all.extend(neighbours::between_propellers(point));
    if let Some(centre_of_gravity_m) = &point.airframe.centre_of_gravity_m {
        all.extend(thrust_line::thrust_line(point, centre_of_gravity_m));
    }
    all
}

/// [`airframe_consequences`] of every propeller by name, the first one's first.
#[must_use]
pub fn airframe_consequences_of_all(point: &OperatingPoint) -> Vec<(String, Vec<Scalar>)> {
    let first = (FIRST_PROPELLER.to_owned(), airframe_consequences(point));
    let further =
        point.further.iter().map(|one| (one.name.clone(), airframe_consequences(&point.with_only(one))));
    std::iter::once(first).chain(further).collect()
}

/// A warning for each clearance below zero: the blades of a propeller reach into what they should clear.
#[must_use]
pub fn hits(propeller: Option<&str>, consequences: &[Scalar]) -> Vec<Warning> {
    let whose = propeller.map_or_else(String::new, |name| format!("propeller `{name}`: "));
    let below_zero = consequences.iter().filter(|s| s.name.starts_with("clearance_") && s.value < 0.0);
    let words = |s: &Scalar| Warning {
        name: "blades_hit",
        text: format!("{whose}{} is {:.4} m: the blades hit it", s.long_name, s.value),
    };
    below_zero.map(words).collect()
}

fn scalar(name: impl Into<String>, unit: &'static str, long_name: impl Into<String>, value: f64) -> Scalar {
    Scalar { name: name.into(), unit, long_name: long_name.into(), value }
}

fn speeds(point: &OperatingPoint) -> Vec<Scalar> {
    let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
    let propeller = &point.propeller;
    let revolutions_hz = propeller.speed_rad_s / TAU;
    let tip_m_s = 0.5 * propeller.speed_rad_s * propeller.diameter_m;
    let airspeed = point.flight.airspeed_m_s;
    let mut all = vec![
        scalar("density_kg_m3", "kg/m3", "density of the undisturbed air", air.density_kg_m3),
        scalar("speed_of_sound_m_s", "m/s", "speed of sound", air.speed_of_sound_m_s),
        scalar("shaft_frequency_hz", "Hz", "shaft frequency, 1P", revolutions_hz),
        scalar(
            "blade_passage_hz",
            "Hz",
            "blade-passage frequency, NP",
            revolutions_hz * propeller.blade_count as f64,
        ),
        scalar("disk_area_m2", "m2", "disk area", 0.25 * PI * propeller.diameter_m.powi(2)),
    ];
    if revolutions_hz > 0.0 {
        let advance_ratio = airspeed / (revolutions_hz * propeller.diameter_m);
        all.push(scalar("advance_ratio", "1", "advance ratio V/nD", advance_ratio));
    }
    let tip_mach = airspeed.hypot(tip_m_s) / air.speed_of_sound_m_s;
    all.push(scalar("tip_mach", "1", "helical tip Mach number", tip_mach));
    all
}

fn blade_section(point: &OperatingPoint) -> Vec<Scalar> {
    let propeller = &point.propeller;
    let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
    let chord_m = typical_chord_m(propeller);
    let speed_m_s = typical_speed_m_s(point);
    let mut all = vec![scalar("chord_075r_m", "m", "blade chord at 0.75 R", chord_m)];
    if speed_m_s > 0.0 {
        let reynolds = air.density_kg_m3 * speed_m_s * chord_m / air.viscosity_pa_s;
        all.push(scalar("reynolds_number_075r", "1", "chord Reynolds number at 0.75 R", reynolds));
    }
    all.extend(
        passage_reduced_frequency(point)
            .map(|k| scalar("reduced_frequency_np_075r", "1", "reduced frequency of NP at 0.75 R", k)),
    );
    all.push(scalar("azimuth_cell_075r_m", "m", "azimuth cell at 0.75 R", azimuth_cell_m(point)));
    all
}

/// Reduced frequency of blade passage at 0.75 R, k = NΩc/2W; `None` at rest.
pub(super) fn passage_reduced_frequency(point: &OperatingPoint) -> Option<f64> {
    let speed_m_s = typical_speed_m_s(point);
    let passage_rad_s = point.propeller.blade_count as f64 * point.propeller.speed_rad_s;
    (speed_m_s > 0.0).then(|| 0.5 * passage_rad_s * typical_chord_m(&point.propeller) / speed_m_s)
}

fn typical_radius_m(propeller: &Propeller) -> f64 {
    TYPICAL_RADIUS_RATIO * 0.5 * propeller.diameter_m
}

/// Speed of the blade through the air at 0.75 R, m/s.
pub(super) fn typical_speed_m_s(point: &OperatingPoint) -> f64 {
    point.flight.airspeed_m_s.hypot(point.propeller.speed_rad_s * typical_radius_m(&point.propeller))
}

/// Path between two azimuths at 0.75 R, m.
fn azimuth_cell_m(point: &OperatingPoint) -> f64 {
    TAU * typical_radius_m(&point.propeller) / point.solver.azimuths as f64
}

/// Chord at 0.75 R, linear between the rows of the blade table, m.
fn typical_chord_m(propeller: &Propeller) -> f64 {
    let rows = &propeller.blade.rows;
    let after = rows.iter().position(|row| row.radius_ratio >= TYPICAL_RADIUS_RATIO);
    let ratio = match after {
        None | Some(0) => rows.first().map_or(f64::NAN, |row| row.chord_ratio),
        Some(k) => {
            let (a, b) = (&rows[k - 1], &rows[k]);
            let share = (TYPICAL_RADIUS_RATIO - a.radius_ratio) / (b.radius_ratio - a.radius_ratio);
            a.chord_ratio + share * (b.chord_ratio - a.chord_ratio)
        }
    };
    ratio * 0.5 * propeller.diameter_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Vec3;
    use crate::point::input::{
        BladeRow, BladeTable, Compressibility, Flight, Induction, Placement, Rotation, SectionLift,
        SectionSpec, Solver, Suction, Surface, SurfaceWake, TipLoss,
    };
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    fn row(radius_ratio: f64, chord_ratio: f64) -> BladeRow {
        BladeRow {
            radius_ratio,
            chord_ratio,
            twist_rad: 0.3,
            sweep_ratio: 0.0,
            thickness_ratio: 0.1,
            section: 0,
        }
    }

    /// Three blades of radius 0.5 m at 3000 rpm and 30 m/s at sea level, 0.2 m behind a plane wing of root
    /// chord 0.4 m whose trailing edge lies at x = 1.4, z = 0.2, the hub 0.05 m above it.
    fn point() -> OperatingPoint {
        OperatingPoint {
            flight: Flight {
                airspeed_m_s: 30.0,
                altitude_m: 0.0,
                temperature_offset_k: 0.0,
                angle_of_attack_rad: 0.0,
                sideslip_rad: 0.0,
            },
            propeller: Propeller {
                blade_count: 3,
                diameter_m: 1.0,
                speed_rad_s: 50.0 * TAU,
                rotation: Rotation::Clockwise,
                pitch_offset_rad: 0.0,
                blade: BladeTable { generic: false, rows: vec![row(0.2, 0.1), row(0.5, 0.2), row(1.0, 0.1)] },
                sections: vec![SectionSpec::Analytic(wing().section)],
                compressibility: Compressibility::None,
                pitch_error_rad: vec![],
                spacing_error_rad: vec![],
            },
            placement: Placement { hub_m: Vec3::new(1.6, 0.0, 0.25), tilt_rad: 0.0, toe_rad: 0.0 },
            further: Vec::new(),
            surfaces: vec![wing()],
            bodies: Vec::new(),
            survey: None,
            airframe: crate::point::input::Airframe::default(),
            solver: Solver {
                stations: 40,
                azimuths: 720,
                induction: Induction::Momentum,
                tip_loss: TipLoss::Prandtl,
                section_lift: SectionLift::Unsteady,
                streamwise: crate::point::input::Streamwise::QuasiSteady,
                suction: Suction::ChordMean,
                tolerance: 1e-10,
                harmonics: 8,
            },
        }
    }

    fn value(point: &OperatingPoint, name: &str) -> f64 {
        consequences(point).into_iter().find(|s| s.name == name).map_or(f64::NAN, |s| s.value)
    }

    #[test]
    fn speeds_and_frequencies_by_hand() {
        let point = point();
        assert_relative_eq!(value(&point, "blade_passage_hz"), 150.0, max_relative = 1e-14);
        assert_relative_eq!(value(&point, "advance_ratio"), 0.6, max_relative = 1e-14);
        // Speed of sound at sea level: ISO 2533, 340.294 m/s.
        assert_relative_eq!(
            value(&point, "tip_mach"),
            30.0_f64.hypot(50.0 * PI) / 340.294,
            max_relative = 1e-6
        );
    }

    #[test]
    fn reduced_frequency_uses_the_chord_between_the_rows() {
        let point = point();
        // Chord at 0.75 R: halfway between 0.2 and 0.1 of R.
        let chord_m = 0.15 * 0.5;
        assert_relative_eq!(value(&point, "chord_075r_m"), chord_m, max_relative = 1e-14);
        let speed = 30.0_f64.hypot(100.0 * PI * 0.375);
        let by_hand = 3.0 * 100.0 * PI * chord_m / (2.0 * speed);
        assert_relative_eq!(value(&point, "reduced_frequency_np_075r"), by_hand, max_relative = 1e-14);
    }

    #[test]
    fn distances_to_a_plane_wing_by_hand() {
        let point = point();
        assert_relative_eq!(value(&point, "wing_axial_gap_chords"), 0.5, max_relative = 1e-12);
        assert_relative_eq!(value(&point, "wing_axial_gap_diameters"), 0.2, max_relative = 1e-12);
        assert_relative_eq!(value(&point, "wing_offset_radii"), 0.1, max_relative = 1e-12);
        // Tapered and unswept: the trailing edge runs forward from 1.4 at the root, so the root is nearest.
        assert_relative_eq!(value(&point, "wing_clearance_m"), 0.2, max_relative = 1e-12);
    }

    #[test]
    fn tilt_brings_the_disk_nearer_to_an_edge_above_the_shaft() {
        // Thrust up means the axis points up and forward, so the upper part of the disk leans aft.
        let lean = |tilt_rad: f64| {
            let mut point = point();
            point.placement.tilt_rad = tilt_rad;
            point.placement.hub_m.z = 0.0;
            value(&point, "wing_clearance_m")
        };
        let (sin, cos) = 0.1_f64.sin_cos();
        assert_relative_eq!(lean(0.1), 0.2 * cos + 0.2 * sin, max_relative = 1e-6);
        assert_relative_eq!(lean(-0.1), 0.2 * cos - 0.2 * sin, max_relative = 1e-6);
    }

    #[test]
    fn a_surface_aside_has_its_clearance_only() {
        let mut point = point();
        // Tip: quarter chord at x = 1.1, chord 0.2, so its trailing edge lies at x = 1.25, y = 2, z = 0.2.
        point.surfaces[0].root_leading_edge_m.y = 3.0;
        assert!(value(&point, "wing_axial_gap_chords").is_nan());
        let from_rim = 2.0_f64.hypot(0.2 - 0.25) - 0.5;
        assert_relative_eq!(
            value(&point, "wing_clearance_m"),
            (1.25_f64 - 1.6).hypot(from_rim),
            max_relative = 1e-12
        );
    }

    fn of_airframe(point: &OperatingPoint, name: &str) -> f64 {
        airframe_consequences(point).into_iter().find(|s| s.name == name).map_or(f64::NAN, |s| s.value)
    }

    #[test]
    fn blades_clear_the_trailing_edge_by_the_gap_less_their_depth() {
        let point = point();
        // The trailing edge runs at 0.05 m below the shaft, 0.2 m ahead at the root, further ahead outboard, where the
        // blade is deepest near half radius: chord 0.1 m at 0.3 rad. Root cut-out at 0.1 m.
        let depth = |radius_m: f64| {
            let x = radius_m / 0.5;
            let chord = if x < 0.5 { 0.1 + 0.1 * (x - 0.2) / 0.3 } else { 0.2 - 0.1 * (x - 0.5) / 0.5 };
            0.5 * chord * 0.5 * 0.3_f64.sin()
        };
        // Taper 0.2 m over 1 m, a quarter of it ahead: the edge lies 0.15 m further ahead per metre.
        let gap = |y: f64| 0.2 + 0.15 * y - depth(y.hypot(0.05));
        let least = (87..500).map(|i| gap(f64::from(i) * 1e-3)).fold(f64::INFINITY, f64::min);
        assert_relative_eq!(of_airframe(&point, "clearance_axial_m"), least, max_relative = 2e-3);
        assert!(of_airframe(&point, "clearance_tip_m").is_nan());
    }

    #[test]
    fn tips_clear_a_tailplane_abreast_of_them() {
        let mut point = point();
        // Symmetric section of 12 % and chord 0.4 m at the root, 0.6 m above the shaft, the disk through its thickest part.
        point.surfaces[0].root_leading_edge_m = Vec3::new(1.6 - 0.12, 0.0, 0.25 + 0.6);
        let by_hand = 0.1 - 0.5 * 0.12 * 0.4;
        assert_relative_eq!(of_airframe(&point, "clearance_tip_m"), by_hand, max_relative = 0.01);
    }

    #[test]
    fn thrust_above_the_centre_of_gravity_pushes_the_nose_down() {
        let point = point();
        let about = |z: f64| {
            let mut point = point.clone();
            point.airframe.centre_of_gravity_m = Some(Vec3::new(0.9, 0.0, z));
            of_airframe(&point, "thrust_line_height_m")
        };
        assert_relative_eq!(about(0.05), 0.2, max_relative = 1e-12);
        assert!(thrust_line::pitching_arm_m(&point, &Vec3::new(0.9, 0.0, 0.05)) < 0.0);
        assert_relative_eq!(about(0.25), 0.0, epsilon = 1e-12);
        // Thrust tilted up, behind the centre of gravity: nose down, as from a line above it.
        let mut tilted = point.clone();
        tilted.placement.tilt_rad = 0.1;
        assert!(thrust_line::pitching_arm_m(&tilted, &Vec3::new(0.9, 0.0, 0.25)) < 0.0);
    }

    #[test]
    fn a_fin_is_passed_aside() {
        let mut point = point();
        point.surfaces[0] = Surface { mirror: false, dihedral_rad: 0.5 * PI, ..wing() };
        point.placement.hub_m.y = 0.1;
        // The normal of a fin that points up is port, so a hub to starboard lies at a negative offset.
        assert_relative_eq!(value(&point, "wing_offset_radii"), -0.2, max_relative = 1e-12);
    }

    #[test]
    fn at_rest_nothing_is_infinite() {
        let mut point = point();
        point.flight.airspeed_m_s = 0.0;
        point.propeller.speed_rad_s = 0.0;
        assert!(consequences(&point).iter().all(|s| s.value.is_finite()));
    }

    #[test]
    fn a_wake_is_crossed_as_its_width_says() {
        let point = point();
        let width_m = value(&point, "wing_wake_half_width_m");
        let offset_m = 0.5 * value(&point, "wing_wake_offset_radii");
        // The crossing speed at 0.75 R is the blade's part across a plane wake that far from the shaft.
        let across_m_s = 100.0 * PI * (0.375_f64.powi(2) - offset_m * offset_m).sqrt();
        let speed_m_s = 30.0_f64.hypot(100.0 * PI * 0.375);
        let by_hand = 2.0 * 2.0_f64.ln() * across_m_s / width_m * 0.075 / (2.0 * speed_m_s);
        let name = "wing_reduced_frequency_crossing_075r";
        assert_relative_eq!(value(&point, name), by_hand, max_relative = 1e-12);
        // No incidence, no lift: the wake leaves level, 0.05 m below the shaft.
        assert_relative_eq!(offset_m, 0.05, max_relative = 1e-9);
    }

    #[test]
    fn no_wake_has_no_width() {
        let mut point = point();
        point.surfaces[0].wake = SurfaceWake::None;
        assert!(value(&point, "wing_wake_half_width_m").is_nan());
        assert!(value(&point, "wing_clearance_m").is_finite());
    }
}
