//! The cases of other ways to hang a pusher propeller: each asserts what it is there to show, with numbers.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use wakebeat_engine::base::Vec3;
use wakebeat_engine::case::{from_text, scenarios};
use wakebeat_engine::point::consequences::consequences;
use wakebeat_engine::point::input::{OperatingPoint, SurveyData};
use wakebeat_engine::point::result::{HubLoad, PointResult};
use wakebeat_engine::point::{solve, solve_once};

/// Greatest difference between mirror images over mean thrust: rounding, 1e-15 to 1e-14 found.
const ROUND_OFF: f64 = 1e-12;

fn case(name: &str, sets: &[&str]) -> OperatingPoint {
    let scenario = scenarios().iter().find(|scenario| scenario.name == name).unwrap();
    // Coarser than the case, fine enough for its figures: 16 stations, one degree.
    let mut all = vec!["solver.stations=16".to_owned(), "solver.azimuths=360".to_owned()];
    all.extend(sets.iter().map(|set| (*set).to_owned()));
    from_text("case.toml", scenario.case_text(), scenario, &all)
        .unwrap_or_else(|e| panic!("{name}\n{e}"))
        .point
}

fn solved(name: &str, sets: &[&str]) -> PointResult {
    solve_once(&case(name, sets)).unwrap()
}

fn mean(result: &PointResult, load: HubLoad) -> f64 {
    result.hub(load).harmonics.amplitude[0]
}

/// Amplitude at blade-passage frequency.
fn np(result: &PointResult, load: HubLoad) -> f64 {
    result.hub(load).harmonics.amplitude[result.blade_count]
}

fn within(value: f64, low: f64, high: f64, what: &str) {
    assert!(value >= low && value <= high, "{what}: {value} is not within {low} to {high}");
}

fn elevator(deflection_deg: f64) -> String {
    format!("surface.stabiliser.flap.elevator.deflection_deg={deflection_deg}")
}

#[test]
fn elevator_multiplies_the_vibration_of_a_tail_pusher() {
    let at = |deflection_deg: f64| solved("tail-pusher", &[&elevator(deflection_deg)]);
    let [up, level, down] = [-20.0, 0.0, 20.0].map(at);
    let thrust = |r: &PointResult| np(r, HubLoad::Thrust);
    within(thrust(&down) / thrust(&level), 4.9, 5.5, "2P thrust at 20 deg over that at 0");
    // Only the fin tells up from down.
    within(thrust(&up) / thrust(&down), 1.0, 1.05, "2P thrust up over down");
    within(np(&down, HubLoad::VerticalForce), 0.09, 0.15, "2P vertical force at 20 deg, N");
    assert!(np(&level, HubLoad::VerticalForce) < 0.015);
    // Lift down at the tail throws the air up: the disk meets it from below, as at an angle of attack.
    assert!(mean(&up, HubLoad::VerticalForce) > 0.05 && mean(&down, HubLoad::VerticalForce) < -0.05);
}

/// The wake widens and leaves the turned edge; at 60 deg it is separated, several times as wide again.
#[test]
fn wake_widens_and_moves_with_the_elevator() {
    let of = |deflection_deg: f64, name: &str| {
        let point = case("tail-pusher", &[&elevator(deflection_deg)]);
        consequences(&point).into_iter().find(|s| s.name == format!("stabiliser_wake_{name}")).unwrap().value
    };
    let width = |deflection_deg: f64| of(deflection_deg, "half_width_m");
    within(width(20.0) / width(0.0), 3.0, 6.0, "width at 20 deg over that at 0");
    within(width(60.0) / width(20.0), 3.0, 8.0, "width at 60 deg over that at 20");
    // The hinge line: 35 % of the root chord of 0.12 m turned by 20 deg lowers the edge by 0.0144 m, and the wake runs on down.
    let lowered_m = of(20.0, "offset_radii") * 0.1143;
    within(
        lowered_m,
        0.042 * 20_f64.to_radians().sin(),
        0.042 * 20_f64.to_radians().sin() + 0.04 * 0.25,
        "wake, m",
    );
    assert!((width(-20.0) / width(20.0) - 1.0).abs() < 1e-6);
    let separated = solved("tail-pusher", &[&elevator(60.0)]);
    assert!(separated.warnings.iter().any(|w| w.name == "separated_wake"));
}

