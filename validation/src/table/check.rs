//! A check: a computation that yields the rows of one set.

use thiserror::Error;
use wakebeat_engine::point::PointError;
use wakebeat_engine::point::input::OperatingPoint;

use super::row::{Row, Text};
use crate::reference::ReferenceError;

/// Why a check gave no rows.
#[derive(Debug, Error)]
pub enum CheckError {
    /// A reference table is not as expected.
    #[error(transparent)]
    Reference(#[from] ReferenceError),
    /// The engine had no answer.
    #[error(transparent)]
    Point(#[from] PointError),
    /// Something else was refused; the words say what.
    #[error("{0}")]
    Refused(String),
}

impl CheckError {
    /// An error of another part of the engine, in its own words.
    pub fn refused(error: impl std::fmt::Display) -> Self {
        Self::Refused(error.to_string())
    }
}

/// How finely the engine resolves: 1 as the check states, 2 with twice the stations and azimuths.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness(pub usize);

impl Fineness {
    /// Sets stations and azimuths of a point.
    pub fn resolve(self, point: &mut OperatingPoint, stations: usize, azimuths: usize) {
        point.solver.stations = self.0 * stations;
        point.solver.azimuths = self.0 * azimuths;
    }
}

type Compute = Box<dyn Fn(Fineness) -> Result<Vec<Row>, CheckError> + Send + Sync>;

/// A computation that yields the rows of one set, from one source.
pub struct Check {
    /// The branch of physics, as `propellers`; the file in `topics` that holds it.
    pub topic: &'static str,
    /// What is compared, as `DA4022 9 in, 2 blades`.
    pub set: Text,
    /// Who published it.
    pub source: &'static str,
    compute: Compute,
}

impl Check {
    /// A check from its computation.
    pub fn new(
        topic: &'static str,
        set: impl Into<Text>,
        source: &'static str,
        compute: impl Fn(Fineness) -> Result<Vec<Row>, CheckError> + Send + Sync + 'static,
    ) -> Self {
        Self { topic, set: set.into(), source, compute: Box::new(compute) }
    }

    /// `topic/set`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}/{}", self.topic, self.set)
    }

    /// Computes the rows.
    ///
    /// # Errors
    /// [`CheckError`] where the engine has no answer or a reference table is not as expected.
    pub fn rows(&self, fineness: Fineness) -> Result<Vec<Row>, CheckError> {
        (self.compute)(fineness)
    }
}
