//! Plain flaps: what a deflection does to the section's lift and drag and to its trailing edge.
//!
//! - Effectiveness by thin-aerofoil theory, dα₀/dδ = −τ(E) with τ = 1 − (t_h − sin t_h)/π, cos t_h = 2E − 1, E the
//!   flap's share of the chord (Glauert, R&M 1095, 1927; Theodorsen, NACA Report 496; from memory).
//! - Viscosity takes some of it: the deflection acts as ηδ with η = 0.85 − 0.01 |δ|/deg. Common practice, not a
//!   measurement: sealed gaps at Reynolds numbers above 1e6 keep 0.8 to 0.9 of τ at small deflections, 0.6 to 0.7 near
//!   20 deg, 0.4 to 0.5 near 40 deg. From 42.5 deg, where ηδ is greatest, it stays.
//! - Profile drag rises by 1.7 E^1.38 sin²δ on the flapped area (fit to Young, R&M 2622, 1947; from memory; below
//!   10 deg an order of magnitude).
//! - Greatest and least lift move by 0.6 of the flap's lift at constant angle (common practice).
//!
//! A strip that a flap covers in part takes that share of all effects. The edge turns about the hinge on the chord
//! line by the full deflection; the wake leaves it at the angle ηδ.

use std::f64::consts::PI;

use super::geometry::Half;
use super::lifting_line::Span;
use crate::point::input::{AnalyticSection, Flap, Surface};

/// Share of τ that is left at small deflections (common practice).
const EFFECTIVENESS: f64 = 0.85;
/// Loss of that share per degree of deflection (common practice).
const LOSS_PER_DEG: f64 = 0.01;
/// Share of the flap's lift by which the greatest lift rises (common practice).
const STALL_SHIFT: f64 = 0.6;
/// Share of a stall limit that the opposite deflection leaves at least (our own bound).
const LEAST_LIMIT: f64 = 0.2;

/// A strip's section with its flap.
#[derive(Debug, Clone, PartialEq)]
pub struct StripSection {
    /// Section lift and drag with the flap deflected.
    pub analytic: AnalyticSection,
    /// Zero-lift angle of the section without flap, rad.
    pub camber_zero_lift_rad: f64,
    /// Deflection as it acts on the flow, ηδ times the covered share, rad.
    pub flap_rad: f64,
    /// Hinge along the chord as t_h of thin-aerofoil theory, rad; π without flap.
    pub hinge_rad: f64,
    /// The trailing edge against the undeflected one, forward along x, m.
    pub edge_forward_m: f64,
    /// The trailing edge against the undeflected one, up along the half's normal, m.
    pub edge_rise_m: f64,
}

/// t_h of a flap of chord ratio E: cos t_h = 2E − 1, measured so that the hinge lies at x = (1 − cos t_h)/2.
#[must_use]
pub fn hinge_rad(chord_ratio: f64) -> f64 {
    // x = 1 − E: 1 − cos t = 2 − 2E.
    (2.0 * chord_ratio - 1.0).acos()
}

/// −dα₀/dδ of thin-aerofoil theory.
#[must_use]
pub fn thin_effectiveness(chord_ratio: f64) -> f64 {
    let hinge = hinge_rad(chord_ratio);
    1.0 - (hinge - hinge.sin()) / PI
}

/// ηδ: the deflection as the flow feels it, rad.
#[must_use]
pub fn effective_deflection_rad(deflection_rad: f64) -> f64 {
    let most_deg = 0.5 * EFFECTIVENESS / LOSS_PER_DEG;
    let size_deg = deflection_rad.abs().to_degrees().min(most_deg);
    deflection_rad.signum() * (size_deg * (EFFECTIVENESS - LOSS_PER_DEG * size_deg)).to_radians()
}

/// Rise of profile drag on the flapped area.
#[must_use]
pub fn drag_increment(chord_ratio: f64, deflection_rad: f64) -> f64 {
    1.7 * chord_ratio.powf(1.38) * deflection_rad.sin().powi(2)
}

