//! The handbook polar at one Reynolds number.

use super::friction::{form_factor, section_friction};
use super::greatest_lift::greatest_and_least_lift;
use super::lift_slope::lift_slope;
use super::properties::{SectionShape, ShapeProperties};
use crate::base::pchip::Pchip;
use crate::point::input::AnalyticSection;
use crate::section::Coefficients;
use crate::section::analytic::coefficients_on_line;

/// Length Reynolds number of transition on a smooth surface without pressure rise: between 5e5 of ordinary
/// streams and 3e6 of quiet ones (Schlichting, Boundary-Layer Theory, from memory).
const TRANSITION: f64 = 1e6;

/// Least Reynolds number: below it neither a boundary layer nor any figure here means much.
const LEAST_REYNOLDS: f64 = 1e3;

/// Drag rise K in cd = cdₘᵢₙ + K (cl − clᵢ)²: middle of 0.008 to 0.02 at Re 5e4 to 2e5 and of 0.003 to 0.006
/// above 1e6. Common practice; no published table at low Reynolds number was found. Between both it goes as Re^−½, as the thickness
/// of a laminar layer does and with it the form drag; on downward the same law.
const RISE_LOW: (f64, f64) = (1e5, 0.014);
const RISE_HIGH: (f64, f64) = (1e6, 0.0045);

/// Least Reynolds number of the drag rise, as of the whole model; held below.
const RISE_LEAST: f64 = 2e4;

/// Least drag and its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileDrag {
    /// Friction with form factor, both sides.
    pub friction: f64,
    /// Pressure drag of the laminar dead-air region.
    pub separation: f64,
    /// Pressure drag of a blunt trailing edge.
    pub base: f64,
    /// Distance from the nose to where the layer is turbulent, over chord; 1: never, the flow leaves laminar.
    pub turbulent_from: f64,
}

/// Least profile drag at a chord Reynolds number.
///
/// The layer is laminar to the first of natural transition (length Reynolds number 1e6) and laminar
/// separation; the separated layer becomes turbulent and reattaches a length on that its amplification or Carmichael's figure
/// gives (`LeavingLayer::length`). Friction by [`section_friction`] times [`form_factor`]; the dead air between adds pressure drag,
/// growing as Re falls until it reaches the trailing edge: at Re of about 1e5 for sections of ordinary form, all flow behind
/// separation is dead air. Continuous in Re. Limit: twice the plate's friction for a plate.
#[must_use]
pub fn profile_drag(shape: &SectionShape, reynolds: f64) -> ProfileDrag {
    let re = reynolds.max(LEAST_REYNOLDS);
    let natural = TRANSITION / re;
    let layer = shape.separation().layer;
    let separated = layer.at;
    let turbulent_from = natural.min(separated + layer.length(re)).min(1.0);
    let laminar_to = separated.min(turbulent_from);
    let factor = form_factor(shape.properties().thickness_ratio, laminar_to);
    let friction = 2.0 * factor * section_friction(re, laminar_to, turbulent_from);
    let attached = ((1.0 - turbulent_from) / BASE_ATTACHED).min(1.0);
    ProfileDrag {
        friction,
        separation: shape.separation().drag_to(turbulent_from),
        base: attached * base_drag(shape.properties().base_ratio, friction),
        turbulent_from,
    }
}

/// Pressure drag of a base of height h over chord c behind a section of friction drag `friction`, on the chord.
///
/// cd = 0.135 (h/c) / (cf c/h)^⅓ (S. F. Hoerner, Fluid-Dynamic Drag, 1965, ch. 3, two-dimensional; from memory): the boundary layers that
/// pass the base fill it up. Range: h/c from 0.003 to 0.1. Limit under test: none without base.
fn base_drag(base_ratio: f64, friction: f64) -> f64 {
    if base_ratio <= 0.0 { 0.0 } else { 0.135 * base_ratio / (friction / base_ratio).cbrt() }
}

/// Chords of turbulent layer before the edge from which a base counts fully: where the laminar layer leaves for good, its dead air
/// covers the base. So that the drag is continuous (design choice).
const BASE_ATTACHED: f64 = 0.1;

