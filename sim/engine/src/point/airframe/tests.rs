//! Facts that hold for any propellers on one airframe.
#![allow(clippy::unwrap_used)]

use super::{AIRFRAME_LOADS, AirframeSums};
use crate::base::Vec3;
use crate::case::{from_text, scenarios};
use crate::point::input::{FurtherPropeller, OperatingPoint, PropellerChanges, Rotation};
use crate::point::result::{HubLoad, PointResult};
use crate::point::solve;
use std::f64::consts::PI;

/// The starter case on a coarse grid, balanced to `tolerance`.
fn survey(tolerance: f64) -> OperatingPoint {
    let sets = [
        "solver.stations=16",
        "solver.azimuths=180",
        "solver.suction=far",
        &format!("solver.tolerance={tolerance:e}"),
        "airframe.centre_of_gravity_m=[0.1, 0.0, 0.0]",
    ]
    .map(str::to_owned);
    let scenario = &scenarios()[0];
    from_text("case.toml", scenario.case_text(), scenario, &sets).unwrap().point
}

/// A copy of the first propeller at the same place, so that both have the same loads.
fn twin(point: &OperatingPoint, phase_rad: f64, speed_ratio: f64) -> FurtherPropeller {
    FurtherPropeller {
        name: "twin".into(),
        placement: point.placement.clone(),
        rotation: point.propeller.rotation,
        phase_rad,
        speed_ratio,
        changes: PropellerChanges::default(),
    }
}

fn with(point: &OperatingPoint, further: Vec<FurtherPropeller>) -> PointResult {
    solve(&OperatingPoint { further, ..point.clone() }).unwrap()
}

fn sums(result: &PointResult) -> &AirframeSums {
    result.airframe.as_ref().unwrap().sums.as_ref().unwrap()
}

fn scale(result: &PointResult, load: HubLoad) -> f64 {
    let alike = AIRFRAME_LOADS.iter().zip(&sums(result).loads).filter(|(one, _)| one.unit() == load.unit());
    alike.map(|(_, sum)| sum.harmonics.amplitude[0].abs()).sum()
}

#[test]
fn one_propeller_about_its_hub_is_the_hub() {
    let mut point = survey(1e-8);
    point.airframe.centre_of_gravity_m = Some(point.placement.hub_m);
    let result = solve(&point).unwrap();
    for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
        assert_eq!(sums(&result).loads[place].history, result.hub(load).history);
        assert_eq!(sums(&result).greatest[place], sums(&result).least[place]);
    }
    assert!(sums(&result).by_phase.is_empty());
}

#[test]
fn two_alike_in_phase_are_twice_one_and_in_anti_phase_the_odd_passages_vanish() {
    let point = survey(1e-8);
    let one = solve(&point).unwrap();
    let blades = point.propeller.blade_count;
    let in_phase = with(&point, vec![twin(&point, 0.0, 1.0)]);
    // Half a blade spacing: NP of one cancels that of the other, 2NP adds.
    let anti_phase = with(&point, vec![twin(&point, PI / blades as f64, 1.0)]);
    for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
        let bound = 1e-12 * scale(&one, load).max(1e-3);
        let single = &sums(&one).loads[place];
        let double = &sums(&in_phase).loads[place];
        for (a, b) in single.history.iter().zip(&double.history) {
            assert!((2.0 * a - b).abs() < bound, "{load:?}: {a} {b}");
        }
        let anti = &sums(&anti_phase).loads[place].harmonics.amplitude;
        for (order, amplitude) in anti.iter().enumerate() {
            let of_one = single.harmonics.amplitude[order];
            let expected = if order % (2 * blades) == blades { 0.0 } else { 2.0 * of_one };
            assert!((amplitude - expected).abs() < bound, "{load:?} {order}: {amplitude} {expected}");
            // What the table of phases says at no phase and over all of them.
            let table = &sums(&anti_phase).by_phase[0][place];
            assert!((table[[0, order]] - 2.0 * of_one).abs() < bound);
            assert!((sums(&anti_phase).greatest[place][order] - 2.0 * of_one).abs() < bound);
            assert!(order == 0 || sums(&anti_phase).least[place][order] < bound);
        }
    }
    let np = sums(&one).loads[0].harmonics.amplitude[blades];
    assert!(np > 0.01, "thrust ripple of one: {np} N");
}

