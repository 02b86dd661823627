//! Each point is the single run, for any number of threads, shards and interruptions.

use wakebeat_engine::point::airframe::AIRFRAME_LOADS;
use wakebeat_engine::point::result::{BladeLoad, HubLoad};
use wakebeat_engine::record::{SweepRecord, read_run, read_sweep};
use wakebeat_engine::study::PointStatus;

use super::{GRID, POINTS, bytes_but_time, three_propellers};
use crate::support::Place;

const CASE: &str = "pusher/case.toml";

/// Numbers of one point of an array, all its orders.
fn at_point(record: &SweepRecord, name: &str, point: usize) -> Vec<f64> {
    let values: Vec<f64> = record.array(name).unwrap().into_iter().collect();
    let width = values.len() / record.status.len();
    values[point * width..(point + 1) * width].to_vec()
}

/// Equal bits as far as the run goes; NaN beyond its orders.
#[track_caller]
fn assert_same(sweep: &[f64], run: &[f64], what: &str) {
    let (own, beyond) = sweep.split_at(run.len());
    let bits = |values: &[f64]| values.iter().map(|v| v.to_bits()).collect::<Vec<_>>();
    assert_eq!(bits(own), bits(run), "{what}");
    assert!(beyond.iter().all(|v| v.is_nan()), "{what}: {beyond:?}");
}

/// Runs one point by itself and compares every number that the sweep keeps of it.
fn compare_with_run(place: &Place, record: &SweepRecord, point: usize) {
    let mut args =
        vec!["run".to_owned(), CASE.to_owned(), "-q".to_owned(), "-o".to_owned(), "one.h5".to_owned()];
    for set in record.grid.sets(point) {
        args.extend(["--set".to_owned(), set]);
    }
    place.run(&args).good();
    let run = read_run(&place.path().join("one.h5")).unwrap().result;
    for load in HubLoad::ALL {
        let harmonics = &run.hub(load).harmonics;
        let (key, phase) = (load.key(), format!("{}_phase_rad", load.name()));
        assert_same(&at_point(record, &format!("hub_harmonics/{key}"), point), &harmonics.amplitude, key);
        assert_same(
            &at_point(record, &format!("hub_harmonics/{phase}"), point),
            &harmonics.phase_rad,
            &phase,
        );
        for share in &run.attribution {
            let name = format!("attribution/{}/{key}", share.name);
            assert_same(&at_point(record, &name, point), &share.loads[load as usize].amplitude, &name);
        }
    }
    for (index, load) in BladeLoad::ALL.into_iter().enumerate() {
        let name = format!("blade_harmonics/{}", load.key());
        let own: Vec<f64> = run.blades.iter().flat_map(|b| b[index].harmonics.amplitude.clone()).collect();
        let kept: Vec<f64> =
            at_point(record, &name, point).into_iter().filter(|value| !value.is_nan()).collect();
        assert_same(&kept, &own, &name);
    }
    for scalar in &run.summary {
        let all = record.summary(&scalar.name).unwrap();
        assert_same(&all[point..=point], &[scalar.value], &scalar.name);
    }
    let warned = record.warnings().unwrap();
    let given: Vec<&str> =
        warned.iter().filter(|(_, set)| set[point] != 0).map(|(n, _)| n.as_str()).collect();
    let mut own: Vec<&str> = run.warnings.iter().map(|w| w.name).collect();
    own.sort_unstable();
    // Each warning is one flag, however many bodies or propellers it names.
    own.dedup();
    assert_eq!(given, own);
}

