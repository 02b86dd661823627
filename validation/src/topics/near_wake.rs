//! Near wake of a section, as the blades meet it behind a wing, against a measured one.
//!
//! A disk much larger than the wake is thick stands behind a long wing of unit chord at zero incidence. Beside the hub the
//! blades cut the wake square, so that the axial inflow over azimuth is the profile: δ = 1 − u/u without the wake.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::{OperatingPoint, SurfaceWake};
use wakebeat_engine::point::result::DiskField;
use wakebeat_engine::point::solve_once;

use crate::propellers::plain_point;
use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};
use crate::thin_wing::thin_wing;

const NAKAYAMA: &str = "Nakayama, J. Fluid Mech. 160 (1985), 10 % section at zero incidence, Re 1.2e6";
const NACA_651: &str = "Silverstein, Katzoff, Bullivant, NACA Report 651 (1939), evaluated independently";

/// Section drag, from the momentum thickness at the last three stations.
const DRAG: f64 = 0.01048;

/// Thickness of the section over chord.
const THICKNESS: f64 = 0.10;

/// Nearest station at which the profile counts, chords; nearer it is a pair of boundary layers.
const NEAREST: f64 = 0.05;

pub(super) fn checks() -> Vec<Check> {
    vec![
        Check::new("near_wake", "momentum wake, 7 stations", NAKAYAMA, momentum_rows),
        Check::new("near_wake", "naca651 wake, 7 stations", NACA_651, correlation_rows),
    ]
}

/// A profile across the wake: distance from its middle over chord, deficit over edge speed; and the edge speed over V.
struct Profile {
    nodes: Vec<(f64, f64)>,
    edge_speed_ratio: f64,
}

fn momentum_rows(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let (mut peak, mut width, mut drag, mut edge) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    for row in measured()?.rows() {
        let aft = row.number("xi")?;
        let ours = profile(aft, SurfaceWake::Momentum, fineness)?;
        let point = |column: &str, ours: f64| {
            Ok::<_, CheckError>(Point {
                judged: aft >= NEAREST,
                ..Point::new(aft, row.number(column)?, ours)
            })
        };
        peak.push(point("u_deficit_max", ours.peak())?);
        width.push(point("u_halfdepth_halfwidth_meas", ours.half_width())?);
        drag.push(point("cd_squire_young", ours.squire_young_drag())?);
        edge.push(point("edge_speed", ours.edge_speed_ratio)?);
    }
    let near = |points: &[Point]| split(points, |aft| aft <= 0.5);
    let far = |points: &[Point]| split(points, |aft| aft > 0.5);
    let within_drag = |points: &[Point]| split(points, |aft| aft < 0.4);
    let beyond_drag = |points: &[Point]| split(points, |aft| aft >= 0.4);
    let row = |name: &'static str, symbol, points, band, set_by: &'static str| {
        Row::curve(name, symbol, "distance behind the edge, chords", points)
            .within(Band::Relative(band), set_by)
    };
    let generators = "wakes of different generators differ by 10 to 15 %";
    Ok(vec![
        row(
            "peak deficit, 0.05 to 0.5 chord",
            "peak deficit",
            near(&peak),
            0.12,
            "measurement 3 %, equations",
        ),
        row("peak deficit, beyond 0.5 chord", "peak deficit", far(&peak), 0.25, generators),
        row("half width, 0.05 to 0.5 chord", "half width", near(&width), 0.20, "measurement 3 %, Gaussian"),
        row("half width, beyond 0.5 chord", "half width", far(&width), 0.25, generators),
        row("drag, to 0.4 chord", "drag", within_drag(&drag), 0.10, "pressure across the wake"),
        row("drag, from 0.4 chord", "drag", beyond_drag(&drag), 0.06, "integration of profiles 3 %"),
        row("edge speed", "edge speed", edge, 0.015, "displacement of the wake, 1 % of V"),
    ])
}

/// The points of one range; those beside it are drawn with the other row.
fn split(points: &[Point], range: fn(f64) -> bool) -> Vec<Point> {
    points.iter().filter(|p| range(p.at)).copied().collect()
}

