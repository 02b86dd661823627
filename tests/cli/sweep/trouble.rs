//! Full disks, folders that cannot be written, and what stands in the way: an error in words, earlier results intact.

use std::fs;

use wakebeat_engine::record::read_sweep;

use super::{GRID, POINTS, bytes_but_time};
use crate::support::Place;

const CASE: &str = "pusher/case.toml";

/// The file size limit of the shell gives the error that a full disk gives, half-way through the bytes.
#[cfg(unix)]
#[test]
fn a_full_disk_costs_neither_earlier_results_nor_points() {
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q"]).good();
    let result = place.path().join("pusher.h5");
    let (whole, earlier) = (bytes_but_time(&result), fs::read(&result).unwrap());
    // Parts fit, the whole does not.
    let limit = earlier.len() / 512 / 2;
    let line = |more: &str| {
        format!("trap '' XFSZ; ulimit -f {limit}; exec \"$WAKEBEAT\" sweep {CASE} --threads 1 {more}")
    };
    let text = place.shell(&line("")).bad();
    assert!(text.contains("pusher.h5: cannot") && text.contains("File too large"), "{text}");
    assert!(text.contains(&format!("{POINTS} points are safe")) && text.contains("--resume"), "{text}");
    assert!(fs::read(&result).unwrap() == earlier);
    assert_eq!(place.names(), ["pusher", "pusher.h5", "pusher.h5.parts"]);
    place.run(["sweep", CASE, "--resume", "-q"]).good();
    assert!(bytes_but_time(&result) == whole);
    assert_eq!(place.names(), ["pusher", "pusher.h5"]);
    // Not even a plan fits.
    let none = format!("trap '' XFSZ; ulimit -f 0; exec \"$WAKEBEAT\" sweep {CASE}");
    let text = place.shell(&none).bad();
    assert!(text.contains("File too large"), "{text}");
    assert!(bytes_but_time(&result) == whole);
    assert_eq!(place.names(), ["pusher", "pusher.h5"]);
}

/// Permission bits do not bind root, but nobody makes files in /proc.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_cannot_be_written_is_refused_before_computing() {
    let place = Place::with_case_and(GRID);
    let text = place.run(["sweep", CASE, "-o", "/proc/a.h5"]).bad();
    assert!(text.contains("cannot write in the folder `/proc`"), "{text}");
    assert!(place.run(["sweep", CASE, "-o", "nowhere/a.h5"]).bad().contains("nowhere"));
}

#[test]
fn what_is_not_ours_is_left_alone() {
    let place = Place::with_case_and(GRID);
    let parts = place.path().join("pusher.h5.parts");
    fs::create_dir(&parts).unwrap();
    fs::write(parts.join("thesis.txt"), "years of work").unwrap();
    for more in [&[][..], &["--restart"], &["--resume"]] {
        let text = place.run([&["sweep", CASE][..], more].concat()).bad();
        assert!(text.contains("holds something else"), "{text}");
    }
    assert_eq!(fs::read_to_string(parts.join("thesis.txt")).unwrap(), "years of work");
    fs::remove_dir_all(&parts).unwrap();
    fs::write(place.path().join("pusher.h5"), "mine").unwrap();
    assert!(place.run(["sweep", CASE]).bad().contains("--force"));
    assert!(place.run(["sweep", CASE, "-o", CASE, "--force"]).bad().contains("input"));
    place.run(["sweep", CASE, "-q", "--force"]).good();
    assert!(read_sweep(&place.path().join("pusher.h5")).is_ok());
}

/// A damaged part is named, and computed again once it is gone.
#[cfg(unix)]
#[test]
fn a_damaged_part_is_named() {
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q", "-o", "whole.h5"]).good();
    let limit = fs::metadata(place.path().join("whole.h5")).unwrap().len() / 512 / 2;
    place.shell(&format!("trap '' XFSZ; ulimit -f {limit}; exec \"$WAKEBEAT\" sweep {CASE} -q")).bad();
    let parts = place.path().join("pusher.h5.parts");
    let part = parts.join("part-000000.part");
    let bytes = fs::read(&part).unwrap();
    fs::write(&part, &bytes[..bytes.len() - 8]).unwrap();
    let text = place.run(["sweep", CASE, "--resume"]).bad();
    assert!(text.contains("part-000000.part: is damaged"), "{text}");
    fs::remove_file(&part).unwrap();
    place.run(["sweep", CASE, "--resume", "-q"]).good();
    assert!(
        bytes_but_time(&place.path().join("pusher.h5")) == bytes_but_time(&place.path().join("whole.h5"))
    );
}

#[test]
fn other_commands_know_a_sweep() {
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q"]).good();
    place.run(["plot", "pusher.h5", "-d", "pictures"]).good();
    assert!(std::fs::read_dir(place.path().join("pictures")).unwrap().count() > 0);
    place.run(["check", "pusher.h5"]).good();
    place.run(["run", "pusher.h5", "-q", "-o", "one.h5", "--set", "placement.shaft_offset_m=0.04"]).good();
}
