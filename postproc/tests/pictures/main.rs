//! Pictures from a made-up run: they are made, whole, of the right size, and legible.
#![allow(clippy::unwrap_used, clippy::panic)] // A test may panic.

mod layout;
mod sizing;
mod synthetic;

use std::fs;
use std::path::{Path, PathBuf};

use wakebeat_engine::base::Vec3;
use wakebeat_engine::case::{from_text, scenarios};
use wakebeat_engine::point::input::{OperatingPoint, Rotation, Surface};
use wakebeat_engine::point::result::{DiskField, HubLoad, Share};
use wakebeat_engine::point::solve;
use wakebeat_engine::record::{RecordError, RunRecord, write_run};
use wakebeat_postproc::{PictureFormat, PlotError, draw_run, plot_run};

const NAMES: [&str; 9] = [
    "loads_over_revolution",
    "harmonic_bars",
    "disk_angle_of_attack",
    "disk_axial_inflow",
    "disk_normal_force",
    "wake_cut",
    "shares",
    "side_view",
    "rear_view",
];

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

fn svgs(record: &RunRecord, point: &OperatingPoint, dir: &Path) -> Vec<String> {
    let paths = draw_run(record, point, dir, PictureFormat::Svg).unwrap();
    paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect()
}

#[test]
fn pictures_are_whole_and_of_the_stated_size() {
    let dir = tempfile::tempdir().unwrap();
    let dir = dir.path().join("new");
    let (record, point) = synthetic::run(2, Rotation::Clockwise);
    let paths = draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
    let expected: Vec<_> = NAMES.iter().map(|name| dir.join(name).with_extension("png")).collect();
    assert_eq!(paths, expected);
    for path in &paths {
        let mut reader = png::Decoder::new(fs::File::open(path).unwrap()).read_info().unwrap();
        let mut pixels = vec![0; reader.output_buffer_size()];
        let frame = reader.next_frame(&mut pixels).unwrap();
        assert_eq!((frame.width, frame.height), (1200, 900));
        assert!(pixels.iter().any(|byte| *byte < 100), "{} is blank", path.display());
    }
    assert_eq!(fs::read_dir(&dir).unwrap().count(), NAMES.len());
}

#[test]
fn words_are_apart_for_any_blade_count_and_sense() {
    let (dir, keep) = folder();
    for (blades, rotation) in [
        (1, Rotation::Clockwise),
        (2, Rotation::Clockwise),
        (3, Rotation::Counterclockwise),
        (6, Rotation::Clockwise),
    ] {
        let (record, point) = synthetic::run(blades, rotation);
        let dir = dir.join(format!("blades-{blades}"));
        if keep.is_none() {
            draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
        }
        for (name, svg) in NAMES.iter().zip(svgs(&record, &point, &dir)) {
            let name = format!("{name} of {blades} blades");
            layout::assert_words_are_apart(&name, &svg);
            for words in ["estimates for design studies; not for certification", "wakebeat 0.1.0"] {
                assert!(svg.contains(words), "{name} says `{words}`");
            }
            assert!(!layout::without_images(&svg).contains("NaN") && !svg.contains("\"inf"), "{name}");
        }
    }
}

/// From the starter case through the engine and the result file.
#[test]
fn the_starter_case_has_pictures() {
    let (dir, _keep) = folder();
    let scenario = &scenarios()[0];
    let case = from_text("case.toml", scenario.case_text(), scenario, &[]).unwrap();
    let record = RunRecord {
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        result: solve(&case.point).unwrap(),
        program_version: "0.1.0".to_owned(),
        created_utc: "2026-01-31T12:00:00Z".to_owned(),
    };
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("run.h5");
    write_run(&file, &record, false).unwrap();
    let dir = dir.join("starter");
    plot_run(&file, &dir, PictureFormat::Png).unwrap();
    for path in plot_run(&file, &dir, PictureFormat::Svg).unwrap() {
        let name = path.display().to_string();
        layout::assert_words_are_apart(&name, &fs::read_to_string(path).unwrap());
    }
}

