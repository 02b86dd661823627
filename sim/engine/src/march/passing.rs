//! Airloads that go over from one revolution to the next.
//!
//! Each revolution is swept in the state of its middle. The load at an azimuth is a quadratic B-spline through the revolutions, its knots at
//! their ends (C. de Boor, A Practical Guide to Splines, ch. IX; weights from memory, checked by their sum and by a straight line): neither load
//! nor its slope jumps, what grows evenly is met exactly, and a bend is rounded off over half a revolution on either side, by a sixth of the
//! second difference of three revolutions.

use super::rotor::{MarchingRotor, Revolution};
use super::run::HUB;
use super::schedule::{Row, Schedule};
use crate::mount::input::Mount;
use crate::point::result::HubLoad;
use std::f64::consts::TAU;

/// A revolution with its airloads.
pub(super) struct Swept {
    /// When it begins and ends, s.
    pub span_s: (f64, f64),
    /// State of its middle.
    pub row: Row,
    /// Airloads.
    pub revolution: Revolution,
    /// Mean of each hub load, in the order of [`HubLoad::ALL`].
    means: Vec<f64>,
    /// Rise of the shaft speed, rad/s².
    rise_rad_s2: f64,
}

/// A revolution between its neighbours.
pub(super) struct Passing<'a> {
    pub before: Option<&'a Swept>,
    pub now: &'a Swept,
    pub after: Option<&'a Swept>,
}

impl Swept {
    /// The revolution that begins at a time; `None` where the schedule ends before it does.
    pub(super) fn from(start_s: f64, rotor: &mut MarchingRotor, schedule: &Schedule) -> Option<Self> {
        let end_s = schedule.turned_s(start_s, TAU)?;
        let middle_s = 0.5 * (start_s + end_s);
        let row = schedule.at(middle_s);
        let revolution = rotor.revolve(schedule.place(middle_s), &row);
        let mean = |history: &Vec<f64>| history.iter().sum::<f64>() / history.len() as f64;
        Some(Self {
            means: revolution.hub.iter().map(mean).collect(),
            rise_rad_s2: (schedule.at(end_s).speed_rad_s - schedule.at(start_s).speed_rad_s)
                / (end_s - start_s),
            span_s: (start_s, end_s),
            row,
            revolution,
        })
    }

    /// Time of its middle, s.
    pub(super) fn middle_s(&self) -> f64 {
        0.5 * (self.span_s.0 + self.span_s.1)
    }
}

impl Passing<'_> {
    /// A quantity a share of the way through the revolution.
    fn at(&self, share: f64, of: &dyn Fn(&Swept) -> f64) -> f64 {
        let (before, after) = (0.5 * (1.0 - share).powi(2), 0.5 * share.powi(2));
        let now = of(self.now);
        // Before the first revolution and after the last it goes on as it began and ended.
        let beside = |one: Option<&Swept>, other: Option<&Swept>| match (one, other) {
            (Some(one), _) => of(one),
            (None, Some(other)) => 2.0 * now - of(other),
            (None, None) => now,
        };
        before * beside(self.before, self.after)
            + (1.0 - before - after) * now
            + after * beside(self.after, self.before)
    }

    /// Loads on the hub's seven coordinates at azimuth index `j`, that of the next revolution's beginning included: what swings about
    /// the mean, unbalance along blade 1 included, and after it the mean.
    pub(super) fn loads(&self, mount: &Mount, j: usize, speed_rad_s: f64) -> [f64; 2 * HUB] {
        let count = self.now.revolution.hub[0].len();
        let share = j as f64 / count as f64;
        let between = |of: &dyn Fn(&Swept) -> f64| self.at(share, of);
        let j = j % count;
        let mean = |load: HubLoad| between(&|swept| swept.means[load as usize]);
        let swings = |load: HubLoad| {
            between(&|swept| swept.revolution.hub[load as usize][j] - swept.means[load as usize])
        };
        let rotor = &mount.plant.rotor;
        let sigma = self.now.revolution.air.sigma;
        let (sin, cos) = (TAU * j as f64 / count as f64).sin_cos();
        let unbalance = rotor.unbalance_kg_m * speed_rad_s * speed_rad_s;
        let polar_kg_m2 = rotor.propeller_polar_kg_m2 + rotor.motor_polar_kg_m2;
        let torque = mean(HubLoad::Torque) + polar_kg_m2 * between(&|swept| swept.rise_rad_s2);
        let means = mean_on_body(&[
            -mean(HubLoad::Thrust),
            mean(HubLoad::SideForce),
            mean(HubLoad::VerticalForce),
            sigma * torque,
            mean(HubLoad::PitchingMoment),
            -mean(HubLoad::YawingMoment),
        ]);
        let swings = [
            -swings(HubLoad::Thrust),
            swings(HubLoad::SideForce) + sigma * unbalance * sin,
            swings(HubLoad::VerticalForce) + unbalance * cos,
            0.0,
            swings(HubLoad::PitchingMoment),
            -swings(HubLoad::YawingMoment),
            -swings(HubLoad::Torque),
        ];
        std::array::from_fn(|i| if i < HUB { swings[i] } else { means[i - HUB] })
    }
}

/// Mean loads on the body as loads on the hub's coordinates: the rotor turns as the schedule says, and feels none.
pub(super) fn mean_on_body(means: &[f64; 6]) -> [f64; HUB] {
    std::array::from_fn(|i| means.get(i).copied().unwrap_or(0.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mount::aero::HubDerivatives;
    use approx::assert_relative_eq;

    fn swept(number: f64) -> Swept {
        Swept {
            span_s: (number, number + 1.0),
            row: Row {
                name: "row".into(),
                time_s: number,
                speed_rad_s: TAU,
                airspeed_m_s: 0.0,
                angle_of_attack_rad: 0.0,
                flap_change_rad: 0.0,
                record: false,
            },
            revolution: Revolution {
                hub: vec![vec![0.0; 8]; HubLoad::ALL.len()],
                air: HubDerivatives::default(),
            },
            means: Vec::new(),
            rise_rad_s2: 0.0,
        }
    }

    #[test]
    fn what_grows_evenly_goes_over_in_a_straight_line_and_nothing_jumps() {
        let all: Vec<Swept> = (0..4).map(|number| swept(f64::from(number))).collect();
        let passing = |now: usize| Passing {
            before: now.checked_sub(1).map(|i| &all[i]),
            now: &all[now],
            after: all.get(now + 1),
        };
        for (number, start) in [(0, 0.0), (1, 1.0), (3, 3.0)] {
            for share in [0.0, 0.3, 0.5, 1.0] {
                let found = passing(number).at(share, &Swept::middle_s);
                assert_relative_eq!(found, start + share, epsilon = 1e-14);
            }
        }
        let bent = |swept: &Swept| swept.middle_s().powi(3);
        for now in 0..3 {
            let (here, next) = (passing(now), passing(now + 1));
            assert_relative_eq!(here.at(1.0, &bent), next.at(0.0, &bent), max_relative = 1e-14);
            let h = 1e-6;
            let slopes =
                (here.at(1.0, &bent) - here.at(1.0 - h, &bent), next.at(h, &bent) - next.at(0.0, &bent));
            assert_relative_eq!(slopes.0, slopes.1, max_relative = 1e-4);
        }
    }
}