/// The section of every strip of a span, flaps included.
#[must_use]
pub fn strip_sections(surface: &Surface, span: &Span) -> Vec<StripSection> {
    span.controls
        .iter()
        .map(|control| {
            let half = span.half(control);
            let (from, to) = (control.s_m - 0.5 * control.width_m, control.s_m + 0.5 * control.width_m);
            let covered = |flap: &Flap| {
                let overlap = to.min(flap.span_to * half.length_m) - from.max(flap.span_from * half.length_m);
                (overlap / (to - from)).clamp(0.0, 1.0)
            };
            let mut section = StripSection::plain(&surface.section);
            // Flaps do not overlap, so at most two share a strip, each with its part of it.
            for flap in &surface.flaps {
                let share = covered(flap);
                if share > 0.0 {
                    section.deflect(flap, share, half, control.s_m, control.chord_m);
                }
            }
            section
        })
        .collect()
}

impl StripSection {
    /// A section without flap.
    #[must_use]
    pub fn plain(section: &AnalyticSection) -> Self {
        Self {
            analytic: section.clone(),
            camber_zero_lift_rad: section.zero_lift_rad,
            flap_rad: 0.0,
            hinge_rad: PI,
            edge_forward_m: 0.0,
            edge_rise_m: 0.0,
        }
    }