/// Without the fin the tail is symmetric above and below: −δ is δ seen half a turn later, on every grid of azimuths.
#[test]
fn opposite_deflections_of_a_symmetric_tail_mirror() {
    for azimuths in [180, 360, 720] {
        let at = |deflection_deg: f64| {
            let mut point = case("tail-pusher", &[&elevator(deflection_deg), "propeller.blade_count=3"]);
            point.surfaces.pop();
            point.solver.azimuths = azimuths;
            solve_once(&point).unwrap()
        };
        let (down, up) = (at(12.0), at(-12.0));
        let scale = mean(&down, HubLoad::Thrust);
        let mut worst = 0.0_f64;
        for load in HubLoad::ALL {
            let turns = matches!(load, HubLoad::Thrust | HubLoad::Torque | HubLoad::RollingMoment);
            let sign = if turns { 1.0 } else { -1.0 };
            let (a, b) = (&down.hub(load).history, &up.hub(load).history);
            for j in 0..a.len() {
                worst = worst.max((a[j] - sign * b[(j + a.len() / 2) % a.len()]).abs() / scale);
            }
        }
        assert!(worst < ROUND_OFF, "{azimuths}: {worst:e}");
    }
}

/// A fin whose root lies on the shaft is half a wing turned by a quarter: the same harmonics, the loads in the disk turned.
#[test]
fn fin_on_the_shaft_is_half_a_wing_turned_by_a_quarter() {
    let at = |dihedral_deg: f64| {
        let mut point = case("tail-pusher", &[]);
        let mut half = point.surfaces.pop().unwrap();
        half.dihedral_rad = f64::to_radians(dihedral_deg);
        half.section.zero_lift_rad = -0.03;
        half.sweep_rad = 0.1;
        point.surfaces = vec![half];
        point.placement.hub_m = Vec3::new(0.18, 0.0, 0.0);
        solve_once(&point).unwrap()
    };
    let (fin, wing) = (at(90.0), at(0.0));
    let bound = ROUND_OFF * mean(&wing, HubLoad::Thrust);
    // What points to starboard on the wing points up on the fin, and what points up points to port.
    let pairs = [
        (HubLoad::Thrust, HubLoad::Thrust, 1.0),
        (HubLoad::Torque, HubLoad::Torque, 1.0),
        (HubLoad::VerticalForce, HubLoad::SideForce, 1.0),
        (HubLoad::SideForce, HubLoad::VerticalForce, -1.0),
    ];
    for (of_fin, of_wing, sign) in pairs {
        let (a, b) = (&fin.hub(of_fin).harmonics, &wing.hub(of_wing).harmonics);
        for order in 0..a.amplitude.len() {
            // The fin stands at azimuth 0, the starboard half at 90 deg.
            let turned = b.phase_rad[order] - order as f64 * std::f64::consts::FRAC_PI_2;
            let (own, other) = (a.amplitude[order], sign * b.amplitude[order]);
            let cosine = own * a.phase_rad[order].cos() - other * turned.cos();
            let sine = own * a.phase_rad[order].sin() - other * turned.sin();
            assert!(cosine.hypot(sine) < bound, "{of_fin:?} {order}: {own} {other}");
        }
    }
    assert!(np(&fin, HubLoad::Thrust) > 1e-3);
}

#[test]
fn nacelles_in_step_double_the_thrust_ripple_and_half_a_blade_apart_shake_in_yaw() {
    let sum = |sets: &[&str]| solve(&case("nacelle-pusher", sets)).unwrap();
    let value = |r: &PointResult, name: &str| r.scalar(name).unwrap_or_else(|| panic!("no {name}"));
    let in_step = sum(&[]);
    let one = np(&in_step, HubLoad::Thrust);
    // Sums of hub loads and of thrust on the arms of 0.45 m.
    let round_off = ROUND_OFF * mean(&in_step, HubLoad::Thrust);
    let twice = value(&in_step, "airframe_thrust_np_n");
    assert!((twice - 2.0 * one).abs() < round_off, "{twice} {one}");
    for name in ["side_force_np_n", "rolling_moment_np_n_m", "yawing_moment_np_n_m", "yawing_moment_mean_n_m"]
    {
        let left = value(&in_step, &format!("airframe_{name}"));
        assert!(left.abs() < round_off, "{name}: {left}");
    }
    let apart = sum(&["further_propeller.port.phase_deg=90"]);
    let left = value(&apart, "airframe_thrust_np_n");
    assert!(left < round_off, "{left}");
    // Thrust of both sides against each other on the arm of 0.45 m, and what hub moments add.
    within(
        value(&apart, "airframe_yawing_moment_np_n_m") / (2.0 * 0.45 * one),
        0.4,
        1.6,
        "2P yaw over 2 T y",
    );
    // Any phase lies between; a slightly faster one runs through all of them.
    let beating = sum(&["further_propeller.port.speed_ratio=1.01"]);
    within(value(&beating, "port_beat_np_hz"), 2.166, 2.167, "beat, Hz");
    assert!(value(&beating, "airframe_thrust_np_least_n") < 0.1 * one);
    within(
        value(&beating, "airframe_thrust_np_greatest_n") / one,
        1.9,
        2.1,
        "greatest 2P thrust over that of one",
    );
    // Turning alike they are no mirror image: a rolling moment is left.
    let alike = sum(&["further_propeller.port.rotation=clockwise"]);
    let torque = mean(&alike, HubLoad::Torque);
    within(
        -value(&alike, "airframe_rolling_moment_mean_n_m") / torque,
        1.5,
        2.5,
        "roll of both over one torque",
    );
}

