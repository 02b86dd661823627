//! The ranking against a plain search written apart from it, on made-up studies.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use wakebeat_engine::study::{Axis, AxisValues, Choose, Grid, KeepLow, Limits, Over, Phases, Weights};
use wakebeat_postproc::choose::{AirframeFigures, Figures, NearbyValue, Study, rank};

const COUNTS: [i64; 3] = [2, 3, 4];
const OFFSETS: [f64; 5] = [0.0, 0.02, 0.04, 0.06, 0.08];
const SPEEDS: [f64; 4] = [10.0, 14.0, 18.0, 22.0];
const WEIGHTS: [f64; 4] = [1.0, 5.0, 3.0, 0.5];

fn axis(key: &str, unit: &str, values: AxisValues, dimension: usize) -> Axis {
    let name = key.rsplit('.').next().unwrap().to_owned();
    let (key, unit) = (key.to_owned(), unit.to_owned());
    Axis { name, key, unit, long_name: String::new(), values, dimension, leads: true }
}

/// Flown airspeed first, so that candidates are not contiguous.
fn grid() -> Grid {
    Grid {
        axes: vec![
            axis("flight.airspeed_m_s", "m/s", AxisValues::Numbers(SPEEDS.to_vec()), 0),
            axis("propeller.blade_count", "1", AxisValues::Integers(COUNTS.to_vec()), 1),
            axis("placement.shaft_offset_m", "m", AxisValues::Numbers(OFFSETS.to_vec()), 2),
        ],
        shape: vec![4, 3, 5],
    }
}

/// A point of the made-up study: where, and what it has.
#[derive(Clone)]
struct Point {
    speed: usize,
    count: usize,
    offset: usize,
    figures: Result<Figures, String>,
}

/// Knuth's linear congruential generator; the upper bits are good enough here.
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((self.0 >> 40) as u32) / f64::from(1_u32 << 24)
    }
}

fn points(seed: u64) -> Vec<Point> {
    let mut random = Random(seed);
    let mut all = Vec::new();
    for speed in 0..4 {
        for count in 0..3 {
            for offset in 0..5 {
                let mut r = || random.next();
                let figures = Figures {
                    loads: [r(), r(), 0.1 * r(), 0.1 * r()],
                    airframe: Some(AirframeFigures {
                        force_n: r(),
                        moment_n_m: 0.1 * r(),
                        thrust_n: 5.0 + r(),
                    }),
                    thrust_n: 2.0 + r(),
                    thrust_of_all_n: 5.0 + r(),
                    power_of_all_w: 120.0 + 25.0 * r(),
                    speed_rpm: 5000.0 + 3000.0 * r(),
                    tip_mach: 0.2 + 0.2 * r(),
                    pitching_moment_n_m: r() - 0.5,
                    clearance_m: [0.05 * r(), f64::NAN, 0.2 * r(), r(), r(), f64::NAN],
                };
                // Now and then no answer; at the first speed for all.
                let fails = speed == 0 || random.next() < 0.02;
                let figures = if fails { Err("not trimmable".to_owned()) } else { Ok(figures) };
                all.push(Point { speed, count, offset, figures });
            }
        }
    }
    all
}

fn study(points: &[Point], choose: &Choose) -> Study {
    Study::of_points(&grid(), choose, true, |i| {
        (usize::try_from(COUNTS[points[i].count]).unwrap(), 0.25, points[i].figures.clone())
    })
}

