//! The order of evaluation of a march, and what is told of each revolution.
//!
//! Revolution by revolution: airloads swept at the state of its middle; then the mount from azimuth to azimuth under them, with what its own motion
//! changes in them (slopes of the state). Time follows the azimuth: quarters of a revolution take what the schedule's shaft speed needs for them.
//! From one revolution to the next loads go over smoothly (see `passing`): loads that jumped between revolutions would shake the mount at 1P and
//! its multiples where the air has no ripple at all.
//!
//! The mean torque of the propeller, and what speeds the rotor up, is the motor's, and the body feels it. What holds the mean loads on a free
//! airframe stands in `carried`. One and two blades march with their mean transverse inertia and with their unbalance along blade 1;
//! their instability and the worst direction of the unbalance are told by `mount`. Loss factors are marched as viscous damping equal to them at
//! each mode's own frequency: above it a rubber isolator passes more here than in `mount`.

use super::carried::Carried;
use super::passing::{Passing, Swept, mean_on_body};
use super::rotor::MarchingRotor;
use super::schedule::{Row, Schedule, point_at};
use super::step::{Readings, State, Step};
use crate::base::fourier::Fourier;
use crate::mount::MountError;
use crate::mount::aero::HubDerivatives;
use crate::mount::input::{Carrier, Mount};
use crate::mount::loads::{HubHarmonics, HubVector};
use crate::mount::modes::Dynamics;
use crate::mount::periodic::viscous;
use crate::mount::response::Ready;
use crate::mount::scan::LoadedState;
use crate::mount::system::{ShaftRotation, System};
use crate::point::input::OperatingPoint;
use crate::point::result::{HubLoad, Warning};
use nalgebra::{Complex, DMatrix, DVector};
use std::f64::consts::TAU;

/// Parts of a revolution with a step length of their own.
const QUARTERS: usize = 4;

/// Loads on the hub: see [`crate::mount::loads`].
pub(super) const HUB: usize = 7;

/// A quantity that is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Channel {
    /// Name with unit.
    pub name: String,
    /// Unit.
    pub unit: &'static str,
    /// Words.
    pub words: String,
}

/// One revolution.
#[derive(Debug, Clone)]
pub struct Told {
    /// Number, from 1.
    pub number: usize,
    /// Time of its middle, s.
    pub time_s: f64,
    /// State of its middle.
    pub row: Row,
    /// Amplitude by channel, then order; order 0 is the mean. What a channel drifts from the beginning of the revolution to its end is
    /// taken out as a straight line, which has all orders itself.
    pub amplitude: Vec<Vec<f64>>,
    /// Phase in cos(nψ − φ), rad, in the same places.
    pub phase_rad: Vec<Vec<f64>>,
    /// Largest departure from zero by channel.
    pub peak: Vec<f64>,
    /// Time of each azimuth, s, and values by channel, where histories are kept.
    pub samples: Option<(Vec<f64>, Vec<Vec<f64>>)>,
}

/// Hub loads among the channels.
const LOADS: [HubLoad; 6] = [
    HubLoad::Thrust,
    HubLoad::SideForce,
    HubLoad::VerticalForce,
    HubLoad::Torque,
    HubLoad::PitchingMoment,
    HubLoad::YawingMoment,
];

/// The channels of a march, in order.
#[must_use]
pub fn channels(mount: &Mount) -> Vec<Channel> {
    let mut all: Vec<Channel> = LOADS
        .iter()
        .map(|load| Channel {
            name: load.key().to_owned(),
            unit: load.unit(),
            words: format!("airload on the hub: {}", load.long_name()),
        })
        .collect();
    for axis in ["x", "y", "z"] {
        all.push(Channel {
            name: format!("transmitted_{axis}_n"),
            unit: "N",
            words: format!("force of all isolators on the airframe along {axis} of the shaft axes"),
        });
    }
    for axis in ["x", "y", "z"] {
        all.push(Channel {
            name: format!("hub_{axis}_m"),
            unit: "m",
            words: format!("motion of the hub against the airframe along {axis} of the shaft axes"),
        });
    }
    for sensor in &mount.sensors {
        for axis in ["x", "y", "z"] {
            all.push(Channel {
                name: format!("{}_{axis}_m_s2", sensor.name),
                unit: "m/s2",
                words: format!("acceleration of sensor {} along {axis} of the aircraft axes", sensor.name),
            });
        }
    }
    all
}

