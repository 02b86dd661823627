//! One annulus on its way into balance.

use super::annulus::{Balance, Limits, MeanFlow, start};
use super::error::PointError;
use super::ripple::RippleDemand;
use super::setup::Setup;
use crate::induction::dynamic::time_factor;
use crate::induction::momentum::{Annulus, Induced};
use crate::inflow::group::GroupInflow;

/// Most velocity from behind, over the rotation, that the search looks at.
const MOST_REVERSED: f64 = 0.5;

/// Step over the tangential velocity by which the derivative of the residual is taken: above what the lag's and the wakes'
/// approach to their own answer adds, below the bend of the loads.
pub(super) const DERIVATIVE_STEP: f64 = 1e-3;

/// Greatest part of the oncoming speed that a start takes away, a in v = −aV: momentum theory ends there (Buhl, NREL/TP-500-36834, 2005, p. 2).
const MOST_BRAKED: f64 = 0.4;

/// The same in still air, over the station's own speed: a choice, small beside any inflow.
const RESTING_BRAKED: f64 = 0.02;

/// Share of the rotation that swirl may reach with it; against it a windmill's goes further by the speed of the air that drives it.
const MOST_SWIRL: f64 = 0.9;

/// One annulus: its place, its surroundings and its induced velocity.
#[derive(Debug, Clone)]
pub(super) struct Lane {
    pub annulus: Annulus,
    /// The induced velocity on its way.
    pub balance: Balance,
    /// Speed of rotation, m/s.
    pub rotation_m_s: f64,
    tangential_mean_m_s: f64,
    /// `f_a` R of the annulus time constant, m.
    time_length_m: f64,
    chord_m: f64,
}

impl Lane {
    pub(super) fn new(setup: &Setup, i: usize, lane: usize, inflow: &GroupInflow) -> Self {
        let station = &setup.ahead.stations[i];
        let annulus = setup.annulus(station);
        let rotation_m_s = setup.point.propeller.speed_rad_s * station.radius_m;
        let mut state = Self {
            balance: Balance::default(),
            annulus,
            rotation_m_s,
            tangential_mean_m_s: inflow.tangential_mean_m_s.0[lane],
            time_length_m: time_factor(station.radius_m / setup.ahead.tip_m) * setup.ahead.tip_m,
            chord_m: station.chord_m,
        };
        state.start(setup, i, inflow.edge_mean_m_s.0[lane]);
        state
    }

    /// Starts the balance of station `i` in the mean flow.
    pub(super) fn start(&mut self, setup: &Setup, i: usize, mean_m_s: f64) {
        let station = &setup.ahead.stations[i];
        let flow = MeanFlow {
            axial_m_s: mean_m_s,
            tangential_m_s: self.tangential_m_s(),
            speed_of_sound_m_s: setup.ahead.air.speed_of_sound_m_s,
        };
        let pitch = setup.pitch_rad.iter().sum::<f64>() / setup.pitch_rad.len() as f64;
        let angle = station.twist_rad + pitch;
        let section = &setup.sections[i];
        let first = self.within_momentum(start(&self.annulus, station, angle, section, &flow), mean_m_s);
        self.balance = Balance::new(&self.annulus, station, angle, section, &flow, first);
    }

    /// A start with as much of its induced velocity as momentum theory holds for.
    ///
    /// The start knows no other thrust than momentum's. Where a tip brakes that is too little by far, and it lands at hundreds of m/s, the
    /// loads of which send the whole disk astray.
    fn within_momentum(&self, start: Induced, mean_m_s: f64) -> Induced {
        let least_m_s = -MOST_BRAKED * mean_m_s.max(0.0) - RESTING_BRAKED * self.rotation_m_s;
        let part = if start.axial_m_s < least_m_s { least_m_s / start.axial_m_s } else { 1.0 };
        Induced { axial_m_s: part * start.axial_m_s, swirl_m_s: part * start.swirl_m_s }
    }

    /// Step by which the derivative is taken, m/s.
    pub(super) fn derivative_step_m_s(&self) -> f64 {
        DERIVATIVE_STEP * self.tangential_m_s().abs().max(1e-3)
    }

    /// Induced velocities moved by a number of steps each way.
    pub(super) fn shifted(&self, from: Induced, [axial, swirl]: [f64; 2]) -> Induced {
        let h = self.derivative_step_m_s();
        Induced { axial_m_s: from.axial_m_s + axial * h, swirl_m_s: from.swirl_m_s + swirl * h }
    }

