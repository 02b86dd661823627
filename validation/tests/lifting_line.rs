//! The lifting line against exact solutions of its equation and against lifting-surface theory.

// Helpers of tests, and the comparison with lifting-surface theory is printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use approx::assert_relative_eq;
use std::f64::consts::{PI, TAU};
use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::{AnalyticSection, Surface, SurfaceWake};
use wakebeat_engine::surface::lifting_line::{LiftingLine, Span, linear_lift};
use wakebeat_validation::reference::Table;

/// A small angle of attack, rad; the equations are linear in it.
const ANGLE_RAD: f64 = 0.01;

/// Plane wing of unit root chord, section slope 2π.
fn wing(aspect_ratio: f64, taper: f64, sweep_deg: f64) -> Surface {
    Surface {
        name: "wing".into(),
        root_leading_edge_m: Vec3::zeros(),
        mirror: true,
        span_m: 0.5 * aspect_ratio * (1.0 + taper),
        root_chord_m: 1.0,
        tip_chord_m: taper,
        sweep_rad: sweep_deg.to_radians(),
        dihedral_rad: 0.0,
        incidence_rad: 0.0,
        twist_rad: 0.0,
        thickness_ratio: 0.1,
        section: AnalyticSection {
            lift_slope_per_rad: TAU,
            zero_lift_rad: 0.0,
            drag_min: 0.01,
            drag_rise: 0.0,
            lift_at_drag_min: 0.0,
            lift_max: 1.5,
            lift_min: -1.5,
        },
        wake: SurfaceWake::None,
        flaps: Vec::new(),
        potential: false,
    }
}

fn stream() -> Vec3 {
    10.0 * Vec3::new(ANGLE_RAD.cos(), 0.0, ANGLE_RAD.sin())
}

fn solve(surface: &Surface, strips: usize) -> LiftingLine {
    LiftingLine::new(surface, &stream(), strips, linear_lift(&surface.section)).unwrap()
}

/// Lift slope per rad and the excess of induced drag over the elliptic load's.
fn slope_and_delta(line: &LiftingLine, aspect_ratio: f64) -> (f64, f64) {
    let lift = line.lift_coefficient;
    (lift / ANGLE_RAD, line.induced_drag_coefficient * PI * aspect_ratio / (lift * lift) - 1.0)
}

/// Prandtl 1918; Glauert, Elements of Aerofoil and Airscrew Theory, ch. XI: a = 2πA/(A + 2), no excess drag. The
/// strips represent this load exactly, so round-off is all that is left.
#[test]
fn val_elliptic_wing_is_exact_with_any_number_of_strips() {
    for (aspect_ratio, strips) in [(4.0, 6), (8.0, 20), (20.0, 60)] {
        let surface = wing(PI / 4.0 * aspect_ratio, 1.0, 0.0);
        let half_span = 0.5 * surface.span_m;
        let elliptic = |s: f64| (1.0 - (s / half_span).powi(2)).sqrt();
        let span = Span::new(&surface, strips).with_chord(elliptic);
        assert_relative_eq!(surface.span_m.powi(2) / span.area_m2, aspect_ratio, max_relative = 1e-12);
        let line =
            LiftingLine::on_span(span, &surface.section, &stream(), linear_lift(&surface.section)).unwrap();
        let (slope, delta) = slope_and_delta(&line, aspect_ratio);
        assert_relative_eq!(slope, TAU * aspect_ratio / (aspect_ratio + 2.0), max_relative = 1e-10);
        assert!(delta.abs() < 1e-10);
        // Every section at the same lift coefficient.
        let first = line.strips[0].lift_coefficient;
        assert!(line.strips.iter().all(|strip| (strip.lift_coefficient / first - 1.0).abs() < 1e-10));
    }
}

