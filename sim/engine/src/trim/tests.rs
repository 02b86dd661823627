//! Trimmed flight of the survey aircraft and of simple ones.

use super::*;
use crate::air::{GRAVITY_M_S2, standard_air};
use crate::case::{Case, from_text, scenarios};
use crate::point::Kept;
use crate::point::solve_once;
use approx::assert_relative_eq;

/// The survey case with overrides, on a grid coarse enough for a test.
fn survey(sets: &[&str]) -> Case {
    starter("survey-pusher", sets)
}

fn starter(name: &str, sets: &[&str]) -> Case {
    let scenario = scenarios().iter().find(|s| s.name == name).unwrap();
    let coarse = ["solver.stations=16", "solver.azimuths=180", "solver.harmonics=4"];
    let sets: Vec<String> = coarse.iter().chain(sets).map(|s| (*s).to_owned()).collect();
    from_text("case.toml", scenario.case_text(), scenario, &sets).unwrap()
}

fn trimmed(case: &Case) -> Result<Trimmed, TrimError> {
    trim(&case.point, case.trim.as_ref().unwrap(), &mut Kept::default())
}

const LEVEL: [&str; 4] =
    ["airframe.mass_kg=1.8", "airframe.drag_area_m2=0.012", "trim.level=true", "trim.drag=true"];

#[test]
fn thrust_is_met_by_speed_and_by_pitch() {
    for by in ["speed_rpm", "pitch_offset_deg"] {
        for wanted_n in ["1.5", "2.8", "4.5"] {
            let (by, thrust) = (format!("trim.by=\"{by}\""), format!("trim.thrust_n={wanted_n}"));
            let case = survey(&[&by, &thrust]);
            let found = trimmed(&case).unwrap();
            let result = solve_once(&found.point).unwrap();
            let residual = result.scalar("thrust_n").unwrap() / wanted_n.parse::<f64>().unwrap() - 1.0;
            assert!(residual.abs() < 1e-6, "{by} {wanted_n}: {residual:e}");
            // Round-off of two ways to divide.
            assert!((residual - found.residual(&result).unwrap()).abs() < 1e-14);
        }
    }
}

#[test]
fn thrust_is_that_of_all_propellers() {
    let tilted = "further_propeller.port.tilt_deg=20";
    for sets in [
        &["trim.thrust_n=9"][..],
        &["trim.thrust_n=9", tilted],
        &["trim.thrust_n=9", "trim.by=\"pitch_offset_deg\""],
    ] {
        let found = trimmed(&starter("nacelle-pusher", sets)).unwrap();
        let result = crate::point::solve(&found.point).unwrap();
        let first_n = result.scalar("thrust_n").unwrap();
        let port_n = result.airframe.as_ref().unwrap().further[0].result.scalar("thrust_n").unwrap();
        let along = if sets.contains(&tilted) { 20.0_f64.to_radians().cos() } else { 1.0 };
        assert_relative_eq!(first_n + along * port_n, 9.0, max_relative = 1e-6);
        assert!(found.residual(&result).unwrap().abs() < 1e-6);
        if !sets.contains(&tilted) {
            // Mirror images bear the same.
            assert_relative_eq!(first_n, port_n, max_relative = 1e-9);
        }
    }
}

/// Shafts at angles to each other: forces along and square to the path by vectors, whichever propeller is the first.
#[test]
fn unlike_shafts_meet_drag_and_weight() {
    let airframe = ["airframe.mass_kg=14", "airframe.drag_area_m2=0.06", "trim.level=true", "trim.drag=true"];
    let tilted = |of: &str, deg: f64| format!("{of}.tilt_deg={deg}");
    let mut speeds = Vec::new();
    for (first, further) in [(3.0, 17.0), (17.0, 3.0)] {
        let tilts = [tilted("placement", first), tilted("further_propeller.port", further)];
        let sets: Vec<&str> = airframe.into_iter().chain(tilts.iter().map(String::as_str)).collect();
        let found = trimmed(&starter("nacelle-pusher", &sets)).unwrap();
        let result = crate::point::solve(&found.point).unwrap();
        let port = &result.airframe.as_ref().unwrap().further[0].result;
        let thrusts_n = [&result, port].map(|one| one.scalar("thrust_n").unwrap());
        let part = |of: fn(f64) -> f64| {
            let angle = |tilt_deg: f64| found.point.flight.angle_of_attack_rad + tilt_deg.to_radians();
            thrusts_n[0] * of(angle(first)) + thrusts_n[1] * of(angle(further))
        };
        assert_relative_eq!(part(f64::cos), found.drag_n.unwrap(), max_relative = 2e-6);
        let lift_n = found.forces.unwrap().lift_n + part(f64::sin);
        assert_relative_eq!(lift_n, 14.0 * GRAVITY_M_S2, max_relative = 2e-7);
        speeds.push(found.point.propeller.speed_rad_s);
    }
    assert_relative_eq!(speeds[0], speeds[1], max_relative = 1e-5);
}