    /// Takes the derivative of the residual from its values at the present place and one step along each velocity.
    pub(super) fn learn_derivative(&mut self, middle: [f64; 2], axial: [f64; 2], swirl: [f64; 2]) {
        let h = self.derivative_step_m_s();
        let by = |moved: [f64; 2], i: usize| (moved[i] - middle[i]) / h;
        self.balance.set_derivative([[by(axial, 0), by(swirl, 0)], [by(axial, 1), by(swirl, 1)]]);
    }

    /// Loads less momentum, N/m.
    pub(super) fn residual(&self, loads: [f64; 2], mean_m_s: f64) -> Result<[f64; 2], PointError> {
        if !loads[0].is_finite() || !loads[1].is_finite() {
            return Err(PointError::NotFinite { quantity: "blade force", radius_m: self.annulus.radius_m });
        }
        let momentum = self.annulus.momentum_n_per_m(mean_m_s, self.tangential_m_s(), self.balance.induced);
        Ok([loads[0] - momentum.0, loads[1] - momentum.1])
    }

    /// Size of the step that a residual asks for, m/s.
    pub(super) fn step_m_s(&self, residual: [f64; 2]) -> f64 {
        let step = self.balance.times_inverse(residual);
        (step[0] * step[0] + step[1] * step[1]).sqrt()
    }

    /// Speed through the annulus, by which tolerances are measured; a resting annulus is measured by a thousandth of its
    /// rotation, m/s.
    pub(super) fn scale_m_s(&self, mean_m_s: f64) -> f64 {
        (mean_m_s + self.balance.induced.axial_m_s).abs().max(1e-3 * self.rotation_m_s)
    }

    pub(super) fn tangential_m_s(&self) -> f64 {
        self.rotation_m_s + self.tangential_mean_m_s
    }

    /// Moves the induced velocities by what a residual asks for.
    pub(super) fn take(&mut self, residual: [f64; 2], mean_m_s: f64, tolerance: f64) {
        let induced = self.balance.induced;
        let tangential = self.tangential_m_s();
        let scale = self.scale_m_s(mean_m_s);
        let unit = Induced { swirl_m_s: 1.0, ..induced };
        let flux = self.annulus.momentum_n_per_m(mean_m_s, tangential, unit).1;
        // Coefficients up to 3 at the speed of the section: what swirl can take off the tangential load.
        let speed = tangential.hypot(mean_m_s + induced.axial_m_s);
        let answer = 1.5 * self.annulus.blades * self.annulus.density_kg_m3 * self.chord_m * speed;
        let most_swirl_m_s = MOST_SWIRL * tangential.abs();
        let limits = Limits {
            swirl_stiffness_n_s_per_m2: flux + answer,
            through_m_s: scale,
            floor_m_s: -mean_m_s.max(0.0) - MOST_REVERSED * self.rotation_m_s,
            swirl_m_s: (-most_swirl_m_s - mean_m_s.abs(), most_swirl_m_s),
        };
        self.balance.take(residual, limits, tolerance * scale);
    }

    pub(super) fn ripple_demand(&self, setup: &Setup, mean_m_s: f64) -> RippleDemand {
        let induced = self.balance.induced;
        let tangential = self.tangential_m_s();
        let step = 1e-4 * self.rotation_m_s;
        let at = |dv: f64| {
            let shifted = Induced { axial_m_s: induced.axial_m_s + dv, ..induced };
            self.annulus.momentum_n_per_m(mean_m_s, tangential, shifted).0
        };
        let speed = self.rotation_m_s.hypot(mean_m_s + induced.axial_m_s);
        let through = (mean_m_s + 2.0 * induced.axial_m_s).abs().max(1e-6);
        RippleDemand {
            momentum_slope: (at(step) - at(-step)) / (2.0 * step),
            // Half a flat plate's slope: what the lag leaves at the reduced frequencies of blade passage.
            load_slope: 0.25
                * std::f64::consts::TAU
                * setup.ahead.air.density_kg_m3
                * speed
                * self.chord_m
                * setup.blades(),
            lag_per_order: setup.point.propeller.speed_rad_s * self.time_length_m / through,
            blades: setup.point.propeller.blade_count,
            scale_m_s: 10.0 * self.scale_m_s(mean_m_s),
        }
    }
}
