//! What a sweep keeps of a point.
//!
//! Harmonics of hub and blade, shares, summary and the names of warnings; with further propellers also harmonics of the sums at
//! the airframe, and hub harmonics and summary of each. Neither histories over azimuth nor fields over the disk, which would be a
//! thousand times as much: the point run by itself gives those, bit for bit the same.

use super::PointStatus;
use crate::point::airframe::{AirframeResult, AirframeSums, FurtherResult};
use crate::point::result::{Harmonics, PointResult, Scalar, Share, Warning};

/// The kept part of an answer.
#[derive(Debug, Clone)]
pub struct PointAnswer {
    /// Hub loads in the order of [`crate::point::result::HubLoad::ALL`].
    pub hub: Vec<Harmonics>,
    /// Blade loads in the order of [`crate::point::result::BladeLoad::ALL`]; one entry where blades are alike, else one a blade.
    pub blades: Vec<[Harmonics; 4]>,
    /// Sums of all propellers at the centre of gravity; none without further propellers.
    pub airframe: Option<AirframeAnswer>,
    /// Further propellers, each by itself, in the order of the case.
    pub further: Vec<FurtherAnswer>,
    /// Shares of the hub harmonics.
    pub shares: Vec<Share>,
    /// Summary scalars.
    pub summary: Vec<Scalar>,
    /// Remarks on validity.
    pub warnings: Vec<Warning>,
}

/// Loads of all propellers at the centre of gravity, each in the order of [`crate::point::airframe::AIRFRAME_LOADS`].
#[derive(Debug, Clone)]
pub struct AirframeAnswer {
    /// With the phases of the case.
    pub loads: Vec<Harmonics>,
    /// Greatest amplitude of each order over all phases between the propellers.
    pub greatest: Vec<Vec<f64>>,
    /// Least amplitude, likewise.
    pub least: Vec<Vec<f64>>,
}

impl From<AirframeSums> for AirframeAnswer {
    fn from(AirframeSums { loads, greatest, least, .. }: AirframeSums) -> Self {
        Self { loads: loads.into_iter().map(|load| load.harmonics).collect(), greatest, least }
    }
}

/// What is kept of a further propeller: what says how hard it works and shakes. Blade loads and shares, most of the numbers of a
/// propeller, are left to the point run by itself.
#[derive(Debug, Clone)]
pub struct FurtherAnswer {
    /// Its name.
    pub name: String,
    /// Hub loads in the order of [`crate::point::result::HubLoad::ALL`].
    pub hub: Vec<Harmonics>,
    /// Summary scalars.
    pub summary: Vec<Scalar>,
}

impl From<FurtherResult> for FurtherAnswer {
    fn from(FurtherResult { name, result }: FurtherResult) -> Self {
        let hub = result.hub.into_iter().map(|load| load.harmonics).collect();
        Self { name, hub, summary: result.summary }
    }
}

impl From<PointResult> for PointAnswer {
    fn from(result: PointResult) -> Self {
        let (further, sums) = match result.airframe {
            Some(AirframeResult { further, sums }) => (further, sums),
            None => (Vec::new(), None),
        };
        Self {
            // Of one propeller alone the sum is its hub loads seen from elsewhere: it is left out.
            airframe: sums.filter(|_| !further.is_empty()).map(Into::into),
            further: further.into_iter().map(Into::into).collect(),
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
