//! The scalars a designer reads first.

use super::result::{HubLoad, PointResult, Scalar};
use super::setup::Setup;

/// Means, coefficients and ripple amplitudes.
///
/// J = V/(nD), `C_T` = T/(ρn²D⁴), `C_P` = P/(ρn³D⁵), η = TV/P with n in revolutions per second.
pub(super) fn scalars(setup: &Setup, result: &PointResult) -> Vec<Scalar> {
    let propeller = &setup.point.propeller;
    let revolutions = propeller.speed_rad_s / std::f64::consts::TAU;
    let diameter = propeller.diameter_m;
    let airspeed = setup.point.flight.airspeed_m_s;
    let density = setup.ahead.air.density_kg_m3;
    let thrust = result.hub(HubLoad::Thrust).harmonics.amplitude[0];
    let torque = result.hub(HubLoad::Torque).harmonics.amplitude[0];
    let power = torque * propeller.speed_rad_s;
    let head = density * revolutions * revolutions * diameter.powi(4);
    let tip_speed = airspeed.hypot(propeller.speed_rad_s * setup.ahead.tip_m);
    // No useful work is asked for at rest, and none is defined while the propeller drives the shaft.
    let efficiency = if power > 0.0 { thrust * airspeed / power } else { 0.0 };
    let mut list = Vec::new();
    let mut add = |name: &str, unit: &'static str, long_name: &str, value: f64| {
        list.push(Scalar { name: name.into(), unit, long_name: long_name.into(), value });
    };
    add("thrust_n", "N", "mean thrust", thrust);
    add("torque_n_m", "N m", "mean aerodynamic shaft torque", torque);
    add("power_w", "W", "mean shaft power", power);
    add("efficiency", "1", "thrust times airspeed over shaft power", efficiency);
    add(
        "advance_ratio",
        "1",
        "airspeed over revolutions per second times diameter",
        airspeed / (revolutions * diameter),
    );
    add("thrust_coefficient", "1", "thrust over density, n squared, diameter to the fourth", thrust / head);
    add(
        "power_coefficient",
        "1",
        "power over density, n cubed, diameter to the fifth",
        power / (head * revolutions * diameter),
    );
    add("tip_mach", "1", "helical Mach number of the tip", tip_speed / setup.ahead.air.speed_of_sound_m_s);
    add(
        "disk_loading_n_per_m2",
        "N/m2",
        "mean thrust over disk area",
        thrust / (std::f64::consts::PI * setup.ahead.tip_m.powi(2)),
    );
    add("airspeed_m_s", "m/s", "true airspeed", airspeed);
    add("speed_rpm", "rpm", "shaft speed", revolutions * 60.0);
    add("shaft_frequency_hz", "Hz", "shaft frequency, 1P", revolutions);
    add("blade_passage_hz", "Hz", "blade-passage frequency, NP", revolutions * setup.blades());
    add("density_kg_m3", "kg/m3", "air density", density);
    for load in HubLoad::ALL {
        add_ripple(&mut list, load, result);
    }
    list
}

/// Mean, 1P, NP, 2NP and peak-to-peak of a load.
fn add_ripple(list: &mut Vec<Scalar>, load: HubLoad, result: &PointResult) {
    let history = result.hub(load);
    let blades = result.blade_count;
    // Orders beyond solver.harmonics are not known, which is not none.
    let order = |n: usize| history.harmonics.amplitude.get(n).copied().unwrap_or(f64::NAN);
    let (least, greatest) =
        history.history.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| (a.min(*x), b.max(*x)));
    let suffix = load.key().strip_prefix(load.name()).unwrap_or("_n");
    for (what, value, words) in [
        ("mean", order(0), "mean of"),
        ("1p", order(1), "amplitude at shaft frequency of"),
        ("np", order(blades), "amplitude at blade-passage frequency of"),
        (
            "2np",
            order(2 * blades),
            "amplitude at twice blade-passage frequency (not a number where solver.harmonics ends below) of",
        ),
        ("peak_to_peak", greatest - least, "peak-to-peak over a revolution of"),
    ] {
        list.push(Scalar {
            name: format!("{}_{what}{suffix}", load.name()),
            unit: load.unit(),
            long_name: format!("{words} {}", load.long_name()),
            value,
        });
    }
}
