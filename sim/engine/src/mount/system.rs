//! Mass, damping, gyroscopic and stiffness matrices of powerplant, isolators and airframe.
//!
//! Coordinates q, small, about the running state, in shaft axes:
//!
//! | entries | what |
//! |---|---|
//! | 0–2, 3–5 | motion of the powerplant's centre of gravity, m, and its rotation, rad |
//! | next, with a free shaft | angle of the propeller ahead of steady rotation, about the spin axis, rad |
//! | next, with an elastic shaft | the same of the motor's rotor |
//! | next six, on a free airframe | motion of the airframe's centre of gravity and its rotation |
//! | next | elastic modes of the airframe |
//!
//! M q̈ + (C + Ω G) q̇ + (K + i L) q = f. With the spin axis e (−x for a clockwise propeller) and the angular
//! momentum H = I_p Ω e, the gyroscopic moment is θ̇ × H on the left (textbook; Goldstein, Classical Mechanics, ch. 5). The part
//! i L, stiffness times loss factor, belongs to motion at positive frequency; its conjugate to negative frequency.
//! Isolators act on the difference of motion of their two ends. With a free shaft the polar inertia sits on the rotor's own
//! coordinate and not on the body's, and the motor's torque slope acts on the difference of the two rates.
//!
//! Range: small motion; isolators without mass of their own; preload enters only with the airloads.

use super::input::{Base, Isolator, Mount};
use crate::base::Vec3;
use crate::frames::rotation_sign;
use nalgebra::{DMatrix, DVector, Matrix3};
use std::ops::Range;

/// Coordinates of the powerplant.
pub const PLANT: usize = 6;

/// How the propeller's rotation enters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShaftRotation {
    /// The rotor turns at a rate of its own: mean speed, and what torque changes.
    Free,
    /// The rotor turns at exactly the shaft speed against the body; bench tests at rest, closed forms.
    Locked,
}

/// The matrices without airloads.
#[derive(Debug, Clone)]
pub struct System {
    /// M, kg, kg m.
    pub mass: DMatrix<f64>,
    /// C, without rotation and air.
    pub damping: DMatrix<f64>,
    /// G: gyroscopic matrix for a unit of shaft speed, kg m².
    pub gyroscopic: DMatrix<f64>,
    /// K, without air.
    pub stiffness: DMatrix<f64>,
    /// L: stiffness times loss factor.
    pub loss: DMatrix<f64>,
    /// The part of the transverse inertia that turns at twice the shaft rate; see [`super::periodic`].
    pub difference_kg_m2: f64,
    /// σ: +1 clockwise.
    pub sigma: f64,
    coordinates: Coordinates,
    isolators: Vec<(Isolator, DMatrix<f64>)>,
}

/// Where each part of the coordinates begins.
#[derive(Debug, Clone, PartialEq)]
struct Coordinates {
    propeller: Option<usize>,
    motor: Option<usize>,
    airframe: Option<usize>,
    modes: usize,
    size: usize,
    plant_centre_m: Vec3,
    airframe_centre_m: Vec3,
}

/// The matrix of a cross product: `cross(v) w` = v × w.
#[must_use]
pub fn cross(v: &Vec3) -> Matrix3<f64> {
    v.cross_matrix()
}

impl System {
    /// Assembles the matrices of a mount.
    #[must_use]
    pub fn new(mount: &Mount, shaft: ShaftRotation) -> Self {
        let coordinates = Coordinates::new(mount, shaft);
        let size = coordinates.size;
        let zero = || DMatrix::zeros(size, size);
        let mut system = Self {
            mass: zero(),
            damping: zero(),
            gyroscopic: zero(),
            stiffness: zero(),
            loss: zero(),
            difference_kg_m2: mount.plant.rotor.transverse_difference_kg_m2,
            sigma: rotation_sign(mount.plant.rotation),
            coordinates,
            isolators: Vec::new(),
        };
        system.add_plant(mount);
        system.add_drive(mount);
        system.add_base(mount);
        for (i, isolator) in mount.isolators.iter().enumerate() {
            system.add_isolator(mount, i, isolator);
        }
        system
    }

