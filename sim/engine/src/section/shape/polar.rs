//! The handbook polar at one Reynolds number.

use super::friction::{form_factor, section_friction};
use super::greatest_lift::greatest_and_least_lift;
use super::lift_slope::lift_slope;
use super::properties::SectionShape;
use crate::point::input::AnalyticSection;

/// Length Reynolds number of transition on a smooth surface without pressure rise: between 5e5 of ordinary
/// streams and 3e6 of quiet ones (Schlichting, Boundary-Layer Theory, from memory).
const TRANSITION: f64 = 1e6;

/// Length Reynolds number of a separated laminar layer from separation until it has become turbulent and
/// reattached: B. H. Carmichael, Low Reynolds Number Airfoil Survey, NASA CR-165803, 1981: about 50 000 (from
/// memory; 3e4 to 6e4 elsewhere).
const SEPARATED_LAYER: f64 = 5e4;

/// Least Reynolds number: below it neither a boundary layer nor any figure here means much.
const LEAST_REYNOLDS: f64 = 1e3;

/// Drag rise K in cd = cdₘᵢₙ + K (cl − clᵢ)²: middle of 0.008 to 0.02 at Re 5e4 to 2e5 and of 0.003 to 0.006
/// above 1e6. Common practice; no published table at low Reynolds number was found.
const RISE_LOW: (f64, f64) = (1e5, 0.014);
const RISE_HIGH: (f64, f64) = (1e6, 0.0045);

/// Least drag and its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileDrag {
    /// Friction with form factor, both sides.
    pub friction: f64,
    /// Pressure drag of the laminar dead-air region.
    pub separation: f64,
    /// Distance from the nose to where the layer is turbulent, over chord; 1: never, the flow leaves laminar.
    pub turbulent_from: f64,
}

/// Least profile drag at a chord Reynolds number.
///
/// The layer is laminar to the first of natural transition (length Reynolds number 1e6) and laminar
/// separation; the separated layer becomes turbulent and reattaches 5e4/Re chords on (Carmichael). Friction
/// by [`section_friction`] times [`form_factor`]; the dead air between adds pressure drag, growing as Re
/// falls until it reaches the trailing edge: at Re of 5e4/(1 − xₛ), about 1e5 for sections of ordinary form,
/// all flow behind separation is dead air. Continuous in Re. Limit: twice the plate's friction for a plate.
#[must_use]
pub fn profile_drag(shape: &SectionShape, reynolds: f64) -> ProfileDrag {
    let re = reynolds.max(LEAST_REYNOLDS);
    let natural = TRANSITION / re;
    let separated = shape.separation().at;
    let turbulent_from = natural.min(separated + SEPARATED_LAYER / re).min(1.0);
    let laminar_to = separated.min(turbulent_from);
    let factor = form_factor(shape.properties().thickness_ratio, laminar_to);
    ProfileDrag {
        friction: 2.0 * factor * section_friction(re, laminar_to, turbulent_from),
        separation: shape.separation().drag_to(turbulent_from),
        turbulent_from,
    }
}

/// The constants of an analytic section for an outline at a chord Reynolds number.
#[must_use]
pub fn handbook_section(shape: &SectionShape, reynolds: f64) -> AnalyticSection {
    let properties = shape.properties();
    let re = reynolds.max(LEAST_REYNOLDS);
    let drag = profile_drag(shape, re);
    let (lift_max, lift_min) = greatest_and_least_lift(properties.nose_sharpness, properties.ideal_lift, re);
    AnalyticSection {
        lift_slope_per_rad: lift_slope(properties.thickness_ratio, re),
        zero_lift_rad: properties.zero_lift_rad,
        drag_min: drag.friction + drag.separation,
        drag_rise: drag_rise(re),
        lift_at_drag_min: properties.ideal_lift.clamp(lift_min, lift_max),
        lift_max,
        lift_min,
    }
}

/// Drag rise, straight in the logarithms between its two values, held outside.
fn drag_rise(reynolds: f64) -> f64 {
    let part = ((reynolds / RISE_LOW.0).ln() / (RISE_HIGH.0 / RISE_LOW.0).ln()).clamp(0.0, 1.0);
    RISE_LOW.1 * (RISE_HIGH.1 / RISE_LOW.1).powf(part)
}