/// Number of orders told, 0 included.
#[must_use]
pub fn orders(point: &OperatingPoint) -> usize {
    (point.solver.harmonics * point.propeller.blade_count).min(point.solver.azimuths / 2 - 1) + 1
}

/// The mount in time.
struct MountInTime<'a> {
    ready: Ready<'a>,
    hub: DMatrix<f64>,
    inverse_mass: DMatrix<f64>,
    loss_as_damping: DMatrix<f64>,
    state: State,
}

/// Values over a revolution by channel: at its azimuths, and at the beginning of the next.
struct Marched {
    time_s: Vec<f64>,
    values: Vec<Vec<f64>>,
    ends: Vec<f64>,
}

/// A march ready to begin: its states are solved.
pub struct March<'a> {
    rotor: MarchingRotor,
    moving: MountInTime<'a>,
    mount: &'a Mount,
    schedule: &'a Schedule,
    orders: usize,
}

impl<'a> March<'a> {
    /// Solves the states along the schedule.
    ///
    /// # Errors
    /// [`MountError`] when a state has no answer or a matrix is singular.
    pub fn new(point: &OperatingPoint, mount: &'a Mount, schedule: &'a Schedule) -> Result<Self, MountError> {
        let rotor = MarchingRotor::new(point, schedule)?;
        let moving = MountInTime::new(point, mount, schedule)?;
        Ok(Self { rotor, moving, mount, schedule, orders: orders(point) })
    }

    /// Limits of the model that a state along the schedule passes, each once: when first, s.
    #[must_use]
    pub fn warnings(&self) -> &[(f64, Warning)] {
        &self.rotor.warnings
    }

    /// Marches along the schedule and hands each revolution to `tell`, which may end the march with an error of its own.
    ///
    /// # Errors
    /// [`MountError`] when a matrix is singular; what `tell` returns.
    pub fn run<E: From<MountError>>(self, mut tell: impl FnMut(&Told) -> Result<(), E>) -> Result<(), E> {
        let Self { mut rotor, mut moving, mount, schedule, orders } = self;
        let fourier = Fourier::new(rotor.azimuths());
        let mut number = 1;
        let mut before: Option<Swept> = None;
        let mut next = Swept::from(schedule.span_s().0, &mut rotor, schedule);
        while let Some(now) = next {
            let after = Swept::from(now.span_s.1, &mut rotor, schedule);
            let marched = moving.revolve(
                mount,
                schedule,
                &Passing { before: before.as_ref(), now: &now, after: after.as_ref() },
            )?;
            tell(&told(number, &now, marched, &fourier, orders))?;
            (before, next) = (Some(now), after);
            number += 1;
        }
        Ok(())
    }
}

/// Solves the states along the schedule and marches: [`March::new`] and [`March::run`].
///
/// # Errors
/// As both.
pub fn march<E: From<MountError>>(
    point: &OperatingPoint,
    mount: &Mount,
    schedule: &Schedule,
    tell: impl FnMut(&Told) -> Result<(), E>,
) -> Result<(), E> {
    March::new(point, mount, schedule)?.run(tell)
}

fn told(number: usize, swept: &Swept, marched: Marched, fourier: &Fourier, orders: usize) -> Told {
    let (mut amplitude, mut phase_rad, mut peak) = (Vec::new(), Vec::new(), Vec::new());
    for (channel, end) in marched.values.iter().zip(&marched.ends) {
        let steady = without_drift(channel, *end);
        let harmonics = crate::base::fourier::harmonics(&fourier.coefficients(&steady), orders);
        amplitude.push(harmonics.amplitude);
        phase_rad.push(harmonics.phase_rad);
        peak.push(channel.iter().fold(0.0, |most: f64, x| most.max(x.abs())));
    }
    let row = swept.row.clone();
    let samples = row.record.then_some((marched.time_s, marched.values));
    Told { number, time_s: swept.middle_s(), row, amplitude, phase_rad, peak, samples }
}

