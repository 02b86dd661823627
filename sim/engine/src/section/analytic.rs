//! A section from seven constants: straight lift line, parabolic drag, smooth stall to ±180°.

use super::Coefficients;
use crate::point::input::AnalyticSection;

/// Angle that a separated plate's lift counts from, and the one its suction would have to vanish at, as multiples of the
/// angle of zero lift: −7f/2 and −f for a circular arc of camber f, whose angle of zero lift is −2f.
const SEPARATED_ZERO_LIFT: f64 = 1.75;
const SEPARATED_ZERO_DRAG: f64 = 0.5;

/// Part of the greatest lift up to which the lift line is exactly straight (design choice).
pub const LINEAR_PART: f64 = 0.85;

/// Lift beyond the greatest, in lift-line terms, where the change to the flat plate begins and ends,
/// as multiples of the greatest lift (common practice: 10 to 15° past the stall for slopes near 2π).
const PLATE_FROM: f64 = 1.2;
const PLATE_TO: f64 = 2.6;

/// Lift of the separated flow as a share of the lift line's, within which it is told apart. A quarter is Kirchhoff's, with ambient
/// pressure behind; less comes only of camber against the lift, and goes out level at half of it.
const SEPARATED_SHARE: (f64, f64) = (0.25, 0.95);

/// Attached share of the normal force below which it goes out level.
const LEVEL_FROM: f64 = 0.5;

/// Coefficients of an analytic section.
///
/// Attached: cl = a(α − α₀), cd = `drag_min` + `drag_rise` (cl − `lift_at_drag_min`)². Beyond 0.85 of the
/// greatest lift the line bends as a hyperbolic tangent that keeps slope and curvature and never exceeds the
/// greatest lift, then passes into fully separated flow (`separated_plate`), whose drag adds to `drag_min`. Where the
/// line bends, the suction that is lost becomes drag (`suction_share`).
///
/// `slope_factor` multiplies the lift slope (compressibility). Range: any angle in ±π; the attached
/// part is as good as its constants, the separated part about 10 %. Limits under test: exactly
/// linear inside 0.85 of the stall, continuous slope throughout, plate drag 1.98 at 90°, drag through the stall of
/// NACA 0012 against measurement.
#[must_use]
pub fn analytic_coefficients(s: &AnalyticSection, angle_rad: f64, slope_factor: f64) -> Coefficients {
    let line = s.lift_slope_per_rad * slope_factor * (angle_rad - s.zero_lift_rad);
    coefficients_on_line(s, angle_rad, line)
}

/// Coefficients where the lift without stall is `line`, whatever bent it before.
pub(super) fn coefficients_on_line(s: &AnalyticSection, angle_rad: f64, line: f64) -> Coefficients {
    let limit = if line >= 0.0 { s.lift_max } else { -s.lift_min };
    let ratio = line.abs() / limit;
    if ratio <= LINEAR_PART {
        return Coefficients { lift: line, drag: s.drag_min + drag_rise(s, line) };
    }
    let spare = 1.0 - LINEAR_PART;
    let bent = LINEAR_PART + spare * ((ratio - LINEAR_PART) / spare).tanh();
    let attached = line.signum() * limit * bent;
    let plate = separated_plate(angle_rad, s.zero_lift_rad);
    let weight = smooth_step((ratio - PLATE_FROM) / (PLATE_TO - PLATE_FROM));
    if weight >= 1.0 {
        return Coefficients { lift: plate.lift, drag: s.drag_min + plate.drag };
    }
    let lift = attached + weight * (plate.lift - attached);
    let suction = suction_share(lift / line, plate.lift / line);
    // Along the chord attached lift pulls forward with all of `line` tan α; the plate with what its camber leaves.
    let plate_pull = plate.lift * angle_rad.tan() - plate.drag;
    let drag = suction * drag_rise(s, attached) + angle_rad.tan() * (lift - suction * line)
        - (1.0 - suction) * plate_pull;
    Coefficients { lift, drag: s.drag_min + drag.max(0.0) }
}

