//! `wakebeat sweep` and `wakebeat merge`: the same bits however the grid is computed, and nothing lost on the way.

mod killed;
mod points;
mod readers;
mod trouble;

use std::path::Path;

use wakebeat_engine::record::read_sweep;

use crate::support::Place;

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

/// Twin propellers behind nacelles and a faster one of four blades far above the tail, with a further table of the case.
fn three_propellers(more: &str) -> Place {
    let place = Place::empty();
    place.run(["new", "pusher", "--scenario", "nacelle-pusher"]).good();
    let path = place.path().join("pusher/case.toml");
    let third = "\n[[further_propeller]]\nname = \"above\"\nhub_x_m = 0.8\nhub_y_m = 0.0\nhub_z_m = 0.5\n\
        blade_count = 4\ndiameter_m = 0.2\nspeed_ratio = 1.2\n";
    std::fs::write(&path, std::fs::read_to_string(&path).unwrap() + third + more).unwrap();
    place
}

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
