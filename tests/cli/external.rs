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

/// The example script draws a study, a picture with something in it, and finds the same best placement as the file holds.
#[test]
fn the_example_draws_a_map_of_a_study() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let Some(python) = ready_python(root, "the_example_draws_a_map_of_a_study") else { return };
    let place = Place::empty();
    place.run(["new", "study", "--scenario", "placement-study", "-q"]).good();
    let few = [
        "sweep.axis.1.values=[2,3]",
        "sweep.axis.2.count=3",
        "sweep.axis.3.values=[0.03,0.06]",
        "sweep.axis.4.values=[14.0,20.0]",
        "solver.stations=8",
        "solver.azimuths=72",
    ];
    let sets = few.iter().flat_map(|set| ["--set", set]);
    place.run(["sweep", "study/case.toml", "-q", "-o", "study.h5"].into_iter().chain(sets)).good();
    let script = root.join("cases/placement-study/map.py");
    let run = || {
        Command::new(&python).arg(&script).args(["study.h5", "map.png"]).current_dir(place.path()).output()
    };
    let output = run().unwrap();
    let said = String::from_utf8_lossy(&output.stdout) + String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    let ranked: serde_json::Value = serde_json::from_str(
        &place
            .run([
                "choose",
                "study.h5",
                "--json",
                "--set",
                "choose.clearance_axial_min_m=-100",
                "--set",
                "choose.efficiency_loss_max=1",
                "--set",
                "choose.pitching_moment_max_n_m=1e6",
                "--set",
                "choose.clearance_ground_rotated_min_m=-100",
            ])
            .good(),
    )
    .unwrap();
    let least = worst_thrust_of_first(&ranked);
    assert!(said.contains(&format!("least: {least:.4} N")), "{said}: {least}");
    let picture = "import matplotlib.image, sys\n\
        pixels = matplotlib.image.imread('map.png')\n\
        assert pixels.shape[0] > 300 and pixels.shape[1] > 600, pixels.shape\n\
        assert len({tuple(p) for row in pixels[::7, ::7] for p in row}) > 10\n";
    let output = Command::new(&python).args(["-c", picture]).current_dir(place.path()).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// NP thrust of the first candidate at its worst airspeed, N.
fn worst_thrust_of_first(ranked: &serde_json::Value) -> f64 {
    let first = &ranked["rows"][0];
    assert_eq!((&first["rank"], &ranked["unit"]), (&1.into(), &"N".into()), "{ranked:#}");
    first["value"].as_f64().unwrap()
}

/// Python with its packages, or a visible word that the test did not run.
fn ready_python(root: &Path, test: &str) -> Option<PathBuf> {
    let python = python(root);
    let modules = "import numpy, h5py, h5netcdf, matplotlib, xarray; xarray.open_datatree";
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
