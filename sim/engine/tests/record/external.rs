//! The file in the hands of another program: xarray and h5py open every group with coordinates and units.

use std::path::{Path, PathBuf};
use std::process::Command;

use wakebeat_engine::record::write_run;

use crate::synthetic::record;

const MODULES: &str = "import numpy, h5py, xarray, h5netcdf";

fn script() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/external/open_result.py")
}

/// Python with the packages, or a visible word that the test did not run; CI demands it.
fn python_is_ready(test: &str) -> bool {
    let ready =
        Command::new("python3").args(["-c", MODULES]).output().is_ok_and(|output| output.status.success());
    let required = std::env::var_os("WAKEBEAT_REQUIRE_EXTERNAL").is_some_and(|value| value == "1");
    assert!(ready || !required, "{test} needs python3 with numpy, h5py, xarray and h5netcdf");
    if !ready {
        eprintln!("SKIPPED {test}: python3 with numpy, h5py, xarray and h5netcdf is missing");
    }
    ready
}

fn open(path: &Path) -> Result<String, String> {
    let output = Command::new("python3").arg(script()).arg(path).output().unwrap();
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    if output.status.success() {
        return Ok(said);
    }
    Err(said + &String::from_utf8_lossy(&output.stderr))
}

#[test]
fn xarray_and_h5py_open_every_group() {
    if !python_is_ready("xarray_and_h5py_open_every_group") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    for different in [1, 3] {
        let mut one = record(different);
        write_run(&path, &one, false).unwrap();
        open(&path).unwrap();
        one.result.warnings.clear();
        one.inputs.clear();
        write_run(&path, &one, false).unwrap();
        open(&path).unwrap();
    }
}

/// The check must be able to fail: an array without scale, units or words is found.
#[test]
fn the_check_finds_a_bare_array() {
    if !python_is_ready("the_check_finds_a_bare_array") {
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    write_run(&path, &record(1), false).unwrap();
    let add = format!("import h5py; h5py.File({path:?}, 'a')['disk/bare'] = [1.0, 2.0, 3.0]");
    assert!(Command::new("python3").args(["-c", &add]).status().unwrap().success());
    let said = open(&path).unwrap_err();
    for word in ["/disk/bare", "no scale", "no units", "no long_name"] {
        assert!(said.contains(word), "{word}: {said}");
    }
}
