//! Where a result may be written, and what is left when writing fails.

use std::fs;
use std::path::Path;
use std::process::Command;

use wakebeat_engine::record::{RecordError, check_target, read_run, write_run};

use crate::synthetic::record;

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap();
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn a_foreign_file_stays_unless_forced() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("thesis.h5");
    fs::write(&path, "years of work").unwrap();
    assert!(matches!(check_target(&path, false, &[]), Err(RecordError::Foreign { .. })));
    let error = write_run(&path, &record(1), false).unwrap_err();
    assert!(error.to_string().contains("`--force`"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "years of work");
    write_run(&path, &record(1), true).unwrap();
    assert!(read_run(&path).is_ok());
    assert_eq!(names(folder.path()), ["thesis.h5"]);
}

#[test]
fn an_earlier_result_is_replaced_without_force() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    write_run(&path, &record(1), false).unwrap();
    let mut later = record(1);
    later.program_version = "0.2.0".to_owned();
    write_run(&path, &later, false).unwrap();
    assert_eq!(read_run(&path).unwrap().program_version, "0.2.0");
}

#[test]
fn an_input_is_never_the_output() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    write_run(&path, &record(1), false).unwrap();
    let roundabout = folder.path().join(".").join("run.h5");
    for force in [false, true] {
        let error = check_target(&path, force, &[Path::new("absent.toml"), &roundabout]);
        assert!(matches!(error, Err(RecordError::SameAsInput { .. })), "{error:?}");
    }
}

#[test]
fn folders_and_missing_folders_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let error = check_target(folder.path(), true, &[]);
    assert!(matches!(error, Err(RecordError::NotAFile { .. })), "{error:?}");
    let error = check_target(&folder.path().join("none").join("run.h5"), true, &[]);
    assert!(matches!(error, Err(RecordError::FolderMissing { .. })), "{error:?}");
    let blocked = folder.path().join("file");
    fs::write(&blocked, "").unwrap();
    let error = check_target(&blocked.join("run.h5"), true, &[]);
    assert!(error.is_err(), "{error:?}");
    assert_eq!(names(folder.path()), ["file"]);
}

