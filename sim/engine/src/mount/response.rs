//! Steady vibration under the loads of each order, and what the isolators, the airframe and the sensors feel of it.
//!
//! At order n with ω = nΩ: (−ω² M + iω(C + ΩG) + K + iL) q = f. Three and more even blades: each order by itself. One and two
//! blades: orders two apart are tied by the turning inertia; see [`super::periodic`]. Order 0 is the shift under the mean
//! loads with the base held; the weight is left out.

use super::aero::{HubDerivatives, Matrix7};
use super::error::MountError;
use super::input::{Carrier, Mount};
use super::loads::HubHarmonics;
use super::modes::{Dynamics, in_words};
use super::periodic;
use super::system::{PLANT, System, cross};
use crate::base::Vec3;
use nalgebra::{Complex, DMatrix, DVector};

type C64 = Complex<f64>;

/// Pivot over the largest below which a system counts as singular; round-off of a solve is 1e-16 times its condition.
const SINGULAR: f64 = 1e-11;

/// A mount made ready: matrices without air.
#[derive(Debug, Clone)]
pub struct Ready<'a> {
    /// What it was made from.
    pub mount: &'a Mount,
    /// Matrices.
    pub system: System,
    hub: DMatrix<f64>,
    hub_on_airframe: DMatrix<f64>,
}

/// Motion by order, and the state it belongs to.
#[derive(Debug, Clone)]
pub struct Response {
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Coordinates by order from 0.
    pub motion: Vec<DVector<C64>>,
}

impl<'a> Ready<'a> {
    /// Assembles the matrices.
    #[must_use]
    pub fn new(mount: &'a Mount, system: System) -> Self {
        let (hub, hub_on_airframe) = (system.hub(), system.hub_on_airframe());
        Self { mount, system, hub, hub_on_airframe }
    }

    /// All matrices at a shaft speed, with airloads where given.
    #[must_use]
    pub fn dynamics(&self, speed_rad_s: f64, air: Option<&HubDerivatives>) -> Dynamics {
        let system = &self.system;
        let mut dynamics = Dynamics {
            mass: system.mass.clone(),
            damping: &system.damping + &system.gyroscopic * speed_rad_s,
            stiffness: system.stiffness.clone(),
            loss: system.loss.clone(),
        };
        if let Some(air) = air {
            let (c, k) = air.matrices();
            dynamics.damping += self.at_hub(&c);
            dynamics.stiffness += self.at_hub(&k);
            self.add_following(&mut dynamics.stiffness, air);
        }
        dynamics
    }

    fn at_hub(&self, matrix: &Matrix7) -> DMatrix<f64> {
        self.hub.transpose() * matrix * &self.hub
    }

    /// Arms turn with the body: the steady thrust at the hub and the isolator forces that hold it change their moments
    /// by (θ × a) × F.
    fn add_following(&self, stiffness: &mut DMatrix<f64>, air: &HubDerivatives) {
        let centre = self.mount.plant.centre_of_gravity_m;
        let thrust = Vec3::new(-air.thrust_n, 0.0, 0.0);
        let mut add = |arm: Vec3, force: Vec3| {
            // (θ × a) × F = [F]× [a]× θ, which is a load and so enters the stiffness with a minus.
            let turned = cross(&force) * cross(&arm);
            for i in 0..3 {
                for j in 0..3 {
                    stiffness[(3 + i, 3 + j)] -= turned[(i, j)];
                }
            }
        };
        add(-centre, thrust);
        let steady = [-air.thrust_n, 0.0, 0.0, air.sigma * air.torque_n_m, 0.0, 0.0];
        if let Some(shift) = self.held_shift(&steady) {
            for (isolator, rows) in self.system.isolators() {
                let own = rows.columns(0, PLANT) * &shift;
                let force = -(isolator.axes * Vec3::from_fn(|i, _| isolator.stiffness_n_m[i] * own[i]));
                add(isolator.position_m - centre, force);
            }
        }
    }

    /// Shift of the powerplant under loads at the hub with the base held: the isolators alone hold it. The drive's own spring stands
    /// between body and rotor, and the torque it holds is among the loads.
    fn held_shift(&self, at_hub: &[f64; 6]) -> Option<DVector<f64>> {
        let load = DVector::from_column_slice(at_hub);
        let to_hub = self.hub.view((0, 0), (6, PLANT)).into_owned();
        let mut stiffness = DMatrix::zeros(PLANT, PLANT);
        for (isolator, rows) in self.system.isolators() {
            for (axis, k) in isolator.stiffness_n_m.iter().enumerate() {
                let row = rows.view((axis, 0), (1, PLANT));
                stiffness += row.transpose() * row * *k;
            }
        }
        stiffness.lu().solve(&(to_hub.transpose() * load))
    }

