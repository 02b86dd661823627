//! The wake's centre line against exact potential flow behind sections of finite thickness.

// Helpers of tests, and the comparison is printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use wakebeat_engine::base::Vec3;
use wakebeat_engine::surface::centre_line::CentreLine;
use wakebeat_engine::surface::flap::StripSection;
use wakebeat_engine::surface::lifting_line::{LiftingLine, linear_lift};
use wakebeat_validation::reference::Table;
use wakebeat_validation::thin_wing::thin_wing;

/// Distance behind the edge at which heights are compared, chords.
const AFT: f64 = 0.167;

/// Height of the model's centre line over unit chord in the middle of a span of 20 000 chords.
fn model_height(zero_lift_rad: f64, angle_rad: f64) -> f64 {
    let mut surface = thin_wing(20_000.0, 1.0);
    surface.thickness_ratio = 0.12;
    surface.section.zero_lift_rad = zero_lift_rad;
    let stream = 30.0 * Vec3::new(angle_rad.cos(), 0.0, angle_rad.sin());
    let line = LiftingLine::new(&surface, &stream, 40, linear_lift(&surface.section)).unwrap();
    CentreLine::new(&line, 20, &StripSection::plain(&surface.section), 1.0).height_m(AFT)
}

/// Height of the streamline from the edge, by integrating w/u of the exact field along the chord line. The slope is
/// close to straight in the root of the distance, so the integral is taken in that variable from the tangent at the
/// edge: zero for a symmetric section, the mean line's for the cambered one.
fn exact_height(shape: &str, incidence_deg: f64, edge_slope: f64) -> f64 {
    let table = Table::parse(include_str!("../data/wing/section_exact_field.csv")).unwrap();
    let mut nodes = vec![(0.0, edge_slope)];
    nodes.extend(
        table
            .rows()
            .filter(|row| row.text("shape").unwrap() == shape)
            .filter(|row| row.number("incidence_deg").unwrap() == incidence_deg)
            .filter(|row| row.number("z_over_c").unwrap() == 0.0)
            .map(|row| {
                let value = |column| row.number(column).unwrap();
                (value("x_over_c").sqrt(), value("w") / value("u"))
            })
            .filter(|(root, _)| root * root <= AFT + 1e-9),
    );
    nodes
        .windows(2)
        .map(|pair| {
            let ((r0, s0), (r1, s1)) = (pair[0], pair[1]);
            // ∫ s 2r dr with s straight between the nodes.
            (r1 - r0) * (2.0 * (r0 * s0 + r1 * s1) + r0 * s1 + r1 * s0) / 3.0
        })
        .sum()
}

/// Joukowski 1910, Kármán and Trefftz 1918. At 6 degrees and 0.167 chord the line of symmetric sections lies between
/// 0.0040 and 0.0049 chord above the chord line; a flat plate, which is what the model knows of the section, at
/// 0.0045 to 0.0046. The model leaves out thickness, so it may be off by that band; a line taken along the free
/// stream would be off by 0.013.
#[test]
fn val_symmetric_sections_at_incidence() {
    let model = model_height(0.0, 6_f64.to_radians());
    assert!((0.0045..0.0046).contains(&model), "{model}");
    for shape in ["joukowski_12", "karman_trefftz_12_te16", "karman_trefftz_10_te10"] {
        let exact = exact_height(shape, 6.0, 0.0);
        println!("{shape}: exact {exact:.5} model {model:.5} chord");
        assert!((model - exact).abs() < 0.0006, "{shape}: {exact} {model}");
    }
}

/// The same with 4 % camber: zero-lift angle of the exact section from its lift at 0 and 6 degrees, −0.0798 rad. The
/// mean line is a circular arc, close to the model's parabola; thickness is left out, so each part may be off by the
/// share it is off in the symmetric section, a tenth.
#[test]
fn val_cambered_section() {
    let zero_lift_rad: f64 = -0.0798;
    for incidence_deg in [0.0, 6.0_f64] {
        let exact = exact_height("joukowski_12_camber4", incidence_deg, (2.0 * zero_lift_rad).tan());
        let model = model_height(zero_lift_rad, incidence_deg.to_radians());
        println!("camber 4 %, {incidence_deg} deg: exact {exact:.5} model {model:.5} chord");
        assert!((model - exact).abs() < 0.1 * (0.0167 + 0.0046 * incidence_deg / 6.0), "{exact} {model}");
    }
}
