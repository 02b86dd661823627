use super::*;
use crate::section::analytic_coefficients;
use crate::surface::test_surfaces::wing;
use approx::assert_relative_eq;
use std::f64::consts::{FRAC_PI_2, TAU};

const ANGLE_RAD: f64 = 0.1;

fn stream(angle_rad: f64, sideslip_rad: f64) -> Vec3 {
    let (sin, cos) = angle_rad.sin_cos();
    20.0 * Vec3::new(cos * sideslip_rad.cos(), -sideslip_rad.sin(), sin * sideslip_rad.cos())
}

fn attached(surface: &Surface, angle_rad: f64, sideslip_rad: f64) -> LiftingLine {
    LiftingLine::new(surface, &stream(angle_rad, sideslip_rad), 40, linear_lift(&surface.section)).unwrap()
}

/// Straight line with a smooth break to the normal force of a plate, over `width` rad about 15 deg.
fn stalling_lift(width: f64) -> impl Fn(f64) -> f64 {
    move |angle| {
        let line = TAU * angle;
        let plate = 2.0 * angle.sin() * angle.cos();
        let stalled = 0.5 * (1.0 + ((angle.abs() - 0.26) / width).tanh());
        line + (plate - line) * stalled
    }
}

/// Lift lost in the stall at up to 20 per rad, far harsher than measured sections: still an answer at every angle.
#[test]
fn abrupt_stall_settles_at_every_angle() {
    for step in -180..=180 {
        let angle = f64::from(step).to_radians() * 0.5;
        let line = LiftingLine::new(&wing(), &stream(angle, 0.0), 40, stalling_lift(0.03));
        assert!(line.is_ok(), "{} deg: {:?}", 0.5 * f64::from(step), line.err());
    }
}

#[test]
fn very_long_wing_has_the_section_lift() {
    let surface = Surface { span_m: 3000.0, root_chord_m: 1.0, tip_chord_m: 1.0, ..wing() };
    let line = attached(&surface, ANGLE_RAD, 0.0);
    let middle = &line.strips[20];
    // Downwash at mid span of an aspect ratio of 3000 is of order 1/3000 of the angle.
    assert_relative_eq!(middle.lift_coefficient, TAU * ANGLE_RAD, max_relative = 2e-3);
}

#[test]
fn zero_lift_incidence_and_angle_of_attack_cancel() {
    let mut surface = Surface { incidence_rad: 0.03, ..wing() };
    surface.section.zero_lift_rad = -0.04;
    let line = attached(&surface, -0.07, 0.0);
    assert!(line.strips.iter().all(|strip| strip.circulation_m2_s.abs() < 1e-10));
}

#[test]
fn washout_at_zero_lift_loads_root_up_and_tip_down() {
    let surface = Surface { twist_rad: -0.06, incidence_rad: 0.02, ..wing() };
    let line = attached(&surface, 0.0, 0.0);
    assert!(line.strips[20].circulation_m2_s > 0.0 && line.strips[1].circulation_m2_s < 0.0);
    assert!(line.induced_drag_coefficient > 0.0);
}

#[test]
fn fin_carries_side_force_in_sideslip_as_half_a_wing_at_incidence() {
    let flat = Surface { mirror: false, ..wing() };
    let fin = Surface { dihedral_rad: FRAC_PI_2, ..flat.clone() };
    let (lying, standing) = (attached(&flat, ANGLE_RAD, 0.0), attached(&fin, 0.0, ANGLE_RAD));
    for (a, b) in lying.strips.iter().zip(&standing.strips) {
        assert_relative_eq!(a.circulation_m2_s, b.circulation_m2_s, max_relative = 1e-12);
    }
}

#[test]
fn two_halves_in_one_plane_are_one_wing() {
    let whole = Surface { mirror: false, root_chord_m: 0.3, tip_chord_m: 0.3, ..wing() };
    let halves = Surface { mirror: true, ..whole.clone() };
    let (a, b) = (attached(&whole, ANGLE_RAD, 0.0), attached(&halves, ANGLE_RAD, 0.0));
    assert_relative_eq!(a.lift_coefficient, b.lift_coefficient, max_relative = 1e-12);
    assert_relative_eq!(a.induced_drag_coefficient, b.induced_drag_coefficient, max_relative = 1e-12);
}

#[test]
fn dihedral_and_sideslip_load_the_windward_half() {
    let surface = Surface { dihedral_rad: 0.1, ..wing() };
    let line = attached(&surface, 0.05, 0.05);
    let (port, starboard) = (&line.strips[5], &line.strips[34]);
    assert!(starboard.circulation_m2_s > port.circulation_m2_s);
}

