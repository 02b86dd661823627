//! How far a long computation is, on stderr.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

use wakebeat_engine::study::Progress;

use crate::numbers::significant;

/// Between two lines where stderr is not a terminal.
const SELDOM: Duration = Duration::from_secs(30);

/// One line that rewrites itself on a terminal, a line now and then elsewhere, nothing where it is not wanted.
pub struct ProgressLine {
    wanted: bool,
    terminal: bool,
    last: Option<Instant>,
    pending: String,
    width: usize,
}

impl ProgressLine {
    /// A line that is shown if `wanted`.
    pub fn new(wanted: bool) -> Self {
        Self { wanted, terminal: io::stderr().is_terminal(), last: None, pending: String::new(), width: 0 }
    }

    /// Shows how far it is.
    pub fn show(&mut self, progress: &Progress) {
        if !self.wanted {
            return;
        }
        let line = line(progress);
        // A closed stderr is no reason to fail.
        if self.terminal {
            let _ = write!(io::stderr(), "\r{line:<width$}", width = self.width);
            self.width = line.len();
        } else if self.last.is_none_or(|last| last.elapsed() >= SELDOM) {
            let _ = writeln!(io::stderr(), "{line}");
            self.last = Some(Instant::now());
            self.pending.clear();
        } else {
            self.pending = line;
        }
    }

    /// Leaves the last line as it stands.
    pub fn end(&self) {
        if self.wanted && (self.terminal || !self.pending.is_empty()) {
            let _ = writeln!(io::stderr(), "{}", self.pending);
        }
    }
}

/// `120 of 360 points (33 %), 2 without answer, 41.2 points/s, 6 s left`.
fn line(progress: &Progress) -> String {
    let Progress { total, before, done, failed, elapsed } = *progress;
    let mut line = format!("{done} of {total} points ({} %)", 100 * done / total.max(1));
    if before > 0 {
        line.push_str(&format!(", {before} from before"));
    }
    if failed > 0 {
        line.push_str(&format!(", {failed} without answer"));
    }
    let now = done.saturating_sub(before);
    if now > 0 && elapsed >= Duration::from_millis(500) {
        let rate = now as f64 / elapsed.as_secs_f64();
        line.push_str(&format!(", {} points/s", significant(rate, 3)));
        if done < total {
            line.push_str(&format!(", {} left", time_left((total - done) as f64 / rate)));
        }
    }
    line
}

/// Seconds as people read them: `41 s`, `3 min`, `2 h 5 min`.
fn time_left(seconds: f64) -> String {
    if seconds < 100.0 {
        return format!("{} s", seconds.ceil());
    }
    let minutes = (seconds / 60.0).ceil();
    if minutes < 100.0 {
        return format!("{minutes} min");
    }
    format!("{} h {} min", (minutes / 60.0).floor(), minutes % 60.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rate_and_time_left_count_only_what_was_done_now() {
        let mut progress =
            Progress { total: 360, before: 100, done: 140, failed: 2, elapsed: Duration::from_secs(2) };
        assert_eq!(
            line(&progress),
            "140 of 360 points (38 %), 100 from before, 2 without answer, 20.0 points/s, 11 s left"
        );
        progress.done = 360;
        assert!(line(&progress).ends_with("130 points/s"));
        progress = Progress { total: 360, before: 0, done: 0, failed: 0, elapsed: Duration::ZERO };
        assert_eq!(line(&progress), "0 of 360 points (0 %)");
    }

    #[test]
    fn times_are_rounded_up() {
        assert_eq!(time_left(0.2), "1 s");
        assert_eq!(time_left(150.0), "3 min");
        assert_eq!(time_left(7260.0), "2 h 1 min");
    }
}