#[test]
fn landing_flaps_multiply_the_ripple_of_a_nacelle_pusher() {
    let at = |deflection_deg: f64| {
        let set = format!("surface.wing.flap.inner.deflection_deg={deflection_deg}");
        np(&solved("nacelle-pusher", &[&set]), HubLoad::Thrust)
    };
    within(at(35.0) / at(0.0), 3.7, 4.3, "2P thrust with flaps at 35 deg over that without");
}

#[test]
fn clean_air_begins_above_the_tip_radius_and_costs_a_nose_down_moment() {
    let at = |offset_m: f64| {
        let offset = format!("placement.shaft_offset_m={offset_m}");
        solve(&case("pod-above-wing", &[&offset, "solver.suction=far"])).unwrap()
    };
    let wake = |r: &PointResult| {
        let share = r.attribution.iter().find(|share| share.name == "wing_wake").unwrap();
        share.loads[HubLoad::Thrust as usize].amplitude[2]
    };
    let [plane, low, high, clear] = [0.0, 0.03, 0.09, 0.14].map(at);
    let thrust = |r: &PointResult| np(r, HubLoad::Thrust);
    // Raised a little the ripple falls, then it comes back before the rim leaves the wake.
    assert!(thrust(&low) < 0.5 * thrust(&plane) && thrust(&high) > 1.5 * thrust(&low));
    assert!(wake(&high) > 0.02 && wake(&clear) < 1e-3 * wake(&plane));
    // Potential fields of lift and thickness reach on.
    within(thrust(&clear) / thrust(&plane), 0.2, 0.4, "2P thrust in clean air over that in the wake's plane");
    let pitch = |r: &PointResult| r.scalar("airframe_pitching_moment_mean_n_m").unwrap();
    within(pitch(&clear), -0.42, -0.35, "pitching moment at 0.14 m, N m");
    // The arm: hub 0.14 and 0.0 m over the edge, whose height is that of the wing's root, centre of gravity 0.02 m below.
    let arms = mean(&clear, HubLoad::Thrust) * 0.16 - mean(&plane, HubLoad::Thrust) * 0.02;
    within((pitch(&plane) - pitch(&clear)) / arms, 0.9, 1.1, "cost over thrust times arm");
}

#[test]
fn a_body_bends_only_off_its_axis_and_sideslip_is_incidence_turned() {
    let at = |attack: f64, slip: f64| {
        let sets = [format!("flight.angle_of_attack_deg={attack}"), format!("flight.sideslip_deg={slip}")];
        solved("body-only", &sets.each_ref().map(String::as_str))
    };
    let (aligned, attack, slip) = (at(0.0, 0.0), at(6.0, 0.0), at(0.0, 6.0));
    let thrust = mean(&aligned, HubLoad::Thrust);
    for load in HubLoad::ALL {
        let ripple = aligned.hub(load).harmonics.amplitude[1..].iter().fold(0.0_f64, |a, b| a.max(*b));
        assert!(ripple < 1e-12 * thrust, "{load:?}: {ripple}");
    }
    within(np(&attack, HubLoad::YawingMoment), 0.012, 0.018, "2P yawing moment at 6 deg, N m");
    assert!(np(&attack, HubLoad::Thrust) < 0.004 * thrust);
    for (a, b) in [
        (HubLoad::Thrust, HubLoad::Thrust),
        (HubLoad::YawingMoment, HubLoad::PitchingMoment),
        (HubLoad::PitchingMoment, HubLoad::YawingMoment),
        (HubLoad::VerticalForce, HubLoad::SideForce),
    ] {
        let (one, other) = (np(&attack, a), np(&slip, b));
        assert!((one - other).abs() < ROUND_OFF * thrust, "{a:?} {b:?}: {one} {other}");
        assert!((mean(&attack, a).abs() - mean(&slip, b).abs()).abs() < ROUND_OFF * thrust, "{a:?} {b:?}");
    }
}

