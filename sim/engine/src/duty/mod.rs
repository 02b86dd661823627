//! A duty cycle: a flight as a sequence of operating points, each with its duration, repeated over a life.
//!
//! | module | what |
//! |---|---|
//! | [`input`] | segments, counts of equivalent cycles, details with their S-N curves, densities |
//! | [`fly`] | every segment trimmed and computed |
//! | [`loads`] | the periodic loads of a segment at the hub |
//! | [`isolators`] | what the mount makes of them: forces on the isolators, torque of the motor |
//! | [`in_bands()`], [`past_limits()`] | segments flown where the mount or the model had better not be |
//! | [`result`] | what counting makes of them, as the result file holds it |
//!
//! Counting cycles is no physics of the propeller and lives in the post-processing library.

pub mod fly;
pub mod input;
pub mod isolators;
pub mod loads;
mod remarks;
pub mod result;

pub use remarks::{in_bands, past_limits};