/// Measured over thin-aerofoil angle of zero lift, against how far aft camber lifts: the quarter-chord moment over the lift at
/// the chord line's zero angle. Five-digit lines (230) and four-digit lines with their crest at 0.4, at Re above 1e6 (USAF Stability and
/// Control handbook, sec. 4.1.1.1; NACA Reports 460 and 824; from memory).
const CAMBER_FAR_FORWARD: (f64, f64) = (0.106, 1.08);
const CAMBER_AT_MIDDLE: (f64, f64) = (0.233, 0.93);

/// Angle of zero lift against the x axis, rad: the chord line's, and of the camber's what measurements show.
fn zero_lift(properties: &ShapeProperties) -> f64 {
    let camber = properties.zero_lift_rad + properties.chord_line_rad;
    if camber == 0.0 {
        return properties.zero_lift_rad;
    }
    let aft = properties.moment / (std::f64::consts::TAU * camber);
    let (forward, middle) = (CAMBER_FAR_FORWARD, CAMBER_AT_MIDDLE);
    let part = ((aft - forward.0) / (middle.0 - forward.0)).clamp(0.0, 1.0);
    camber * (forward.1 + part * (middle.1 - forward.1)) - properties.chord_line_rad
}

/// The polar of an outline at one station of a blade.
#[derive(Debug, Clone)]
pub struct HandbookPolar {
    /// Its constants where layers that separate come back.
    pub constants: AnalyticSection,
    /// Lift that is missing against the angle, rad, where a laminar layer does not come back; none at high Reynolds numbers.
    missing: Option<Pchip>,
}

impl HandbookPolar {
    /// The polar at a chord Reynolds number, at a chord over its radius from the axis of rotation; 0 for a section that does not
    /// rotate.
    ///
    /// Rotation drives separated air outward and the Coriolis force on it acts as a falling pressure: tanh 3(c/r)² of the lift
    /// that separation took comes back (H. Snel, R. Houwink, W. J. Piers, Sectional prediction of 3D effects for separated flow on
    /// rotating blades, 1993; from memory). Taken for laminar separation; the stall proper is left two-dimensional.
    #[must_use]
    pub fn new(shape: &SectionShape, reynolds: f64, chord_over_radius: f64) -> Self {
        let constants = handbook_section(shape, reynolds);
        let line = |angle: f64| constants.lift_slope_per_rad * (angle - constants.zero_lift_rad);
        let kept = (3.0 * chord_over_radius * chord_over_radius).tanh();
        let missing = shape.laminar_lift().missing(reynolds.max(LEAST_REYNOLDS), kept, line);
        let missing = missing.map(|(angle, lift)| Pchip::new(angle, lift));
        Self { constants, missing }
    }

    /// Whether the lift line is straight up to stall.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        self.missing.is_none()
    }

    /// Coefficients at an angle, rad; `slope_factor` multiplies the lift without stall (compressibility).
    #[must_use]
    pub fn coefficients(&self, angle_rad: f64, slope_factor: f64) -> Coefficients {
        let straight = self.constants.lift_slope_per_rad * (angle_rad - self.constants.zero_lift_rad);
        let missing = self.missing.as_ref().map_or(0.0, |curve| curve.at(angle_rad));
        coefficients_on_line(&self.constants, angle_rad, slope_factor * (straight - missing))
    }
}

/// The constants of an analytic section for an outline at a chord Reynolds number, layers that separate taken to come back.
#[must_use]
pub fn handbook_section(shape: &SectionShape, reynolds: f64) -> AnalyticSection {
    let properties = shape.properties();
    let re = reynolds.max(LEAST_REYNOLDS);
    let drag = profile_drag(shape, re);
    let (lift_max, lift_min) = greatest_and_least_lift(properties.nose_sharpness, properties.ideal_lift, re);
    AnalyticSection {
        lift_slope_per_rad: lift_slope(properties.thickness_ratio, re),
        zero_lift_rad: zero_lift(properties),
        drag_min: drag.friction + drag.separation + drag.base,
        drag_rise: drag_rise(re),
        lift_at_drag_min: properties.ideal_lift.clamp(lift_min, lift_max),
        lift_max,
        lift_min,
    }
}

/// Drag rise, straight in the logarithms through its two values, held outside 2e4 to 1e6.
fn drag_rise(reynolds: f64) -> f64 {
    let held = reynolds.clamp(RISE_LEAST, RISE_HIGH.0);
    let part = (held / RISE_LOW.0).ln() / (RISE_HIGH.0 / RISE_LOW.0).ln();
    RISE_LOW.1 * (RISE_HIGH.1 / RISE_LOW.1).powf(part)
}
