//! `wakebeat mount` on the case that is sized: spectra, limit loads, tables, pictures.

use serde_json::Value;

use crate::support::Place;

/// The ready case in `sized/`, a coarse grid so that the debug build is quick.
const COARSE: [&str; 10] = [
    "--set",
    "solver.stations=12",
    "--set",
    "solver.azimuths=120",
    "--set",
    "mount.load_speeds=2",
    "--set",
    "mount.speeds=5",
    "--set",
    "mount.angles=1",
];

fn place() -> Place {
    let place = Place::empty();
    place.run(["new", "sized", "--scenario", "mount-sizing"]).good();
    place
}

fn sized(place: &Place, more: &[&str]) -> Value {
    let mut args = vec!["mount", "sized/case.toml", "--json"];
    args.extend(COARSE);
    args.extend(more);
    let ran = place.run(args);
    assert_eq!(ran.stderr, "");
    serde_json::from_str(&ran.good()).unwrap()
}

fn damage(answer: &Value, detail: usize) -> Vec<f64> {
    let parts = answer["sizing"]["duty"]["details"][detail]["damage_by_part"].as_array().unwrap();
    parts.iter().map(|part| part.as_f64().unwrap()).collect()
}

#[test]
fn spectra_limit_loads_tables_and_pictures_are_written() {
    let place = place();
    let mut args = vec!["mount", "sized/case.toml"];
    args.extend(COARSE);
    let ran = place.run(args);
    assert_eq!(ran.stderr, "");
    let text = ran.good();
    for words in [
        "duty cycle: 6 segments",
        "take_off",
        "ground-air-ground",
        "arm %",
        "m = 10 at 1e6",
        "Miner",
        "limit loads: torque factor 1.25 (user's choice",
        "does not enter the gyroscopic cases",
        "upper_port",
        "ultimate N",
        "licensed practice decide",
        "tables: sized-tables",
    ] {
        // Long lines are wrapped wherever the screen ends.
        assert!(text.split_whitespace().collect::<Vec<_>>().join(" ").contains(words), "{words}: {text}");
    }
    assert!(text.lines().all(|line| line.chars().count() <= 100), "{text}");
    // One screen, warnings apart.
    assert!(
        text.lines().filter(|line| !line.starts_with("warning") && !line.starts_with("   ")).count() <= 60,
        "{text}"
    );
    assert_eq!(place.names(), ["sized", "sized-tables", "sized.h5"]);
    let mut tables: Vec<String> = std::fs::read_dir(place.path().join("sized-tables"))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    tables.sort();
    assert_eq!(
        tables,
        [
            "cycles.csv",
            "damage.csv",
            "equivalent_loads.csv",
            "exceedance.csv",
            "harmonics.csv",
            "limit_combined.csv",
            "limit_isolators.csv",
            "limit_mount.csv",
            "segments.csv",
            "time_at_level.csv"
        ]
    );
    for table in tables {
        let text = std::fs::read_to_string(place.path().join("sized-tables").join(&table)).unwrap();
        assert!(text.contains("not for certification"), "{table}");
        assert!(text.lines().count() > 3, "{table}");
    }
    let pictures = place.run(["plot", "sized.h5", "-d", "pictures", "--format", "svg"]).good();
    for name in [
        "spectrum_harmonics",
        "spectrum_range_mean",
        "spectrum_exceedance",
        "damage_by_segment",
        "limit_loads",
    ] {
        assert!(pictures.contains(name), "{pictures}");
    }
    // The result file is a case too, and gives the same again.
    let again = place.run(["mount", "sized.h5", "-o", "again.h5", "--json"]).good();
    let again: Value = serde_json::from_str(&again).unwrap();
    assert_eq!(damage(&again, 0), damage(&sized(&place, &["-o", "third.h5"]), 0));
}

#[test]
fn doubling_a_segment_doubles_its_damage_and_leaves_the_others() {
    let place = place();
    let once = sized(&place, &[]);
    let twice = sized(&place, &["--set", "duty.segment.loiter.duration_s=3000.0"]);
    for detail in 0..2 {
        let (one, two) = (damage(&once, detail), damage(&twice, detail));
        for (index, (a, b)) in one.iter().zip(&two).enumerate() {
            let factor = if index == 4 { 2.0 } else { 1.0 };
            assert!((b - factor * a).abs() <= 1e-12 * b.abs(), "detail {detail}, part {index}: {a} {b}");
        }
    }
}

/// Three blades have no pulsing moment; two do, and load every isolator more in the gyroscopic cases.
#[test]
fn two_blades_pulse_and_three_do_not() {
    let place = place();
    let two = sized(&place, &[]);
    let three = sized(&place, &["--set", "propeller.blade_count=3"]);
    assert_eq!(two["sizing"]["limit"]["gyroscopic_moment_pulses"], true);
    assert_eq!(three["sizing"]["limit"]["gyroscopic_moment_pulses"], false);
}

