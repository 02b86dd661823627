//! Handbook polars from outlines against exact theory and published section data.

// Helpers of tests, and the comparison is printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::f64::consts::{PI, TAU};
use wakebeat_engine::section::analytic_coefficients;
use wakebeat_engine::section::shape::{
    SectionShape, form_factor, handbook_section, inviscid_lift_slope, laminar_friction, lift_slope,
    profile_drag, section_friction, turbulent_friction,
};
use wakebeat_validation::reference::{Row, Table};

/// Half thickness of the four-digit form with a blunt or a closed edge (Jacobs, Ward, Pinkerton, NACA Report
/// 460).
fn half_thickness(thickness: f64, closed: bool, x: f64) -> f64 {
    let last = if closed { 0.1036 } else { 0.1015 };
    5.0 * thickness * (0.2969 * x.sqrt() - 0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - last * x.powi(4))
}

fn four_digit_line(m: f64, p: f64, x: f64) -> f64 {
    if x < p {
        m / (p * p) * (2.0 * p * x - x * x)
    } else {
        m / ((1.0 - p) * (1.0 - p)) * (1.0 - 2.0 * p + 2.0 * p * x - x * x)
    }
}

/// The four-digit form on a mean line, thickness at equal x as the theory takes it.
fn section(thickness: f64, closed: bool, mean: impl Fn(f64) -> f64) -> SectionShape {
    let panels = 80;
    let x = |i: i32| 0.5 * (1.0 - (PI * f64::from(i) / f64::from(panels)).cos());
    let at = |x: f64, side: f64| [x, mean(x) + side * half_thickness(thickness, closed, x)];
    let upper = (0..=panels).rev().map(|i| at(x(i), 1.0));
    SectionShape::new(upper.chain((1..=panels).map(|i| at(x(i), -1.0))).collect()).unwrap()
}

fn number(row: &Row<'_>, column: &str) -> f64 {
    row.number(column).unwrap()
}

/// Glauert's series on the four-digit lines. The outline has 80 panels a surface; interpolation between its
/// points and the step in curvature at the crest leave 0.01 degree. The design lift weighs the nose, where
/// the first hundredth of the chord is taken as straight: 0.02.
#[test]
fn val_four_digit_mean_lines() {
    let table = Table::parse(include_str!("../data/section/thin_section_naca4.csv")).unwrap();
    for row in table.rows() {
        let (m, p) = (number(&row, "m"), number(&row, "p"));
        let thickness = row.text("section").unwrap()[2..].parse::<f64>().unwrap() / 100.0;
        for closed in [false, true] {
            let found = *section(thickness, closed, |x| four_digit_line(m, p, x)).properties();
            let angle = found.zero_lift_rad.to_degrees();
            assert!((angle - number(&row, "zero_lift_deg")).abs() < 0.01, "{angle} {m} {p} {closed}");
            assert!((found.moment - number(&row, "cm_quarter")).abs() < 5e-4, "{} {m} {p}", found.moment);
            assert!(
                (found.ideal_lift - number(&row, "cl_ideal")).abs() < 0.02,
                "{} {m} {p}",
                found.ideal_lift
            );
            assert!((found.thickness_ratio - thickness).abs() < 2e-4, "{}", found.thickness_ratio);
            // Nose radius 1.1019 t² (Report 460); read off the first 6 % of the chord.
            let radius = 1.1019 * thickness * thickness;
            assert!((found.nose_radius_ratio / radius - 1.0).abs() < 0.06, "{}", found.nose_radius_ratio);
        }
    }
}

/// Parabolic arc, reflexed cubic and broken line. The hinge of the broken line falls between points: 0.03
/// degree and 0.001; smooth lines as above.
#[test]
fn val_other_mean_lines() {
    let table = Table::parse(include_str!("../data/section/thin_section_other_mean_lines.csv")).unwrap();
    for row in table.rows() {
        let name = row.text("mean_line").unwrap();
        let q = number(&row, "parameter");
        let line: Box<dyn Fn(f64) -> f64> = match name {
            "parabolic_arc" => Box::new(move |x| 4.0 * q * x * (1.0 - x)),
            "cubic_k0.1_l0.875" => Box::new(|x| 0.1 * x * (1.0 - x) * (0.875 - x)),
            "cubic_k0.1_l1.0" => Box::new(|x| 0.1 * x * (1.0 - x) * (1.0 - x)),
            _ => Box::new(move |x| -(x - 1.0 + q).max(0.0) * 10_f64.to_radians()),
        };
        let found = *section(0.1, true, line).properties();
        let (angle_room, moment_room) = if name.starts_with("flap") { (0.03, 1e-3) } else { (0.01, 5e-4) };
        let angle = found.zero_lift_rad.to_degrees();
        println!("{name} {q}: {angle:.4} {:.5}", found.moment);
        assert!((angle - number(&row, "zero_lift_deg")).abs() < angle_room, "{name} {angle}");
        assert!((found.moment - number(&row, "cm_quarter")).abs() < moment_room, "{name} {}", found.moment);
    }
}

