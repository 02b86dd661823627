//! What shakes at one steady state, channel by channel.
//!
//! The airloads have phases; where the unbalance points is unknown, so its part is added in amplitude: the worst of all directions. Three
//! and more blades answer alike in all of them. One and two have a transverse inertia that turns with them ([`super::periodic`]), so that it
//! matters how the unbalance lies to the blade: the answer is found along the blade and square to it, and each amplitude is the
//! greatest over the directions between. Each order and channel has its own worst direction.

use super::aero::HubDerivatives;
use super::error::MountError;
use super::loads::HubHarmonics;
use super::response::Ready;
use nalgebra::Complex;
use std::f64::consts::FRAC_PI_2;

type C64 = Complex<f64>;

/// A quantity that is told for every order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Channel {
    /// Force on the foot of an isolator along its own axis, N: isolator, axis.
    Isolator(usize, usize),
    /// Force, N, or moment about the hub, N m, on the airframe in shaft axes: x, y, z, then about x, y, z.
    Transmitted(usize),
    /// Motion of the hub in shaft axes: m along x, y, z, then rad about x, y, z, then the propeller's angle about its spin axis.
    Hub(usize),
    /// Acceleration of a sensor along an aircraft axis, m/s²: sensor, axis.
    Sensor(usize, usize),
    /// Torque of the motor on its stator above the mean, N m.
    MotorTorque,
    /// Aerodynamic torque on the propeller, N m.
    Torque,
}

/// Amplitudes of all channels.
#[derive(Debug, Clone)]
pub struct Shaking {
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Channels.
    pub channels: Vec<Channel>,
    /// Complex amplitude under the airloads: by channel, then by order from 0.
    pub air: Vec<Vec<C64>>,
    /// Amplitude under the unbalance in its worst direction, in the same places.
    pub unbalance: Vec<Vec<f64>>,
}

impl Shaking {
    /// Responds to airloads and unbalance.
    ///
    /// # Errors
    /// [`MountError::UndampedResonance`] where an order meets an undamped mode.
    pub fn new(
        ready: &Ready,
        loads: &HubHarmonics,
        air: Option<&HubDerivatives>,
    ) -> Result<Self, MountError> {
        let rotor = &ready.mount.plant.rotor;
        let channels = channels(ready);
        let of_air = amplitudes(ready, loads, air, &channels)?;
        let of_unbalance = if rotor.unbalance_kg_m > 0.0 {
            let towards = |ahead_rad: f64| {
                let unbalance = HubHarmonics::of_unbalance(
                    rotor.unbalance_kg_m,
                    ahead_rad,
                    loads.speed_rad_s,
                    ready.system.sigma,
                    loads.orders.len(),
                );
                amplitudes(ready, &unbalance, air, &channels)
            };
            let (along, across) = (towards(0.0)?, towards(FRAC_PI_2)?);
            along.iter().zip(&across).map(|(along, across)| worst_of_directions(along, across)).collect()
        } else {
            vec![vec![0.0; loads.orders.len()]; channels.len()]
        };
        Ok(Self { speed_rad_s: loads.speed_rad_s, channels, air: of_air, unbalance: of_unbalance })
    }

    fn place(&self, channel: Channel) -> Option<usize> {
        self.channels.iter().position(|c| *c == channel)
    }

    /// Number of orders, 0 included.
    #[must_use]
    pub fn orders(&self) -> usize {
        self.air.first().map_or(0, Vec::len)
    }

    /// Amplitude of a channel at an order, unbalance in its worst direction; the signed mean at order 0.
    #[must_use]
    pub fn amplitude(&self, channel: Channel, order: usize) -> f64 {
        let Some(place) = self.place(channel) else { return 0.0 };
        match (self.air[place].get(order), self.unbalance[place].get(order)) {
            (Some(a), _) if order == 0 => a.re,
            (Some(a), Some(u)) => a.norm() + u,
            _ => 0.0,
        }
    }

    /// Root mean square of a channel without its mean.
    #[must_use]
    pub fn rms(&self, channel: Channel) -> f64 {
        (1..self.orders()).map(|n| 0.5 * self.amplitude(channel, n).powi(2)).sum::<f64>().sqrt()
    }

    /// Root mean square of the vector of some channels.
    #[must_use]
    pub fn rms_of(&self, channels: impl Iterator<Item = Channel>) -> f64 {
        channels.map(|c| self.rms(c).powi(2)).sum::<f64>().sqrt()
    }