/// Seen from behind, azimuth 90° is starboard (right) for clockwise rotation and port for the other.
#[test]
fn azimuth_runs_with_the_rotation() {
    let dir = tempfile::tempdir().unwrap();
    for (rotation, on_the_right) in [(Rotation::Clockwise, true), (Rotation::Counterclockwise, false)] {
        let (record, point) = synthetic::run(2, rotation);
        let disk = &svgs(&record, &point, dir.path())[2];
        let place = |words: &str| -> f64 {
            let before = disk.split(&format!("\n{words}\n")).next().unwrap();
            let tag = &before[before.rfind("<text").unwrap()..];
            tag.split('"').nth(1).unwrap().parse().unwrap()
        };
        assert_eq!(place("90°") > place("0°"), on_the_right);
        assert!(place("starboard") > place("port"));
    }
}

#[test]
fn a_steady_run_and_a_standing_aircraft_have_pictures() {
    let dir = tempfile::tempdir().unwrap();
    let (mut record, mut point) = synthetic::run(2, Rotation::Clockwise);
    point.flight.airspeed_m_s = 0.0;
    for load in &mut record.result.hub {
        load.history.fill(0.0);
        load.harmonics.amplitude.fill(0.0);
    }
    for field in DiskField::ALL {
        record.result.disk.set(field, 0.0 * record.result.disk(field));
    }
    for (name, svg) in NAMES.iter().zip(svgs(&record, &point, dir.path())) {
        layout::assert_words_are_apart(name, &svg);
        assert!(!layout::without_images(&svg).contains("NaN"), "{name}");
    }
}

/// Two of the four multiples of the blade count that pictures show were not kept.
#[test]
fn orders_that_were_not_computed_are_not_zero() {
    let (dir, keep) = folder();
    let dir = dir.join("few-orders");
    let (mut record, point) = synthetic::run(3, Rotation::Clockwise);
    let result = &mut record.result;
    let shares = result.attribution.iter_mut().flat_map(|share| &mut share.loads);
    for harmonics in result.hub.iter_mut().map(|load| &mut load.harmonics).chain(shares) {
        harmonics.amplitude.truncate(7);
        harmonics.phase_rad.truncate(7);
    }
    let all = svgs(&record, &point, &dir);
    if keep.is_none() {
        draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
    }
    for (name, svg) in NAMES.iter().zip(&all) {
        layout::assert_words_are_apart(name, svg);
    }
    let (bars, shares) = (&all[1], &all[6]);
    assert!(bars.contains("multiples of the blade count: 3P, 6P\n"), "the key names what is drawn");
    assert!(bars.contains("higher orders were not computed"));
    assert_eq!(shares.matches("not computed").count(), 4, "9P of four loads");
}

/// Ripple of 1e-14 of the mean is what rounding leaves: drawn as none, without shares and without small figures.
#[test]
fn round_off_is_drawn_as_none() {
    let (dir, keep) = folder();
    let dir = dir.join("round-off");
    let (mut record, point) = synthetic::run(2, Rotation::Clockwise);
    let result = &mut record.result;
    let shares = result.attribution.iter_mut().flat_map(|share| &mut share.loads);
    for harmonics in result.hub.iter_mut().map(|load| &mut load.harmonics).chain(shares) {
        harmonics.amplitude[1..].iter_mut().for_each(|a| *a = 1e-14 * (1.0 + *a));
    }
    let all = svgs(&record, &point, &dir);
    if keep.is_none() {
        draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
    }
    for svg in [&all[1], &all[6]] {
        assert!(!layout::without_images(svg).contains("0.0000"), "figures of round-off");
    }
    assert!(all[6].contains("\n0 N\n") && all[1].contains("\n0\n"));
}

/// A ripple of a millionth of a newton has figures of three digits.
#[test]
fn small_loads_have_figures() {
    let (dir, keep) = folder();
    let dir = dir.join("small");
    let (mut record, point) = synthetic::run(2, Rotation::Clockwise);
    let result = &mut record.result;
    for load in &mut result.hub {
        load.history.iter_mut().chain(&mut load.harmonics.amplitude).for_each(|a| *a *= 1e-7);
    }
    for load in result.attribution.iter_mut().flat_map(|share| &mut share.loads) {
        load.amplitude.iter_mut().for_each(|a| *a *= 1e-7);
    }
    let all = svgs(&record, &point, &dir);
    if keep.is_none() {
        draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
    }
    for svg in [&all[1], &all[6]] {
        assert!(!svg.contains("0.000000") && (svg.contains("nN") || svg.contains("µN")));
    }
}

