//! Finds the keys a person asks about.

use super::keys::{GroupSpec, KeySpec, groups, key_reference};
use super::nearest::similarity;
use super::problem::{Problem, Problems};

/// How many near names a message lists.
const MOST_NEAR: usize = 3;
/// Shortest word that is looked for in the words about a key.
const LEAST_LETTERS: usize = 4;
/// Below this likeness a name is no help; chosen by trial on misspelt keys.
const LEAST_NEAR: f64 = 0.6;

/// What a question finds.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// The keys, in the order of the reference; never empty.
    pub keys: Vec<&'static KeySpec>,
    /// Whether the question names one key by its full path, with or without the names of members.
    pub exact: bool,
}

impl Explained {
    /// Every key there is.
    #[must_use]
    pub fn all() -> Self {
        Self { keys: key_reference().iter().collect(), exact: false }
    }

    /// The groups of these keys, in the order of the reference.
    pub fn groups(&self) -> impl Iterator<Item = &'static GroupSpec> {
        groups().iter().filter(|group| self.keys.iter().any(|key| key.group == group.path))
    }
}

/// How closely a key fits a question; the closest kind found is the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    /// The words about the key, or about its group, speak of it: `vibration`.
    Words,
    /// The last word of the path holds the question: `stiffness`.
    Part,
    /// The path begins so, in the middle of a word: `placement.hub`.
    Beginning,
    /// The last word of the path: `span_m`.
    Name,
    /// The key belongs to a member whose name may be the last word: `surface.wing`.
    Member,
    /// The key lies in the group asked for, whose words all stand in its path: `surface.flap`.
    Inside,
    /// The path itself: `surface.wing.span_m`, `surface.span_m`.
    Exact,
}

/// The keys that a path, the beginning of one or the name of a key stands for. Members of arrays may be named
/// (`surface.wing.span_m`), left open (`surface.NAME.span_m`) or left out (`surface.span_m`).
///
/// # Errors
/// When nothing fits: a problem with the nearest names.
pub fn explain(question: &str) -> Result<Explained, Problems> {
    let asked = plain(question);
    let words: Vec<&str> = asked.split('.').filter(|word| !word.is_empty()).collect();
    let fits: Vec<(Fit, &KeySpec)> =
        key_reference().iter().filter_map(|key| Some((fit(key, &words)?, key))).collect();
    let Some(best) = fits.iter().map(|(fit, _)| *fit).max() else {
        return Err(Problems(vec![unknown(&asked, &words)]));
    };
    let keys = fits.iter().filter(|(fit, _)| *fit == best).map(|(_, key)| *key).collect();
    Ok(Explained { keys, exact: best == Fit::Exact })
}

/// The question without what a person may copy along: brackets of a table, the value of an override.
fn plain(question: &str) -> String {
    let path = question.split('=').next().unwrap_or_default();
    path.chars().filter(|c| !c.is_whitespace() && !matches!(c, '[' | ']' | '`' | '"')).collect()
}

fn fit(key: &KeySpec, words: &[&str]) -> Option<Fit> {
    let path = key.path();
    let path: Vec<&str> = path.split('.').collect();
    let along = along(&path, words);
    let by_name = match words {
        [word] if *word == key.name => Some(Fit::Name),
        [word] if word.len() >= 3 && key.name.contains(word) => Some(Fit::Part),
        [word] if speaks_of(key.doc, word) || group_of(key).is_some_and(|g| speaks_of(g.doc, word)) => {
            Some(Fit::Words)
        }
        _ => None,
    };
    along.max(by_name)
}

fn group_of(key: &KeySpec) -> Option<&'static GroupSpec> {
    groups().iter().find(|group| group.path == key.group)
}

/// Whether a text has a word, in the singular or the plural.
fn speaks_of(text: &str, word: &str) -> bool {
    let one = |text: &str| text.to_lowercase().trim_end_matches('s').to_owned();
    let between = |c: char| !c.is_alphanumeric() && c != '-';
    word.chars().count() >= LEAST_LETTERS && text.split(between).any(|other| one(other) == one(word))
}

