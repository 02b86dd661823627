//! The result file: what goes in comes out, and nothing half-made or foreign is ever touched.
#![allow(clippy::unwrap_used, clippy::print_stderr)] // A test may panic, and a skipped one must say so.

mod external;
mod synthetic;
mod target;

use std::fs;

use synthetic::{airframe, record};
use wakebeat_engine::point::result::{DiskField, Harmonics, LoadHistory, PointResult};
use wakebeat_engine::record::{RecordError, RunRecord, is_ours, now_utc, read_run, write_run};

fn bits(values: &[f64]) -> Vec<u64> {
    values.iter().map(|value| value.to_bits()).collect()
}

fn assert_same_load(a: &LoadHistory, b: &LoadHistory) {
    assert_eq!(bits(&a.history), bits(&b.history));
    assert_same_harmonics(&a.harmonics, &b.harmonics);
}

fn assert_same_harmonics(a: &Harmonics, b: &Harmonics) {
    assert_eq!(bits(&a.amplitude), bits(&b.amplitude));
    assert_eq!(bits(&a.phase_rad), bits(&b.phase_rad));
}

fn assert_same_result(a: &PointResult, b: &PointResult) {
    assert_eq!(a.blade_count, b.blade_count);
    assert_eq!(bits(&a.azimuth_rad), bits(&b.azimuth_rad));
    assert_eq!(bits(&a.radius_m), bits(&b.radius_m));
    assert_eq!(a.hub.len(), b.hub.len());
    a.hub.iter().zip(&b.hub).for_each(|(a, b)| assert_same_load(a, b));
    assert_eq!(a.blades.len(), b.blades.len());
    let pairs = a.blades.iter().flatten().zip(b.blades.iter().flatten());
    pairs.for_each(|(a, b)| assert_same_load(a, b));
    for field in DiskField::ALL {
        let (a, b) = (a.disk(field), b.disk(field));
        assert_eq!(a.dim(), b.dim());
        assert!(a.iter().zip(b).all(|(a, b)| a.to_bits() == b.to_bits()));
    }
    assert_eq!(a.attribution.len(), b.attribution.len());
    for (a, b) in a.attribution.iter().zip(&b.attribution) {
        assert_eq!((&a.name, a.loads.len()), (&b.name, b.loads.len()));
        a.loads.iter().zip(&b.loads).for_each(|(a, b)| assert_same_harmonics(a, b));
    }
    assert_eq!(a.summary.len(), b.summary.len());
    for (a, b) in a.summary.iter().zip(&b.summary) {
        assert_eq!((&a.name, a.unit, &a.long_name), (&b.name, b.unit, &b.long_name));
        assert_eq!(a.value.to_bits(), b.value.to_bits());
    }
    assert_eq!(a.warnings, b.warnings);
    assert_eq!(a.airframe.is_some(), b.airframe.is_some());
    if let (Some(a), Some(b)) = (&a.airframe, &b.airframe) {
        assert_eq!(a.further.len(), b.further.len());
        for (a, b) in a.further.iter().zip(&b.further) {
            assert_eq!(a.name, b.name);
            assert_same_result(&a.result, &b.result);
        }
        assert_eq!(a.sums, b.sums);
    }
}

fn assert_same(a: &RunRecord, b: &RunRecord) {
    assert_eq!(a.case_toml, b.case_toml);
    assert_eq!(a.inputs, b.inputs);
    assert_eq!(a.program_version, b.program_version);
    assert_eq!(a.created_utc, b.created_utc);
    assert_same_result(&a.result, &b.result);
}

#[test]
fn a_run_comes_back_bit_for_bit() {
    let folder = tempfile::tempdir().unwrap();
    for different in [1, 3] {
        let path = folder.path().join("run.h5");
        let written = record(different);
        write_run(&path, &written, false).unwrap();
        assert!(is_ours(&path));
        assert_same(&written, &read_run(&path).unwrap());
    }
}

