//! The load cases.

use std::f64::consts::TAU;

use super::input::{Engine, LimitFactors, LimitPlant, Power, Support};
use super::rules::{self, torque_factor};
use super::supports::SupportGroup;
use crate::air::GRAVITY_M_S2;
use crate::base::Vec3;

/// Azimuths of the first look around a pulsing moment; the worst is then narrowed down.
const AZIMUTHS: usize = 360;

/// Why there are no limit loads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LimitError {
    /// The supports do not hold the powerplant.
    #[error(
        "the isolators leave a motion free, so no limit load can be shared among them; give three or more that are not in one line, \
         with stiffness along all axes"
    )]
    FreeMotion,
}

/// Force of the powerplant on one support in one case, shaft axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupportForce {
    /// Force, N; x aft along the shaft.
    pub force_n: Vec3,
    /// Direction in the disk plane, from y towards z, to which the pulsing moment points in the worst moment of this support, rad;
    /// `None` where nothing pulses.
    pub pulse_rad: Option<f64>,
}

impl SupportForce {
    /// Part across the shaft, N.
    #[must_use]
    pub fn shear_n(&self) -> f64 {
        self.force_n.y.hypot(self.force_n.z)
    }

    /// Whole force, N.
    #[must_use]
    pub fn resultant_n(&self) -> f64 {
        self.force_n.norm()
    }
}

/// One case.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitCase {
    /// Name, such as `take-off torque`.
    pub name: String,
    /// Rule it follows.
    pub clause: String,
    /// Load factor that multiplies the weight.
    pub load_factor: f64,
    /// Factor on the mean torque; 0 where no torque acts.
    pub torque_factor: f64,
    /// Force at the middle of the supports, N.
    pub force_n: Vec3,
    /// Moment about it, N m; of a pulsing one where the gyroscopic moment is greatest.
    pub moment_n_m: Vec3,
    /// Force on each support, in the order of the supports; of a pulsing moment each at its own worst azimuth.
    pub supports: Vec<SupportForce>,
}

/// All cases.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitLoads {
    /// Cases in the order of the rules.
    pub cases: Vec<LimitCase>,
    /// Names of the supports.
    pub support_names: Vec<String>,
    /// Middle of the supports, shaft axes from the hub, m.
    pub middle_m: Vec3,
    /// Factor on the mean torque.
    pub torque_factor: f64,
    /// Where it comes from.
    pub torque_factor_clause: String,
    /// Whether it enters the gyroscopic cases.
    pub torque_factor_in_gyroscopic: bool,
    /// Whether the gyroscopic moment pulses at 2P.
    pub pulsing: bool,
    /// Ultimate over limit.
    pub ultimate_factor: f64,
}

impl LimitLoads {
    /// Case with the greatest resultant on a support.
    #[must_use]
    pub fn worst_case(&self, support: usize) -> Option<&LimitCase> {
        let resultant = |case: &LimitCase| case.supports.get(support).map_or(0.0, SupportForce::resultant_n);
        self.cases.iter().max_by(|a, b| resultant(a).total_cmp(&resultant(b)))
    }
}

/// The limit loads of a powerplant on its supports.
///
/// # Errors
/// [`LimitError::FreeMotion`] where the supports do not hold it.
pub fn limit_loads(
    factors: &LimitFactors,
    plant: &LimitPlant,
    supports: &[Support],
    takeoff: Power,
    continuous: Power,
) -> Result<LimitLoads, LimitError> {
    let group = SupportGroup::new(supports).ok_or(LimitError::FreeMotion)?;
    let torque = torque_factor(factors.engine);
    let builder = Builder { factors, plant, group, torque };
    let mut cases = builder.torque_cases(takeoff, continuous);
    cases.extend(builder.side_cases());
    cases.extend(builder.gyroscopic_cases(continuous));
    Ok(LimitLoads {
        cases,
        support_names: supports.iter().map(|s| s.name.clone()).collect(),
        middle_m: builder.group.middle_m,
        torque_factor: torque.factor,
        torque_factor_clause: torque.clause.to_owned(),
        torque_factor_in_gyroscopic: factors.torque_factor_in_gyroscopic,
        pulsing: plant.pulsating_inertia_kg_m2 != 0.0,
        ultimate_factor: factors.ultimate_factor,
    })
}

struct Builder<'a> {
    factors: &'a LimitFactors,
    plant: &'a LimitPlant,
    group: SupportGroup<'a>,
    torque: rules::TorqueFactor,
}

/// Force at the middle and moment about it.
#[derive(Clone, Copy)]
struct Load {
    force_n: Vec3,
    moment_n_m: Vec3,
}

impl std::ops::Add for Load {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { force_n: self.force_n + other.force_n, moment_n_m: self.moment_n_m + other.moment_n_m }
    }
}

