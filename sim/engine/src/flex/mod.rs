//! Blades that bend: flap modes of the rotating beam, what the air damps of them, and what they take off the hub loads.

pub mod beam;
pub mod flap;
