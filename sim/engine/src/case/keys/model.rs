//! Which part of the model a key belongs to, in the words of the README.

use super::KeySpec;

/// Keys that belong elsewhere than the rest of their group: group, name, model.
const OWN: &[(&str, &str, &str)] = &[
    ("flight", "altitude_m", AIR),
    ("flight", "temperature_offset_k", AIR),
    ("propeller", "blade_file", BLADES),
    ("propeller", "pitch_m", BLADES),
    ("propeller", "pitch_error_deg", BLADES),
    ("propeller", "spacing_error_deg", BLADES),
    ("section", "compressibility", "compressibility of the blade's sections"),
    ("surface.NAME", "thickness_ratio", "lift and thickness fields of surfaces"),
    ("surface.NAME", "potential", "lift and thickness fields of surfaces"),
    ("surface.NAME", "drag_min", "viscous wakes of surfaces"),
    ("surface.NAME", "drag_rise", "viscous wakes of surfaces"),
    ("surface.NAME", "wake", "viscous wakes of surfaces"),
    ("body.NAME", "drag_coefficient", "wakes of bodies"),
    ("body.NAME", "wake", "wakes of bodies"),
    ("body.NAME", "potential", "potential field of bodies"),
    ("solver", "induction", "induced velocity"),
    ("solver", "tip_loss", "induced velocity"),
    ("solver", "section_lift", "unsteady lift"),
    ("solver", "streamwise", "unsteady lift"),
    ("solver", "suction", "suction of the propeller on the wakes"),
    ("airframe", "centre_of_gravity_m", "sums of loads at the centre of gravity"),
    ("airframe", "inertia_kg_m2", "motor mount on a free airframe"),
    ("airframe", "inertia_xz_kg_m2", "motor mount on a free airframe"),
    ("airframe", "gear", CLEARANCES),
    ("airframe", "main_wheel_m", CLEARANCES),
    ("airframe", "third_wheel_m", CLEARANCES),
    ("airframe", "tyre_drop_m", CLEARANCES),
    ("airframe", "strut_drop_m", CLEARANCES),
    ("airframe", "rotation_deg", CLEARANCES),
    ("airframe", "waterline_z_m", CLEARANCES),
];

const AIR: &str = "air (standard atmosphere)";
const BLADES: &str = "blades";
const CLEARANCES: &str = "clearances to ground and water";

/// The model of a key; empty for a group that nobody has placed yet, which a test refuses.
pub(super) fn of(spec: &KeySpec) -> &'static str {
    let own = OWN.iter().find(|(group, name, _)| *group == spec.group && *name == spec.name);
    own.map_or_else(|| of_group(spec.group), |(_, _, model)| model)
}

fn of_group(group: &str) -> &'static str {
    match group.split('.').next().unwrap_or_default() {
        "" => "none: words for people",
        "flight" => "undisturbed flow",
        "propeller" => "rotor",
        "further_propeller" => "further propellers",
        "section" | "sections" => "sections of the blade",
        "placement" => "geometry of the installation",
        "surface" => "lifting surfaces",
        "body" => "bodies of revolution",
        "survey" => "survey of the disk",
        "solver" => "grid of stations and azimuths",
        "airframe" | "trim" => "trimmed flight",
        "sweep" => "grid of a sweep",
        "choose" => "ranking of candidates",
        "mount" | "isolator" => "motor mount",
        "sensor" | "airframe_mode" => "motor mount and what it shakes",
        "schedule" => "march in time",
        "duty" => "duty cycle of the mount",
        "limit" => "limit loads of the mount",
        _ => "",
    }
}
