//! The table as the README prints it, for who needs it without computing it anew. A test holds it to the present one.

use wakebeat_postproc::page::TrustRow;

use super::markdown::{README_BEGIN, README_END};

/// The README, compiled in.
const README: &str = include_str!("../../../README.md");

/// The lines between the two markers of the README.
#[must_use]
pub fn printed() -> Vec<TrustRow> {
    let table = README.split_once(README_BEGIN).and_then(|(_, rest)| rest.split_once(README_END));
    let lines = table.map_or("", |(table, _)| table).lines().filter(|line| line.starts_with('|'));
    // Heading and rule come first.
    lines.skip(2).filter_map(row).collect()
}

fn row(line: &str) -> Option<TrustRow> {
    let cells: Vec<&str> = line.trim_matches('|').split(" | ").map(str::trim).collect();
    let [check, against, found, band, verdict] = cells.as_slice() else { return None };
    let (topic, set) = check.split_once(": ")?;
    let count = |word: &str| {
        let own = verdict.split(", ").filter_map(|part| part.split_once(' ')).find(|(_, name)| *name == word);
        own.and_then(|(count, _)| count.parse().ok()).unwrap_or(0)
    };
    Some(TrustRow {
        topic: topic.to_owned(),
        set: set.to_owned(),
        against: (*against).to_owned(),
        found: (*found).to_owned(),
        band: (*band).to_owned(),
        verdicts: ["PASS", "KNOWN", "FAIL"].map(count),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every line is read, with every topic that is checked and as many sets.
    #[test]
    fn every_check_is_printed() {
        let rows = printed();
        let checks = crate::topics::checks();
        assert_eq!(rows.len(), checks.len());
        for (row, check) in rows.iter().zip(&checks) {
            assert_eq!(
                (row.topic.as_str(), row.set.as_str()),
                (&*check.topic.replace('_', " "), &*check.set)
            );
            assert!(row.verdicts.iter().sum::<usize>() > 0 && !row.band.is_empty(), "{row:?}");
        }
    }
}