/// Cost: a rough search and two or three full solutions.
#[test]
fn a_trim_costs_few_solutions() {
    for sets in [&["trim.thrust_n=2.0"][..], &["trim.thrust_n=5.0", "trim.by=\"pitch_offset_deg\""], &LEVEL] {
        let found = trimmed(&survey(sets)).unwrap();
        assert!(found.solves.0 <= 8 && found.solves.1 <= 4, "{sets:?}: {:?}", found.solves);
    }
}

#[test]
fn level_flight_balances_weight_and_drag() {
    let case = survey(&[&LEVEL[..], &["placement.tilt_deg=3"]].concat());
    let found = trimmed(&case).unwrap();
    let result = solve_once(&found.point).unwrap();
    let forces = found.forces.unwrap();
    let (angle, thrust_n) = (found.point.flight.angle_of_attack_rad, result.scalar("thrust_n").unwrap());
    // Thrust points 3 deg above the x axis, the path an angle of attack below it.
    let up = angle + 3.0_f64.to_radians();
    assert_relative_eq!(forces.lift_n + thrust_n * up.sin(), 1.8 * GRAVITY_M_S2, max_relative = 2e-7);
    assert_relative_eq!(thrust_n * up.cos(), found.drag_n.unwrap(), max_relative = 1e-6);
}

/// Slow flight comes with a high angle of attack.
#[test]
fn slower_is_steeper() {
    let at = |speed: &str| trimmed(&survey(&[&LEVEL[..], &[speed]].concat())).unwrap();
    let (slow, fast) = (at("flight.airspeed_m_s=12"), at("flight.airspeed_m_s=20"));
    assert!(slow.point.flight.angle_of_attack_rad > fast.point.flight.angle_of_attack_rad + 0.08);
    assert!(slow.point.propeller.speed_rad_s < fast.point.propeller.speed_rad_s);
}

/// Prandtl's elliptic wing: C_Di = C_L²/(πA); a tapered wing lies a few per cent above it.
#[test]
fn val_induced_drag_of_the_airframe_is_that_of_a_wing() {
    let case = survey(&["airframe.mass_kg=1.8", "trim.level=true"]);
    let mut point = case.point.clone();
    point.surfaces[0].section.drag_rise = 0.0;
    point.surfaces[0].dihedral_rad = 0.0;
    let model = AirframeModel::new(&point);
    let forces = model.forces(0.08).unwrap();
    let area_m2 = area_from_above_m2(&point.surfaces);
    assert_relative_eq!(area_m2, 1.4 * 0.165, max_relative = 1e-12);
    let head_n = model.dynamic_pressure_pa() * area_m2;
    let lift = forces.lift_n / head_n;
    let elliptic = lift * lift / (std::f64::consts::PI * 1.4 * 1.4 / area_m2);
    let ratio = forces.drag_of_lift_n / head_n / elliptic;
    assert!((1.0..1.06).contains(&ratio), "{ratio}");
}

/// The lift slope of the whole aircraft, by hand.
#[test]
fn a_given_lift_slope_replaces_the_lifting_lines() {
    let case = survey(&[
        "airframe.mass_kg=1.8",
        "airframe.reference_area_m2=0.23",
        "airframe.lift_slope_per_rad=4.5",
        "airframe.zero_lift_deg=-2",
        "trim.level=true",
    ]);
    let found = trimmed(&case).unwrap();
    let density = standard_air(300.0, 0.0).density_kg_m3;
    let lift = 1.8 * GRAVITY_M_S2 / (0.5 * density * 16.0 * 16.0 * 0.23);
    let by_hand = lift / 4.5 - 2.0_f64.to_radians();
    assert_relative_eq!(found.point.flight.angle_of_attack_rad, by_hand, max_relative = 1e-9);
}

