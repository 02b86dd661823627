//! Cosine and sine at equal steps of a turn.

use std::sync::{Arc, Mutex, PoisonError};

/// Step counts kept: a study uses one or two.
const KEPT: usize = 8;

/// Cosine and sine of each step.
pub type Turn = Arc<[(f64, f64)]>;

static TURNS: Mutex<Vec<Turn>> = Mutex::new(Vec::new());

/// Cosine and sine of 2πj/`steps`, j from 0 (`steps` pairs); computed once for each count and shared.
///
/// ```
/// let quarter = wakebeat_engine::base::turn::turn(4)[1];
/// assert!(quarter.0.abs() < 1e-16 && quarter.1 == 1.0);
/// ```
#[must_use]
pub fn turn(steps: usize) -> Turn {
    let mut turns = TURNS.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(turn) = turns.iter().find(|turn| turn.len() == steps) {
        return Arc::clone(turn);
    }
    let turn: Turn = (0..steps)
        .map(|j| {
            let (sin, cos) = (std::f64::consts::TAU * j as f64 / steps as f64).sin_cos();
            (cos, sin)
        })
        .collect();
    if turns.len() == KEPT {
        turns.remove(0);
    }
    turns.push(Arc::clone(&turn));
    turn
}
