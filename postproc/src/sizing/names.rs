//! Where everything stands.

/// Spectra; one group a load below it.
pub(super) const SPECTRUM: &str = "mount/spectrum";
/// Damage of details.
pub(super) const DAMAGE: &str = "mount/damage";
/// Limit loads.
pub(super) const LIMIT: &str = "mount/limit";

/// `mount/spectrum/segment` and the like.
pub(super) fn in_spectrum(name: &str) -> String {
    format!("{SPECTRUM}/{name}")
}

/// `mount/damage/detail` and the like.
pub(super) fn in_damage(name: &str) -> String {
    format!("{DAMAGE}/{name}")
}

/// `mount/limit/case` and the like.
pub(super) fn in_limit(name: &str) -> String {
    format!("{LIMIT}/{name}")
}

/// An array of one load; `suffix` is that of its unit, empty where the array has a unit of its own.
pub(super) fn of_load(load: &str, name: &str, suffix: &str) -> String {
    let line = if suffix.is_empty() { "" } else { "_" };
    format!("{SPECTRUM}/{load}/{name}{line}{suffix}")
}

/// Ending of names with the unit of a load.
pub(super) fn suffix(unit: &str) -> &'static str {
    if unit == "N" { "n" } else { "n_m" }
}
