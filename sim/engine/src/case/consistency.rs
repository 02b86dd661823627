//! Checks that take more than one key: what the numbers mean together.

use super::Origin;
use super::body_cut::deepest_body_cut_m;
use super::build::speed_rad_s;
use super::disk_cut::deepest_cut_m;
use super::problem::{Problem, counted};
use super::survey_cover::{Uncovered, uncovered};
use super::values::Values;
use super::walk::problem_at;
use crate::air::standard_air;
use crate::inflow::survey::AxialRatio;
use crate::point::input::{Body, Placement, Propeller, Surface, Survey};
use std::f64::consts::TAU;

/// A problem at the place of a key that has a value.
pub(super) fn at_key(label: &str, v: &Values, path: &str, what: impl Into<String>) -> Problem {
    let entry = v.entry(path);
    // A default has no place of its own: the problem is one of the case as a whole.
    let problem = match entry.and_then(|entry| entry.place) {
        Some(place) => problem_at(label, place, what),
        None => Problem::of_file(label, what),
    };
    problem.key(path).value(entry.map_or_else(String::new, |entry| entry.written.clone()))
}

/// Every check of plain values; each is silent where a value it needs is missing.
pub(super) fn of_values(label: &str, v: &Values) -> Vec<Problem> {
    let singles = [tip_mach(label, v), azimuths(label, v)];
    let errors = ["propeller.pitch_error_deg", "propeller.spacing_error_deg"];
    let per_blade = errors.into_iter().map(|path| per_blade(label, v, path));
    let bodies = v.names("body.NAME").iter().map(|name| body_proportions(label, v, name));
    let flaps = v.names("surface.NAME").iter().flat_map(|surface| flap_spans(label, v, surface));
    let further = super::further::of_values(label, v);
    singles.into_iter().chain(per_blade).chain(bodies).flatten().chain(flaps).chain(further).collect()
}

/// The tail leaves room for a nose no blunter than half a sphere and is long enough to close.
fn body_proportions(label: &str, v: &Values, name: &str) -> Option<Problem> {
    let key = |key: &str| format!("body.{name}.{key}");
    let number = |k: &str| v.number(&key(k));
    let (length, diameter) = (number("length_m")?, number("diameter_m")?);
    let (closing, most) = (number("closing_length_m")?, length - 0.5 * diameter);
    let what = if closing < diameter {
        "is less than the body's diameter: such a tail does not close attached"
    } else if closing > most {
        "leaves no room for the nose"
    } else {
        return None;
    };
    let problem = at_key(label, v, &key("closing_length_m"), what);
    Some(if most < diameter {
        problem
            .allowed(format!(
                "one diameter, {diameter} m, or more, and a length_m at least half a diameter longer"
            ))
            .hint("raise length_m or lower diameter_m")
    } else {
        problem.allowed(format!("{diameter} to {most} m, one diameter to length less half a diameter"))
    })
}

/// Flaps of a surface have a span of their own.
fn flap_spans(label: &str, v: &Values, surface: &str) -> Vec<Problem> {
    let path = format!("surface.{surface}.flap");
    let mut problems = Vec::new();
    let mut earlier: Vec<(&str, f64, f64)> = Vec::new();
    for name in v.names(&format!("{path}.NAME")) {
        let key = |key: &str| format!("{path}.{name}.{key}");
        let (Some(from), Some(to)) = (v.number(&key("span_from")), v.number(&key("span_to"))) else {
            continue;
        };
        if to <= from {
            let what = format!("does not lie outside span_from = {from}");
            let problem = at_key(label, v, &key("span_to"), what);
            problems.push(problem.allowed("span_from < span_to, both 0 to 1"));
            continue;
        }
        if let Some((other, low, high)) = earlier.iter().find(|(_, low, high)| from < *high && to > *low) {
            let what = format!("lets the flap overlap `{other}`, which spans {low} to {high}");
            let problem = at_key(label, v, &key("span_from"), what);
            problems.push(problem.allowed("flaps beside each other, each with a span of its own"));
        }
        earlier.push((name, from, to));
    }
    problems
}