#[test]
fn further_propellers_and_sums_come_back_in_their_order() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    let mut written = record(3);
    written.result.airframe = Some(airframe());
    write_run(&path, &written, false).unwrap();
    assert_same(&written, &read_run(&path).unwrap());
    // A centre of gravity alone gives sums of one propeller.
    let mut sums = airframe();
    sums.further.clear();
    if let Some(sums) = &mut sums.sums {
        sums.by_phase.clear();
        sums.phase_rad.clear();
    }
    written.result.airframe = Some(sums);
    write_run(&path, &written, true).unwrap();
    assert_same(&written, &read_run(&path).unwrap());
}

#[test]
fn a_run_without_warnings_inputs_and_shares_comes_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    let mut written = record(1);
    written.inputs.clear();
    written.result.warnings.clear();
    written.result.attribution.clear();
    write_run(&path, &written, false).unwrap();
    assert_same(&written, &read_run(&path).unwrap());
}

#[test]
fn equal_runs_give_equal_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let (first, second) = (folder.path().join("first.h5"), folder.path().join("second.h5"));
    write_run(&first, &record(2), false).unwrap();
    // Object time stamps of HDF5 count whole seconds.
    std::thread::sleep(std::time::Duration::from_millis(1100));
    write_run(&second, &record(2), false).unwrap();
    assert!(fs::read(&first).unwrap() == fs::read(&second).unwrap());
}

#[test]
fn only_the_time_of_writing_differs_between_two_files_of_a_run() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    let mut later = record(1);
    later.created_utc = now_utc();
    write_run(&path, &later, false).unwrap();
    let mut read = read_run(&path).unwrap();
    assert_ne!(read.created_utc, record(1).created_utc);
    read.created_utc = record(1).created_utc;
    assert_same(&record(1), &read);
}

#[test]
fn time_is_utc_to_the_second() {
    let now = now_utc();
    assert_eq!(now.len(), "2026-01-31T12:00:00Z".len());
    assert!(now.ends_with('Z') && !now.contains('.'));
}

#[test]
fn arrays_that_disagree_are_refused_and_leave_no_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    let mut wrong = record(1);
    wrong.result.hub[3].history.pop();
    let error = write_run(&path, &wrong, false).unwrap_err();
    assert!(matches!(&error, RecordError::Shape { item, .. } if item == "hub/torque_n_m"));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

#[test]
fn a_share_of_other_orders_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = record(1);
    wrong.result.attribution[1].loads[0].phase_rad.pop();
    let error = write_run(&folder.path().join("run.h5"), &wrong, false).unwrap_err();
    assert!(
        matches!(&error, RecordError::Shape { item, .. } if item == "attribution/wing_wake/thrust_phase_rad"),
        "{error}"
    );
}

#[test]
fn a_text_with_nul_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let mut wrong = record(1);
    wrong.inputs[0].1.push('\0');
    let error = write_run(&folder.path().join("run.h5"), &wrong, false).unwrap_err();
    assert!(matches!(&error, RecordError::Nul { item, .. } if item == "inputs/data/blade.csv"));
}

#[test]
fn files_that_are_not_runs_are_named_as_such() {
    let folder = tempfile::tempdir().unwrap();
    let text = folder.path().join("notes.txt");
    fs::write(&text, "not HDF5").unwrap();
    assert!(!is_ours(&text));
    assert!(matches!(read_run(&text), Err(RecordError::NotOurs { .. })));
    let missing = folder.path().join("missing.h5");
    assert!(matches!(read_run(&missing), Err(RecordError::Io { .. })));
    assert!(matches!(read_run(folder.path()), Err(RecordError::NotOurs { .. })));
}

#[test]
fn a_damaged_file_gives_an_error_and_no_panic() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("run.h5");
    write_run(&path, &record(1), false).unwrap();
    let whole = fs::read(&path).unwrap();
    fs::write(&path, &whole[..whole.len() / 2]).unwrap();
    assert!(read_run(&path).is_err());
}