/// Share of its suction that a section keeps once it has lost lift: `lift` and `plate` are the lift and that of fully
/// separated flow over the lift without stall.
///
/// Kirchhoff's flow with separation at f chords (Thwaites, Incompressible Aerodynamics, 1960, sec. IV.8; T. S. Beddoes and
/// J. G. Leishman, J. Am. Helicopter Soc. 34(3), 1989; from memory) has the normal force ((1 + √f)/2)² and the suction √f of the
/// attached flow. Its separated end has ambient pressure behind and a quarter of the normal force, where plates have more
/// (Hoerner): between both ends the normal force goes the same way, κ = ((1 + √f)² − 1)/3, with κ from 1 attached to 0 on the
/// plate. Hence √f = √(1 + 3κ) − 1. Normal force and suction give the drag tan α (cl − √f a(α − α₀)): none attached, cn sin α on
/// the plate.
fn suction_share(lift: f64, plate: f64) -> f64 {
    let (least, greatest) = SEPARATED_SHARE;
    let separated =
        if plate < least { 0.5 * least + 0.5 * plate.max(0.0).powi(2) / least } else { plate.min(greatest) };
    let attached = ((lift - separated) / (1.0 - separated)).clamp(0.0, 1.0);
    // Lift may dip below the plate's on its way: the last half goes out level, so that drag has no kink there.
    let part = (attached / LEVEL_FROM).min(1.0);
    let normal = if part < 1.0 { LEVEL_FROM * part * part * (2.0 - part) } else { attached };
    (1.0 + 3.0 * normal).sqrt() - 1.0
}

/// Rise of the drag of attached flow above the least.
fn drag_rise(s: &AnalyticSection, lift: f64) -> f64 {
    let off = lift - s.lift_at_drag_min;
    s.drag_rise * off * off
}

/// Fully separated plate at any angle, cambered as a circular arc with this angle of zero lift.
///
/// Flat: cn = s/(0.222 |s| + 0.283), s = sin α (Hoerner, Fluid-Dynamic Drag, ch. 3, from memory), cl = cn cos α, cd = cn sin α. This
/// is the free-streamline flow of Kirchhoff and Rayleigh, cn = 2π s/(4 + π s), times 2.25 at every angle: base pressure.
/// Camber in the same flow: cl = (π/2)(A₀ + A₁ − A₂/2), cd = (π/2)(A₀ + A₁/2)² with the Fourier coefficients of the slope over
/// the root of the chord's distance (M. P. Tulin and M. P. Burkart, David Taylor Model Basin Report C-638, 1955, from memory;
/// derived again by the map of the cavity on a thin section). For an arc of camber f: (π/2)(α + 7f/2) and (π/2)(α + f)². Hence
/// s = sin α − 1.75 α₀ cos²α in the lift and s = sin α − 0.5 α₀ cos²α in the drag, cd = s²/(0.222 |s| + 0.283), which are these to
/// first order and Hoerner's broadside; cos² on the way is ours. That measured lift past the stall counts from the angle of zero
/// lift or beyond is common to wind-turbine practice (D. A. Spera, NASA CR-2008-215434, from memory).
fn separated_plate(angle_rad: f64, zero_lift_rad: f64) -> Coefficients {
    let (sin, cos) = angle_rad.sin_cos();
    let camber = -zero_lift_rad * cos * cos;
    let lifting = sin + SEPARATED_ZERO_LIFT * camber;
    let facing = sin + SEPARATED_ZERO_DRAG * camber;
    let normal = |s: f64| s / (0.222 * s.abs() + 0.283);
    Coefficients { lift: normal(lifting) * cos, drag: normal(facing) * facing }
}