/// Slightly faster, the twin drifts through all phases: over many revolutions the sum swings between the envelope's ends.
#[test]
fn unequal_speeds_beat_between_least_and_greatest() {
    let mut point = survey(1e-8);
    point.solver.harmonics = 44;
    let ratio = 1.01;
    let result = with(&point, vec![twin(&point, 0.3, ratio)]);
    let first = sums(&result).loads[0].harmonics.amplitude[2];
    let (low, high) = (sums(&result).least[0][2], sums(&result).greatest[0][2]);
    assert!(low < first && first < high, "{low} {first} {high}");
    // The history is the sum at the two speeds, from the phases given on.
    let further = &result.airframe.as_ref().unwrap().further[0].result;
    let thrust = |result: &PointResult, psi: f64| -> f64 {
        let h = &result.hub(HubLoad::Thrust).harmonics;
        (0..h.amplitude.len()).map(|n| h.amplitude[n] * (n as f64 * psi - h.phase_rad[n]).cos()).sum()
    };
    // Orders 89 and 90 are not kept: they hold a few parts in 1e4 of the ripple.
    for j in [0, 40, 179] {
        let psi = result.azimuth_rad[j];
        let sum = thrust(&result, psi) + thrust(further, ratio * psi + 0.3);
        assert!((sums(&result).loads[0].history[j] - sum).abs() < 1e-3 * high, "{j}");
    }
    let beat = result.scalar("twin_beat_np_hz").unwrap();
    assert!((beat - 2.0 * 7000.0 / 60.0 * 0.01).abs() < 1e-9, "{beat}");
}

/// Far aside and turning the other way, the mirror image of a propeller has its mirrored loads: side force, roll and yaw of the pair vanish.
#[test]
fn a_mirrored_pair_has_no_side_force_no_roll_and_no_yaw() {
    let mut point = survey(1e-10);
    point.bodies.clear();
    point.surfaces[0].potential = false;
    point.placement.hub_m.y = 0.3;
    let mut other = twin(&point, 0.0, 1.0);
    other.placement.hub_m.y = -0.3;
    other.rotation = Rotation::Counterclockwise;
    let result = with(&point, vec![other]);
    for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
        let bound = 1e-11 * scale(&result, load).max(1e-3);
        let odd = matches!(load, HubLoad::SideForce | HubLoad::RollingMoment | HubLoad::YawingMoment);
        let largest = sums(&result).loads[place].history.iter().fold(0.0, |m: f64, v| m.max(v.abs()));
        assert_eq!(odd, largest < bound, "{load:?}: {largest}");
    }
    assert!(result.warnings.iter().all(|w| w.name != "slipstream_meets_disk"), "{:?}", result.warnings);
}

#[test]
fn a_higher_thrust_line_pitches_the_nose_down_by_its_arm() {
    let mut point = survey(1e-8);
    point.surfaces.clear();
    point.bodies.clear();
    let pitch = |z: f64| {
        let mut point = point.clone();
        point.placement.hub_m = Vec3::new(0.2, 0.0, z);
        let result = solve(&point).unwrap();
        (result.scalar("airframe_pitching_moment_mean_n_m").unwrap(), result.scalar("thrust_n").unwrap())
    };
    let ((low, thrust), (high, _)) = (pitch(0.0), pitch(0.1));
    assert!((low - high - 0.1 * thrust).abs() < 1e-12 * thrust, "{low} {high} {thrust}");
}
