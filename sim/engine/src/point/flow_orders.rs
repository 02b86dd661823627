//! Changes of what eight stations meet, order by order.

use super::setup::Setup;
use crate::base::complex_lanes::{ComplexLanes, signal_orders};
use crate::base::lanes::Lanes;
use crate::base::turn::turn;
use crate::inflow::InflowSource;
use crate::inflow::group::OuterLanes;
use crate::inflow::station::{OuterFlow, StationGrid};

/// Changes of the axial and the tangential velocity at eight stations, m/s, from order 1 on.
#[derive(Debug, Clone)]
pub(super) struct FlowOrders {
    /// Aft positive.
    pub axial_m_s: Vec<ComplexLanes>,
    /// Against the motion.
    pub tangential_m_s: Vec<ComplexLanes>,
}

impl FlowOrders {
    /// Of velocities over azimuth, m/s (A each).
    pub(super) fn new(axial_m_s: &[Lanes], tangential_m_s: &[Lanes], orders: usize) -> Self {
        let turn = turn(axial_m_s.len());
        let of = |values| signal_orders(values, &turn, orders);
        Self { axial_m_s: of(axial_m_s), tangential_m_s: of(tangential_m_s) }
    }

    /// No change.
    pub(super) fn nothing(orders: usize) -> Self {
        Self { axial_m_s: vec![ComplexLanes::ZERO; orders], tangential_m_s: vec![ComplexLanes::ZERO; orders] }
    }

    /// The same with the axial changes times `factor`, and those of another flow.
    pub(super) fn with(&self, factor: Lanes, other: Option<&Self>) -> Self {
        let mut sum = self.clone();
        sum.axial_m_s.iter_mut().for_each(|axial| *axial = *axial * factor);
        if let Some(other) = other {
            add(&mut sum.axial_m_s, &other.axial_m_s);
            add(&mut sum.tangential_m_s, &other.tangential_m_s);
        }
        sum
    }
}

/// Adds the field of each source to the outer flow of one to eight stations and tells its orders; `None` for a source without a
/// field.
pub(super) fn added_by_sources(
    setup: &Setup,
    grids: &[StationGrid],
    outer: &mut [OuterFlow],
) -> Vec<Option<FlowOrders>> {
    let mut added = vec![OuterFlow::still(setup.azimuth_rad.len()); grids.len()];
    let mut tell = |source: &dyn InflowSource| {
        let mut adds = false;
        for ((grid, flow), added) in grids.iter().zip(outer.iter_mut()).zip(&mut added) {
            added.axial_m_s.fill(0.0);
            added.tangential_m_s.fill(0.0);
            if source.add_on_ring(grid, &mut added.axial_m_s, &mut added.tangential_m_s) {
                adds = true;
                add(&mut flow.axial_m_s, &added.axial_m_s);
                add(&mut flow.tangential_m_s, &added.tangential_m_s);
            }
        }
        let added = adds.then(|| OuterLanes::new(&added))?;
        Some(FlowOrders::new(&added.axial_m_s, &added.tangential_m_s, setup.share_orders()))
    };
    setup.sources.iter().map(|source| tell(source.as_ref())).collect()
}

fn add<Value: Copy + std::ops::Add<Output = Value>>(to: &mut [Value], from: &[Value]) {
    for (to, from) in to.iter_mut().zip(from) {
        *to = *to + *from;
    }
}
