//! A handbook polar from the outline of a section.
//!
//! Geometry once ([`SectionShape::new`]): zero-lift angle, quarter-chord moment and design lift from the mean
//! line by thin-aerofoil theory, thickness, nose radius and sharpness, the speed over the thickness form and
//! where a laminar layer leaves it. Then, for one Reynolds number ([`handbook_section`]), the constants of an
//! analytic section: lift slope, friction and separation drag, drag rise, greatest and least lift, and the lift that
//! is lost where a laminar layer separates and does not come back ([`HandbookPolar`]).
//!
//! No constant comes from propeller measurements. Range: thickness 0 to 0.25 chord, camber to 0.08 chord,
//! Reynolds number 2e4 to 1e7, smooth surface, low turbulence; drag within about 30 % below Re 1e5.

mod friction;
mod greatest_lift;
mod laminar;
mod laminar_lift;
mod lift_slope;
mod mean_line;
mod outline;
mod polar;
mod properties;
mod shear_layer;
mod surface_speed;
#[cfg(test)]
mod tests;

pub use friction::{form_factor, laminar_friction, section_friction, turbulent_friction};
pub use lift_slope::{inviscid_lift_slope, lift_slope};
pub use outline::OutlineError;
pub use polar::{HandbookPolar, ProfileDrag, handbook_section, profile_drag};
pub use properties::{SectionShape, ShapeProperties};
