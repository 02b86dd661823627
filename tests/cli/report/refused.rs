//! What `report` does not take, and what it does not overwrite.

use std::fs;

use super::files;
use crate::support::Place;

#[test]
fn what_is_no_whole_result_file_is_refused_by_name() {
    let place = Place::empty();
    files::run(&place);
    fs::write(place.path().join("text.h5"), "not HDF5").unwrap();
    let bytes = fs::read(place.path().join("run.h5")).unwrap();
    fs::write(place.path().join("cut.h5"), &bytes[..bytes.len() / 2]).unwrap();
    for file in ["text.h5", "cut.h5", "missing.h5", "pusher/case.toml"] {
        let said = place.run(["report", "run.h5", file, "-o", "page.html"]).bad();
        assert!(said.contains(file), "{said}");
        assert!(!place.path().join("page.html").exists());
    }
}

#[test]
fn only_a_page_of_ours_is_replaced() {
    let place = Place::empty();
    files::run(&place);
    let before = fs::read(place.path().join("run.h5")).unwrap();
    let said = place.run(["report", "run.h5", "-o", "run.h5"]).bad();
    assert!(said.contains("run.h5"), "{said}");
    let said = place.run(["report", "run.h5", "-o", "run.h5", "--force"]).bad();
    assert!(said.contains("is an input"), "{said}");
    assert_eq!(fs::read(place.path().join("run.h5")).unwrap(), before);

    fs::write(place.path().join("run.html"), "<html>mine</html>").unwrap();
    let said = place.run(["report", "run.h5"]).bad();
    assert!(said.contains("is not a page of wakebeat") && said.contains("--force"), "{said}");
    place.run(["report", "run.h5", "--force"]).good();
    place.run(["report", "run.h5"]).good();
    assert!(fs::read_to_string(place.path().join("run.html")).unwrap().starts_with("<!DOCTYPE html>"));

    let said = place.run(["report", "run.h5", "-o", "nowhere/page.html"]).bad();
    assert!(said.contains("nowhere"), "{said}");
}

#[test]
fn the_answer_names_page_and_size() {
    let place = Place::empty();
    files::run(&place);
    let said = place.run(["report", "run.h5", "--json"]).good();
    let answer: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert_eq!(answer["page"], "run.html");
    let size = fs::metadata(place.path().join("run.html")).unwrap().len();
    assert_eq!(answer["bytes"].as_u64(), Some(size));
}
