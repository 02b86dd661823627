//! What became of a point.

/// Whether a point has an answer, and if not, why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum PointStatus {
    /// It has an answer.
    Computed,
    /// The case with these values is refused: keys that do not go together, blades that cut a surface.
    Refused,
    /// The case is sound, but no answer was found.
    NotSolved,
    /// Level flight or the wanted thrust is out of reach; the message names the limit.
    NotTrimmed,
}

impl PointStatus {
    /// All of them, by the number that the result file holds.
    pub const ALL: [Self; 4] = [Self::Computed, Self::Refused, Self::NotSolved, Self::NotTrimmed];

    /// Number in the result file.
    #[must_use]
    pub fn number(self) -> u8 {
        self as u8
    }

    /// From the number in the result file.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.get(usize::from(number)).copied()
    }

    /// One word, as in the result file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Computed => "computed",
            Self::Refused => "refused",
            Self::NotSolved => "not_solved",
            Self::NotTrimmed => "not_trimmed",
        }
    }
}
