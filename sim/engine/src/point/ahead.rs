//! What lies ahead of a propeller, and what its stations meet of it before the propeller acts.
//!
//! Nothing here depends on how fast the propeller turns, how its blades are pitched or how many they are, so that a search for the shaft
//! speed finds it once ([`super::kept`]).

use super::bodies::body_sources;
use super::error::PointError;
use super::flow_orders::{FlowOrders, add_sources};
use super::input::{BladeTable, Body, Flight, OperatingPoint, Placement, Rotation, Suction, Surface, Survey};
use crate::air::{Air, standard_air};
use crate::base::Vec3;
use crate::base::lanes::LANES;
use crate::blade::{BladeStation, blade_stations};
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::inflow::InflowSource;
use crate::inflow::group::{GroupInflow, OuterLanes};
use crate::inflow::past_bodies::PastBodies;
use crate::inflow::station::{Directions, OuterFlow, StationGrid};
use crate::inflow::surface_at_disk::SurfaceAtDisk;
use crate::inflow::survey::SurveySource;

/// Air, axes, stations and sources of one operating point, and what they make of the inflow.
pub(super) struct Ahead {
    /// Air at altitude.
    pub air: Air,
    /// Disk axes.
    pub disk: DiskAxes,
    /// Undisturbed velocity, aircraft axes, m/s.
    pub free_stream_m_s: Vec3,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Blade root radius, m.
    pub root_m: f64,
    /// Blade stations, root to tip (S).
    pub stations: Vec<BladeStation>,
    /// Blade azimuths, rad (A).
    pub azimuth_rad: Vec<f64>,
    /// Everything that changes the air ahead.
    pub sources: Vec<Box<dyn InflowSource>>,
    /// What the stations meet, eight at a time.
    pub groups: Vec<GroupAhead>,
    /// Directions of a station on the radial line (A).
    directions: Directions,
    asked: Asked,
    share_orders: Option<usize>,
}

/// What up to eight stations meet.
pub(super) struct GroupAhead {
    /// Free stream, fields and wakes, not drawn in.
    pub inflow: GroupInflow,
    /// What the velocity field of each source adds, by order, where shares are asked for; `None` for a source that adds nothing.
    pub added: Vec<Option<FlowOrders>>,
}

impl Ahead {
    /// Finds the sources of a point, and `extra` beside them, and what the stations meet; with `share_orders` also what each source
    /// adds to that, so many orders of it.
    ///
    /// # Errors
    /// [`PointError::Circulation`] when a surface's circulation cannot be found, [`PointError::BodyField`] when no singularities fit
    /// a body.
    pub(super) fn new(
        point: &OperatingPoint,
        extra: Vec<Box<dyn InflowSource>>,
        share_orders: Option<usize>,
    ) -> Result<Self, PointError> {
        let flight = &point.flight;
        let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
        let free_stream_m_s = free_stream_m_s(flight);
        let blade = &point.propeller.blade;
        let tip_m = 0.5 * point.propeller.diameter_m;
        let azimuth_rad = azimuth_rad(point.solver.azimuths);
        let mut ahead = Self {
            air: standard_air(flight.altitude_m, flight.temperature_offset_k),
            free_stream_m_s,
            tip_m,
            root_m: blade.rows[0].radius_ratio * tip_m,
            stations: blade_stations(blade, tip_m, point.solver.stations),
            sources: extra,
            groups: Vec::new(),
            directions: Directions::new(&disk, &azimuth_rad, 0.0),
            azimuth_rad,
            disk,
            asked: Asked::by(point),
            share_orders,
        };
        ahead.add_airframe(point)?;
        ahead.groups = (0..ahead.group_count()).map(|g| ahead.group_ahead(g, point.solver.suction)).collect();
        Ok(ahead)
    }

    /// Whether this is what lies ahead of a point too, and tells `share_orders` of its shares where they are asked for.
    pub(super) fn serves(&self, point: &OperatingPoint, share_orders: Option<usize>) -> bool {
        (share_orders.is_none() || share_orders == self.share_orders) && self.asked == Asked::by(point)
    }

