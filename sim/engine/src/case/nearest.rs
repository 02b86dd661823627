//! The nearest known word to one that is not known.

/// Below this similarity (1 is equal) a suggestion would mislead; chosen by trial on misspelt keys.
const LEAST_SIMILARITY: f64 = 0.6;

/// The known word most like `word`, if any is like it.
pub(super) fn nearest<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    known
        .map(|other| (similarity(word, other), other))
        .filter(|(similarity, _)| *similarity >= LEAST_SIMILARITY)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, other)| other)
}

/// How alike two words are: 1 is equal, [`LEAST_SIMILARITY`] just worth a suggestion.
pub(super) fn similarity(word: &str, other: &str) -> f64 {
    let similarity = strsim::normalized_damerau_levenshtein(word, other);
    // A key without its unit or its first word: `rpm` for `speed_rpm`.
    let part = word.len() >= 3 && (other.contains(word) || (other.len() >= 3 && word.contains(other)));
    if part { similarity.max(LEAST_SIMILARITY) } else { similarity }
}

/// Letters that words begin with alike to be akin, and letters that each may end with beside.
const AKIN: (usize, usize) = (4, 2);

/// Whether two keys share a word, whatever it ends with: `blades` and `blade_count`.
pub(super) fn share_a_word(key: &str, other: &str) -> bool {
    let akin = |a: &str, b: &str| {
        let alike = a.chars().zip(b.chars()).take_while(|(a, b)| a == b).count();
        alike >= AKIN.0 && [a, b].iter().all(|word| word.chars().count() <= alike + AKIN.1)
    };
    key.split('_').any(|a| other.split('_').any(|b| akin(a, b)))
}

#[cfg(test)]
mod tests {
    use super::{nearest, share_a_word};

    #[test]
    fn words_are_akin_whatever_they_end_with() {
        assert!(share_a_word("blades", "blade_count") && share_a_word("gear_height", "height_m"));
        assert!(!share_a_word("weight", "mass_kg") && !share_a_word("blade", "bladeless_x"));
    }

    #[test]
    fn misspelt_and_shortened_keys_are_found_and_strangers_are_not() {
        let known = || ["airspeed_m_s", "altitude_m", "speed_rpm", "angle_of_attack_deg"].into_iter();
        assert_eq!(nearest("airspeed", known()), Some("airspeed_m_s"));
        assert_eq!(nearest("altitud_m", known()), Some("altitude_m"));
        assert_eq!(nearest("rpm", known()), Some("speed_rpm"));
        assert_eq!(nearest("colour", known()), None);
    }
}
