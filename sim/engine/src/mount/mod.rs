//! The mount: what shakes, at which speed, and is it stable.
//!
//! | module | what |
//! |---|---|
//! | [`input`] | powerplant, isolators, base, sensors |
//! | [`estimate`] | mass and inertia where none are given |
//! | [`system`] | mass, damping, gyroscopic and stiffness matrices |
//! | [`modes`] | frequencies, damping, sense of whirl |
//! | [`flown`] | airspeeds that belong to shaft speeds |
//! | [`aero`] | what motion of the hub changes in the airloads |
//! | [`loads`] | hub loads by order, unbalance by grade |
//! | [`response`] | steady vibration, isolator forces, transmissibility, sensors |
//! | [`periodic`] | one and two blades: Floquet and harmonic balance |
//! | [`shaking`] | what shakes at one state, channel by channel |
//! | [`whirl`] | stability with air |
//! | [`scan`], [`avoid`] | against shaft speed and angle of attack: crossings, speeds to avoid |
//! | [`study`], [`fields`] | the whole answer, and as named arrays |

pub mod aero;
pub mod avoid;
mod error;
pub mod estimate;
pub mod fields;
pub mod flown;
pub mod input;
pub mod loads;
pub mod modes;
pub mod periodic;
pub mod response;
pub mod scan;
pub mod shaking;
pub mod study;
pub mod system;
pub mod whirl;

pub use error::MountError;
pub use nalgebra::Complex;

/// A complex amplitude a e^(−iφ).
pub type Complex64 = Complex<f64>;

/// A matrix of any size.
pub type Matrix = nalgebra::DMatrix<f64>;