    /// Sum of the amplitudes of all orders from 1: no peak is larger.
    #[must_use]
    pub fn peak_bound(&self, channel: Channel) -> f64 {
        (1..self.orders()).map(|n| self.amplitude(channel, n)).sum()
    }

    /// Root mean square of the force on the airframe.
    #[must_use]
    pub fn transmitted_rms_n(&self) -> f64 {
        self.rms_of((0..3).map(Channel::Transmitted))
    }

    /// Root mean square of the acceleration of a sensor, all axes.
    #[must_use]
    pub fn sensor_rms_m_s2(&self, sensor: usize) -> f64 {
        self.rms_of((0..3).map(|axis| Channel::Sensor(sensor, axis)))
    }

    /// The order with the largest part of the force on the airframe.
    #[must_use]
    pub fn leading_order(&self) -> usize {
        let size = |n: usize| (0..3).map(|i| self.amplitude(Channel::Transmitted(i), n).powi(2)).sum::<f64>();
        (1..self.orders()).max_by(|a, b| size(*a).total_cmp(&size(*b))).unwrap_or(1)
    }

    /// Bounds of the motion of a blade tip along the shaft and square to it, m, without the mean.
    #[must_use]
    pub fn tip_motion_m(&self, radius_m: f64) -> (f64, f64) {
        let at = |i: usize, n: usize| self.amplitude(Channel::Hub(i), n);
        let along = (1..self.orders()).map(|n| at(0, n) + radius_m * at(4, n).hypot(at(5, n))).sum();
        let across = (1..self.orders()).map(|n| at(1, n).hypot(at(2, n))).sum();
        (along, across)
    }
}

/// Greatest amplitude by order over all directions of what turns, from those along two directions square to each other.
///
/// Of a cos θ + b sin θ, |·|² = (|a|² + |b|²)/2 + (|a|² − |b|²)/2 cos 2θ + Re(a b*) sin 2θ.
fn worst_of_directions(along: &[C64], across: &[C64]) -> Vec<f64> {
    let worst = |(a, b): (&C64, &C64)| {
        let (sum, difference) = (a.norm_sqr() + b.norm_sqr(), a.norm_sqr() - b.norm_sqr());
        (0.5 * sum + (0.5 * difference).hypot((a * b.conj()).re)).sqrt()
    };
    along.iter().zip(across).map(worst).collect()
}

/// All channels of a mount, in the order they are told.
fn channels(ready: &Ready) -> Vec<Channel> {
    let isolators =
        (0..ready.mount.isolators.len()).flat_map(|i| (0..3).map(move |axis| Channel::Isolator(i, axis)));
    let sensors =
        (0..ready.mount.sensors.len()).flat_map(|i| (0..3).map(move |axis| Channel::Sensor(i, axis)));
    isolators
        .chain((0..6).map(Channel::Transmitted))
        .chain((0..7).map(Channel::Hub))
        .chain(sensors)
        .chain([Channel::MotorTorque, Channel::Torque])
        .collect()
}

fn amplitudes(
    ready: &Ready,
    loads: &HubHarmonics,
    air: Option<&HubDerivatives>,
    channels: &[Channel],
) -> Result<Vec<Vec<C64>>, MountError> {
    let response = ready.respond(loads, air)?;
    let mut all = vec![vec![C64::default(); loads.orders.len()]; channels.len()];
    for (n, motion) in response.motion.iter().enumerate() {
        let frequency = n as f64 * loads.speed_rad_s;
        let forces = ready.isolator_forces(motion, frequency);
        let transmitted = ready.transmitted(&forces);
        let hub = ready.hub_motion_on_airframe(motion);
        let sensors = ready.sensor_accelerations(motion, frequency);
        // The mean torque passes in full.
        let torque = -loads.orders[n][6];
        let motor = if n == 0 { torque } else { ready.motor_torque(motion, frequency) };
        for (channel, row) in channels.iter().zip(&mut all) {
            row[n] = match *channel {
                Channel::Isolator(i, axis) => forces[i][axis],
                Channel::Transmitted(i) => transmitted[i],
                Channel::Hub(i) => hub[i],
                Channel::Sensor(i, axis) => sensors[i][axis],
                Channel::MotorTorque => motor,
                Channel::Torque => torque,
            };
        }
    }
    Ok(all)
}
