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

/// Key of the blade count of a further propeller.
pub(crate) fn blade_count_key(name: &str) -> String {
    format!("further_propeller.{name}.blade_count")
}

/// Names by which readers find what the first propeller has.
const OF_FIRST: [&str; 2] = ["blade_count", "diameter_m"];

/// A name for each key: its last segment, or its full path with `_` where another axis, the file's own layout, a load or a
/// property of the first propeller has that name.
pub(crate) fn axis_names(keys: &[&str]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for key in keys {
        let last = |key: &str| key.rsplit('.').next().unwrap_or_default().to_owned();
        let own = last(key);
        let shared = keys.iter().filter(|other| last(other) == own).count() > 1;
        let mut name =
            if shared || is_taken(&own) || is_of_first(&own, key) { key.replace('.', "_") } else { own };
        while names.contains(&name) {
            name.push('_');
        }
        names.push(name);
    }
    names
}

/// Whether the short name tells of the first propeller, and the key of something else.
fn is_of_first(name: &str, key: &str) -> bool {
    OF_FIRST.contains(&name) && key != format!("propeller.{name}")
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

    /// Readers take `blade_count` and `diameter_m` for those of the first propeller.
    #[test]
    fn what_the_first_propeller_has_is_not_named_after_another() {
        let keys = ["further_propeller.port.blade_count", "body.pod.diameter_m"];
        assert_eq!(axis_names(&keys), ["further_propeller_port_blade_count", "body_pod_diameter_m"]);
        assert_eq!(axis_names(&["propeller.diameter_m"]), ["diameter_m"]);
    }

    #[test]
    fn paths_that_look_alike_stay_apart() {
        let keys = ["surface.a_flap.b.c", "surface.a.flap_b.c"];
        assert_eq!(axis_names(&keys), ["surface_a_flap_b_c", "surface_a_flap_b_c_"]);
    }
}
