//! Eight annuli on their way into balance: blade loads of the whole revolution equal to momentum.

use super::annulus::{Balance, Limits, MeanFlow, start};
use super::error::PointError;
use super::input::Induction;
use super::ripple::{Ripple, RippleDemand, RippleLoads};
use super::setup::Setup;
use crate::base::lanes::{LANES, Lanes};
use crate::induction::dynamic::{FirstHarmonic, time_factor};
use crate::induction::momentum::{Annulus, Induced};
use crate::inflow::group::{GroupInduced, GroupInflow, OuterLanes};
use crate::inflow::station::{Directions, OuterFlow, StationGrid};
use crate::rotor::group::StationGroup;
use crate::rotor::sweep::{GroupFlow, GroupLoads, sweep};
use crate::rotor::tones::{LoadTones, MULTIPLES, Tones};

/// Share of the inflow that induction may take away.
const LEAST_THROUGH: f64 = 0.98;

/// Step over the tangential velocity by which the derivative of the residual is taken: above what the lag's and the wakes'
/// approach to their own answer adds, below the bend of the loads.
const DERIVATIVE_STEP: f64 = 1e-3;

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
    /// A few harmonics of the loads of each distinct blade in the last sweep, for the induction that answers them.
    pub tones: Vec<LoadTones>,
    /// The stations as the blades hold them.
    pub blades: Vec<StationGroup>,
    lanes: Vec<Lane>,
    rotation_m_s: Lanes,
    ripple: Option<Ripple>,
    /// V̄ that the grid followed last had found, m/s.
    followed_m_s: Option<Lanes>,
    /// What the balance adds to the loads: 0 but on a thinned grid.
    correction: Correction,
    /// What the last sweep left unbalanced.
    left: Residual,
}

/// Loads of all blades less momentum, of eight annuli: per unit radius, N/m.
#[derive(Debug, Clone, Default)]
pub(super) struct Residual {
    /// Means along the axis and against the rotation.
    mean: [[f64; 2]; LANES],
    /// Axial parts at the multiples of NP.
    passage: RippleLoads,
}

/// What a thinned grid adds to its loads, so that its balance is that of the full grid; N/m.
pub(super) type Correction = Residual;

