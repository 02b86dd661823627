//! What stands in a page.

use std::fs;

use super::files::{self, TITLE};
use crate::support::Place;

/// Makes the page of some files and checks what holds of every page.
fn page(place: &Place, files: &[&str]) -> String {
    let said = place.run([&["report"][..], files, &["-o", "page.html"]].concat()).good();
    assert!(said.contains("page.html"), "{said}");
    let text = fs::read_to_string(place.path().join("page.html")).unwrap();
    assert!(text.len() < 3_000_000, "{} bytes", text.len());
    stands_alone(&text);
    for part in ["What was asked", "The answer", "Why", "How sure", "Inputs in full", "Cautions"] {
        assert!(text.contains(&format!(">{part}</h")), "{part}");
    }
    assert!(text.contains("Estimates for design studies, not for certification"));
    assert!(text.contains("licensed practice decide"));
    assert!(text.contains("Validation by topic") && text.contains("near wake"));
    assert!(text.matches("role=\"img\" aria-label=\"").count() >= 3, "views with words");
    ids_are_unique(&text);
    // Of two attributes `class` a browser drops the second without a word.
    for (at, found) in text.match_indices(" class=\"") {
        let rest = text[at + found.len()..].split_once('"').unwrap().1;
        assert!(!rest.starts_with(found), "{}", &text[at.saturating_sub(40)..at + 60]);
    }
    text
}

/// No address to load from: only places in the page, and pictures that stand in its text.
fn stands_alone(text: &str) {
    for attribute in ["src=\"", "href=\"", "action=\"", "srcset=\""] {
        for (at, _) in text.match_indices(attribute) {
            let value = text[at + attribute.len()..].split('"').next().unwrap();
            let inside = value.starts_with('#') || value.starts_with("data:");
            assert!(inside, "{attribute}{}", &value[..value.len().min(80)]);
        }
    }
    for word in ["http://", "https://", "@import", "url(http", "fetch(", "XMLHttpRequest", "//cdn"] {
        assert!(!text.contains(word), "{word}");
    }
}

/// Links and labels need one target each.
fn ids_are_unique(text: &str) {
    let mut ids: Vec<&str> = text
        .match_indices(" id=\"")
        .map(|(at, found)| text[at + found.len()..].split('"').next().unwrap())
        .collect();
    let count = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), count);
    for (at, found) in text.match_indices("href=\"#") {
        let target = text[at + found.len()..].split('"').next().unwrap();
        assert!(ids.contains(&target), "#{target} leads nowhere");
    }
}

#[test]
fn a_run_alone_makes_a_whole_page() {
    let place = Place::empty();
    files::run(&place);
    let text = page(&place, &["run.h5"]);
    for words in [
        "Loads of the propeller on the airframe",
        "pitching moment",
        "<td>N m</td>",
        "Shares of the sources at 2P",
        "wing lift",
        "type=\"range\"",
        "Clearances of the blades",
        "Advance ratio",
        "propeller.diameter_m",
        "flight.airspeed_m_s",
        "SHA-256",
    ] {
        assert!(text.contains(words), "{words}");
    }
    // Where each value came from survives the result file.
    for origin in ["given", "default"] {
        assert!(text.contains(&format!("<td>{origin}</td>")), "{origin}");
    }
    // What the user typed is text, wherever it stands.
    assert!(!text.contains("<script>alert") && !text.contains("<b>&\"x\""), "{TITLE}");
    assert!(text.matches("&lt;script&gt;alert(1)").count() >= 3, "title, heading, notes");
}

#[test]
fn further_propellers_stand_beside_the_first_with_their_sum_and_the_phase_between_them() {
    let place = Place::empty();
    files::nacelles(&place, &[]);
    let text = page(&place, &["nacelles.h5"]);
    for words in [
        "Further propellers",
        "Sum of all propellers at the centre of gravity",
        "2P, greatest over the phases",
        "At which phase between the propellers",
        "Forces at 2P while port takes every phase",
        "Moments at 2P while port takes every phase",
        "The dots are the case: port leads by 0°.",
    ] {
        assert!(text.contains(words), "{words}");
    }
    files::nacelles(
        &place,
        &["further_propeller.port.speed_ratio=1.01", "further_propeller.port.phase_deg=30"],
    );
    let text = page(&place, &["nacelles.h5"]);
    // 6500 rpm, two blades, 1 %: 2.17 Hz.
    assert!(text.contains("at 2P the loads beat at 2.17 Hz, 0.462 s from in phase"), "beat");
    // The starter case has one propeller.
    files::run(&place);
    let text = page(&place, &["run.h5"]);
    assert!(!text.contains("between the propellers") && !text.contains("Further propellers"));
}

