//! Names of axes in the result file.

use crate::point::result::{BladeLoad, HubLoad};

/// Names in the root of a result file, of any kind; an axis never takes one of them.
const ROOT: [&str; 20] = [
    "airframe",
    "attribution",
    "azimuth_rad",
    "blade",
    "blade_harmonics",
    "case",
    "disk",
    "further",
    "hub",
    "hub_harmonics",
    "inputs",
    "message",
    "mount",
    "order",
    "point",
    "radius_m",
    "status",
    "summary",
    "warning",
    "warnings",
];

/// A name for each key: its last segment, or its full path with `_` where another axis, the file's own layout or a load has
/// that name.
pub(crate) fn axis_names(keys: &[&str]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for key in keys {
        let last = |key: &str| key.rsplit('.').next().unwrap_or_default().to_owned();
        let own = last(key);
        let shared = keys.iter().filter(|other| last(other) == own).count() > 1;
        let mut name = if shared || is_taken(&own) { key.replace('.', "_") } else { own };
        while names.contains(&name) {
            name.push('_');
        }
        names.push(name);
    }
    names
}

/// Whether the result file uses the name for something else.
fn is_taken(name: &str) -> bool {
    let hub = HubLoad::ALL.iter().any(|load| load.key() == name);
    hub || BladeLoad::ALL.iter().any(|load| load.key() == name) || ROOT.contains(&name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_segment_unless_taken() {
        let keys = [
            "placement.shaft_offset_m",
            "surface.wing.incidence_deg",
            "surface.tail.incidence_deg",
            "trim.thrust_n",
            "propeller.blade_count",
        ];
        let names = [
            "shaft_offset_m",
            "surface_wing_incidence_deg",
            "surface_tail_incidence_deg",
            "trim_thrust_n",
            "blade_count",
        ];
        assert_eq!(axis_names(&keys), names);
    }

    #[test]
    fn paths_that_look_alike_stay_apart() {
        let keys = ["surface.a_flap.b.c", "surface.a.flap_b.c"];
        assert_eq!(axis_names(&keys), ["surface_a_flap_b_c", "surface_a_flap_b_c_"]);
    }
}
