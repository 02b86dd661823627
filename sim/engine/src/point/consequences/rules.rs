//! Clearances against published rules.
//!
//! The figures are those of 14 CFR 25.925 and former 14 CFR 23.925, written for certified aeroplanes. They are shown for
//! orientation: a small unmanned aircraft may be bound by other rules or by none. No published rule was found for the distance
//! behind a trailing edge beyond the axial clearance of the blades.

use super::airframe_consequences_of_all;
use super::ground::{NOSE_WHEEL_RULE_M, TAIL_WHEEL_RULE_M, WATER_RULE_M};
use super::structure::{AXIAL_RULE_M, TIP_RULE_M};
use crate::point::input::OperatingPoint;

/// Name of the clearance that belongs to no propeller alone.
const BETWEEN_PROPELLERS: &str = "clearance_propellers_m";

/// A clearance beside what a rule asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct ClearanceRule {
    /// Name of the clearance's scalar.
    pub name: String,
    /// In a few words.
    pub what: &'static str,
    /// The propeller that it is the clearance of, where there are several; `None` for that between two.
    pub propeller: Option<String>,
    /// The clearance, m; of several propellers the least.
    pub clearance_m: f64,
    /// What the rule asks for, m; 0 where it asks for a positive clearance.
    pub least_m: f64,
    /// The rule.
    pub rule: &'static str,
}

impl ClearanceRule {
    /// Between what, and of which propeller where there are several.
    #[must_use]
    pub fn between(&self) -> String {
        match &self.propeller {
            Some(name) => format!("{}, `{name}`", self.what),
            None => self.what.to_owned(),
        }
    }

    /// Whether the clearance is what the rule asks for.
    #[must_use]
    pub fn is_met(&self) -> bool {
        if self.least_m > 0.0 { self.clearance_m >= self.least_m } else { self.clearance_m > 0.0 }
    }
}

/// The least clearances of all propellers, each beside its rule.
#[must_use]
pub fn clearance_rules(point: &OperatingPoint) -> Vec<ClearanceRule> {
    let tail_wheel = point.airframe.gear.is_some_and(|gear| gear.tail_wheel);
    let ground_m = if tail_wheel { TAIL_WHEEL_RULE_M } else { NOSE_WHEEL_RULE_M };
    let rules = [
        (
            "clearance_axial_m",
            "blades and structure, axial",
            AXIAL_RULE_M,
            "14 CFR 25.925(c), former 23.925(c)",
        ),
        ("clearance_tip_m", "tips and structure, radial", TIP_RULE_M, "14 CFR 25.925(c), former 23.925(c)"),
        ("clearance_ground_m", "tips and ground, static", ground_m, "14 CFR 25.925(a), former 23.925(a)"),
        (
            "clearance_ground_deflected_m",
            "tips and ground, gear deflected",
            0.0,
            "14 CFR 25.925(a), former 23.925(a)",
        ),
        ("clearance_ground_rotated_m", "tips and ground, rotated", 0.0, "former 14 CFR 23.925(a)"),
        ("clearance_ground_rotated_deflected_m", "tips and ground, both", 0.0, "none: both at once"),
        ("clearance_water_m", "tips and water", WATER_RULE_M, "former 14 CFR 23.925(b)"),
        (BETWEEN_PROPELLERS, "blades of two propellers", 0.0, "none: no rule found"),
    ];
    let all = airframe_consequences_of_all(point);
    let found = rules.into_iter().filter_map(|(name, what, least_m, rule)| {
        let of_each = all.iter().filter_map(|(propeller, scalars)| {
            scalars.iter().find(|s| s.name == name).map(|s| (propeller, s.value))
        });
        let (propeller, clearance_m) = of_each.min_by(|a, b| a.1.total_cmp(&b.1))?;
        let named = all.len() > 1 && name != BETWEEN_PROPELLERS;
        let propeller = named.then(|| propeller.clone());
        Some(ClearanceRule { name: name.to_owned(), what, propeller, clearance_m, least_m, rule })
    });
    found.collect()
}
