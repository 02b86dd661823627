//! The mount from checked values: estimates where none are given, positions in shaft axes, checks between keys.

use super::consistency::{at_key, fast_tip, sonic_rpm};
use super::problem::Problem;
use super::values::Values;
use super::{Origin, ResolvedValue};
use crate::base::Vec3;
use crate::blade::blade_stations;
use crate::frames::DiskAxes;
use crate::mount::estimate::{
    MATERIALS, Material, blade_mass, motor_diameter_m, motor_inertia_kg_m2, motor_rotor_kg_m2, transverse,
};
use crate::mount::input::{
    AirframeMode, Base, Carrier, Drive, Isolator, Matrix3, Mount, Powerplant, RigidAirframe, Rotor, Scan,
    Sensor, Shaft,
};
use crate::mount::loads::{grade_unbalance_kg_m, spacing_unbalance_kg_m};
use crate::mount::modes::free_motion;
use crate::mount::system::{ShaftRotation, System};
use crate::point::input::{Placement, Propeller};
use std::f64::consts::TAU;

/// Blade stations that the mass integrals are summed over.
const STATIONS: usize = 60;

/// A mount and what was estimated for it.
pub(super) struct BuiltMount {
    pub mount: Mount,
    pub estimates: Vec<ResolvedValue>,
}

/// Builds the mount; `None` outside where a value it needs has a problem, inside where the case has no mount.
pub(super) fn mount(
    label: &str,
    v: &Values,
    propeller: &Propeller,
    placement: &Placement,
    problems: &mut Vec<Problem>,
) -> Option<Option<BuiltMount>> {
    if v.text("mount.base").is_none() {
        let orphan = |group: &str| {
            v.names(&format!("{group}.NAME")).first().map(|name| format!("{group}.{name}.name"))
        };
        for key in ["isolator", "sensor", "airframe_mode"].iter().filter_map(|group| orphan(group)) {
            let problem = at_key(label, v, &key, "needs [mount], which the case does not have");
            problems.push(
                problem
                    .allowed("a case with [mount]")
                    .hint("add [mount] with motor_mass_kg and motor_centre_of_gravity_m"),
            );
        }
        return Some(None);
    }
    let builder = Builder { label, v, propeller, disk: DiskAxes::new(placement, propeller.rotation) };
    let found = problems.len();
    let built = builder.build(problems);
    if problems.len() > found { None } else { built.map(Some) }
}

struct Builder<'a> {
    label: &'a str,
    v: &'a Values,
    propeller: &'a Propeller,
    disk: DiskAxes,
}

