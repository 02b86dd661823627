//! Lifting line: elliptic, rectangular and tapered wings, and how far it is from a lifting surface.

use std::f64::consts::{PI, TAU};

use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::Surface;
use wakebeat_engine::surface::lifting_line::{LiftingLine, Span, linear_lift};

use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};
use crate::thin_wing::thin_wing;

/// A small angle of attack, rad; the equations are linear in it.
pub const ANGLE_RAD: f64 = 0.01;

/// Lifting-line strips of the whole span.
const STRIPS: usize = 160;

/// Aspect ratio from which a lifting line is held to a lifting surface.
const LEAST_ASPECT_RATIO: f64 = 6.0;

pub(super) fn checks() -> Vec<Check> {
    vec![
        Check::new(
            "wings",
            "elliptic wing",
            "Prandtl 1918; Glauert, Elements, ch. XI: a = 2πA/(A + 2)",
            elliptic,
        ),
        Check::new("wings", "rectangular wings", "Glauert's series, 300 odd terms, to 2e-5", rectangular),
        Check::new("wings", "tapered wings", "Glauert's series, to 1e-4", tapered),
        Check::new("wings", "lifting surfaces", "vortex lattice, slope to 0.002, 16 plane wings", lattice),
    ]
}

/// A plane wing of unit root chord by aspect ratio, taper and quarter-chord sweep.
#[must_use]
pub fn plane_wing(aspect_ratio: f64, taper: f64, sweep_deg: f64) -> Surface {
    Surface { sweep_rad: sweep_deg.to_radians(), ..thin_wing(0.5 * aspect_ratio * (1.0 + taper), taper) }
}

/// The lifting line of a wing at [`ANGLE_RAD`].
///
/// # Errors
/// [`CheckError::Refused`] where no circulation is found.
pub fn line(surface: &Surface, strips: usize) -> Result<LiftingLine, CheckError> {
    LiftingLine::new(surface, &stream(), strips, linear_lift(&surface.section)).map_err(CheckError::refused)
}

fn stream() -> Vec3 {
    10.0 * Vec3::new(ANGLE_RAD.cos(), 0.0, ANGLE_RAD.sin())
}

/// Lift slope per rad and the excess of induced drag over the elliptic load's.
fn slope_and_delta(line: &LiftingLine, aspect_ratio: f64) -> (f64, f64) {
    let lift = line.lift_coefficient;
    (lift / ANGLE_RAD, line.induced_drag_coefficient * PI * aspect_ratio / (lift * lift) - 1.0)
}

const ALONG: &str = "aspect ratio A";

fn elliptic(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let (mut slope, mut delta) = (Vec::new(), Vec::new());
    for (aspect_ratio, strips) in [(4.0, 6), (8.0, 20), (20.0, 60)] {
        let surface = plane_wing(PI / 4.0 * aspect_ratio, 1.0, 0.0);
        let half_span = 0.5 * surface.span_m;
        let span = Span::new(&surface, fineness.0 * strips)
            .with_chord(|s: f64| (1.0 - (s / half_span).powi(2)).sqrt());
        let line = LiftingLine::on_span(span, &surface.section, &stream(), linear_lift(&surface.section))
            .map_err(CheckError::refused)?;
        let ours = slope_and_delta(&line, aspect_ratio);
        slope.push(Point::new(aspect_ratio, TAU * aspect_ratio / (aspect_ratio + 2.0), ours.0));
        delta.push(Point::new(aspect_ratio, 0.0, ours.1));
    }
    let exact = "round-off: the strips hold this load exactly";
    Ok(vec![
        Row::curve("lift slope", "slope", ALONG, slope).in_unit("1/rad").within(Band::Relative(1e-10), exact),
        Row::curve("excess of induced drag", "induced drag", ALONG, delta)
            .within(Band::Absolute(1e-10), exact),
    ])
}

