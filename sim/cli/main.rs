//! The `wakebeat` command.
fn main() {}
