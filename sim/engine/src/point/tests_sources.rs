//! Sources one by one: they add, fade with distance, follow lift and drag, and have their names in the shares.

use super::input::{OperatingPoint, Surface, SurfaceWake, Survey, SurveyData};
use super::result::{DiskField, HubLoad, PointResult};
use super::{solve, solve_once};
use crate::base::Vec3;
use crate::case::{from_text, scenarios};
use ndarray::Array2;

/// The survey aircraft's case with overrides.
fn survey(sets: &[&str]) -> OperatingPoint {
    let scenario = &scenarios()[0];
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    from_text("survey", scenario.case_text(), scenario, &sets).unwrap().point
}

/// Axial inflow of the propeller behind some surfaces and nothing else; the wakes are not drawn in.
fn inflow(surfaces: Vec<Surface>) -> Array2<f64> {
    let mut point = survey(&["solver.suction=none", "solver.azimuths=180"]);
    point.bodies.clear();
    point.surfaces = surfaces;
    solve_once(&point).unwrap().disk(DiskField::AxialInflow).clone()
}

/// A starboard wing and a port wing of one half each, both ending 0.04 m from the shaft.
fn two_wings(change: impl Fn(&mut Surface)) -> [Surface; 2] {
    let half = |name: &str, root_y_m: f64| {
        let mut wing = survey(&[]).surfaces[0].clone();
        wing.name = name.to_owned();
        wing.mirror = false;
        wing.dihedral_rad = 0.0;
        wing.span_m = 0.7;
        wing.root_leading_edge_m.y = root_y_m;
        change(&mut wing);
        wing
    };
    [half("starboard", 0.04), half("port", -0.74)]
}

/// Both wings change the inflow by the sum of what each changes, and each changes it by more than the band.
fn assert_adds(wings: [Surface; 2], band_m_s: f64) {
    let [starboard, port] = wings;
    let clean = inflow(Vec::new());
    let (a, b) = (inflow(vec![starboard.clone()]) - &clean, inflow(vec![port.clone()]) - &clean);
    let both = inflow(vec![starboard, port]) - &clean;
    let largest = |change: &Array2<f64>| change.iter().fold(0.0_f64, |m, u| m.max(u.abs()));
    assert!(largest(&a) > 0.2 && largest(&b) > 0.2, "{} {}", largest(&a), largest(&b));
    assert!(largest(&(both - a - b)) < band_m_s);
}

/// Potential velocities add at every point of the disk, to rounding.
#[test]
fn potential_fields_of_two_wings_add() {
    assert_adds(two_wings(|wing| wing.wake = SurfaceWake::None), 1e-11);
}

/// Wakes that do not overlap add, to rounding.
#[test]
fn wakes_of_two_wings_side_by_side_add() {
    assert_adds(two_wings(|wing| wing.potential = false), 1e-11);
}

#[test]
fn a_surface_one_span_aside_changes_nothing() {
    let mut aside = survey(&[]);
    aside.bodies.clear();
    aside.surfaces[0].root_leading_edge_m.y += aside.surfaces[0].span_m;
    let mut clean = aside.clone();
    clean.surfaces.clear();
    let (a, b) = (solve_once(&aside).unwrap(), solve_once(&clean).unwrap());
    let mean = b.hub(HubLoad::Thrust).harmonics.amplitude[0];
    for (x, y) in a.hub(HubLoad::Thrust).history.iter().zip(&b.hub(HubLoad::Thrust).history) {
        assert!((x - y).abs() < 1e-3 * mean, "{x} {y}");
    }
}

/// NP thrust of a share, or of the whole.
fn np(result: &PointResult, share: Option<&str>) -> f64 {
    let harmonics = match share {
        None => &result.hub(HubLoad::Thrust).harmonics,
        Some(name) => {
            let share = result.attribution.iter().find(|s| s.name == name).unwrap();
            &share.loads[HubLoad::Thrust as usize]
        }
    };
    harmonics.amplitude[result.blade_count]
}

/// More angle of attack is more lift and more drag of the wing: both shares of NP thrust grow.
#[test]
fn angle_of_attack_raises_np_thrust_through_lift_and_drag() {
    let at = |deg: f64| {
        let mut point = survey(&[&format!("flight.angle_of_attack_deg={deg}")]);
        point.bodies.clear();
        solve(&point).unwrap()
    };
    let (low, middle, high) = (at(0.0), at(3.0), at(6.0));
    for share in [Some("wing_lift"), Some("wing_wake")] {
        assert!(np(&low, share) < np(&middle, share) && np(&middle, share) < np(&high, share), "{share:?}");
    }
    // The whole grows too, by less: the shares are not in phase.
    assert!(np(&low, None) < np(&high, None));
}

#[test]
fn every_source_has_its_share() {
    let mut point = survey(&["solver.azimuths=180", "solver.induction=dynamic"]);
    let zero = Vec3::zeros();
    let second = Vec3::new(0.01, 0.0, 0.0);
    point.survey = Some(Survey {
        add: true,
        data: SurveyData::Fourier {
            radius_ratio: vec![0.0, 1.0],
            cosine: vec![zero, zero, zero, zero, second, second],
            sine: vec![zero; 6],
        },
    });
    let result = solve(&point).unwrap();
    let names: Vec<&str> = result.attribution.iter().map(|s| s.name.as_str()).collect();
    for name in ["wing_lift", "wing_thickness", "wing_wake", "fuselage_wake", "fuselage_potential", "survey"]
    {
        assert_eq!(names.iter().filter(|n| **n == name).count(), 1, "{name} in {names:?}");
    }
    assert_eq!(names.first(), Some(&"incidence"));
    assert_eq!(names.last(), Some(&"remainder"));
    for name in ["wing_lift", "wing_thickness", "wing_wake", "survey"] {
        assert!(np(&result, Some(name)) > 0.0, "{name}");
    }
}
