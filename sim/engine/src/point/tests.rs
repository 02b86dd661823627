//! The periodic answer against marching, sign anchors, mirror images, convergence.

use super::balance::balance;
use super::input::{OperatingPoint, Rotation, SectionLift, SurfaceWake};
use super::kept::Kept;
use super::result::{HubLoad, PointResult};
use super::solve::solve_once;
use crate::base::lanes::LANES;
use crate::case::{from_text, scenarios};
use crate::rotor::sweep::{GroupLoads, SweepRoom, SweepStart, sweep};
use approx::assert_relative_eq;

/// The survey aircraft's case with overrides.
fn survey(sets: &[&str]) -> OperatingPoint {
    let scenario = &scenarios()[0];
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    from_text("survey", scenario.case_text(), scenario, &sets).unwrap().point
}

/// The same propeller in clean air.
fn clean(sets: &[&str]) -> OperatingPoint {
    let mut point = survey(sets);
    point.surfaces.clear();
    point.bodies.clear();
    point
}

fn mean(result: &PointResult, load: HubLoad) -> f64 {
    result.hub(load).harmonics.amplitude[0]
}

/// The closed periodic states give what marching gives once transients have died, to 1e-8 of the mean
/// force, on three differing cases: a wake near the shaft, a raised shaft at high incidence with
/// another blade count and coarse grid, a swept blade turning the other way in sideslip. How far the induced velocity has
/// settled does not matter: both see the same flow.
#[test]
fn periodic_answer_equals_marching() {
    let mut swept =
        survey(&["propeller.rotation=counterclockwise", "flight.sideslip_deg=8", "solver.tolerance=1e-10"]);
    for row in &mut swept.propeller.blade.rows {
        row.sweep_ratio = 0.1 * row.radius_ratio * row.radius_ratio;
    }
    let cases = [
        survey(&["placement.shaft_offset_m=0.004", "solver.tolerance=1e-10"]),
        survey(&[
            "flight.angle_of_attack_deg=9",
            "propeller.blade_count=3",
            "placement.shaft_offset_m=0.05",
            "solver.azimuths=180",
        ]),
        swept,
    ];
    for point in &cases {
        let setup = Kept::default().setup(point, point.orders(), false).unwrap();
        for (g, group) in balance(&setup).unwrap().groups.iter().enumerate() {
            let mut marched = GroupLoads::new(setup.ahead.azimuth_rad.len());
            let mut room = SweepRoom::new(setup.ahead.azimuth_rad.len());
            let marching = crate::rotor::sweep::SweepSetup { start: SweepStart::Marched(150), ..setup.sweep };
            let stations = setup.group(g, setup.pitch_rad[0]);
            let mean = sweep(&stations, &group.flow, &marching, &mut room, &mut marched).0;
            for (a, b) in marched.normal_n_per_m.iter().zip(&group.loads[0].normal_n_per_m) {
                for lane in 0..LANES {
                    assert!((a.0[lane] - b.0[lane]).abs() < 1e-8 * mean.0[lane].abs());
                }
            }
        }
    }
}

/// With the propeller reversed in flight tips brake beyond momentum theory: both levels of induction find a balance, and almost the same.
#[test]
fn a_braking_propeller_at_incidence_finds_its_balance() {
    for pitch_deg in [-10, -15, -25, -40] {
        let thrust = |induction: &str| {
            let sets = [
                format!("propeller.pitch_offset_deg={pitch_deg}"),
                format!("solver.induction={induction}"),
                "solver.stations=16".to_owned(),
                "solver.azimuths=120".to_owned(),
            ];
            let sets: Vec<&str> = sets.iter().map(String::as_str).collect();
            mean(
                &solve_once(&clean(&[&["flight.angle_of_attack_deg=0.5"], sets.as_slice()].concat()))
                    .unwrap(),
                HubLoad::Thrust,
            )
        };
        let (dynamic, momentum) = (thrust("dynamic"), thrust("momentum"));
        assert!(dynamic < 0.0);
        assert!((dynamic / momentum - 1.0).abs() < 0.01, "{pitch_deg} deg: {dynamic} {momentum} N");
    }
}

#[test]
fn air_from_below_lifts_the_hub_and_turns_the_nose_to_port() {
    let result = solve_once(&clean(&["flight.angle_of_attack_deg=5"])).unwrap();
    assert!(mean(&result, HubLoad::VerticalForce) > 0.0);
    assert!(mean(&result, HubLoad::YawingMoment) < 0.0);
    // The airframe is rolled against a clockwise propeller: port side down.
    assert!(mean(&result, HubLoad::RollingMoment) < 0.0);
    assert!(mean(&result, HubLoad::Torque) > 0.0);
}