/// Glauert's series, 300 odd terms (slope within 2e-5, excess drag within 1e-5).
#[test]
fn val_rectangular_wings() {
    for row in Table::parse(include_str!("../data/wing/wing_rectangular.csv")).unwrap().rows() {
        let value = |column| row.number(column).unwrap();
        let aspect_ratio = value("aspect_ratio");
        let (slope, delta) = slope_and_delta(&solve(&wing(aspect_ratio, 1.0, 0.0), 80), aspect_ratio);
        // 80 strips are 40 odd terms: the series converges as the square of their number.
        assert_relative_eq!(slope, value("slope_rectangular"), max_relative = 1e-4);
        assert_relative_eq!(delta, value("delta"), epsilon = 2e-4);
    }
}

/// The same series along the half span (within 1e-4).
#[test]
fn val_rectangular_wing_loading() {
    let strips = 400;
    let line = solve(&wing(6.0, 1.0, 0.0), strips);
    let starboard = &line.strips[strips / 2..];
    let table = Table::parse(include_str!("../data/wing/wing_rectangular_loading_A6.csv")).unwrap();
    for row in table.rows() {
        let at = row.number("y_over_semispan").unwrap() * 3.0;
        let outer = starboard.iter().position(|strip| strip.s_m >= at).unwrap().max(1);
        let (left, right) = (&starboard[outer - 1], &starboard[outer]);
        let share = (at - left.s_m) / (right.s_m - left.s_m);
        let lift = left.lift_coefficient + share * (right.lift_coefficient - left.lift_coefficient);
        // The straight line between strips sets the tolerance, at the station nearest to the tip.
        assert_relative_eq!(lift / ANGLE_RAD, row.number("cl_alpha_local").unwrap(), epsilon = 5e-4);
    }
}

/// The same series for straight-tapered wings (within 1e-4, pointed tips 1e-3).
#[test]
fn val_tapered_wings() {
    for row in Table::parse(include_str!("../data/wing/wing_tapered.csv")).unwrap().rows() {
        let value = |column| row.number(column).unwrap();
        let (aspect_ratio, taper) = (value("aspect_ratio"), value("taper"));
        let (slope, delta) = slope_and_delta(&solve(&wing(aspect_ratio, taper, 0.0), 80), aspect_ratio);
        let tolerance = if taper == 0.0 { 1e-3 } else { 2e-4 };
        assert_relative_eq!(slope, value("slope"), max_relative = tolerance);
        assert_relative_eq!(delta, value("delta"), epsilon = 5.0 * tolerance);
    }
}

/// Halving the strips' width divides the error of a tapered wing by at least four: the chord's kink at the root
/// limits the series to second order.
#[test]
fn val_order_of_convergence() {
    for taper in [0.4, 1.0] {
        let slope = |strips| solve(&wing(8.0, taper, 0.0), strips).lift_coefficient / ANGLE_RAD;
        let values = [20, 40, 80, 160].map(slope);
        let changes: Vec<f64> = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
        let orders: Vec<f64> = changes.windows(2).map(|pair| (pair[0] / pair[1]).log2()).collect();
        println!("taper {taper}: slope {values:?} order {orders:?}");
        assert!(orders.iter().all(|order| *order > 1.8), "{orders:?}");
    }
}

/// Lifting-surface theory (vortex lattice, slope within 0.002; 16 plane wings, sweep −15 to 45 deg). A lifting line
/// is not a lifting surface: it is high by what is printed. Held to its published limit (4 to 8 % for rectangular
/// wings of aspect ratio 10 to 6), and to the sweep trend by simple sweep theory.
#[test]
fn val_against_lifting_surface_theory() {
    for row in Table::parse(include_str!("../data/wing/wing_lattice_check.csv")).unwrap().rows() {
        let value = |column| row.number(column).unwrap();
        let (aspect_ratio, taper, sweep_deg) =
            (value("aspect_ratio"), value("taper"), value("sweep_quarter_deg"));
        let (slope, _) = slope_and_delta(&solve(&wing(aspect_ratio, taper, sweep_deg), 80), aspect_ratio);
        let excess = slope / value("slope") - 1.0;
        println!("A {aspect_ratio:4} taper {taper:3} sweep {sweep_deg:5}: {:+.1} %", 100.0 * excess);
        if aspect_ratio >= 6.0 {
            assert!(excess > 0.0 && excess < 0.08, "{aspect_ratio} {taper} {sweep_deg}: {excess}");
        }
    }
}
