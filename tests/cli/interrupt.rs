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
