//! What stays fixed while an operating point is solved.

use super::bodies::body_sources;
use super::error::PointError;
use super::input::{Induction, OperatingPoint};
use crate::air::{Air, standard_air};
use crate::base::Vec3;
use crate::base::lanes::LANES;
use crate::blade::{BladeStation, blade_stations};
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::induction::momentum::Annulus;
use crate::inflow::InflowSource;
use crate::inflow::past_bodies::PastBodies;
use crate::inflow::station::{Directions, StationGrid};
use crate::inflow::surface_at_disk::SurfaceAtDisk;
use crate::inflow::survey::SurveySource;
use crate::rotor::group::{StationGroup, StationSection};
use crate::rotor::sweep::{SweepSetup, SweepStart};

/// Air, axes, stations, sources and section data of one operating point.
pub struct Setup<'a> {
    /// What was asked for.
    pub point: &'a OperatingPoint,
    /// Air at altitude.
    pub air: Air,
    /// Disk axes.
    pub disk: DiskAxes,
    /// Harmonic orders kept, order 0 included.
    pub orders: usize,
    /// Whether it is asked which source makes how much of the loads.
    pub shares: bool,
    /// Undisturbed velocity, aircraft axes, m/s.
    pub free_stream_m_s: Vec3,
    /// Blade stations, root to tip (S).
    pub stations: Vec<BladeStation>,
    /// Section of each station at its mean Reynolds and Mach number (S).
    pub sections: Vec<StationSection>,
    /// Blade azimuths, rad (A).
    pub azimuth_rad: Vec<f64>,
    /// Directions of a station on the radial line (A).
    pub directions: Directions,
    /// Blade angle offsets to sweep: one where blades are alike, else one a blade, rad.
    pub pitch_rad: Vec<f64>,
    /// Everything that changes the air ahead.
    pub sources: Vec<Box<dyn InflowSource>>,
    /// Constants of the sweep.
    pub sweep: SweepSetup,
}

impl<'a> Setup<'a> {
    /// Prepares an operating point; `extra` sources are added to those of the surfaces.
    ///
    /// # Errors
    /// [`PointError::Circulation`] when a surface's circulation cannot be found.
    pub fn new(point: &'a OperatingPoint, extra: Vec<Box<dyn InflowSource>>) -> Result<Self, PointError> {
        let propeller = &point.propeller;
        let solver = &point.solver;
        let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
        let disk = DiskAxes::new(&point.placement, propeller.rotation);
        let free_stream_m_s = free_stream_m_s(&point.flight);
        let stations = blade_stations(&propeller.blade, 0.5 * propeller.diameter_m, solver.stations);
        let axial = free_stream_m_s.dot(&disk.aft);
        let sections = stations
            .iter()
            .map(|s| {
                let speed = axial.hypot(propeller.speed_rad_s * s.radius_m);
                let reynolds = air.density_kg_m3 * speed * s.chord_m / air.viscosity_pa_s;
                StationSection::new(
                    &propeller.sections[s.section],
                    propeller.compressibility,
                    reynolds,
                    speed / air.speed_of_sound_m_s,
                    s.chord_m / s.radius_m,
                )
            })
            .collect();
        let mut sources = extra;
        let tip_m = 0.5 * propeller.diameter_m;
        let root_m = propeller.blade.rows[0].radius_ratio * tip_m;
        if !point.survey_replaces() {
            for surface in &point.surfaces {
                if let Some(seen) = SurfaceAtDisk::new(surface, &point.flight, &disk, tip_m)? {
                    let own = seen.sources(&disk, (root_m, tip_m), solver.azimuths);
                    sources.extend(
                        own.into_iter().map(|source| {
                            PastBodies::around(source, surface, &point.bodies, &free_stream_m_s)
                        }),
                    );
                }
            }
            sources.extend(body_sources(point, &air, &free_stream_m_s, &disk)?);
        }
        if let Some(survey) = &point.survey {
            let airspeed = point.flight.airspeed_m_s;
            sources.push(Box::new(SurveySource::new(survey, airspeed, free_stream_m_s, &disk, tip_m)));
        }
        let step = std::f64::consts::TAU / solver.azimuths as f64;
        let azimuth_rad: Vec<f64> = (0..solver.azimuths).map(|j| j as f64 * step).collect();
        Ok(Self {
            orders: point.orders(),
            shares: false,
            air,
            free_stream_m_s,
            sections,
            stations,
            directions: Directions::new(&disk, &azimuth_rad, 0.0),
            azimuth_rad,
            disk,
            pitch_rad: pitch_offsets(point),
            sources,
            sweep: SweepSetup {
                density_kg_m3: air.density_kg_m3,
                speed_of_sound_m_s: air.speed_of_sound_m_s,
                speed_rad_s: propeller.speed_rad_s,
                section_lift: solver.section_lift,
                streamwise: solver.streamwise,
                first_harmonic_undelayed: solver.induction == Induction::Dynamic,
                start: SweepStart::Periodic,
            },
            point,
        })
    }