/// Lays the words along a path.
fn along(path: &[&str], words: &[&str]) -> Option<Fit> {
    let (Some((&first, later)), Some((&word, further))) = (path.split_first(), words.split_first()) else {
        return match (path.is_empty(), words.is_empty()) {
            (true, true) => Some(Fit::Exact),
            (_, true) => Some(Fit::Inside),
            _ => None,
        };
    };
    let taken = match first {
        "NAME" => along(later, further).map(|fit| if fit == Fit::Inside { Fit::Member } else { fit }),
        _ if first == word => along(later, further),
        _ if further.is_empty() && first.starts_with(word) => Some(Fit::Beginning),
        _ => None,
    };
    let name_left_out = if first == "NAME" { along(later, words) } else { None };
    // Members without names are addressed by number: `sweep.axis.1.key`.
    let number = word.trim_start_matches('#').bytes().all(|b| b.is_ascii_digit());
    let number_passed = if number { along(path, further) } else { None };
    taken.max(name_left_out).max(number_passed)
}

/// The problem of a question that nothing fits.
fn unknown(asked: &str, words: &[&str]) -> Problem {
    let last = words.last().copied().unwrap_or_default();
    let likeness = |key: &KeySpec| similarity(asked, &key.path()).max(similarity(last, key.name));
    let mut near: Vec<(f64, &KeySpec)> = key_reference().iter().map(|key| (likeness(key), key)).collect();
    near.retain(|(likeness, _)| *likeness >= LEAST_NEAR);
    near.sort_by(|a, b| b.0.total_cmp(&a.0));
    let near: Vec<String> = near.iter().take(MOST_NEAR).map(|(_, key)| format!("`{}`", key.path())).collect();
    let problem = Problem::of_file("explain", "is no key and no group of keys").value(asked);
    match near.split_last() {
        None => problem.hint("`wakebeat explain` lists the groups of keys"),
        Some((last, [])) => problem.hint(format!("did you mean {last}?")),
        Some((last, others)) => problem.hint(format!("did you mean {} or {last}?", others.join(", "))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn paths(question: &str) -> Vec<String> {
        explain(question).unwrap().keys.iter().map(|key| key.path()).collect()
    }

    #[test]
    fn a_path_with_open_given_or_left_out_names_is_one_key() {
        for question in
            ["surface.NAME.span_m", "surface.wing.span_m", "surface.span_m", "surface.wing.span_m=2"]
        {
            let found = explain(question).unwrap();
            assert!(found.exact, "{question}");
            assert_eq!(paths(question), ["surface.NAME.span_m"], "{question}");
        }
        assert_eq!(paths("sweep.axis.1.key"), ["sweep.axis.key"]);
        assert_eq!(paths("surface.wing.flap.outer.span_to"), ["surface.NAME.flap.NAME.span_to"]);
    }

    #[test]
    fn a_group_a_beginning_a_name_and_a_part_find_all_they_stand_for() {
        assert!(paths("propeller").iter().all(|path| path.starts_with("propeller.")));
        assert!(paths("[[surface.flap]]").iter().all(|path| path.starts_with("surface.NAME.flap.NAME.")));
        assert_eq!(paths("placement.hub"), ["placement.hub_x_m", "placement.hub_y_m", "placement.hub_z_m"]);
        assert!(paths("zero_lift_deg").len() > 2);
        assert!(paths("stiffness").contains(&"isolator.NAME.stiffness_n_per_m".to_owned()));
        assert!(paths("airframe").iter().all(|path| path.starts_with("airframe.")));
    }

    #[test]
    fn a_word_that_is_in_no_name_finds_what_speaks_of_it() {
        assert!(paths("vibration").iter().any(|path| path.starts_with("mount.")));
        assert!(paths("canard").iter().all(|path| path.starts_with("surface.NAME.")));
        assert!(paths("spinner").contains(&"mount.propeller_mass_kg".to_owned()));
    }

    #[test]
    fn a_misspelt_key_names_the_nearest_and_a_stranger_the_groups() {
        let hint = |question| explain(question).unwrap_err().0[0].hint.clone().unwrap();
        assert!(hint("propeller.blade_cuont").contains("`propeller.blade_count`"));
        assert!(hint("placement.shaft_ofset").contains("`placement.shaft_offset_m`"));
        assert!(hint("zzzz").contains("wakebeat explain"));
    }
}
