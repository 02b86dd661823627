//! Numbers and small tools every branch of the physics uses.

/// A vector in metres, metres per second or newtons; the frame is named where it is used.
pub type Vec3 = nalgebra::Vector3<f64>;
