//! Counting and damage against the examples of ASTM E1049-85(2017), textbook forms and other people's counts.

#![allow(clippy::print_stdout, reason = "tests print their comparisons for the reader")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeMap;

use approx::assert_relative_eq;
use wakebeat_postproc::counting::{
    Cycle, MeanStress, SnCurve, SpectralMoments, equivalent_range, level_crossings, peak_counts, rainflow,
    rainflow_repeating, range_pairs, range_sum, simple_ranges,
};
use wakebeat_validation::reference::{Row, Table};

fn table(text: &str) -> Table {
    Table::parse(text).unwrap()
}

fn number(row: &Row<'_>, column: &str) -> f64 {
    row.number(column).unwrap()
}

/// The sixteen histories, by name.
fn histories() -> BTreeMap<String, Vec<f64>> {
    let mut all: BTreeMap<String, Vec<f64>> = BTreeMap::new();
    for row in table(include_str!("../data/fatigue/rainflow_inputs.csv")).rows() {
        all.entry(row.text("sequence").unwrap().to_owned()).or_default().push(number(&row, "value"));
    }
    assert_eq!(all.len(), 16);
    all
}

/// Cycles of a table, by history, in order.
fn cycles_of(text: &str) -> BTreeMap<String, Vec<Cycle>> {
    let mut all: BTreeMap<String, Vec<Cycle>> = BTreeMap::new();
    for row in table(text).rows() {
        let cycle =
            Cycle { range: number(&row, "range"), mean: number(&row, "mean"), count: number(&row, "count") };
        all.entry(row.text("sequence").unwrap().to_owned()).or_default().push(cycle);
    }
    all
}

fn sorted(mut cycles: Vec<Cycle>) -> Vec<Cycle> {
    cycles.sort_by(|a, b| a.range.total_cmp(&b.range).then(a.mean.total_cmp(&b.mean)));
    cycles
}

/// Counts by range, smallest first.
fn by_range(cycles: &[Cycle]) -> Vec<(f64, f64)> {
    let mut counts: Vec<(f64, f64)> = Vec::new();
    for cycle in sorted(cycles.to_vec()) {
        match counts.last_mut() {
            Some(last) if last.0 == cycle.range => last.1 += cycle.count,
            _ => counts.push((cycle.range, cycle.count)),
        }
    }
    counts
}

/// Source: ASTM E1049-85(2017), Figs. 2 to 7. Exact: the levels are halves and whole numbers.
#[test]
fn val_worked_examples_of_the_standard() {
    let histories = histories();
    let table = table(include_str!("../data/fatigue/astm_e1049_worked_examples.csv"));
    let mut expected: BTreeMap<(String, String), Vec<(f64, f64)>> = BTreeMap::new();
    for row in table.rows() {
        let key = |column| row.text(column).unwrap().to_owned();
        let at = if key("level").is_empty() { number(&row, "range") } else { number(&row, "level") };
        expected.entry((key("method"), key("sequence"))).or_default().push((at, number(&row, "count")));
    }
    assert_eq!(expected.len(), 6);
    for ((method, sequence), wanted) in expected {
        let history = &histories[&sequence];
        let levels: Vec<f64> = wanted.iter().map(|(level, _)| *level).collect();
        let found = match method.as_str() {
            "level_crossing" => level_crossings(history, &levels, 0.0)
                .unwrap()
                .iter()
                .map(|count| (count.level, count.count))
                .collect(),
            "peak_reference_0" => {
                peak_counts(history, 0.0).unwrap().iter().map(|count| (count.level, count.count)).collect()
            }
            "simple_range" => by_range(&simple_ranges(history).unwrap()),
            "range_pair" => by_range(&range_pairs(history).unwrap()),
            "rainflow" => by_range(&rainflow(history).unwrap()),
            "rainflow_repeating" => by_range(&rainflow_repeating(history).unwrap()),
            other => panic!("no method {other}"),
        };
        assert_eq!(found, wanted, "{method} of {sequence}");
    }
}

