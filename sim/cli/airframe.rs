//! Further propellers and the loads of all at the centre of gravity, as `run` tells them.

use serde_json::{Map, Value, json};
use wakebeat_engine::point::airframe::{AIRFRAME_LOADS, AirframeResult, AirframeSums};
use wakebeat_engine::point::input::{FurtherPropeller, OperatingPoint, Rotation};
use wakebeat_engine::point::result::{Harmonics, HubLoad, PointResult};

use crate::numbers::{decimals, fixed, given, significant};
use crate::table;

/// Significant digits of means, and of the largest amplitude of a line.
const MEAN_DIGITS: usize = 4;
const RIPPLE_DIGITS: usize = 3;
/// Numbers this much below the largest of their unit are round-off and shown as 0.
const ROUND_OFF: f64 = 1e-9;

/// A line for each further propeller, then the table of sums; `None` where the case asks for neither.
pub fn text(point: &OperatingPoint, result: &PointResult) -> Option<String> {
    let airframe = result.airframe.as_ref()?;
    let mut parts: Vec<String> = point
        .further
        .iter()
        .zip(&airframe.further)
        .map(|(one, solved)| propeller_line(point, one, &solved.result))
        .collect();
    if let Some(sums) = &airframe.sums {
        parts.push(sum_table(sums, result.blade_count, !point.further.is_empty()));
    }
    Some(parts.join("\n\n"))
}

/// What a further propeller is, and what it does by itself.
fn propeller_line(point: &OperatingPoint, one: &FurtherPropeller, result: &PointResult) -> String {
    let own = one.propeller(&point.propeller);
    let rotation = match one.rotation {
        Rotation::Clockwise => "clockwise",
        Rotation::Counterclockwise => "counterclockwise",
    };
    let scalar = |name| significant(result.scalar(name).unwrap_or(f64::NAN), MEAN_DIGITS);
    let passage = result.hub(HubLoad::Thrust).harmonics.phasor(result.blade_count).norm();
    format!(
        "propeller `{}`: {} blades, diameter {} m, {} rpm {rotation}, phase {} deg\n\
         thrust {} N   torque {} N m   power {} W   thrust at {}P {} N",
        one.name,
        own.blade_count,
        given(own.diameter_m),
        given(own.speed_rad_s * 30.0 / std::f64::consts::PI),
        given(one.phase_rad.to_degrees()),
        scalar("thrust_n"),
        scalar("torque_n_m"),
        scalar("power_w"),
        result.blade_count,
        significant(passage, RIPPLE_DIGITS),
    )
}

/// Mean, blade-rate amplitude with its range over all phases, and peak-to-peak of every load at the centre of gravity.
fn sum_table(sums: &AirframeSums, blade_count: usize, several: bool) -> String {
    let mut heading =
        vec!["load at the c.g.".to_owned(), "unit".into(), "mean".into(), format!("{blade_count}P")];
    if several {
        heading.extend(["least by phase".to_owned(), "greatest by phase".to_owned()]);
    }
    heading.push("peak to peak".to_owned());
    let columns = heading.len();
    let lines = AIRFRAME_LOADS.into_iter().enumerate().map(|(place, load)| {
        let least = ROUND_OFF * scale(sums, load.unit());
        let history = &sums.loads[place];
        let at_np = |row: &[f64]| row.get(blade_count).copied().unwrap_or(f64::NAN);
        let mut ripple = vec![at_np(&history.harmonics.amplitude)];
        if several {
            ripple.extend([at_np(&sums.least[place]), at_np(&sums.greatest[place])]);
        }
        let high = history.history.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let low = history.history.iter().copied().fold(f64::INFINITY, f64::min);
        ripple.push(high - low);
        let largest = ripple.iter().copied().filter(|v| v.is_finite()).fold(0.0, f64::max);
        let places = decimals(largest, RIPPLE_DIGITS);
        let or_zero = |value: f64, text: String| if value.abs() < least { "0".to_owned() } else { text };
        let mean = history.harmonics.amplitude[0];
        let mut cells = vec![load.name().replace('_', " "), load.unit().to_owned()];
        cells.push(or_zero(mean, significant(mean, MEAN_DIGITS)));
        cells.extend(ripple.into_iter().map(|v| or_zero(v, fixed(v, places))));
        cells
    });
    table::plain(heading, lines.collect(), 2..columns)
}

