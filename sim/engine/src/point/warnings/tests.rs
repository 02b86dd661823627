//! Each warning fires where it should and is silent where it should be.

use crate::case::{from_text, scenarios};
use crate::point::result::Warning;
use crate::point::solve_once;

/// Warnings of the survey aircraft with overrides.
fn survey(sets: &[&str]) -> Vec<Warning> {
    let scenario = &scenarios()[0];
    let sets: Vec<String> = sets.iter().map(|s| (*s).to_owned()).collect();
    let point = from_text("survey", scenario.case_text(), scenario, &sets).unwrap().point;
    solve_once(&point).unwrap().warnings
}

fn text(warnings: &[Warning], name: &str) -> Option<String> {
    warnings.iter().find(|w| w.name == name).map(|w| w.text.clone())
}

/// The default: two blades at J = 0.6 strain the tip factor; its wake is crossed nearly square, its gusts are slow.
#[test]
fn the_default_is_told_of_its_tip_factor_alone() {
    let all = survey(&[]);
    assert!(text(&all, "tip_factor").is_some_and(|t| t.contains("2 blades")));
    for silent in ["oblique_crossing", "compressible_gust", "chordwise_gust"] {
        assert!(text(&all, silent).is_none(), "{silent}");
    }
}

#[test]
fn four_blades_at_low_advance_have_a_good_tip_factor() {
    assert!(text(&survey(&["propeller.blade_count=4"]), "tip_factor").is_none());
    assert!(text(&survey(&["flight.airspeed_m_s=6"]), "tip_factor").is_none());
}

#[test]
fn a_raised_shaft_crosses_the_wake_obliquely() {
    let raised = survey(&["placement.shaft_offset_m=0.06"]);
    let told = text(&raised, "oblique_crossing").unwrap();
    assert!(told.contains("% high"), "{told}");
    // No wake, no crossing; a wake beyond the disk is not crossed either.
    for clear in ["surface.wing.wake=none", "placement.shaft_offset_m=0.2"] {
        let sets = ["placement.shaft_offset_m=0.06", clear];
        assert!(text(&survey(&sets), "oblique_crossing").is_none(), "{clear}");
    }
}

#[test]
fn chordwise_gusts_are_told_of_above_a_third_and_not_with_horlock() {
    let quick = "propeller.blade_count=4";
    let told = text(&survey(&[quick]), "chordwise_gust");
    assert!(told.is_some_and(|t| t.contains("horlock")));
    for cure in ["solver.streamwise=horlock", "solver.section_lift=quasi_steady"] {
        assert!(text(&survey(&[quick, cure]), "chordwise_gust").is_none(), "{cure}");
    }
}

#[test]
fn a_quick_tip_with_many_blades_is_told_of_compressible_gusts() {
    let sets = ["propeller.blade_count=6", "propeller.speed_rpm=20000", "flight.airspeed_m_s=45"];
    let told = text(&survey(&sets), "compressible_gust");
    assert!(told.is_some());
    let slow = ["propeller.blade_count=6"];
    assert!(text(&survey(&slow), "compressible_gust").is_none());
}
