//! Values worked out from others by a stated rule, for `check` to show as estimated.

use super::build::section_groups;
use super::values::Values;
use super::{Origin, ResolvedValue};
use crate::point::input::{BladeRow, Propeller, SectionSpec};

/// Radii of the generic blade that `check` shows; its table holds more.
const SHOWN_RADII: [f64; 6] = [0.15, 0.25, 0.4, 0.6, 0.8, 1.0];

/// What a generic blade and outlines of sections lead to.
pub(super) fn derived(v: &Values, propeller: &Propeller) -> Vec<ResolvedValue> {
    let mut list = Vec::new();
    if propeller.blade.generic {
        list.extend(generic_blade(&propeller.blade.rows));
    }
    for (group, section) in section_groups(v).iter().zip(&propeller.sections) {
        let SectionSpec::Shape(shape) = section else { continue };
        let p = shape.properties();
        let values = [
            ("zero_lift_deg", p.zero_lift_rad.to_degrees(), "deg"),
            ("moment", p.moment, "1"),
            ("ideal_lift", p.ideal_lift, "1"),
            ("thickness_ratio", p.thickness_ratio, "1"),
            ("nose_radius_ratio", p.nose_radius_ratio, "1"),
            ("laminar_separation_ratio", p.laminar_separation_ratio, "1"),
        ];
        list.extend(
            values.map(|(name, value, unit)| estimated(format!("{group}.shape.{name}"), shown(value), unit)),
        );
    }
    list
}

fn generic_blade(rows: &[BladeRow]) -> [ResolvedValue; 4] {
    let column = |name: &str, value: fn(&BladeRow) -> f64, unit| {
        let some = rows.iter().filter(|row| SHOWN_RADII.contains(&row.radius_ratio));
        let texts: Vec<String> = some.map(|row| shown(value(row))).collect();
        estimated(format!("propeller.generic_blade.{name}"), format!("[{}]", texts.join(", ")), unit)
    };
    [
        column("radius_ratio", |row| row.radius_ratio, "1"),
        column("chord_ratio", |row| row.chord_ratio, "1"),
        column("twist_deg", |row| row.twist_rad.to_degrees(), "deg"),
        column("thickness_ratio", |row| row.thickness_ratio, "1"),
    ]
}

fn estimated(path: String, value: String, unit: &'static str) -> ResolvedValue {
    ResolvedValue { path, value, unit, origin: Origin::Estimated }
}

/// Four figures are more than such an estimate holds.
fn shown(value: f64) -> String {
    let decimals = (3 - value.abs().max(1e-3).log10().floor() as i32).clamp(0, 5);
    let text = format!("{value:.*}", usize::try_from(decimals).unwrap_or(4));
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}