    /// Motion by order under given hub loads.
    ///
    /// # Errors
    /// [`MountError::UndampedResonance`] where an order meets an undamped mode.
    pub fn respond(
        &self,
        loads: &HubHarmonics,
        air: Option<&HubDerivatives>,
    ) -> Result<Response, MountError> {
        let dynamics = self.dynamics(loads.speed_rad_s, air);
        let size = self.system.size();
        let mut motion = vec![DVector::zeros(size); loads.orders.len()];
        if let Some(shift) = self.held_shift(&loads.steady_on_body(self.system.sigma)) {
            for (i, value) in shift.iter().enumerate() {
                motion[0][i] = C64::new(*value, 0.0);
            }
        }
        let forces: Vec<DVector<C64>> =
            loads.orders.iter().map(|load| self.hub.map(|x| C64::new(x, 0.0)).transpose() * load).collect();
        let tied = self.system.difference_kg_m2 != 0.0;
        if tied {
            let solved = periodic::respond(&dynamics, &self.system, loads.speed_rad_s, &forces)
                .map_err(|order| self.resonance(&dynamics, order, loads.speed_rad_s))?;
            for (n, q) in solved.into_iter().enumerate().skip(1) {
                motion[n] = q;
            }
        } else {
            for n in 1..loads.orders.len() {
                let s = C64::new(0.0, n as f64 * loads.speed_rad_s);
                motion[n] = solve_scaled(&dynamics, s, &forces[n])
                    .ok_or_else(|| self.resonance(&dynamics, n, loads.speed_rad_s))?;
            }
        }
        Ok(Response { speed_rad_s: loads.speed_rad_s, motion })
    }

    fn resonance(&self, dynamics: &Dynamics, order: usize, speed_rad_s: f64) -> MountError {
        let frequency_hz = order as f64 * speed_rad_s / std::f64::consts::TAU;
        let nearest = dynamics.modes().ok().and_then(|(modes, _)| {
            modes.into_iter().min_by(|a, b| {
                (a.frequency_hz() - frequency_hz).abs().total_cmp(&(b.frequency_hz() - frequency_hz).abs())
            })
        });
        let motion =
            nearest.map_or_else(|| "unknown motion".into(), |mode| in_words(&dynamics.mass, &mode.shape));
        MountError::UndampedResonance {
            order,
            speed_rpm: speed_rad_s * 60.0 / std::f64::consts::TAU,
            frequency_hz,
            motion,
        }
    }

    /// Force on the foot of each isolator along its own axes, by isolator and axis, for a motion at frequency ω.
    #[must_use]
    pub fn isolator_forces(&self, motion: &DVector<C64>, frequency_rad_s: f64) -> Vec<[C64; 3]> {
        let each = self.system.isolators().map(|(isolator, rows)| {
            std::array::from_fn(|axis| {
                let shift: C64 = rows.row(axis).iter().zip(motion.iter()).map(|(r, q)| q * *r).sum();
                let k = isolator.stiffness_n_m[axis];
                let quarter = frequency_rad_s * isolator.damping_n_s_m[axis]
                    + if frequency_rad_s > 0.0 { k * isolator.loss_factor[axis] } else { 0.0 };
                shift * C64::new(k, quarter)
            })
        });
        each.collect()
    }

    /// Sum of the isolator forces on the base: force and moment about the hub, shaft axes.
    #[must_use]
    pub fn transmitted(&self, forces: &[[C64; 3]]) -> [C64; 6] {
        let mut sum = [C64::default(); 6];
        for ((isolator, _), own) in self.system.isolators().zip(forces) {
            let force: [C64; 3] =
                std::array::from_fn(|i| (0..3).map(|axis| own[axis] * isolator.axes[(i, axis)]).sum());
            let p = isolator.position_m;
            let moment = [
                force[2] * p.y - force[1] * p.z,
                force[0] * p.z - force[2] * p.x,
                force[1] * p.x - force[0] * p.y,
            ];
            for i in 0..3 {
                sum[i] += force[i];
                sum[3 + i] += moment[i];
            }
        }
        sum
    }

