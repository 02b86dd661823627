//! What stays fixed while an operating point is solved.

use std::ops::Range;
use std::sync::Arc;

use super::ahead::Ahead;
use super::input::{Induction, OperatingPoint};
use crate::blade::BladeStation;
use crate::induction::momentum::Annulus;
use crate::rotor::group::StationGroup;
use crate::rotor::station_section::StationSection;
use crate::rotor::sweep::{SweepSetup, SweepStart};

/// What lies ahead of one operating point, and its blades in it.
pub(super) struct Setup<'a> {
    /// What was asked for.
    pub point: &'a OperatingPoint,
    /// Air, axes, stations and sources.
    pub ahead: Arc<Ahead>,
    /// Harmonic orders kept, order 0 included.
    pub orders: usize,
    /// Section of each station at its mean Reynolds and Mach number (S).
    pub sections: Vec<StationSection>,
    /// Blade angle offsets to sweep: one where blades are alike, else one a blade, rad.
    pub pitch_rad: Vec<f64>,
    /// Constants of the sweep.
    pub sweep: SweepSetup,
}

impl<'a> Setup<'a> {
    /// The blades of a point behind what lies ahead of it, `orders` harmonics kept.
    pub(super) fn behind(point: &'a OperatingPoint, ahead: Arc<Ahead>, orders: usize) -> Self {
        let propeller = &point.propeller;
        let solver = &point.solver;
        let air = &ahead.air;
        let axial = ahead.free_stream_m_s.dot(&ahead.disk.aft);
        let section = |s: &BladeStation| StationSection::of_station(propeller, s, air, axial);
        Self {
            point,
            orders,
            sections: ahead.stations.iter().map(section).collect(),
            pitch_rad: pitch_offsets(point),
            sweep: SweepSetup {
                density_kg_m3: air.density_kg_m3,
                speed_of_sound_m_s: air.speed_of_sound_m_s,
                speed_rad_s: propeller.speed_rad_s,
                section_lift: solver.section_lift,
                streamwise: solver.streamwise,
                first_harmonic_undelayed: solver.induction == Induction::Dynamic,
                start: SweepStart::Periodic,
            },
            ahead,
        }
    }

    /// Orders of the blades' loads that shares of the hub's need, from 1 on: one beyond the hub's, which in-plane loads turn into
    /// the one below.
    #[must_use]
    pub(super) fn share_orders(&self) -> usize {
        Self::share_orders_of(self.point, self.orders)
    }

    /// As [`Self::share_orders`], of a point not set up yet.
    pub(super) fn share_orders_of(point: &OperatingPoint, orders: usize) -> usize {
        orders.min((point.solver.azimuths - 1) / 2)
    }

    /// Blade count as a number.
    #[must_use]
    pub(super) fn blades(&self) -> f64 {
        self.point.propeller.blade_count as f64
    }

    /// The annulus of a station.
    #[must_use]
    pub(super) fn annulus(&self, station: &BladeStation) -> Annulus {
        Annulus {
            radius_m: station.radius_m,
            root_m: self.ahead.root_m,
            tip_m: self.ahead.tip_m,
            blades: self.blades(),
            density_kg_m3: self.ahead.air.density_kg_m3,
            tip_loss: self.point.solver.tip_loss,
        }
    }

    /// The stations of group `g` on the blade with pitch offset `pitch_rad`.
    #[must_use]
    pub(super) fn group(&self, g: usize, pitch_rad: f64) -> StationGroup {
        let range: Range<usize> = self.ahead.group_range(g);
        StationGroup::new(&self.ahead.stations[range.clone()], &self.sections[range], pitch_rad)
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
