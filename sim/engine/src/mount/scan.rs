//! Airloads against shaft speed and angle of attack, and the response along them.

use super::aero::{BladeInAir, HubDerivatives};
use super::error::MountError;
use super::input::Mount;
use super::loads::{HubHarmonics, HubVector, axial_wind_m_s};
use super::modes::{MOST_ITERATIONS, Mode, UnitMass, in_words};
use super::periodic::Turning;
use super::response::Ready;
use super::shaking::Shaking;
use super::system::{ShaftRotation, System};
use super::whirl::bench;
use crate::base::pchip::Pchip;
use crate::point::input::OperatingPoint;
use crate::point::result::PointResult;
use crate::point::{Kept, PointError, solve_once_keeping};
use nalgebra::{Complex, DMatrix, SymmetricEigen};
use rayon::prelude::*;

/// Frequency of a shape's strain over the least natural one below which nothing of the mount moves.
const STRAINED: f64 = 0.1;

/// Square of a natural frequency over the largest below which it is round-off of a free motion.
const ROUND_OFF: f64 = 1e-12;

/// Growth that round-off of the multipliers stands well below, 1/s: by e in a hundred seconds.
pub(super) const LEAST_GROWTH_PER_S: f64 = 0.01;

/// Airloads of one state and their slopes.
#[derive(Debug, Clone)]
pub struct LoadedState {
    /// The operating point's answer.
    pub result: PointResult,
    /// Hub loads by order.
    pub loads: HubHarmonics,
    /// Slopes by the motion of the hub.
    pub air: HubDerivatives,
}

impl LoadedState {
    /// Solves a point.
    ///
    /// # Errors
    /// [`PointError`] when the point has no answer.
    pub fn new(point: &OperatingPoint) -> Result<Self, PointError> {
        Self::keeping(point, &mut Kept::default())
    }

    /// As [`Self::new`], with what earlier points left.
    fn keeping(point: &OperatingPoint, kept: &mut Kept) -> Result<Self, PointError> {
        let result = solve_once_keeping(point, kept)?;
        let loads = HubHarmonics::of_point(&result, point.propeller.speed_rad_s);
        let air = HubDerivatives::loaded(&BladeInAir::new(point), &result, axial_wind_m_s(point));
        Ok(Self { result, loads, air })
    }
}

/// Airloads as smooth curves over shaft speed.
pub struct LoadCurves {
    orders: usize,
    curves: Vec<Pchip>,
    slopes: Vec<Pchip>,
    sigma: f64,
    axial_wind_m_s: f64,
}

impl LoadCurves {
    /// Solves the point at evenly spaced shaft speeds, airspeed and attitude held; speeds without an answer are left out and told.
    ///
    /// # Errors
    /// The first [`PointError`] when fewer than two speeds have an answer.
    pub fn new(point: &OperatingPoint, mount: &Mount) -> Result<(Self, Vec<String>), MountError> {
        let scan = &mount.scan;
        let step = (scan.to_rad_s - scan.from_rad_s) / (scan.load_speeds as f64 - 1.0).max(1.0);
        let solved: Vec<(f64, Result<LoadedState, PointError>)> = (0..scan.load_speeds)
            .into_par_iter()
            .map_init(Kept::default, |kept, i| {
                let speed = scan.from_rad_s + step * i as f64;
                let mut at = point.clone();
                at.propeller.speed_rad_s = speed;
                (speed, LoadedState::keeping(&at, kept))
            })
            .collect();
        let mut lost = Vec::new();
        let mut states = Vec::new();
        let mut failure = None;
        for (speed, state) in solved {
            match state {
                Ok(state) => states.push((speed, state)),
                Err(error) => {
                    let rpm = speed * 60.0 / std::f64::consts::TAU;
                    lost.push(format!("no airloads at {rpm:.0} rpm: {error}"));
                    failure = Some(error);
                }
            }
        }
        if let (true, Some(error)) = (states.len() < 2, failure) {
            return Err(error.into());
        }
        Ok((Self::of_states(&states), lost))
    }