#[test]
fn a_point_is_the_single_run_bit_for_bit() {
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q"]).good();
    let record = read_sweep(&place.path().join("pusher.h5")).unwrap();
    assert_eq!(record.status.len(), POINTS);
    let computed: Vec<usize> = (0..POINTS).filter(|i| record.status[*i] == PointStatus::Computed).collect();
    assert!(computed.len() > POINTS / 2 && computed.len() < POINTS, "{}", computed.len());
    for point in [computed[0], computed[computed.len() / 2], computed[computed.len() - 1]] {
        compare_with_run(&place, &record, point);
    }
    // Shares and remainder add up where a point has them, and say nothing where it has no answer.
    let refused = (0..POINTS).find(|i| record.status[*i] == PointStatus::Refused).unwrap();
    assert!(record.message[refused].contains("lets the disk cut the surface `wing`"), "{refused}");
    assert!(at_point(&record, "hub_harmonics/thrust_n", refused).iter().all(|v| v.is_nan()));
    assert!(at_point(&record, "attribution/wing_wake/thrust_n", refused).iter().all(|v| v.is_nan()));
    assert_eq!(place.names(), ["one.h5", "pusher", "pusher.h5"]);
}

/// What the sweep keeps of further propellers, against the run last made.
fn compare_further_with_run(place: &Place, record: &SweepRecord, point: usize) {
    let run = read_run(&place.path().join("one.h5")).unwrap().result;
    let kept = record.further().unwrap();
    let further = run.airframe.unwrap().further;
    assert_eq!(kept.len(), further.len());
    for (kept, own) in kept.iter().zip(&further) {
        assert_eq!(kept.name, own.name);
        assert_eq!(record.further_blade_count(&own.name).unwrap()[point], own.result.blade_count);
        for load in HubLoad::ALL {
            let harmonics = &own.result.hub(load).harmonics;
            let path = format!("further/{}/hub_harmonics/{}", own.name, load.key());
            assert_same(&at_point(record, &path, point), &harmonics.amplitude, &path);
            let path = format!("further/{}/hub_harmonics/{}_phase_rad", own.name, load.name());
            assert_same(&at_point(record, &path, point), &harmonics.phase_rad, &path);
        }
        assert!(
            ["thrust_n", "power_w", "torque_n_m", "thrust_np_n", "tip_mach", "thrust_line_moment_n_m"]
                .iter()
                .all(|name| own.result.scalar(name).is_some())
        );
        for scalar in &own.result.summary {
            let path = format!("further/{}/summary/{}", own.name, scalar.name);
            let all = record.further_summary(&own.name, &scalar.name).unwrap();
            assert_same(&all[point..=point], &[scalar.value], &path);
            assert_eq!(record.unit(&path).unwrap(), scalar.unit);
        }
    }
}

