//! Loads of small changes of the flow about its azimuth mean: the sweep made linear.
//!
//! About the mean the sweep is the same at every azimuth, so that each order of a change is answered by that order of the loads
//! alone, with a factor: that of the steps by which [`super::sweep`] takes a gust to the leading edge and through its lag, and the
//! section's derivatives. Shares of hub harmonics are found so; the loads themselves are stepped in time.

use super::group::StationGroup;
use super::gust::LeadingEdge;
use super::sweep::{SweepSetup, section_forces, to_chord};
use crate::base::complex_lanes::ComplexLanes;
use crate::base::lanes::Lanes;
use crate::base::turn::Turn;
use crate::point::input::{SectionLift, Streamwise};
use crate::unsteady::chordwise::PlateMemory;
use crate::unsteady::indicial::KUSSNER;
use crate::unsteady::lag::LagStep;

/// Derivatives of the forces per unit span by the velocities across and along the chord, N s/m².
#[derive(Debug, Clone, Copy)]
struct Derivatives {
    normal: (Lanes, Lanes),
    tangential: (Lanes, Lanes),
}

/// How eight stations answer small changes, order by order.
#[derive(Debug, Clone)]
pub struct LinearAnswer {
    sin_blade_angle: Lanes,
    cos_blade_angle: Lanes,
    derivatives: Derivatives,
    /// What acts of the velocities across and along the chord, from order 1 on.
    acting: Vec<(ComplexLanes, ComplexLanes)>,
}

impl LinearAnswer {
    /// About the azimuth means `axial_m_s` and `tangential_m_s`, for orders 1 to `orders`; `turn` as many steps as there are
    /// azimuths.
    #[must_use]
    pub fn new(
        group: &StationGroup,
        (axial_m_s, tangential_m_s): (Lanes, Lanes),
        setup: &SweepSetup,
        turn: &Turn,
        orders: usize,
    ) -> Self {
        let (across, along) = to_chord(group, axial_m_s, tangential_m_s);
        let speed_m_s = (across * across + along * along).sqrt();
        Self {
            sin_blade_angle: group.sin_blade_angle,
            cos_blade_angle: group.cos_blade_angle,
            derivatives: derivatives(group, setup, across, along),
            acting: acting(group, speed_m_s, setup, turn, orders),
        }
    }

    /// Axial force and force against the rotation per unit span, N/m, of order `order` (from 1) for changes of the axial and the
    /// tangential velocity of that order, m/s.
    #[must_use]
    pub fn forces(
        &self,
        order: usize,
        axial_m_s: ComplexLanes,
        tangential_m_s: ComplexLanes,
    ) -> (ComplexLanes, ComplexLanes) {
        let (sin, cos) = (self.sin_blade_angle, self.cos_blade_angle);
        let (acts_across, acts_along) = self.acting[order - 1];
        let across = (tangential_m_s * sin - axial_m_s * cos) * acts_across;
        let along = (tangential_m_s * cos + axial_m_s * sin) * acts_along;
        let force = |by: (Lanes, Lanes)| across * by.0 + along * by.1;
        (force(self.derivatives.normal), force(self.derivatives.tangential))
    }
}

/// What acts of the velocities across and along the chord at each order from 1 on.
fn acting(
    group: &StationGroup,
    speed_m_s: Lanes,
    setup: &SweepSetup,
    turn: &Turn,
    orders: usize,
) -> Vec<(ComplexLanes, ComplexLanes)> {
    if setup.section_lift == SectionLift::QuasiSteady {
        return vec![(ComplexLanes::ONE, ComplexLanes::ONE); orders];
    }
    let count = turn.len();
    let leads = LeadingEdge::new(group, setup, speed_m_s, count);
    let step_s = std::f64::consts::TAU / (setup.speed_rad_s * count as f64);
    let semichords = speed_m_s * step_s * 2.0 / group.chord_m;
    let lag = LagStep::new(&KUSSNER, semichords);
    let chordwise = (setup.streamwise == Streamwise::Horlock).then(|| PlateMemory::new(semichords));
    let one = |order: usize| {
        let at_edge = leads.answer(turn, order);
        let undelayed = order == 1 && setup.first_harmonic_undelayed;
        let across = if undelayed { ComplexLanes::ONE } else { at_edge * lag.answer(turn[order % count]) };
        let along = chordwise.as_ref().map_or(ComplexLanes::ONE, |plate| at_edge * plate.answer(turn, order));
        (across, along)
    };
    (1..=orders).map(one).collect()
}