/// The helical tip speed stays below sound: section models and wake know no supersonic flow.
fn tip_mach(label: &str, v: &Values) -> Option<Problem> {
    let airspeed = v.number("flight.airspeed_m_s")?;
    let problem = fast_tip(label, v, "propeller.speed_rpm", (v.number("propeller.speed_rpm")?, airspeed))?;
    Some(problem.hint("lower speed_rpm or diameter_m"))
}

/// A shaft speed, rpm, and an airspeed, m/s, whose helical tip speed is above that of sound; `key` is what makes it so.
pub(super) fn fast_tip(
    label: &str,
    v: &Values,
    key: &str,
    (speed_rpm, airspeed_m_s): (f64, f64),
) -> Option<Problem> {
    let rotation = 0.5 * v.number("propeller.diameter_m")? * speed_rpm * TAU / 60.0;
    let mach = rotation.hypot(airspeed_m_s) / speed_of_sound_m_s(v)?;
    (mach > 1.0).then(|| {
        let most = sonic_rpm(v, airspeed_m_s).unwrap_or_default();
        let allowed = if most > 0.0 {
            format!("tip Mach number up to 1, here 0 to {most:.0} rpm")
        } else {
            "an airspeed below sound".into()
        };
        at_key(label, v, key, format!("gives a helical tip Mach number of {mach:.3}, above 1"))
            .allowed(allowed)
    })
}

/// The shaft speed, rpm, at which the tips reach the speed of sound at an airspeed; 0 where the airspeed alone does.
pub(super) fn sonic_rpm(v: &Values, airspeed_m_s: f64) -> Option<f64> {
    let rotation = (speed_of_sound_m_s(v)?.powi(2) - airspeed_m_s.powi(2)).max(0.0).sqrt();
    Some(rotation / (0.5 * v.number("propeller.diameter_m")?) * 60.0 / TAU)
}

fn speed_of_sound_m_s(v: &Values) -> Option<f64> {
    let air = standard_air(v.number("flight.altitude_m")?, v.number("flight.temperature_offset_k")?);
    Some(air.speed_of_sound_m_s)
}

/// As [`tip_mach`] for a further propeller; `key` is what makes it faster than the first.
pub(super) fn too_fast_tip(label: &str, v: &Values, key: &str, propeller: &Propeller) -> Option<Problem> {
    let airspeed = v.number("flight.airspeed_m_s")?;
    let sound = speed_of_sound_m_s(v)?;
    let mach = airspeed.hypot(0.5 * propeller.diameter_m * propeller.speed_rad_s) / sound;
    // A fast first propeller is its own problem; it is not told once more for every other one.
    let of_first = 0.5 * v.number("propeller.diameter_m")? * speed_rad_s(v)?;
    (mach > 1.0 && airspeed.hypot(of_first) <= sound).then(|| {
        at_key(label, v, key, format!("gives a helical tip Mach number of {mach:.3}, above 1"))
            .allowed("tip Mach number up to 1")
            .hint("lower speed_ratio, diameter_m or propeller.speed_rpm")
    })
}

/// Orders up to harmonics × `blade_count` need more than two samples a cycle.
fn azimuths(label: &str, v: &Values) -> Option<Problem> {
    too_few_azimuths(label, v, v.count("propeller.blade_count")?)
}

pub(super) fn too_few_azimuths(label: &str, v: &Values, blades: usize) -> Option<Problem> {
    let harmonics = v.count("solver.harmonics")?;
    let least = 2 * harmonics * blades + 2;
    (v.count("solver.azimuths")? < least).then(|| {
        let what = format!("are too few for {harmonics} harmonics of {blades} blades");
        at_key(label, v, "solver.azimuths", what)
            .allowed(format!("{least} or more, 2 × harmonics × blade_count + 2"))
            .hint("raise azimuths or keep fewer harmonics")
    })
}