/// With further propellers a point keeps the sums at the centre of gravity, with the orders of the largest blade count, and hub
/// harmonics and summary of each; shards keep them too.
#[test]
fn loads_of_several_propellers_are_those_of_the_single_runs() {
    let axes = "\n[solver]\nstations = 6\nazimuths = 60\nharmonics = 4\n\
        [[sweep.axis]]\nkey = \"further_propeller.port.phase_deg\"\nvalues = [0.0, 90.0]\n\
        [[sweep.axis]]\nkey = \"further_propeller.port.blade_count\"\nvalues = [2, 3]\n";
    let place = three_propellers(axes);
    place.run(["sweep", CASE, "-q", "--threads", "2", "-o", "whole.h5"]).good();
    let record = read_sweep(&place.path().join("whole.h5")).unwrap();
    assert!(record.has_airframe() && record.orders == 17, "{}", record.orders);
    // The axis is that of the further propeller.
    assert_eq!(record.blade_count, [2; 4]);
    assert_eq!(record.further_blade_count("port").unwrap(), [2, 3, 2, 3]);
    for point in 0..4 {
        compare_with_run(&place, &record, point);
        compare_further_with_run(&place, &record, point);
        let run = read_run(&place.path().join("one.h5")).unwrap().result.airframe.unwrap().sums.unwrap();
        for (index, load) in AIRFRAME_LOADS.into_iter().enumerate() {
            let (name, key) = (load.name(), load.key());
            let suffix = key.strip_prefix(name).unwrap();
            let harmonics = &run.loads[index].harmonics;
            for (path, own) in [
                (format!("airframe_harmonics/{key}"), &harmonics.amplitude),
                (format!("airframe_harmonics/{name}_phase_rad"), &harmonics.phase_rad),
                (format!("airframe_envelope/{name}_greatest{suffix}"), &run.greatest[index]),
                (format!("airframe_envelope/{name}_least{suffix}"), &run.least[index]),
            ] {
                assert_same(&at_point(&record, &path, point), own, &path);
            }
        }
    }
    // Half a blade spacing apart the thrust of two like propellers cancels at 2P.
    let thrust = |point: usize| at_point(&record, "airframe_harmonics/thrust_n", point)[2];
    assert!(thrust(2) < 1e-9 * thrust(0), "{} {}", thrust(2), thrust(0));
    for number in ["1/2", "2/2"] {
        place.run(["sweep", CASE, "-q", "--shard", number]).good();
    }
    place.run(["merge", "-q", "-o", "merged.h5", "pusher.1of2.h5", "pusher.2of2.h5"]).good();
    assert!(
        bytes_but_time(&place.path().join("whole.h5")) == bytes_but_time(&place.path().join("merged.h5"))
    );
    place.run(["sweep", CASE, "-q", "--threads", "1", "-o", "one_thread.h5"]).good();
    assert!(
        bytes_but_time(&place.path().join("whole.h5")) == bytes_but_time(&place.path().join("one_thread.h5"))
    );
    // One propeller has no sums of its own.
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q"]).good();
    let alone = read_sweep(&place.path().join("pusher.h5")).unwrap();
    assert!(!alone.has_airframe() && alone.further().unwrap().is_empty());
}

/// The first propeller's blade count, where an axis sets it, is that of further ones without their own; a point that is refused leaves
/// what further propellers have unknown.
#[test]
fn further_propellers_follow_the_axes_of_the_first() {
    let axes = "\n[solver]\nstations = 5\nazimuths = 40\nharmonics = 2\n\
        [[sweep.axis]]\nkey = \"propeller.blade_count\"\nvalues = [3, 2]\n\
        [[sweep.axis]]\nkey = \"placement.axial_gap_m\"\nvalues = [0.001, 0.07]\n";
    let place = three_propellers(axes);
    place.run(["sweep", CASE, "-q", "-o", "a.h5"]).good();
    let record = read_sweep(&place.path().join("a.h5")).unwrap();
    assert_eq!(record.further_blade_count("port").unwrap(), [3, 3, 2, 2]);
    assert_eq!(record.further_blade_count("above").unwrap(), [4; 4]);
    assert!(record.further_blade_count("below").is_err());
    let refused: Vec<bool> = record.status.iter().map(|s| *s == PointStatus::Refused).collect();
    assert_eq!(refused, [true, false, true, false], "{:?}", record.message);
    for name in ["port", "above"] {
        let thrust = record.further_summary(name, "thrust_n").unwrap();
        assert_eq!(thrust.iter().map(|v| v.is_nan()).collect::<Vec<_>>(), refused);
        let path = format!("further/{name}/hub_harmonics/thrust_n");
        assert!(at_point(&record, &path, 0).iter().all(|v| v.is_nan()));
    }
    for point in [1, 3] {
        compare_with_run(&place, &record, point);
        compare_further_with_run(&place, &record, point);
    }
}

