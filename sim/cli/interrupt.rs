//! Ctrl-C: ends at once, except while a file is being written, which takes milliseconds and is finished first; a sweep
//! finishes the points in hand, a march the revolution in hand.

use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::failure::Failure;

/// Held while a file is written.
static WRITING: Mutex<()> = Mutex::new(());

/// Whether a file is begun that grows until the command ends.
static STREAMING: AtomicBool = AtomicBool::new(false);

/// Whether Ctrl-C came since.
static STOP: AtomicBool = AtomicBool::new(false);

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
    ctrlc::set_handler(|| {
        if STOP.swap(true, Ordering::Relaxed) {
            process::exit(INTERRUPTED);
        }
    })?;
    Ok(&STOP)
}

/// Installs a handler that ends at once as long as no file is [`begin_stream`]ed, and from then on asks for an end.
///
/// # Errors
/// When the system refuses.
pub fn install_streaming() -> Result<(), Failure> {
    ctrlc::set_handler(|| {
        let _end_of_writing = writing();
        if !STREAMING.load(Ordering::Relaxed) {
            process::exit(INTERRUPTED);
        }
        STOP.store(true, Ordering::Relaxed);
    })?;
    Ok(())
}

/// Begins a file that has to be finished, or removed, before the command ends.
///
/// # Errors
/// Those of `begin`.
pub fn begin_stream<T, E>(begin: impl FnOnce() -> Result<T, E>) -> Result<T, E> {
    let _writing = writing();
    let begun = begin()?;
    STREAMING.store(true, Ordering::Relaxed);
    Ok(begun)
}

/// Whether the stream is to be finished as it is.
pub fn is_stream_to_end() -> bool {
    STOP.load(Ordering::Relaxed)
}

/// Keeps Ctrl-C waiting until the guard is dropped.
pub fn writing() -> MutexGuard<'static, ()> {
    WRITING.lock().unwrap_or_else(PoisonError::into_inner)
}
