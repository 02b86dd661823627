//! Eight annuli on their way into balance: blade loads of the whole revolution equal to momentum.

use super::annulus::{Balance, Limits, MeanFlow, start};
use super::error::PointError;
use super::input::{Induction, SectionLift};
use super::ripple::{Ripple, RippleDemand};
use super::setup::Setup;
use crate::base::lanes::Lanes;
use crate::induction::dynamic::{FirstHarmonic, time_factor};
use crate::induction::momentum::{Annulus, Induced};
use crate::inflow::group::{GroupInduced, GroupInflow, OuterLanes};
use crate::inflow::station::{Directions, OuterFlow, StationGrid};
use crate::rotor::group::StationGroup;
use crate::rotor::sweep::{GroupFlow, GroupLoads, sweep};
use crate::rotor::tones::{LoadTones, MULTIPLES, Tones};

/// Share of the inflow that induction may take away.
const LEAST_THROUGH: f64 = 0.98;

/// Share of the rotation that swirl may reach.
const MOST_SWIRL: f64 = 0.9;

/// The state of up to eight stations.
pub(super) struct GroupState {
    /// Inflow with the wakes drawn in.
    pub inflow: GroupInflow,
    /// Induced velocity.
    pub induced: GroupInduced,
    /// What the stations meet.
    pub flow: GroupFlow,
    /// Loads of each distinct blade.
    pub loads: Vec<GroupLoads>,
    /// The stations as the blades hold them.
    pub blades: Vec<StationGroup>,
    lanes: Vec<Lane>,
    rotation_m_s: Lanes,
    ripple: Option<Ripple>,
    begun: bool,
}

struct Lane {
    annulus: Annulus,
    balance: Balance,
    rotation_m_s: f64,
    tangential_mean_m_s: f64,
    /// `f_a` R of the annulus time constant, m.
    time_length_m: f64,
    chord_m: f64,
}

impl GroupState {
    /// Stations of group `g` with a start from the mean flow.
    pub(super) fn new(setup: &Setup, g: usize) -> Self {
        let blades: Vec<StationGroup> = setup.pitch_rad.iter().map(|p| setup.group(g, *p)).collect();
        let azimuths = setup.azimuth_rad.len();
        let inflow = group_inflow(setup, g);
        let lanes: Vec<Lane> =
            setup.group_range(g).zip(0..).map(|(i, lane)| Lane::new(setup, i, lane, &inflow)).collect();
        let dynamic = setup.point.solver.induction == Induction::Dynamic;
        Self {
            induced: GroupInduced { axial_m_s: Lanes::ZERO, swirl_m_s: Lanes::ZERO, ripple: Vec::new() },
            flow: GroupFlow::new(azimuths),
            loads: blades.iter().map(|_| GroupLoads::new(azimuths)).collect(),
            rotation_m_s: Lanes::from_fn(|i| lanes[i.min(lanes.len() - 1)].rotation_m_s),
            ripple: dynamic.then(Ripple::new),
            begun: setup.point.solver.section_lift == SectionLift::QuasiSteady,
            blades,
            inflow,
            lanes,
        }
    }

    /// One sweep of all blades at the present induced velocities, then a step towards balance.
    ///
    /// # Errors
    /// [`PointError::NotFinite`] naming the radius.
    pub(super) fn advance(
        &mut self,
        setup: &Setup,
        g: usize,
        tones: &Tones,
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        if !self.begun {
            // The lag's states begin at rest; a step taken from their transient would mislead the iteration.
            self.begun = true;
            self.sweep(setup, g, tones, first);
        }
        let total = self.sweep(setup, g, tones, first);
        for (lane, state) in self.lanes.iter_mut().enumerate() {
            let mean = self.inflow.mean_m_s.0[lane];
            state.take([total.0.0[lane], total.1.0[lane]], mean, setup.point.solver.tolerance)?;
        }
        self.take_ripple(setup, tones);
        Ok(())
    }