#[test]
fn a_bare_name_means_the_current_folder() {
    assert!(check_target(Path::new("no-such-file-yet.h5"), false, &[]).is_ok());
    assert!(!Path::new("no-such-file-yet.h5").exists());
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;

    fn set_mode(path: &Path, mode: u32) {
        fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    }

    /// Permission bits do not bind root, but nobody makes files in /proc.
    #[test]
    fn a_read_only_folder_is_refused_before_computing() {
        let folder = tempfile::tempdir().unwrap();
        set_mode(folder.path(), 0o555);
        let bits_bind = fs::write(folder.path().join("probe"), "").is_err();
        let locked = if bits_bind { folder.path() } else { Path::new("/proc") };
        let error = check_target(&locked.join("run.h5"), false, &[]);
        set_mode(folder.path(), 0o755);
        assert!(matches!(error, Err(RecordError::FolderNotWritable { .. })), "{error:?}");
    }

    #[test]
    fn a_write_protected_result_stays_unless_forced() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("run.h5");
        write_run(&path, &record(1), false).unwrap();
        set_mode(&path, 0o444);
        let error = check_target(&path, false, &[]);
        assert!(matches!(error, Err(RecordError::Protected { .. })), "{error:?}");
        assert!(check_target(&path, true, &[]).is_ok());
    }

    #[test]
    fn a_device_is_refused() {
        let error = check_target(Path::new("/dev/null"), true, &[]);
        assert!(matches!(error, Err(RecordError::NotAFile { .. })), "{error:?}");
    }

    #[test]
    fn a_symbolic_link_keeps_pointing_at_the_new_result() {
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (folder.path().join("run.h5"), folder.path().join("latest.h5"));
        write_run(&path, &record(1), false).unwrap();
        symlink(&path, &link).unwrap();
        write_run(&link, &record(3), false).unwrap();
        assert!(link.is_symlink());
        assert_eq!(read_run(&path).unwrap().result.blades.len(), 3);
    }

    /// The link stays and its target is made, in the folder that the link names from its own.
    #[test]
    fn a_link_to_a_file_that_is_not_there_yet_makes_that_file() {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("results")).unwrap();
        let link = folder.path().join("latest.h5");
        symlink("results/run.h5", &link).unwrap();
        write_run(&link, &record(1), false).unwrap();
        assert!(link.is_symlink() && read_run(&folder.path().join("results/run.h5")).is_ok());
        let (one, two) = (folder.path().join("one.h5"), folder.path().join("two.h5"));
        symlink(&one, &two).unwrap();
        symlink(&two, &one).unwrap();
        assert!(check_target(&one, true, &[]).is_err(), "links that go round name no file");
    }

    /// HDF5 takes its paths as text; the file itself is whole, and the message says so.
    #[test]
    fn a_path_that_is_no_text_is_not_called_damage() {
        use std::os::unix::ffi::OsStrExt;
        let folder = tempfile::tempdir().unwrap();
        let (path, odd) =
            (folder.path().join("run.h5"), folder.path().join(std::ffi::OsStr::from_bytes(b"h\xf6he.h5")));
        write_run(&path, &record(1), false).unwrap();
        fs::copy(&path, &odd).unwrap();
        let error = read_run(&odd).unwrap_err();
        assert!(matches!(error, RecordError::NotUtf8 { .. }), "{error:?}");
        assert!(!error.to_string().contains("damaged"), "{error}");
    }

    #[test]
    fn others_may_read_a_result_as_the_mask_allows() {
        let folder = tempfile::tempdir().unwrap();
        let (path, plain) = (folder.path().join("run.h5"), folder.path().join("plain"));
        write_run(&path, &record(1), false).unwrap();
        fs::write(&plain, "").unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&path), mode(&plain));
    }

    /// The file size limit of the shell gives the error that a full disk gives, half-way through the bytes; the
    /// first write must leave nothing, the second the earlier result.
    #[test]
    fn a_full_disk_leaves_the_earlier_result_and_nothing_else() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("run.h5");
        assert_eq!(write_under_limit(&path), "cannot write");
        assert_eq!(names(folder.path()), [""; 0]);
        write_run(&path, &record(1), false).unwrap();
        assert_eq!(write_under_limit(&path), "cannot write");
        assert_eq!(names(folder.path()), ["run.h5"]);
        assert!(read_run(&path).is_ok());
    }

    /// Runs [`write_in_child`] in a process whose files may not grow beyond 4 blocks, and tells what it said.
    fn write_under_limit(path: &Path) -> &'static str {
        let program = std::env::current_exe().unwrap();
        let output = Command::new("sh")
            .args(["-c", "trap '' XFSZ; ulimit -f 4; exec \"$0\" \"$@\""])
            .arg(program)
            .args(["--exact", "target::unix::write_in_child", "--ignored", "--nocapture"])
            .env("RECORD_TEST_PATH", path)
            .output()
            .unwrap();
        let said =
            String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
        if said.contains("cannot write: File too large") { "cannot write" } else { "wrote" }
    }

    #[test]
    #[ignore = "run by a_full_disk_leaves_the_earlier_result_and_nothing_else"]
    fn write_in_child() {
        let path = std::env::var_os("RECORD_TEST_PATH").unwrap();
        if let Err(error) = write_run(Path::new(&path), &record(1), false) {
            eprintln!("{error}");
        }
    }

    /// Kills writers at different moments: the name holds a whole result or nothing.
    #[test]
    fn a_killed_writer_leaves_a_whole_result_or_none() {
        let program = std::env::current_exe().unwrap();
        for delay_ms in [0, 2, 4, 8, 16, 32] {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("run.h5");
            let mut child = Command::new(&program)
                .args(["--exact", "target::unix::write_in_child", "--ignored"])
                .env("RECORD_TEST_PATH", &path)
                .stdout(std::process::Stdio::null())
                .stderr(std::process::Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(std::time::Duration::from_millis(delay_ms));
            child.kill().unwrap();
            child.wait().unwrap();
            assert!(!path.exists() || read_run(&path).is_ok(), "after {delay_ms} ms");
        }
    }
}
