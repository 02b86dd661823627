//! One operating point: what goes in, what comes out, and the order of evaluation between.

mod annulus;
mod assemble;
mod bodies;
pub mod consequences;
mod disk_fields;
mod error;
mod group_solve;
pub mod input;
pub mod result;
mod setup;
mod solve;
mod summary;
#[cfg(test)]
mod tests;
mod warnings;

pub use error::PointError;
pub use solve::{solve, solve_once, solve_with};