    /// Number of coordinates.
    #[must_use]
    pub fn size(&self) -> usize {
        self.coordinates.size
    }

    /// Spin axis: −x for a clockwise propeller.
    #[must_use]
    pub fn spin_axis(&self) -> Vec3 {
        Vec3::new(-self.sigma, 0.0, 0.0)
    }

    /// Isolators with the matrix that gives the shift of each, body end minus foot, along its own axes.
    pub fn isolators(&self) -> impl Iterator<Item = (&Isolator, &DMatrix<f64>)> {
        self.isolators.iter().map(|(isolator, shift)| (isolator, shift))
    }

    /// Motion of a point of the powerplant, shaft axes: 3 × size.
    #[must_use]
    pub fn on_plant(&self, point_m: &Vec3) -> DMatrix<f64> {
        let mut motion = DMatrix::zeros(3, self.size());
        rigid(&mut motion, 0, &(point_m - self.coordinates.plant_centre_m));
        motion
    }

    /// Motion of a point of the airframe, shaft axes: 3 × size; `shapes` are the motions there for a unit of each mode.
    #[must_use]
    pub fn on_airframe(&self, point_m: &Vec3, shapes: &[Vec3]) -> DMatrix<f64> {
        let mut motion = DMatrix::zeros(3, self.size());
        if let Some(at) = self.coordinates.airframe {
            rigid(&mut motion, at, &(point_m - self.coordinates.airframe_centre_m));
        }
        for (j, shape) in shapes.iter().enumerate() {
            motion.fixed_view_mut::<3, 1>(0, self.coordinates.modes + j).copy_from(shape);
        }
        motion
    }

    /// Motion of the hub: rows 0–2 shift, 3–5 rotation, 6 angle of the propeller about its spin axis: 7 × size.
    #[must_use]
    pub fn hub(&self) -> DMatrix<f64> {
        let mut motion = DMatrix::zeros(7, self.size());
        motion.view_mut((0, 0), (3, self.size())).copy_from(&self.on_plant(&Vec3::zeros()));
        for i in 0..3 {
            motion[(3 + i, 3 + i)] = 1.0;
        }
        match self.coordinates.propeller {
            Some(at) => motion[(6, at)] = 1.0,
            None => motion[(6, 3)] = -self.sigma,
        }
        motion
    }

    /// As [`Self::hub`], less what the rigid airframe carries along: what closes gaps between blades and airframe.
    #[must_use]
    pub fn hub_on_airframe(&self) -> DMatrix<f64> {
        let mut motion = self.hub();
        if let Some(at) = self.coordinates.airframe {
            let carried = self.on_airframe(&Vec3::zeros(), &[]);
            let mut shift = motion.rows_mut(0, 3);
            shift -= carried;
            for i in 0..3 {
                motion[(3 + i, at + 3 + i)] -= 1.0;
            }
        }
        motion
    }

    /// Where the motion of the free airframe stands; `None` on an immovable base.
    #[must_use]
    pub fn airframe_motion(&self) -> Option<Range<usize>> {
        self.coordinates.airframe.map(|at| at..at + 6)
    }

    /// Angle of the motor's rotor ahead of its stator: a row.
    #[must_use]
    pub fn motor_angle(&self) -> DVector<f64> {
        let mut row = DVector::zeros(self.size());
        if let Some(at) = self.coordinates.motor.or(self.coordinates.propeller) {
            row[at] = 1.0;
            row[3] = self.sigma;
        }
        row
    }

    fn add_plant(&mut self, mount: &Mount) {
        let plant = &mount.plant;
        let mut inertia = plant.inertia_kg_m2;
        let polar = plant.rotor.propeller_polar_kg_m2 + plant.rotor.motor_polar_kg_m2;
        if let Some(at) = self.coordinates.propeller {
            inertia[(0, 0)] -= polar;
            self.mass[(at, at)] = polar;
            if let Some(motor) = self.coordinates.motor {
                self.mass[(at, at)] = plant.rotor.propeller_polar_kg_m2;
                self.mass[(motor, motor)] = plant.rotor.motor_polar_kg_m2;
            }
        }
        for i in 0..3 {
            self.mass[(i, i)] = plant.mass_kg;
        }
        self.mass.fixed_view_mut::<3, 3>(3, 3).copy_from(&inertia);
        // θ̇ × H = −[H]× θ̇.
        let gyroscopic = -cross(&(self.spin_axis() * polar));
        self.gyroscopic.fixed_view_mut::<3, 3>(3, 3).copy_from(&gyroscopic);
    }