    /// Sweeps all blades at the present induced velocities; returns the mean axial and tangential force per unit
    /// radius of all blades, N/m.
    fn sweep(
        &mut self,
        setup: &Setup,
        g: usize,
        tones: &Tones,
        first: Option<&FirstHarmonic>,
    ) -> (Lanes, Lanes) {
        let lane = |i: usize| self.lanes[i.min(self.lanes.len() - 1)].balance.induced;
        self.induced.axial_m_s = Lanes::from_fn(|i| lane(i).axial_m_s);
        self.induced.swirl_m_s = Lanes::from_fn(|i| lane(i).swirl_m_s);
        self.inflow.draw(self.induced.axial_m_s, setup.point.solver.tolerance);
        if let (Some(first), Some(ripple)) = (first, &self.ripple) {
            self.induced.ripple = ripple_by_azimuth(setup, g, tones, first, ripple);
        }
        self.inflow.meet(&self.induced, self.rotation_m_s, &mut self.flow);
        let share = setup.blades() / self.blades.len() as f64;
        let mut total = (Lanes::ZERO, Lanes::ZERO);
        for (blade, loads) in self.blades.iter().zip(&mut self.loads) {
            let mean = sweep(blade, &self.flow, &setup.sweep, loads);
            total = (total.0 + mean.0 * share, total.1 + mean.1 * share);
        }
        total
    }

    /// Whether every annulus, its ripple and the lag's states have settled.
    pub(super) fn done(&self, setup: &Setup) -> bool {
        let tolerance = setup.point.solver.tolerance;
        let closed = |loads: &GroupLoads| {
            (0..self.lanes.len()).all(|i| loads.closure_m_s.0[i] <= tolerance * self.rotation_m_s.0[i])
        };
        self.lanes.iter().all(|l| l.balance.done)
            && self.loads.iter().all(closed)
            && self.ripple.as_ref().is_none_or(|r| r.done)
    }

    /// Why the group has not settled.
    pub(super) fn complaint(&self, iterations: usize) -> PointError {
        let worst = self.lanes.iter().find(|l| !l.balance.done).or(self.lanes.first());
        PointError::NotSettled {
            radius_m: worst.map_or(0.0, |l| l.annulus.radius_m),
            iterations,
            step_m_s: worst.map_or(0.0, |l| l.balance.last_step_m_s()),
            axial_m_s: worst.map_or(0.0, |l| l.balance.induced.axial_m_s),
        }
    }

    /// Induced velocity of each station.
    pub(super) fn induced(&self) -> impl Iterator<Item = Induced> + '_ {
        self.lanes.iter().map(|l| l.balance.induced)
    }

    fn take_ripple(&mut self, setup: &Setup, tones: &Tones) {
        let Some(ripple) = &mut self.ripple else { return };
        let share = setup.blades() / self.loads.len() as f64;
        let mut passage = [(Lanes::ZERO, Lanes::ZERO); MULTIPLES];
        for loads in &self.loads {
            for (sum, part) in passage.iter_mut().zip(LoadTones::new(loads, tones).passage) {
                *sum = (sum.0 + part.0 * share, sum.1 + part.1 * share);
            }
        }
        let demands: Vec<RippleDemand> = self
            .lanes
            .iter()
            .enumerate()
            .map(|(i, lane)| lane.ripple_demand(setup, self.inflow.mean_m_s.0[i]))
            .collect();
        ripple.take(&passage, &demands);
    }
}

/// The inflow of the stations of group `g`: free stream, what the sources add to it, and their wakes.
fn group_inflow(setup: &Setup, g: usize) -> GroupInflow {
    let own: Vec<Option<Directions>> = setup.group_range(g).map(|i| setup.own_directions(i)).collect();
    let grids: Vec<StationGrid> =
        setup.group_range(g).zip(&own).map(|(i, own)| setup.grid(i, own.as_ref())).collect();
    let outer: Vec<OuterFlow> = grids
        .iter()
        .map(|grid| {
            let mut flow = grid.free_stream(setup.free_stream_m_s);
            for source in &setup.sources {
                source.add_on_ring(grid, &mut flow.axial_m_s, &mut flow.tangential_m_s);
            }
            flow
        })
        .collect();
    GroupInflow::new(&grids, OuterLanes::new(&outer), &setup.sources, setup.point.solver.suction)
}

