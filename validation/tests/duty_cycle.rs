//! Spectra of a duty cycle against one counted by hand with a general library.

#![allow(clippy::unwrap_used, reason = "a failed step is a failed test")]

use approx::assert_relative_eq;
use wakebeat_engine::duty::input::{Detail, DutyCycle, Equivalent, MeanRule, Segment};
use wakebeat_engine::duty::loads::{DutyLoad, revolution};
use wakebeat_engine::duty::result::{DutyResult, SegmentState};
use wakebeat_engine::point::result::Harmonics;
use wakebeat_postproc::counting::{Cycle, rainflow, range_sum};
use wakebeat_postproc::sizing::size;
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::{Row, Table};

/// Name, seconds, rpm, mean, and (order, amplitude, phase) of the three segments of the example.
type Example = (&'static str, f64, f64, f64, &'static [(usize, f64, f64)]);

const EXAMPLE: [Example; 3] = [
    ("climb", 240.0, 6600.0, 40.0, &[(1, 1.2, 0.3), (2, 6.0, 0.0), (4, 2.0, 1.1), (6, 0.7, -0.5)]),
    ("cruise", 3000.0, 5400.0, 22.0, &[(1, 0.8, 0.2), (2, 3.5, 0.4), (4, 1.0, -0.9), (6, 0.3, 2.0)]),
    ("approach", 360.0, 3000.0, 6.0, &[(1, 0.6, -0.4), (2, 2.2, 0.9), (4, 0.9, 0.2), (6, 0.4, 1.4)]),
];

fn harmonics(mean: f64, tones: &[(usize, f64, f64)]) -> Harmonics {
    let mut harmonics = Harmonics { amplitude: vec![0.0; 7], phase_rad: vec![0.0; 7] };
    harmonics.amplitude[0] = mean;
    for &(order, amplitude, phase) in tones {
        harmonics.amplitude[order] = amplitude;
        harmonics.phase_rad[order] = phase;
    }
    harmonics
}

fn state(name: &str, duration_s: f64, rpm: f64) -> SegmentState {
    SegmentState {
        name: name.to_owned(),
        duration_s,
        repeats: 1,
        airspeed_m_s: 20.0,
        altitude_m: 0.0,
        angle_of_attack_rad: 0.0,
        speed_rad_s: rpm * std::f64::consts::TAU / 60.0,
        pitch_offset_rad: 0.0,
        thrust_n: 0.0,
        torque_n_m: 0.0,
        warnings: Vec::new(),
    }
}

/// A detail that reads its curve in N: N = 2e6 (30/R)^5.
fn detail(name: &str, mean: MeanRule) -> Detail {
    Detail {
        name: name.to_owned(),
        load: "load".to_owned(),
        stress_per_load: 1.0,
        range_mpa: 30.0,
        cycles: 2e6,
        slope: 5.0,
        endurance_range_mpa: 0.0,
        mean,
    }
}

fn sized(segments: &[Example], flights: f64) -> DutyResult {
    let states: Vec<SegmentState> =
        segments.iter().map(|(name, seconds, rpm, ..)| state(name, *seconds, *rpm)).collect();
    let segment = |state: &SegmentState| Segment {
        name: state.name.clone(),
        duration_s: state.duration_s,
        repeats: state.repeats,
        point: plain_point(2),
        trim: None,
    };
    let equivalent = |exponent: f64| Equivalent { name: format!("m{exponent}"), exponent, cycles: 1e6 };
    let duty = DutyCycle {
        segments: states.iter().map(segment).collect(),
        flights_per_life: flights,
        samples: 720,
        equivalents: [3.0, 5.0, 8.0].map(equivalent).to_vec(),
        details: vec![
            detail("plain", MeanRule::Ignored),
            detail("goodman", MeanRule::Goodman { ultimate_mpa: 400.0 }),
        ],
        densities: Vec::new(),
    };
    let load = DutyLoad {
        name: "load".to_owned(),
        unit: "N",
        long_name: "a load".to_owned(),
        rest: 0.0,
        segments: segments.iter().map(|(_, _, _, mean, tones)| harmonics(*mean, tones)).collect(),
    };
    size(&duty, states, &[load]).unwrap()
}

fn part(result: &DutyResult, part: usize) -> Vec<Cycle> {
    let cycles = result.loads[0].cycles.iter().filter(|cycle| cycle.part == part);
    cycles.map(|c| Cycle { range: c.range, mean: c.mean, count: c.count }).collect()
}

fn table(text: &str) -> Table {
    Table::parse(text).unwrap()
}

fn number(row: &Row<'_>, column: &str) -> f64 {
    row.number(column).unwrap()
}

/// Source: one revolution of each segment, closed at its maximum, counted by a general rainflow library; 8 digits printed.
#[test]
fn val_cycles_of_the_worked_duty_cycle() {
    let result = sized(&EXAMPLE, 1.0);
    let table = table(include_str!("../data/fatigue/duty_cycle_cycles.csv"));
    for (index, (name, ..)) in EXAMPLE.iter().enumerate() {
        let wanted: Vec<Row<'_>> = table.rows().filter(|row| row.text("segment").unwrap() == *name).collect();
        let found = part(&result, index);
        assert_eq!(found.len(), wanted.len(), "{name}");
        for (cycle, row) in found.iter().zip(&wanted) {
            // The smallest ranges are differences of printed levels.
            assert_relative_eq!(cycle.range, number(row, "range_n"), max_relative = 1e-6);
            assert_relative_eq!(cycle.mean, number(row, "mean_n"), max_relative = 1e-7);
            assert_relative_eq!(cycle.count, number(row, "cycles"), max_relative = 1e-12);
        }
    }
}

