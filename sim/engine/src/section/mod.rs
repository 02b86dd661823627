//! Section coefficients: what lift and drag a blade section or a surface section gives at an angle.
//!
//! A section model answers for one station: [`SectionModel::coefficients`] takes the angle of attack
//! and the local Mach number. Reynolds number enters when the station is prepared (it follows the
//! azimuth-mean speed; its change within a revolution is left out, a few per cent of speed).

mod analytic;
mod compressibility;
pub mod shape;
mod table;

pub use analytic::{LINEAR_PART, analytic_coefficients};
pub use compressibility::{drag_rise_mach, lift_factor};
pub use table::PolarSlice;

/// Lift and drag coefficients.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Lift coefficient.
    pub lift: f64,
    /// Drag coefficient.
    pub drag: f64,
}

/// A section at one blade station.
pub trait SectionModel: Send + Sync {
    /// Coefficients at an angle of attack in ±π, rad, and a Mach number.
    fn coefficients(&self, angle_rad: f64, mach: f64) -> Coefficients;
}
