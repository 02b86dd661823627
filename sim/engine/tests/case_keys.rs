//! The table of keys: complete, consistent, and what the schema shows.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed step is a failed test")]

use std::collections::BTreeSet;
use wakebeat_engine::case::{
    Availability, Fallback, KeySpec, Kind, Origin, Scenario, Shape, from_text, groups, key_reference,
    scenarios, schema,
};

fn available() -> impl Iterator<Item = &'static KeySpec> {
    key_reference().iter().filter(|key| key.availability == Availability::Available)
}

#[test]
fn every_key_has_a_sentence_a_group_and_a_path_of_its_own() {
    let mut paths = BTreeSet::new();
    for key in key_reference() {
        let path = key.path();
        assert!(key.doc.len() > 10 && key.doc.ends_with('.'), "{path}: {}", key.doc);
        assert!(groups().iter().any(|group| group.path == key.group), "{path}");
        assert!(!key.allowed().is_empty(), "{path}");
        assert!(paths.insert(path.clone()), "{path} stands twice");
    }
    for group in groups() {
        assert!(group.doc.ends_with('.'), "{}", group.path);
    }
}

#[test]
fn the_name_of_every_key_ends_in_its_unit() {
    let suffixes = [
        ("_mpa_per_load", "MPa/N or MPa/(N m)"),
        ("_mpa", "MPa"),
        ("_n_m_s", "N m s"),
        ("_n_m_per_rad", "N m/rad"),
        ("_n_per_m", "N/m"),
        ("_n_s_per_m", "N s/m"),
        ("_n_m", "N m"),
        ("_mm_s", "mm/s"),
        ("_m_s2", "m/s2"),
        ("_hz", "Hz"),
        ("_m_s", "m/s"),
        ("_rad_s", "rad/s"),
        ("_per_rad", "1/rad"),
        ("_deg", "deg"),
        ("_rpm", "rpm"),
        ("_kg_m2", "kg m2"),
        ("_kg", "kg"),
        ("_m2", "m2"),
        ("_n_m", "N m"),
        ("_m", "m"),
        ("_k", "K"),
        ("_n", "N"),
        ("_w", "W"),
        ("_s", "s"),
    ];
    for key in key_reference() {
        let by_name = suffixes.iter().find(|(suffix, _)| key.name.ends_with(suffix)).map(|(_, unit)| *unit);
        let plain = match key.kind {
            Kind::Text
            | Kind::Name
            | Kind::File
            | Kind::Boolean
            | Kind::Choice(_)
            | Kind::KeyPath
            | Kind::Values => "",
            _ => "1",
        };
        assert_eq!(key.unit, by_name.unwrap_or(plain), "{}", key.path());
    }
}

fn scenario_named(name: &str) -> &'static Scenario {
    scenarios().iter().find(|scenario| scenario.name == name).unwrap()
}

/// A default read back as a given value is taken, so it has the right type and lies in its range.
#[test]
fn every_default_can_be_given() {
    let scenario = &scenarios()[0];
    for key in available() {
        let Fallback::Value(text) = key.default else { continue };
        let path = key
            .path()
            .replace("surface.NAME", "surface.wing")
            .replace("body.NAME", "body.fuselage")
            .replace("flap.NAME", "flap.outer")
            .replace("sections.NAME", "sections.tip")
            .replace("isolator.NAME", "isolator.top")
            .replace("schedule.NAME", "schedule.start")
            .replace("sensor.NAME", "sensor.camera")
            .replace("airframe_mode.NAME", "airframe_mode.boom")
            .replace("segment.NAME", "segment.cruise")
            .replace("equivalent.NAME", "equivalent.metal")
            .replace("detail.NAME", "detail.plate")
            .replace("further_propeller.NAME", "further_propeller.left");
        let mut sets = vec![format!("{path}={text}")];
        if path.contains(".flap.") {
            sets.insert(0, "surface.wing.flap=[{name=\"outer\",chord_ratio=0.25}]".into());
        }
        if path.starts_with("sections.") {
            sets.push("sections.tip.zero_lift_deg=-1.0".into());
        }
        if path.starts_with("further_propeller.") {
            let left = "{name=\"left\",behind=\"wing\",shaft_offset_m=0.5,axial_gap_m=0.03,lateral_m=-0.4}";
            sets.insert(0, format!("further_propeller=[{left}]"));
            sets.insert(0, "airframe.centre_of_gravity_m=[0.05,0.0,0.0]".into());
        }
        if path.starts_with("placement.hub") || path.starts_with("survey.") {
            continue; // goes without `behind`, which the scenario gives, or with a file; see below
        }
        let mounted =
            ["mount.", "isolator.", "sensor.", "airframe_mode."].iter().any(|group| path.starts_with(group));
        let scenario = if mounted { scenario_named("mount-response") } else { scenario };
        if path.starts_with("schedule.") {
            sets.insert(0, "schedule=[{name=\"start\",time_s=0.0},{name=\"end\",time_s=1.0}]".into());
        }
        if path.starts_with("airframe_mode.") {
            sets.insert(0, "airframe_mode=[{name=\"boom\",frequency_hz=30.0,modal_mass_kg=1.0}]".into());
        }
        if path == "mount.shaft_damping_n_m_s" {
            sets.push("mount.shaft_stiffness_n_m_per_rad=20.0".into());
        }
        if path == "mount.base" {
            sets.push("sensor=[]".into()); // on an immovable base sensors on the airframe are refused
        }
        // What a key depends on.
        let companions: &[&str] = match (key.group, key.name) {
            ("airframe", "zero_lift_deg" | "lift_max" | "induced_drag_factor") => {
                &["airframe.reference_area_m2=1.0", "airframe.lift_slope_per_rad=4.5"]
            }
            ("airframe", "tyre_drop_m" | "strut_drop_m") => &[
                "airframe.gear=\"nose_wheel\"",
                "airframe.main_wheel_m=[0, 0, -1]",
                "airframe.third_wheel_m=[-1, 0, -1]",
            ],
            ("trim", "pitch_offset_min_deg" | "pitch_offset_max_deg") => &["trim.by=\"pitch_offset_deg\""],
            _ => &[],
        };
        sets.extend(companions.iter().map(|set| (*set).to_owned()));
        let sized = ["duty.", "limit."].iter().any(|group| path.starts_with(group));
        let scenario = if sized { scenario_named("mount-sizing") } else { scenario };
        if path == "duty.detail.plate.mean_stress" {
            sets.push("duty.detail.plate.ultimate_mpa=300.0".into());
        }
        if path == "duty.detail.plate.walker_exponent" {
            sets.push("duty.detail.plate.mean_stress=walker".into());
        }
        let case = from_text("case.toml", scenario.case_text(), scenario, &sets)
            .unwrap_or_else(|problems| panic!("{path}: {problems}"));
        let value = case.values.iter().find(|value| value.path == path).unwrap();
        assert_eq!((value.origin, value.unit), (Origin::Override, key.unit), "{path}");
    }
}

