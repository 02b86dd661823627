//! Checks between the keys of `[trim]`, `[airframe]` and the rest of the case.

use super::consistency::at_key;
use super::keys::LEAST_TOLERANCE;
use super::problem::Problem;
use super::values::Values;

/// The coarsest `solver.tolerance` with which thrust can be met to 1e-6.
const MOST_TOLERANCE: f64 = 1e-7;

/// Every check; each is silent where a value it needs is missing.
pub(super) fn of_values(label: &str, v: &Values) -> Vec<Problem> {
    let checks = [two_thrusts, drag_area, mass, lift, airspeed, limits, tolerance, wheels];
    checks.iter().filter_map(|check| check(label, v)).collect()
}

fn is_true(v: &Values, path: &str) -> bool {
    v.boolean(path) == Some(true)
}

fn wants_thrust(v: &Values) -> bool {
    is_true(v, "trim.drag") || v.number("trim.thrust_n").is_some()
}

fn two_thrusts(label: &str, v: &Values) -> Option<Problem> {
    (is_true(v, "trim.drag") && v.number("trim.thrust_n").is_some()).then(|| {
        at_key(label, v, "trim.thrust_n", "does not go with `trim.drag = true`: there is one thrust to meet")
            .allowed("thrust_n, or drag = true")
            .hint("remove one of them")
    })
}

fn drag_area(label: &str, v: &Values) -> Option<Problem> {
    (is_true(v, "trim.drag") && v.number("airframe.drag_area_m2").is_none()).then(|| {
        at_key(label, v, "trim.drag", "needs `airframe.drag_area_m2`, which is not given")
            .allowed("a case with airframe.drag_area_m2")
            .hint(
                "drag over dynamic pressure at zero lift; small pushers have 0.02 to 0.05 of the wing's area",
            )
    })
}

fn mass(label: &str, v: &Values) -> Option<Problem> {
    (is_true(v, "trim.level") && v.number("airframe.mass_kg").is_none()).then(|| {
        at_key(label, v, "trim.level", "needs `airframe.mass_kg`, which is not given")
            .allowed("a case with airframe.mass_kg")
            .hint("give the mass in flight")
    })
}

/// Level flight and the drag of lift need something that lifts.
fn lift(label: &str, v: &Values) -> Option<Problem> {
    let lifts = v.number("airframe.lift_slope_per_rad").is_some()
        || v.some_unnamed
        || !v.names("surface.NAME").is_empty();
    (is_true(v, "trim.level") && !lifts).then(|| {
        at_key(label, v, "trim.level", "finds nothing that lifts")
            .allowed(
                "a case with [[surface]], or with airframe.reference_area_m2 and airframe.lift_slope_per_rad",
            )
            .hint("describe the wing, or the aircraft's lift slope")
    })
}

fn airspeed(label: &str, v: &Values) -> Option<Problem> {
    let needs = ["trim.level", "trim.drag"].into_iter().find(|path| is_true(v, path))?;
    (v.number("flight.airspeed_m_s")? == 0.0).then(|| {
        at_key(label, v, needs, "needs an airspeed: at rest nothing lifts and nothing drags")
            .allowed("flight.airspeed_m_s above 0")
            .hint("for static thrust give trim.thrust_n without level")
    })
}

/// Limits stand in order.
fn limits(label: &str, v: &Values) -> Option<Problem> {
    let pairs = [("speed_min_rpm", "speed_max_rpm"), ("pitch_offset_min_deg", "pitch_offset_max_deg")];
    pairs.into_iter().find_map(|(low, high)| {
        let path = |key: &str| format!("trim.{key}");
        let (least, most) = (v.number(&path(low))?, v.number(&path(high))?);
        (most <= least).then(|| {
            at_key(label, v, &path(high), format!("is not above {low} = {least}"))
                .allowed(format!("{low} < {high}"))
                .hint("widen the limits")
        })
    })
}

/// Thrust cannot be met more closely than it is computed.
fn tolerance(label: &str, v: &Values) -> Option<Problem> {
    let tolerance = v.number("solver.tolerance")?;
    (wants_thrust(v) && tolerance > MOST_TOLERANCE).then(|| {
        at_key(label, v, "solver.tolerance", "is too coarse for [trim], which meets thrust to 1e-6")
            .allowed(format!("{LEAST_TOLERANCE:e} to {MOST_TOLERANCE:e} with [trim]"))
    })
}

/// A nose wheel stands ahead of the main wheels, a tail wheel behind.
fn wheels(label: &str, v: &Values) -> Option<Problem> {
    let main_x = v.numbers("airframe.main_wheel_m")?.first()?;
    let third_x = v.numbers("airframe.third_wheel_m")?.first()?;
    let tail = v.text("airframe.gear")? == "tail_wheel";
    let (what, allowed) = match (tail, third_x < main_x, third_x > main_x) {
        (false, false, _) => {
            ("is not ahead of the main wheels, as a nose wheel is", "x less than that of main_wheel_m")
        }
        (true, _, false) => {
            ("is not behind the main wheels, as a tail wheel is", "x above that of main_wheel_m")
        }
        _ => return None,
    };
    Some(at_key(label, v, "airframe.third_wheel_m", what).allowed(allowed).hint("x grows aft"))
}