/// Values over a revolution less the straight line from their beginning to the `end`, the mean kept.
fn without_drift(values: &[f64], end: f64) -> Vec<f64> {
    let count = values.len() as f64;
    let drift = end - values[0];
    let line = |j: usize| drift * (j as f64 - 0.5 * (count - 1.0)) / count;
    values.iter().enumerate().map(|(j, value)| value - line(j)).collect()
}

impl<'a> MountInTime<'a> {
    fn new(point: &OperatingPoint, mount: &'a Mount, schedule: &Schedule) -> Result<Self, MountError> {
        let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
        let still = ready.dynamics(0.0, None);
        let loss_as_damping = if still.loss.norm() > 0.0 { viscous(&still)? } else { still.loss.clone() };
        let inverse_mass = still.mass.clone().try_inverse().ok_or_else(|| singular("an inertia is zero"))?;
        let state = State::at_rest(ready.system.size());
        let mut moving = Self { hub: ready.system.hub(), ready, inverse_mass, loss_as_damping, state };
        moving.begin(mount, &point_at(point, &schedule.rows[0]))?;
        Ok(moving)
    }

    fn dynamics(&self, air: &HubDerivatives, speed_rad_s: f64) -> Dynamics {
        let mut dynamics = self.ready.dynamics(speed_rad_s, Some(air));
        dynamics.damping += &self.loss_as_damping;
        dynamics.loss.fill(0.0);
        dynamics
    }

    fn carried(&self, dynamics: &Dynamics) -> Result<Carried, MountError> {
        Carried::new(&self.ready.system, dynamics, &self.hub)
            .ok_or_else(|| singular("the mean loads find nothing that holds them"))
    }

    /// One revolution.
    fn revolve(
        &mut self,
        mount: &Mount,
        schedule: &Schedule,
        passing: &Passing,
    ) -> Result<Marched, MountError> {
        let revolution = &passing.now.revolution;
        let count = revolution.hub[0].len();
        let channels = channels(mount).len();
        let mut marched = Marched {
            time_s: Vec::with_capacity(count),
            values: vec![Vec::with_capacity(count); channels],
            ends: Vec::with_capacity(channels),
        };
        let (mut now, end_s) = passing.now.span_s;
        // What holds the means is a matter of stiffness, which knows no shaft speed.
        let steady = self.dynamics(&revolution.air, passing.now.row.speed_rad_s);
        let driven = stacked(&self.hub, &self.carried(&steady)?.driven);
        for quarter in 0..QUARTERS {
            let (from, to) = (quarter * count / QUARTERS, (quarter + 1) * count / QUARTERS);
            let angle = TAU * (to - from) as f64 / count as f64;
            let until_s = if to == count { end_s } else { schedule.turned_s(now, angle).unwrap_or(end_s) };
            let step_s = (until_s - now) / (to - from) as f64;
            let speed = TAU / (count as f64 * step_s);
            let dynamics = self.dynamics(&revolution.air, speed);
            let step = Step::new(&dynamics, &self.inverse_mass, &driven, step_s)
                .ok_or_else(|| singular("a step cannot be solved"))?;
            let readings = self.readings(mount, &dynamics, &driven, &revolution.air);
            let mut before = passing.loads(mount, from, speed);
            for j in from..to {
                marched.time_s.push(now);
                for (i, load) in LOADS.iter().enumerate() {
                    marched.values[i].push(revolution.hub[*load as usize][j]);
                }
                for reading in 0..readings.len() {
                    marched.values[LOADS.len() + reading].push(readings.read(reading, &self.state, &before));
                }
                now += step_s;
                let after = passing.loads(mount, j + 1, speed);
                step.advance(&mut self.state, &before, &after);
                before = after;
            }
            if to == count {
                // The loads of a revolution are swept as those of its middle and do not drift.
                marched.ends.extend(LOADS.iter().map(|load| revolution.hub[*load as usize][0]));
                marched.ends.extend((0..readings.len()).map(|i| readings.read(i, &self.state, &before)));
            }
        }
        Ok(marched)
    }