/// What is wrong with a list that has not one entry a blade.
pub(super) fn entries_for_blades(count: usize, blades: usize) -> String {
    format!("has {} for {}", counted(count, "entry", "entries"), counted(blades, "blade", "blades"))
}

fn per_blade(label: &str, v: &Values, path: &str) -> Option<Problem> {
    let (count, blades) = (v.numbers(path)?.len(), v.count("propeller.blade_count")?);
    (count != 0 && count != blades).then(|| {
        at_key(label, v, path, entries_for_blades(count, blades))
            .allowed(format!("{blades} entries, one a blade, or none"))
    })
}

/// The blades' swept volume against every surface and body; `group` holds the placement keys.
pub(super) fn of_geometry(
    label: &str,
    v: &Values,
    group: &str,
    (surfaces, bodies): (&[Option<Surface>], &[Option<Body>]),
    propeller: &Propeller,
    placement: &Placement,
) -> Vec<Problem> {
    let aft = if v.text(&format!("{group}.behind")).is_some() { "axial_gap_m" } else { "hub_x_m" };
    let key = format!("{group}.{aft}");
    let problem = |kind: &str, name: &str, depth_m: f64, allowed: &str| {
        let what =
            format!("lets the disk cut the {kind} `{name}`: it reaches {depth_m:.4} m inside the tip circle");
        let placed = v.entries().iter().any(|e| e.group == group && e.origin != Origin::Default);
        let hint = if placed {
            format!("move the hub aft, or away from the {kind}, or make the propeller smaller")
        } else {
            "give [placement] with behind, shaft_offset_m and axial_gap_m, or with hub_x_m, hub_y_m and hub_z_m"
                .into()
        };
        at_key(label, v, &key, what).allowed(allowed).hint(hint)
    };
    let by_surface = |surface: &Surface| {
        let depth_m = deepest_cut_m(surface, propeller, placement)?;
        let allowed = "a hub whose blades clear every surface, their axial depth, tilt and toe counted";
        Some(problem("surface", &surface.name, depth_m, allowed))
    };
    let by_body = |body: &Body| {
        let depth_m = deepest_body_cut_m(body, propeller, placement)?;
        let allowed = "a hub whose blades clear every body from root to tip; inside the blade root a body may reach \
                       through the disk";
        Some(problem("body", &body.name, depth_m, allowed))
    };
    let surfaces = surfaces.iter().flatten().filter_map(by_surface);
    surfaces.chain(bodies.iter().flatten().filter_map(by_body)).collect()
}

/// Mean axial velocity over airspeed that a survey may bring: less is air from behind, more a column in m/s.
const AXIAL_RATIO: (f64, f64) = (0.0, 5.0);

/// A survey covers the disk from blade root to tip and blows through it from ahead, in ratios to airspeed.
pub(super) fn of_survey(
    label: &str,
    v: &Values,
    survey: &Survey,
    propeller: &Propeller,
    placement: &Placement,
) -> Option<Problem> {
    if let Some(Uncovered { what, allowed }) = uncovered(&survey.data, propeller, placement) {
        return Some(
            at_key(label, v, "survey.file", format!("does not cover the disk: {what}")).allowed(allowed),
        );
    }
    // One that adds to surfaces and bodies may be a part of the field alone.
    let mean = AxialRatio::new(survey, propeller, placement).mean;
    let blows = mean > AXIAL_RATIO.0 && mean < AXIAL_RATIO.1;
    if blows || survey.add {
        return None;
    }
    let what = format!("gives a mean axial velocity of {mean:.3} times the airspeed over the disk");
    let allowed = format!(
        "above {} and below {}: u_x, u_y, u_z or a_x, … are ratios to airspeed, aft, to starboard and up positive",
        AXIAL_RATIO.0, AXIAL_RATIO.1
    );
    let hint = if mean < 0.0 {
        "an axis that points forward? change the sign of its column"
    } else {
        "velocities in m/s? divide them by the airspeed of the survey"
    };
    Some(at_key(label, v, "survey.file", what).allowed(allowed).hint(hint))
}