/// The correlation as published: what it gives, not what was measured.
fn correlation_rows(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let (mut loss, mut width) = (Vec::new(), Vec::new());
    for row in measured()?.rows() {
        let aft = row.number("xi")?;
        let ours = profile(aft, SurfaceWake::Naca651, fineness)?;
        loss.push(Point::new(aft, row.number("dq_max_corr")?, 1.0 - (1.0 - ours.peak()).powi(2)));
        width.push(Point::new(aft, row.number("dq_halfdepth_halfwidth_corr")?, ours.head_half_width()));
    }
    let row = |name: &'static str, symbol, points| {
        Row::curve(name, symbol, "distance behind the edge, chords", points)
            .within(Band::Relative(0.005), "digits of the tables, azimuth grid")
    };
    Ok(vec![
        row("greatest loss of dynamic pressure", "loss", loss),
        row("half width of the loss", "half width", width),
    ])
}

fn measured() -> Result<Table, CheckError> {
    Ok(Table::parse(include_str!("../../data/wake/wake_correlation_vs_measured.csv"))?)
}

impl Profile {
    fn peak(&self) -> f64 {
        self.nodes.iter().map(|n| n.1).fold(0.0, f64::max)
    }

    /// Half of the width at half of the peak.
    fn half_width(&self) -> f64 {
        half_width(&self.nodes)
    }

    /// The same of the loss of dynamic pressure.
    fn head_half_width(&self) -> f64 {
        let loss: Vec<_> = self.nodes.iter().map(|(z, d)| (*z, 1.0 - (1.0 - d).powi(2))).collect();
        half_width(&loss)
    }

    /// c_d = (2θ/c)(U_e/V)^((H + 5)/2) from the profile's own thicknesses (R&M 1838, 1938).
    fn squire_young_drag(&self) -> f64 {
        let integral = |f: fn(f64) -> f64| -> f64 {
            self.nodes.windows(2).map(|p| 0.5 * (p[1].0 - p[0].0) * (f(p[0].1) + f(p[1].1))).sum()
        };
        let momentum = integral(|d| d * (1.0 - d));
        let shape_factor = integral(|d| d) / momentum;
        2.0 * momentum * self.edge_speed_ratio.powf(0.5 * (shape_factor + 5.0))
    }
}

fn half_width(nodes: &[(f64, f64)]) -> f64 {
    let half = 0.5 * nodes.iter().map(|n| n.1).fold(0.0, f64::max);
    let crossings: Vec<f64> = nodes
        .windows(2)
        .filter(|p| (p[0].1 < half) != (p[1].1 < half))
        .map(|p| p[0].0 + (half - p[0].1) / (p[1].1 - p[0].1) * (p[1].0 - p[0].0))
        .collect();
    match crossings.as_slice() {
        [first, .., last] => 0.5 * (last - first),
        _ => f64::NAN,
    }
}

/// The wake's edge in the measurement, over chord.
const EDGE: f64 = 0.035;

/// The profile a distance behind the trailing edge, as the blades meet it.
fn profile(aft: f64, wake: SurfaceWake, fineness: Fineness) -> Result<Profile, CheckError> {
    let with = solve_once(&behind_wing(aft, wake, fineness))?;
    let without = solve_once(&behind_wing(aft, SurfaceWake::None, fineness))?;
    // The outer half of the blade: the cut is square there, and no station lies at the tip.
    let station = with.radius_m.len() * 2 / 3;
    let radius = with.radius_m[station];
    let (u, edge) = (with.disk(DiskField::AxialInflow), without.disk(DiskField::AxialInflow));
    // From the top to the bottom of the disk, clockwise.
    let half_turn = with.azimuth_rad.len() / 2;
    let nodes: Vec<_> = (0..=half_turn)
        .map(|j| (-radius * with.azimuth_rad[j].cos(), 1.0 - u[[station, j]] / edge[[station, j]]))
        .collect();
    let at_edge = nodes.iter().position(|n| n.0 >= EDGE).unwrap_or(half_turn);
    let airspeed = behind_wing(aft, wake, fineness).flight.airspeed_m_s;
    Ok(Profile { nodes, edge_speed_ratio: edge[[station, at_edge]] / airspeed })
}

/// A disk of 1.2 chords behind the middle of a wing of 200 chords.
fn behind_wing(aft: f64, wake: SurfaceWake, fineness: Fineness) -> OperatingPoint {
    let mut wing = thin_wing(200.0, 1.0);
    wing.root_leading_edge_m = Vec3::new(-1.0, 0.0, 0.0);
    wing.thickness_ratio = THICKNESS;
    wing.section.drag_min = DRAG;
    wing.wake = wake;
    wing.potential = true;
    let mut point = plain_point(2);
    point.propeller.diameter_m = 1.2;
    point.placement.hub_m = Vec3::new(aft, 0.0, 0.0);
    point.surfaces = vec![wing];
    fineness.resolve(&mut point, 8, 4320);
    point
}
