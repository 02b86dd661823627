//! `wakebeat sweep` and `wakebeat merge`: the same bits however the grid is computed, and nothing lost on the way.

mod killed;
mod points;
mod trouble;

use std::path::Path;

use wakebeat_engine::record::read_sweep;

/// A coarse pusher with a grid of 3 × 4 × 3 points, some of which cut the wing.
const GRID: &str = r#"
[solver]
stations = 5
azimuths = 40
harmonics = 4

[[sweep.axis]]
key = "propeller.blade_count"
values = [2, 3, 4]

[[sweep.axis]]
key = "placement.shaft_offset_m"
from = 0.0
to = 0.06
count = 4

[[sweep.axis]]
key = "placement.axial_gap_m"
values = [0.001, 0.03, 0.06]
"#;

/// Points of [`GRID`].
const POINTS: usize = 36;

/// The bytes of a sweep file, its time of writing blanked: all that may differ between two files of one sweep.
fn bytes_but_time(path: &Path) -> Vec<u8> {
    let time = read_sweep(path).unwrap().created_utc.into_bytes();
    let mut bytes = std::fs::read(path).unwrap();
    let at = bytes.windows(time.len()).position(|window| window == time).unwrap();
    bytes[at..at + time.len()].fill(b'-');
    bytes
}
