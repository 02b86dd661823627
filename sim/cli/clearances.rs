//! Clearances of the blades beside what published rules ask for.

use serde_json::{Value, json};
use wakebeat_engine::point::consequences::ClearanceRule;

use crate::numbers::significant;
use crate::table;

/// What the rules are good for; one line.
const CAUTION: &str =
    "Rules for certified aeroplanes, for orientation: the applicable rules and licensed practice decide.";

/// A table of the least clearances of all propellers, if there are any.
pub fn text(rules: &[ClearanceRule]) -> Option<String> {
    if rules.is_empty() {
        return None;
    }
    let row = |rule: &ClearanceRule| {
        let asked = if rule.least_m > 0.0 { significant(rule.least_m, 3) } else { "above 0".to_owned() };
        let judged = if rule.is_met() { "" } else { "less" };
        vec![rule.between(), significant(rule.clearance_m, 3), asked, judged.to_owned(), rule.rule.to_owned()]
    };
    let heading = ["clearance between", "m", "rule m", "", "rule"].map(str::to_owned).to_vec();
    let table = table::plain(heading, rules.iter().map(row).collect(), 1..3);
    Some(format!("{table}\n{CAUTION}\n"))
}

/// The same for scripts.
pub fn json(rules: &[ClearanceRule]) -> Value {
    let one = |rule: &ClearanceRule| {
        json!({
            "name": rule.name,
            "propeller": rule.propeller,
            "clearance_m": rule.clearance_m,
            "rule_least_m": rule.least_m,
            "rule": rule.rule,
            "met": rule.is_met(),
        })
    };
    Value::Array(rules.iter().map(one).collect())
}
