//! Numbers and small tools every branch of the physics uses.

pub mod complex_lanes;
pub mod eigen;
pub mod error_function;
pub mod field;
pub mod fourier;
pub mod kept;
pub mod lagrange;
pub mod lanes;
pub mod pchip;
pub mod quadrature;
pub mod spline;
pub mod turn;

/// A vector in metres, metres per second or newtons; the frame is named where it is used.
pub type Vec3 = nalgebra::Vector3<f64>;