/// Source: a general rainflow library (3.2.0) on 16 histories. Exact, in order of extraction.
#[test]
fn val_rainflow_of_sixteen_histories_is_exact() {
    let expected = cycles_of(include_str!("../data/fatigue/rainflow_cycles_astm.csv"));
    for (name, history) in histories() {
        assert_eq!(rainflow(&history).unwrap(), expected[&name], "{name}");
    }
}

/// Source: the same library on rearranged loops, the closed ones equal to a second library. Band 1e-9 of the largest range: digits
/// printed in the table.
#[test]
fn val_repeating_rainflow_of_the_histories() {
    let expected = cycles_of(include_str!("../data/fatigue/rainflow_cycles_repeating.csv"));
    let mut checked = 0;
    for (name, history) in histories() {
        let Some(wanted) = expected.get(&name) else { continue };
        let found = sorted(rainflow_repeating(&history).unwrap());
        assert_eq!(found.len(), wanted.len(), "{name}");
        let largest = found.last().map_or(0.0, |cycle| cycle.range);
        for (one, other) in found.iter().zip(wanted) {
            assert!((one.range - other.range).abs() <= 1e-9 * largest, "{name}: {one:?} {other:?}");
            assert_eq!(one.count, other.count, "{name}");
        }
        // Means of equal ranges may stand in either order where the printed range hides their order.
        let means = |cycles: &[Cycle]| {
            let mut means: Vec<f64> = cycles.iter().map(|cycle| cycle.mean).collect();
            means.sort_by(f64::total_cmp);
            means
        };
        for (one, other) in means(&found).iter().zip(means(wanted)) {
            assert!((one - other).abs() <= 1e-9 * largest, "{name}: mean {one} {other}");
        }
        checked += 1;
    }
    assert!(checked >= 14, "{checked}");
    println!("repeating counts compared: {checked}");
}

/// Source: the summary of the same counts. Band 1e-12: order of summation.
#[test]
fn val_damage_sums_and_equivalent_ranges() {
    let histories = histories();
    for row in table(include_str!("../data/fatigue/rainflow_summary_astm.csv")).rows() {
        let name = row.text("sequence").unwrap();
        let cycles = rainflow(&histories[name]).unwrap();
        let points = histories[name].len() as f64;
        assert_eq!(points, number(&row, "n_points"));
        assert_eq!(cycles.len() as f64, number(&row, "n_extracted"));
        assert_eq!(cycles.iter().map(|c| c.count).sum::<f64>(), number(&row, "total_cycles"));
        for exponent in [3.0, 5.0, 10.0] {
            let of = |what: &str| number(&row, &format!("{what}_m{exponent}"));
            assert_relative_eq!(range_sum(&cycles, exponent), of("damage"), max_relative = 1e-12);
            assert_relative_eq!(equivalent_range(&cycles, exponent, points), of("del"), max_relative = 1e-12);
        }
    }
}

/// Source: closed form n rev (2A)^m of one tone.
#[test]
fn val_one_tone_has_the_closed_form() {
    for row in table(include_str!("../data/fatigue/duty_cycle_single_tone.csv")).rows() {
        let (amplitude, order) = (number(&row, "amplitude_n"), number(&row, "order"));
        let samples = 240.0 * order;
        let revolution: Vec<f64> = (0..samples as usize)
            .map(|k| amplitude * (order * k as f64 * std::f64::consts::TAU / samples).cos())
            .collect();
        let cycles: Vec<Cycle> = rainflow_repeating(&revolution)
            .unwrap()
            .into_iter()
            .map(|cycle| cycle.times(number(&row, "revolutions")))
            .collect();
        let sum = range_sum(&cycles, number(&row, "m"));
        assert_relative_eq!(sum, number(&row, "closed_form"), max_relative = 1e-12);
    }
}

