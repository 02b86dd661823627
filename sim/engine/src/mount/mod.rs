//! The mount: what shakes, at which speed, and is it stable.
//!
//! | module | what |
//! |---|---|
//! | [`input`] | powerplant, isolators, base, sensors |
//! | [`estimate`] | mass and inertia where none are given |
//! | [`system`] | mass, damping, gyroscopic and stiffness matrices |
//! | [`modes`] | frequencies, damping, sense of whirl |
//! | [`aero`] | what motion of the hub changes in the airloads |
//! | [`loads`] | hub loads by order, unbalance by grade |
//! | [`response`] | steady vibration, isolator forces, transmissibility, sensors |
//! | [`periodic`] | one and two blades: Floquet and harmonic balance |

pub mod aero;
mod error;
pub mod estimate;
pub mod input;
pub mod loads;
pub mod modes;
pub mod periodic;
pub mod response;
pub mod system;

pub use error::MountError;
pub use nalgebra::Complex;

/// A complex amplitude a e^(−iφ).
pub type Complex64 = Complex<f64>;