#[test]
fn slow_air_below_the_shaft_pitches_the_nose_up() {
    // A shaft well above the wing: the wake crosses the lower half of the disk only. Incidence off, so that
    // only the wake speaks.
    let sets = ["flight.angle_of_attack_deg=0", "placement.shaft_offset_m=0.06", "propeller.blade_count=3"];
    let (with, without) = (solve_once(&survey(&sets)).unwrap(), solve_once(&clean(&sets)).unwrap());
    let moment = mean(&with, HubLoad::PitchingMoment) - mean(&without, HubLoad::PitchingMoment);
    assert!(moment > 0.0, "{moment}");
}

#[test]
fn turning_the_other_way_in_a_mirrored_field_flips_three_loads_only() {
    // The survey aircraft is symmetric about the shaft's plane, so that its field is its own mirror image but for sideslip.
    for potential in [false, true] {
        let potential = format!("surface.wing.potential={potential}");
        let one = survey(&["flight.sideslip_deg=6", "placement.shaft_offset_m=0.03", &potential]);
        let mut other = one.clone();
        other.propeller.rotation = Rotation::Counterclockwise;
        other.flight.sideslip_rad = -one.flight.sideslip_rad;
        let (one, other) = (solve_once(&one).unwrap(), solve_once(&other).unwrap());
        for load in HubLoad::ALL {
            let flips = matches!(load, HubLoad::SideForce | HubLoad::YawingMoment | HubLoad::RollingMoment);
            let sign = if flips { -1.0 } else { 1.0 };
            let scale = mean(&one, HubLoad::Thrust);
            for (a, b) in one.hub(load).history.iter().zip(&other.hub(load).history) {
                assert_relative_eq!(*a, sign * b, epsilon = 1e-12 * scale);
            }
        }
    }
}

#[test]
fn unequal_blades_add_a_1p_and_equal_ones_none() {
    let mut point = clean(&["propeller.blade_count=3"]);
    point.flight.angle_of_attack_rad = 0.0;
    let even = solve_once(&point).unwrap();
    point.propeller.pitch_error_rad = vec![0.005, 0.0, 0.0];
    let uneven = solve_once(&point).unwrap();
    let at = |r: &PointResult| r.hub(HubLoad::PitchingMoment).harmonics.amplitude[1];
    assert!(at(&even) < 1e-12 && at(&uneven) > 1e-4);
    assert_eq!(uneven.blades.len(), 3);
    // Spacing alone leaves the blades alike but lets the mean in-plane load of each through at 1P.
    point.propeller.pitch_error_rad.clear();
    point.propeller.spacing_error_rad = vec![0.0, 0.02, 0.0];
    let spaced = solve_once(&point).unwrap();
    assert_eq!(spaced.blades.len(), 1);
    assert!(at(&spaced) > 1e-4);
    assert_relative_eq!(mean(&spaced, HubLoad::Thrust), mean(&even, HubLoad::Thrust), max_relative = 1e-12);
}

/// With dihedral the two halves' wakes meet in the plane of symmetry below the wing; no azimuth falls between them.
#[test]
fn wakes_of_a_mirrored_pair_meet_without_a_gap() {
    let mut point = survey(&["propeller.blade_count=3", "placement.shaft_offset_m=0.06"]);
    point.bodies.clear();
    let result = solve_once(&point).unwrap();
    let inflow = result.disk(super::result::DiskField::AxialInflow);
    let middle = point.solver.azimuths / 2;
    for row in inflow.rows() {
        let beside = 0.5 * (row[middle - 1] + row[middle + 1]);
        assert!((row[middle] - beside).abs() < 0.01 * beside, "{} beside {beside}", row[middle]);
    }
}

/// Equal errors on all blades are a pitch offset or a turn of the azimuth origin.
#[test]
fn equal_errors_are_offsets() {
    let base = survey(&[]);
    let mut errors = base.clone();
    errors.propeller.pitch_error_rad = vec![0.01; 2];
    let mut offset = base.clone();
    offset.propeller.pitch_offset_rad = 0.01;
    let (a, b) = (solve_once(&errors).unwrap(), solve_once(&offset).unwrap());
    assert_eq!(a.hub, b.hub);
}

#[test]
fn a_wake_beyond_the_disk_changes_nothing() {
    // Potential fields reach everywhere; this is about the wake.
    let mut far = survey(&["surface.wing.potential=false"]);
    far.bodies.clear();
    far.surfaces[0].root_leading_edge_m.z -= 2.0;
    far.bodies.clear();
    let (a, b) = (solve_once(&far).unwrap(), solve_once(&clean(&[])).unwrap());
    assert_relative_eq!(
        a.hub(HubLoad::Thrust).history[17],
        b.hub(HubLoad::Thrust).history[17],
        max_relative = 1e-12
    );
}