/// Source: textbook forms, evaluated to 10 digits.
#[test]
fn val_mean_stress_corrections() {
    let yields = [250.0, 250.0, 250.0, 460.0, 460.0, 900.0];
    let table = table(include_str!("../data/fatigue/mean_stress_corrections.csv"));
    for (row, yield_point) in table.rows().zip(yields) {
        let (ultimate, amplitude, mean) = (number(&row, "Su"), number(&row, "Sa"), number(&row, "Sm"));
        let rules = [
            ("goodman", MeanStress::Goodman { ultimate }),
            ("gerber", MeanStress::Gerber { ultimate }),
            ("soderberg", MeanStress::Soderberg { yield_point }),
            ("swt", MeanStress::SmithWatsonTopper),
            ("walker_g0.5", MeanStress::Walker { exponent: 0.5 }),
        ];
        for (column, rule) in rules {
            let found = rule.reversed_amplitude(amplitude, mean);
            assert_relative_eq!(found, number(&row, column), max_relative = 1e-9);
        }
    }
}

/// Source: best-fit equations in the form of MIL-HDBK-5, evaluated to 10 digits (the constants are printed to fewer, and serve as
/// examples, not as allowables).
#[test]
fn val_handbook_curves() {
    let constants: Vec<(String, f64, [f64; 4])> =
        table(include_str!("../data/fatigue/sn_handbook_constants.csv"))
            .rows()
            .map(|row| {
                let names = ["A1", "A2", "A3_R_exponent", "A4_threshold_ksi"];
                let constants = names.map(|name| number(&row, name));
                (row.text("material").unwrap().to_owned(), number(&row, "Kt"), constants)
            })
            .collect();
    let mut finite = 0;
    for row in table(include_str!("../data/fatigue/sn_handbook_evaluated.csv")).rows() {
        let (material, notch) = (row.text("material").unwrap(), number(&row, "Kt"));
        let (_, _, constants) =
            constants.iter().find(|(name, kt, _)| name == material && *kt == notch).unwrap();
        let (ratio, highest) = (number(&row, "R"), number(&row, "Smax_ksi"));
        let range = highest * (1.0 - ratio);
        let found =
            SnCurve::Handbook { constants: *constants }.cycles_to_failure(range, highest - 0.5 * range);
        let wanted = number(&row, "Nf");
        if wanted.is_finite() {
            finite += 1;
            assert_relative_eq!(found, wanted, max_relative = 1e-8);
        } else {
            assert_eq!(found, f64::INFINITY, "{material} {ratio} {highest}");
        }
    }
    assert!(finite > 100, "{finite}");
}

/// Source: power laws quoted for amplitudes in MPa and in ksi; both must give the same life. Band 5e-3: the constants in MPa are
/// quoted with three digits, cut.
#[test]
fn val_power_curves_in_two_units() {
    for row in table(include_str!("../data/fatigue/sn_basquin_constants.csv")).rows() {
        let slope = number(&row, "m");
        let curve = |constant: f64| SnCurve::Power {
            range: 2.0,
            cycles: constant,
            slope,
            endurance_range: 0.0,
            mean: MeanStress::Ignored,
        };
        let in_ksi = curve(number(&row, "A_ksi")).cycles_to_failure(2.0 * 20.0, 0.0);
        let in_mpa = curve(number(&row, "A_MPa_quoted")).cycles_to_failure(2.0 * 20.0 * 6.894_757, 0.0);
        assert_relative_eq!(in_ksi, in_mpa, max_relative = 5e-3);
    }
}

/// The densities of the table, on 0 to 400 Hz in steps of 0.01 Hz.
fn density(case: &str, f: f64) -> f64 {
    let bell = |height: f64, middle: f64, width: f64| height * (-0.5 * ((f - middle) / width).powi(2)).exp();
    // Half a step of slack keeps the edges of the bands on the same samples as the table's.
    let within = |low: f64, high: f64| f > low - 0.005 && f < high + 0.005;
    match case {
        "flat_20_to_200Hz_1" => f64::from(within(20.0, 200.0)),
        "flat_95_to_105Hz_10" => 10.0 * f64::from(within(95.0, 105.0)),
        "two_gaussians_40Hz_160Hz" => bell(4.0, 40.0, 3.0) + bell(0.5, 160.0, 5.0),
        "three_gaussians_1P_2P_4P_plus_floor" => {
            let floor = 0.002 * f64::from(within(5.0, 300.0));
            bell(3.0, 50.0, 2.0) + bell(1.0, 100.0, 2.0) + bell(0.6, 200.0, 3.0) + floor
        }
        "lowpass_1_over_1_plus_f50_4" => f64::from(within(1.0, 400.0)) / (1.0 + (f / 50.0).powi(4)),
        other => panic!("no density {other}"),
    }
}

