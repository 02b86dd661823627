//! Normal force of a propeller at incidence: by blade angle, by blade count, and its growth with thrust.

use rayon::prelude::*;
use wakebeat_engine::point::input::{Induction, OperatingPoint, SectionLift};
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::point::solve_once;

use crate::propellers::plain_point;
use crate::reference::Table;
use crate::root::root;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};

const SOURCE: &str = "USAF Stability and Control handbook, fig. 4.6.1-25, after Ribner, NACA Report 819";

/// Blade counts of the chart, the one for reference first.
const COUNTS: [usize; 4] = [3, 2, 4, 6];

/// Blade angles at which blade counts are compared, degrees.
const RATIO_ANGLES_DEG: std::ops::RangeInclusive<f64> = 20.0..=45.0;

/// Angle at which the trend is set to one, degrees.
const REFERENCE_ANGLE_DEG: f64 = 30.0;

const INCIDENCE_RAD: f64 = 0.02;
const DISK_AREA_M2: f64 = std::f64::consts::PI * 0.25;
const DENSITY_KG_M3: f64 = 1.225;

pub(super) fn checks() -> Vec<Check> {
    vec![
        Check::new("normal_force", "no thrust, 28 values", SOURCE, by_blade_angle),
        Check::new("normal_force", "growth with thrust, 3 blades at 30°", SOURCE, by_thrust),
    ]
}

/// Slopes of one blade count by blade angle.
struct Slopes {
    blades: usize,
    /// Blade angle in degrees, handbook, ours.
    points: Vec<(f64, f64, f64)>,
}

impl Slopes {
    fn at(&self, angle_deg: f64) -> (f64, f64) {
        let found = self.points.iter().find(|p| p.0 == angle_deg);
        found.map_or((f64::NAN, f64::NAN), |p| (p.1, p.2))
    }
}

fn by_blade_angle(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/induction/propeller_normal_force_derivative.csv"))?;
    let mut asked = Vec::new();
    for row in table.rows().filter(|row| row.text("type").is_ok_and(|t| t == "single")) {
        let blades = row.number("blades")? as usize;
        asked.push((blades, row.number("blade_angle_deg")?, row.number("CN_alpha_per_rad")?));
    }
    let ours: Vec<f64> = asked
        .par_iter()
        .map(|(blades, angle, _)| slope(*blades, *angle, 0.0, fineness))
        .collect::<Result<_, _>>()?;
    let all: Vec<Slopes> = COUNTS
        .iter()
        .map(|blades| Slopes {
            blades: *blades,
            points: asked
                .iter()
                .zip(&ours)
                .filter(|((count, ..), _)| count == blades)
                .map(|((_, angle, published), ours)| (*angle, *published, *ours))
                .collect(),
        })
        .collect();
    let absolute = all.iter().map(absolute_row);
    let trend = all.iter().map(trend_row);
    let ratio = all[1..].iter().map(|more| ratio_row(more, &all[0]));
    Ok(absolute.chain(trend).chain(ratio).collect())
}

const ALONG: &str = "blade angle, deg";

fn absolute_row(slopes: &Slopes) -> Row {
    let points = slopes.points.iter().map(|(at, published, ours)| Point::new(*at, *published, *ours));
    Row::curve(format!("CN_α, {} blades", slopes.blades), "CN_α", ALONG, points.collect())
        .in_unit("1/rad")
        .within(Band::Relative(0.30), "blade known by its side-area factor only")
}

fn trend_row(slopes: &Slopes) -> Row {
    let (published, ours) = slopes.at(REFERENCE_ANGLE_DEG);
    let points = slopes
        .points
        .iter()
        .filter(|p| p.0 != REFERENCE_ANGLE_DEG)
        .map(|p| Point::new(p.0, p.1 / published, p.2 / ours));
    let name = format!("CN_α over that at 30°, {} blades", slopes.blades);
    Row::curve(name, "trend", ALONG, points.collect())
        .within(Band::Relative(0.10), "chart reading 3 %, theory against tests 10 %")
}

fn ratio_row(more: &Slopes, three: &Slopes) -> Row {
    let points =
        more.points.iter().filter(|p| RATIO_ANGLES_DEG.contains(&p.0)).map(|(at, published, ours)| {
            let (published_three, ours_three) = three.at(*at);
            Point::new(*at, published / published_three, ours / ours_three)
        });
    Row::curve(format!("CN_α, {} blades over 3", more.blades), "ratio", ALONG, points.collect())
        .within(Band::Relative(0.12), "chart reading 3 %, theory against tests 10 %")
}

