//! The velocity field the blades sweep.
//!
//! The field is the free stream plus a sum of independent *sources*, each a small file in this
//! folder. A source adds velocity ([`InflowSource::velocity_m_s`]: potential fields) or sheds a viscous
//! wake, plane ([`InflowSource::wake_position`]) or round ([`InflowSource::round_wake`]), or both. Overlapping wakes combine by total pressure, not by
//! adding velocity deficits: the losses of plane wakes add (see `square`), a round wake takes its share of what the others have left (see
//! `round_wake`). How the propeller draws wakes in stands in [`suction`];
//! [`group`] puts both together on the azimuths of eight blade stations.

pub mod body_potential;
pub mod body_wake;
mod flap_ends;
mod graded_table;
pub mod group;
mod near_ends;
pub mod past_bodies;
mod plane_wake;
pub mod potential;
mod round_wake;
mod seen_ring;
mod span_table;
pub(crate) mod square;
pub mod station;
pub mod suction;
pub mod surface_at_disk;
pub mod surface_wake;
pub mod survey;

use crate::base::Vec3;
use crate::body::wake::RoundWakeStation;
use crate::point::result::Warning;
use crate::wake::WakeStation;
use station::StationGrid;

/// Something ahead of the propeller that changes the air it meets.
pub trait InflowSource: Send + Sync {
    /// Name in the result file and in messages.
    fn name(&self) -> &str;

    /// Velocity added to the free stream at a point, aircraft axes, m/s, without the propeller; `None` at every point
    /// for a source that adds none.
    fn velocity_m_s(&self, _point_m: &Vec3) -> Option<Vec3> {
        None
    }

    /// Adds what a station meets at all azimuths, axial and against its motion, m/s (A each); whether there was
    /// anything to add.
    fn add_on_ring(&self, ring: &StationGrid, axial_m_s: &mut [f64], tangential_m_s: &mut [f64]) -> bool {
        add_points(self, ring, axial_m_s, tangential_m_s)
    }

    /// Whether this source sheds a plane wake at all: without one [`Self::wake_position`] is not asked.
    fn has_plane_wake(&self) -> bool {
        false
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

    /// The axisymmetric wake of this source, if it sheds one.
    fn round_wake(&self) -> Option<&dyn RoundWake> {
        None
    }
}

/// Adds a source's velocity at every point of a ring; whether it has any.
fn add_points<S: InflowSource + ?Sized>(
    source: &S,
    ring: &StationGrid,
    axial_m_s: &mut [f64],
    tangential_m_s: &mut [f64],
) -> bool {
    let sums = axial_m_s.iter_mut().zip(tangential_m_s);
    for (j, ((axial, tangential), motion)) in sums.zip(&ring.directions.tangential).enumerate() {
        let Some(velocity) = source.velocity_m_s(&ring.point_m(j)) else { return false };
        *axial += velocity.dot(&ring.disk.aft);
        *tangential -= velocity.dot(motion);
    }
    true
}

/// An axisymmetric wake.
pub trait RoundWake {
    /// The wake as seen from a point, without the propeller; `None` where there is none.
    fn seen_from(&self, point_m: &Vec3) -> Option<RoundWakePoint>;
}

/// A point seen from a round wake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoundWakePoint {
    /// From the wake's axis to the point, square to the body's axis, m.
    pub from_axis_m: Vec3,
    /// Distance aft of the tail, m; negative abreast of the body.
    pub aft_m: f64,
    /// Length over which the deficit is made ahead of the tail or, abreast of the body, ahead of the point, m.
    pub made_over_m: f64,
    /// The wake there.
    pub wake: RoundWakeStation,
    /// Distance from the axis beyond which the wake is not felt, m.
    pub reach_m: f64,
}

/// A slab that holds a wake: no deficit is felt further than `slack_m` from the plane, nor would be if a braking annulus made the
/// wake thicker.
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
