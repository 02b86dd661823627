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
        let (forward, down) = (share * flap.chord_ratio * chord_m * (1.0 - cos), share * flap.chord_ratio * chord_m * sin);
        self.edge_forward_m += forward * cos_i + down * sin_i;
        self.edge_rise_m += forward * sin_i - down * cos_i;
    }
}