    fn of_states(states: &[(f64, LoadedState)]) -> Self {
        let speeds: Vec<f64> = states.iter().map(|(speed, _)| *speed).collect();
        let curve = |value: &dyn Fn(&LoadedState) -> f64| {
            Pchip::new(speeds.clone(), states.iter().map(|(_, state)| value(state)).collect())
        };
        let orders = states.iter().map(|(_, s)| s.loads.orders.len()).min().unwrap_or(0);
        let mut curves = Vec::with_capacity(14 * orders);
        for n in 0..orders {
            for i in 0..7 {
                curves.push(curve(&|s| s.loads.orders[n][i].re));
                curves.push(curve(&|s| s.loads.orders[n][i].im));
            }
        }
        let slopes = (0..SLOPES).map(|i| curve(&|s| slope(&s.air, i))).collect();
        let first = &states[0].1.air;
        Self { orders, curves, slopes, sigma: first.sigma, axial_wind_m_s: first.axial_wind_m_s }
    }

    /// Hub loads and slopes at a shaft speed.
    #[must_use]
    pub fn at(&self, speed_rad_s: f64) -> (HubHarmonics, HubDerivatives) {
        let orders = (0..self.orders)
            .map(|n| {
                HubVector::from_fn(|i, _| {
                    let place = 2 * (7 * n + i);
                    Complex::new(self.curves[place].at(speed_rad_s), self.curves[place + 1].at(speed_rad_s))
                })
            })
            .collect();
        let s: Vec<f64> = self.slopes.iter().map(|curve| curve.at(speed_rad_s)).collect();
        let air = HubDerivatives {
            force_by_wind_n_s_m: s[0],
            force_by_rate_n_s: s[1],
            moment_by_wind_n_s: s[2],
            moment_by_rate_n_m_s: s[3],
            thrust_by_speed_n_s_m: s[4],
            thrust_by_spin_n_s: s[5],
            torque_by_speed_n_s: s[6],
            torque_by_spin_n_m_s: s[7],
            thrust_n: s[8],
            torque_n_m: s[9],
            axial_wind_m_s: self.axial_wind_m_s,
            sigma: self.sigma,
        };
        (HubHarmonics { speed_rad_s, orders }, air)
    }
}

const SLOPES: usize = 10;

fn slope(air: &HubDerivatives, index: usize) -> f64 {
    [
        air.force_by_wind_n_s_m,
        air.force_by_rate_n_s,
        air.moment_by_wind_n_s,
        air.moment_by_rate_n_m_s,
        air.thrust_by_speed_n_s_m,
        air.thrust_by_spin_n_s,
        air.torque_by_speed_n_s,
        air.torque_by_spin_n_m_s,
        air.thrust_n,
        air.torque_n_m,
    ][index]
}

/// A mode in figures and words.
#[derive(Debug, Clone, PartialEq)]
pub struct ModeLine {
    /// Frequency, Hz.
    pub frequency_hz: f64,
    /// Damping ratio; negative grows.
    pub damping_ratio: f64,
    /// Sense of circling of the shaft: +1 forward, −1 backward, 0 along a line.
    pub whirl: f64,
    /// What moves.
    pub words: String,
}

/// Finds the modes of a mount.
pub struct MountModes<'a> {
    ready: &'a Ready<'a>,
    least_natural_rad_s: f64,
}

impl<'a> MountModes<'a> {
    /// Of a mount with its matrices.
    ///
    /// # Errors
    /// [`MountError`] when a mass is not positive or the iterations do not suffice.
    pub fn new(ready: &'a Ready<'a>) -> Result<Self, MountError> {
        Ok(Self { ready, least_natural_rad_s: least_natural_frequency_rad_s(&ready.system)? })
    }

    /// Modes with rotation and, where given, air.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn lines(&self, speed_rad_s: f64, air: Option<&HubDerivatives>) -> Result<Vec<ModeLine>, MountError> {
        let dynamics = self.ready.dynamics(speed_rad_s, air);
        let (modes, _) = dynamics.modes()?;
        let line = |mode: &Mode| ModeLine {
            frequency_hz: mode.frequency_hz(),
            damping_ratio: mode.damping_ratio(),
            whirl: mode.whirl(self.ready.system.sigma),
            words: in_words(&dynamics.mass, &mode.shape),
        };
        Ok(modes.iter().filter(|mode| self.strains(mode)).map(line).collect())
    }

    /// Whether a mode strains a spring: flight of the free airframe and drift of the rotor do not, and are no modes of the mount.
    ///
    /// By the frequency that the strain of its shape would have with the inertia of its shape, √(qᴴKq/qᴴMq) without air and rotation,
    /// over the least natural frequency at rest. Rotation may drive a whirl far from its frequency at rest, but its shape strains the
    /// isolators all the same; a free body in slow motion of frequency f strains them by (f/f₁)².
    fn strains(&self, mode: &Mode) -> bool {
        let of = |matrix: &DMatrix<f64>| {
            (mode.shape.adjoint() * matrix.map(|x| Complex::new(x, 0.0)) * &mode.shape)[0].re
        };
        let system = &self.ready.system;
        of(&system.stiffness) > (STRAINED * self.least_natural_rad_s).powi(2) * of(&system.mass)
    }
}

