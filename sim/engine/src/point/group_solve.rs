//! Eight annuli in balance: blade loads of the whole revolution equal to momentum.

use super::annulus::{Balance, MeanFlow, start};
use super::error::PointError;
use super::setup::Setup;
use crate::base::lanes::LANES;
use crate::induction::momentum::{Annulus, Induced};
use crate::inflow::station::{Directions, StationGrid, StationInflow};
use crate::rotor::group::StationGroup;
use crate::rotor::sweep::{GroupFlow, GroupLoads, sweep};

/// Iterations after which an annulus counts as not settling.
const MOST_ITERATIONS: usize = 200;

/// The balanced state of up to eight stations.
pub struct GroupSolution {
    /// Induced velocity of each station.
    pub induced: Vec<Induced>,
    /// Azimuth-mean inflow V̄ of each station, m/s.
    pub mean_m_s: Vec<f64>,
    /// What the stations meet.
    pub flow: GroupFlow,
    /// Axial velocity without induction, m/s (station, A).
    pub axial_inflow_m_s: Vec<Vec<f64>>,
    /// Loads of each distinct blade.
    pub loads: Vec<GroupLoads>,
    /// Azimuths, summed over stations, where the axial velocity was cut to zero.
    pub cut: usize,
    /// Stations whose wake is narrower than two azimuth cells.
    pub narrow: usize,
}

struct Lane {
    inflow: StationInflow,
    annulus: Annulus,
    balance: Balance,
    rotation_m_s: f64,
    mean_m_s: f64,
    cut: usize,
}

/// Balances the stations of group `g`.
///
/// # Errors
/// [`PointError`] naming the radius when an annulus does not settle or a load is not finite.
pub fn solve_group(setup: &Setup, directions: &Directions, g: usize) -> Result<GroupSolution, PointError> {
    let groups: Vec<StationGroup> = setup.pitch_rad.iter().map(|p| setup.group(g, *p)).collect();
    let azimuths = setup.azimuth_rad.len();
    let mut flow = GroupFlow::new(azimuths);
    let mut loads: Vec<GroupLoads> = groups.iter().map(|_| GroupLoads::new(azimuths)).collect();
    let mut lanes: Vec<Lane> = setup.group_range(g).map(|i| Lane::new(setup, directions, i)).collect();
    let (mut axial, mut tangential) = (vec![0.0; azimuths], vec![0.0; azimuths]);
    let mut sweeps = 0;
    loop {
        for (lane, state) in lanes.iter_mut().enumerate() {
            if !state.balance.done {
                state.meet(&mut axial, &mut tangential, &mut flow, lane);
            }
        }
        if sweeps == 0 {
            repeat_last_lane(&mut flow, lanes.len());
        }
        sweeps += 1;
        let share = setup.blades() / groups.len() as f64;
        let mut total = [[0.0; 2]; LANES];
        for (group, loads) in groups.iter().zip(&mut loads) {
            let mean = sweep(group, &flow, &setup.sweep, loads);
            for (lane, sum) in total.iter_mut().enumerate() {
                sum[0] += share * mean.0.0[lane];
                sum[1] += share * mean.1.0[lane];
            }
        }
        for (state, loads) in lanes.iter_mut().zip(total).filter(|(s, _)| !s.balance.done) {
            state.take(loads, setup.point.solver.tolerance, sweeps)?;
        }
        if lanes.iter().all(|l| l.balance.done) {
            break;
        }
    }
    let axial_inflow_m_s = lanes
        .iter()
        .map(|lane| {
            lane.inflow.sample(lane.balance.induced.axial_m_s, &mut axial, &mut tangential);
            axial.clone()
        })
        .collect();
    Ok(GroupSolution {
        induced: lanes.iter().map(|l| l.balance.induced).collect(),
        mean_m_s: lanes.iter().map(|l| l.mean_m_s).collect(),
        cut: lanes.iter().map(|l| l.cut).sum(),
        narrow: lanes.iter().filter(|l| l.inflow.has_narrow_wake()).count(),
        flow,
        axial_inflow_m_s,
        loads,
    })
}

impl Lane {
    fn new(setup: &Setup, directions: &Directions, i: usize) -> Self {
        let station = &setup.stations[i];
        let own;
        let directions = if station.lag_rad == 0.0 {
            directions
        } else {
            own = Directions::new(&setup.disk, &setup.azimuth_rad, station.lag_rad);
            &own
        };
        let grid = StationGrid { disk: &setup.disk, station, tip_m: setup.tip_m(), directions };
        let inflow =
            StationInflow::new(&grid, setup.free_stream_m_s, &setup.sources, setup.point.solver.suction);
        let annulus = setup.annulus(station);
        let rotation_m_s = setup.point.propeller.speed_rad_s * station.radius_m;
        let flow = MeanFlow {
            axial_m_s: inflow.edge_mean_m_s(),
            tangential_m_s: rotation_m_s + inflow.tangential_mean_m_s(),
            speed_of_sound_m_s: setup.air.speed_of_sound_m_s,
        };
        let pitch = setup.pitch_rad.iter().sum::<f64>() / setup.pitch_rad.len() as f64;
        let angle = station.twist_rad + pitch;
        let section = &setup.sections[i];
        let first = start(&annulus, station, angle, section, &flow);
        let balance = Balance::new(&annulus, station, angle, section, &flow, first);
        Self { mean_m_s: flow.axial_m_s, inflow, annulus, balance, rotation_m_s, cut: 0 }
    }

    fn meet(&mut self, axial: &mut [f64], tangential: &mut [f64], flow: &mut GroupFlow, lane: usize) {
        let Induced { axial_m_s, swirl_m_s } = self.balance.induced;
        let sample = self.inflow.meet(
            (axial_m_s, swirl_m_s),
            self.rotation_m_s,
            (axial, tangential),
            (&mut flow.axial_m_s, &mut flow.tangential_m_s),
            lane,
        );
        self.mean_m_s = sample.mean_m_s;
        self.cut = sample.cut;
    }

    fn take(&mut self, loads: [f64; 2], tolerance: f64, sweeps: usize) -> Result<(), PointError> {
        let radius_m = self.annulus.radius_m;
        if !loads[0].is_finite() || !loads[1].is_finite() {
            return Err(PointError::NotFinite { quantity: "blade force", radius_m });
        }
        let induced = self.balance.induced;
        let tangential = self.rotation_m_s + self.inflow.tangential_mean_m_s();
        let momentum = self.annulus.momentum_n_per_m(self.mean_m_s, tangential, induced);
        // Relative to the speed through the annulus; a resting annulus is measured by a thousandth of its rotation.
        let scale = (self.mean_m_s + induced.axial_m_s).abs().max(1e-3 * self.rotation_m_s);
        let step_m_s = self.balance.take([loads[0] - momentum.0, loads[1] - momentum.1], tolerance * scale);
        if sweeps >= MOST_ITERATIONS && !self.balance.done {
            let axial_m_s = induced.axial_m_s;
            return Err(PointError::NotSettled { radius_m, iterations: sweeps, step_m_s, axial_m_s });
        }
        Ok(())
    }
}

/// Lanes without a station repeat the last one: harmless numbers that are never read.
fn repeat_last_lane(flow: &mut GroupFlow, used: usize) {
    for lanes in flow.axial_m_s.iter_mut().chain(&mut flow.tangential_m_s) {
        for lane in used..LANES {
            lanes.0[lane] = lanes.0[used - 1];
        }
    }
}