    /// Transmitted force, motion of the hub, sensors.
    fn readings(
        &self,
        mount: &Mount,
        dynamics: &Dynamics,
        driven: &DMatrix<f64>,
        air: &HubDerivatives,
    ) -> Readings {
        let size = self.ready.system.size();
        let zero = DVector::zeros(size);
        let (c7, k7) = air.matrices();
        let (on_rate, on_shift) = (c7 * &self.hub, k7 * &self.hub);
        let mut readings = Readings::default();
        let no_load = DVector::zeros(driven.nrows());
        let mut add = |abc: [&DVector<f64>; 3], d: &DVector<f64>| {
            readings.push(dynamics, &self.inverse_mass, driven, abc, d);
        };
        for i in 0..3 {
            // What acts on the body less what accelerates it goes into the isolators.
            let mut inertia = zero.clone();
            inertia[i] = -mount.plant.mass_kg;
            let (shift, rate) = (-on_shift.row(i).transpose(), -on_rate.row(i).transpose());
            let mut along = no_load.clone();
            (along[i], along[HUB + i]) = (1.0, 1.0);
            add([&shift, &rate, &inertia], &along);
        }
        let on_airframe = self.ready.system.hub_on_airframe();
        for i in 0..3 {
            add([&on_airframe.row(i).transpose(), &zero, &zero], &no_load);
        }
        for (s, sensor) in mount.sensors.iter().enumerate() {
            let rows = match sensor.carrier {
                Carrier::Motor => self.ready.system.on_plant(&sensor.position_m),
                Carrier::Airframe => {
                    let shapes: Vec<_> = mount.modes.iter().map(|mode| mode.at_sensors[s]).collect();
                    self.ready.system.on_airframe(&sensor.position_m, &shapes)
                }
            };
            let own = sensor.axes.transpose() * rows;
            for axis in 0..3 {
                add([&zero, &zero, &own.row(axis).transpose()], &no_load);
            }
        }
        readings
    }

    /// The periodic motion in the first state at azimuth 0.
    fn begin(&mut self, mount: &Mount, point: &OperatingPoint) -> Result<(), MountError> {
        let state = LoadedState::new(point)?;
        let speed = state.loads.speed_rad_s;
        let sigma = self.ready.system.sigma;
        let unbalance = HubHarmonics::of_unbalance(
            mount.plant.rotor.unbalance_kg_m,
            0.0,
            speed,
            sigma,
            state.loads.orders.len(),
        );
        let orders: Vec<HubVector> =
            state.loads.orders.iter().zip(&unbalance.orders).map(|(a, b)| a + b).collect();
        let response = self.ready.respond(&HubHarmonics { speed_rad_s: speed, orders }, Some(&state.air))?;
        let size = self.ready.system.size();
        let means = state.loads.steady_on_body(sigma);
        let rest = self.carried(&self.dynamics(&state.air, speed))?.shift(&mean_on_body(&means));
        for i in 0..size {
            self.state.z[i] = rest[i];
            for (n, motion) in response.motion.iter().enumerate().skip(1) {
                self.state.z[i] += motion[i].re;
                self.state.z[size + i] += (motion[i] * Complex::new(0.0, n as f64 * speed)).re;
            }
        }
        Ok(())
    }
}

fn singular(reason: &str) -> MountError {
    MountError::Mass { part: "the whole system", reason: reason.into() }
}

/// Loads that move with the hub above those that are held.
fn stacked(hub: &DMatrix<f64>, held: &DMatrix<f64>) -> DMatrix<f64> {
    let mut both = DMatrix::zeros(2 * HUB, hub.ncols());
    both.rows_mut(0, HUB).copy_from(hub);
    both.rows_mut(HUB, HUB).copy_from(held);
    both
}
