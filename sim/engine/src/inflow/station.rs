//! Where one blade station's inflow is sampled over the azimuth, and what flows there without wakes.

use crate::base::Vec3;
use crate::blade::BladeStation;
use crate::frames::DiskAxes;

/// A wake whose half-depth width spans fewer azimuth cells than this is averaged over each cell.
pub(super) const CELLS_ACROSS: f64 = 2.0;

/// The outer flow of a station over azimuth, without wakes, rotation and propeller, m/s (A each).
#[derive(Debug, Clone, PartialEq)]
pub struct OuterFlow {
    /// Axial velocity, aft positive.
    pub axial_m_s: Vec<f64>,
    /// Tangential velocity against the motion.
    pub tangential_m_s: Vec<f64>,
}

/// Where a station's inflow is sampled.
#[derive(Debug, Clone, Copy)]
pub struct StationGrid<'a> {
    /// The disk.
    pub disk: &'a DiskAxes,
    /// The station.
    pub station: &'a BladeStation,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Directions of the station at the azimuths of the blade (A).
    pub directions: &'a Directions,
}

/// Unit vectors to and along the motion of a station at each azimuth of its blade, aircraft axes; azimuths at equal
/// steps of one turn.
#[derive(Debug, Clone, PartialEq)]
pub struct Directions {
    /// From the hub to the station (A).
    pub radial: Vec<Vec3>,
    /// Along the station's motion (A).
    pub tangential: Vec<Vec3>,
    /// Azimuth of the station itself, rad (A).
    pub azimuth_rad: Vec<f64>,
}

impl OuterFlow {
    /// No flow at a number of azimuths.
    #[must_use]
    pub fn still(azimuths: usize) -> Self {
        Self { axial_m_s: vec![0.0; azimuths], tangential_m_s: vec![0.0; azimuths] }
    }

    /// No flow any more.
    pub(crate) fn calm(&mut self) {
        self.axial_m_s.fill(0.0);
        self.tangential_m_s.fill(0.0);
    }
}

impl Directions {
    /// Directions of a station that trails its blade by `lag_rad`.
    #[must_use]
    pub fn new(disk: &DiskAxes, azimuth_rad: &[f64], lag_rad: f64) -> Self {
        Self {
            azimuth_rad: azimuth_rad.iter().map(|a| a - lag_rad).collect(),
            radial: azimuth_rad.iter().map(|a| disk.radial(a - lag_rad)).collect(),
            tangential: azimuth_rad.iter().map(|a| disk.tangential(a - lag_rad)).collect(),
        }
    }
}

impl StationGrid<'_> {
    /// The free stream at the azimuths of the station.
    #[must_use]
    pub fn free_stream(&self, velocity_m_s: Vec3) -> OuterFlow {
        OuterFlow {
            axial_m_s: vec![velocity_m_s.dot(&self.disk.aft); self.directions.radial.len()],
            tangential_m_s: self.directions.tangential.iter().map(|e| -velocity_m_s.dot(e)).collect(),
        }
    }

    /// The station from the hub at azimuth index `j`, aircraft axes, m.
    pub(super) fn arm_m(&self, j: usize) -> Vec3 {
        self.directions.radial[j] * self.station.radius_m
    }

    /// The station at azimuth index `j`, aircraft axes, m.
    #[must_use]
    pub fn point_m(&self, j: usize) -> Vec3 {
        self.disk.hub_m + self.arm_m(j)
    }
}
