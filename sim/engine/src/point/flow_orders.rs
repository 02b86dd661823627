//! Changes of what eight stations meet, order by order.

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

/// Adds the field of each source to the outer flow of one to eight stations; tells its orders where so many are asked for, `None` for
/// a source without a field.
pub(super) fn add_sources(
    sources: &[Box<dyn InflowSource>],
    grids: &[StationGrid],
    outer: &mut [OuterFlow],
    orders: Option<usize>,
) -> Vec<Option<FlowOrders>> {
    // Each source by itself first, told or not, so that the sum is the same to the last bit.
    let mut alone = vec![OuterFlow::still(outer[0].axial_m_s.len()); grids.len()];
    let mut told = Vec::new();
    let mut adds = false;
    for source in sources {
        if adds {
            alone.iter_mut().for_each(OuterFlow::calm);
        }
        adds = false;
        for ((grid, flow), alone) in grids.iter().zip(outer.iter_mut()).zip(&mut alone) {
            if source.add_on_ring(grid, &mut alone.axial_m_s, &mut alone.tangential_m_s) {
                adds = true;
                add(&mut flow.axial_m_s, &alone.axial_m_s);
                add(&mut flow.tangential_m_s, &alone.tangential_m_s);
            }
        }
        if let Some(orders) = orders {
            told.push(adds.then(|| {
                let alone = OuterLanes::new(&alone);
                FlowOrders::new(&alone.axial_m_s, &alone.tangential_m_s, orders)
            }));
        }
    }
    told
}

fn add<Value: Copy + std::ops::Add<Output = Value>>(to: &mut [Value], from: &[Value]) {
    for (to, from) in to.iter_mut().zip(from) {
        *to = *to + *from;
    }
}
