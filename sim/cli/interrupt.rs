//! Ctrl-C: ends at once, except while a file is being written, which takes milliseconds and is finished first.

use std::process;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::failure::Failure;

/// Held while a file is written.
static WRITING: Mutex<()> = Mutex::new(());

/// What a shell reports for a program that SIGINT ended.
const INTERRUPTED: i32 = 130;

/// Installs the handler.
///
/// # Errors
/// When the system refuses.
pub fn install() -> Result<(), Failure> {
    // The handler runs on a thread of its own, so it may wait. It keeps the lock: nothing is begun after Ctrl-C.
    ctrlc::set_handler(|| {
        let _end_of_writing = writing();
        process::exit(INTERRUPTED);
    })?;
    Ok(())
}

/// Keeps Ctrl-C waiting until the guard is dropped.
pub fn writing() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}
