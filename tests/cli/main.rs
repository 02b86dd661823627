//! The `wakebeat` command from outside: what a user types, sees and finds on disk.

mod check;
mod data;
mod help;
mod interrupt;
mod new;
mod output_file;
mod plot;
mod run;
mod schema;
mod set;
mod support;
