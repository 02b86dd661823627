//! What `choose`, `plot` and `report` say of a sweep file that cannot be ranked.

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
