//! Ctrl-C: ends at once, except while a file is being written, which takes milliseconds and is finished first; a sweep
//! finishes the points in hand.

use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
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

/// Installs a handler that asks for an end at the first Ctrl-C, and ends at once at the second.
///
/// # Errors
/// When the system refuses.
pub fn install_gentle() -> Result<&'static AtomicBool, Failure> {
    static STOP: AtomicBool = AtomicBool::new(false);
    ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            process::exit(INTERRUPTED);
        }
    })?;
    Ok(&STOP)
}

/// Keeps Ctrl-C waiting until the guard is dropped.
pub fn writing() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}
