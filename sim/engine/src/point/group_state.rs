//! Eight annuli on their way into balance: blade loads of the whole revolution equal to momentum.

use super::annulus::{Balance, Limits, MeanFlow, start};
use super::error::PointError;
use super::induced_tones::InducedTones;
use super::input::{Induction, Suction};
use super::ripple::{Ripple, RippleDemand, RippleLoads};
use super::setup::Setup;
use crate::base::lanes::{LANES, Lanes};
use crate::induction::dynamic::{FirstHarmonic, time_factor};
use crate::induction::momentum::{Annulus, Induced};
use crate::inflow::group::{GroupInduced, GroupInflow, OuterLanes};
use crate::inflow::station::{Directions, OuterFlow, StationGrid};
use crate::rotor::group::StationGroup;
use crate::rotor::sweep::{GroupFlow, GroupLoads, SweepRoom, sweep};
use crate::rotor::tones::{LoadTones, MULTIPLES, Tones};

/// Share of the inflow that induction may take away.
const LEAST_THROUGH: f64 = 0.98;

/// Step over the tangential velocity by which the derivative of the residual is taken: above what the lag's and the wakes'
/// approach to their own answer adds, below the bend of the loads.
const DERIVATIVE_STEP: f64 = 1e-3;

/// Share of the rotation that swirl may reach.
const MOST_SWIRL: f64 = 0.9;

/// Step of the balance, relative to the speed through the annulus, expected of the first sweep on a grid.
const FIRST_STEP: f64 = 1e-2;

/// How closely wakes are drawn in, over the step the balance asked for last: an iteration shortens its step tenfold to a hundredfold, and
/// the drawing answers to its own error by a small part.
const DRAWN_TO: f64 = 1e-2;

/// Share of the step asked for that the full grid may still ask for once the thinned one has made it.
const LEFT_BY_FOLLOWING: f64 = 0.1;

/// The azimuths of one grid: tones over them, and room for a sweep.
pub(super) struct Ring {
    /// A few harmonics over the azimuths.
    pub tones: Tones,
    /// To what the balance of the full grid is found, over the speed through an annulus.
    pub tolerance: f64,
    room: SweepRoom,
}

