//! A sweep that is killed or interrupted at any moment is continued to the same bytes.
#![cfg(unix)]

use std::fs::File;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use super::{bytes_but_time, three_propellers};
use crate::support::{Place, binary};

const CASE: &str = "pusher/case.toml";

/// Enough points for a second or so of work on one thread.
const LONG: &str = r#"
[solver]
stations = 16
azimuths = 360
harmonics = 4

[[sweep.axis]]
key = "placement.shaft_offset_m"
from = 0.0
to = 0.06
count = 10

[[sweep.axis]]
key = "placement.axial_gap_m"
from = 0.03
to = 0.1
count = 20
"#;

const POINTS: usize = 200;

fn start(place: &Place, more: &[&str]) -> Child {
    let log = File::create(place.path().join("log")).unwrap();
    let args = [&["sweep", CASE, "--threads", "1"][..], more].concat();
    let mut command = Command::new(binary());
    command.args(args).current_dir(place.path()).stdout(Stdio::null()).stderr(log).spawn().unwrap()
}

fn parts(place: &Place) -> usize {
    let Ok(entries) = std::fs::read_dir(place.path().join("pusher.h5.parts")) else { return 0 };
    entries.filter(|e| e.as_ref().is_ok_and(|e| e.file_name().to_string_lossy().ends_with(".part"))).count()
}

/// Points done, as the refusal to start over tells: `(37 of 200 points)`.
fn done(place: &Place) -> usize {
    let text = place.run(["sweep", CASE]).bad();
    assert!(text.contains("--resume") && text.contains("--restart"), "{text}");
    let counted = text.split('(').nth(1).and_then(|rest| rest.split(' ').next()).unwrap();
    counted.parse().unwrap()
}

/// Waits for the first part, then for `wait`, and sends a signal; whether the sweep was still at work.
fn stop_after(place: &Place, more: &[&str], wait: Duration, signal: &str) -> bool {
    let mut child = start(place, more);
    while parts(place) == 0 && child.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_millis(2));
    }
    std::thread::sleep(wait);
    let at_work = child.try_wait().unwrap().is_none();
    Command::new("kill").args([signal, &child.id().to_string()]).output().unwrap();
    let status = child.wait().unwrap();
    at_work && !status.success()
}

/// Continues and gives what it says of its own work.
fn resume(place: &Place) -> String {
    let ran = place.run(["sweep", CASE, "--resume", "--threads", "2"]);
    assert_eq!(ran.code, Some(0), "{ran:?}");
    ran.stderr
}

fn reference(place: &Place) -> (Vec<u8>, Duration) {
    let begun = Instant::now();
    assert!(start(place, &[]).wait().unwrap().success());
    let took = begun.elapsed();
    let whole = place.path().join("pusher.h5");
    let bytes = bytes_but_time(&whole);
    std::fs::remove_file(whole).unwrap();
    (bytes, took)
}

