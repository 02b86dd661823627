//! Facts of the trade, as trends on the survey aircraft.
//!
//! Common practice: what people who fly pushers say, with no source that could be cited. Each value is held to lie on the right
//! side of its neighbour. Where the engine contradicts a fact, the list of known failures says where and why.

use wakebeat_engine::case::{self, scenarios};
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::{HubLoad, PointResult};
use wakebeat_engine::point::{PointError, solve_once};

use crate::root::root;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};

const SOURCE: &str = "common practice, no source";

pub(super) fn checks() -> Vec<Check> {
    let check = |set: &'static str, compute: fn(Fineness) -> Result<Vec<Row>, CheckError>| {
        Check::new("trade_facts", set, SOURCE, compute)
    };
    vec![
        check("ripple grows with angle of attack", angle_of_attack),
        check("ripple follows shaft speed", shaft_speed),
        check("ripple falls as the shaft leaves the wake", shaft_offset),
        check("an odd blade count ripples less in thrust", odd_counts),
        check("each added blade costs efficiency", efficiency),
    ]
}

/// The survey aircraft with some keys changed.
fn aircraft(sets: &[String], fineness: Fineness) -> Result<OperatingPoint, CheckError> {
    let name = "survey-pusher";
    let found = scenarios().iter().find(|s| s.name == name);
    let scenario = found.ok_or_else(|| CheckError::refused(format!("no starter case {name}")))?;
    let case = case::from_text(name, scenario.case_text(), scenario, sets).map_err(CheckError::refused)?;
    let mut point = case.point;
    let (stations, azimuths) = (point.solver.stations, point.solver.azimuths);
    fineness.resolve(&mut point, stations, azimuths);
    Ok(point)
}

/// The answer with one key changed.
fn flown(key: &str, value: f64, fineness: Fineness) -> Result<PointResult, CheckError> {
    Ok(solve_once(&aircraft(&[format!("{key}={value}")], fineness)?)?)
}

/// Peak to peak of thrust over a revolution, N.
fn peak_to_peak(result: &PointResult) -> f64 {
    let history = &result.hub(HubLoad::Thrust).history;
    let fold = |start: f64, pick: fn(f64, f64) -> f64| history.iter().copied().fold(start, pick);
    fold(f64::NEG_INFINITY, f64::max) - fold(f64::INFINITY, f64::min)
}

/// Each value against the one before it.
fn steps(at: &[f64], values: &[f64]) -> Vec<Point> {
    at.windows(2).zip(values.windows(2)).map(|(at, v)| Point::new(at[1], v[0], v[1])).collect()
}

/// Heights of the shaft above the trailing edge, to two thirds of the tip radius; further out the tips run along the wake.
const OFFSETS_M: [f64; 5] = [0.0, 0.02, 0.04, 0.06, 0.08];

const RIPPLE: &str = "thrust, peak to peak, against the value before";

fn angle_of_attack(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let angles = [0.0, 2.0, 4.0, 6.0, 8.0];
    let ripple = angles
        .iter()
        .map(|angle| Ok(peak_to_peak(&flown("flight.angle_of_attack_deg", *angle, fineness)?)))
        .collect::<Result<Vec<_>, CheckError>>()?;
    Ok(vec![
        Row::curve(RIPPLE, "thrust, peak to peak", "angle of attack, deg", steps(&angles, &ripple))
            .in_unit("N")
            .within(Band::Above, "trend"),
    ])
}

fn shaft_speed(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut points = Vec::new();
    for rpm in [5000.0, 6000.0, 7000.0, 8000.0] {
        let result = flown("propeller.speed_rpm", rpm, fineness)?;
        let sizes = &result.hub(HubLoad::Thrust).harmonics.amplitude;
        let largest = (1..sizes.len()).max_by(|a, b| sizes[*a].total_cmp(&sizes[*b])).unwrap_or(0);
        points.push(Point::new(rpm, 2.0 * rpm / 60.0, largest as f64 * rpm / 60.0));
    }
    Ok(vec![
        Row::curve(
            "frequency of the largest thrust harmonic, 2 blades",
            "frequency",
            "shaft speed, rpm",
            points,
        )
        .in_unit("Hz")
        .within(Band::Relative(1e-12), "blade count times revolutions"),
    ])
}

fn shaft_offset(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut rows = Vec::new();
    for (name, fuselage, fields) in [
        ("whole aircraft", true, true),
        ("without fuselage", false, true),
        ("viscous wake of the wing alone", false, false),
    ] {
        let mut ripple = Vec::new();
        for offset in OFFSETS_M {
            let mut point = aircraft(&[format!("placement.shaft_offset_m={offset}")], fineness)?;
            if !fuselage {
                point.bodies.clear();
            }
            for surface in &mut point.surfaces {
                surface.potential = fields;
            }
            ripple.push(peak_to_peak(&solve_once(&point)?));
        }
        rows.push(
            Row::curve(
                format!("{RIPPLE}, {name}"),
                "thrust, peak to peak",
                "shaft offset, m",
                steps(&OFFSETS_M, &ripple),
            )
            .in_unit("N")
            .within(Band::Below, "trend"),
        );
    }
    Ok(rows)
}

/// Amplitude of NP thrust by blade count with the shaft in the plane of the trailing edge.
fn odd_counts(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut ripple = Vec::new();
    for blades in 2..=6 {
        let sets = ["placement.shaft_offset_m=0".to_owned(), format!("propeller.blade_count={blades}")];
        ripple.push(peak_to_peak(&solve_once(&aircraft(&sets, fineness)?)?));
    }
    let at = |blades: usize| ripple[blades - 2];
    let rows = [3, 5].map(|odd| {
        let points = [odd - 1, odd + 1].map(|even| Point::new(even as f64, at(even), at(odd)));
        Row::curve(
            format!("thrust, peak to peak, {odd} blades"),
            "thrust, peak to peak",
            "blades",
            points.into(),
        )
        .in_unit("N")
        .within(Band::Below, "trend")
    });
    Ok(rows.into())
}

/// Efficiency by blade count, all at the thrust of the case with two blades, by shaft speed.
fn efficiency(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let counts = [2.0, 3.0, 4.0, 5.0, 6.0];
    let thrust = solve_once(&aircraft(&[], fineness)?)?.scalar("thrust_n").unwrap_or(f64::NAN);
    let mut values = Vec::new();
    for blades in counts {
        let point = aircraft(&[format!("propeller.blade_count={blades}")], fineness)?;
        values.push(efficiency_at(&point, thrust)?);
    }
    Ok(vec![
        Row::curve(
            "efficiency at equal thrust, against a blade less",
            "efficiency",
            "blades",
            steps(&counts, &values),
        )
        .within(Band::Below, "trend"),
    ])
}

fn efficiency_at(point: &OperatingPoint, thrust_n: f64) -> Result<f64, CheckError> {
    let turned = |speed_rad_s: f64| -> Result<PointResult, PointError> {
        let mut point = point.clone();
        point.propeller.speed_rad_s = speed_rad_s;
        solve_once(&point)
    };
    let nominal = point.propeller.speed_rad_s;
    let found = root([0.7 * nominal, 1.05 * nominal], 1e-6, |speed| {
        Some(turned(speed).ok()?.scalar("thrust_n")? - thrust_n)
    });
    let speed = found.ok_or_else(|| CheckError::refused("no shaft speed gives the thrust"))?;
    Ok(turned(speed)?.scalar("efficiency").unwrap_or(f64::NAN))
}
