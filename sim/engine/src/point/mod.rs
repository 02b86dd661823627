//! One operating point: what goes in, what comes out, and the order of evaluation between.

mod ahead;
pub mod airframe;
mod annulus;
mod assemble;
mod attribution;
mod balance;
mod bodies;
mod bracket;
pub mod consequences;
mod correction;
pub mod disk_fields;
mod disk_state;
mod error;
mod flow_orders;
mod group_state;
mod induced_tones;
pub mod input;
mod kept;
mod lane;
pub mod result;
mod ripple;
mod setup;
mod solve;
mod suction_limits;
mod summary;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod tests_sources;
pub mod wake_outline;
mod warnings;

pub use error::PointError;
pub use kept::Kept;
pub use solve::{
    mean_thrust_and_power, rough_thrust_n, solve, solve_keeping, solve_once, solve_once_keeping, solve_with,
};
