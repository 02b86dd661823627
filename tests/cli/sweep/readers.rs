//! What `choose`, `plot` and `report` say of a sweep file that cannot be ranked.

use wakebeat_engine::record::read_sweep;

use super::GRID;
use crate::support::Place;

const CASE: &str = "pusher/case.toml";

/// Each reader refuses `file` with all of `words`, and leaves nothing behind.
#[track_caller]
fn every_reader_says(place: &Place, file: &str, words: &[&str]) {
    let before = place.names();
    for reader in [&["choose", file][..], &["plot", file, "-d", "pictures"], &["report", file]] {
        let text = place.run(reader).bad();
        for word in words {
            assert!(text.contains(word), "{reader:?}: {word} in {text}");
        }
        assert_eq!(place.names(), before, "{reader:?}");
    }
}

/// A shard holds a range of points, not the grid that candidates and conditions are taken from.
#[test]
fn a_shard_is_no_whole_and_says_how_to_make_one() {
    let place = Place::with_case_and(GRID);
    for (number, file) in [("1/2", "a.h5"), ("2/2", "b.h5")] {
        place.run(["sweep", CASE, "-q", "--shard", number, "-o", file]).good();
    }
    every_reader_says(&place, "a.h5", &["a.h5: is part 1 of 2 of a sweep", "wakebeat merge", "all 2 parts"]);
    every_reader_says(&place, "b.h5", &["b.h5: is part 2 of 2 of a sweep"]);
    place.run(["merge", "a.h5", "b.h5", "-q", "-o", "whole.h5"]).good();
    place.run(["choose", "whole.h5", "-q"]).good();
}

/// The starter case, coarse, over some gaps: the disk cuts the wing where they are small.
fn over_gaps(gaps: &str) -> String {
    let axis = "\n[[sweep.axis]]\nkey = \"placement.axial_gap_m\"\nvalues = ";
    format!("\n[solver]\nstations = 5\nazimuths = 40\nharmonics = 4\n{axis}{gaps}\n")
}

#[test]
fn a_sweep_without_an_answer_fails_and_says_why() {
    let place = Place::with_case_and(&over_gaps("[0.001, 0.002]"));
    let words = ["none of its 2 points has an answer", "lets the disk cut the surface `wing`"];
    let text = place.run(["sweep", CASE]).bad();
    for word in words {
        assert!(text.contains(word), "{word}: {text}");
    }
    // The file is there, with the reason of each point.
    let record = read_sweep(&place.path().join("pusher.h5")).unwrap();
    assert!(record.message.iter().all(|message| message.contains("cut the surface")));
    every_reader_says(&place, "pusher.h5", &words);
    // A shard may be the part of a grid that has none; merged, the whole is judged.
    for (number, file) in [("1/2", "a.h5"), ("2/2", "b.h5")] {
        let text = place.run(["sweep", CASE, "--shard", number, "-o", file]).good();
        assert!(text.contains("0 points computed, 1 without answer"), "{text}");
    }
    let text = place.run(["merge", "a.h5", "b.h5", "-o", "merged.h5"]).bad();
    assert!(text.contains("merged.h5: none of its 2 points has an answer"), "{text}");
    // One answer is enough.
    let place = Place::with_case_and(&over_gaps("[0.001, 0.06]"));
    place.run(["sweep", CASE, "-q"]).good();
    place.run(["choose", "pusher.h5", "-q"]).good();
}