    fn add_drive(&mut self, mount: &Mount) {
        let drive = &mount.plant.drive;
        let relative = self.motor_angle();
        let square = &relative * relative.transpose();
        self.damping += &square * drive.torque_slope_n_m_s;
        self.stiffness += &square * drive.angle_gain_n_m;
        if let (Some(propeller), Some(motor), Some(shaft)) =
            (self.coordinates.propeller, self.coordinates.motor, &drive.shaft)
        {
            let mut twist = DVector::zeros(self.size());
            twist[propeller] = 1.0;
            twist[motor] = -1.0;
            let square = &twist * twist.transpose();
            self.stiffness += &square * shaft.stiffness_n_m_per_rad;
            self.damping += &square * shaft.damping_n_m_s;
        }
    }

    fn add_base(&mut self, mount: &Mount) {
        if let (Base::Free(airframe), Some(at)) = (&mount.base, self.coordinates.airframe) {
            for i in 0..3 {
                self.mass[(at + i, at + i)] = airframe.mass_kg;
            }
            self.mass.fixed_view_mut::<3, 3>(at + 3, at + 3).copy_from(&airframe.inertia_kg_m2);
        }
        for (j, mode) in mount.modes.iter().enumerate() {
            let at = self.coordinates.modes + j;
            let (m, w) = (mode.modal_mass_kg, mode.frequency_rad_s);
            self.mass[(at, at)] = m;
            self.damping[(at, at)] = 2.0 * mode.damping_ratio * m * w;
            self.stiffness[(at, at)] = m * w * w;
        }
    }

    fn add_isolator(&mut self, mount: &Mount, index: usize, isolator: &Isolator) {
        let shapes: Vec<Vec3> = mount.modes.iter().map(|mode| mode.at_isolators[index]).collect();
        let foot = self.on_airframe(&isolator.position_m, &shapes);
        let shift = isolator.axes.transpose() * (self.on_plant(&isolator.position_m) - foot);
        for axis in 0..3 {
            let row = shift.row(axis).transpose();
            let square = &row * row.transpose();
            self.stiffness += &square * isolator.stiffness_n_m[axis];
            self.damping += &square * isolator.damping_n_s_m[axis];
            self.loss += &square * (isolator.stiffness_n_m[axis] * isolator.loss_factor[axis]);
        }
        self.isolators
            .push((isolator.clone(), DMatrix::from_row_slice(3, self.size(), shift.transpose().as_slice())));
    }
}

impl Coordinates {
    fn new(mount: &Mount, shaft: ShaftRotation) -> Self {
        let mut size = PLANT;
        let mut take = |count: usize, wanted: bool| {
            wanted.then(|| {
                size += count;
                size - count
            })
        };
        let free = shaft == ShaftRotation::Free;
        let elastic = mount.plant.drive.shaft.is_some() && mount.plant.rotor.motor_polar_kg_m2 > 0.0;
        let propeller = take(1, free);
        let motor = take(1, free && elastic);
        let (airframe, airframe_centre_m) = match &mount.base {
            Base::Free(airframe) => (take(6, true), airframe.centre_of_gravity_m),
            Base::Fixed => (None, Vec3::zeros()),
        };
        let modes = size;
        size += mount.modes.len();
        let plant_centre_m = mount.plant.centre_of_gravity_m;
        Self { propeller, motor, airframe, modes, size, plant_centre_m, airframe_centre_m }
    }
}

/// Puts u + θ × a of a rigid body whose coordinates begin at `at`.
fn rigid(motion: &mut DMatrix<f64>, at: usize, arm_m: &Vec3) {
    motion.fixed_view_mut::<3, 3>(0, at).copy_from(&Matrix3::identity());
    motion.fixed_view_mut::<3, 3>(0, at + 3).copy_from(&-cross(arm_m));
}
