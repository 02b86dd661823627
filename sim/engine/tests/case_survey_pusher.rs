//! The figures the survey-pusher case states about itself, computed again from its data.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::f64::consts::PI;
use wakebeat_engine::case::{Case, Scenario, from_text, scenarios};
use wakebeat_engine::point::input::SectionSpec;

fn scenario() -> &'static Scenario {
    scenarios().iter().find(|scenario| scenario.name == "survey-pusher").unwrap()
}

fn case() -> Case {
    from_text("case.toml", scenario().case_text(), scenario(), &[]).unwrap()
}

/// Points of the section as listed: upper surface from the trailing edge, nose, lower surface.
fn contour() -> Vec<(f64, f64)> {
    let text = scenario().file("sda1075_coordinates.csv").unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    let pair = |row: &str| row.split_once(',').map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()));
    rows.map(|row| pair(row).unwrap()).collect()
}

/// Height of a surface at `x`, straight between points sorted by x, held beyond the ends.
fn height(surface: &[(f64, f64)], x: f64) -> f64 {
    let after = surface.partition_point(|point| point.0 < x).clamp(1, surface.len() - 1);
    let ((x0, y0), (x1, y1)) = (surface[after - 1], surface[after]);
    y0 + (y1 - y0) * ((x - x0) / (x1 - x0)).clamp(0.0, 1.0)
}

/// Zero-lift angle of thin-aerofoil theory, rad: α₀ = (2/π) ∫ tan(θ/2) dz over the mean line (H. Glauert,
/// The Elements of Aerofoil and Airscrew Theory, chapter VII).
fn zero_lift_rad(contour: &[(f64, f64)]) -> f64 {
    let nose = (0..contour.len()).min_by(|a, b| contour[*a].0.total_cmp(&contour[*b].0)).unwrap();
    let (nose_x, nose_y) = contour[nose];
    let chord = contour[0].0.min(contour[contour.len() - 1].0) - nose_x;
    let scaled = |p: &(f64, f64)| ((p.0 - nose_x) / chord, (p.1 - nose_y) / chord);
    let upper: Vec<_> = contour[..=nose].iter().rev().map(scaled).collect();
    let lower: Vec<_> = contour[nose..].iter().map(scaled).collect();
    let steps = 4000;
    let mean = |i: i32| {
        let x = 0.5 * (1.0 - (PI * f64::from(i) / f64::from(steps)).cos());
        0.5 * (height(&upper, x) + height(&lower, x))
    };
    let slice = |i: i32| (mean(i + 1) - mean(i)) * (0.5 * PI * (f64::from(i) + 0.5) / f64::from(steps)).tan();
    2.0 / PI * (0..steps).map(slice).sum::<f64>()
}

/// The method on a mean line with a known answer: a parabolic arc of crest h has α₀ = −2h.
#[test]
fn thin_aerofoil_integral_gives_the_parabolic_arc() {
    let (crest, count) = (0.02, 400);
    let arc = |i: i32| {
        let x = f64::from(i) / f64::from(count);
        (x, 4.0 * crest * x * (1.0 - x))
    };
    let contour: Vec<_> = (0..=count).rev().map(arc).chain((1..=count).map(arc)).collect();
    assert!((zero_lift_rad(&contour) + 2.0 * crest).abs() < 1e-4);
}

#[test]
fn zero_lift_angle_is_that_of_the_section_to_the_digits_given() {
    let computed_deg = zero_lift_rad(&contour()).to_degrees();
    let SectionSpec::Analytic(section) = &case().point.propeller.sections[0] else { panic!("not analytic") };
    // The case gives two decimals.
    assert!((section.zero_lift_rad.to_degrees() - computed_deg).abs() < 0.005, "{computed_deg}");
}

/// The table holds the source's digits and one constant thickness, that of the section.
#[test]
fn blade_thickness_is_that_of_the_section() {
    let contour = contour();
    let nose = (0..contour.len()).min_by(|a, b| contour[*a].0.total_cmp(&contour[*b].0)).unwrap();
    let upper: Vec<_> = contour[..=nose].iter().rev().copied().collect();
    let lower = &contour[nose..];
    let thickness = (1..1000).map(|i| {
        let x = f64::from(i) / 1000.0;
        height(&upper, x) - height(lower, x)
    });
    let thickest = thickness.fold(0.0, f64::max);
    for row in &case().point.propeller.blade.rows {
        assert!((row.thickness_ratio - thickest).abs() < 0.001, "{thickest}");
    }
}

/// What the comments of the case say: J = 0.6, gap a sixth of the root chord, hub 0.02 m above the edge.
#[test]
fn comments_of_the_case_hold() {
    let point = case().point;
    let advance = point.flight.airspeed_m_s * std::f64::consts::TAU
        / (point.propeller.speed_rad_s * point.propeller.diameter_m);
    assert!((advance - 0.6).abs() < 0.005, "{advance}");
    let chord = point.surfaces[0].root_chord_m;
    assert!(((point.placement.hub_m.x - chord) / chord - 1.0 / 6.0).abs() < 1e-12);
    assert!((point.placement.hub_m.z - 0.02).abs() < 1e-12);
    assert_eq!(point.propeller.blade_count, 2);
}

/// The fuselage's drag by the sum of SOURCE.md, and its tail where the comments put it.
#[test]
fn fuselage_has_the_drag_and_the_place_stated() {
    let point = case().point;
    let body = &point.bodies[0];
    let (l, r) = (body.length_m, 0.5 * body.diameter_m);
    let cylinder = l - body.diameter_m - body.closing_length_m;
    // Half an ellipse, a rectangle and a parabola of girth.
    let surface = 2.0 * PI * r * (0.25 * PI * body.diameter_m + cylinder + 2.0 / 3.0 * body.closing_length_m);
    let air = wakebeat_engine::air::standard_air(point.flight.altitude_m, 0.0);
    let reynolds = point.flight.airspeed_m_s * l * air.density_kg_m3 / air.viscosity_pa_s;
    let friction = 0.072 * reynolds.powf(-0.2) * surface / (PI * r * r);
    let fineness = body.diameter_m / l;
    let form = 1.0 + 1.5 * fineness.powf(1.5) + 7.0 * fineness.powi(3);
    // The case gives two decimals.
    assert!((friction * form - body.drag_coefficient).abs() < 0.005, "{}", friction * form);
    assert!((point.placement.hub_m.x - body.nose_m.x - l - 0.015).abs() < 1e-12);
    assert!((point.placement.hub_m.z - body.nose_m.z).abs() < 1e-12);
}