/// Central differences of the section forces about the mean.
fn derivatives(group: &StationGroup, setup: &SweepSetup, across: Lanes, along: Lanes) -> Derivatives {
    // A step well inside the section's smoothness and well above round-off.
    let h = (across * across + along * along).sqrt() * 1e-4;
    let slope =
        |up: (Lanes, Lanes), down: (Lanes, Lanes)| ((up.0 - down.0) / (h * 2.0), (up.1 - down.1) / (h * 2.0));
    let by_across = slope(
        section_forces(group, setup, across + h, along),
        section_forces(group, setup, across - h, along),
    );
    let by_along = slope(
        section_forces(group, setup, across, along + h),
        section_forces(group, setup, across, along - h),
    );
    Derivatives { normal: (by_across.0, by_along.0), tangential: (by_across.1, by_along.1) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::complex_lanes::signal_orders;
    use crate::base::turn::turn;
    use crate::blade::BladeStation;
    use crate::point::input::{AnalyticSection, Compressibility};
    use crate::rotor::station_section::StationSection;
    use crate::rotor::sweep::{GroupFlow, GroupLoads, SweepRoom, SweepStart, sweep};

    const AZIMUTHS: usize = 360;
    const ORDERS: usize = 24;

    /// What eight stations meet: a mean, and `size` m/s times a bump of many orders.
    fn flow(size: f64) -> GroupFlow {
        let turn = turn(AZIMUTHS);
        let mut flow = GroupFlow::new(AZIMUTHS);
        for (j, (cos, sin)) in turn.iter().enumerate() {
            let bump = (6.0 * (cos - 1.0)).exp() + 0.3 * sin;
            flow.axial_m_s[j] = Lanes::from_fn(|lane| 22.0 + lane as f64 + size * bump);
            flow.tangential_m_s[j] = Lanes::from_fn(|lane| 50.0 + 6.0 * lane as f64 - 0.4 * size * bump);
        }
        flow
    }

    fn forces(group: &StationGroup, setup: &SweepSetup, size: f64) -> GroupLoads {
        let mut loads = GroupLoads::new(AZIMUTHS);
        let mut room = SweepRoom::new(AZIMUTHS);
        // The second sweep begins with the states that repeat.
        for _ in 0..2 {
            sweep(group, &flow(size), setup, &mut room, &mut loads);
        }
        loads
    }

    fn group() -> StationGroup {
        let section = AnalyticSection {
            lift_slope_per_rad: 5.8,
            zero_lift_rad: -0.03,
            drag_min: 0.015,
            drag_rise: 0.01,
            lift_at_drag_min: 0.2,
            lift_max: 1.4,
            lift_min: -1.2,
        };
        let station = |i: u32| BladeStation {
            chord_m: 0.03 - 0.002 * f64::from(i),
            twist_rad: 0.5 - 0.02 * f64::from(i),
            ..BladeStation::plain(0.1 + 0.01 * f64::from(i))
        };
        let stations: Vec<BladeStation> = (0..8).map(station).collect();
        let sections = vec![StationSection::Analytic(section, Compressibility::PrandtlGlauert); 8];
        StationGroup::new(&stations, &sections, 0.01)
    }

    /// Harmonics of the difference of two sweeps in time, a small change up and down, against what the linear answer makes of the
    /// change.
    #[test]
    fn small_changes_are_answered_as_by_the_sweep_in_time() {
        for (section_lift, streamwise, first_harmonic_undelayed) in [
            (SectionLift::Unsteady, Streamwise::QuasiSteady, false),
            (SectionLift::Unsteady, Streamwise::QuasiSteady, true),
            (SectionLift::Unsteady, Streamwise::Horlock, false),
            (SectionLift::QuasiSteady, Streamwise::QuasiSteady, false),
        ] {
            let setup = SweepSetup {
                density_kg_m3: 1.2,
                speed_of_sound_m_s: 340.0,
                speed_rad_s: 500.0,
                section_lift,
                streamwise,
                first_harmonic_undelayed,
                start: SweepStart::Periodic,
            };
            let group = group();
            let turn = turn(AZIMUTHS);
            let orders = |values: &[Lanes]| signal_orders(values, &turn, ORDERS);
            let mean = flow(0.0);
            let means = (mean.axial_m_s[0], mean.tangential_m_s[0]);
            let answer = LinearAnswer::new(&group, means, &setup, &turn, ORDERS);
            let size = 1e-3;
            let [up, down] = [size, -size].map(|size| forces(&group, &setup, size));
            let slope = |up: &[Lanes], down: &[Lanes]| {
                let change = up.iter().zip(down).map(|(up, down)| (*up - *down) * (0.5 / size));
                orders(&change.collect::<Vec<_>>())
            };
            let stepped = [
                slope(&up.normal_n_per_m, &down.normal_n_per_m),
                slope(&up.tangential_n_per_m, &down.tangential_n_per_m),
            ];
            let change = flow(1.0);
            let (axial, tangential) = (orders(&change.axial_m_s), orders(&change.tangential_m_s));
            for order in 1..=ORDERS {
                let (normal, against) = answer.forces(order, axial[order - 1], tangential[order - 1]);
                for (own, stepped) in [normal, against].iter().zip(&stepped) {
                    let (stepped, first) = (stepped[order - 1], stepped[0]);
                    let off = *own - stepped;
                    for lane in 0..8 {
                        let size = first.re.0[lane].hypot(first.im.0[lane]);
                        assert!(
                            off.re.0[lane].hypot(off.im.0[lane]) < 1e-6 * size,
                            "{section_lift:?} {streamwise:?}, order {order}, lane {lane}: {own:?}, {stepped:?}"
                        );
                    }
                }
            }
        }
    }
}
