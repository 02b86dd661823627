//! Factors of the rules.
//!
//! Former 14 CFR part 23 is the text before amendment 23-64 (2017), whose numbers now live in consensus standards; CS-VLA 361 and
//! its two-stroke list as quoted in its counterparts.

use super::input::Engine;

/// Mean-torque factor with its clause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TorqueFactor {
    /// Factor on the mean torque.
    pub factor: f64,
    /// Where it comes from.
    pub clause: &'static str,
}

/// Share of `n_A` that goes with take-off torque, former 14 CFR 23.361(a)(1).
pub const TAKEOFF_SHARE: f64 = 0.75;
/// Least side load factor, former 14 CFR 23.363.
pub const LEAST_SIDE: f64 = 1.33;
/// Torque factor of a propeller-control malfunction of a turboprop at 1 g, former 14 CFR 23.361(a)(3).
pub const MALFUNCTION: f64 = 1.6;
/// Rates and load factor of former 14 CFR 23.371(a)(2): yaw 2.5 rad/s, pitch 1.0 rad/s, n = 2.5.
pub const YAW_RATE_RAD_S: f64 = 2.5;
/// See [`YAW_RATE_RAD_S`].
pub const PITCH_RATE_RAD_S: f64 = 1.0;
/// See [`YAW_RATE_RAD_S`].
pub const GYROSCOPIC_LOAD_FACTOR: f64 = 2.5;

/// Factor on the mean torque.
///
/// ```
/// use wakebeat_engine::limit::{input::Engine, rules::torque_factor};
/// assert_eq!(torque_factor(Engine::FourStroke { cylinders: 4 }).factor, 2.0);
/// ```
#[must_use]
pub fn torque_factor(engine: Engine) -> TorqueFactor {
    let (factor, clause) = match engine {
        Engine::Electric { torque_factor } => {
            (torque_factor, "user's choice; no rule lists a factor for electric motors")
        }
        Engine::Turboprop => (1.25, "former 14 CFR 23.361(c)"),
        Engine::FourStroke { cylinders: 0 | 1 } => (8.0, "CS-VLA 361(b)(1)"),
        Engine::FourStroke { cylinders: 2 } => (4.0, "former 14 CFR 23.361(c)"),
        Engine::FourStroke { cylinders: 3 } => (3.0, "former 14 CFR 23.361(c)"),
        Engine::FourStroke { cylinders: 4 } => (2.0, "former 14 CFR 23.361(c)"),
        Engine::FourStroke { .. } => (1.33, "former 14 CFR 23.361(c)"),
        Engine::TwoStroke { cylinders: 0 | 1 } => (6.0, "CS-VLA 361(b)(2)"),
        Engine::TwoStroke { cylinders: 2 } => (3.0, "CS-VLA 361(b)(2)"),
        Engine::TwoStroke { .. } => (2.0, "CS-VLA 361(b)(2)"),
    };
    TorqueFactor { factor, clause }
}

/// Side load factor max(1.33, `n_A`/3), former 14 CFR 23.363.
#[must_use]
pub fn side_load_factor(load_factor: f64) -> f64 {
    LEAST_SIDE.max(load_factor / 3.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fewer_cylinders_pulse_harder() {
        let four: Vec<f64> =
            (1..=6).map(|n| torque_factor(Engine::FourStroke { cylinders: n }).factor).collect();
        assert_eq!(four, [8.0, 4.0, 3.0, 2.0, 1.33, 1.33]);
        let two: Vec<f64> =
            (1..=4).map(|n| torque_factor(Engine::TwoStroke { cylinders: n }).factor).collect();
        assert_eq!(two, [6.0, 3.0, 2.0, 2.0]);
    }

    #[test]
    fn a_third_of_the_load_factor_rules_from_four_on() {
        assert_eq!(side_load_factor(3.8), 1.33);
        assert_eq!(side_load_factor(6.0), 2.0);
    }
}