    /// Shift, rotation and rotor angle at the hub.
    #[must_use]
    pub fn hub_motion(&self, motion: &DVector<C64>) -> [C64; 7] {
        seven(&self.hub, motion)
    }

    /// Shift, rotation and rotor angle at the hub against the rigid airframe.
    #[must_use]
    pub fn hub_motion_on_airframe(&self, motion: &DVector<C64>) -> [C64; 7] {
        seven(&self.hub_on_airframe, motion)
    }

    /// Torque of the motor on its stator at frequency ω, above its mean.
    #[must_use]
    pub fn motor_torque(&self, motion: &DVector<C64>, frequency_rad_s: f64) -> C64 {
        let drive = &self.mount.plant.drive;
        let angle: C64 = self.system.motor_angle().iter().zip(motion.iter()).map(|(r, q)| q * *r).sum();
        // More speed, less torque: a falling line gives −k_m times the rate.
        -angle * C64::new(drive.angle_gain_n_m, frequency_rad_s * drive.torque_slope_n_m_s)
    }

    /// Acceleration of each sensor along aircraft axes at frequency ω.
    #[must_use]
    pub fn sensor_accelerations(&self, motion: &DVector<C64>, frequency_rad_s: f64) -> Vec<[C64; 3]> {
        let square = -frequency_rad_s * frequency_rad_s;
        let each = self.mount.sensors.iter().enumerate().map(|(i, sensor)| {
            let rows = match sensor.carrier {
                Carrier::Motor => self.system.on_plant(&sensor.position_m),
                Carrier::Airframe => {
                    let shapes: Vec<Vec3> = self.mount.modes.iter().map(|mode| mode.at_sensors[i]).collect();
                    self.system.on_airframe(&sensor.position_m, &shapes)
                }
            };
            let own = (sensor.axes.transpose() * rows).map(|x| C64::new(x, 0.0)) * motion;
            std::array::from_fn(|axis| own[axis] * square)
        });
        each.collect()
    }

    /// Transmitted over applied load in the same direction, for a force or moment at the hub, direction 0 to 5, at frequency ω and
    /// shaft speed Ω.
    #[must_use]
    pub fn transmissibility(&self, dynamics: &Dynamics, direction: usize, frequency_rad_s: f64) -> f64 {
        let load = DVector::from_fn(self.system.size(), |j, _| C64::new(self.hub[(direction, j)], 0.0));
        let s = C64::new(0.0, frequency_rad_s);
        match solve_scaled(dynamics, s, &load) {
            Some(motion) => {
                let forces = self.isolator_forces(&motion, frequency_rad_s);
                self.transmitted(&forces)[direction].norm()
            }
            None => f64::INFINITY,
        }
    }
}

/// Motion of the hub's seven coordinates.
fn seven(hub: &DMatrix<f64>, motion: &DVector<C64>) -> [C64; 7] {
    let all = hub.map(|x| C64::new(x, 0.0)) * motion;
    std::array::from_fn(|i| all[i])
}

/// Solves (s² M + s C + K + iL) q = f in coordinates of unit mass; `None` where that is singular.
fn solve_scaled(dynamics: &Dynamics, s: C64, force: &DVector<C64>) -> Option<DVector<C64>> {
    let scale = unit_mass(&dynamics.mass);
    let size = scale.len();
    let full = dynamics.at_root(s);
    let matrix = DMatrix::from_fn(size, size, |i, j| full[(i, j)] * scale[i] * scale[j]);
    let scaled = DVector::from_fn(size, |i, _| force[i] * scale[i]);
    let norm = matrix.iter().map(|x| x.norm()).fold(0.0, f64::max);
    let lu = matrix.lu();
    let least = lu.u().diagonal().iter().map(|x| x.norm()).fold(f64::INFINITY, f64::min);
    if least.is_nan() || least <= SINGULAR * norm {
        return None;
    }
    let solved = lu.solve(&scaled)?;
    Some(DVector::from_fn(size, |i, _| solved[i] * scale[i]))
}

/// 1/√m of each coordinate.
pub(super) fn unit_mass(mass: &DMatrix<f64>) -> Vec<f64> {
    (0..mass.nrows()).map(|i| 1.0 / mass[(i, i)].max(f64::MIN_POSITIVE).sqrt()).collect()
}