impl Builder<'_> {
    fn build(&self, problems: &mut Vec<Problem>) -> Option<BuiltMount> {
        let mut estimates = Vec::new();
        let plant = self.plant(&mut estimates, problems)?;
        let isolators = self.isolators(problems)?;
        let base = self.base(&plant, problems)?;
        let sensors = self.sensors()?;
        let modes = self.modes(problems)?;
        let blade_material = self.material()?;
        let mount =
            Mount { plant, isolators, base, modes, sensors, blade_material, scan: self.scan(problems)? };
        self.check_held(&mount, problems);
        self.check_sensors(&mount, problems);
        Some(BuiltMount { mount, estimates })
    }

    fn number(&self, key: &str) -> Option<f64> {
        self.v.number(&format!("mount.{key}"))
    }

    fn point(&self, path: &str) -> Option<Vec3> {
        self.v.numbers(path).map(Vec3::from_column_slice)
    }

    /// A given value, or the estimate, which is then told.
    fn or_estimate(&self, key: &str, unit: &'static str, value: f64, told: &mut Vec<ResolvedValue>) -> f64 {
        self.number(key).unwrap_or_else(|| {
            told.push(estimated(format!("mount.{key}"), shown(value), unit));
            value
        })
    }

    fn plant(&self, told: &mut Vec<ResolvedValue>, problems: &mut Vec<Problem>) -> Option<Powerplant> {
        let motor_mass = self.number("motor_mass_kg")?;
        let motor_at = self.point("mount.motor_centre_of_gravity_m")?;
        let diameter = self.number("motor_diameter_m").unwrap_or_else(|| motor_diameter_m(motor_mass));
        let length = self.number("motor_length_m").unwrap_or(0.7 * diameter);
        let motor_inertia = self.point("mount.motor_inertia_kg_m2").unwrap_or_else(|| {
            let cylinder = motor_inertia_kg_m2(motor_mass, diameter, length);
            let text = cylinder.map(shown).join(", ");
            told.push(estimated("mount.motor_inertia_kg_m2".into(), format!("[{text}]"), "kg m2"));
            Vec3::from(cylinder)
        });
        self.check_inertia(&motor_inertia, problems);
        let rotor_inertia = self.or_estimate(
            "motor_rotor_inertia_kg_m2",
            "kg m2",
            motor_rotor_kg_m2(motor_mass, diameter).min(0.9 * motor_inertia.x),
            told,
        );
        if rotor_inertia > motor_inertia.x {
            let what =
                format!("is more than the motor's inertia about the shaft, {} kg m2", shown(motor_inertia.x));
            let problem = at_key(self.label, self.v, "mount.motor_rotor_inertia_kg_m2", what);
            problems.push(problem.allowed("a part of motor_inertia_kg_m2's first number"));
        }
        let material = self.material()?;
        let stations = blade_stations(&self.propeller.blade, 0.5 * self.propeller.diameter_m, STATIONS);
        let blade = blade_mass(&stations, self.propeller.pitch_offset_rad, material.density_kg_m3);
        let count = self.propeller.blade_count as f64;
        let mass = self.or_estimate("propeller_mass_kg", "kg", count * blade.mass_kg, told);
        let polar =
            self.or_estimate("propeller_polar_inertia_kg_m2", "kg m2", count * blade.polar_kg_m2, told);
        // The shape of the estimate, the size of what is given.
        let (mean, difference) = transverse(&blade, self.propeller.blade_count);
        let scale = polar / (count * blade.polar_kg_m2).max(f64::MIN_POSITIVE);
        let (mean, difference) = (mean * scale, difference * scale);
        told.push(estimated("mount.propeller_transverse_inertia_kg_m2".into(), shown(mean), "kg m2"));
        if difference != 0.0 {
            told.push(estimated(
                "mount.propeller_inertia_difference_kg_m2".into(),
                shown(difference),
                "kg m2",
            ));
        }
        let speed =
            self.number("balance_speed_rpm").map_or(self.propeller.speed_rad_s, |rpm| rpm * TAU / 60.0);
        let spacing = spacing_unbalance_kg_m(
            blade.first_kg_m * scale,
            self.propeller.blade_count,
            &self.propeller.spacing_error_rad,
        );
        let balanced = self.number("balance_mass_kg").unwrap_or(mass);
        let unbalance = grade_unbalance_kg_m(self.number("balance_grade_mm_s")?, balanced, speed) + spacing;
        let total = motor_mass + mass;
        let centre = motor_at * (motor_mass / total);
        let motor = Matrix3::from_diagonal(&motor_inertia) + steiner(motor_mass, &(motor_at - centre));
        let own = Matrix3::from_diagonal(&Vec3::new(polar, mean, mean)) + steiner(mass, &centre);
        Some(Powerplant {
            mass_kg: total,
            centre_of_gravity_m: centre,
            inertia_kg_m2: motor + own,
            rotation: self.propeller.rotation,
            rotor: Rotor {
                propeller_mass_kg: mass,
                propeller_polar_kg_m2: polar,
                motor_polar_kg_m2: rotor_inertia,
                transverse_difference_kg_m2: difference,
                unbalance_kg_m: unbalance,
            },
            drive: Drive {
                torque_slope_n_m_s: self.number("motor_torque_slope_n_m_s")?,
                angle_gain_n_m: self.number("motor_angle_gain_n_m")?,
                shaft: self.number("shaft_stiffness_n_m_per_rad").map(|stiffness_n_m_per_rad| Shaft {
                    stiffness_n_m_per_rad,
                    damping_n_m_s: self.number("shaft_damping_n_m_s").unwrap_or(0.0),
                }),
            },
        })
    }

    fn material(&self) -> Option<Material> {
        let name = self.v.text("mount.propeller_material")?;
        MATERIALS.iter().find(|m| m.name == name).copied()
    }

    /// A rigid body's inertia about one axis is at most the sum of the other two.
    fn check_inertia(&self, inertia: &Vec3, problems: &mut Vec<Problem>) {
        let sum = inertia.sum();
        if inertia.iter().any(|j| *j > 1.000_001 * (sum - j)) {
            let what = "is no inertia of a rigid body: one number is more than the sum of the other two";
            let problem = at_key(self.label, self.v, "mount.motor_inertia_kg_m2", what);
            problems.push(problem.allowed("three numbers, each at most the sum of the other two"));
        }
    }

    fn isolators(&self, problems: &mut Vec<Problem>) -> Option<Vec<Isolator>> {
        let names = self.v.names("isolator.NAME");
        if names.is_empty() {
            let problem = at_key(
                self.label,
                self.v,
                "mount.motor_mass_kg",
                "stands on nothing: the case has no [[isolator]]",
            );
            problems.push(problem.allowed("a case with [[isolator]]").hint("add one [[isolator]] or more"));
            return None;
        }
        // All of them first, so that one problem does not hide another.
        let built: Vec<Option<Isolator>> = names.iter().map(|name| self.isolator(name, problems)).collect();
        built.into_iter().collect()
    }

    fn isolator(&self, name: &str, problems: &mut Vec<Problem>) -> Option<Isolator> {
        let key = |key: &str| format!("isolator.{name}.{key}");
        let vector = |k: &str| self.point(&key(k));
        let (first, second) = (vector("axis")?, vector("second_axis")?);
        let (stiffness_n_m, damping_n_s_m, loss_factor) =
            (vector("stiffness_n_per_m")?, vector("damping_n_s_per_m")?, vector("loss_factor")?);
        let position_m = vector("position_m")?;
        let Some(x) = first.try_normalize(1e-12) else {
            let problem = at_key(self.label, self.v, &key("axis"), "has no direction");
            problems.push(problem.allowed("three numbers, not all 0"));
            return None;
        };
        // The default second axis gives way where the first lies along it.
        let wanted = if second == Vec3::y() && second.cross(&x).norm() < 0.1 { Vec3::z() } else { second };
        let Some(y) = (wanted - x * x.dot(&wanted)).try_normalize(1e-9 * wanted.norm().max(1e-12)) else {
            let problem = at_key(self.label, self.v, &key("second_axis"), "lies along the first axis");
            problems.push(problem.allowed("a direction across `axis`"));
            return None;
        };
        let axes = Matrix3::from_columns(&[x, y, x.cross(&y)]);
        Some(Isolator { name: name.to_owned(), position_m, axes, stiffness_n_m, damping_n_s_m, loss_factor })
    }

    /// A position in aircraft axes, from the hub in shaft axes.
    fn to_shaft(&self, position_m: &Vec3) -> Vec3 {
        self.turn() * (position_m - self.disk.hub_m)
    }

    /// Aircraft axes to shaft axes.
    fn turn(&self) -> Matrix3<f64> {
        Matrix3::from_columns(&[self.disk.aft, self.disk.starboard, self.disk.up]).transpose()
    }

    fn base(&self, plant: &Powerplant, problems: &mut Vec<Problem>) -> Option<Base> {
        if self.v.text("mount.base")? == "fixed" {
            return Some(Base::Fixed);
        }
        let mass = self.v.number("airframe.mass_kg");
        let (centre, inertia) =
            (self.point("airframe.centre_of_gravity_m"), self.point("airframe.inertia_kg_m2"));
        let (Some(mass), Some(centre), Some(inertia)) = (mass, centre, inertia) else {
            let lacking: Vec<&str> = [
                ("airframe.mass_kg", mass.is_none()),
                ("airframe.centre_of_gravity_m", centre.is_none()),
                ("airframe.inertia_kg_m2", inertia.is_none()),
            ]
            .iter()
            .filter(|(_, lacks)| *lacks)
            .map(|(key, _)| *key)
            .collect();
            let what = format!("needs {}", lacking.join(", "));
            let problem = at_key(self.label, self.v, "mount.base", what);
            problems
                .push(problem.allowed(
                    "a case with mass, centre of gravity and inertia of the aircraft in [airframe]",
                ));
            return None;
        };
        let product = self.v.number("airframe.inertia_xz_kg_m2").unwrap_or(0.0);
        let mut whole = Matrix3::from_diagonal(&inertia);
        whole[(0, 2)] = -product;
        whole[(2, 0)] = -product;
        let turn = self.turn();
        let (whole, centre) = (turn * whole * turn.transpose(), self.to_shaft(&centre));
        match without_plant(mass, &centre, &whole, plant) {
            Some(airframe) => Some(Base::Free(airframe)),
            None => {
                let what = format!(
                    "leaves no airframe: mass or inertia of [airframe], which is the whole aircraft, less those of the powerplant \
                     ({} kg) is not positive definite",
                    shown(plant.mass_kg)
                );
                let problem = at_key(self.label, self.v, "mount.base", what);
                problems.push(problem.allowed("an aircraft with more mass and inertia than its powerplant"));
                None
            }
        }
    }

    fn sensors(&self) -> Option<Vec<Sensor>> {
        let sensor = |name: &String| {
            let key = |key: &str| format!("sensor.{name}.{key}");
            Some(Sensor {
                name: name.clone(),
                position_m: self.to_shaft(&self.point(&key("position_m"))?),
                axes: self.turn(),
                carrier: if self.v.text(&key("on"))? == "motor" { Carrier::Motor } else { Carrier::Airframe },
                limit_rms_m_s2: self.v.number(&key("limit_rms_m_s2")),
            })
        };
        self.v.names("sensor.NAME").iter().map(sensor).collect()
    }

    fn modes(&self, problems: &mut Vec<Problem>) -> Option<Vec<AirframeMode>> {
        self.v.names("airframe_mode.NAME").iter().map(|name| self.mode(name, problems)).collect()
    }

    fn mode(&self, name: &str, problems: &mut Vec<Problem>) -> Option<AirframeMode> {
        let key = |key: &str| format!("airframe_mode.{name}.{key}");
        let places = self.v.names(&key("at.NAME"));
        let (isolators, sensors) = (self.v.names("isolator.NAME"), self.v.names("sensor.NAME"));
        for place in places.iter().filter(|p| !isolators.contains(p) && !sensors.contains(p)) {
            let known = isolators.iter().chain(sensors).cloned().collect::<Vec<_>>().join(", ");
            let problem = at_key(
                self.label,
                self.v,
                &key(&format!("at.{place}.name")),
                "is neither an isolator nor a sensor",
            );
            problems.push(problem.allowed(known));
        }
        let motion = |place: &String| {
            self.point(&key(&format!("at.{place}.motion")))
                .map_or_else(Vec3::zeros, |motion| self.turn() * motion)
        };
        Some(AirframeMode {
            name: name.to_owned(),
            frequency_rad_s: TAU * self.v.number(&key("frequency_hz"))?,
            damping_ratio: self.v.number(&key("damping_ratio"))?,
            modal_mass_kg: self.v.number(&key("modal_mass_kg"))?,
            at_isolators: isolators.iter().map(motion).collect(),
            at_sensors: sensors.iter().map(motion).collect(),
        })
    }

    fn scan(&self, problems: &mut Vec<Problem>) -> Option<Scan> {
        let rpm = self.v.number("propeller.speed_rpm")?;
        let from = self.number("speed_from_rpm").unwrap_or(0.4 * rpm);
        let airspeed = self.v.number("flight.airspeed_m_s")?;
        let sonic = sonic_rpm(self.v, airspeed)?;
        let to = self.number("speed_to_rpm").unwrap_or((1.2 * rpm).min(sonic));
        if self.number("speed_to_rpm").is_some()
            && let Some(problem) = fast_tip(self.label, self.v, "mount.speed_to_rpm", (to, airspeed))
        {
            problems.push(problem.hint("lower speed_to_rpm; airloads are computed up to it"));
        }
        // Where neither is given, only a case above sound leaves none, which is a problem of its own.
        let given = ["speed_from_rpm", "speed_to_rpm"].iter().any(|key| self.number(key).is_some());
        if given && to <= from {
            let key = if self.number("speed_to_rpm").is_some() {
                "mount.speed_to_rpm"
            } else {
                "mount.speed_from_rpm"
            };
            let what = format!("leaves no speeds to look through: {from} to {to} rpm");
            problems.push(at_key(self.label, self.v, key, what).allowed("speed_from_rpm below speed_to_rpm"));
        }
        let (span, angles) = (self.v.radians("mount.angle_span_deg")?, self.v.count("mount.angles")?);
        let step = |i: usize| if angles < 2 { 0.0 } else { 2.0 * i as f64 / (angles as f64 - 1.0) - 1.0 };
        Some(Scan {
            from_rad_s: from * TAU / 60.0,
            to_rad_s: to * TAU / 60.0,
            speeds: self.v.count("mount.speeds")?,
            load_speeds: self.v.count("mount.load_speeds")?,
            angle_steps_rad: (0..angles).map(|i| span * step(i)).collect(),
            avoid_ratio: self.number("avoid_ratio")?,
        })
    }

    /// The isolators hold all six motions of the powerplant.
    fn check_held(&self, mount: &Mount, problems: &mut Vec<Problem>) {
        let system = System::new(mount, ShaftRotation::Locked);
        let Ok(Some(motion)) = free_motion(&system.mass, &system.stiffness) else { return };
        let first = mount.isolators.first().map(|i| i.name.clone()).unwrap_or_default();
        let what = format!("leaves the powerplant free together with the other isolators: {motion}");
        let problem = at_key(self.label, self.v, &format!("isolator.{first}.position_m"), what);
        problems.push(
            problem
                .allowed("isolators that hold all six motions: not all in one line, or with stiffness across it at a distance")
                .hint("add an isolator off that axis, or give the free direction stiffness"),
        );
    }

    /// On an immovable base nothing shakes a sensor on the airframe.
    fn check_sensors(&self, mount: &Mount, problems: &mut Vec<Problem>) {
        if mount.base != Base::Fixed || !mount.modes.is_empty() {
            return;
        }
        for sensor in mount.sensors.iter().filter(|s| s.carrier == Carrier::Airframe) {
            let what =
                "would feel nothing: it is on the airframe, and `mount.base = \"fixed\"` holds that still";
            let problem = at_key(self.label, self.v, &format!("sensor.{}.name", sensor.name), what);
            problems.push(problem.allowed(
                "`on = \"motor\"`, or mount.base = \"free\" with [airframe], or an [[airframe_mode]]",
            ));
        }
    }
}