/// Kills at random moments; as many as `WAKEBEAT_KILLS` says, or 3.
#[test]
fn killed_sweeps_are_continued_to_the_same_bytes() {
    let kills = std::env::var("WAKEBEAT_KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(3);
    let place = Place::with_case_and(LONG);
    let (whole, took) = reference(&place);
    let mut seed = SystemTime::now().duration_since(UNIX_EPOCH).unwrap().subsec_nanos();
    let first_seed = seed;
    let mut killed = 0;
    for _ in 0..10 * kills {
        // Knuth's linear congruential generator.
        seed = seed.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let wait = took.mul_f64(0.8 * f64::from(seed >> 8) / f64::from(1_u32 << 24));
        if !stop_after(&place, &[], wait, "-KILL") {
            let _ = std::fs::remove_file(place.path().join("pusher.h5")); // too late: it had ended
            place.run(["sweep", CASE, "-q", "--restart"]).good();
            std::fs::remove_file(place.path().join("pusher.h5")).unwrap();
            continue;
        }
        let before = done(&place);
        if before == POINTS {
            resume(&place); // too late: only the file was left to write
            assert!(bytes_but_time(&place.path().join("pusher.h5")) == whole);
            std::fs::remove_file(place.path().join("pusher.h5")).unwrap();
            continue;
        }
        assert!(0 < before && before < POINTS, "{before} points at death, seed {first_seed}");
        let said = resume(&place);
        assert!(said.contains(&format!("{before} of {POINTS} points")), "starts at {before}: {said}");
        assert!(
            said.contains(&format!("{POINTS} of {POINTS} points (100 %), {before} from before")),
            "{said}"
        );
        assert!(
            bytes_but_time(&place.path().join("pusher.h5")) == whole,
            "killed after {before} points, seed {first_seed}"
        );
        assert!(!place.path().join("pusher.h5.parts").exists());
        std::fs::remove_file(place.path().join("pusher.h5")).unwrap();
        killed += 1;
        if killed == kills {
            return;
        }
    }
    panic!("only {killed} sweeps were killed at work");
}

/// Columns of further propellers are continued like those of the first.
#[test]
fn killed_sweeps_of_several_propellers_are_continued_to_the_same_bytes() {
    let axes = "\n[solver]\nstations = 8\nazimuths = 120\nharmonics = 4\n\
        [[sweep.axis]]\nkey = \"further_propeller.port.shaft_offset_m\"\nfrom = 0.02\nto = 0.06\ncount = 60\n";
    let place = three_propellers(axes);
    let (whole, took) = reference(&place);
    assert!(stop_after(&place, &[], took / 3, "-KILL"));
    let before = done(&place);
    assert!(0 < before && before < 60, "{before} points at death");
    let said = resume(&place);
    assert!(said.contains(&format!("60 of 60 points (100 %), {before} from before")), "{said}");
    assert!(bytes_but_time(&place.path().join("pusher.h5")) == whole);
}

#[test]
fn ctrl_c_keeps_what_is_done() {
    let place = Place::with_case_and(LONG);
    let (whole, took) = reference(&place);
    assert!(stop_after(&place, &[], took / 4, "-INT"));
    let log = std::fs::read_to_string(place.path().join("log")).unwrap();
    assert!(log.contains("interrupted") && log.contains("--resume"), "{log}");
    let before = done(&place);
    assert!(0 < before && before < POINTS);
    assert!(log.contains(&format!("{before} points are done")), "{log}");
    resume(&place);
    assert!(bytes_but_time(&place.path().join("pusher.h5")) == whole);
}

#[test]
fn parts_of_another_sweep_are_refused_with_what_differs() {
    let place = Place::with_case_and(LONG);
    assert!(stop_after(&place, &[], Duration::ZERO, "-KILL"));
    let other = |more: &[&str]| place.run([&["sweep", CASE, "--resume"][..], more].concat()).bad();
    let text = other(&["--set", "flight.airspeed_m_s=15.0"]);
    assert!(text.contains("flight.airspeed_m_s was 16.0, is 15.0") && text.contains("--restart"), "{text}");
    let text = other(&["--shard", "1/2", "-o", "pusher.h5"]);
    assert!(text.contains("shard was 1/1, is 1/2"), "{text}");
    let blade = place.path().join("pusher/da4022_9x6.75.csv");
    let table = std::fs::read_to_string(&blade).unwrap();
    std::fs::write(&blade, table.clone() + "# a remark\n").unwrap();
    assert!(other(&[]).contains("file da4022_9x6.75.csv has changed"));
    std::fs::write(&blade, table).unwrap();
    resume(&place);
    assert!(!place.path().join("pusher.h5.parts").exists());
}

/// The second sweep is told to wait; the first ends as if alone.
#[test]
fn two_sweeps_do_not_write_one_file() {
    let place = Place::with_case_and(LONG);
    let mut first = start(&place, &[]);
    let lock = place.path().join("pusher.h5.parts/lock");
    while !lock.exists() && first.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_millis(1));
    }
    std::thread::sleep(Duration::from_millis(20));
    for more in [&[][..], &["--resume"], &["--restart"]] {
        let text = place.run([&["sweep", CASE][..], more].concat()).bad();
        assert!(text.contains("another sweep writes this file now"), "{text}");
    }
    assert!(first.wait().unwrap().success());
    assert!(is_whole(&place.path().join("pusher.h5")));
}

fn is_whole(path: &Path) -> bool {
    wakebeat_engine::record::read_sweep(path).is_ok_and(|record| record.status.len() == POINTS)
}
