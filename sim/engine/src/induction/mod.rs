//! Induced velocity of each annulus.

pub mod dynamic;
pub mod goldstein;
pub mod momentum;
pub mod tip_loss;
