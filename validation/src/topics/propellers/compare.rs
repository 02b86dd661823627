//! Rows of the measured propellers.

use std::f64::consts::TAU;

use wakebeat_engine::point::input::{Induction, OperatingPoint, SectionLift};
use wakebeat_engine::point::solve_once;

use super::blade::propeller;
use super::measured::{Condition, Sample, advancing, at_rest};
use super::sets::Set;
use crate::table::{Band, CheckError, Fineness, Point, Row};

/// Standard sea level; coefficients depend on it through the Reynolds number alone.
const DENSITY_KG_M3: f64 = 1.225;

/// Advance ratios that count: from here to this share of the one of zero thrust.
const LOWEST_ADVANCE_RATIO: f64 = 0.2;
const SHARE_OF_ZERO_THRUST: f64 = 0.85;

/// Thrust coefficients below this lie on the straight end of the curve, from which zero thrust is read.
const STRAIGHT_END: f64 = 0.035;

/// Blade-count ratios count from this shaft speed and up to this advance ratio.
const RATIOS_FROM_RPM: f64 = 2950.0;
const RATIOS_AT: [f64; 5] = [0.2, 0.3, 0.4, 0.5, 0.6];

/// A measured point with our coefficients; no number where the engine has no answer.
struct Compared {
    sample: Sample,
    thrust: f64,
    power: f64,
}

/// A curve of one shaft speed.
struct Curve {
    rpm: f64,
    points: Vec<Compared>,
}

/// Thrust or power: name, measured, ours.
struct Quantity {
    name: &'static str,
    measured: fn(&Sample) -> Option<f64>,
    ours: fn(&Compared) -> f64,
}

const THRUST: Quantity = Quantity { name: "CT", measured: |s| s.thrust, ours: |c| c.thrust };
const POWER: Quantity = Quantity { name: "CP", measured: |s| s.power, ours: |c| c.power };

/// Thrust and power of one blade count at all speeds, at rest, and the advance ratio of zero thrust.
pub(super) fn rows(set: &Set, blades: usize, fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let point = propeller(set, blades, fineness)?;
    let curves: Vec<Curve> = advancing(set, blades)?.iter().map(|c| compute(&point, c)).collect();
    let zeros: Vec<Option<[f64; 2]>> = curves.iter().map(zero_thrust).collect();
    // A speed that was not driven to zero thrust takes the place of it from the nearest that was.
    let zero_of = |i: usize| {
        let apart = |j: &usize| (curves[*j].rpm - curves[i].rpm).abs();
        let known = (0..curves.len()).filter(|j| zeros[*j].is_some());
        known.min_by(|a, b| apart(a).total_cmp(&apart(b))).and_then(|j| zeros[j])
    };
    let mut rows = Vec::new();
    for (i, curve) in curves.iter().enumerate() {
        let last = zero_of(i).map_or(f64::INFINITY, |zero| SHARE_OF_ZERO_THRUST * zero[0]);
        for (quantity, band) in [(THRUST, set.bands.thrust), (POWER, set.bands.power)] {
            let row = against_advance_ratio(curve, &quantity, last).within(band, set.bands.set_by);
            if row.judged().next().is_some() {
                rows.push(row);
            }
        }
        if let Some([measured, ours]) = zeros[i] {
            let row = Row::single(
                format!("J of zero thrust, {} rpm", curve.rpm),
                "J of zero thrust",
                measured,
                ours,
            );
            rows.push(row.within(Band::Absolute(0.03), "scanned twist 1° is 0.05"));
        }
    }
    rows.extend(rest_rows(set, blades, &point)?);
    Ok(rows)
}

fn against_advance_ratio(curve: &Curve, quantity: &Quantity, last: f64) -> Row {
    let points = curve.points.iter().filter_map(|c| {
        let published = (quantity.measured)(&c.sample)?;
        let at = c.sample.advance_ratio;
        let judged = (LOWEST_ADVANCE_RATIO..=last).contains(&at);
        Some(Point { at, published, ours: (quantity.ours)(c), judged })
    });
    let name = format!("{}, {} rpm", quantity.name, curve.rpm);
    Row::curve(name, quantity.name, "advance ratio J", points.collect())
}

fn rest_rows(set: &Set, blades: usize, point: &OperatingPoint) -> Result<Vec<Row>, CheckError> {
    let compared: Vec<Compared> = at_rest(set, blades)?.into_iter().map(|s| compare(point, s)).collect();
    let row = |name: &'static str, quantity: &Quantity| {
        let points = compared.iter().filter_map(|c| {
            Some(Point::new(c.sample.rpm, (quantity.measured)(&c.sample)?, (quantity.ours)(c)))
        });
        Row::curve(name, name, "shaft speed, rpm", points.collect())
    };
    if compared.is_empty() {
        return Ok(Vec::new());
    }
    Ok(vec![
        row("CT at rest", &THRUST).within(set.bands.thrust, set.bands.set_by),
        row("CP at rest", &POWER).within(set.bands.power, set.bands.set_by),
    ])
}