impl Builder<'_> {
    fn at(&self, force_n: Vec3, arm_from_hub_m: Vec3) -> Load {
        Load { force_n, moment_n_m: (arm_from_hub_m - self.group.middle_m).cross(&force_n) }
    }

    /// Weight times a factor along an aircraft axis.
    fn inertia(&self, factor: f64, axis: usize) -> Load {
        let direction = self.plant.aircraft_axes.column(axis).into_owned();
        self.at(direction * (factor * self.plant.mass_kg * GRAVITY_M_S2), self.plant.centre_of_gravity_m)
    }

    /// Thrust at the hub and torque times a factor.
    fn power(&self, power: Power, torque_factor: f64) -> Load {
        let mut load = self.at(Vec3::new(-power.thrust_n, 0.0, 0.0), Vec3::zeros());
        load.moment_n_m.x += self.plant.sigma * power.torque_n_m * torque_factor;
        load
    }

    fn steady(&self, name: &str, clause: &str, factors: (f64, f64), load: Load) -> LimitCase {
        let shared = self.group.share(load.force_n, load.moment_n_m);
        LimitCase {
            name: name.to_owned(),
            clause: clause.to_owned(),
            load_factor: factors.0,
            torque_factor: factors.1,
            force_n: load.force_n,
            moment_n_m: load.moment_n_m,
            supports: shared.into_iter().map(|force_n| SupportForce { force_n, pulse_rad: None }).collect(),
        }
    }

    fn torque_cases(&self, takeoff: Power, continuous: Power) -> Vec<LimitCase> {
        let n_a = self.factors.load_factor;
        let case = |name, clause, n: f64, power, factor| {
            self.steady(name, clause, (n, factor), self.power(power, factor) + self.inertia(-n, 2))
        };
        let factor = self.torque.factor;
        let n = rules::TAKEOFF_SHARE * n_a;
        let mut cases = vec![
            case("take-off torque", "former 14 CFR 23.361(a)(1)", n, takeoff, factor),
            case("continuous torque", "former 14 CFR 23.361(a)(2)", n_a, continuous, factor),
        ];
        if self.factors.engine == Engine::Turboprop {
            let clause = "former 14 CFR 23.361(a)(3)";
            cases.push(case("propeller-control malfunction", clause, 1.0, takeoff, rules::MALFUNCTION));
        }
        cases
    }

    fn side_cases(&self) -> Vec<LimitCase> {
        let given = self.factors.side_load_factor;
        let n = given.unwrap_or_else(|| rules::side_load_factor(self.factors.load_factor));
        let clause =
            if given.is_some() { "user's choice (former 14 CFR 23.363)" } else { "former 14 CFR 23.363" };
        let case = |name, n| self.steady(name, clause, (n, 0.0), self.inertia(n, 1));
        vec![case("side load to starboard", n), case("side load to port", -n)]
    }

    /// Every combination of signs of the two rates.
    fn gyroscopic_cases(&self, continuous: Power) -> Vec<LimitCase> {
        let f = self.factors;
        let factor = if f.torque_factor_in_gyroscopic { self.torque.factor } else { 1.0 };
        let n = f.gyroscopic_load_factor;
        let basic = self.power(continuous, factor) + self.inertia(-n, 2);
        let signs = [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)];
        let case = |(pitch, yaw): (f64, f64)| {
            let word = |sign: f64, up: &'static str, down: &'static str| if sign > 0.0 { up } else { down };
            let name = format!(
                "gyroscopic, {}, {}",
                word(pitch, "nose up", "nose down"),
                word(yaw, "nose to port", "nose to starboard")
            );
            let rate =
                self.plant.aircraft_axes * Vec3::new(0.0, pitch * f.pitch_rate_rad_s, yaw * f.yaw_rate_rad_s);
            self.gyroscopic(name, (n, factor), basic, rate, continuous.speed_rad_s)
        };
        signs.into_iter().map(case).collect()
    }

    fn gyroscopic(
        &self,
        name: String,
        factors: (f64, f64),
        mut load: Load,
        rate: Vec3,
        speed: f64,
    ) -> LimitCase {
        const CLAUSE: &str = "former 14 CFR 23.371(a)(2)";
        // The spin vector of a clockwise propeller points forward, along −x.
        let momentum = Vec3::new(-self.plant.sigma * self.plant.polar_inertia_kg_m2 * speed, 0.0, 0.0);
        let turned = -rate.cross(&momentum);
        load.moment_n_m += turned;
        let pulse = self.plant.pulsating_inertia_kg_m2.abs() * speed * rate.y.hypot(rate.z);
        let mut case = self.steady(&name, CLAUSE, factors, load);
        if pulse > 0.0 {
            let direction = |angle: f64| Vec3::new(0.0, angle.cos(), angle.sin()) * pulse;
            // The gyroscopic moment is greatest where the pulse lies along its steady part.
            let along = turned.z.atan2(turned.y);
            case.moment_n_m = load.moment_n_m + direction(along);
            let (y, z) = (self.unit(1), self.unit(2));
            for (k, support) in case.supports.iter_mut().enumerate() {
                let steady = support.force_n;
                let at = |angle: f64| steady + (y[k] * angle.cos() + z[k] * angle.sin()) * pulse;
                let worst = greatest(|angle| at(angle).norm());
                *support = SupportForce { force_n: at(worst), pulse_rad: Some(worst) };
            }
        }
        case
    }

    /// Forces under a unit moment about an axis.
    fn unit(&self, axis: usize) -> Vec<Vec3> {
        let mut moment = Vec3::zeros();
        moment[axis] = 1.0;
        self.group.share(Vec3::zeros(), moment)
    }
}

