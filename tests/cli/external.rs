//! A result file of the binary in the hands of xarray and h5py.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::support::{Place, skip};

#[test]
fn xarray_and_h5py_open_every_group_of_a_real_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = python(root);
    let modules = "import numpy, h5py, h5netcdf, xarray; xarray.open_datatree";
    if !Command::new(&python).args(["-c", modules]).output().is_ok_and(|output| output.status.success()) {
        skip(
            "xarray_and_h5py_open_every_group_of_a_real_run",
            "install its tools with `sh .ci/setup --external`",
        );
        return;
    }
    let place = Place::with_case();
    for sets in [&[][..], &["--set", "propeller.pitch_error_deg=[0.5, 0.0]"]] {
        place.run([&["run", "pusher/case.toml", "-q"], sets].concat()).good();
        let script = root.join("tests/external/open_result.py");
        let output = Command::new(&python).arg(script).arg(place.path().join("pusher.h5")).output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
    }
}

/// The interpreter named in `WAKEBEAT_PYTHON`, the one `.ci/setup --external` makes, or the system's.
fn python(root: &Path) -> PathBuf {
    let made = root.join("target/python/bin/python");
    match std::env::var_os("WAKEBEAT_PYTHON") {
        Some(named) => PathBuf::from(named),
        None if made.exists() => made,
        None => PathBuf::from("python3"),
    }
}