#[derive(Debug, Clone)]
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
            followed_m_s: None,
            correction: Correction::default(),
            left: Residual::default(),
            tones: Vec::new(),
            blades,
            inflow,
            lanes,
        }
    }

    /// The same annuli on every `stride`-th azimuth, from where they stand.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        let inflow = self.inflow.thinned(stride);
        let azimuths = self.flow.axial_m_s.len() / stride;
        Self {
            inflow,
            induced: self.induced.clone(),
            flow: GroupFlow::new(azimuths),
            loads: self.blades.iter().map(|_| GroupLoads::new(azimuths)).collect(),
            blades: self.blades.clone(),
            lanes: self.lanes.clone(),
            rotation_m_s: self.rotation_m_s,
            ripple: self.ripple.clone(),
            followed_m_s: None,
            correction: Correction::default(),
            left: Residual::default(),
            tones: Vec::new(),
        }
    }

    /// Starts the balance anew in the mean flow with its wakes.
    ///
    /// # Errors
    /// As [`Self::evaluate`].
    pub(super) fn begin_in_wakes(
        &mut self,
        setup: &Setup,
        g: usize,
        tones: &Tones,
    ) -> Result<(), PointError> {
        let axial = Lanes::from_fn(|i| self.lanes[i.min(self.lanes.len() - 1)].balance.induced.axial_m_s);
        self.inflow.draw(axial, setup.point.solver.tolerance);
        for (i, lane) in setup.group_range(g).zip(0..) {
            self.lanes[lane].start(setup, i, self.inflow.mean_m_s.0[lane]);
        }
        self.learn_derivatives(setup, g, tones, None)
    }

    /// Takes the derivative of each annulus' residual from sweeps at shifted induced velocities.
    ///
    /// # Errors
    /// As [`Self::evaluate`].
    pub(super) fn learn_derivatives(
        &mut self,
        setup: &Setup,
        g: usize,
        tones: &Tones,
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        let begun: Vec<Induced> = self.induced().collect();
        let mut at = |shift: [f64; 2]| -> Result<[[f64; 2]; LANES], PointError> {
            for (lane, from) in self.lanes.iter_mut().zip(&begun) {
                lane.balance.induced = lane.shifted(*from, shift);
            }
            self.evaluate(setup, g, tones, first)?;
            Ok(self.left.mean)
        };
        let (axial, swirl, middle) = (at([1.0, 0.0])?, at([0.0, 1.0])?, at([0.0, 0.0])?);
        for (lane, state) in self.lanes.iter_mut().enumerate() {
            state.learn_derivative(middle[lane], axial[lane], swirl[lane]);
        }
        Ok(())
    }

    /// Takes over the induced velocities of the same annuli on another grid, how V̄ moved with them and the states of
    /// the lag.
    pub(super) fn follow(&mut self, other: &Self) {
        for (own, other) in self.lanes.iter_mut().zip(&other.lanes) {
            own.balance = other.balance;
        }
        self.ripple.clone_from(&other.ripple);
        let there = other.inflow.mean_m_s;
        self.inflow.mean_m_s =
            self.followed_m_s.map_or(there, |before| self.inflow.mean_m_s + (there - before));
        self.followed_m_s = Some(there);
        for (own, other) in self.loads.iter_mut().zip(&other.loads) {
            own.start_from(other);
        }
    }

    /// Makes the balance on this thinned grid that of the full grid `full`, as far as what both left unbalanced at the same
    /// induced velocities tells, and opens it again.
    pub(super) fn correct_by(&mut self, full: &Self) {
        for (lane, own) in self.correction.mean.iter_mut().enumerate() {
            for (i, own) in own.iter_mut().enumerate() {
                *own = full.left.mean[lane][i] - self.left.mean[lane][i];
            }
        }
        self.correction.passage = full.left.passage.less(&self.left.passage);
        self.reopen();
    }

    /// Lets the balance move again.
    pub(super) fn reopen(&mut self) {
        self.lanes.iter_mut().for_each(|lane| lane.balance.reopen());
        self.ripple.iter_mut().for_each(Ripple::reopen);
    }

    /// One sweep of all blades at the present induced velocities, then a step towards balance to within `tolerance`.
    ///
    /// # Errors
    /// [`PointError::NotFinite`] naming the radius.
    pub(super) fn advance(
        &mut self,
        setup: &Setup,
        g: usize,
        (tones, tolerance): (&Tones, f64),
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        self.evaluate(setup, g, tones, first)?;
        for (lane, state) in self.lanes.iter_mut().enumerate() {
            let corrected: [f64; 2] =
                std::array::from_fn(|i| self.left.mean[lane][i] + self.correction.mean[lane][i]);
            state.take(corrected, self.inflow.mean_m_s.0[lane], tolerance);
        }
        if let Some(ripple) = &mut self.ripple {
            let demands = demands(setup, &self.lanes, self.inflow.mean_m_s, tolerance);
            ripple.take(&self.left.passage.plus(&self.correction.passage), &demands);
        }
        Ok(())
    }

    /// One sweep of all blades at the present induced velocities, and what it leaves unbalanced.
    ///
    /// # Errors
    /// [`PointError::NotFinite`] naming the radius.
    pub(super) fn evaluate(
        &mut self,
        setup: &Setup,
        g: usize,
        tones: &Tones,
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        let total = self.sweep(setup, g, tones, first);
        for (lane, state) in self.lanes.iter().enumerate() {
            let loads = [total.0.0[lane], total.1.0[lane]];
            self.left.mean[lane] = state.residual(loads, self.inflow.mean_m_s.0[lane])?;
        }
        if let Some(ripple) = &self.ripple {
            self.tones.clear();
            self.tones.extend(self.loads.iter().map(|loads| LoadTones::new(loads, tones)));
            let demands = demands(setup, &self.lanes, self.inflow.mean_m_s, setup.point.solver.tolerance);
            self.left.passage = ripple.residual(&passage_loads(setup, &self.tones), &demands);
        }
        Ok(())
    }

    /// Whether the residual of the last sweep asks for no step beyond `tolerance`.
    pub(super) fn balanced(&self, setup: &Setup, tolerance: f64) -> bool {
        let steady = self.lanes.iter().enumerate().all(|(lane, state)| {
            state.step_m_s(self.left.mean[lane]) <= tolerance * state.scale_m_s(self.inflow.mean_m_s.0[lane])
        });
        let demands = || demands(setup, &self.lanes, self.inflow.mean_m_s, tolerance);
        steady && (self.ripple.is_none() || self.left.passage.within(&demands()))
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

    /// Whether every annulus and its ripple have settled.
    pub(super) fn done(&self) -> bool {
        self.lanes.iter().all(|l| l.balance.done) && self.ripple.as_ref().is_none_or(|r| r.done)
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
}

/// Axial loads of all blades at the multiples of NP, N/m.
fn passage_loads(setup: &Setup, blades: &[LoadTones]) -> RippleLoads {
    let share = setup.blades() / blades.len() as f64;
    let mut passage = [(Lanes::ZERO, Lanes::ZERO); MULTIPLES];
    for blade in blades {
        for (sum, part) in passage.iter_mut().zip(blade.passage) {
            *sum = (sum.0 + part.0 * share, sum.1 + part.1 * share);
        }
    }
    RippleLoads::new(&passage)
}

/// What each annulus asks of its ripple.
fn demands(setup: &Setup, lanes: &[Lane], mean_m_s: Lanes, tolerance: f64) -> Vec<RippleDemand> {
    lanes.iter().enumerate().map(|(i, lane)| lane.ripple_demand(setup, mean_m_s.0[i], tolerance)).collect()
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
        let mut state = Self {
            balance: Balance::default(),
            annulus,
            rotation_m_s,
            tangential_mean_m_s: inflow.tangential_mean_m_s.0[lane],
            time_length_m: time_factor(station.radius_m / setup.tip_m()) * setup.tip_m(),
            chord_m: station.chord_m,
        };
        state.start(setup, i, inflow.edge_mean_m_s.0[lane]);
        state
    }

    /// Starts the balance of station `i` in the mean flow.
    fn start(&mut self, setup: &Setup, i: usize, mean_m_s: f64) {
        let station = &setup.stations[i];
        let flow = MeanFlow {
            axial_m_s: mean_m_s,
            tangential_m_s: self.tangential_m_s(),
            speed_of_sound_m_s: setup.air.speed_of_sound_m_s,
        };
        let pitch = setup.pitch_rad.iter().sum::<f64>() / setup.pitch_rad.len() as f64;
        let angle = station.twist_rad + pitch;
        let section = &setup.sections[i];
        let first = start(&self.annulus, station, angle, section, &flow);
        self.balance = Balance::new(&self.annulus, station, angle, section, &flow, first);
    }

    /// Step by which the derivative is taken, m/s.
    fn derivative_step_m_s(&self) -> f64 {
        DERIVATIVE_STEP * self.tangential_m_s().abs().max(1e-3)
    }

    /// Induced velocities moved by a number of steps each way.
    fn shifted(&self, from: Induced, [axial, swirl]: [f64; 2]) -> Induced {
        let h = self.derivative_step_m_s();
        Induced { axial_m_s: from.axial_m_s + axial * h, swirl_m_s: from.swirl_m_s + swirl * h }
    }

    /// Takes the derivative of the residual from its values at the present place and one step along each velocity.
    fn learn_derivative(&mut self, middle: [f64; 2], axial: [f64; 2], swirl: [f64; 2]) {
        let h = self.derivative_step_m_s();
        let by = |moved: [f64; 2], i: usize| (moved[i] - middle[i]) / h;
        self.balance.set_derivative([[by(axial, 0), by(swirl, 0)], [by(axial, 1), by(swirl, 1)]]);
    }

    /// Loads less momentum, N/m.
    fn residual(&self, loads: [f64; 2], mean_m_s: f64) -> Result<[f64; 2], PointError> {
        if !loads[0].is_finite() || !loads[1].is_finite() {
            return Err(PointError::NotFinite { quantity: "blade force", radius_m: self.annulus.radius_m });
        }
        let momentum = self.annulus.momentum_n_per_m(mean_m_s, self.tangential_m_s(), self.balance.induced);
        Ok([loads[0] - momentum.0, loads[1] - momentum.1])
    }

    /// Size of the step that a residual asks for, m/s.
    fn step_m_s(&self, residual: [f64; 2]) -> f64 {
        let step = self.balance.times_inverse(residual);
        step[0].hypot(step[1])
    }

    /// Speed through the annulus, by which tolerances are measured; a resting annulus is measured by a thousandth of its
    /// rotation, m/s.
    fn scale_m_s(&self, mean_m_s: f64) -> f64 {
        (mean_m_s + self.balance.induced.axial_m_s).abs().max(1e-3 * self.rotation_m_s)
    }

    fn tangential_m_s(&self) -> f64 {
        self.rotation_m_s + self.tangential_mean_m_s
    }

    /// Moves the induced velocities by what a residual asks for.
    fn take(&mut self, residual: [f64; 2], mean_m_s: f64, tolerance: f64) {
        let induced = self.balance.induced;
        let tangential = self.tangential_m_s();
        let scale = self.scale_m_s(mean_m_s);
        let unit = Induced { swirl_m_s: 1.0, ..induced };
        let flux = self.annulus.momentum_n_per_m(mean_m_s, tangential, unit).1;
        // Coefficients up to 3 at the speed of the section: what swirl can take off the tangential load.
        let speed = tangential.hypot(mean_m_s + induced.axial_m_s);
        let answer = 1.5 * self.annulus.blades * self.annulus.density_kg_m3 * self.chord_m * speed;
        // The flow goes through the disk from ahead, if slowly: beyond lies a vortex ring that no annulus describes.
        let floor = -LEAST_THROUGH * mean_m_s.max(0.0);
        let limits = Limits {
            swirl_stiffness_n_s_per_m2: flux + answer,
            through_m_s: scale,
            floor_m_s: floor,
            most_swirl_m_s: MOST_SWIRL * tangential.abs(),
        };
        self.balance.take(residual, limits, tolerance * scale);
    }

    fn ripple_demand(&self, setup: &Setup, mean_m_s: f64, tolerance: f64) -> RippleDemand {
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
                * setup.air.density_kg_m3
                * speed
                * self.chord_m
                * setup.blades(),
            lag_per_order: setup.point.propeller.speed_rad_s * self.time_length_m / through,
            blades: setup.point.propeller.blade_count,
            tolerance_m_s: 10.0 * tolerance * self.scale_m_s(mean_m_s),
        }
    }
}