/// Means and NP settle as the grid is refined: second order in stations and azimuths, a wake included.
#[test]
fn grid_refinement_converges_to_second_order() {
    let np = |stations: usize, azimuths: usize| {
        let mut point = survey(&["placement.shaft_offset_m=0.012", "solver.section_lift=quasi_steady"]);
        // A wide wake, so that every grid resolves it and its order shows.
        point.surfaces[0].section.drag_min = 0.1;
        point.surfaces[0].wake = SurfaceWake::Momentum;
        point.solver.stations = stations;
        point.solver.azimuths = azimuths;
        let result = solve_once(&point).unwrap();
        (mean(&result, HubLoad::Thrust), result.hub(HubLoad::Thrust).harmonics.amplitude[2])
    };
    let (a, b, c) = (np(40, 720), np(80, 720), np(160, 720));
    let order = ((a.0 - b.0) / (b.0 - c.0)).abs().log2();
    assert!(order > 1.7, "mean thrust over stations: {order}");
    assert!((b.1 / c.1 - 1.0).abs() < 0.005, "NP over stations: {} {}", b.1, c.1);
    let (a, b, c) = (np(40, 360), np(40, 720), np(40, 1440));
    assert!((a.1 / c.1 - 1.0).abs() < 0.01 && (b.1 / c.1 - 1.0).abs() < 0.002, "{} {} {}", a.1, b.1, c.1);
}

#[test]
fn lagged_lift_takes_ripple_away_and_leaves_the_mean() {
    let quasi = solve_once(&survey(&["solver.section_lift=quasi_steady"])).unwrap();
    let mut point = survey(&[]);
    point.solver.section_lift = SectionLift::Unsteady;
    let lagged = solve_once(&point).unwrap();
    let np = |r: &PointResult| r.hub(HubLoad::Thrust).harmonics.amplitude[2];
    assert!(np(&lagged) < 0.8 * np(&quasi), "{} {}", np(&lagged), np(&quasi));
    assert_relative_eq!(mean(&lagged, HubLoad::Thrust), mean(&quasi, HubLoad::Thrust), max_relative = 0.01);
}

/// Shares and remainder add up to each hub harmonic, and shares alone tell most of it where the wake is shallow.
#[test]
fn shares_and_remainder_are_the_whole() {
    // No incidence: its square makes a 2P of its own, as large as that of so faint a wake.
    let mut point =
        survey(&["surface.wing.drag_min=0.0005", "surface.wing.drag_rise=0", "flight.angle_of_attack_deg=0"]);
    for induction in [super::input::Induction::Momentum, super::input::Induction::Dynamic] {
        point.solver.induction = induction;
        let result = super::solve(&point).unwrap();
        for load in HubLoad::ALL {
            let total = &result.hub(load).harmonics;
            let scale = mean(&result, HubLoad::Thrust);
            for order in 0..total.amplitude.len() {
                let part = |h: &super::result::Harmonics| {
                    let (sin, cos) = h.phase_rad[order].sin_cos();
                    (h.amplitude[order] * cos, h.amplitude[order] * sin)
                };
                let sum = result.attribution.iter().fold((0.0, 0.0), |sum, share| {
                    let p = part(&share.loads[load as usize]);
                    (sum.0 + p.0, sum.1 + p.1)
                });
                let whole = part(total);
                assert!((sum.0 - whole.0).hypot(sum.1 - whole.1) < 1e-12 * scale);
            }
        }
        let np = |name: &str| {
            let share = result.attribution.iter().find(|s| s.name == name).unwrap();
            share.loads[HubLoad::Thrust as usize].amplitude[2]
        };
        let whole = result.hub(HubLoad::Thrust).harmonics.amplitude[2];
        assert!(np("remainder") < 0.25 * whole, "{} of {whole}", np("remainder"));
    }
}

/// The linear sweep is the derivative of the sweep: a faint wake leaves a remainder that falls with its square.
#[test]
fn remainder_falls_with_the_square_of_a_faint_wake() {
    let remainder = |drag: f64| {
        let mut point = clean(&["solver.induction=momentum", "flight.angle_of_attack_deg=0"]);
        point.surfaces = survey(&["surface.wing.potential=false"]).surfaces;
        point.surfaces[0].section.drag_min = drag;
        point.surfaces[0].section.drag_rise = 0.0;
        let result = super::solve(&point).unwrap();
        let share = result.attribution.last().unwrap();
        (share.loads[0].amplitude[2], result.hub(HubLoad::Thrust).harmonics.amplitude[2])
    };
    let (a, b) = (remainder(2e-4), remainder(1e-4));
    assert!(a.0 / a.1 < 0.5 && b.0 / b.1 < a.0 / a.1, "{a:?} {b:?}");
}
