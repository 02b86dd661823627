//! Lift slope of a section.

use std::f64::consts::TAU;

/// Part of the inviscid slope the boundary layer takes near Re 1e5: middle of 10 to 25 %, common practice.
const LOSS_LOW: (f64, f64) = (1e5, 0.175);

/// The same at Re 1e6 and above: 12 % sections of NACA Report 824 show 0.104 to 0.107 per degree (from memory).
const LOSS_HIGH: (f64, f64) = (1e6, 0.115);

/// Inviscid lift slope, per rad: 2π(1 + 0.77 t).
///
/// Textbook rule for sharp-edged sections, from memory; within 0.4 % of exact Joukowski and Kármán–Trefftz
/// sections to t = 0.21. Limit: 2π for a thin section.
#[must_use]
pub fn inviscid_lift_slope(thickness_ratio: f64) -> f64 {
    TAU * (1.0 + 0.77 * thickness_ratio)
}

/// Lift slope with boundary layer, per rad.
///
/// The loss is linear in log Re between its two values and held outside: slopes of 5.6 to 6.1 for ordinary
/// sections, the range of practice. It cannot be had from a plate's layer: displacement by momentum thickness
/// alone (θ ∝ ∫U⁴dx, upper against lower) takes 2 % at Re 6e6 where sections lose 8 %.
#[must_use]
pub fn lift_slope(thickness_ratio: f64, reynolds: f64) -> f64 {
    let part = ((reynolds / LOSS_LOW.0).ln() / (LOSS_HIGH.0 / LOSS_LOW.0).ln()).clamp(0.0, 1.0);
    let loss = LOSS_LOW.1 + part * (LOSS_HIGH.1 - LOSS_LOW.1);
    inviscid_lift_slope(thickness_ratio) * (1.0 - loss)
}
