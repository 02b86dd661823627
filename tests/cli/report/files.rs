//! Small result files of every kind, computed in a moment.

use std::fs;
use std::path::Path;

use crate::support::Place;

/// Title that a page must escape, in the case of [`run`].
pub const TITLE: &str = "Pusher <b>&\"x\"</b></script><script>alert(1)</script>";

/// Few stations and azimuths; of 60 azimuths a page carries all.
const COARSE: [&str; 2] = ["solver.stations=6", "solver.azimuths=60"];

fn compute(place: &Place, args: &[&str]) {
    let sets = COARSE.iter().flat_map(|set| ["--set", set]);
    let all: Vec<&str> = args.iter().copied().chain(sets).chain(["-q"]).collect();
    place.run(all).good();
}

/// `run.h5`, with a title and notes that hold markup.
pub fn run(place: &Place) {
    place.run(["new", "pusher"]).good();
    let notes = format!("notes=\"{}\"", TITLE.replace('"', "\\\""));
    let title = format!("title='{TITLE}'");
    compute(place, &["run", "pusher/case.toml", "-o", "run.h5", "--set", &title, "--set", &notes]);
}

/// `study.h5`: two blade counts by three offsets by two airspeeds.
pub fn sweep(place: &Place) {
    place.run(["new", "grid"]).good();
    let path = place.path().join("grid/case.toml");
    let axes = "\n[[sweep.axis]]\nkey = \"propeller.blade_count\"\nvalues = [2, 3]\n\
        \n[[sweep.axis]]\nkey = \"placement.shaft_offset_m\"\nvalues = [0.0, 0.03, 0.06]\n\
        \n[[sweep.axis]]\nkey = \"flight.airspeed_m_s\"\nvalues = [14.0, 18.0]\n";
    fs::write(&path, fs::read_to_string(&path).unwrap() + axes).unwrap();
    compute(place, &["sweep", "grid/case.toml", "-o", "study.h5"]);
}

/// `nacelles.h5`: a pair that turns against each other; `more` is set too.
pub fn nacelles(place: &Place, more: &[&str]) {
    let case = shipped("nacelle-pusher");
    let sets = more.iter().flat_map(|set| ["--set", set]);
    let args: Vec<&str> = ["run", &case, "-o", "nacelles.h5"].into_iter().chain(sets).collect();
    compute(place, &args);
}

/// `uneven.h5`: three blades, none of them a third of a turn from the next.
pub fn uneven(place: &Place) {
    place.run(["new", "uneven"]).good();
    let sets = ["--set", "propeller.blade_count=3", "--set", "propeller.spacing_error_deg=[0.0, 12.0, -6.0]"];
    compute(place, &[&["run", "uneven/case.toml", "-o", "uneven.h5"][..], &sets].concat());
}

fn shipped(name: &str) -> String {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("cases").join(name).join("case.toml").display().to_string()
}

/// `mount.h5`: vibration, spectra and limit loads.
pub fn mount(place: &Place) {
    compute(place, &["mount", &shipped("mount-sizing"), "-o", "mount.h5"]);
}

/// `march.h5`: a third of a second.
pub fn march(place: &Place) {
    let schedule =
        "schedule=[{name=\"slow\",time_s=0.0,speed_rpm=5000.0},{name=\"fast\",time_s=0.3,speed_rpm=7000.0}]";
    compute(place, &["march", &shipped("mount-response"), "-o", "march.h5", "--set", schedule]);
}