fn by_thrust(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/induction/propeller_inflow_factor.csv"))?;
    let zero = slope(3, REFERENCE_ANGLE_DEG, 0.0, fineness)?;
    let mut points = Vec::new();
    for row in table.rows() {
        let (x, published) = (row.number("x")?, row.number("f_table")?);
        if x > 0.0 {
            let ours = slope(3, REFERENCE_ANGLE_DEG, row.number("Tc_disc")?, fineness)? / zero;
            points.push(Point::new(x, published, ours));
        }
    }
    // The chart's own closed form, f = 1 + (√(1 + Tc) − 1)/2 + Tc/(4(2 + Tc)), within 2 % of it, where it has no points.
    for loading in [0.25, 0.5, 1.0] {
        let published = 1.0 + 0.5 * (f64::sqrt(1.0 + loading) - 1.0) + loading / (4.0 * (2.0 + loading));
        let ours = slope(3, REFERENCE_ANGLE_DEG, loading, fineness)? / zero;
        points.push(Point::new(loading * std::f64::consts::PI / 8.0, published, ours));
    }
    points.sort_by(|a, b| a.at.total_cmp(&b.at));
    Ok(vec![
        Row::curve("thrust factor f", "thrust factor", "thrust loading T/(8qR²)", points)
            .within(Band::Relative(0.10), "chart reading 3 %, theory against tests 10 %"),
    ])
}

/// Slope of the normal force coefficient by incidence, on free-stream dynamic pressure and disk area, per rad.
fn slope(
    blades: usize,
    blade_angle_deg: f64,
    thrust_loading: f64,
    fineness: Fineness,
) -> Result<f64, CheckError> {
    let mut point = reference_propeller(blades, blade_angle_deg);
    fineness.resolve(&mut point, 24, 120);
    point.flight.angle_of_attack_rad = INCIDENCE_RAD;
    point.flight.airspeed_m_s = airspeed(&point, thrust_loading)
        .ok_or_else(|| CheckError::refused(format!("no airspeed gives T/(qA) {thrust_loading}")))?;
    let force = solve_once(&point)?.hub(HubLoad::VerticalForce).harmonics.amplitude[0];
    Ok(force / (0.5 * DENSITY_KG_M3 * point.flight.airspeed_m_s.powi(2) * DISK_AREA_M2 * INCIDENCE_RAD))
}

/// Constant chord of the handbook's side-area factor, 659 b/R = 80.7, constant pitch, thin section of slope 2π.
fn reference_propeller(blades: usize, blade_angle_deg: f64) -> OperatingPoint {
    let mut point = plain_point(blades);
    let pitch_over_radius = 0.75 * blade_angle_deg.to_radians().tan();
    for row in &mut point.propeller.blade.rows {
        row.chord_ratio = 80.7 / 659.0;
        row.twist_rad = (pitch_over_radius / row.radius_ratio).atan();
    }
    point.solver.induction = Induction::Dynamic;
    point.solver.section_lift = SectionLift::Unsteady;
    point.solver.tolerance = 1e-9;
    point.solver.harmonics = 2;
    point
}

/// Airspeed at which the thrust over free-stream dynamic pressure and disk area is what is asked.
fn airspeed(point: &OperatingPoint, loading: f64) -> Option<f64> {
    // About the speed at which the blade screws through without thrust: its pitch times revolutions.
    let row = &point.propeller.blade.rows[0];
    let screwing_m_s = 30.0 * std::f64::consts::TAU * 0.5 * row.radius_ratio * row.twist_rad.tan();
    // Heavy loading means slow flight; light loading need not be sought where annuli are hard to settle.
    let slowest = if loading > 1.0 { 0.05 } else { 0.3 };
    let mut point = point.clone();
    root([slowest * screwing_m_s, 1.2 * screwing_m_s], 1e-7, |speed| {
        point.flight.airspeed_m_s = speed;
        let thrust = solve_once(&point).ok()?.scalar("thrust_n")?;
        Some(thrust - loading * 0.5 * DENSITY_KG_M3 * speed * speed * DISK_AREA_M2)
    })
}
