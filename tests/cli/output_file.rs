//! Where a result may go, and that nothing partial stays.

use std::fs;

use crate::support::{Place, skip};

const CASE: &str = "pusher/case.toml";

#[test]
fn an_earlier_result_is_replaced_without_asking() {
    let place = Place::with_case();
    place.run(["run", CASE, "-q"]).good();
    place.run(["run", CASE, "-q"]).good();
    assert_eq!(place.names(), ["pusher", "pusher.h5"]);
}

#[test]
fn a_foreign_file_needs_force() {
    let place = Place::with_case();
    fs::write(place.path().join("pusher.h5"), "mine").unwrap();
    let text = place.run(["run", CASE]).bad();
    assert!(text.contains("pusher.h5") && text.contains("--force"), "{text}");
    assert_eq!(fs::read_to_string(place.path().join("pusher.h5")).unwrap(), "mine");
    place.run(["run", CASE, "--force"]).good();
    place.run(["check", "pusher.h5"]).good();
}

#[test]
fn an_input_is_never_overwritten_even_by_force() {
    let place = Place::with_case();
    let answer = place.run(["check", CASE, "--json"]).good();
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    let folder = place.path().join("pusher");
    let named = answer["inputs"].as_array().unwrap().iter().map(|i| folder.join(i["path"].as_str().unwrap()));
    let inputs: Vec<_> = named.chain([place.path().join(CASE)]).collect();
    assert!(inputs.len() >= 2, "{inputs:?}");
    for input in inputs {
        let before = fs::read(&input).unwrap();
        let args = ["run".as_ref(), CASE.as_ref(), "--force".as_ref(), "-o".as_ref(), input.as_os_str()];
        let text = place.run(args).bad();
        assert!(text.contains("input"), "{text}");
        assert_eq!(fs::read(&input).unwrap(), before);
    }
    place.run(["run", CASE, "-q", "-o", "a.h5"]).good();
    assert!(place.run(["run", "a.h5"]).bad().contains("a.h5"));
}

#[test]
fn a_missing_folder_and_a_folder_as_file_are_refused() {
    let place = Place::with_case();
    assert!(place.run(["run", CASE, "-o", "nowhere/a.h5"]).bad().contains("nowhere"));
    assert!(place.run(["run", CASE, "-o", "pusher"]).bad().contains("pusher"));
    assert_eq!(place.names(), ["pusher"]);
}

#[cfg(unix)]
#[test]
fn a_read_only_folder_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::with_case();
    let folder = place.path().join("locked");
    fs::create_dir(&folder).unwrap();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    // Permission bits do not bind root, but a read-only mount does; another user needs no mount.
    let line = "if [ -w locked ]; then unshare -m sh -c 'mount -t tmpfs -o ro none locked || exit 77; \
                \"$WAKEBEAT\" run pusher/case.toml -o locked/a.h5; exit $?' || exit $?; \
                else \"$WAKEBEAT\" run pusher/case.toml -o locked/a.h5; fi";
    let ran = place.shell(line);
    if ran.code != Some(2) && ran.stderr.contains("unshare") || ran.code == Some(77) {
        skip("a_read_only_folder_is_refused", "root, and mounting is not allowed here");
        return;
    }
    let text = ran.bad();
    assert!(text.contains("locked"), "{text}");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 0);
}

/// A full disk seen by one process: no file may grow beyond 4 KiB (8 blocks of 512 B).
#[cfg(unix)]
#[test]
fn a_full_disk_leaves_the_earlier_result_and_nothing_else() {
    let place = Place::with_case();
    place.run(["run", CASE, "-q"]).good();
    let before = fs::read(place.path().join("pusher.h5")).unwrap();
    assert!(before.len() > 8192);
    let ran = place.shell("trap '' XFSZ; ulimit -f 8; exec \"$WAKEBEAT\" run pusher/case.toml");
    let text = ran.bad();
    assert!(text.contains("pusher.h5") && text.contains("cannot write"), "{text}");
    assert_eq!(fs::read(place.path().join("pusher.h5")).unwrap(), before);
    assert_eq!(place.names(), ["pusher", "pusher.h5"]);
}

/// The same for a file that is written as it is computed, whether the disk is full at its beginning or at its end.
#[cfg(unix)]
#[test]
fn a_full_disk_ends_a_march_in_one_line_and_leaves_nothing_else() {
    let place = Place::empty();
    place.run(["new", "m", "--scenario", "mount-response"]).good();
    let march =
        "march m/case.toml -q --set solver.stations=8 --set solver.azimuths=120 --set solver.harmonics=3";
    place.run(march.split(' ')).good();
    let before = fs::read(place.path().join("m.h5")).unwrap();
    for blocks in [0, 8, before.len() / 512 / 2, before.len() / 512 - 1] {
        let text =
            place.shell(&format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$WAKEBEAT\" {march}")).bad();
        assert!(text.contains("m.h5: cannot write: File too large"), "{blocks}: {text}");
        assert_eq!(text.trim().lines().count(), 1, "{blocks}: {text}");
        assert_eq!(fs::read(place.path().join("m.h5")).unwrap(), before, "{blocks}");
        assert_eq!(place.names(), ["m", "m.h5"], "{blocks}");
    }
}