/// The least natural frequency at rest, without damping, that belongs to a spring; 0 without springs.
fn least_natural_frequency_rad_s(system: &System) -> Result<f64, MountError> {
    let stiffness = UnitMass::new(&system.mass)?.of(&system.stiffness)?;
    let squares = SymmetricEigen::try_new(stiffness, f64::EPSILON, MOST_ITERATIONS)
        .ok_or(MountError::Eigenvalues)?
        .eigenvalues;
    let largest = squares.max();
    let springs = squares.iter().copied().filter(|square| *square > ROUND_OFF * largest);
    Ok(springs.reduce(f64::min).map_or(0.0, f64::sqrt))
}

/// The state at one shaft speed of the scan.
#[derive(Debug, Clone)]
pub struct SpeedState {
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Modes by frequency.
    pub modes: Vec<ModeLine>,
    /// What shakes.
    pub shaking: Shaking,
    /// One and two blades: growth of the fastest growing motion on an immovable base, 1/s; `None` where it grows as fast without the
    /// turning inertia.
    pub turning_growth_per_s: Option<f64>,
}

/// Looks through the shaft speeds.
///
/// # Errors
/// [`MountError`] where an order meets an undamped mode exactly.
pub fn scan_speeds(mount: &Mount, curves: &LoadCurves) -> Result<Vec<SpeedState>, MountError> {
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
    let modes = MountModes::new(&ready)?;
    let still = bench(mount);
    let held = Ready::new(&still, System::new(&still, ShaftRotation::Locked));
    let scan = &mount.scan;
    let step = (scan.to_rad_s - scan.from_rad_s) / (scan.speeds as f64 - 1.0).max(1.0);
    (0..scan.speeds)
        .into_par_iter()
        .map(|i| {
            let speed_rad_s = scan.from_rad_s + step * i as f64;
            let (loads, air) = curves.at(speed_rad_s);
            let turning_growth_per_s = (held.system.difference_kg_m2 != 0.0)
                .then(|| turning_growth_per_s(&held, speed_rad_s, &air))
                .transpose()?
                .flatten();
            Ok(SpeedState {
                speed_rad_s,
                modes: modes.lines(speed_rad_s, Some(&air))?,
                shaking: Shaking::new(&ready, &loads, Some(&air))?,
                turning_growth_per_s,
            })
        })
        .collect()
}

/// Growth that the turning inertia makes, 1/s; `None` where motion grows without it as fast, as a shaft held to its speed in a stream that
/// drives it does.
fn turning_growth_per_s(
    held: &Ready,
    speed_rad_s: f64,
    air: &HubDerivatives,
) -> Result<Option<f64>, MountError> {
    let growth_with = |difference_kg_m2: f64| {
        let dynamics = held.dynamics(speed_rad_s, Some(air));
        Turning::new(dynamics, difference_kg_m2, 4, held.system.sigma, speed_rad_s)?.growth()
    };
    let growth = growth_with(held.system.difference_kg_m2)?;
    let made = growth <= 0.0 || growth > growth_with(0.0)? + LEAST_GROWTH_PER_S;
    Ok(made.then_some(growth))
}

/// What shakes at one angle of attack.
#[derive(Debug, Clone)]
pub struct AngleState {
    /// Angle of attack, rad.
    pub angle_rad: f64,
    /// What shakes; `None` where the point has no answer.
    pub shaking: Option<Shaking>,
}

/// Looks through angles of attack about that of the point, at its speed.
///
/// # Errors
/// [`MountError`] where an order meets an undamped mode exactly.
pub fn scan_angles(point: &OperatingPoint, mount: &Mount) -> Result<Vec<AngleState>, MountError> {
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
    mount
        .scan
        .angle_steps_rad
        .par_iter()
        .map(|step| {
            let mut at = point.clone();
            at.flight.angle_of_attack_rad += step;
            let shaking = match LoadedState::new(&at) {
                Ok(state) => Some(Shaking::new(&ready, &state.loads, Some(&state.air))?),
                Err(_) => None,
            };
            Ok(AngleState { angle_rad: at.flight.angle_of_attack_rad, shaking })
        })
        .collect()
}
