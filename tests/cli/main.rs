//! The `wakebeat` command from outside: what a user types, sees and finds on disk.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

mod check;
mod choose;
mod data;
mod explain;
mod external;
mod help;
mod interrupt;
mod json;
mod mount;
mod new;
mod output_file;
mod plot;
mod report;
mod run;
mod schema;
mod set;
mod shell;
mod sizing;
mod support;
mod sweep;
mod tutorial;
mod validate;
