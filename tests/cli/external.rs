//! A result file of the binary in the hands of xarray and h5py.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::support::{Place, skip};

#[test]
fn xarray_and_h5py_open_every_group_of_a_real_run() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let Some(python) = ready_python(root, "xarray_and_h5py_open_every_group_of_a_real_run") else { return };
    let place = Place::with_case();
    for sets in [&[][..], &["--set", "propeller.pitch_error_deg=[0.5, 0.0]"]] {
        place.run([&["run", "pusher/case.toml", "-q"], sets].concat()).good();
        let script = root.join("tests/external/open_result.py");
        let output = Command::new(&python).arg(script).arg(place.path().join("pusher.h5")).output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
    }
}

/// A grid with a pair, texts and a shard: xarray finds the axes as coordinates, the paired one too.
#[test]
fn xarray_and_h5py_open_every_group_of_a_sweep() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let Some(python) = ready_python(root, "xarray_and_h5py_open_every_group_of_a_sweep") else { return };
    let place = Place::empty();
    let case = root.join("tests/data/good/sweep_paired.toml").display().to_string();
    place.run(["sweep", &case, "-q", "-o", "whole.h5"]).good();
    place.run(["sweep", &case, "-q", "--shard", "1/2", "-o", "shard.h5"]).good();
    for file in ["whole.h5", "shard.h5"] {
        let script = root.join("tests/external/open_result.py");
        let output = Command::new(&python).arg(script).arg(place.path().join(file)).output().unwrap();
        let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{said}");
    }
    let select = "import xarray\n\
        tree = xarray.open_datatree('whole.h5', engine='h5netcdf')\n\
        assert 'speed_rpm' in tree.coords and tree.speed_rpm.dims == ('airspeed_m_s',), tree\n\
        np = tree['summary/thrust_np_n'].sel(airspeed_m_s=14.0, blade_count=3, wake='none', deflection_deg=10.0)\n\
        assert float(np) > 0.0\n";
    let output = Command::new(&python).args(["-c", select]).current_dir(place.path()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// Python with its packages, or a visible word that the test did not run.
fn ready_python(root: &Path, test: &str) -> Option<PathBuf> {
    let python = python(root);
    let modules = "import numpy, h5py, h5netcdf, xarray; xarray.open_datatree";
    if Command::new(&python).args(["-c", modules]).output().is_ok_and(|output| output.status.success()) {
        return Some(python);
    }
    skip(test, "install its tools with `sh .ci/setup --external`");
    None
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
