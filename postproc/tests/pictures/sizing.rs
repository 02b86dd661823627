//! Pictures of a sized mount: whole, legible, and of what they should be of.

use std::fs;
use std::path::Path;

use wakebeat_engine::base::Vec3;
use wakebeat_engine::duty::input::{Detail, DutyCycle, Equivalent, MeanRule, Segment};
use wakebeat_engine::duty::loads::DutyLoad;
use wakebeat_engine::duty::result::SegmentState;
use wakebeat_engine::limit::combined::combined;
use wakebeat_engine::limit::input::{Engine, LimitFactors, LimitPlant, Power, Support};
use wakebeat_engine::limit::{CombinedLoad, LimitLoads, limit_loads};
use wakebeat_engine::point::input::Rotation;
use wakebeat_engine::point::result::Harmonics;
use wakebeat_postproc::sizing::{SizingData, size};
use wakebeat_postproc::{PictureFormat, draw_sizing};

use crate::{folder, layout, synthetic};

const NAMES: [&str; 5] =
    ["spectrum_harmonics", "spectrum_range_mean", "spectrum_exceedance", "damage_by_segment", "limit_loads"];

fn state(index: usize) -> SegmentState {
    SegmentState {
        name: format!("segment_{index}"),
        duration_s: 100.0 * (index + 1) as f64,
        repeats: 1 + index % 2,
        airspeed_m_s: 15.0,
        altitude_m: 0.0,
        angle_of_attack_rad: 0.05,
        speed_rad_s: 500.0 + 30.0 * index as f64,
        pitch_offset_rad: 0.0,
        thrust_n: 3.0,
        torque_n_m: 0.1,
        warnings: Vec::new(),
    }
}

fn load(name: &str, unit: &'static str, segments: usize, size: f64) -> DutyLoad {
    let harmonics = |index: usize| {
        let share = size * (1.0 + 0.3 * index as f64);
        Harmonics {
            amplitude: vec![5.0 * size, 0.05 * share, share, 0.0, 0.4 * share, 0.0, 0.1 * share],
            phase_rad: vec![0.0, 0.3, -0.4, 0.0, 1.0, 0.0, 2.0],
        }
    };
    DutyLoad {
        name: name.to_owned(),
        unit,
        long_name: format!("{name}, at the hub"),
        rest: 0.0,
        segments: (0..segments).map(harmonics).collect(),
    }
}

fn detail(name: &str, load: &str) -> Detail {
    Detail {
        name: name.to_owned(),
        load: load.to_owned(),
        stress_per_load: 3.0,
        range_mpa: 80.0,
        cycles: 1e6,
        slope: 5.0,
        endurance_range_mpa: 0.0,
        mean: MeanRule::Goodman { ultimate_mpa: 300.0 },
    }
}

fn cycle(segments: usize, details: &[Detail]) -> DutyCycle {
    let (_, point) = synthetic::run(2, Rotation::Clockwise);
    let segment = |state: &SegmentState| Segment {
        name: state.name.clone(),
        duration_s: state.duration_s,
        repeats: state.repeats,
        point: point.clone(),
        trim: None,
    };
    DutyCycle {
        segments: (0..segments).map(state).map(|state| segment(&state)).collect(),
        flights_per_life: 1500.0,
        samples: 360,
        equivalents: [3.0, 5.0, 10.0]
            .map(|exponent| Equivalent { name: format!("m{exponent}"), exponent, cycles: 1e6 })
            .into(),
        details: details.to_vec(),
        densities: Vec::new(),
    }
}

fn duty(segments: usize, isolator: bool, details: &[Detail]) -> wakebeat_engine::duty::result::DutyResult {
    let cycle = cycle(segments, details);
    let states: Vec<SegmentState> = (0..segments).map(state).collect();
    let mut loads = vec![
        load("thrust", "N", segments, 0.2),
        load("side_force", "N", segments, 0.01),
        load("vertical_force", "N", segments, 0.05),
        load("torque", "N m", segments, 0.002),
        load("pitching_moment", "N m", segments, 0.01),
        load("yawing_moment", "N m", segments, 0.02),
    ];
    if isolator {
        loads.push(load("upper_port_x", "N", segments, 0.6));
    }
    size(&cycle, states, &loads).unwrap()
}