/// Texts, pairs, and names that would collide; sources that some points do not have.
#[test]
fn texts_and_pairs_make_axes_too() {
    let place = Place::empty();
    let case = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/good/sweep_paired.toml");
    let case = case.to_str().unwrap();
    place.run(["sweep", case, "-q", "-o", "a.h5"]).good();
    let record = read_sweep(&place.path().join("a.h5")).unwrap();
    assert_eq!(record.grid.shape, [2, 2, 2, 2]);
    let names: Vec<&str> = record.grid.axes.iter().map(|axis| axis.name.as_str()).collect();
    assert_eq!(names, ["speed_rpm", "airspeed_m_s", "blade_count", "wake", "deflection_deg"]);
    assert_eq!(record.blade_count[..8], [2, 2, 2, 2, 3, 3, 3, 3]);
    assert!(record.status.iter().all(|status| *status == PointStatus::Computed), "{:?}", record.message);
    // The wake is there in every other pair of points, and its share is nothing where it is not.
    let wake = record.array("attribution/wing_wake/thrust_n").unwrap();
    let thrust = record.array("hub_harmonics/thrust_n").unwrap();
    assert_eq!(wake[[0, 0, 1, 0, 2]], 0.0);
    assert!(wake[[0, 0, 0, 0, 2]] > 0.0);
    assert!(
        wake[[0, 0, 1, 0, record.orders - 1]].is_nan() && thrust[[0, 0, 1, 0, record.orders - 1]].is_nan()
    );
    assert_eq!(record.sources().unwrap().last().map(String::as_str), Some("remainder"));
    assert_eq!(record.summary("speed_rpm").unwrap()[8], 6500.0);
    // The file holds its case: the same sweep again.
    place.run(["sweep", "a.h5", "-q", "-o", "b.h5", "--threads", "1"]).good();
    assert!(bytes_but_time(&place.path().join("a.h5")) == bytes_but_time(&place.path().join("b.h5")));
}

#[test]
fn threads_and_shards_leave_the_same_bytes() {
    let place = Place::with_case_and(GRID);
    let at = |name: &str| place.path().join(name);
    place.run(["sweep", CASE, "-q", "--threads", "1", "-o", "one.h5"]).good();
    let whole = bytes_but_time(&at("one.h5"));
    place.run(["sweep", CASE, "-q", "--threads", "2", "-o", "two.h5"]).good();
    assert!(whole == bytes_but_time(&at("two.h5")));
    for number in ["1/3", "2/3", "3/3"] {
        place.run(["sweep", CASE, "-q", "--shard", number]).good();
    }
    let shards = ["pusher.2of3.h5", "pusher.3of3.h5", "pusher.1of3.h5"];
    place.run([&["merge", "-q", "-o", "merged.h5"][..], &shards].concat()).good();
    assert!(whole == bytes_but_time(&at("merged.h5")));
}

/// Two axes of blade counts: neither has the plain name, and no one count holds for the whole file.
#[test]
fn shards_over_two_blade_counts_leave_the_same_bytes() {
    const COUNTS: &str = "\n[[sweep.axis]]\nkey = \"propeller.blade_count\"\nvalues = [3, 2]\n\
        \n[[sweep.axis]]\nkey = \"further_propeller.above.blade_count\"\nvalues = [2, 4]\n\
        \n[solver]\nstations = 5\nazimuths = 60\nharmonics = 4\n";
    let place = three_propellers(COUNTS);
    let at = |name: &str| place.path().join(name);
    place.run(["sweep", CASE, "-q", "-o", "whole.h5"]).good();
    for number in ["1/2", "2/2"] {
        place.run(["sweep", CASE, "-q", "--shard", number]).good();
    }
    place.run(["merge", "-q", "-o", "merged.h5", "pusher.1of2.h5", "pusher.2of2.h5"]).good();
    assert!(bytes_but_time(&at("whole.h5")) == bytes_but_time(&at("merged.h5")));
    let whole = read_sweep(&at("whole.h5")).unwrap();
    assert_eq!(whole.blade_count, [3, 3, 2, 2]);
    assert!(whole.array("blade_count").is_err(), "one count for points that differ in it");
}

