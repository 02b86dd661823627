//! One operating point: what goes in, what comes out, and the order of evaluation between.

pub mod consequences;
pub mod input;
pub mod result;
