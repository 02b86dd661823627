//! The airframe as a whole: what it weighs, how it lifts and drags, how it stands on the ground.

use crate::base::Vec3;

/// What is known of the airframe; aircraft axes.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Airframe {
    /// Mass in flight, kg.
    pub mass_kg: Option<f64>,
    /// Centre of gravity, m.
    pub centre_of_gravity_m: Option<Vec3>,
    /// Moments of inertia about x, y, z through the centre of gravity, kg m².
    pub inertia_kg_m2: Option<Vec3>,
    /// Product of inertia ∫ x z dm about the centre of gravity, kg m².
    pub inertia_xz_kg_m2: f64,
    /// Drag over dynamic pressure at zero lift, without the propeller, m².
    pub drag_area_m2: Option<f64>,
    /// Area of the coefficients, m²; without it the surfaces' area seen from above.
    pub reference_area_m2: Option<f64>,
    /// Lift of the whole aircraft in place of the surfaces' lifting lines.
    pub lift: Option<AircraftLift>,
    /// Landing gear.
    pub gear: Option<Gear>,
    /// Height of the water's surface on the aircraft at rest afloat, m.
    pub waterline_z_m: Option<f64>,
}

/// Lift and induced drag of the whole aircraft on the reference area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AircraftLift {
    /// Reference area, m².
    pub reference_area_m2: f64,
    /// Lift slope, 1/rad.
    pub lift_slope_per_rad: f64,
    /// Angle of attack without lift, rad.
    pub zero_lift_rad: f64,
    /// Greatest lift coefficient; the least is its negative.
    pub lift_max: f64,
    /// Induced drag coefficient over the square of the lift coefficient.
    pub induced_drag_factor: f64,
}

/// Where the wheels meet the ground, static load; aircraft axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gear {
    /// Whether the third wheel is a tail wheel.
    pub tail_wheel: bool,
    /// Contact of a main wheel, m.
    pub main_m: Vec3,
    /// Contact of the nose or tail wheel, m.
    pub third_m: Vec3,
    /// How much lower an axle stands on a flat tyre, m.
    pub tyre_drop_m: f64,
    /// How far a strut goes in until it bottoms, m.
    pub strut_drop_m: f64,
    /// Largest nose-up attitude against the static one, rad.
    pub rotation_rad: Option<f64>,
}