#[test]
fn a_segment_that_cannot_be_trimmed_is_named_and_nothing_is_written() {
    let place = place();
    let mut args = vec!["mount", "sized/case.toml"];
    args.extend(COARSE);
    args.extend([
        "--set",
        "duty.segment.loiter.airspeed_m_s=5.0",
        "--set",
        "duty.segment.climb.thrust_n=5000.0",
    ]);
    let message = place.run(args).bad();
    assert!(
        message.contains("segment `duty.segment.loiter` cannot be flown: not trimmable, stall"),
        "{message}"
    );
    assert!(message.contains("segment `duty.segment.climb` cannot be flown: not trimmable"), "{message}");
    assert!(message.contains("hint:"), "{message}");
    assert_eq!(place.names(), ["sized"]);
}

/// A duty cycle without a mount counts the loads at the hub.
#[test]
fn a_duty_cycle_needs_no_mount() {
    let duty = "\n[duty]\nflights_per_life = 10\n[[duty.segment]]\nname = \"cruise\"\nduration_s = 60\n";
    let place = Place::with_case_and(duty);
    let ran = place.run(["mount", "pusher/case.toml", "--json", "--set", "solver.azimuths=120"]);
    let answer: Value = serde_json::from_str(&ran.good()).unwrap();
    assert_eq!(answer["sizing"]["duty"]["loads"].as_array().unwrap().len(), 7);
    assert!(answer["sizing"]["limit"].is_null());
    let bad = Place::with_case();
    assert!(bad.run(["mount", "pusher/case.toml"]).bad().contains("neither [mount] nor [duty]"));
}

#[test]
fn a_foreign_table_needs_force_and_nothing_is_written_before() {
    let place = place();
    let mine = place.path().join("mine/segments.csv");
    std::fs::create_dir(place.path().join("mine")).unwrap();
    std::fs::write(&mine, "my,own,data").unwrap();
    let args = [&["mount", "sized/case.toml", "-q", "--tables", "mine"][..], &COARSE].concat();
    let text = place.run(&args).bad();
    assert!(text.contains("mine/segments.csv") && text.contains("--force"), "{text}");
    assert_eq!(std::fs::read_to_string(&mine).unwrap(), "my,own,data");
    assert_eq!(place.names(), ["mine", "sized"]);
    place.run([&args[..], &["--force"]].concat()).good();
    // From now on they are ours.
    place.run(&args).good();
}

/// A density adds to equivalent loads; it has no largest range, and limit loads say that they leave it out.
#[test]
fn what_a_density_is_not_in_is_said() {
    let place = place();
    let path = place.path().join("sized/case.toml");
    let case = std::fs::read_to_string(&path).unwrap();
    let density = "\n[[duty.density]]\nname = \"gusts\"\nload = \"upper_port_x\"\nfile = \"gusts.csv\"\n";
    std::fs::write(place.path().join("sized/gusts.csv"), "frequency_hz,density\n1,0.002\n500,0.002\n")
        .unwrap();
    let largest = |answer: &Value| {
        let loads = answer["sizing"]["duty"]["loads"].as_array().unwrap();
        let load = loads.iter().find(|load| load["name"] == "upper_port_x").unwrap();
        let detail = &answer["sizing"]["duty"]["details"][0];
        (
            load["largest_range"].as_f64().unwrap(),
            detail["largest_range_mpa"].as_f64().unwrap(),
            detail["damage"].as_f64().unwrap(),
        )
    };
    let without = sized(&place, &[]);
    std::fs::write(&path, case + density).unwrap();
    let with = sized(&place, &[]);
    let (calm, rough) = (largest(&without), largest(&with));
    assert_eq!((calm.0, calm.1), (rough.0, rough.1));
    assert!(rough.2 > 2.0 * calm.2, "{calm:?} {rough:?}");
    assert!(without["sizing"]["notes"].as_array().unwrap().is_empty());
    let notes = with["sizing"]["notes"].to_string();
    assert!(
        notes.contains("largest range") && notes.contains("leave out the densities (gusts on upper port x)"),
        "{notes}"
    );
    let args = [&["mount", "sized/case.toml"][..], &COARSE].concat();
    let text = place.run(args).good();
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("leave out the densities (gusts on upper port x)"), "{text}");
    place.run(["report", "sized.h5"]).good();
    let page = std::fs::read_to_string(place.path().join("sized.html")).unwrap();
    assert!(page.contains("leave out the densities (gusts on upper port x)"));
    let table = std::fs::read_to_string(place.path().join("sized-tables/limit_combined.csv")).unwrap();
    assert!(table.contains("densities are not in it"), "{table}");
}
