//! A part of a sweep that one machine computes.

use std::fmt;
use std::ops::Range;
use std::str::FromStr;

/// Shard `number` of `of`, from 1: a contiguous range of points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shard {
    number: usize,
    of: usize,
}

impl Shard {
    /// All points.
    pub const WHOLE: Self = Self { number: 1, of: 1 };

    /// Number of the shard, from 1.
    #[must_use]
    pub fn number(self) -> usize {
        self.number
    }

    /// Number of shards.
    #[must_use]
    pub fn of(self) -> usize {
        self.of
    }

    /// Whether it holds all points.
    #[must_use]
    pub fn is_whole(self) -> bool {
        self.of == 1
    }

    /// Its points; the shards of a grid tile it, and differ by one point at most.
    #[must_use]
    pub fn range(self, points: usize) -> Range<usize> {
        // In 128 bits no product overflows, and each quotient is at most `points`.
        let start = |number: usize| {
            let exact = points as u128 * number as u128 / self.of.max(1) as u128;
            usize::try_from(exact).unwrap_or(points)
        };
        start(self.number - 1)..start(self.number)
    }
}

impl fmt::Display for Shard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.number, self.of)
    }
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let wrong = || "expected I/N with I from 1 to N, such as 2/4".to_owned();
        let (number, of) = text.split_once('/').ok_or_else(wrong)?;
        let parse = |part: &str| part.trim().parse::<usize>().ok();
        match (parse(number), parse(of)) {
            (Some(number), Some(of)) if (1..=of).contains(&number) => Ok(Self { number, of }),
            _ => Err(wrong()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shards_tile_the_points() {
        for points in [1, 7, 100, 101] {
            for of in [1, 2, 3, 7, 100] {
                let mut next = 0;
                for number in 1..=of {
                    let range = Shard { number, of }.range(points);
                    assert_eq!(range.start, next);
                    assert!(range.len() <= points.div_ceil(of));
                    next = range.end;
                }
                assert_eq!(next, points);
            }
        }
    }

    #[test]
    fn only_i_of_n_is_a_shard() {
        assert_eq!("2/4".parse::<Shard>().map(|s| (s.number(), s.of())), Ok((2, 4)));
        for text in ["0/4", "5/4", "2", "a/b", "1/0", "-1/2"] {
            assert!(text.parse::<Shard>().is_err(), "{text}");
        }
    }
}
