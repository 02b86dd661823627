//! Further propellers from checked values, and what they must not do to each other.

use super::build;
use super::consistency::{at_key, entries_for_blades, of_geometry, too_fast_tip, too_few_azimuths};
use super::disks_apart::overlap_m;
use super::inputs::Inputs;
use super::problem::Problem;
use super::values::Values;
use crate::point::input::{Body, FurtherPropeller, Placement, Propeller, PropellerChanges, Surface};

/// Path of the group of a further propeller.
fn group(name: &str) -> String {
    format!("further_propeller.{name}")
}

/// All further propellers whose values are right.
pub(super) fn further_propellers(
    v: &Values,
    surfaces: &[Option<Surface>],
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Vec<Option<FurtherPropeller>> {
    let names = v.names("further_propeller.NAME");
    names.iter().map(|name| further_propeller(v, name, surfaces, inputs, problems)).collect()
}

fn further_propeller(
    v: &Values,
    name: &str,
    surfaces: &[Option<Surface>],
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<FurtherPropeller> {
    let group = group(name);
    let key = |key: &str| format!("{group}.{key}");
    let own_blade = ["blade_file", "pitch_m"].iter().any(|k| v.entry(&key(k)).is_some());
    let blade = own_blade
        .then(|| build::blade(v, &group, v.number("propeller.diameter_m"), inputs, problems))
        .map_or(Some(None), |blade| blade.map(Some));
    let behind = |what: &str| at_key(inputs.label, v, &key("behind"), what);
    let placement = match build::placement(v, &group, surfaces, behind)? {
        Ok(placement) => placement,
        Err(problem) => {
            problems.push(problem);
            return None;
        }
    };
    let errors = |path: &str| -> Option<Vec<f64>> {
        v.numbers(&key(path)).map(|list| list.iter().map(|e| e.to_radians()).collect())
    };
    Some(FurtherPropeller {
        name: name.to_owned(),
        placement,
        rotation: build::rotation(v, &group)?,
        phase_rad: v.radians(&key("phase_deg"))?,
        speed_ratio: v.number(&key("speed_ratio"))?,
        changes: PropellerChanges {
            blade_count: v.count(&key("blade_count")),
            diameter_m: v.number(&key("diameter_m")),
            pitch_offset_rad: v.radians(&key("pitch_offset_deg")),
            blade: blade?,
            pitch_error_rad: errors("pitch_error_deg"),
            spacing_error_rad: errors("spacing_error_deg"),
        },
    })
}

/// Checks of plain values; each is silent where a value it needs is missing.
pub(super) fn of_values(label: &str, v: &Values) -> Vec<Problem> {
    let names = v.names("further_propeller.NAME");
    let mut problems = Vec::new();
    for name in names {
        let key = |key: &str| format!("{}.{key}", group(name));
        let blades = v.count(&key("blade_count")).or_else(|| v.count("propeller.blade_count"));
        for path in ["pitch_error_deg", "spacing_error_deg"] {
            let count = v.numbers(&key(path)).map_or(0, <[f64]>::len);
            if let Some(blades) = blades.filter(|blades| count != 0 && count != *blades) {
                let problem = at_key(label, v, &key(path), entries_for_blades(count, blades));
                problems.push(problem.allowed(format!("{blades} entries, one a blade, or none")));
            }
        }
        if let (Some(_), Some(blades)) = (v.entry(&key("blade_count")), blades) {
            problems.extend(too_few_azimuths(label, v, blades));
        }
        if v.numbers("airframe.centre_of_gravity_m").is_none() {
            let what = "needs `airframe.centre_of_gravity_m`, the point where the loads of all propellers are summed";
            let problem = at_key(label, v, &key("name"), what);
            let add = "add [airframe] with centre_of_gravity_m = [x, y, z] to the case";
            problems.push(problem.allowed("a case with a centre of gravity").hint(add));
        }
    }
    if let (Some(_), Some(first)) = (v.text("survey.file"), names.first()) {
        let what =
            format!("holds for the disk of [propeller]: further propellers such as `{first}` have none");
        let problem = at_key(label, v, "survey.file", what);
        problems.push(
            problem.allowed("a case with [survey] or with [[further_propeller]], not both").hint(
                "run one case for each propeller, or describe surfaces and bodies instead of the survey",
            ),
        );
    }
    problems
}

/// The swept volume of every further propeller against surfaces, bodies and the other propellers.
pub(super) fn of_disks(
    label: &str,
    v: &Values,
    (surfaces, bodies): (&[Option<Surface>], &[Option<Body>]),
    (first, first_placement): (&Propeller, Option<&Placement>),
    further: &[Option<FurtherPropeller>],
) -> Vec<Problem> {
    let mut problems = Vec::new();
    let mut earlier: Vec<(&str, Propeller, &Placement)> = Vec::new();
    earlier.extend(first_placement.map(|placement| ("propeller", first.clone(), placement)));
    for one in further.iter().flatten() {
        let own = one.propeller(first);
        let group = group(&one.name);
        problems.extend(of_geometry(label, v, &group, (surfaces, bodies), &own, &one.placement));
        let speed = if one.changes.diameter_m.is_some() { "diameter_m" } else { "speed_ratio" };
        problems.extend(too_fast_tip(label, v, &format!("{group}.{speed}"), &own));
        for (other, propeller, placement) in &earlier {
            if let Some(depth_m) = overlap_m((&own, &one.placement), (propeller, placement)) {
                let axial =
                    if v.text(&format!("{group}.behind")).is_some() { "lateral_m" } else { "hub_y_m" };
                let what = format!(
                    "lets its disk overlap that of `{other}`: they share a strip {depth_m:.4} m wide"
                );
                let problem = at_key(label, v, &format!("{group}.{axial}"), what);
                problems.push(
                    problem
                        .allowed("disks clear of each other, the axial depth of their blades counted")
                        .hint("move the hubs apart sideways, or one disk further aft"),
                );
            }
        }
        earlier.push((&one.name, own, &one.placement));
    }
    problems
}
