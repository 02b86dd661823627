//! Which source makes how much of each hub harmonic.
//!
//! Each source's change of what the blades meet, taken alone, is answered order by order by the sweep made linear about the azimuth
//! mean ([`crate::rotor::linear`]) and summed to the hub. What is left between the shares and the answer is the remainder: overlap of
//! sources, terms of second order, unlike blades, and at order 0 the mean loads themselves. With `dynamic` induction the disk's own
//! answer (its first harmonic and the annuli's ripple) is a share of its own, `induced_inflow`.

use super::flow_orders::FlowOrders;
use super::group_state::GroupState;
use super::result::{Harmonics, HubLoad, PointResult, Share};
use super::setup::Setup;
use crate::base::complex_lanes::ComplexLanes;
use crate::base::lanes::{Lanes, mean};
use crate::base::turn::turn;
use crate::rotor::blade_loads::blade_spectra;
use crate::rotor::hub::hub_harmonics;
use crate::rotor::linear::LinearAnswer;
use crate::rotor::sweep::GroupFlow;

/// A source by its place in the sum.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Origin {
    Incidence,
    Source(usize),
    Induced,
}

/// Shares of every hub load, the remainder last.
pub(super) fn attribution(setup: &Setup, groups: &[GroupState], result: &PointResult) -> Vec<Share> {
    let mut origins = vec![(Origin::Incidence, "incidence".to_owned())];
    for (index, source) in setup.ahead.sources.iter().enumerate() {
        origins.push((Origin::Source(index), source.name().to_owned()));
    }
    if groups.iter().any(|g| !g.induced.ripple.is_empty()) {
        origins.push((Origin::Induced, "induced_inflow".to_owned()));
    }
    let answers = Answers::new(setup, groups, result);
    let mut shares: Vec<Share> = origins
        .into_iter()
        .map(|(origin, name)| Share { name, loads: answers.share(setup, groups, origin) })
        .collect();
    let loads = HubLoad::ALL.iter().map(|load| remainder(result, &shares, *load)).collect();
    shares.push(Share { name: "remainder".to_owned(), loads });
    shares
}

/// How the blades answer small changes.
struct Answers {
    groups: Vec<LinearAnswer>,
    /// Orders of the hub's loads, order 0 included.
    hub_orders: usize,
}

impl Answers {
    fn new(setup: &Setup, groups: &[GroupState], result: &PointResult) -> Self {
        let turn = turn(setup.ahead.azimuth_rad.len());
        let answer = |group: &GroupState| {
            let means = (mean(&group.flow.axial_m_s), mean(&group.flow.tangential_m_s));
            LinearAnswer::new(&group.blades[0], means, &setup.sweep, &turn, setup.share_orders())
        };
        let hub_orders = result.hub[0].harmonics.amplitude.len();
        Self { groups: groups.iter().map(answer).collect(), hub_orders }
    }

    /// Hub harmonics of one origin.
    fn share(&self, setup: &Setup, groups: &[GroupState], origin: Origin) -> Vec<Harmonics> {
        let forces: Vec<Vec<(ComplexLanes, ComplexLanes)>> = groups
            .iter()
            .enumerate()
            .map(|(g, group)| {
                let change = change(setup, group, g, origin);
                let both = change.axial_m_s.iter().zip(&change.tangential_m_s).zip(1..);
                both.map(|((axial, tangential), order)| self.groups[g].forces(order, *axial, *tangential))
                    .collect()
            })
            .collect();
        let orders = setup.share_orders();
        let spectra =
            blade_spectra(&setup.ahead.stations, &forces, &setup.ahead.disk, setup.ahead.root_m, orders);
        let propeller = &setup.point.propeller;
        let errors = &propeller.spacing_error_rad;
        hub_harmonics(&spectra, errors, propeller.blade_count, setup.ahead.disk.sigma, self.hub_orders)
    }
}

/// What one origin changes of what eight stations meet.
fn change(setup: &Setup, group: &GroupState, g: usize, origin: Origin) -> FlowOrders {
    match origin {
        Origin::Incidence => changed_by_incidence(setup, g),
        Origin::Source(source) => changed_by_source(setup, (g, group), source),
        Origin::Induced => changed_by_induced(setup, group),
    }
}

/// What the free stream in the disk's plane changes of what eight stations meet.
fn changed_by_incidence(setup: &Setup, g: usize) -> FlowOrders {
    let mut delta = GroupFlow::new(setup.ahead.azimuth_rad.len());
    for (i, lane) in setup.ahead.group_range(g).zip(0..) {
        for (value, motion) in delta.tangential_m_s.iter_mut().zip(setup.ahead.motion(i)) {
            value.0[lane] = -setup.ahead.free_stream_m_s.dot(&motion);
        }
    }
    FlowOrders::new(&delta.axial_m_s, &delta.tangential_m_s, setup.share_orders())
}

/// What the ripple of the induced flow changes of what eight stations meet.
fn changed_by_induced(setup: &Setup, group: &GroupState) -> FlowOrders {
    if group.induced.ripple.is_empty() {
        return FlowOrders::nothing(setup.share_orders());
    }
    let (axial_m_s, tangential_m_s): (Vec<Lanes>, Vec<Lanes>) = group.induced.ripple.iter().copied().unzip();
    FlowOrders::new(&axial_m_s, &tangential_m_s, setup.share_orders())
}

/// What the velocity field and the wake of a source change of what eight stations meet.
fn changed_by_source(setup: &Setup, (g, group): (usize, &GroupState), source: usize) -> FlowOrders {
    let orders = setup.share_orders();
    let wake = group.inflow.feels_wake_of(source).then(|| {
        let mut delta = GroupFlow::new(setup.ahead.azimuth_rad.len());
        group.inflow.add_wake_alone(source, group.induced.axial_m_s, &mut delta);
        FlowOrders::new(&delta.axial_m_s, &delta.tangential_m_s, orders)
    });
    match (&setup.ahead.groups[g].added[source], wake) {
        (Some(field), wake) => field.with(speeding_up(setup, group), wake.as_ref()),
        (None, Some(wake)) => wake,
        (None, None) => FlowOrders::nothing(orders),
    }
}

/// By what the propeller's suction changes a small change of the axial velocity.
///
/// It speeds the air up about the mean: the same head added to a changed speed.
fn speeding_up(setup: &Setup, group: &GroupState) -> Lanes {
    let mean_m_s = group.inflow.mean_m_s;
    let through_m_s = mean_m_s + group.induced.axial_m_s;
    let suction = setup.point.solver.suction != super::input::Suction::None;
    mean_m_s.zip(
        through_m_s,
        |mean, through| {
            if suction && through > 0.0 { (mean / through).max(0.0) } else { 1.0 }
        },
    )
}

/// What the shares leave of a load.
fn remainder(result: &PointResult, shares: &[Share], load: HubLoad) -> Harmonics {
    let total = &result.hub(load).harmonics;
    let mut left = Harmonics { amplitude: Vec::new(), phase_rad: Vec::new() };
    for order in 0..total.amplitude.len() {
        let rest = shares
            .iter()
            .fold(total.phasor(order), |sum, share| sum - share.loads[load as usize].phasor(order));
        left.amplitude.push(if order == 0 { rest.re } else { rest.norm() });
        left.phase_rad.push(if order == 0 { 0.0 } else { -rest.arg() });
    }
    left
}