#[test]
fn multiples_of_the_blade_count_make_thrust_and_their_neighbours_bending() {
    let with = |blades: usize| solved("wake-survey", &[&format!("propeller.blade_count={blades}")]);
    let (four, five) = (with(4), with(5));
    let bending = |r: &PointResult| np(r, HubLoad::PitchingMoment).hypot(np(r, HubLoad::YawingMoment));
    within(
        np(&four, HubLoad::Thrust) / np(&five, HubLoad::Thrust),
        4.5,
        6.5,
        "thrust ripple of four blades over five",
    );
    within(bending(&five) / bending(&four), 3.5, 4.5, "bending of five blades over four");
    // Orders 3 and 5 taken out of the table: four blades keep their thrust ripple and lose the bending.
    let mut point = case("wake-survey", &[]);
    if let Some(SurveyData::Fourier { radius_ratio, cosine, .. }) = point.survey.as_mut().map(|s| &mut s.data)
    {
        let radii = radius_ratio.len();
        for order in [1, 3, 5] {
            cosine[order * radii..(order + 1) * radii].fill(Vec3::zeros());
        }
    }
    let even = solve_once(&point).unwrap();
    within(
        np(&even, HubLoad::Thrust) / np(&four, HubLoad::Thrust),
        0.97,
        1.03,
        "thrust ripple without odd orders",
    );
    assert!(bending(&even) < 1e-9 * mean(&even, HubLoad::Thrust), "{}", bending(&even));
}

/// A mirrored aircraft in mirrored sideslip, its propeller turning the other way, has mirrored loads to rounding: lift and thickness
/// fields, wakes and bodies.
#[test]
fn mirror_images_agree_to_rounding() {
    for (name, sets) in [
        ("survey-pusher", &["flight.sideslip_deg=6", "placement.shaft_offset_m=0.03"][..]),
        ("body-only", &["flight.sideslip_deg=-5"]),
        // With incidence and dihedral the quarter chords of the roots lie aside of the plane of symmetry.
        ("survey-pusher", &["surface.wing.incidence_deg=4", "surface.wing.dihedral_deg=5"]),
        (
            // A fin through a tilted shaft is met as closely above as below it, but not as far behind the edge.
            "tail-pusher",
            &[
                "surface.fin.root_leading_edge_m=[0.0,0.0,0.2]",
                "surface.fin.dihedral_deg=-90",
                "surface.fin.span_m=0.4",
                "surface.fin.sweep_deg=0",
                "placement.axial_gap_m=0.12",
                "placement.tilt_deg=5",
                "solver.suction=\"trailing_edge\"",
            ],
        ),
        // Two bodies, listed in the same order on both sides.
        ("nacelle-pusher", &["flight.sideslip_deg=4"]),
        ("nacelle-pusher", &["surface.wing.flap.inner.deflection_deg=35", "solver.azimuths=720"]),
    ] {
        let one = case(name, sets);
        let mut other = one.clone();
        other.placement.hub_m.y = -one.placement.hub_m.y;
        other.propeller.rotation = wakebeat_engine::point::input::Rotation::Counterclockwise;
        other.flight.sideslip_rad = -one.flight.sideslip_rad;
        let (one, other) = (solve_once(&one).unwrap(), solve_once(&other).unwrap());
        let scale = mean(&one, HubLoad::Thrust);
        let mut worst = 0.0_f64;
        for load in HubLoad::ALL {
            let flips = matches!(load, HubLoad::SideForce | HubLoad::YawingMoment | HubLoad::RollingMoment);
            let sign = if flips { -1.0 } else { 1.0 };
            for (a, b) in one.hub(load).history.iter().zip(&other.hub(load).history) {
                worst = worst.max((a - sign * b).abs() / scale);
            }
        }
        assert!(worst < ROUND_OFF, "{name}: {worst:e}");
    }
}
