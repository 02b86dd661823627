//! Published results and exact solutions against the engine.
//!
//! The tests of this crate hold outside truth only: each names its source and says what sets its tolerance.
//! Comparisons with our own past values do not belong here.

pub mod mounts;
pub mod propellers;
pub mod reference;
