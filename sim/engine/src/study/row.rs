//! What a sweep keeps of a point.
//!
//! Harmonics of hub and blade, shares, summary and the names of warnings; neither histories over azimuth nor fields over the
//! disk, which would be a thousand times as much. The point run by itself gives those, bit for bit the same.

use super::PointStatus;
use crate::point::result::{Harmonics, PointResult, Scalar, Share, Warning};

/// The kept part of an answer.
#[derive(Debug, Clone)]
pub struct PointAnswer {
    /// Hub loads in the order of [`crate::point::result::HubLoad::ALL`].
    pub hub: Vec<Harmonics>,
    /// Blade loads in the order of [`crate::point::result::BladeLoad::ALL`]; one entry where blades are alike, else one a blade.
    pub blades: Vec<[Harmonics; 4]>,
    /// Shares of the hub harmonics.
    pub shares: Vec<Share>,
    /// Summary scalars.
    pub summary: Vec<Scalar>,
    /// Remarks on validity.
    pub warnings: Vec<Warning>,
}

impl From<PointResult> for PointAnswer {
    fn from(result: PointResult) -> Self {
        Self {
            hub: result.hub.into_iter().map(|load| load.harmonics).collect(),
            blades: result.blades.into_iter().map(|loads| loads.map(|load| load.harmonics)).collect(),
            shares: result.attribution,
            summary: result.summary,
            warnings: result.warnings,
        }
    }
}

/// A finished point: its answer, or why it has none.
#[derive(Debug, Clone)]
pub struct PointRow {
    /// Number of the point in the grid.
    pub index: usize,
    /// The answer, or what became of it in a sentence.
    pub answer: Result<PointAnswer, (PointStatus, String)>,
}
