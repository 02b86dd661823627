//! Induced velocity of each annulus.

pub mod momentum;
pub mod tip_loss;