/// Axial ripple and in-plane velocity by azimuth: the disk's first harmonic and the annuli's own.
fn ripple_by_azimuth(
    setup: &Setup,
    g: usize,
    tones: &Tones,
    first: &FirstHarmonic,
    ripple: &Ripple,
) -> Vec<(Lanes, Lanes)> {
    let stations = &setup.stations[setup.group_range(g)];
    let station = |i: usize| &stations[i.min(stations.len() - 1)];
    // The station stands at ψ − lag: the first harmonic's parts turned to the blade's azimuth.
    let turned = |c: f64, s: f64| {
        (
            Lanes::from_fn(|i| c * station(i).lag_rad.cos() - s * station(i).lag_rad.sin()),
            Lanes::from_fn(|i| s * station(i).lag_rad.cos() + c * station(i).lag_rad.sin()),
        )
    };
    let radius = Lanes::from_fn(|i| station(i).radius_m / setup.tip_m());
    let (cosine, sine) = turned(first.cosine_m_s, first.sine_m_s);
    let axial = (cosine * radius, sine * radius);
    // Air moving up by u meets e_t with −u sin ψ: against the motion u sin ψ; to starboard −σ u cos ψ.
    let tangential = turned(-setup.disk.sigma * first.starboard_m_s, first.up_m_s);
    let parts = ripple.parts();
    tones
        .first
        .iter()
        .zip(&tones.passage)
        .map(|((cos, sin), passage)| {
            let mut sum = axial.0 * *cos + axial.1 * *sin;
            for (part, tone) in parts.iter().zip(passage) {
                sum = sum + part.0 * tone.0 + part.1 * tone.1;
            }
            (sum, tangential.0 * *cos + tangential.1 * *sin)
        })
        .collect()
}

impl Lane {
    fn new(setup: &Setup, i: usize, lane: usize, inflow: &GroupInflow) -> Self {
        let station = &setup.stations[i];
        let annulus = setup.annulus(station);
        let rotation_m_s = setup.point.propeller.speed_rad_s * station.radius_m;
        let flow = MeanFlow {
            axial_m_s: inflow.edge_mean_m_s.0[lane],
            tangential_m_s: rotation_m_s + inflow.tangential_mean_m_s.0[lane],
            speed_of_sound_m_s: setup.air.speed_of_sound_m_s,
        };
        let pitch = setup.pitch_rad.iter().sum::<f64>() / setup.pitch_rad.len() as f64;
        let angle = station.twist_rad + pitch;
        let section = &setup.sections[i];
        let first = start(&annulus, station, angle, section, &flow);
        Self {
            balance: Balance::new(&annulus, station, angle, section, &flow, first),
            annulus,
            rotation_m_s,
            tangential_mean_m_s: inflow.tangential_mean_m_s.0[lane],
            time_length_m: time_factor(station.radius_m / setup.tip_m()) * setup.tip_m(),
            chord_m: station.chord_m,
        }
    }

    fn take(&mut self, loads: [f64; 2], mean_m_s: f64, tolerance: f64) -> Result<(), PointError> {
        let radius_m = self.annulus.radius_m;
        if !loads[0].is_finite() || !loads[1].is_finite() {
            return Err(PointError::NotFinite { quantity: "blade force", radius_m });
        }
        let induced = self.balance.induced;
        let tangential = self.rotation_m_s + self.tangential_mean_m_s;
        let momentum = self.annulus.momentum_n_per_m(mean_m_s, tangential, induced);
        // Relative to the speed through the annulus; a resting annulus is measured by a thousandth of its rotation.
        let scale = (mean_m_s + induced.axial_m_s).abs().max(1e-3 * self.rotation_m_s);
        let unit = Induced { swirl_m_s: 1.0, ..induced };
        let flux = self.annulus.momentum_n_per_m(mean_m_s, tangential, unit).1;
        // Coefficients up to 3 at the speed of the section: what swirl can take off the tangential load.
        let speed = tangential.hypot(mean_m_s + induced.axial_m_s);
        let answer = 1.5 * self.annulus.blades * self.annulus.density_kg_m3 * self.chord_m * speed;
        let residual = [loads[0] - momentum.0, loads[1] - momentum.1];
        // The flow goes through the disk from ahead, if slowly: beyond lies a vortex ring that no annulus describes.
        let floor = -LEAST_THROUGH * mean_m_s.max(0.0);
        let limits = Limits {
            swirl_stiffness_n_s_per_m2: flux + answer,
            through_m_s: scale,
            floor_m_s: floor,
            most_swirl_m_s: MOST_SWIRL * tangential.abs(),
        };
        self.balance.take(residual, limits, tolerance * scale);
        Ok(())
    }

    fn ripple_demand(&self, setup: &Setup, mean_m_s: f64) -> RippleDemand {
        let induced = self.balance.induced;
        let tangential = self.rotation_m_s + self.tangential_mean_m_s;
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
                * setup.air.density_kg_m3
                * speed
                * self.chord_m
                * setup.blades(),
            lag_per_order: setup.point.propeller.speed_rad_s * self.time_length_m / through,
            blades: setup.point.propeller.blade_count,
            tolerance_m_s: 10.0
                * setup.point.solver.tolerance
                * (mean_m_s + induced.axial_m_s).abs().max(1e-3 * self.rotation_m_s),
        }
    }
}