/// Blasius and Prandtl–Schlichting to the digits printed. With transition the engine keeps momentum thickness
/// continuous; Prandtl's rule, tabulated, takes the layer there as thick as if turbulent from the leading
/// edge, so it lies below, and the fully turbulent plate above. They agree to 3 % where transition lies in
/// the first fiftieth.
#[test]
fn val_plate_friction() {
    let table = Table::parse(include_str!("../data/section/plate_friction.csv")).unwrap();
    for row in table.rows() {
        let re = number(&row, "re");
        assert!((laminar_friction(re) / number(&row, "laminar_blasius") - 1.0).abs() < 1e-5);
        let turbulent = number(&row, "turb_prandtl_schlichting");
        assert!((turbulent_friction(re) / turbulent - 1.0).abs() < 1e-5);
        assert!((section_friction(re, 0.0, 0.0) / turbulent - 1.0).abs() < 1e-5);
        for (column, transition) in [
            ("trans_1e5", 1e5),
            ("trans_3e5", 3e5),
            ("trans_5e5", 5e5),
            ("trans_1e6", 1e6),
            ("trans_3e6", 3e6),
        ] {
            let place = f64::min(transition / re, 1.0);
            let (ours, rule) = (section_friction(re, place, place), number(&row, column));
            if re <= transition {
                assert!((ours / rule - 1.0).abs() < 1e-5, "{column} {re}");
            } else {
                assert!(ours > 0.99999 * rule && ours < turbulent, "{column} {re}: {ours} {rule}");
                assert!(re < 50.0 * transition || ours < 1.03 * rule, "{column} {re}: {ours} {rule}");
            }
        }
    }
}

/// Hoerner's turbulent factor where no part is laminar; never below his laminar one, 1 + t + 60t⁴.
#[test]
fn val_form_factors() {
    let table = Table::parse(include_str!("../data/section/section_form_factors.csv")).unwrap();
    for row in table.rows() {
        let (t, hoerner) = (number(&row, "t_over_c"), number(&row, "hoerner"));
        assert!((form_factor(t, 0.0) / hoerner - 1.0).abs() < 1e-4);
        assert!((form_factor(t, 1.0) - (hoerner - t)).abs() < 1e-4);
    }
    assert_eq!(form_factor(0.0, 0.3), 1.0);
}

/// Exact Joukowski and Kármán–Trefftz sections; the rule is straight in thickness, they bend by 0.5 % at 21 %.
/// With boundary layer, 8 to 15 % sections from Re 1e5 to 1e7 have the slopes practice knows: 5.5 to 6.2.
#[test]
fn val_lift_slope() {
    let table = Table::parse(include_str!("../data/section/lift_slope_thickness.csv")).unwrap();
    for row in table.rows() {
        let t = number(&row, "t_over_c");
        let ours = inviscid_lift_slope(t) / TAU;
        assert!((ours / number(&row, "joukowski") - 1.0).abs() < 0.005);
        assert!((ours / number(&row, "karman_trefftz") - 1.0).abs() < 0.008);
        if (0.08..=0.15).contains(&t) {
            for re in [1e5, 5e5, 1e6, 1e7] {
                assert!((5.5..=6.22).contains(&lift_slope(t, re)), "{}", lift_slope(t, re));
            }
        }
    }
}