#[test]
fn a_result_without_shares_has_the_other_pictures() {
    let dir = tempfile::tempdir().unwrap();
    let (mut record, point) = synthetic::run(2, Rotation::Clockwise);
    record.result.attribution.clear();
    let paths = draw_run(&record, &point, dir.path(), PictureFormat::Svg).unwrap();
    assert_eq!(paths.len(), NAMES.len() - 1);
    assert!(paths.iter().all(|path| !path.ends_with("shares.svg")));
}

/// Beside the others, and legible for any number of them, at equal speeds and where they drift.
#[test]
fn further_propellers_have_a_picture_of_the_phase_between_them() {
    let (dir, keep) = folder();
    let long = "a_propeller_with_a_long_name_by_the_tail";
    for (case, blades, names, speed_ratio) in [
        ("one", 2, &["port"][..], 1.0),
        ("drifting", 3, &["port"][..], 1.0123),
        ("five", 1, &["outer_port", "inner_port", long, "inner_starboard", "outer_starboard"][..], 0.995),
        ("many-blades", 18, &["port"][..], 1.0),
    ] {
        let (record, point) = synthetic::with_further(blades, names, speed_ratio);
        let dir = dir.join(format!("further-{case}"));
        if keep.is_none() {
            draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
        }
        let paths = draw_run(&record, &point, &dir, PictureFormat::Svg).unwrap();
        assert_eq!(paths.len(), NAMES.len() + 1, "{case}");
        let svg = fs::read_to_string(dir.join("phase_between_propellers.svg")).unwrap();
        layout::assert_words_are_apart(case, &svg);
        assert!(!svg.contains("NaN") && !svg.contains("\"inf"), "{case}");
        for words in ["in phase", "anti-phase", "estimates for design studies; not for certification"] {
            assert!(svg.contains(words), "{case} says `{words}`");
        }
        assert_eq!(svg.contains("beats at"), speed_ratio != 1.0, "{case}");
        assert_eq!(svg.contains("and 1 more"), names.len() == 5, "{case}");
        if case == "drifting" {
            // 3 blades, 628 rad/s, 1.23 %.
            assert!(svg.contains("3P beats at 3.69 Hz"), "{case}");
        }
    }
}

/// What cancels in anti-phase starts at its greatest, what cancels in phase at nothing: heads and ranges say so.
#[test]
fn ranges_over_the_phases_stand_in_the_headings() {
    let dir = tempfile::tempdir().unwrap();
    let (record, point) = synthetic::with_further(2, &["port"], 1.0);
    draw_run(&record, &point, dir.path(), PictureFormat::Svg).unwrap();
    let svg = fs::read_to_string(dir.path().join("phase_between_propellers.svg")).unwrap();
    let thrust = 2.0 * record.result.hub(HubLoad::Thrust).harmonics.amplitude[2];
    let range = svg.lines().find(|line| line.starts_with("2P ") && line.contains(" to ")).unwrap();
    let (least, greatest) = range["2P ".len()..].split(',').next().unwrap().split_once(" to ").unwrap();
    let figures = [least, greatest].map(|figure| figure.parse::<f64>().unwrap());
    // Printed to at least a hundredth of the largest.
    assert!(figures[0] == 0.0 && (figures[1] / thrust - 1.0).abs() < 0.01, "{range}: {thrust}");
}

/// No surface, no body: the views show the disk, the maps no outline.
#[test]
fn a_propeller_alone_has_pictures() {
    let dir = tempfile::tempdir().unwrap();
    let (record, mut point) = synthetic::run(3, Rotation::Clockwise);
    point.surfaces.clear();
    point.bodies.clear();
    for (name, svg) in NAMES.iter().zip(svgs(&record, &point, dir.path())) {
        layout::assert_words_are_apart(name, &svg);
        assert!(!svg.contains("lines: wing"), "{name}");
    }
}

