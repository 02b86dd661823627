//! `wakebeat plot`.

use std::fs;

use crate::support::Place;

#[test]
fn pictures_are_drawn_in_both_formats() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    let listed = place.run(["plot", "pusher.h5"]).good();
    let pictures: Vec<&str> = listed.lines().collect();
    assert!(pictures.len() >= 4, "{listed}");
    for picture in pictures {
        assert!(picture.starts_with("pusher-pictures/"), "{picture}");
        let bytes = fs::read(place.path().join(picture)).unwrap();
        assert!(bytes.starts_with(b"\x89PNG"), "{picture}");
    }
    let answer = place.run(["plot", "pusher.h5", "--format", "svg", "-d", "drawn", "--json"]).good();
    let answer: serde_json::Value = serde_json::from_str(&answer).unwrap();
    for picture in answer["pictures"].as_array().unwrap() {
        let text = fs::read_to_string(place.path().join(picture.as_str().unwrap())).unwrap();
        assert!(text.contains("<svg"), "{picture}");
    }
}

#[test]
fn a_file_in_the_place_of_the_folder_is_told_in_words() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    fs::write(place.path().join("taken"), "mine").unwrap();
    for command in
        [&["plot", "pusher.h5", "-d", "taken"][..], &["validate", "--only", "atmosphere", "--plot", "taken"]]
    {
        let text = place.run(command).bad();
        assert!(text.contains("taken: cannot make the folder: a file stands there"), "{text}");
    }
    assert_eq!(fs::read_to_string(place.path().join("taken")).unwrap(), "mine");
}

/// As a copy leaves it that was broken off.
#[test]
fn a_result_file_cut_short_is_told_from_what_is_none() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    let whole = fs::read(place.path().join("pusher.h5")).unwrap();
    for part in [whole.len() / 2, whole.len() - 1, 64, 8] {
        fs::write(place.path().join("part.h5"), &whole[..part]).unwrap();
        for command in
            [&["plot", "part.h5"][..], &["check", "part.h5"], &["report", "part.h5"], &["choose", "part.h5"]]
        {
            let text = place.run(command).bad();
            assert!(text.contains("part.h5: is damaged or cut short"), "{part} {command:?}: {text}");
        }
    }
}

#[test]
fn what_is_no_result_file_is_refused() {
    let place = Place::with_case();
    fs::write(place.path().join("text.h5"), "not HDF5").unwrap();
    assert!(place.run(["plot", "text.h5"]).bad().contains("text.h5"));
    assert!(place.run(["plot", "missing.h5"]).bad().contains("missing.h5"));
    assert!(place.run(["plot", "pusher/case.toml"]).bad().contains("case.toml"));
    assert_eq!(place.names(), ["pusher", "text.h5"]);
}

#[test]
fn a_foreign_picture_needs_force_and_ours_are_replaced() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q"]).good();
    let mine = place.path().join("drawn/side_view.svg");
    let svg = ["plot", "pusher.h5", "-d", "drawn", "--format", "svg"];
    for plot in [&svg[..], &svg[..4]] {
        place.run(plot).good();
        place.run(plot).good();
    }
    fs::write(&mine, "mine").unwrap();
    let text = place.run(svg).bad();
    assert!(text.contains("side_view.svg") && text.contains("--force"), "{text}");
    assert_eq!(fs::read_to_string(&mine).unwrap(), "mine");
    place.run([&svg[..], &["--force"]].concat()).good();
    let validate = ["validate", "--only", "atmosphere", "--plot", "drawn"];
    place.run(validate).good();
    let name = fs::read_dir(place.path().join("drawn"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| path.to_string_lossy().contains("atmosphere"))
        .unwrap();
    fs::write(&name, "mine").unwrap();
    assert!(place.run(validate).bad().contains("--force"));
    place.run([&validate[..], &["--force"]].concat()).good();
}

/// Twice blade passage lies above the one multiple that is kept.
#[test]
fn a_page_tells_orders_that_were_not_computed() {
    let place = Place::with_case();
    place.run(["run", "pusher/case.toml", "-q", "--set", "solver.harmonics=1"]).good();
    place.run(["report", "pusher.h5"]).good();
    let page = fs::read_to_string(place.path().join("pusher.html")).unwrap();
    assert!(page.contains("A dash among the orders: not computed"));
    let row = page.split("row\">Thrust</th>").nth(1).unwrap().split("</tr>").next().unwrap();
    let cells: Vec<&str> = row.split("</td>").filter_map(|cell| cell.rsplit('>').next()).collect();
    // Unit, mean, 1P, NP, 2NP, peak to peak.
    assert_eq!((cells[2], cells[4]), ("0", "–"), "{cells:?}");
}