fn limit(isolators: usize, pulsing: bool) -> (LimitLoads, Vec<CombinedLoad>) {
    let plant = LimitPlant {
        mass_kg: 1.1,
        centre_of_gravity_m: Vec3::new(-0.02, 0.0, 0.0),
        polar_inertia_kg_m2: 4e-4,
        pulsating_inertia_kg_m2: if pulsing { 4e-4 } else { 0.0 },
        sigma: 1.0,
        aircraft_axes: nalgebra::Matrix3::identity(),
    };
    let support = |k: usize| {
        let angle = std::f64::consts::TAU * (k as f64 + 0.5) / isolators as f64;
        Support {
            name: format!("isolator_number_{}", k + 1),
            position_m: Vec3::new(-0.07, 0.03 * angle.cos(), 0.03 * angle.sin()),
            stiffness_n_m: nalgebra::Matrix3::identity() * 1e5,
        }
    };
    let supports: Vec<Support> = (0..isolators).map(support).collect();
    let factors = LimitFactors {
        engine: Engine::Electric { torque_factor: 1.25 },
        load_factor: 3.8,
        side_load_factor: None,
        pitch_rate_rad_s: 1.0,
        yaw_rate_rad_s: 2.5,
        gyroscopic_load_factor: 2.5,
        torque_factor_in_gyroscopic: false,
        ultimate_factor: 1.5,
    };
    let power = Power { thrust_n: 42.0, torque_n_m: 1.05, speed_rad_s: 754.0 };
    let loads = limit_loads(&factors, &plant, &supports, power, power).unwrap();
    let both = combined(&loads, &vec![3.0; isolators]);
    (loads, both)
}

fn check(data: &SizingData, dir: &Path, name: &str, wanted: usize, keep: bool) {
    let paths = draw_sizing(data, "0.1.0", &dir.join(name), PictureFormat::Svg).unwrap();
    assert_eq!(paths.len(), wanted, "{name}");
    for path in &paths {
        let svg = fs::read_to_string(path).unwrap();
        let label = format!("{name} {}", path.display());
        layout::assert_words_are_apart(&label, &svg);
        assert!(svg.contains("estimates for design studies; not for certification"), "{label}");
        assert!(!layout::without_images(&svg).contains("NaN") && !svg.contains("\"inf"), "{label}");
    }
    if keep {
        draw_sizing(data, "0.1.0", &dir.join(name), PictureFormat::Png).unwrap();
    }
}

#[test]
fn words_are_apart_for_few_and_many_segments_and_isolators() {
    let (dir, temporary) = folder();
    let keep = temporary.is_none();
    let details = [detail("arm", "thrust"), detail("plate_of_the_motor_with_a_long_name", "pitching_moment")];
    for (name, segments, isolators, details) in [
        ("sizing-six", 6, 4, details.as_slice()),
        ("sizing-one", 1, 3, &[]),
        ("sizing-many", 14, 8, &details[..1]),
    ] {
        let data = SizingData {
            duty: Some(duty(segments, isolators == 4, details)),
            limit: Some(limit(isolators, isolators == 4)),
        };
        check(&data, &dir, name, NAMES.len(), keep);
    }
}

#[test]
fn limit_loads_alone_and_spectra_alone_have_their_pictures() {
    let dir = tempfile::tempdir().unwrap();
    check(&SizingData { duty: None, limit: Some(limit(4, true)) }, dir.path(), "limit", 1, false);
    check(&SizingData { duty: Some(duty(2, false, &[])), limit: None }, dir.path(), "duty", 4, false);
}

/// A load that does not change has no cycle, and still has pictures.
#[test]
fn a_steady_load_has_pictures() {
    let dir = tempfile::tempdir().unwrap();
    let mut result = duty(1, false, &[]);
    for load in &mut result.loads {
        load.harmonics[0].amplitude.fill(0.0);
        load.matrix.fill(0.0);
        load.exceedance_cycles.clear();
        load.exceedance_range.clear();
        load.equivalent_range.iter_mut().for_each(|parts| parts.fill(0.0));
    }
    check(&SizingData { duty: Some(result), limit: None }, dir.path(), "steady", 4, false);
}

/// The names that are looked at before anything is computed are those of the tables that are made.
#[test]
fn the_names_of_the_tables_are_known_before() {
    use wakebeat_postproc::sizing::tables;
    let without = DutyCycle { details: Vec::new(), ..cycle(2, &[]) };
    let with = cycle(2, &[detail("arm", "thrust")]);
    for (cycle, details) in [(&without, &[][..]), (&with, &[detail("arm", "thrust")])] {
        let data = SizingData { duty: Some(duty(2, false, details)), limit: Some(limit(3, false)) };
        let made: Vec<_> = tables::tables(&data).into_iter().map(|table| table.name).collect();
        assert_eq!(tables::names(Some(cycle), true), made);
    }
    let data = SizingData { duty: None, limit: Some(limit(3, false)) };
    assert_eq!(tables::names(None, true), tables::tables(&data).iter().map(|t| t.name).collect::<Vec<_>>());
    assert!(tables::names(None, false).is_empty());
}