/// Angle at which a smooth function of it is greatest: a look around, then thirds of the interval about the best.
fn greatest(value: impl Fn(f64) -> f64) -> f64 {
    let step = TAU / AZIMUTHS as f64;
    let angles = (0..AZIMUTHS).map(|k| k as f64 * step);
    let best = angles.max_by(|a, b| value(*a).total_cmp(&value(*b))).unwrap_or_default();
    let (mut low, mut high) = (best - step, best + step);
    // Two thirds a step: 60 steps reach 1e-12 of a degree, below round-off of a flat top.
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if value(low + third) < value(high - third) { low += third } else { high -= third }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Matrix3;

    fn plant(pulsating: f64, sigma: f64) -> LimitPlant {
        LimitPlant {
            mass_kg: 1.1,
            centre_of_gravity_m: Vec3::new(-0.02, 0.0, 0.0),
            polar_inertia_kg_m2: 4.2e-4,
            pulsating_inertia_kg_m2: pulsating,
            sigma,
            aircraft_axes: Matrix3::identity(),
        }
    }

    fn bolts() -> Vec<Support> {
        let at = |k: usize| {
            let angle = std::f64::consts::FRAC_PI_4 * (2 * k + 1) as f64;
            let position_m = Vec3::new(-0.07, 0.03 * angle.cos(), 0.03 * angle.sin());
            Support { name: format!("bolt{}", k + 1), position_m, stiffness_n_m: Matrix3::identity() * 1e6 }
        };
        (0..4).map(at).collect()
    }

    fn factors() -> LimitFactors {
        LimitFactors {
            engine: Engine::Electric { torque_factor: 1.25 },
            load_factor: 3.8,
            side_load_factor: None,
            pitch_rate_rad_s: rules::PITCH_RATE_RAD_S,
            yaw_rate_rad_s: rules::YAW_RATE_RAD_S,
            gyroscopic_load_factor: rules::GYROSCOPIC_LOAD_FACTOR,
            torque_factor_in_gyroscopic: false,
            ultimate_factor: 1.5,
        }
    }

    fn loads(pulsating: f64, sigma: f64) -> LimitLoads {
        let power = Power { thrust_n: 42.0, torque_n_m: 1.05, speed_rad_s: 754.0 };
        limit_loads(&factors(), &plant(pulsating, sigma), &bolts(), power, power).unwrap()
    }

    /// Two thin blades pulse between nothing and twice the mean; no support does better than with three blades.
    #[test]
    fn two_blades_are_worse_than_three() {
        let (three, two) = (loads(0.0, 1.0), loads(4.2e-4, 1.0));
        for (steady, pulsing) in
            three.cases.iter().zip(&two.cases).filter(|(c, _)| c.name.starts_with("gyro"))
        {
            for (one, other) in steady.supports.iter().zip(&pulsing.supports) {
                assert!(other.resultant_n() > one.resultant_n());
                assert!(one.pulse_rad.is_none() && other.pulse_rad.is_some());
            }
        }
    }

    /// Turning the other way swaps which yaw rate adds to the weight.
    #[test]
    fn the_sense_of_rotation_mirrors_the_cases() {
        let (clockwise, counter) = (loads(0.0, 1.0), loads(0.0, -1.0));
        let moment = |loads: &LimitLoads, name: &str| {
            loads.cases.iter().find(|case| case.name == name).unwrap().moment_n_m
        };
        let (to_port, to_starboard) =
            ("gyroscopic, nose up, nose to port", "gyroscopic, nose up, nose to starboard");
        let (one, other) = (moment(&clockwise, to_port), moment(&counter, to_starboard));
        assert!((one.y - other.y).abs() < 1e-12 && (one.x + other.x).abs() < 1e-12);
    }

    /// The factor enters the gyroscopic cases only where it is told to.
    #[test]
    fn torque_factor_in_the_gyroscopic_cases_is_a_choice() {
        let power = Power { thrust_n: 42.0, torque_n_m: 1.0, speed_rad_s: 754.0 };
        let with = LimitFactors { torque_factor_in_gyroscopic: true, ..factors() };
        let last = |f: &LimitFactors| {
            let loads = limit_loads(f, &plant(0.0, 1.0), &bolts(), power, power).unwrap();
            loads.cases.last().unwrap().moment_n_m.x
        };
        assert!((last(&factors()) - 1.0).abs() < 1e-12 && (last(&with) - 1.25).abs() < 1e-12);
    }
}
