//! A folder to work in, and the command run in it.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

/// Path of the binary under test.
pub fn binary() -> PathBuf {
    assert_cmd::cargo::cargo_bin!("wakebeat").to_path_buf()
}

/// What a command left behind.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

impl Ran {
    /// Exit code 0; gives stdout.
    #[track_caller]
    pub fn good(self) -> String {
        assert_eq!(self.code, Some(0), "{self:#?}");
        self.stdout
    }

    /// Exit code 2 with a message, nothing on stdout, no panic; gives stderr.
    #[track_caller]
    pub fn bad(self) -> String {
        assert_eq!(self.code, Some(2), "{self:#?}");
        assert_eq!(self.stdout, "", "{self:#?}");
        assert!(!self.stderr.trim().is_empty(), "{self:#?}");
        assert!(!self.stderr.contains("panicked"), "{self:#?}");
        self.stderr
    }
}

/// A temporary folder that commands run in.
pub struct Place {
    folder: TempDir,
}

impl Place {
    pub fn empty() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// With the starter case in `pusher/`.
    pub fn with_case() -> Self {
        let place = Self::empty();
        place.run(["new", "pusher"]).good();
        place
    }

    /// With the starter case in `pusher/` and `more` at its end.
    pub fn with_case_and(more: &str) -> Self {
        let place = Self::with_case();
        let path = place.path().join("pusher/case.toml");
        let case = std::fs::read_to_string(&path).unwrap();
        std::fs::write(&path, case + more).unwrap();
        place
    }

    pub fn path(&self) -> &Path {
        self.folder.path()
    }

    pub fn run<I: AsRef<OsStr>>(&self, args: impl IntoIterator<Item = I>) -> Ran {
        Command::new(binary()).args(args).current_dir(self.path()).output().unwrap().into()
    }

    /// A shell line in the folder; `$WAKEBEAT` is the binary.
    pub fn shell(&self, line: &str) -> Ran {
        Command::new("sh")
            .args(["-c", line])
            .env("WAKEBEAT", binary())
            .current_dir(self.path())
            .output()
            .unwrap()
            .into()
    }

    /// Names of the files and folders at the top, sorted, hidden ones too.
    pub fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }
}

/// Says past the test harness that a check did not run; fails where CI asks for every check.
pub fn skip(test: &str, why: &str) {
    use std::io::Write;
    let required = std::env::var_os("WAKEBEAT_REQUIRE_EXTERNAL").is_some_and(|value| value == "1");
    assert!(!required, "{test}: {why}");
    let _ = writeln!(std::io::stderr(), "SKIPPED {test}: {why}");
}