/// A kink at the root keeps the answer convergent: strips halve, the change falls.
#[test]
fn dihedral_converges_with_the_strips() {
    let surface = Surface { dihedral_rad: 0.3, ..wing() };
    let lift = |strips| {
        let section = linear_lift(&surface.section);
        LiftingLine::new(&surface, &stream(ANGLE_RAD, 0.0), strips, section).unwrap().lift_coefficient
    };
    let values = [20, 40, 80, 160].map(lift);
    let changes: Vec<f64> = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
    assert!(changes[0] > 1.8 * changes[1] && changes[1] > 1.8 * changes[2], "{changes:?}");
    assert!(changes[2] < 1e-4 * values[3]);
}

#[test]
fn still_air_carries_no_circulation() {
    let line = LiftingLine::new(&wing(), &Vec3::zeros(), 20, linear_lift(&wing().section)).unwrap();
    assert!(line.strips.iter().all(|strip| strip.circulation_m2_s == 0.0));
    assert_eq!(line.lift_coefficient, 0.0);
}

#[test]
fn stall_settles_smoothly_and_symmetrically_at_every_angle() {
    for strips in [20, 40, 80] {
        let mut last = None::<f64>;
        for step in 0..=180 {
            let angle = f64::from(step).to_radians() * 0.5;
            let line = LiftingLine::new(&wing(), &stream(angle, 0.0), strips, stalling_lift(0.1)).unwrap();
            let lift: Vec<f64> = line.strips.iter().map(|strip| strip.lift_coefficient).collect();
            let count = lift.len();
            for i in 0..count / 2 {
                assert_relative_eq!(lift[i], lift[count - 1 - i], epsilon = 1e-7);
            }
            // No saw-tooth: slopes change sign once on each half at most, plus the middle.
            let turns = lift.windows(3).filter(|w| (w[1] - w[0]) * (w[2] - w[1]) < -1e-9).count();
            assert!(turns <= 7, "{strips} strips, {} deg: {turns} turns", angle.to_degrees());
            if let Some(before) = last {
                // Half a degree of attached flow changes the lift by 0.04.
                assert!((line.lift_coefficient - before).abs() < 0.05, "jump at {} deg", angle.to_degrees());
            }
            last = Some(line.lift_coefficient);
        }
    }
}

/// The engine's own section model, from struts to slender wings, at every attitude: an answer without exception.
#[test]
fn analytic_sections_settle_at_every_angle() {
    for (span_m, taper) in [(0.3, 1.0), (2.0, 0.5), (2.0, 0.0), (8.0, 1.0)] {
        for (dihedral_rad, sweep_rad, twist_rad) in [(0.0, 0.0, 0.0), (0.2, 0.4, -0.1)] {
            let tip_chord_m = 0.4 * taper;
            let surface = Surface { span_m, tip_chord_m, dihedral_rad, sweep_rad, twist_rad, ..wing() };
            let lift = |angle: f64| analytic_coefficients(&surface.section, angle, 1.0).lift;
            for degrees in -90..=90 {
                let stream = stream(f64::from(degrees).to_radians(), 0.1);
                let line = LiftingLine::new(&surface, &stream, 40, lift);
                assert!(line.is_ok(), "span {span_m}, taper {taper}, {degrees} deg: {:?}", line.err());
            }
        }
    }
}

#[test]
fn attached_flow_is_untouched_by_a_lift_curve_that_stalls_later() {
    let straight = attached(&wing(), 0.05, 0.0);
    let late = |angle: f64| if angle.abs() < 0.2 { TAU * angle } else { TAU * 0.2 * angle.signum() };
    let line = LiftingLine::new(&wing(), &stream(0.05, 0.0), 40, late).unwrap();
    assert_relative_eq!(line.lift_coefficient, straight.lift_coefficient, max_relative = 1e-12);
}

/// Far behind, in the middle of the sheet, the air goes down twice as fast as at the line (elliptic load: everywhere).
#[test]
fn downwash_doubles_far_behind() {
    let span = Span::new(&wing(), 80).with_chord(|s| 0.4 * (1.0 - s * s).sqrt());
    let section = linear_lift(&wing().section);
    let line = LiftingLine::on_span(span, &wing().section, &stream(ANGLE_RAD, 0.0), section).unwrap();
    let strip = &line.strips[30];
    let control = &line.span.controls[30];
    let far = control.quarter_chord_m + 500.0 * stream(ANGLE_RAD, 0.0).normalize();
    let at_line = 20.0 * (ANGLE_RAD - strip.effective_angle_rad);
    // Straight legs rise along the stream, so the far velocity is square to them: cos α; the core takes 1e-3.
    let far_down = -line.induced_velocity(&far).z / ANGLE_RAD.cos();
    assert_relative_eq!(far_down, 2.0 * at_line, max_relative = 2e-3);
}