#[test]
fn values_say_where_they_come_from() {
    let text = "[flight]\nairspeed_m_s = 9\n[propeller]\nblade_count = 2\ndiameter_m = 0.3\nspeed_rpm = 4000\n\
                blade_file = \"b\"\n[section]\nzero_lift_deg = 0\n";
    let blade = "radius_ratio,chord_ratio,twist_deg\n0.2,0.1,30\n1,0.1,10\n".to_owned();
    let files = std::collections::BTreeMap::from([("b".to_owned(), blade.clone())]);
    let case = from_text("c", text, &files, &["flight.altitude_m=100".to_owned()]).unwrap();
    let origin = |path: &str| case.values.iter().find(|v| v.path == path).map(|v| v.origin);
    assert_eq!(origin("flight.airspeed_m_s"), Some(Origin::Given));
    assert_eq!(origin("flight.altitude_m"), Some(Origin::Override));
    assert_eq!(origin("placement.hub_x_m"), Some(Origin::Default));
    assert_eq!(origin("placement.axial_gap_m"), None);
    assert_eq!(case.inputs.len(), 1);
    assert_eq!((case.inputs[0].path.as_str(), &case.inputs[0].text), ("b", &blade));
    assert_eq!(case.inputs[0].sha256.len(), 64);
}

#[test]
fn the_schema_holds_every_key_this_version_takes_and_no_other() {
    let schema = schema();
    for key in key_reference() {
        let group = groups().iter().find(|group| group.path == key.group).unwrap();
        let top = group.path.split('.').next().unwrap();
        let table = match group.shape {
            Shape::Root => &schema,
            Shape::Table | Shape::Optional => &schema["properties"][top],
            Shape::Named => &schema["properties"][top]["additionalProperties"],
            Shape::List => {
                let (outer, own) = group.path.split_once('.').unwrap();
                &schema["properties"][outer]["properties"][own]["items"]
            }
            Shape::Array => {
                let names = group.path.split('.').filter(|part| *part != "NAME");
                // A table may hold arrays, and members of an array others.
                names.fold(&schema, |outer, name| {
                    let own = &outer["properties"][name];
                    if own["items"].is_object() { &own["items"] } else { own }
                })
            }
        };
        let entry = &table["properties"][key.name];
        assert_eq!(entry.is_object(), key.availability == Availability::Available, "{}", key.path());
        if entry.is_object() {
            // The words of the key, then unit, range and default for editors that show nothing else.
            assert!(entry["description"].as_str().unwrap().starts_with(key.doc), "{}", key.path());
            assert_eq!(entry["x-unit"].as_str().unwrap_or_default(), key.unit, "{}", key.path());
            assert_eq!(
                entry.get("default").is_some(),
                matches!(key.default, Fallback::Value(_)),
                "{}",
                key.path()
            );
            assert!(
                !entry["default"].is_null() || !matches!(key.default, Fallback::Value(_)),
                "{}",
                key.path()
            );
        }
        assert_eq!(table["additionalProperties"].as_bool(), Some(false), "{}", group.path);
    }
    for group in groups().iter().filter(|g| g.availability == Availability::NotYet) {
        let top = group.path.split('.').next().unwrap();
        assert!(top == "surface" || schema["properties"][top].is_null(), "{top}");
    }
}