    /// Sources of surfaces, bodies and survey.
    fn add_airframe(&mut self, point: &OperatingPoint) -> Result<(), PointError> {
        if !point.survey_replaces() {
            for surface in &point.surfaces {
                if let Some(seen) = SurfaceAtDisk::new(surface, &point.flight, &self.disk, self.tip_m)? {
                    let own = seen.sources(&self.disk, (self.root_m, self.tip_m), point.solver.azimuths);
                    self.sources.extend(own.into_iter().map(|source| {
                        PastBodies::around(source, surface, &point.bodies, &self.free_stream_m_s)
                    }));
                }
            }
            self.sources.extend(body_sources(point, &self.air, &self.free_stream_m_s, &self.disk)?);
        }
        if let Some(survey) = &point.survey {
            let airspeed = point.flight.airspeed_m_s;
            let source = SurveySource::new(survey, airspeed, self.free_stream_m_s, &self.disk, self.tip_m);
            self.sources.push(Box::new(source));
        }
        Ok(())
    }

    /// The inflow of the stations of group `g`: free stream, what the sources add to it, and their wakes.
    fn group_ahead(&self, g: usize, suction: Suction) -> GroupAhead {
        let own: Vec<Option<Directions>> = self.group_range(g).map(|i| self.own_directions(i)).collect();
        let grids: Vec<StationGrid> =
            self.group_range(g).zip(&own).map(|(i, own)| self.grid(i, own.as_ref())).collect();
        let mut outer: Vec<OuterFlow> =
            grids.iter().map(|grid| grid.free_stream(self.free_stream_m_s)).collect();
        let added = add_sources(&self.sources, &grids, &mut outer, self.share_orders);
        let outer = OuterLanes::new(&outer);
        GroupAhead { inflow: GroupInflow::new(&grids, outer, &self.sources, suction), added }
    }

    /// Number of groups of eight stations.
    pub(super) fn group_count(&self) -> usize {
        self.stations.len().div_ceil(LANES)
    }

    /// Stations of group `g`.
    pub(super) fn group_range(&self, g: usize) -> std::ops::Range<usize> {
        g * LANES..((g + 1) * LANES).min(self.stations.len())
    }

    /// Direction of the motion of station `i` at each azimuth (A).
    pub(super) fn motion(&self, i: usize) -> Vec<Vec3> {
        self.own_directions(i).map_or_else(|| self.directions.tangential.clone(), |own| own.tangential)
    }

    /// Directions of station `i` where it trails its blade by sweep.
    fn own_directions(&self, i: usize) -> Option<Directions> {
        let lag_rad = self.stations[i].lag_rad;
        (lag_rad != 0.0).then(|| Directions::new(&self.disk, &self.azimuth_rad, lag_rad))
    }

    /// Where station `i` is sampled; `own` as [`Self::own_directions`] gives them.
    fn grid<'b>(&'b self, i: usize, own: Option<&'b Directions>) -> StationGrid<'b> {
        StationGrid {
            disk: &self.disk,
            station: &self.stations[i],
            tip_m: self.tip_m,
            directions: own.unwrap_or(&self.directions),
        }
    }
}

/// Blade azimuths at equal steps, rad; 2π is left out.
fn azimuth_rad(count: usize) -> Vec<f64> {
    let step = std::f64::consts::TAU / count as f64;
    (0..count).map(|j| j as f64 * step).collect()
}

/// Everything of an operating point that what lies ahead depends on.
#[derive(PartialEq)]
struct Asked {
    flight: Flight,
    placement: Placement,
    rotation: Rotation,
    diameter_m: f64,
    blade: BladeTable,
    surfaces: Vec<Surface>,
    bodies: Vec<Body>,
    survey: Option<Survey>,
    stations: usize,
    azimuths: usize,
    suction: Suction,
}

impl Asked {
    fn by(point: &OperatingPoint) -> Self {
        Self {
            flight: point.flight.clone(),
            placement: point.placement.clone(),
            rotation: point.propeller.rotation,
            diameter_m: point.propeller.diameter_m,
            blade: point.propeller.blade.clone(),
            surfaces: point.surfaces.clone(),
            bodies: point.bodies.clone(),
            survey: point.survey.clone(),
            stations: point.solver.stations,
            azimuths: point.solver.azimuths,
            suction: point.solver.suction,
        }
    }
}