/// The plain search: (allowed, value) of one combination of count and offset.
fn plain(points: &[Point], choose: &Choose, count: usize, offset: usize) -> (bool, Option<f64>) {
    let dead: Vec<usize> =
        (0..4).filter(|s| points.iter().filter(|p| p.speed == *s).all(|p| p.figures.is_err())).collect();
    let mine: Vec<&Point> = points
        .iter()
        .filter(|p| p.count == count && p.offset == offset && !dead.contains(&p.speed))
        .collect();
    if mine.iter().any(|p| p.figures.is_err()) {
        return (false, None);
    }
    let mean_thrust =
        mine.iter().map(|p| p.figures.as_ref().unwrap().thrust_n).sum::<f64>() / mine.len() as f64;
    let mean_of_all =
        mine.iter().map(|p| p.figures.as_ref().unwrap().airframe.unwrap().thrust_n).sum::<f64>()
            / mine.len() as f64;
    let load = |f: &Figures| match choose.keep_low {
        KeepLow::AirframeForce => f.airframe.unwrap().force_n,
        KeepLow::AirframeMoment => f.airframe.unwrap().moment_n_m,
        KeepLow::AirframeIndex => {
            let (force, moment) = (f.airframe.unwrap().force_n, f.airframe.unwrap().moment_n_m);
            (force.powi(2) + (moment / 0.125).powi(2)).sqrt() / mean_of_all
        }
        KeepLow::Thrust => f.loads[0],
        KeepLow::SideForce => f.loads[1],
        KeepLow::Bending => f.loads[2],
        KeepLow::Torque => f.loads[3],
        KeepLow::Index => {
            let arm = 0.125;
            (0..4)
                .map(|i| (f.loads[i] / mean_thrust / if i < 2 { 1.0 } else { arm }).powi(2))
                .sum::<f64>()
                .sqrt()
        }
    };
    let mut value = 0.0_f64;
    let mut total = 0.0;
    let mut allowed = true;
    for p in &mine {
        let f = p.figures.as_ref().unwrap();
        let weight = if choose.weights.is_some() { WEIGHTS[p.speed] } else { 1.0 };
        match choose.over {
            Over::WorstCase => value = value.max(load(f)),
            Over::WeightedMean => value += weight * load(f),
        }
        total += weight;
        let best = points
            .iter()
            .filter(|q| q.speed == p.speed)
            .filter_map(|q| q.figures.as_ref().ok())
            .map(|g| g.thrust_of_all_n / g.power_of_all_w)
            .fold(0.0, f64::max);
        let limits = &choose.limits;
        allowed &=
            limits.efficiency_loss_max.is_none_or(|m| 1.0 - f.thrust_of_all_n / f.power_of_all_w / best <= m);
        allowed &= limits.pitching_moment_max_n_m.is_none_or(|m| f.pitching_moment_n_m.abs() <= m);
        allowed &= limits.tip_mach_max.is_none_or(|m| f.tip_mach <= m);
        allowed &= limits.clearance_min_m[2].is_none_or(|m| f.clearance_m[2] >= m);
    }
    if choose.over == Over::WeightedMean {
        value /= total;
    }
    (allowed, Some(value))
}

fn ways() -> Vec<Choose> {
    let mut ways = Vec::new();
    let keep_low = [
        KeepLow::Thrust,
        KeepLow::SideForce,
        KeepLow::Bending,
        KeepLow::Torque,
        KeepLow::Index,
        KeepLow::AirframeForce,
        KeepLow::AirframeMoment,
        KeepLow::AirframeIndex,
    ];
    let tight = Limits {
        efficiency_loss_max: Some(0.35),
        pitching_moment_max_n_m: Some(0.45),
        tip_mach_max: Some(0.39),
        clearance_min_m: [None, None, Some(0.02), None, None, None],
    };
    for keep_low in keep_low {
        for (over, weighted) in
            [(Over::WorstCase, false), (Over::WeightedMean, false), (Over::WeightedMean, true)]
        {
            for limits in [Limits::default(), tight] {
                let weights = weighted
                    .then(|| Weights { axis: "flight.airspeed_m_s".to_owned(), weights: WEIGHTS.to_vec() });
                let phases = Phases::AsGiven;
                ways.push(Choose { keep_low, phases, over, weights, decide: None, limits });
            }
        }
    }
    ways
}