/// Source: sums, equivalent ranges and extremes of the same cycles; the ground–air–ground cycle from 0 to the largest peak.
#[test]
fn val_damage_of_the_worked_duty_cycle() {
    let result = sized(&EXAMPLE, 1.0);
    let load = &result.loads[0];
    let whole: Vec<Cycle> = (0..=3).flat_map(|k| part(&result, k)).collect();
    for row in table(include_str!("../data/fatigue/duty_cycle_damage.csv")).rows() {
        let (index, cycles) = match row.text("segment").unwrap() {
            "climb" => (Some(0), part(&result, 0)),
            "cruise" => (Some(1), part(&result, 1)),
            "approach" => (Some(2), part(&result, 2)),
            "ground-air-ground (0 to largest peak)" => (None, part(&result, 3)),
            "flight with ground-air-ground" => (None, whole.clone()),
            _ => (None, (0..3).flat_map(|k| part(&result, k)).collect()),
        };
        if let Some(index) = index {
            assert_relative_eq!(load.highest[index], number(&row, "max_n"), max_relative = 1e-7);
            assert_relative_eq!(load.lowest[index], number(&row, "min_n"), max_relative = 1e-7);
        }
        for (k, exponent) in [3.0, 5.0, 8.0].into_iter().enumerate() {
            let sum = range_sum(&cycles, exponent);
            assert_relative_eq!(sum, number(&row, &format!("sum_m{exponent}")), max_relative = 1e-6);
            let wanted = number(&row, &format!("equivalent_m{exponent}"));
            assert_relative_eq!((sum / 1e6).powf(1.0 / exponent), wanted, max_relative = 1e-6);
            if row.text("segment").unwrap() == "flight with ground-air-ground" {
                let total = load.equivalent_range[k].last().copied().unwrap();
                assert_relative_eq!(total, wanted, max_relative = 1e-6);
            }
        }
    }
}

/// Source: Miner's sums of the same flight on N = 2e6 (30/R)^5, plain and with Goodman's line to 400 N; 9 digits printed.
#[test]
fn val_miner_damage_of_the_worked_duty_cycle() {
    let result = sized(&EXAMPLE, 1.0);
    for (detail, revolutions, ground) in
        [(0, 0.001_226_998_92, 5.757_951_01e-6), (1, 0.001_927_094_5, 7.893_189_44e-6)]
    {
        let damage = &result.details[detail].damage;
        assert_relative_eq!(damage[..3].iter().sum::<f64>(), revolutions, max_relative = 1e-7);
        assert_relative_eq!(damage[3], ground, max_relative = 1e-7);
    }
}

/// Source: counting the whole flight as one series of 620 revolutions, 446402 points: 0.99970, 0.99974, 0.99998 of the cycles by
/// segment plus one ground–air–ground cycle; what is missing are unclosed halves at the joints.
#[test]
fn val_counting_by_segment_against_the_whole_series() {
    let revolutions = [60, 500, 60];
    let mut series = vec![0.0];
    for ((_, _, _, mean, tones), count) in EXAMPLE.iter().zip(revolutions) {
        let once = revolution(&harmonics(*mean, tones), 720);
        series.extend((0..count).flat_map(|_| once.iter().copied()));
    }
    series.push(0.0);
    let whole = rainflow(&series).unwrap();
    let seconds = |rpm: f64, count: usize| count as f64 * 60.0 / rpm;
    let short: Vec<Example> = EXAMPLE
        .iter()
        .zip(revolutions)
        .map(|(&(name, _, rpm, mean, tones), count)| (name, seconds(rpm, count), rpm, mean, tones))
        .collect();
    let result = sized(&short, 1.0);
    let by_segment: Vec<Cycle> = (0..=3).flat_map(|k| part(&result, k)).collect();
    for (exponent, ratio) in [(3.0, 0.999_697_6), (5.0, 0.999_744_8), (8.0, 0.999_980_5)] {
        let found = range_sum(&whole, exponent) / range_sum(&by_segment, exponent);
        assert_relative_eq!(found, ratio, max_relative = 1e-6);
    }
}

/// Source: closed form. One segment of one tone: n (2A)^m with n order × revolutions, plus one cycle to rest.
#[test]
fn val_one_segment_is_the_closed_form() {
    let one: Example = ("cruise", 600.0, 6000.0, 0.0, &[(2, 3.0, 0.4)]);
    let result = sized(&[one], 10.0);
    let cycles = 2.0 * 10.0 * 600.0 * 100.0;
    for exponent in [3.0, 5.0, 8.0] {
        let sum = range_sum(&part(&result, 0), exponent);
        // 720 samples at order 2 miss the peak of a tone with phase by at most (π/360)²/2.
        assert_relative_eq!(sum, cycles * 6.0_f64.powf(exponent), max_relative = 8.0 * 4e-5);
    }
}

/// Doubling a segment doubles its damage and leaves the others alone; so do twice the flights, with the transitions.
#[test]
fn val_doubling_doubles() {
    let once = sized(&EXAMPLE, 1.0);
    let mut longer = EXAMPLE;
    longer[1].1 *= 2.0;
    let (twice, flights) = (sized(&longer, 1.0), sized(&EXAMPLE, 2.0));
    for detail in 0..2 {
        let damage = |result: &DutyResult| result.details[detail].damage.clone();
        let (a, b, c) = (damage(&once), damage(&twice), damage(&flights));
        for k in 0..4 {
            let factor = if k == 1 { 2.0 } else { 1.0 };
            assert_relative_eq!(b[k], factor * a[k], max_relative = 1e-13);
            assert_relative_eq!(c[k], 2.0 * a[k], max_relative = 1e-13);
        }
    }
}
