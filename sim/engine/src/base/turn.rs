//! Cosine and sine at equal steps of a turn.

use std::sync::Arc;

use super::kept::Kept;

/// Step counts kept: a study uses one or two.
const KEPT: usize = 8;

/// Cosine and sine of each step.
pub type Turn = Arc<[(f64, f64)]>;

static TURNS: Kept<Turn> = Kept::new(KEPT);

/// Cosine and sine of 2πj/`steps`, j from 0 (`steps` pairs); computed once for each count and shared.
///
/// ```
/// let quarter = wakebeat_engine::base::turn::turn(4)[1];
/// assert!(quarter.0.abs() < 1e-16 && quarter.1 == 1.0);
/// ```
#[must_use]
pub fn turn(steps: usize) -> Turn {
    TURNS.of(steps, || {
        (0..steps)
            .map(|j| {
                let (sin, cos) = (std::f64::consts::TAU * j as f64 / steps as f64).sin_cos();
                (cos, sin)
            })
            .collect()
    })
}

/// Most steps at a time, `most` or fewer, that lead around a ring of `count` and meet its first again; at least 1.
///
/// ```
/// use wakebeat_engine::base::turn::even_stride;
/// assert_eq!(even_stride(720, 7), 6);
/// assert_eq!(even_stride(7, 6), 1);
/// ```
#[must_use]
pub fn even_stride(count: usize, most: usize) -> usize {
    (1..=most).rev().find(|stride| count.is_multiple_of(*stride)).unwrap_or(1)
}