/// 0 below 0, 1 above 1, with continuous first and second derivatives between.
fn smooth_step(t: f64) -> f64 {
    let t = t.clamp(0.0, 1.0);
    t * t * t * (10.0 + t * (6.0 * t - 15.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::f64::consts::PI;

    fn section() -> AnalyticSection {
        AnalyticSection {
            lift_slope_per_rad: 5.7,
            zero_lift_rad: -0.05,
            drag_min: 0.02,
            drag_rise: 0.012,
            lift_at_drag_min: 0.1,
            lift_max: 1.2,
            lift_min: -0.7,
        }
    }

    #[test]
    fn lift_is_exactly_linear_inside_085_of_the_stall() {
        for lift in [-0.594, -0.3, 0.0, 0.9, 1.0199] {
            let c = analytic_coefficients(&section(), lift / 5.7 - 0.05, 1.0);
            assert_relative_eq!(c.lift, lift, epsilon = 1e-14);
            assert_relative_eq!(c.drag, 0.02 + 0.012 * (lift - 0.1).powi(2), epsilon = 1e-14);
        }
    }

    #[test]
    fn no_kink_and_no_lift_above_the_greatest_before_the_plate() {
        let cambered = AnalyticSection { zero_lift_rad: -0.1, lift_max: 1.4, lift_min: -0.4, ..section() };
        for s in [section(), cambered] {
            let h = 1e-4;
            let at = |i: i32| analytic_coefficients(&s, f64::from(i) * h, 1.0);
            let n = (PI / h) as i32;
            let sharpest = s.lift_slope_per_rad.powi(2) / ((1.0 - LINEAR_PART) * s.lift_max.min(-s.lift_min));
            for i in -n + 1..n {
                // A kink would show as a second difference of order h, not h²; the bend of the lift line itself is the sharpest.
                let bend = at(i + 1).lift - 2.0 * at(i).lift + at(i - 1).lift;
                assert!(bend.abs() < sharpest * h * h, "lift bends at {}", f64::from(i) * h);
                let bend = at(i + 1).drag - 2.0 * at(i).drag + at(i - 1).drag;
                assert!(bend.abs() < sharpest * h * h, "drag bends at {}", f64::from(i) * h);
                let line = s.lift_slope_per_rad * (f64::from(i) * h - s.zero_lift_rad);
                let attached = line.abs() < PLATE_TO * s.lift_max;
                assert!(at(i).drag > 0.0 && (!attached || at(i).lift <= s.lift_max + 1e-12));
            }
            let wrap = analytic_coefficients(&s, PI, 1.0).lift - analytic_coefficients(&s, -PI, 1.0).lift;
            assert!(wrap.abs() < 1e-12);
        }
    }

    #[test]
    fn broadside_drag_is_the_flat_plates() {
        let c = analytic_coefficients(&section(), 0.5 * PI, 1.0);
        assert_relative_eq!(c.drag, 0.02 + 1.0 / 0.505, epsilon = 1e-12);
        assert_relative_eq!(c.lift, 0.0, epsilon = 1e-12);
    }

    /// Small angles: base pressure 2.25 times the cambered cavity's linear lift and drag; no camber: Hoerner's plate.
    #[test]
    fn separated_arc_follows_cavity_theory() {
        let (angle, camber) = (1e-3_f64, 5e-4);
        let found = separated_plate(angle, -2.0 * camber);
        let base = 1.0 / 0.283 / (PI / 2.0);
        assert_relative_eq!(base, 2.25, epsilon = 0.01);
        assert_relative_eq!(found.lift, base * PI / 2.0 * (angle + 3.5 * camber), max_relative = 3e-3);
        assert_relative_eq!(found.drag, base * PI / 2.0 * (angle + camber).powi(2), max_relative = 3e-3);
        for angle in [-2.0_f64, -0.4, 0.2, 0.9, 2.8] {
            let (flat, sin) = (separated_plate(angle, 0.0), angle.sin());
            let normal = sin / (0.222 * sin.abs() + 0.283);
            assert_relative_eq!(flat.lift, normal * angle.cos(), epsilon = 1e-14);
            assert_relative_eq!(flat.drag, normal * sin, epsilon = 1e-14);
            let (up, down) = (separated_plate(angle, -0.07), separated_plate(-angle, 0.07));
            assert_relative_eq!(up.lift, -down.lift, epsilon = 1e-14);
            assert_relative_eq!(up.drag, down.drag, epsilon = 1e-14);
        }
    }

    /// All suction attached, none on the plate, and Kirchhoff's own where the plate is his and more than half is attached.
    #[test]
    fn suction_follows_kirchhoff() {
        assert_eq!(suction_share(1.0, 0.6), 1.0);
        assert_eq!(suction_share(0.6, 0.6), 0.0);
        for place in [0.4, 0.6, 0.8] {
            let normal = (0.5 + 0.5 * f64::sqrt(place)).powi(2);
            assert_relative_eq!(suction_share(normal, 0.25), f64::sqrt(place), epsilon = 1e-12);
        }
    }
}
