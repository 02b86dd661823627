//! Pictures from a made-up run: they are made, whole, of the right size, and show what the numbers say.
#![allow(clippy::unwrap_used)] // A test may panic.

mod synthetic;

use std::fs;
use std::path::{Path, PathBuf};

use wakebeat_engine::point::input::Rotation;
use wakebeat_postproc::{PictureFormat, draw_run};

const NAMES: [&str; 4] = ["loads_over_revolution", "harmonic_bars", "disk_angle_of_attack", "wake_cut"];

/// A folder for people to look into when the variable names one, else one that is removed.
fn folder() -> (PathBuf, Option<tempfile::TempDir>) {
    match std::env::var_os("WAKEBEAT_PICTURES") {
        Some(dir) => (PathBuf::from(dir), None),
        None => {
            let temporary = tempfile::tempdir().unwrap();
            (temporary.path().to_path_buf(), Some(temporary))
        }
    }
}

fn names(dir: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(dir).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn four_pictures_of_each_format() {
    let (dir, _keep) = folder();
    for (blades, rotation) in
        [(2, Rotation::Clockwise), (3, Rotation::Counterclockwise), (6, Rotation::Clockwise)]
    {
        let (record, point) = synthetic::run(blades, rotation);
        let dir = dir.join(format!("blades-{blades}"));
        for format in [PictureFormat::Png, PictureFormat::Svg] {
            let paths = draw_run(&record, &point, &dir, format).unwrap();
            let stems: Vec<_> = paths.iter().map(|p| p.file_stem().unwrap().to_str().unwrap()).collect();
            assert_eq!(stems, NAMES);
        }
        assert_eq!(names(&dir).len(), 8);
    }
}
