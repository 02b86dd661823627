//! The file in the hands of another program: xarray and h5py open every group with coordinates and units.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

use wakebeat_engine::record::write_run;

use crate::synthetic::{airframe, record};

const MODULES: &str = "import numpy, h5py, h5netcdf, xarray; xarray.open_datatree";

/// The interpreter named in `WAKEBEAT_PYTHON`, the one `.ci/setup --external` makes, or the system's.
fn python() -> Command {
    let made = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/python/bin/python");
    Command::new(match std::env::var_os("WAKEBEAT_PYTHON") {
        Some(named) => PathBuf::from(named),
        None if made.exists() => made,
        None => PathBuf::from("python3"),
    })
}

fn script() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/external/open_result.py")
}

/// Python with the packages, or a visible word that the test did not run; CI demands it.
fn python_is_ready(test: &str) -> bool {
    let ready = python().args(["-c", MODULES]).output().is_ok_and(|output| output.status.success());
    let required = std::env::var_os("WAKEBEAT_REQUIRE_EXTERNAL").is_some_and(|value| value == "1");
    assert!(ready || !required, "{test} needs what `sh .ci/setup --external` installs");
    if !ready {
        // Past the test harness, which would swallow it.
        let _ =
            writeln!(std::io::stderr(), "SKIPPED {test}: install its tools with `sh .ci/setup --external`");
    }
    ready
}

fn open(path: &Path) -> Result<String, String> {
    let output = python().arg(script()).arg(path).output().unwrap();
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
        one.result.attribution.clear();
        write_run(&path, &one, false).unwrap();
        open(&path).unwrap();
        one.result.airframe = Some(airframe());
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
    assert!(python().args(["-c", &add]).status().unwrap().success());
    let said = open(&path).unwrap_err();
    for word in ["/disk/bare", "no scale", "no units", "no long_name"] {
        assert!(said.contains(word), "{word}: {said}");
    }
}