#[test]
fn merge_wants_each_point_once_from_one_sweep() {
    let place = Place::with_case_and(GRID);
    for (number, file) in [("1/2", "a.h5"), ("2/2", "b.h5"), ("1/3", "c.h5"), ("3/3", "d.h5")] {
        place.run(["sweep", CASE, "-q", "--shard", number, "-o", file]).good();
    }
    let merge = |files: &[&str]| place.run([&["merge", "-o", "m.h5"][..], files].concat()).bad();
    assert!(merge(&["a.h5"]).contains("points 18 to 35 of 36 are in no shard after it"));
    assert!(merge(&["c.h5", "d.h5"]).contains("points 12 to 23 of 36 are in no shard before it"));
    assert!(merge(&["b.h5"]).contains("points 0 to 17 of 36 are in no shard before it"));
    assert!(merge(&["a.h5", "c.h5", "b.h5"]).contains("holds point 0 of the grid, as does an earlier one"));
    place
        .run(["sweep", CASE, "-q", "--shard", "2/2", "-o", "e.h5", "--set", "flight.airspeed_m_s=15.0"])
        .good();
    assert!(merge(&["a.h5", "e.h5"]).contains("e.h5: belongs to another case than a.h5"));
    place.run(["merge", "a.h5", "b.h5", "-q", "-o", "m.h5"]).good();
    assert!(merge(&["m.h5", "b.h5"]).contains("m.h5: is an input of this run"));
    let text = place.run(["merge", "m.h5", "c.h5", "-o", "n.h5"]).bad();
    assert!(text.contains("is a whole sweep, not one of several shards"), "{text}");
}

/// A script that splits a sweep by the number of its machines works for one machine too.
#[test]
fn one_shard_of_one_is_merged() {
    let place = Place::with_case_and(GRID);
    place.run(["sweep", CASE, "-q", "--shard", "1/1", "-o", "a.h5"]).good();
    place.run(["merge", "a.h5", "-q", "-o", "m.h5"]).good();
    let [one, merged] = ["a.h5", "m.h5"].map(|name| std::fs::read(place.path().join(name)).unwrap());
    assert!(one == merged);
    assert_eq!(place.names(), ["a.h5", "m.h5", "pusher"]);
}

#[test]
fn a_screen_of_text_and_json_tell_counts_and_extremes() {
    let place = Place::with_case_and(GRID);
    let text = place.run(["sweep", CASE]).good();
    for words in [
        "grid of 3 x 4 x 3 = 36 points",
        "24 points computed, 12 without answer",
        "least NP thrust",
        "pusher.h5",
    ] {
        assert!(text.contains(words), "{words} in\n{text}");
    }
    assert!(text.lines().count() < 40 && text.lines().all(|line| line.chars().count() <= 100), "{text}");
    let json: serde_json::Value = serde_json::from_str(&place.run(["sweep", CASE, "--json"]).good()).unwrap();
    assert_eq!(json["status"]["computed"], 24);
    assert_eq!(json["status"]["refused"], 12);
    let (least, greatest) = (&json["least_thrust_np"], &json["greatest_thrust_np"]);
    assert!(least["thrust_np_n"].as_f64().unwrap() < greatest["thrust_np_n"].as_f64().unwrap());
    assert!(
        least["point"]["propeller.blade_count"]
            .as_i64()
            .or(least["point"]["propeller.blade_count"].as_f64().map(|v| v as i64))
            .is_some()
    );
    let check = place.run(["check", CASE]).good();
    assert!(check.contains("36 points") && check.contains("12 of them will have no answer"), "{check}");
}

#[test]
fn a_case_without_axes_is_told_what_to_add() {
    let place = Place::with_case();
    let text = place.run(["sweep", CASE]).bad();
    assert!(text.contains("sweep.axis") && text.contains("add [[sweep.axis]]"), "{text}");
    for bad in ["0/2", "3/2", "x"] {
        assert_eq!(place.run(["sweep", CASE, "--shard", bad]).code, Some(2));
    }
    assert_eq!(place.run(["sweep", CASE, "--resume", "--restart"]).code, Some(2));
}
