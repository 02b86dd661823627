//! `wakebeat mount` and `wakebeat march` on the shipped case.

use crate::support::Place;

/// The shipped case with a coarse grid and few speeds.
const COARSE: [&str; 12] = [
    "--set",
    "solver.stations=8",
    "--set",
    "solver.azimuths=120",
    "--set",
    "mount.speeds=12",
    "--set",
    "mount.load_speeds=3",
    "--set",
    "mount.angles=2",
    "--set",
    "solver.harmonics=3",
];

fn with_mount() -> Place {
    let place = Place::empty();
    place.run(["new", "m", "--scenario", "mount-response"]).good();
    place
}

#[test]
fn a_mount_is_answered_written_read_back_and_drawn() {
    let place = with_mount();
    let text = place.run(["mount", "m/case.toml"].into_iter().chain(COARSE)).good();
    for words in
        ["four isolators", "estimated: ", "speeds to avoid", "whirl on an immovable base", "camera", "m.h5"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let json = place.run(["mount", "m.h5", "--json", "-o", "again.h5"]).good();
    assert!(
        json.contains("\"critical_stiffness_ratio_loaded\"") && json.contains("\"transmitted_rms_n\""),
        "{json}"
    );
    let pictures = place.run(["plot", "m.h5", "-d", "p"]).good();
    for name in
        ["mount_frequencies", "mount_response", "mount_transmissibility", "mount_whirl", "mount_sensors"]
    {
        assert!(pictures.contains(name), "{pictures}");
    }
}

#[test]
fn a_case_without_mount_or_schedule_is_told_what_to_add() {
    let place = Place::with_case();
    let text = place.run(["mount", "pusher/case.toml"]).bad();
    assert!(text.contains("has neither [mount] nor [duty]") && text.contains("motor_mass_kg"), "{text}");
    let text = place.run(["march", "pusher/case.toml"]).bad();
    assert!(text.contains("has no [mount]") && text.contains("[[schedule]]"), "{text}");
    place.run(["new", "m", "--scenario", "mount-sizing", "-q"]).good();
    let text = place.run(["march", "m/case.toml"]).bad();
    assert!(text.contains("has no [[schedule]]") && text.contains("time_s"), "{text}");
}

#[test]
fn a_schedule_is_marched_and_streamed() {
    let place = with_mount();
    let rows = "schedule=[{name=\"slow\",time_s=0.0,speed_rpm=5000.0},{name=\"fast\",time_s=0.3,speed_rpm=7000.0,record=true},\
                {name=\"end\",time_s=0.4,speed_rpm=7000.0}]";
    let text =
        place.run(["march", "m/case.toml", "--set", rows, "-o", "run.h5"].into_iter().chain(COARSE)).good();
    assert!(text.contains("revolutions marched") && text.contains("camera_x_m_s2"), "{text}");
    let pictures = place.run(["plot", "run.h5", "-d", "p"]).good();
    assert!(pictures.contains("march_waterfall"), "{pictures}");
}
