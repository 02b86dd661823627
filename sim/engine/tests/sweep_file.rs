//! A sweep file whose parts no longer fit each other is told as damaged.
//!
//! Apart from the tests of external tools: a child process keeps the locks of files that are open for writing when it starts.
#![allow(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::AtomicBool;

use wakebeat_engine::case::load;
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::record::{RecordError, SweepRecord, read_sweep};
use wakebeat_engine::study::{Shard, Start, SweepOptions, sweep};

/// The shipped grid of 16 points.
fn swept(folder: &Path) -> PathBuf {
    let case = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/good/sweep_paired.toml");
    let case = load(&case, &[]).unwrap();
    let options = SweepOptions {
        threads: 2,
        shard: Shard::WHOLE,
        start: Start::Fresh,
        program_version: "0.0.0".to_owned(),
    };
    let target = folder.join("whole.h5");
    sweep(&case, &target, &options, &AtomicBool::new(false), &mut |_| {}).unwrap();
    target
}

/// Puts `shape` of numbers in the place of a dataset; its attributes go to the new one.
fn reshape(path: &Path, name: &str, shape: &[usize]) {
    let file = hdf5::File::open_rw(path).unwrap();
    let old = file.dataset(name).unwrap();
    let texts: Vec<(String, hdf5::types::VarLenUnicode)> = old
        .attr_names()
        .unwrap()
        .into_iter()
        .filter_map(|attribute| Some((attribute.clone(), old.attr(&attribute).ok()?.read_scalar().ok()?)))
        .collect();
    file.unlink(name).unwrap();
    let new = file.new_dataset::<f64>().shape(shape).create(name).unwrap();
    for (attribute, text) in texts {
        let place = new.new_attr::<hdf5::types::VarLenUnicode>().create(attribute.as_str()).unwrap();
        place.write_scalar(&text).unwrap();
    }
}

#[test]
fn arrays_that_do_not_fit_the_grid_are_told_as_damage() {
    let folder = tempfile::tempdir().unwrap();
    let whole = swept(folder.path());
    let damaged = folder.path().join("damaged.h5");
    type Reads = fn(&SweepRecord) -> Result<(), RecordError>;
    let summary: Reads = |record| record.summary("thrust_n").map(drop);
    let hub: Reads = |record| record.hub_amplitude(HubLoad::Thrust, |_| 2).map(drop);
    let whole_array: Reads = |record| record.array("hub_harmonics/thrust_n").map(drop);
    let orders = read_sweep(&whole).unwrap().orders;
    for (name, shape, read) in [
        ("summary/thrust_n", &[2, 2, 2][..], summary),
        ("summary/thrust_n", &[2, 2, 2, 1], summary),
        ("hub_harmonics/thrust_n", &[2, 2, 2, 2], hub),
        ("hub_harmonics/thrust_n", &[2, 2, 2, 2, orders - 1], hub),
        ("hub_harmonics/thrust_n", &[2, 2, 1, 2, orders], whole_array),
    ] {
        fs::copy(&whole, &damaged).unwrap();
        reshape(&damaged, name, shape);
        let record = read_sweep(&damaged).unwrap();
        let error = read(&record).unwrap_err();
        assert!(
            matches!(&error, RecordError::Damaged { item, .. } if item == name),
            "{name} {shape:?}: {error}"
        );
        let text = error.to_string();
        assert!(text.contains("damaged.h5: is damaged") && text.contains(&format!("{shape:?}")), "{text}");
    }
    // A paired axis has as many values as the axis that leads it; points have a message each.
    for (name, shape) in [("speed_rpm", &[1][..]), ("airspeed_m_s", &[3])] {
        fs::copy(&whole, &damaged).unwrap();
        number_axis(&damaged, name, shape);
        let error = read_sweep(&damaged).unwrap_err();
        assert!(matches!(&error, RecordError::Damaged { .. }), "{name}: {error}");
    }
}

/// As [`reshape`], with the number that makes an axis of it.
fn number_axis(path: &Path, name: &str, shape: &[usize]) {
    let number: u64 =
        hdf5::File::open(path).unwrap().dataset(name).unwrap().attr("number").unwrap().read_scalar().unwrap();
    reshape(path, name, shape);
    let file = hdf5::File::open_rw(path).unwrap();
    let place = file.dataset(name).unwrap().new_attr::<u64>().create("number").unwrap();
    place.write_scalar(&number).unwrap();
}
