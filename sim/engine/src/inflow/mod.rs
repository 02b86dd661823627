//! The velocity field the blades sweep.
//!
//! The field is the free stream plus a sum of independent *sources*, each a small file in this
//! folder. A source adds velocity ([`InflowSource::velocity_m_s`]: potential fields) or sheds a viscous
//! wake ([`InflowSource::wake_position`]), or both. Overlapping wakes combine by total pressure: their
//! losses add, not their velocity deficits. How the propeller draws wakes in stands in [`suction`];
//! [`station`] puts both together on the azimuths of one blade station.

pub mod group;
pub mod station;
pub mod suction;
pub mod surface_wake;

use crate::base::Vec3;
use crate::point::result::Warning;
use crate::wake::WakeStation;

/// Something ahead of the propeller that changes the air it meets.
pub trait InflowSource: Send + Sync {
    /// Name in the result file and in messages.
    fn name(&self) -> &str;

    /// Velocity added to the free stream at a point, aircraft axes, m/s, without the propeller.
    fn velocity_m_s(&self, _point_m: &Vec3) -> Option<Vec3> {
        None
    }

    /// Planes that bound this source's wake: a quick answer to where [`Self::wake_position`] need not be asked.
    fn wake_planes(&self) -> Vec<WakePlane> {
        Vec::new()
    }

    /// Where a point lies in this source's viscous wake; `None` where there is none.
    fn wake_position(&self, _point_m: &Vec3) -> Option<WakePosition> {
        None
    }

    /// What the source is known to miss here, with figures.
    fn warnings(&self) -> Vec<Warning> {
        Vec::new()
    }

    /// Depth, width and shape of the wake at a position, without the propeller.
    fn wake_station(&self, _position: &WakePosition) -> Option<WakeStation> {
        None
    }
}

/// A slab that holds a wake: no deficit is felt further than `slack_m` from the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakePlane {
    /// A point of the plane, aircraft axes, m.
    pub point_m: Vec3,
    /// Unit vector square to it.
    pub normal: Vec3,
    /// Half thickness of the slab, m.
    pub slack_m: f64,
}

/// A point seen from a plane wake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakePosition {
    /// Part of the source (a half of a surface) the wake belongs to.
    pub part: usize,
    /// Span station on that part, m.
    pub span_m: f64,
    /// Distance aft of the trailing edge, m.
    pub aft_m: f64,
    /// Height above the wake's centre line along `normal`, m.
    pub offset_m: f64,
    /// Unit vector across the wake.
    pub normal: Vec3,
    /// Chord of the surface there, m.
    pub chord_m: f64,
    /// Furthest from the centre line that the wake can be felt, m; an upper bound that is cheap to give.
    pub reach_m: f64,
}
