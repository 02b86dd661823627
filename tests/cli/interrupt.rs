//! Ctrl-C at any moment: a whole file or none.

#[cfg(unix)]
#[test]
fn ctrl_c_leaves_a_whole_result_or_none() {
    use crate::support::{Place, binary};
    use std::process::Command;
    use std::time::{Duration, Instant};

    let place = Place::with_case();
    let start = || {
        let mut command = Command::new(binary());
        command.args(["run", "pusher/case.toml", "-q"]).current_dir(place.path()).spawn().unwrap()
    };
    let begun = Instant::now();
    start().wait().unwrap();
    let whole = begun.elapsed();
    let mut interrupted = 0;
    for k in 0..24 {
        let _ = std::fs::remove_file(place.path().join("pusher.h5"));
        let mut child = start();
        std::thread::sleep(whole.mul_f64(f64::from(k) / 20.0).max(Duration::from_millis(1)));
        Command::new("kill").args(["-INT", &child.id().to_string()]).output().unwrap();
        let status = child.wait().unwrap();
        interrupted += usize::from(!status.success());
        match place.names().as_slice() {
            [case] if case == "pusher" => assert!(!status.success()),
            [case, file] if case == "pusher" && file == "pusher.h5" => {
                place.run(["check", "pusher.h5"]).good();
            }
            names => panic!("left behind: {names:?}"),
        }
    }
    assert!(interrupted > 0, "no run was interrupted");
}

/// Waits for a command to end by itself; one that does not is ended and fails the test.
#[cfg(unix)]
#[track_caller]
fn ended_within(mut child: std::process::Child, limit: std::time::Duration) -> crate::support::Ran {
    let begun = std::time::Instant::now();
    while child.try_wait().unwrap().is_none() {
        if begun.elapsed() > limit {
            child.kill().unwrap();
            child.wait().unwrap();
            panic!("still at work {limit:?} after Ctrl-C");
        }
        std::thread::sleep(std::time::Duration::from_millis(10));
    }
    child.wait_with_output().unwrap().into()
}

/// A march of half an hour of flight, ended in its first revolutions and before them.
#[cfg(unix)]
#[test]
fn ctrl_c_ends_a_march_and_keeps_what_is_marched() {
    use crate::support::{Place, binary};
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    let place = Place::empty();
    place.run(["new", "m", "--scenario", "mount-response"]).good();
    let sets =
        ["solver.stations=8", "solver.azimuths=120", "solver.harmonics=3", "schedule.cruise.time_s=2000"];
    let start = || {
        let mut command = Command::new(binary());
        command.args(["march", "m/case.toml"]).args(sets.iter().flat_map(|set| ["--set", set]));
        command.current_dir(place.path()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
    };
    let interrupt = |id: u32| Command::new("kill").args(["-INT", &id.to_string()]).output().unwrap();
    // A revolution and the end of a file take milliseconds; the whole march takes minutes.
    let soon = Duration::from_secs(20);

    let early = start();
    std::thread::sleep(Duration::from_millis(5));
    interrupt(early.id());
    assert_ne!(ended_within(early, soon).code, Some(0));

    let _ = std::fs::remove_file(place.path().join("m.h5"));
    let child = start();
    let begun = Instant::now();
    // The file grows under a temporary name; the one that only tries the folder is gone at once.
    let mut seen = place.names();
    loop {
        std::thread::sleep(Duration::from_millis(100));
        let now = place.names();
        if now.len() > 1 && now == seen {
            break;
        }
        assert!(begun.elapsed() < 6 * soon, "no file is begun");
        seen = now;
    }
    std::thread::sleep(Duration::from_millis(300));
    interrupt(child.id());
    let ran = ended_within(child, soon);
    assert_eq!(ran.code, Some(130), "{ran:?}");
    assert!(ran.stdout.is_empty(), "{ran:?}");
    assert!(ran.stderr.contains("of 2000 s, and kept in m.h5"), "{ran:?}");
    assert_eq!(place.names(), ["m", "m.h5"]);
    let file = wakebeat_engine::record::read_march(&place.path().join("m.h5")).unwrap();
    let marched = file.numbers("march/harmonics/revolution").len();
    assert!(marched > 0 && ran.stderr.contains(&format!("interrupted: {marched} revolutions")), "{ran:?}");
    place.run(["plot", "m.h5", "-d", "pictures"]).good();
}