/// The script turns every blade from where it stands in the case, and the page shows it there without the script.
#[test]
fn uneven_blades_stand_at_their_own_azimuths() {
    let place = Place::empty();
    files::uneven(&place);
    let text = page(&place, &["uneven.h5"]);
    for words in ["\"ahead\":[0.0,132.0,234.0]", "rotate(132.000 ", "rotate(234.000 "] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn a_sweep_names_the_winner_and_ranks() {
    let place = Place::empty();
    files::sweep(&place);
    let text = page(&place, &["study.h5"]);
    for words in [
        "has the lowest",
        "Ranking of the candidates",
        "why not first",
        "efficiency loss",
        "Shares of the sources",
    ] {
        assert!(text.contains(words), "{words}");
    }
    // Six candidates: two blade counts by three offsets.
    let ranking = text.split("Ranking of the candidates</caption>").nth(1).unwrap();
    let body = ranking.split("<tbody>").nth(1).unwrap().split("</tbody>").next().unwrap();
    assert_eq!(body.matches("<tr>").count(), 6);
}

#[test]
fn a_mount_tells_forces_limit_loads_and_speeds_to_avoid() {
    let place = Place::empty();
    files::mount(&place);
    let text = page(&place, &["mount.h5"]);
    for words in [
        "What to avoid",
        "peeds to avoid",
        "Force and moment on the airframe",
        "Limit loads of the mount",
        "Damage of the details",
        "Modes of the powerplant",
        "S-N data are the user",
        "<td>estimated</td>",
    ] {
        assert!(text.contains(words), "{words}");
    }
    // The case is trimmed: the state told is the one flown, not the one the case starts from.
    assert!(text.contains("what reaches the airframe at 6") && !text.contains("at 7000 rpm"), "{text}");
}

#[test]
fn a_march_tells_its_peaks() {
    let place = Place::empty();
    files::march(&place);
    let text = page(&place, &["march.h5"]);
    for words in ["Peaks of the march", "transmitted y", "Shaft speed"] {
        assert!(text.contains(words), "{words}");
    }
}

#[test]
fn files_of_all_kinds_share_a_page_each_with_its_section() {
    let place = Place::empty();
    files::run(&place);
    files::sweep(&place);
    files::mount(&place);
    files::march(&place);
    let text = page(&place, &["run.h5", "study.h5", "mount.h5", "march.h5", "run.h5"]);
    assert_eq!(text.matches("<section class=\"file\"").count(), 5);
    // Validation and cautions stand once.
    assert_eq!(text.matches("id=\"validation\"").count(), 1);
    assert_eq!(text.matches("id=\"cautions\"").count(), 1);
}

/// Headings go down one level at a time.
#[test]
fn headings_are_in_order() {
    let place = Place::empty();
    files::run(&place);
    let text = page(&place, &["run.h5"]);
    let mut last = 0;
    for (at, _) in text.match_indices("<h") {
        let Some(level) = text[at + 2..].chars().next().and_then(|c| c.to_digit(10)) else { continue };
        assert!(level <= last + 1, "h{level} after h{last}");
        last = level;
    }
    assert_eq!(text.matches("<h1").count(), 1);
    for landmark in ["<main id", "<header", "<nav aria-label", "<footer"] {
        assert!(text.contains(landmark), "{landmark}");
    }
}

/// A title that turns the direction of writing does not turn what stands beside it.
#[test]
fn titles_and_file_names_are_isolated() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q", "--set", "title=\"a\u{202e}b\""]).good();
    let text = page(&place, &["pusher.h5"]);
    assert!(text.matches("<bdi>a\u{202e}b</bdi>").count() == 3, "heading, contents, section");
    assert_eq!(text.matches("<bdi>pusher.h5</bdi>").count(), 2);
}
