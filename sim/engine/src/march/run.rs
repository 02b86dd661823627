//! The order of evaluation of a march, and what is told of each revolution.
//!
//! Revolution by revolution: airloads swept at the state of its middle; then the mount from azimuth to azimuth under them, with what its own motion
//! changes in them (slopes of the state). Time follows the azimuth: quarters of a revolution take what the schedule's shaft speed needs for them.
//!
//! The propeller's mean torque is the motor's; on an immovable base the body feels it and the mean loads, on a free airframe the means are taken to be
//! balanced by flight and are left out. One and two blades march with their mean transverse inertia; their instability is told by `mount`.

use super::rotor::{MarchingRotor, Revolution};
use super::schedule::{Row, Schedule, point_at};
use super::step::{HubLoads, Readings, State, Step};
use crate::base::fourier::Fourier;
use crate::mount::MountError;
use crate::mount::input::{Base, Carrier, Mount};
use crate::mount::loads::{HubHarmonics, HubVector};
use crate::mount::modes::Dynamics;
use crate::mount::periodic::viscous;
use crate::mount::response::Ready;
use crate::mount::scan::LoadedState;
use crate::mount::system::{ShaftRotation, System};
use crate::point::input::OperatingPoint;
use crate::point::result::HubLoad;
use nalgebra::{Complex, DMatrix, DVector};
use std::f64::consts::TAU;

/// Parts of a revolution with a step length of their own.
const QUARTERS: usize = 4;

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
    /// Amplitude by channel, then order; order 0 is the mean.
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

/// Marches along the schedule and hands each revolution to `tell`, which may end the march with an error of its own.
///
/// # Errors
/// [`MountError`] when a state has no answer or a matrix is singular; what `tell` returns.
pub fn march<E: From<MountError>>(
    point: &OperatingPoint,
    mount: &Mount,
    schedule: &Schedule,
    mut tell: impl FnMut(&Told) -> Result<(), E>,
) -> Result<(), E> {
    let mut rotor = MarchingRotor::new(point, schedule)?;
    let mut moving = MountInTime::new(point, mount, schedule)?;
    let (start, _) = schedule.span_s();
    let fourier = Fourier::new(rotor.azimuths());
    let orders = orders(point);
    let mut time_s = start;
    let mut number = 1;
    loop {
        let Some(next_s) = schedule.turned_s(time_s, TAU) else { return Ok(()) };
        let middle = 0.5 * (time_s + next_s);
        let row = schedule.at(middle);
        let revolution = rotor.revolve(schedule.place(middle), &row);
        let (times, values) = moving.revolve(mount, schedule, (time_s, next_s), &revolution)?;
        let told = told(number, middle, row, times, values, &fourier, orders);
        tell(&told)?;
        time_s = next_s;
        number += 1;
    }
}

fn told(
    number: usize,
    time_s: f64,
    row: Row,
    times: Vec<f64>,
    values: Vec<Vec<f64>>,
    fourier: &Fourier,
    orders: usize,
) -> Told {
    let (mut amplitude, mut phase_rad, mut peak) = (Vec::new(), Vec::new(), Vec::new());
    for channel in &values {
        let harmonics = crate::base::fourier::harmonics(&fourier.coefficients(channel), orders);
        amplitude.push(harmonics.amplitude);
        phase_rad.push(harmonics.phase_rad);
        peak.push(channel.iter().fold(0.0, |most: f64, x| most.max(x.abs())));
    }
    let samples = row.record.then_some((times, values));
    Told { number, time_s, row, amplitude, phase_rad, peak, samples }
}

impl<'a> MountInTime<'a> {
    fn new(point: &OperatingPoint, mount: &'a Mount, schedule: &Schedule) -> Result<Self, MountError> {
        let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
        let still = ready.dynamics(0.0, None);
        let singular = || MountError::Mass { part: "the whole system", reason: "an inertia is zero".into() };
        let loss_as_damping = if still.loss.norm() > 0.0 { viscous(&still)? } else { still.loss.clone() };
        let inverse_mass = still.mass.clone().try_inverse().ok_or_else(singular)?;
        let first = point_at(point, &schedule.rows[0]);
        let state = first_state(&ready, mount, &first)?;
        Ok(Self { hub: ready.system.hub(), ready, inverse_mass, loss_as_damping, state })
    }

    fn dynamics(&self, revolution: &Revolution, speed_rad_s: f64) -> Dynamics {
        let mut dynamics = self.ready.dynamics(speed_rad_s, Some(&revolution.air));
        dynamics.damping += &self.loss_as_damping;
        dynamics.loss.fill(0.0);
        dynamics
    }