    fn deflect(&mut self, flap: &Flap, share: f64, half: &Half, s_m: f64, chord_m: f64) {
        let acting = share * effective_deflection_rad(flap.deflection_rad);
        let turned = acting * thin_effectiveness(flap.chord_ratio);
        let shift = STALL_SHIFT * self.analytic.lift_slope_per_rad * turned;
        self.analytic.zero_lift_rad -= turned;
        // A stall limit never changes its sign, whatever the deflection.
        self.analytic.lift_max = (self.analytic.lift_max + shift).max(LEAST_LIMIT * self.analytic.lift_max);
        self.analytic.lift_min = (self.analytic.lift_min + shift).min(LEAST_LIMIT * self.analytic.lift_min);
        self.analytic.drag_min += share * drag_increment(flap.chord_ratio, flap.deflection_rad);
        self.flap_rad += acting;
        self.hinge_rad = hinge_rad(flap.chord_ratio);
        let (sin, cos) = flap.deflection_rad.sin_cos();
        let (sin_i, cos_i) = half.incidence_rad(s_m).sin_cos();
        // In chord axes the edge moves forward by Ec (1 − cos δ) and down by Ec sin δ.
        let (forward, down) =
            (share * flap.chord_ratio * chord_m * (1.0 - cos), share * flap.chord_ratio * chord_m * sin);
        self.edge_forward_m += forward * cos_i + down * sin_i;
        self.edge_rise_m += forward * sin_i - down * cos_i;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Vec3;
    use crate::surface::centre_line::CentreLine;
    use crate::surface::flow::SurfaceFlow;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    fn flap(span: (f64, f64), deflection_deg: f64) -> Flap {
        Flap {
            name: "flap".into(),
            span_from: span.0,
            span_to: span.1,
            chord_ratio: 0.25,
            deflection_rad: deflection_deg.to_radians(),
        }
    }

    fn flapped(span: (f64, f64), deflection_deg: f64) -> SurfaceFlow {
        let surface = Surface { flaps: vec![flap(span, deflection_deg)], incidence_rad: 0.05, ..wing() };
        SurfaceFlow::new(&surface, &Vec3::new(20.0, 0.0, 0.5)).unwrap()
    }

    #[test]
    fn acting_deflection_keeps_the_stated_shares_and_never_falls() {
        for (deflection, share) in [(1e-3, 0.85), (20.0, 0.65), (40.0, 0.45), (60.0, 0.301)] {
            let acting = effective_deflection_rad(f64::to_radians(deflection)).to_degrees();
            assert_relative_eq!(acting, share * deflection, max_relative = 1e-3);
            assert_relative_eq!(effective_deflection_rad(-f64::to_radians(deflection)), -acting.to_radians());
        }
        let all: Vec<f64> = (0..=60).map(|d| effective_deflection_rad(f64::from(d).to_radians())).collect();
        assert!(all.is_sorted());
    }

    #[test]
    fn whole_chord_flap_is_incidence() {
        assert_relative_eq!(thin_effectiveness(1.0), 1.0, epsilon = 1e-12);
        assert_relative_eq!(thin_effectiveness(0.0), 0.0, epsilon = 1e-12);
    }

    #[test]
    fn deflection_lifts_its_own_strips_most_and_none_changes_nothing() {
        let (plain, down) = (flapped((0.5, 1.0), 0.0), flapped((0.5, 1.0), 10.0));
        let zero = SurfaceFlow::new(
            &Surface { flaps: Vec::new(), ..plain.surface.clone() },
            &plain.line.velocity_m_s,
        );
        assert_eq!(zero.unwrap().line, plain.line);
        let gain = |strip: usize| {
            down.line.strips[strip].lift_coefficient - plain.line.strips[strip].lift_coefficient
        };
        // Strips 20 to 39 run from the root to the starboard tip in equal steps of angle: 26 ends at 0.49 of the half.
        assert!(gain(30) > 2.0 * gain(20) && gain(20) > 0.0);
        let drag = |flow: &SurfaceFlow, strip: usize| flow.sections[strip].analytic.drag_min;
        assert_relative_eq!(drag(&down, 30) - drag(&plain, 30), 0.00757, epsilon = 5e-5);
        assert_eq!(drag(&down, 20), drag(&plain, 20));
    }

    #[test]
    fn partly_covered_strips_share_and_the_flapped_span_is_kept() {
        let flow = flapped((0.13, 0.61), 10.0);
        let acting = effective_deflection_rad(10_f64.to_radians());
        let covered: f64 = flow
            .sections
            .iter()
            .zip(&flow.line.strips)
            .map(|(s, strip)| s.flap_rad / acting * strip.width_m)
            .sum();
        // Both halves of 1 m; strips next to the ends are cut by their control widths, good to a strip's curvature.
        assert_relative_eq!(covered, 2.0 * 0.48, max_relative = 5e-3);
    }

    /// The edge turns about the hinge; the wake starts there and leaves along the acting deflection.
    #[test]
    fn wake_leaves_the_turned_edge_along_the_acting_flap() {
        let flow = flapped((0.0, 1.0), 20.0);
        let strip = 28;
        let (section, at) = (&flow.sections[strip], &flow.line.strips[strip]);
        let (delta, incidence) = (20_f64.to_radians(), 0.05_f64);
        let flap_m = 0.25 * at.chord_m;
        let along = |angle: f64| flap_m * Vec3::new(angle.cos(), 0.0, -angle.sin());
        let moved = along(incidence + delta) - along(incidence);
        assert_relative_eq!(section.edge_forward_m, -moved.x, epsilon = 1e-12);
        assert_relative_eq!(section.edge_rise_m, moved.z, epsilon = 1e-12);
        let line = CentreLine::new(&flow.line, strip, section, 0.2);
        assert_relative_eq!(line.height_m(-section.edge_forward_m), moved.z, epsilon = 1e-12);
        let step = 1e-6 * at.chord_m;
        let slope = (line.height_m(step - section.edge_forward_m) - moved.z) / step;
        let leaving = incidence + effective_deflection_rad(delta);
        // The root-of-distance rise of the flow adds 1e-3 of the angles at a millionth of a chord.
        assert_relative_eq!(slope.atan(), -leaving, epsilon = 2e-3);
        // Far behind it turns back towards the stream.
        assert!((line.height_m(0.2) - line.height_m(0.19)) / 0.01 > slope + 0.1);
    }

    #[test]
    fn stall_limits_keep_their_sign() {
        for deflection in [-60.0, 60.0] {
            let flow = flapped((0.0, 1.0), deflection);
            let section = &flow.sections[25].analytic;
            assert!(section.lift_max > 0.0 && section.lift_min < 0.0);
        }
    }
}