/// m(|d|² 1 − d dᵀ).
fn steiner(mass_kg: f64, arm_m: &Vec3) -> Matrix3<f64> {
    (Matrix3::identity() * arm_m.norm_squared() - arm_m * arm_m.transpose()) * mass_kg
}

/// The aircraft less its powerplant, shaft axes; `None` where nothing positive is left.
fn without_plant(
    mass_kg: f64,
    centre_m: &Vec3,
    inertia: &Matrix3<f64>,
    plant: &Powerplant,
) -> Option<RigidAirframe> {
    let rest = mass_kg - plant.mass_kg;
    if rest <= 0.0 {
        return None;
    }
    let at = (centre_m * mass_kg - plant.centre_of_gravity_m * plant.mass_kg) / rest;
    let about_hub = inertia + steiner(mass_kg, centre_m)
        - plant.inertia_kg_m2
        - steiner(plant.mass_kg, &plant.centre_of_gravity_m);
    let own = about_hub - steiner(rest, &at);
    let own = (own + own.transpose()) * 0.5;
    own.cholesky().map(|_| RigidAirframe { mass_kg: rest, centre_of_gravity_m: at, inertia_kg_m2: own })
}

fn estimated(path: String, value: String, unit: &'static str) -> ResolvedValue {
    ResolvedValue { path, value, unit, origin: Origin::Estimated }
}

/// Four figures are more than an estimate holds.
fn shown(value: f64) -> String {
    if value == 0.0 || (1e-3..1e5).contains(&value.abs()) {
        let decimals = (3 - value.abs().max(1e-3).log10().floor() as i32).clamp(0, 6);
        let text = format!("{value:.*}", usize::try_from(decimals).unwrap_or(4));
        if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
    } else {
        format!("{value:.3e}")
    }
}