    /// One revolution: times and channel values at its azimuths.
    fn revolve(
        &mut self,
        mount: &Mount,
        schedule: &Schedule,
        (start_s, end_s): (f64, f64),
        revolution: &Revolution,
    ) -> Result<(Vec<f64>, Vec<Vec<f64>>), MountError> {
        let count = revolution.hub[0].len();
        let means: Vec<f64> = revolution.hub.iter().map(|h| h.iter().sum::<f64>() / count as f64).collect();
        let singular =
            || MountError::Mass { part: "the whole system", reason: "a step cannot be solved".into() };
        let mut values: Vec<Vec<f64>> = vec![Vec::with_capacity(count); channels(mount).len()];
        let mut times = Vec::with_capacity(count);
        let mut now = start_s;
        for quarter in 0..QUARTERS {
            let (from, to) = (quarter * count / QUARTERS, (quarter + 1) * count / QUARTERS);
            let angle = TAU * (to - from) as f64 / count as f64;
            let until_s = if to == count { end_s } else { schedule.turned_s(now, angle).unwrap_or(end_s) };
            let step_s = (until_s - now) / (to - from) as f64;
            let speed = TAU / (count as f64 * step_s);
            let dynamics = self.dynamics(revolution, speed);
            let step = Step::new(&dynamics, &self.inverse_mass, &self.hub, step_s).ok_or_else(singular)?;
            let readings = self.readings(mount, &dynamics, revolution);
            let load = |j: usize| hub_loads(mount, revolution, &means, j % count, count, speed);
            let mut before = load(from);
            for j in from..to {
                times.push(now);
                for (i, load) in LOADS.iter().enumerate() {
                    values[i].push(revolution.hub[*load as usize][j]);
                }
                for reading in 0..readings.len() {
                    values[LOADS.len() + reading].push(readings.read(reading, &self.state, &before));
                }
                let after = load(j + 1);
                step.advance(&mut self.state, &before, &after);
                before = after;
                now += step_s;
            }
        }
        Ok((times, values))
    }

    /// Transmitted force, motion of the hub, sensors.
    fn readings(&self, mount: &Mount, dynamics: &Dynamics, revolution: &Revolution) -> Readings {
        let size = self.ready.system.size();
        let zero = DVector::zeros(size);
        let (c7, k7) = revolution.air.matrices();
        let (on_rate, on_shift) = (c7 * &self.hub, k7 * &self.hub);
        let mut readings = Readings::default();
        let mut add = |abc: [&DVector<f64>; 3], d: [f64; 7]| {
            readings.push(dynamics, &self.inverse_mass, &self.hub, abc, d);
        };
        for i in 0..3 {
            // What acts on the body less what accelerates it goes into the isolators.
            let mut inertia = zero.clone();
            inertia[i] = -mount.plant.mass_kg;
            let (shift, rate) = (-on_shift.row(i).transpose(), -on_rate.row(i).transpose());
            add([&shift, &rate, &inertia], std::array::from_fn(|k| f64::from(u8::from(k == i))));
        }
        let on_airframe = self.ready.system.hub_on_airframe();
        for i in 0..3 {
            add([&on_airframe.row(i).transpose(), &zero, &zero], [0.0; 7]);
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
                add([&zero, &zero, &own.row(axis).transpose()], [0.0; 7]);
            }
        }
        readings
    }
}

/// Loads at an azimuth on the hub's seven coordinates, unbalance along blade 1 included.
fn hub_loads(
    mount: &Mount,
    revolution: &Revolution,
    means: &[f64],
    j: usize,
    count: usize,
    speed: f64,
) -> HubLoads {
    let free = matches!(mount.base, Base::Free(_));
    let at = |load: HubLoad| {
        let mean = if free { means[load as usize] } else { 0.0 };
        revolution.hub[load as usize][j] - mean
    };
    let sigma = revolution.air.sigma;
    let (sin, cos) = (TAU * j as f64 / count as f64).sin_cos();
    let unbalance = mount.plant.rotor.unbalance_kg_m * speed * speed;
    let torque = revolution.hub[HubLoad::Torque as usize][j] - means[HubLoad::Torque as usize];
    [
        -at(HubLoad::Thrust),
        at(HubLoad::SideForce) + sigma * unbalance * sin,
        at(HubLoad::VerticalForce) + unbalance * cos,
        if free { 0.0 } else { sigma * means[HubLoad::Torque as usize] },
        at(HubLoad::PitchingMoment),
        -at(HubLoad::YawingMoment),
        -torque,
    ]
}

/// The periodic motion of the first state at azimuth 0.
fn first_state(ready: &Ready, mount: &Mount, point: &OperatingPoint) -> Result<State, MountError> {
    let state = LoadedState::new(point)?;
    let speed = state.loads.speed_rad_s;
    let rotor = &mount.plant.rotor;
    let unbalance =
        HubHarmonics::of_unbalance(rotor.unbalance_kg_m, speed, ready.system.sigma, state.loads.orders.len());
    let orders: Vec<HubVector> =
        state.loads.orders.iter().zip(&unbalance.orders).map(|(a, b)| a + b).collect();
    let response = ready.respond(&HubHarmonics { speed_rad_s: speed, orders }, Some(&state.air))?;
    let size = ready.system.size();
    let mut first = State::at_rest(size);
    for (n, motion) in response.motion.iter().enumerate() {
        if n == 0 && matches!(mount.base, Base::Free(_)) {
            continue;
        }
        for i in 0..size {
            first.z[i] += motion[i].re;
            first.z[size + i] += (motion[i] * Complex::new(0.0, n as f64 * speed)).re;
        }
    }
    Ok(first)
}