/// Wherever the shaft stands, however it leans, and behind a fin.
#[test]
fn words_of_the_views_are_apart_for_any_placement() {
    let (dir, keep) = folder();
    let (record, point) = synthetic::run(2, Rotation::Clockwise);
    let shift = |dx: f64, dz: f64| {
        let mut point = point.clone();
        point.placement.hub_m += Vec3::new(dx, 0.0, dz);
        point
    };
    let mut leaning = shift(0.05, 0.0);
    (leaning.placement.tilt_rad, leaning.placement.toe_rad) = (0.12, -0.1);
    let mut fin = shift(0.0, 0.0);
    fin.surfaces[0].mirror = false;
    fin.surfaces[0].dihedral_rad = std::f64::consts::FRAC_PI_2;
    let cases = [
        ("on-edge", shift(0.0, -0.025)),
        ("below", shift(0.0, -0.06)),
        ("high", shift(0.0, 0.3)),
        ("near", shift(-0.025, 0.0)),
        ("far", shift(0.6, 0.04)),
        ("ahead", shift(-0.5, 0.0)),
        ("leaning", leaning),
        ("fin", fin),
    ];
    for (case, point) in cases {
        let dir = dir.join(case);
        if keep.is_none() {
            draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
        }
        for (name, svg) in NAMES.iter().zip(svgs(&record, &point, &dir)) {
            layout::assert_words_are_apart(&format!("{name} {case}"), &svg);
        }
    }
}

/// Six struts with long names: sources keep their kind, and the keys end above the foot.
#[test]
fn many_sources_with_long_names_are_told_apart() {
    let (dir, keep) = folder();
    let dir = dir.join("many-sources");
    let (mut record, mut point) = synthetic::run(2, Rotation::Clockwise);
    let share = record.result.attribution[0].clone();
    let strut = point.surfaces[0].clone();
    let last = record.result.attribution.pop().unwrap();
    for k in 0..8 {
        let name = format!("strut_of_the_upper_starboard_undercarriage_leg_number_{k}");
        for kind in ["lift", "thickness", "wake"] {
            record.result.attribution.push(Share { name: format!("{name}_{kind}"), ..share.clone() });
        }
        point.surfaces.push(Surface { name, ..strut.clone() });
    }
    record.result.attribution.push(last);
    if keep.is_none() {
        draw_run(&record, &point, &dir, PictureFormat::Png).unwrap();
    }
    let all = svgs(&record, &point, &dir);
    for (name, svg) in NAMES.iter().zip(&all) {
        layout::assert_words_are_apart(name, svg);
    }
    for words in ["r 3 thickness", "number 3 wake"] {
        assert!(all[6].contains(words), "{words}");
    }
    assert!(all[8].contains("disk, radius"));
}

#[test]
fn few_values_that_are_not_finite_leave_gaps_and_a_field_of_them_an_error() {
    let dir = tempfile::tempdir().unwrap();
    let (mut record, point) = synthetic::run(2, Rotation::Clockwise);
    record.result.hub[HubLoad::Thrust as usize].history[7] = f64::NAN;
    let with = |field: DiskField, value: f64| {
        let mut values = record.result.disk(field).clone();
        values[[3, 4]] = value;
        values
    };
    let angle = with(DiskField::AngleOfAttack, f64::INFINITY);
    let inflow = with(DiskField::AxialInflow, f64::NAN);
    record.result.disk.set(DiskField::AngleOfAttack, angle);
    record.result.disk.set(DiskField::AxialInflow, inflow);
    draw_run(&record, &point, dir.path(), PictureFormat::Png).unwrap();
    let nothing = f64::NAN * record.result.disk(DiskField::AxialInflow);
    record.result.disk.set(DiskField::AxialInflow, nothing);
    let error = draw_run(&record, &point, dir.path(), PictureFormat::Png).unwrap_err();
    assert!(matches!(error, PlotError::NotFinite { item: "axial_inflow_m_s" }), "{error}");
}

#[test]
fn bad_files_and_folders_are_named() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("notes.txt");
    fs::write(&file, "no result").unwrap();
    let error = plot_run(&file, dir.path(), PictureFormat::Png).unwrap_err();
    assert!(matches!(error, PlotError::Record(RecordError::NotOurs { .. })), "{error}");
    let (record, point) = synthetic::run(2, Rotation::Clockwise);
    let error = draw_run(&record, &point, &file, PictureFormat::Png).unwrap_err();
    assert!(matches!(error, PlotError::File(_)), "{error}");
    // A record whose case text is empty, as no program writes it.
    let run = dir.path().join("run.h5");
    write_run(&run, &record, false).unwrap();
    let error = plot_run(&run, dir.path(), PictureFormat::Png).unwrap_err();
    assert!(matches!(error, PlotError::Case { .. }), "{error}");
}
