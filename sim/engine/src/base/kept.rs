//! What depends on a count alone, computed once for each and shared.

use std::sync::{Mutex, PoisonError};

/// A few values by their counts; the oldest goes when there are too many.
pub struct Kept<V> {
    most: usize,
    values: Mutex<Vec<(usize, V)>>,
}

impl<V: Clone> Kept<V> {
    /// Room for `most` counts.
    #[must_use]
    pub const fn new(most: usize) -> Self {
        Self { most, values: Mutex::new(Vec::new()) }
    }

    /// The value of a count, made where it is not kept.
    pub fn of(&self, count: usize, make: impl FnOnce() -> V) -> V {
        let mut values = self.values.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, value)) = values.iter().find(|(own, _)| *own == count) {
            return value.clone();
        }
        let value = make();
        if values.len() == self.most {
            values.remove(0);
        }
        values.push((count, value.clone()));
        value
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_made_once_until_others_push_it_out() {
        let kept = Kept::new(2);
        assert_eq!(kept.of(1, || "one"), "one");
        assert_eq!(kept.of(1, || "again"), "one");
        kept.of(2, || "two");
        kept.of(3, || "three");
        assert_eq!(kept.of(1, || "anew"), "anew");
    }
}
