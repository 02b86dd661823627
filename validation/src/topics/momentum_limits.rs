//! Limits of propeller theory that the annular momentum balance must reach.

use std::f64::consts::PI;

use wakebeat_engine::induction::tip_loss::prandtl_factor;
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::PointResult;
use wakebeat_engine::point::{PointError, solve_once};

use crate::propellers::{least_loss_point, plain_point};
use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};

const DENSITY_KG_M3: f64 = 1.225;

/// λ = (J/π)(1 + w/2V) up to which Prandtl's factor is held to its stated error.
const MOST_LAMBDA: f64 = 0.3;

pub(super) fn checks() -> Vec<Check> {
    vec![
        Check::new("momentum_limits", "least loss", "Betz 1919: η = 1/(1 + w/2V)", betz),
        Check::new(
            "momentum_limits",
            "thrust of the optimum propeller",
            "Goldstein 1929, Kramer 1938, helical potential problem solved to 3e-4",
            goldstein,
        ),
        Check::new("momentum_limits", "Prandtl's factor", "Prandtl 1919, closed form", prandtl),
        Check::new("momentum_limits", "actuator disk", "Froude: η = 2/(1 + √(1 + C_Th))", actuator_disk),
        Check::new("momentum_limits", "at rest and windmilling", "Rankine, Froude", rest_to_windmill),
    ]
}

fn solved(
    mut point: OperatingPoint,
    fineness: Fineness,
) -> Result<(OperatingPoint, PointResult), PointError> {
    let (stations, azimuths) = (point.solver.stations, point.solver.azimuths);
    fineness.resolve(&mut point, stations, azimuths);
    let result = solve_once(&point)?;
    Ok((point, result))
}

fn scalar(result: &PointResult, name: &str) -> f64 {
    result.scalar(name).unwrap_or(f64::NAN)
}

/// C_Th = T/(½ρV²πR²).
fn thrust_loading(point: &OperatingPoint, result: &PointResult) -> f64 {
    let head = 0.5 * DENSITY_KG_M3 * point.flight.airspeed_m_s.powi(2);
    scalar(result, "thrust_n") / (head * PI * 0.25 * point.propeller.diameter_m.powi(2))
}

fn betz(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut rows = Vec::new();
    for blades in [2, 3, 4, 6] {
        let mut points = Vec::new();
        for advance_ratio in [0.3, 0.8] {
            for w in [0.1, 0.5, 1.0] {
                let (_, result) = solved(least_loss_point(blades, advance_ratio, w), fineness)?;
                points.push(Point::new(w, 1.0 / (1.0 + 0.5 * w), scalar(&result, "efficiency")));
            }
        }
        rows.push(
            Row::curve(format!("efficiency, {blades} blades, J 0.3 and 0.8"), "efficiency", "w/V", points)
                .within(Band::Relative(1e-5), "blade table between rows"),
        );
    }
    Ok(rows)
}

fn goldstein(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/rotor/ideal_efficiency.csv"))?;
    let mut rows: Vec<(usize, Row)> = Vec::new();
    // A curve for each advance ratio: λ and loading grow together along w alone.
    let mut last = f64::NAN;
    for row in table.rows() {
        let (blades, j, w) = (row.number("blades")?, row.number("J")?, row.number("w_over_V")?);
        let lambda = j / PI * (1.0 + 0.5 * w);
        let (point, result) = solved(least_loss_point(blades as usize, j, w), fineness)?;
        let compared = Point::new(lambda, row.number("CTh")?, thrust_loading(&point, &result));
        let compared = Point { judged: lambda <= MOST_LAMBDA, ..compared };
        let blades = blades as usize;
        match rows.iter_mut().find(|(of, _)| *of == blades) {
            Some((_, row)) => {
                if (j - last).abs() > 1e-9 {
                    row.breaks.push(row.points.len());
                }
                row.points.push(compared);
            }
            None => {
                let name = format!("C_Th, {blades} blades, λ to 0.3");
                let row = Row::curve(name, "C_Th", "wake pitch λ", vec![compared]);
                let band = if blades == 2 { 0.16 } else { 0.08 };
                rows.push((
                    blades,
                    row.within(Band::Relative(band), "what Prandtl's factor is known to exceed"),
                ));
            }
        }
        last = j;
    }
    Ok(rows.into_iter().map(|(_, row)| row).collect())
}

/// The engine's factor, blade reaching to the axis, against the closed form; the exact optimum stands beside it.
fn prandtl(_: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/rotor/goldstein_circulation.csv"))?;
    let mut points = Vec::new();
    for row in table.rows() {
        let (x, lambda) = (row.number("x")?, row.number("lambda")?);
        // Root factor: 1 for a blade that begins at the axis.
        let sine = lambda / x.hypot(lambda);
        let ours = prandtl_factor(row.number("blades")?, x, 1e-9, 1.0, sine);
        points.push(Point::new(x, row.number("prandtl_local")?, ours));
    }
    Ok(vec![
        Row::curve("tip factor, 2 to 6 blades, λ 0.05 to 1", "tip factor", "radius over tip radius", points)
            .within(Band::Absolute(2e-5), "digits of the table"),
    ])
}

/// Many blades, fast turning: swirl and tip loss vanish as λ².
fn actuator_disk(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let (point, result) = solved(least_loss_point(120, 0.05, 0.6), fineness)?;
    let disk = 2.0 / (1.0 + (1.0 + thrust_loading(&point, &result)).sqrt());
    let row =
        Row::single("efficiency, 120 blades, J 0.05", "efficiency", disk, scalar(&result, "efficiency"));
    Ok(vec![row.within(Band::Relative(4e-3), "hub of a tenth of the radius left out of the disk")])
}

fn rest_to_windmill(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut rows = Vec::new();
    for blades in [2, 4] {
        let mut point = plain_point(blades);
        point.flight.airspeed_m_s = 0.0;
        let (_, result) = solved(point, fineness)?;
        let ideal = scalar(&result, "thrust_n").powf(1.5) / (2.0 * DENSITY_KG_M3 * PI * 0.25).sqrt();
        let merit = ideal / scalar(&result, "power_w");
        let name = format!("ideal over real power at rest, {blades} blades");
        rows.push(
            Row::single(name, "figure of merit", 1.0, merit)
                .within(Band::Below, "no power is below the ideal"),
        );
    }
    let (mut last, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for step in 0..60 {
        let mut point = plain_point(3);
        point.flight.airspeed_m_s = 1.2 * f64::from(step);
        let thrust = scalar(&solved(point, fineness)?.1, "thrust_n");
        if last.is_finite() {
            most = most.max(thrust - last);
        }
        last = thrust;
    }
    rows.push(
        Row::single("steepest rise of thrust, 0 to 71 m/s", "rise of thrust", 0.0, most)
            .in_unit("N")
            .within(Band::Below, "thrust falls with advance ratio throughout"),
    );
    rows.push(
        Row::single("thrust at 71 m/s", "windmilling thrust", 0.0, last)
            .in_unit("N")
            .within(Band::Below, "well above the pitch speed the propeller brakes"),
    );
    Ok(rows)
}