/// Hoerner's separated plate from 30 degrees to reversed flow, at every Reynolds number, above the least drag.
#[test]
fn val_past_stall() {
    let table = Table::parse(include_str!("../data/section/post_stall.csv")).unwrap();
    let shape = section(0.12, false, |_| 0.0);
    for reynolds in [4e4, 5e5] {
        let constants = handbook_section(&shape, reynolds);
        for row in table.rows().filter(|row| number(row, "angle_deg") >= 30.0) {
            let angle = number(&row, "angle_deg").to_radians();
            let found = analytic_coefficients(&constants, angle, 1.0);
            assert!((found.lift - number(&row, "cl_hoerner")).abs() < 2e-4, "{angle}");
            assert!((found.drag - constants.drag_min - number(&row, "cd_hoerner")).abs() < 2e-4, "{angle}");
        }
    }
}

/// NACA 0012, level and Reynolds trend (SAND80-2114, part measured, part computed at source). From Re 3.6e5
/// on within 20 % at zero lift: transition and form factor are known no better. At 1.6e5 half the drag is the
/// laminar bubble, whose length is published as 3e4 to 6e4 in Reynolds number where the engine takes 5e4, and at up to 6
/// degrees the drag rise adds its own spread: 35 %.
#[test]
fn val_drag_of_0012_by_reynolds_number() {
    let table = Table::parse(include_str!("../data/section/naca0012_cd.csv")).unwrap();
    let shape = section(0.12, false, |_| 0.0);
    let mut at_zero = Vec::new();
    for row in table.rows().filter(|row| number(row, "alpha_deg") <= 6.0) {
        let (re, angle, published) = (number(&row, "Re"), number(&row, "alpha_deg"), number(&row, "Cd"));
        let constants = handbook_section(&shape, re);
        let ours = analytic_coefficients(&constants, angle.to_radians(), 1.0).drag;
        let ratio = ours / published;
        println!("Re {re:.0} {angle} deg: {published} ours {ours:.4} ratio {ratio:.2}");
        let room = if re > 2e5 && angle == 0.0 { 0.2 } else { 0.35 };
        assert!((ratio - 1.0).abs() < room, "Re {re}, {angle} deg: {published} {ours}");
        if angle == 0.0 {
            at_zero.push((ours, published));
        }
    }
    // The fall from 1.6e5 to 1e6, 37 % in the table.
    let fall = |pick: fn(&(f64, f64)) -> f64| 1.0 - pick(&at_zero[3]) / pick(&at_zero[0]);
    assert!((fall(|p| p.0) - fall(|p| p.1)).abs() < 0.25);
    assert!(profile_drag(&shape, 1e5).turbulent_from == 1.0, "no reattachment at Re 1e5");
}

/// Three printed sections of 61 points that their source calls 12 % thick (Deters, Ananda, Selig 2014): blunt
/// edges 0.6 to 4.7 % wide, none of them square to the chord, no point at the nose.
#[test]
fn val_printed_outlines() {
    for (text, base) in [
        (include_str!("../data/section/sda1045_coordinates.csv"), 0.0057),
        (include_str!("../data/section/sda1075_coordinates.csv"), 0.0111),
        (include_str!("../data/section/sda1100_coordinates.csv"), 0.047),
    ] {
        let table = Table::parse(text).unwrap();
        let (x, y) = (table.column("x_over_c").unwrap(), table.column("y_over_c").unwrap());
        assert!(((y[0] - y[y.len() - 1]) - base).abs() < 5e-4, "{}", y[0] - y[y.len() - 1]);
        let points = x.into_iter().zip(y).map(|(x, y)| [x, y]).collect();
        let found = *SectionShape::new(points).unwrap().properties();
        assert!((found.thickness_ratio - 0.12).abs() < 2e-4, "{}", found.thickness_ratio);
    }
}

/// The generic blade's twist, at radii both tables have.
#[test]
fn val_constant_pitch_twist() {
    let table = Table::parse(include_str!("../data/rotor/constant_pitch_twist.csv")).unwrap();
    let mut compared = 0;
    for (column, ratio) in [("PD0p4", 0.4), ("PD0p6", 0.6), ("PD0p8", 0.8), ("PD1p0", 1.0)] {
        let blade = wakebeat_engine::blade::generic_blade(0.25, 0.25 * ratio);
        for row in table.rows() {
            let x = number(&row, "x");
            if let Some(ours) = blade.rows.iter().find(|r| r.radius_ratio == x) {
                assert!((ours.twist_rad.to_degrees() - number(&row, column)).abs() < 1e-3);
                compared += 1;
            }
        }
    }
    assert!(compared > 40);
}
