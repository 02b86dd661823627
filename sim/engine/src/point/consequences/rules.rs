//! Clearances against published rules.
//!
//! The figures are those of former 14 CFR 23.925 and 14 CFR 25.925, written for certified aeroplanes. They are shown for
//! orientation: a small unmanned aircraft may be bound by other rules or by none. No published rule was found for the distance
//! behind a trailing edge beyond the axial clearance of the blades.

use super::ground::{NOSE_WHEEL_RULE_M, TAIL_WHEEL_RULE_M, WATER_RULE_M};
use super::structure::{AXIAL_RULE_M, TIP_RULE_M};
use crate::point::input::Airframe;
use crate::point::result::Scalar;

/// A clearance beside what a rule asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceRule {
    /// Name of the clearance's scalar.
    pub name: String,
    /// In a few words.
    pub what: &'static str,
    /// The clearance, m.
    pub clearance_m: f64,
    /// What the rule asks for, m; 0 where it asks for a positive clearance.
    pub least_m: f64,
    /// The rule.
    pub rule: &'static str,
}

impl ClearanceRule {
    /// Whether the clearance is what the rule asks for.
    #[must_use]
    pub fn is_met(&self) -> bool {
        if self.least_m > 0.0 { self.clearance_m >= self.least_m } else { self.clearance_m > 0.0 }
    }
}

/// The clearances among the consequences of a case, each beside its rule.
#[must_use]
pub fn clearance_rules(consequences: &[Scalar], airframe: &Airframe) -> Vec<ClearanceRule> {
    let tail_wheel = airframe.gear.is_some_and(|gear| gear.tail_wheel);
    let ground_m = if tail_wheel { TAIL_WHEEL_RULE_M } else { NOSE_WHEEL_RULE_M };
    let rules = [
        (
            "clearance_axial_m",
            "blades and structure, axial",
            AXIAL_RULE_M,
            "former 14 CFR 23.925(c), 25.925(c)",
        ),
        ("clearance_tip_m", "tips and structure, radial", TIP_RULE_M, "former 14 CFR 23.925(c), 25.925(c)"),
        ("clearance_ground_m", "tips and ground, static", ground_m, "former 14 CFR 23.925(a), 25.925(a)"),
        (
            "clearance_ground_deflected_m",
            "tips and ground, gear deflected",
            0.0,
            "former 14 CFR 23.925(a), 25.925(a)",
        ),
        ("clearance_ground_rotated_m", "tips and ground, rotated", 0.0, "former 14 CFR 23.925(a)"),
        ("clearance_ground_rotated_deflected_m", "tips and ground, both", 0.0, "none: both at once"),
        ("clearance_water_m", "tips and water", WATER_RULE_M, "former 14 CFR 23.925(b)"),
    ];
    let found = rules.into_iter().filter_map(|(name, what, least_m, rule)| {
        let scalar = consequences.iter().find(|s| s.name == name)?;
        Some(ClearanceRule { name: name.to_owned(), what, clearance_m: scalar.value, least_m, rule })
    });
    found.collect()
}