#[test]
fn limits_are_named() {
    let limit = |sets: &[&str]| trimmed(&survey(sets)).unwrap_err();
    let error = limit(&[&LEVEL[..], &["flight.airspeed_m_s=8"]].concat());
    let TrimError::Stall { airspeed_m_s, .. } = error else { panic!("{error}") };
    // At that airspeed it flies, a little below it does not.
    let near = |factor: f64| {
        let speed = format!("flight.airspeed_m_s={}", airspeed_m_s * factor);
        trimmed(&survey(&[&LEVEL[..], &[&speed]].concat()))
    };
    assert!(near(1.02).is_ok());
    assert!(matches!(near(0.97), Err(TrimError::Stall { .. })));
    let error = limit(&["trim.thrust_n=9", "trim.speed_max_rpm=9000"]);
    assert_eq!(error.limit(), "greatest shaft speed", "{error}");
    let error = limit(&["trim.thrust_n=2000"]);
    assert_eq!(error.limit(), "tip Mach number 1", "{error}");
    let error = limit(&["trim.thrust_n=3", "trim.power_max_w=20"]);
    assert_eq!(error.limit(), "power", "{error}");
    let error = limit(&["trim.thrust_n=60", "trim.by=\"pitch_offset_deg\""]);
    assert_eq!(error.limit(), "greatest pitch offset", "{error}");
    let error = limit(&["airframe.mass_kg=0.01", "trim.level=true", "surface.wing.zero_lift_deg=-20"]);
    assert_eq!(error.limit(), "lift", "{error}");
}

/// Blade count times chord stays, and says so.
#[test]
fn equal_solidity_shrinks_the_chords() {
    let solid = ["trim.more_blades=\"equal_solidity\"", "trim.solidity_blade_count=2"];
    let two = survey(&solid);
    let four = survey(&[&solid[..], &["propeller.blade_count=4"]].concat());
    let chord = |case: &Case| case.point.propeller.blade.rows[3].chord_ratio;
    assert_eq!(chord(&two), chord(&survey(&[])));
    assert_eq!(chord(&four), 0.5 * chord(&two));
    assert_eq!(trimmed(&four).unwrap().chord_factor, 0.5);
}

/// The answer does not depend on the first guess beyond what is left over.
#[test]
fn far_guesses_lead_to_the_same_speed() {
    let at = |guess: &str| {
        let found = trimmed(&survey(&["trim.thrust_n=2.5", guess])).unwrap();
        found.point.propeller.speed_rad_s
    };
    let near = at("propeller.speed_rpm=7000");
    for guess in ["propeller.speed_rpm=2500", "propeller.speed_rpm=20000"] {
        assert_relative_eq!(at(guess), near, max_relative = 1e-6);
    }
}

/// A case without [trim] is not told that it cannot be trimmed.
#[test]
fn a_point_without_an_answer_speaks_for_itself() {
    let reason = crate::point::PointError::DiskNotSettled { iterations: 400 };
    assert_eq!(TrimError::from(reason.clone()).to_string(), reason.to_string());
}

/// At rest thrust rises with pitch, then falls past the stall: from a first guess there the search looks over the whole range.
#[test]
fn a_first_guess_past_the_stall_is_led_back() {
    let sets = [
        "flight.airspeed_m_s=0",
        "propeller.blade_count=3",
        "propeller.pitch_offset_deg=15",
        "trim.by=pitch_offset_deg",
        "trim.thrust_n=9.7",
    ];
    let found = trimmed(&survey(&sets)).unwrap();
    let pitch_deg = found.point.propeller.pitch_offset_rad.to_degrees();
    assert!((0.0..5.0).contains(&pitch_deg), "{pitch_deg}");
    let thrust_n = solve_once(&found.point).unwrap().scalar("thrust_n").unwrap();
    assert!((thrust_n / 9.7 - 1.0).abs() < 1e-6);
    // More than the stall leaves is told as such.
    let more = trimmed(&survey(&[&sets[..4], &["trim.thrust_n=30"]].concat()));
    assert!(matches!(more, Err(TrimError::Thrust { .. })), "{more:?}");
}