#[test]
fn the_ranking_is_that_of_a_plain_search() {
    let (mut refused, mut without) = (0, 0);
    for seed in 1..20 {
        let points = points(seed);
        for choose in ways() {
            let study = study(&points, &choose);
            let ranking = rank(&study, &choose);
            let mut expected = Vec::new();
            for count in 0..3 {
                for offset in 0..5 {
                    let (allowed, value) = plain(&points, &choose, count, offset);
                    without += usize::from(value.is_none());
                    refused += usize::from(value.is_some() && !allowed);
                    if allowed {
                        expected.push((value.unwrap(), [count, offset]));
                    }
                }
            }
            expected.sort_by(|a, b| a.0.total_cmp(&b.0));
            let found: Vec<_> = ranking.allowed().collect();
            assert_eq!(found.len(), expected.len());
            for (row, (value, subscripts)) in found.iter().zip(&expected) {
                assert_eq!(study.candidates[row.candidate].subscripts, subscripts);
                assert!((row.value - value).abs() <= 1e-13 * value, "{} {value}", row.value);
            }
            // Every loser has a reason, the winner none.
            for (place, row) in ranking.rows.iter().enumerate() {
                assert_eq!(row.reason.is_empty(), place == 0 && row.allowed, "{row:?}");
            }
            assert_eq!(ranking.left_out.len(), 1);
            let pairs: Vec<(f64, f64)> =
                found.iter().map(|row| (row.value, row.costs.efficiency_loss)).collect();
            for (row, own) in found.iter().zip(&pairs) {
                let beaten = pairs.iter().any(|other| {
                    other.0 <= own.0 && other.1 <= own.1 && (other.0 < own.0 || other.1 < own.1)
                });
                assert_eq!(row.pareto, !beaten);
            }
        }
    }
    assert!(refused > 100 && without > 100, "{refused} {without}");
}

#[test]
fn the_winners_neighbourhood_is_a_straight_line_between_grid_points() {
    let choose = Choose { over: Over::WeightedMean, ..Choose::default() };
    let points = points(3);
    let study = study(&points, &choose);
    let ranking = rank(&study, &choose);
    let winner = &study.candidates[ranking.rows[0].candidate];
    let nearby = ranking.nearby.iter().find(|n| n.name == "shaft_offset_m").unwrap();
    assert!((nearby.step - 0.02 * 0.25).abs() < 1e-15);
    let value = |offset: usize| plain(&points, &choose, winner.subscripts[0], offset).1;
    let own = winner.subscripts[1];
    for (side, found) in [(-1_i64, &nearby.values[0]), (1, &nearby.values[1])] {
        let other = usize::try_from(i64::try_from(own).unwrap() + side).ok().filter(|i| *i < 5);
        match (found, other.map(value)) {
            (NearbyValue::Found(found), Some(Some(other))) => {
                // A quarter of the way: 0.005 m of 0.02 m.
                let line = 0.75 * value(own).unwrap() + 0.25 * other;
                assert!((found - line).abs() < 1e-12, "{found} {line}");
            }
            (NearbyValue::Unknown(_), None | Some(None)) => {}
            (found, other) => panic!("{found:?} {other:?}"),
        }
    }
    let speed = ranking.nearby.iter().find(|n| n.name == "speed_rpm").unwrap();
    assert!(matches!(&speed.values[0], NearbyValue::Unknown(why) if why.contains("no axis")));
}

#[test]
fn axes_may_be_decided_by_name() {
    let decide = Some(vec!["placement.shaft_offset_m".to_owned()]);
    let choose = Choose { decide, ..Choose::default() };
    let study = study(&points(1), &choose);
    assert_eq!((study.candidates.len(), study.conditions.len()), (5, 12));
    assert!(rank(&study, &choose).odd_even.is_none());
}

#[test]
fn odd_and_even_counts_are_compared_at_the_winners_geometry() {
    let choose = Choose::default();
    let study = study(&points(2), &choose);
    let ranking = rank(&study, &choose);
    let told = ranking.odd_even.unwrap();
    let counts: Vec<usize> = told.counts.iter().map(|c| c.blade_count).collect();
    assert_eq!(counts, [2, 3, 4]);
    assert!(told.sentence.contains("3 blades against 2"), "{}", told.sentence);
    assert!(told.sentence.contains("the best odd count"), "{}", told.sentence);
}

