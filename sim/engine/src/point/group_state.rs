//! Eight annuli on their way into balance: blade loads of the whole revolution equal to momentum.

use super::correction::{Correction, Residual};
use super::error::PointError;
use super::induced_tones::InducedTones;
use super::input::{Induction, Suction};
use super::lane::{DERIVATIVE_STEP, Lane};
use super::ripple::{Ripple, RippleDemand, RippleLoads};
use super::setup::Setup;
use crate::base::lanes::{LANES, Lanes};
use crate::induction::dynamic::FirstHarmonic;
use crate::induction::momentum::Induced;
use crate::inflow::group::{GroupInduced, GroupInflow};
use crate::rotor::group::StationGroup;
use crate::rotor::sweep::{GroupFlow, GroupLoads, SweepRoom, sweep};
use crate::rotor::tones::{LoadTones, MULTIPLES, Tones};

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

impl GroupState {
    /// Stations of group `g` with a start from the mean flow, on every `stride`-th azimuth.
    pub(super) fn new(setup: &Setup, g: usize, stride: usize) -> Self {
        let blades: Vec<StationGroup> = setup.pitch_rad.iter().map(|p| setup.group(g, *p)).collect();
        let ahead = &setup.ahead.groups[g].inflow;
        let inflow = if stride == 1 { ahead.clone() } else { ahead.thinned(stride) };
        let lanes: Vec<Lane> =
            setup.ahead.group_range(g).zip(0..).map(|(i, lane)| Lane::new(setup, i, lane, &inflow)).collect();
        let ripple = (setup.point.solver.induction == Induction::Dynamic).then(Ripple::new);
        Self::unswept(inflow, setup.ahead.azimuth_rad.len() / stride, (blades, lanes), ripple)
    }

    /// Annuli that no blade has swept yet.
    fn unswept(
        inflow: GroupInflow,
        azimuths: usize,
        (blades, lanes): (Vec<StationGroup>, Vec<Lane>),
        ripple: Option<Ripple>,
    ) -> Self {
        Self {
            inflow,
            flow: GroupFlow::new(azimuths),
            induced: GroupInduced { axial_m_s: Lanes::ZERO, swirl_m_s: Lanes::ZERO, ripple: Vec::new() },
            loads: blades.iter().map(|_| GroupLoads::new(azimuths)).collect(),
            rotation_m_s: Lanes::from_fn(|i| lanes[i.min(lanes.len() - 1)].rotation_m_s),
            blades,
            lanes,
            ripple,
            followed_m_s: None,
            correction: Correction::default(),
            left: Residual::default(),
            asked: FIRST_STEP,
            demands: Vec::new(),
            tones: Vec::new(),
        }
    }

    /// The same annuli on every `stride`-th azimuth, from where they stand.
    pub(super) fn thinned(&self, stride: usize) -> Self {
        self.standing_in(self.inflow.thinned(stride), self.azimuths() / stride)
    }

    /// The same annuli with their wakes at a limit of suction, from where they stand, and what their grid was found to lack.
    pub(super) fn limited(&self, limit: Suction) -> Self {
        let mut group = self.standing_in(self.inflow.limited(limit), self.azimuths());
        group.correction.clone_from(&self.correction);
        group.reopen();
        group
    }

    /// Azimuths of the grid.
    pub(super) fn azimuths(&self) -> usize {
        self.flow.axial_m_s.len()
    }

    /// The same annuli in another inflow, from where they stand.
    fn standing_in(&self, inflow: GroupInflow, azimuths: usize) -> Self {
        let parts = (self.blades.clone(), self.lanes.clone());
        let mut group = Self::unswept(inflow, azimuths, parts, self.ripple.clone());
        for (own, other) in group.loads.iter_mut().zip(&self.loads) {
            own.start_from(other);
        }
        group
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
        for (i, lane) in setup.ahead.group_range(g).zip(0..) {
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
        for (lane, state) in self.lanes.iter().enumerate() {
            let [own, full] = [&self.left, &full.left].map(|left| left.mean[lane]);
            self.correction.take(lane, [full[0] - own[0], full[1] - own[1]], state.balance.induced);
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
            let (left, added) = (self.left.mean[lane], self.correction.mean(lane, state.balance.induced));
            state.take([left[0] + added[0], left[1] + added[1]], self.inflow.mean_m_s.0[lane], tolerance);
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