    /// Orders of the blades' loads that shares of the hub's need, from 1 on: one beyond the hub's, which in-plane loads turn into
    /// the one below.
    #[must_use]
    pub fn share_orders(&self) -> usize {
        self.orders.min((self.azimuth_rad.len() - 1) / 2)
    }

    /// Tip radius, m.
    #[must_use]
    pub fn tip_m(&self) -> f64 {
        0.5 * self.point.propeller.diameter_m
    }

    /// Blade root radius, m.
    #[must_use]
    pub fn root_m(&self) -> f64 {
        self.point.propeller.blade.rows[0].radius_ratio * self.tip_m()
    }

    /// Blade count as a number.
    #[must_use]
    pub fn blades(&self) -> f64 {
        self.point.propeller.blade_count as f64
    }

    /// The annulus of a station.
    #[must_use]
    pub fn annulus(&self, station: &BladeStation) -> Annulus {
        Annulus {
            radius_m: station.radius_m,
            root_m: self.root_m(),
            tip_m: self.tip_m(),
            blades: self.blades(),
            density_kg_m3: self.air.density_kg_m3,
            tip_loss: self.point.solver.tip_loss,
        }
    }

    /// Stations of group `g` and their sections.
    #[must_use]
    pub fn group_range(&self, g: usize) -> std::ops::Range<usize> {
        g * LANES..((g + 1) * LANES).min(self.stations.len())
    }

    /// Directions of station `i` where it trails its blade by sweep.
    #[must_use]
    pub fn own_directions(&self, i: usize) -> Option<Directions> {
        let lag_rad = self.stations[i].lag_rad;
        (lag_rad != 0.0).then(|| Directions::new(&self.disk, &self.azimuth_rad, lag_rad))
    }

    /// Where station `i` is sampled; `own` as [`Self::own_directions`] gives them.
    #[must_use]
    pub fn grid<'b>(&'b self, i: usize, own: Option<&'b Directions>) -> StationGrid<'b> {
        StationGrid {
            disk: &self.disk,
            station: &self.stations[i],
            tip_m: self.tip_m(),
            directions: own.unwrap_or(&self.directions),
        }
    }

    /// Number of groups of eight stations.
    #[must_use]
    pub fn groups(&self) -> usize {
        self.stations.len().div_ceil(LANES)
    }

    /// The stations of group `g` on the blade with pitch offset `pitch_rad`.
    #[must_use]
    pub fn group(&self, g: usize, pitch_rad: f64) -> StationGroup {
        let range = self.group_range(g);
        StationGroup::new(&self.stations[range.clone()], &self.sections[range], pitch_rad)
    }
}

/// Pitch offset of each distinct blade.
fn pitch_offsets(point: &OperatingPoint) -> Vec<f64> {
    let propeller = &point.propeller;
    let errors = &propeller.pitch_error_rad;
    if errors.iter().all(|e| *e == errors[0]) {
        return vec![propeller.pitch_offset_rad + errors.first().copied().unwrap_or(0.0)];
    }
    errors.iter().map(|e| propeller.pitch_offset_rad + e).collect()
}