impl Ring {
    /// For a number of azimuths and of blades.
    pub(super) fn new(azimuths: usize, blades: usize, tolerance: f64) -> Self {
        Self { tones: Tones::new(azimuths, blades), tolerance, room: SweepRoom::new(azimuths) }
    }
}

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
    /// Greatest step that it asks for over the speed through the annulus.
    asked: f64,
    /// What each annulus asks of its ripple at the last sweep; empty for induction that is constant in azimuth.
    demands: Vec<RippleDemand>,
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
            asked: FIRST_STEP,
            demands: Vec::new(),
            tones: Vec::new(),
            blades,
            inflow,
            lanes,
        }
    }

    /// The same annuli on every `stride`-th azimuth, from where they stand.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        self.standing_in(self.inflow.thinned(stride), self.flow.axial_m_s.len() / stride)
    }

    /// The same annuli with their wakes at a limit of suction, from where they stand.
    pub(super) fn limited(&self, limit: Suction) -> Self {
        let mut group = self.standing_in(self.inflow.limited(limit), self.flow.axial_m_s.len());
        for (own, other) in group.loads.iter_mut().zip(&self.loads) {
            own.start_from(other);
        }
        group.reopen();
        group
    }

    /// The same annuli in another inflow, from where they stand.
    fn standing_in(&self, inflow: GroupInflow, azimuths: usize) -> Self {
        Self {
            inflow,
            induced: GroupInduced { ripple: Vec::new(), ..self.induced },
            flow: GroupFlow::new(azimuths),
            loads: self.blades.iter().map(|_| GroupLoads::new(azimuths)).collect(),
            blades: self.blades.clone(),
            lanes: self.lanes.clone(),
            rotation_m_s: self.rotation_m_s,
            ripple: self.ripple.clone(),
            followed_m_s: None,
            correction: Correction::default(),
            left: Residual::default(),
            asked: FIRST_STEP,
            demands: Vec::new(),
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
        ring: &mut Ring,
    ) -> Result<(), PointError> {
        let axial = Lanes::from_fn(|i| self.lanes[i.min(self.lanes.len() - 1)].balance.induced.axial_m_s);
        self.inflow.draw(axial, ring.tolerance);
        for (i, lane) in setup.group_range(g).zip(0..) {
            self.lanes[lane].start(setup, i, self.inflow.mean_m_s.0[lane]);
        }
        self.evaluate(setup, g, ring, None)
    }

    /// Takes the derivative of each annulus' residual from sweeps at shifted induced velocities.
    ///
    /// # Errors
    /// As [`Self::evaluate`].
    pub(super) fn learn_derivatives(
        &mut self,
        setup: &Setup,
        g: usize,
        ring: &mut Ring,
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        let begun: Vec<Induced> = self.induced().collect();
        let mut at = |shift: [f64; 2]| -> Result<[[f64; 2]; LANES], PointError> {
            for (lane, from) in self.lanes.iter_mut().zip(&begun) {
                lane.balance.induced = lane.shifted(*from, shift);
            }
            self.asked = DERIVATIVE_STEP;
            self.evaluate(setup, g, ring, first)?;
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
        let followed = self.followed_m_s.map_or(there, |before| self.inflow.mean_m_s + (there - before));
        self.inflow.take_mean(followed, &other.inflow);
        self.asked *= LEFT_BY_FOLLOWING;
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

    /// A step towards balance to within `tolerance`, by what the last sweep left.
    pub(super) fn step(&mut self, tolerance: f64) {
        for (lane, state) in self.lanes.iter_mut().enumerate() {
            let corrected: [f64; 2] =
                std::array::from_fn(|i| self.left.mean[lane][i] + self.correction.mean[lane][i]);
            state.take(corrected, self.inflow.mean_m_s.0[lane], tolerance);
        }
        if let Some(ripple) = &mut self.ripple {
            ripple.take(&self.left.passage.plus(&self.correction.passage), &self.demands, tolerance);
        }
    }

    /// One sweep of all blades at the present induced velocities, and what it leaves unbalanced.
    ///
    /// # Errors
    /// [`PointError::NotFinite`] naming the radius.
    pub(super) fn evaluate(
        &mut self,
        setup: &Setup,
        g: usize,
        ring: &mut Ring,
        first: Option<&FirstHarmonic>,
    ) -> Result<(), PointError> {
        let total = self.sweep(setup, g, ring, first);
        self.asked = 0.0;
        for (lane, state) in self.lanes.iter().enumerate() {
            let loads = [total.0.0[lane], total.1.0[lane]];
            let mean_m_s = self.inflow.mean_m_s.0[lane];
            self.left.mean[lane] = state.residual(loads, mean_m_s)?;
            self.asked = self.asked.max(state.step_m_s(self.left.mean[lane]) / state.scale_m_s(mean_m_s));
        }
        if let Some(ripple) = &self.ripple {
            self.tones.clear();
            self.tones.extend(self.loads.iter().map(|loads| LoadTones::new(loads, &ring.tones)));
            self.demands.clear();
            let asking = self.lanes.iter().enumerate();
            self.demands.extend(asking.map(|(i, lane)| lane.ripple_demand(setup, self.inflow.mean_m_s.0[i])));
            self.left.passage = ripple.residual(&passage_loads(setup, &self.tones), &self.demands);
        }
        Ok(())
    }

    /// Whether the residual of the last sweep asks for no step beyond `tolerance`.
    pub(super) fn balanced(&self, tolerance: f64) -> bool {
        self.asked <= tolerance
            && (self.ripple.is_none() || self.left.passage.within(&self.demands, tolerance))
    }

    /// Sweeps all blades at the present induced velocities; returns the mean axial and tangential force per unit
    /// radius of all blades, N/m.
    fn sweep(
        &mut self,
        setup: &Setup,
        g: usize,
        ring: &mut Ring,
        first: Option<&FirstHarmonic>,
    ) -> (Lanes, Lanes) {
        let lane = |i: usize| self.lanes[i.min(self.lanes.len() - 1)].balance.induced;
        self.induced.axial_m_s = Lanes::from_fn(|i| lane(i).axial_m_s);
        self.induced.swirl_m_s = Lanes::from_fn(|i| lane(i).swirl_m_s);
        self.inflow.draw(self.induced.axial_m_s, self.drawn_to(ring.tolerance));
        if let (Some(first), Some(ripple)) = (first, &self.ripple) {
            let tones = InducedTones::new(setup, g, first, ripple);
            tones.by_azimuth(&ring.tones, &mut self.induced.ripple);
        }
        self.inflow.meet(&self.induced, self.rotation_m_s, &mut self.flow);
        let share = setup.blades() / self.blades.len() as f64;
        let mut total = (Lanes::ZERO, Lanes::ZERO);
        for (blade, loads) in self.blades.iter().zip(&mut self.loads) {
            let mean = sweep(blade, &self.flow, &setup.sweep, &mut ring.room, loads);
            total = (total.0 + mean.0 * share, total.1 + mean.1 * share);
        }
        total
    }

    /// How closely to draw the wakes in for the next sweep.
    fn drawn_to(&self, tolerance: f64) -> f64 {
        tolerance.max(DRAWN_TO * self.asked.min(FIRST_STEP))
    }

    /// Has the wakes drawn in to the tolerance of the answer, for an iteration that finds no way.
    pub(super) fn draw_closely(&mut self) {
        self.asked = 0.0;
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
        (step[0] * step[0] + step[1] * step[1]).sqrt()
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

    fn ripple_demand(&self, setup: &Setup, mean_m_s: f64) -> RippleDemand {
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
            scale_m_s: 10.0 * self.scale_m_s(mean_m_s),
        }
    }
}
