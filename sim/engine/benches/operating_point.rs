//! Cost of a section evaluation, of an operating point and of all that `run` makes of a twin, on one core, 40 stations by 720 azimuths.
#![allow(missing_docs, clippy::panic, reason = "a bench that cannot load its case has nothing to measure")]

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use wakebeat_engine::base::lanes::{LANES, Lanes};
use wakebeat_engine::blade::blade_stations;
use wakebeat_engine::case::{from_text, scenarios};
use wakebeat_engine::point::input::{OperatingPoint, SectionLift, Streamwise};
use wakebeat_engine::point::{solve, solve_once};
use wakebeat_engine::rotor::group::StationGroup;
use wakebeat_engine::rotor::station_section::StationSection;
use wakebeat_engine::rotor::sweep::{GroupFlow, GroupLoads, SweepRoom, SweepSetup, SweepStart, sweep};

/// As in the program: what an operating point takes and gives back stays with the process.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn survey(sets: &[&str]) -> OperatingPoint {
    let scenario = &scenarios()[0];
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    match from_text("survey", scenario.case_text(), scenario, &sets) {
        Ok(case) => case.point,
        Err(problems) => panic!("{problems}"),
    }
}

/// One sweep of eight stations over 720 azimuths: time per element is the cost of a section evaluation.
fn section_evaluation(criterion: &mut Criterion) {
    let point = survey(&[]);
    let stations = blade_stations(&point.propeller.blade, 0.1143, 40);
    let sections: Vec<StationSection> = stations
        .iter()
        .map(|s| {
            let chord_over_radius = s.chord_m / s.radius_m;
            let spec = &point.propeller.sections[0];
            StationSection::new(spec, point.propeller.compressibility, 1e5, 0.2, chord_over_radius)
        })
        .collect();
    let group = StationGroup::new(&stations[24..32], &sections[24..32], 0.0);
    let mut flow = GroupFlow::new(720);
    for j in 0..720 {
        let ripple = if j % 360 < 12 { 4.0 } else { 0.0 };
        flow.axial_m_s[j] = Lanes::splat(19.0 - ripple);
        flow.tangential_m_s[j] = group.radius_m * point.propeller.speed_rad_s;
    }
    let mut loads = GroupLoads::new(720);
    let mut room = SweepRoom::new(720);
    let mut bench = criterion.benchmark_group("section_evaluation");
    bench.throughput(Throughput::Elements(720 * LANES as u64));
    for (name, section_lift) in
        [("quasi_steady", SectionLift::QuasiSteady), ("unsteady", SectionLift::Unsteady)]
    {
        let setup = SweepSetup {
            density_kg_m3: 1.2,
            speed_of_sound_m_s: 340.0,
            speed_rad_s: point.propeller.speed_rad_s,
            section_lift,
            streamwise: Streamwise::QuasiSteady,
            first_harmonic_undelayed: false,
            start: SweepStart::Periodic,
        };
        bench.bench_function(name, |b| {
            b.iter(|| sweep(&group, black_box(&flow), &setup, &mut room, &mut loads))
        });
    }
    bench.finish();
}

fn operating_point(criterion: &mut Criterion) {
    let mut bench = criterion.benchmark_group("operating_point_40x720");
    let wing_wake_only: &[&str] = &[
        "solver.induction=momentum",
        "surface.wing.potential=false",
        "body.fuselage.wake=none",
        "body.fuselage.potential=false",
    ];
    let cases: [(&str, &[&str]); 4] = [
        ("momentum_wing_wake", wing_wake_only),
        ("momentum_wing_and_body", &["solver.induction=momentum"]),
        ("dynamic_wing_and_body", &[]),
        ("dynamic_wing_and_body_naca651", &["surface.wing.wake=naca651"]),
    ];
    for (name, sets) in cases {
        let point = survey(sets);
        bench.bench_with_input(BenchmarkId::from_parameter(name), &point, |b, point| {
            b.iter(|| solve_once(black_box(point)));
        });
    }
    bench.finish();
}

/// A foreplane whose wake reaches both disks of the case `nacelle-pusher`, and a fin on its wing: invented, as the rest of that airframe.
const FOREPLANE_AND_FIN: &str = r#"
[[surface]]
name = "foreplane"
root_leading_edge_m = [-0.75, 0.0, 0.02]
span_m = 1.1
root_chord_m = 0.14
tip_chord_m = 0.11
incidence_deg = 2.0
thickness_ratio = 0.10
drag_min = 0.012

[[surface]]
name = "fin"
root_leading_edge_m = [0.02, 0.0, 0.03]
mirror = false
dihedral_deg = 90.0
span_m = 0.28
root_chord_m = 0.20
tip_chord_m = 0.12
sweep_deg = 20.0
thickness_ratio = 0.09
drag_min = 0.012
"#;

/// Wing, foreplane and fin, two nacelles, two propellers.
fn twin() -> OperatingPoint {
    let Some(scenario) = scenarios().iter().find(|scenario| scenario.name == "nacelle-pusher") else {
        panic!("no such case")
    };
    let text = format!("{}{FOREPLANE_AND_FIN}", scenario.case_text());
    let sets = ["solver.stations=40", "solver.azimuths=720"].map(str::to_owned);
    match from_text("twin", &text, scenario, &sets) {
        Ok(case) => case.point,
        Err(problems) => panic!("{problems}"),
    }
}

/// A point as `run` computes it: both propellers with the shares of every source, the limits of suction, the sums at the airframe.
fn whole_point(criterion: &mut Criterion) {
    let point = twin();
    assert_eq!((point.surfaces.len(), point.bodies.len(), point.further.len()), (3, 2, 1));
    let mut bench = criterion.benchmark_group("whole_point_40x720");
    bench.sample_size(20);
    bench.bench_function("three_surfaces_two_bodies_two_propellers", |b| b.iter(|| solve(black_box(&point))));
    bench.finish();
}

criterion_group!(benches, section_evaluation, operating_point, whole_point);
criterion_main!(benches);
