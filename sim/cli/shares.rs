//! Where the blade-rate loads come from: one line a source, the load it makes and its part of the total.

use serde_json::{Map, Value, json};
use wakebeat_engine::point::result::{HubLoad, PointResult, Share};

use crate::numbers::{decimals, fixed};
use crate::table;

/// Significant digits of the total; the shares get the same decimals.
const DIGITS: usize = 3;
/// A total this much below the largest value of a load of its unit is round-off and has no shares.
const ROUND_OFF: f64 = 1e-9;

/// Amplitude at NP of each source's share in thrust, in-plane force, bending moment and torque, each followed by the
/// part in phase with the total, in percent of it; `None` where the result holds no shares.
pub fn share_table(result: &PointResult) -> Option<String> {
    if result.attribution.is_empty() {
        return None;
    }
    let order = result.blade_count;
    let loads = result.leading_loads(order);
    let mut heading = vec![format!("where {order}P comes from")];
    heading.extend(loads.iter().flat_map(|load| {
        let name = load.name().replace('_', " ");
        [format!("{name} {}", load.unit()), "%".to_owned()]
    }));
    let columns = heading.len();
    let mut lines: Vec<Vec<String>> =
        result.attribution.iter().map(|share| line(result, share, &loads, order)).collect();
    lines.push(total_line(result, &loads, order));
    Some(table::plain(heading, lines, 1..columns))
}

fn line(result: &PointResult, share: &Share, loads: &[HubLoad], order: usize) -> Vec<String> {
    let mut cells = vec![share.name.replace('_', " ")];
    for load in loads {
        let harmonics = &share.loads[*load as usize];
        cells.push(amplitude_text(result, *load, order, harmonics.phasor(order).norm()));
        let percent = part(result, share, *load, order).map(|part| 100.0 * part);
        cells.push(fixed(percent.unwrap_or(f64::NAN), 0));
    }
    cells
}

fn total_line(result: &PointResult, loads: &[HubLoad], order: usize) -> Vec<String> {
    let mut cells = vec!["total".to_owned()];
    for load in loads {
        let total = amplitude(result, *load, order);
        cells.push(amplitude_text(result, *load, order, total));
        cells.push(if total > least(result, *load) { "100" } else { "-" }.to_owned());
    }
    cells
}

fn amplitude(result: &PointResult, load: HubLoad, order: usize) -> f64 {
    result.hub(load).harmonics.phasor(order).norm()
}

fn amplitude_text(result: &PointResult, load: HubLoad, order: usize, value: f64) -> String {
    if value <= least(result, load) {
        return "0".to_owned();
    }
    // Shares of a total that is round-off are judged by themselves.
    let total = amplitude(result, load, order);
    let largest = if total > least(result, load) { total } else { value };
    fixed(value, decimals(largest, DIGITS))
}

/// Smallest amplitude that is more than round-off.
fn least(result: &PointResult, load: HubLoad) -> f64 {
    let alike = HubLoad::ALL.into_iter().filter(|other| other.unit() == load.unit());
    let largest =
        alike.flat_map(|other| &result.hub(other).history).fold(0.0, |most, v| f64::max(most, v.abs()));
    ROUND_OFF * largest
}

/// Part of a source in the total, signed; `None` where the total is round-off.
fn part(result: &PointResult, share: &Share, load: HubLoad, order: usize) -> Option<f64> {
    let total = &result.hub(load).harmonics;
    let amplitude = amplitude(result, load, order);
    (amplitude > least(result, load))
        .then(|| share.loads[load as usize].in_phase_with(total, order) / amplitude)
}

/// Harmonics of each source's shares, and `np_part`: the signed part in the total at NP.
pub fn json(result: &PointResult) -> Value {
    result.attribution.iter().map(|share| source(result, share)).collect()
}

fn source(result: &PointResult, share: &Share) -> Value {
    let mut all = Map::new();
    all.insert("source".to_owned(), json!(share.name));
    let mut parts = Map::new();
    for (load, harmonics) in HubLoad::ALL.into_iter().zip(&share.loads) {
        all.insert(load.key().to_owned(), json!(harmonics.amplitude));
        all.insert(format!("{}_phase_rad", load.name()), json!(harmonics.phase_rad));
        parts.insert(load.name().to_owned(), json!(part(result, share, load, result.blade_count)));
    }
    all.insert("np_part".to_owned(), Value::Object(parts));
    Value::Object(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakebeat_engine::point::result::{Harmonics, LoadHistory};

    fn first(amplitude: f64, phase_rad: f64) -> Harmonics {
        Harmonics { amplitude: vec![0.0, amplitude], phase_rad: vec![0.0, phase_rad] }
    }

    /// One blade; every load is 2 cos ψ but the torque, which is round-off; wing 3 cos ψ, fin −1 cos ψ.
    fn result() -> PointResult {
        let hub = |one: HubLoad| {
            let amplitude = if one == HubLoad::Torque { 1e-14 } else { 2.0 };
            LoadHistory { history: vec![amplitude, 0.0, -amplitude], harmonics: first(amplitude, 0.0) }
        };
        let share = |name: &str, amplitude: f64, phase_rad: f64| Share {
            name: name.to_owned(),
            loads: vec![first(amplitude, phase_rad); 7],
        };
        PointResult {
            blade_count: 1,
            azimuth_rad: vec![],
            radius_m: vec![],
            hub: HubLoad::ALL.map(hub).to_vec(),
            blades: vec![],
            disk: Default::default(),
            attribution: vec![
                share("wing_wake", 3.0, 0.0),
                share("fin_wake", 1.0, std::f64::consts::PI),
                share("remainder", 0.0, 0.0),
            ],
            summary: vec![],
            airframe: None,
            warnings: vec![],
        }
    }

    #[test]
    fn shares_have_a_sign_and_a_total_of_round_off_has_none() {
        let text = share_table(&result()).unwrap();
        let cells = |k: usize| text.lines().nth(k).unwrap().split_whitespace().collect::<Vec<_>>();
        assert!(text.starts_with("where 1P comes from"), "{text}");
        assert_eq!(cells(2), ["wing", "wake", "3.00", "150", "3.00", "150", "3.00", "150", "3.00", "-"]);
        assert_eq!(cells(3)[2..4], ["1.00", "-50"]);
        assert_eq!(cells(4), ["remainder", "0", "0", "0", "0", "0", "0", "0", "-"]);
        assert_eq!(cells(5), ["total", "2.00", "100", "2.00", "100", "2.00", "100", "0", "-"]);
        assert!(text.lines().all(|line| line.len() <= 100), "{text}");
    }

    #[test]
    fn json_names_sources_in_order_and_leaves_no_number_for_round_off() {
        let all = json(&result());
        assert_eq!(all[0]["source"], "wing_wake");
        assert_eq!(all[1]["np_part"]["thrust"], -0.5);
        assert_eq!(all[1]["np_part"]["torque"], Value::Null);
        assert_eq!(all[0]["thrust_n"][1], 3.0);
    }

    #[test]
    fn a_result_without_shares_has_no_table() {
        let mut result = result();
        result.attribution.clear();
        assert_eq!(share_table(&result), None);
    }
}