/// Largest number among the sums of one unit and the parts that make them.
fn scale(sums: &AirframeSums, unit: &str) -> f64 {
    let alike = AIRFRAME_LOADS.into_iter().enumerate().filter(|(_, load)| load.unit() == unit);
    alike
        .flat_map(|(place, _)| sums.loads[place].history.iter().chain(&sums.greatest[place]))
        .fold(0.0, |most, v| f64::max(most, v.abs()))
}

/// `further` and `airframe` of the JSON answer.
pub fn json(airframe: Option<&AirframeResult>) -> [(&'static str, Value); 2] {
    let Some(airframe) = airframe else { return [("further", json!([])), ("airframe", Value::Null)] };
    let further: Vec<Value> = airframe
        .further
        .iter()
        .map(|one| {
            let summary: Map<String, Value> =
                one.result.summary.iter().map(|s| (s.name.clone(), json!(s.value))).collect();
            let mut harmonics = Map::new();
            for load in HubLoad::ALL {
                insert(&mut harmonics, load, &one.result.hub(load).harmonics);
            }
            json!({
                "name": one.name,
                "blade_count": one.result.blade_count,
                "summary": summary,
                "hub_harmonics": harmonics,
            })
        })
        .collect();
    let sums = airframe.sums.as_ref().map(|sums| {
        let (mut harmonics, mut greatest, mut least) = (Map::new(), Map::new(), Map::new());
        for (place, load) in AIRFRAME_LOADS.into_iter().enumerate() {
            insert(&mut harmonics, load, &sums.loads[place].harmonics);
            greatest.insert(load.key().to_owned(), json!(sums.greatest[place]));
            least.insert(load.key().to_owned(), json!(sums.least[place]));
        }
        json!({ "harmonics": harmonics, "greatest": greatest, "least": least })
    });
    [("further", json!(further)), ("airframe", json!(sums))]
}

fn insert(all: &mut Map<String, Value>, load: HubLoad, harmonics: &Harmonics) {
    all.insert(load.key().to_owned(), json!(harmonics.amplitude));
    all.insert(format!("{}_phase_rad", load.name()), json!(harmonics.phase_rad));
}

#[cfg(test)]
mod tests {
    use super::*;
    use wakebeat_engine::point::result::LoadHistory;

    #[test]
    fn the_range_over_all_phases_stands_beside_the_sum_and_round_off_is_zero() {
        let load = |place: usize| {
            let amplitude = if place == 1 { 1e-15 } else { 0.25 };
            LoadHistory {
                history: vec![8.0 + amplitude, 8.0 - amplitude],
                harmonics: Harmonics { amplitude: vec![8.0, 0.0, amplitude], phase_rad: vec![0.0; 3] },
            }
        };
        let sums = AirframeSums {
            loads: (0..6).map(load).collect(),
            greatest: vec![vec![8.0, 0.0, 0.5]; 6],
            least: vec![vec![8.0, 0.0, 0.0]; 6],
            phase_rad: vec![],
            by_phase: vec![],
        };
        let text = sum_table(&sums, 2, true);
        let cells = |k: usize| text.lines().nth(k).unwrap().split_whitespace().collect::<Vec<_>>();
        assert_eq!(cells(2), ["thrust", "N", "8.000", "0.250", "0", "0.500", "0.500"], "{text}");
        assert_eq!(cells(3), ["side", "force", "N", "8.000", "0", "0", "0.500", "0"], "{text}");
        assert!(text.lines().all(|line| line.len() <= 100), "{text}");
        assert!(!sum_table(&sums, 2, false).contains("phase"));
    }
}