/// The last of three counts mirrors the one before, but for the last digits.
#[test]
fn candidates_equal_but_for_round_off_are_equal() {
    let choose = Choose::default();
    let mut points = points(4);
    let apart = 1.0 - 1e-15;
    for i in 0..points.len() {
        if points[i].count == 2 {
            let twin = points
                .iter()
                .find(|p| (p.speed, p.count, p.offset) == (points[i].speed, 1, points[i].offset));
            let mut figures = twin.unwrap().figures.clone();
            if let Ok(figures) = &mut figures {
                figures.loads.iter_mut().for_each(|load| *load *= apart);
                figures.power_of_all_w /= apart;
            }
            points[i].figures = figures;
        }
    }
    let study = study(&points, &choose);
    let ranking = rank(&study, &choose);
    let place = |row: &wakebeat_postproc::choose::Row| study.candidates[row.candidate].subscripts.clone();
    let mut pairs = 0;
    for row in ranking.allowed().filter(|row| place(row)[0] == 1) {
        let mirror = ranking.allowed().find(|other| place(other) == [2, place(row)[1]]).unwrap();
        assert_eq!(row.pareto, mirror.pareto, "{row:?} {mirror:?}");
        let rank_of = |one| ranking.rows.iter().position(|row| std::ptr::eq(row, one)).unwrap();
        assert_eq!(rank_of(row) + 1, rank_of(mirror), "the order of the grid");
        if rank_of(row) == 0 {
            assert!(mirror.reason.starts_with("NP thrust equal to the winner's"), "{}", mirror.reason);
        }
        pairs += 1;
    }
    assert!(pairs > 2);
    let losses = ranking.rows.iter().map(|row| row.costs.efficiency_loss).filter(|loss| loss.is_finite());
    assert!(losses.into_iter().all(|loss| loss == 0.0 || loss > 1e-9));
}

/// No candidate has an answer at the first speed, and only that one has weight.
#[test]
fn weight_on_what_is_left_out_alone_is_told() {
    let weights = Weights { axis: "flight.airspeed_m_s".to_owned(), weights: vec![1.0, 0.0, 0.0, 0.0] };
    let choose = Choose { over: Over::WeightedMean, weights: Some(weights), ..Choose::default() };
    let study = study(&points(1), &choose);
    let ranking = rank(&study, &choose);
    assert!(ranking.weightless && ranking.allowed().next().is_none());
    assert!(ranking.rows.iter().all(|row| !row.reason.is_empty()));
    assert!(ranking.rows.iter().any(|row| row.reason == "choose.weights are 0 wherever it has an answer"));
    assert!(!rank(&study, &Choose::default()).weightless);
}

#[test]
fn round_off_is_no_load() {
    let choose = Choose::default();
    let mut points = points(2);
    for figures in points.iter_mut().filter_map(|p| p.figures.as_mut().ok()) {
        figures.loads.iter_mut().for_each(|load| *load *= 1e-14);
    }
    let study = study(&points, &choose);
    let ranking = rank(&study, &choose);
    assert!(ranking.allowed().all(|row| row.value == 0.0));
    assert!(!ranking.odd_even.unwrap().sentence.contains("NaN"));
}

/// A gap of another propeller is not told as that of the first.
#[test]
fn keys_of_something_with_a_name_are_told_whole() {
    let values = || AxisValues::Numbers(vec![0.05, 0.15]);
    let gap = axis("further_propeller.port.axial_gap_m", "m", values(), 0);
    let offset = axis("placement.shaft_offset_m", "m", values(), 1);
    let paired =
        wakebeat_engine::study::Axis { leads: false, ..axis("body.pod.diameter_m", "m", values(), 1) };
    let grid = Grid { axes: vec![gap, offset, paired], shape: vec![2, 2] };
    let figures = points(1)[0].figures.clone();
    let study = Study::of_points(&grid, &Choose::default(), true, |_| (2, 0.25, figures.clone()));
    assert_eq!(
        study.candidate_words(2),
        "further_propeller.port.axial_gap_m 0.15, shaft_offset_m 0.05 (body.pod.diameter_m 0.05)"
    );
}