fn rectangular(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let (mut slope, mut delta) = (Vec::new(), Vec::new());
    for row in Table::parse(include_str!("../../data/wing/wing_rectangular.csv"))?.rows() {
        let aspect_ratio = row.number("aspect_ratio")?;
        let line = line(&plane_wing(aspect_ratio, 1.0, 0.0), fineness.0 * STRIPS)?;
        let ours = slope_and_delta(&line, aspect_ratio);
        slope.push(Point::new(aspect_ratio, row.number("slope_rectangular")?, ours.0));
        delta.push(Point::new(aspect_ratio, row.number("delta")?, ours.1));
    }
    let strips = "160 strips are 80 odd terms";
    Ok(vec![
        Row::curve("lift slope", "slope", ALONG, slope).in_unit("1/rad").within(Band::Relative(1e-4), strips),
        Row::curve("excess of induced drag", "induced drag", ALONG, delta)
            .within(Band::Absolute(2e-4), strips),
        loading(fineness)?,
    ])
}

/// Along the half span of a rectangular wing of aspect ratio 6.
fn loading(fineness: Fineness) -> Result<Row, CheckError> {
    let strips = 1200 * fineness.0;
    let line = line(&plane_wing(6.0, 1.0, 0.0), strips)?;
    let starboard = &line.strips[strips / 2..];
    let mut points = Vec::new();
    for row in Table::parse(include_str!("../../data/wing/wing_rectangular_loading_A6.csv"))?.rows() {
        let eta = row.number("y_over_semispan")?;
        let at = 3.0 * eta;
        let outer = starboard.iter().position(|strip| strip.s_m >= at).unwrap_or(starboard.len() - 1).max(1);
        let (left, right) = (&starboard[outer - 1], &starboard[outer]);
        let share = (at - left.s_m) / (right.s_m - left.s_m);
        let lift = left.lift_coefficient + share * (right.lift_coefficient - left.lift_coefficient);
        points.push(Point::new(eta, row.number("cl_alpha_local")?, lift / ANGLE_RAD));
    }
    Ok(Row::curve("local lift slope, A 6", "loading", "span station over semispan", points)
        .in_unit("1/rad")
        .within(Band::Absolute(5e-4), "straight line between strips, at the tip"))
}

fn tapered(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut rows = Vec::new();
    for pointed in [false, true] {
        let (mut slope, mut delta) = (Vec::new(), Vec::new());
        for row in Table::parse(include_str!("../../data/wing/wing_tapered.csv"))?.rows() {
            let (aspect_ratio, taper) = (row.number("aspect_ratio")?, row.number("taper")?);
            if (taper == 0.0) == pointed {
                let line = line(&plane_wing(aspect_ratio, taper, 0.0), fineness.0 * STRIPS)?;
                let ours = slope_and_delta(&line, aspect_ratio);
                slope.push(Point::new(aspect_ratio, row.number("slope")?, ours.0));
                delta.push(Point::new(aspect_ratio, row.number("delta")?, ours.1));
            }
        }
        let (tip, band) = if pointed { ("pointed", 1e-3) } else { ("cut", 2e-4) };
        let words = "160 strips, kink of the chord at the root";
        rows.push(
            Row::curve(format!("lift slope, {tip} tips"), "slope", ALONG, slope)
                .in_unit("1/rad")
                .within(Band::Relative(band), words),
        );
        rows.push(
            Row::curve(format!("excess of induced drag, {tip} tips"), "induced drag", ALONG, delta)
                .within(Band::Absolute(5.0 * band), words),
        );
    }
    Ok(rows)
}

/// A lifting line is high by a published 4 to 8 % at aspect ratios 10 to 6; lower ones are drawn.
fn lattice(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let mut points = Vec::new();
    for row in Table::parse(include_str!("../../data/wing/wing_lattice_check.csv"))?.rows() {
        let aspect_ratio = row.number("aspect_ratio")?;
        let wing = plane_wing(aspect_ratio, row.number("taper")?, row.number("sweep_quarter_deg")?);
        let (slope, _) = slope_and_delta(&line(&wing, fineness.0 * STRIPS)?, aspect_ratio);
        let point = Point::new(aspect_ratio, row.number("slope")?, slope);
        points.push(Point { judged: aspect_ratio >= LEAST_ASPECT_RATIO, ..point });
    }
    Ok(vec![
        Row::curve("lift slope, A from 6", "slope", ALONG, points)
            .in_unit("1/rad")
            .within(Band::Relative(0.08), "a lifting line is high by 4 to 8 % there"),
    ])
}