/// Step of the table's frequencies, Hz.
const STEP_HZ: f64 = 0.01;

fn rows_of(case: &str) -> (Vec<f64>, Vec<f64>) {
    (0..=40_000).map(|k| STEP_HZ * f64::from(k)).map(|f| (f, density(case, f))).unzip()
}

/// Moments by the rule the table is made with, trapezoids of f^n G, so that the forms built on them compare to its digits.
fn moments(case: &str) -> SpectralMoments {
    let (frequency, values) = rows_of(case);
    let moment = |order: i32| -> f64 {
        let value = |k: usize| frequency[k].powi(order) * values[k];
        (1..values.len()).map(|k| 0.5 * (value(k) + value(k - 1)) * (frequency[k] - frequency[k - 1])).sum()
    };
    SpectralMoments { m0: moment(0), m1: moment(1), m2: moment(2), m4: moment(4) }
}

/// Source: scipy's trapezoid rule and Dirlik's forms; 10 digits printed.
#[test]
fn val_moments_and_dirlik_coefficients() {
    for row in table(include_str!("../data/fatigue/psd_fatigue_moments.csv")).rows() {
        let m = moments(row.text("case").unwrap());
        let (frequency, values) = rows_of(row.text("case").unwrap());
        let lines = SpectralMoments::of(&frequency, &values).unwrap();
        // Trapezoids of f^n G fall short of straight lines of G by h²/12 n(n − 1) m_(n−2), G vanishing at the ends.
        let square = STEP_HZ * STEP_HZ;
        for (column, value) in [
            ("m0", lines.m0),
            ("m1", lines.m1),
            ("m2", lines.m2 - square / 6.0 * lines.m0),
            ("m4", lines.m4 - square * lines.m2),
        ] {
            assert_relative_eq!(value, number(&row, column), max_relative = 1e-9);
        }
        let d = m.dirlik();
        let found = [
            ("m0", m.m0),
            ("m1", m.m1),
            ("m2", m.m2),
            ("m4", m.m4),
            ("nu0_up_crossings_Hz", m.crossings_hz()),
            ("nu_p_peaks_Hz", m.peaks_hz()),
            ("gamma", m.regularity()),
            ("xm", m.mean_frequency_ratio()),
        ];
        for (column, value) in found {
            assert_relative_eq!(value, number(&row, column), max_relative = 1e-9);
        }
        // Near one frequency the coefficients are differences of near-equal numbers: digits go.
        for (column, value) in [("D1", d.d1), ("D2", d.d2), ("D3", d.d3), ("Q", d.q), ("R", d.r)] {
            assert_relative_eq!(value, number(&row, column), max_relative = 1e-5);
        }
    }
}

/// Source: the same models evaluated by scipy, beside a simulation of random phases (a few per cent of scatter at k = 3, tens at 10).
#[test]
fn val_damage_rates_from_a_density() {
    let mut worst: f64 = 0.0;
    for row in table(include_str!("../data/fatigue/psd_fatigue_damage.csv")).rows() {
        let m = moments(row.text("case").unwrap());
        let exponent = number(&row, "k");
        let rates = [
            ("narrow_band", m.narrow_band_rate(exponent)),
            ("wirsching_light", m.wirsching_light_rate(exponent)),
            ("tovo_benasciutti", m.tovo_benasciutti_rate(exponent)),
            ("dirlik", m.dirlik_rate(exponent)),
        ];
        for (column, rate) in rates {
            assert_relative_eq!(rate, number(&row, column), max_relative = 1e-7);
        }
        let simulated = number(&row, "monte_carlo");
        if exponent <= 5.0 {
            worst = worst.max((m.dirlik_rate(exponent) / simulated - 1.0).abs());
        }
    }
    println!("Dirlik against simulation, k = 3 and 5: within {:.1} %", 100.0 * worst);
    assert!(worst < 0.1);
}