/// Thrust of more blades over that of two at equal advance ratio, at speeds measured with both.
pub(super) fn ratio_rows(set: &Set, fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut all = Vec::new();
    for blades in set.blades {
        let point = propeller(set, *blades, fineness)?;
        let conditions = advancing(set, *blades)?;
        let fast = conditions.iter().filter(|c| c.rpm >= RATIOS_FROM_RPM);
        all.push((*blades, fast.map(|c| compute(&point, c)).collect::<Vec<_>>()));
    }
    let mut rows = Vec::new();
    for (blades, curves) in &all[1..] {
        for curve in curves {
            let near = |other: &&Curve| (other.rpm / curve.rpm - 1.0).abs() < 0.02;
            let Some(two) = all[0].1.iter().find(near) else { continue };
            for quantity in [THRUST, POWER] {
                rows.extend(ratio_row(*blades, curve, two, &quantity));
            }
        }
    }
    Ok(rows)
}

fn ratio_row(blades: usize, more: &Curve, two: &Curve, quantity: &Quantity) -> Option<Row> {
    let measured = |c: &Compared| (quantity.measured)(&c.sample).unwrap_or(f64::NAN);
    let points: Vec<Point> = RATIOS_AT
        .iter()
        .filter_map(|j| {
            let published = more.at(*j, measured)? / two.at(*j, measured)?;
            Some(Point::new(*j, published, more.at(*j, quantity.ours)? / two.at(*j, quantity.ours)?))
        })
        .collect();
    let symbol = match (blades, quantity.name) {
        (3, "CT") => "CT(3)/CT(2)",
        (3, _) => "CP(3)/CP(2)",
        (_, "CT") => "CT(4)/CT(2)",
        _ => "CP(4)/CP(2)",
    };
    let row = Row::curve(format!("{symbol}, {} rpm", more.rpm), symbol, "advance ratio J", points);
    let row = row.within(Band::Relative(0.04), "one blade scanned for all, measurement 3 %");
    let compared = row.judged().next().is_some();
    compared.then_some(row)
}

impl Curve {
    /// A value at an advance ratio, straight between the neighbouring points.
    fn at(&self, advance_ratio: f64, value: impl Fn(&Compared) -> f64) -> Option<f64> {
        let j = |c: &Compared| c.sample.advance_ratio;
        let pair = self.points.windows(2).find(|p| j(&p[0]) <= advance_ratio && advance_ratio <= j(&p[1]))?;
        let step = j(&pair[1]) - j(&pair[0]);
        let share = if step > 0.0 { (advance_ratio - j(&pair[0])) / step } else { 0.0 };
        Some(value(&pair[0]) + share * (value(&pair[1]) - value(&pair[0])))
    }
}

/// Advance ratio of zero thrust, measured and ours, by a straight line of least squares through the end of the curve, read
/// alike from both. None where the curve ends too early.
fn zero_thrust(curve: &Curve) -> Option<[f64; 2]> {
    let end: Vec<(f64, f64, f64)> = curve
        .points
        .iter()
        .filter_map(|c| Some((c.sample.advance_ratio, c.sample.thrust?, c.thrust)))
        .filter(|(_, thrust, _)| *thrust < STRAIGHT_END)
        .collect();
    let lowest = end.iter().map(|p| p.1).fold(f64::INFINITY, f64::min);
    // Not further on than the line is long.
    if end.len() < 3 || lowest > 0.4 * STRAIGHT_END {
        return None;
    }
    let root = |thrust: fn(&(f64, f64, f64)) -> f64| {
        let n = end.len() as f64;
        let (mean_j, mean_t) =
            (end.iter().map(|p| p.0).sum::<f64>() / n, end.iter().map(thrust).sum::<f64>() / n);
        let slope = end.iter().map(|p| (p.0 - mean_j) * (thrust(p) - mean_t)).sum::<f64>()
            / end.iter().map(|p| (p.0 - mean_j).powi(2)).sum::<f64>();
        mean_j - mean_t / slope
    };
    Some([root(|p| p.1), root(|p| p.2)])
}

fn compute(point: &OperatingPoint, condition: &Condition) -> Curve {
    let points = condition.samples.iter().map(|sample| compare(point, *sample)).collect();
    Curve { rpm: condition.rpm, points }
}

fn compare(point: &OperatingPoint, sample: Sample) -> Compared {
    let turns = sample.rpm / 60.0;
    let mut point = point.clone();
    point.solver.induction = Induction::Dynamic;
    point.solver.section_lift = SectionLift::Unsteady;
    point.propeller.speed_rad_s = TAU * turns;
    point.flight.airspeed_m_s = sample.advance_ratio * turns * point.propeller.diameter_m;
    let unit = DENSITY_KG_M3 * turns * turns * point.propeller.diameter_m.powi(4);
    let result = solve_once(&point).ok();
    let scalar = |name: &str| result.as_ref().and_then(|r| r.scalar(name)).unwrap_or(f64::NAN);
    Compared {
        sample,
        thrust: scalar("thrust_n") / unit,
        power: TAU * scalar("torque_n_m") / (unit * point.propeller.diameter_m),
    }
}
