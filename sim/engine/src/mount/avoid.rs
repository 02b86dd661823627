//! Speeds to avoid: where nP lines meet modes, where vibration stands out, where two blades are unstable.

use super::input::Mount;
use super::scan::{LEAST_GROWTH_PER_S, ModeLine, SpeedState};
use std::f64::consts::TAU;

/// An nP line meets a mode.
#[derive(Debug, Clone, PartialEq)]
pub struct Crossing {
    /// Cycles per revolution.
    pub order: usize,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Frequency, Hz.
    pub frequency_hz: f64,
    /// Damping ratio of the mode there.
    pub damping_ratio: f64,
    /// Root mean square of the force on the airframe there, N.
    pub transmitted_rms_n: f64,
    /// What moves.
    pub words: String,
}

/// Why a band is to be avoided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// The force on the airframe stands out of its median.
    Force,
    /// A sensor passes its limit, or without one stands out of its median: its number.
    Sensor(usize),
    /// One or two blades: vibration grows by itself.
    Instability,
}

/// A range of shaft speeds to avoid.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// From, rad/s.
    pub from_rad_s: f64,
    /// To, rad/s.
    pub to_rad_s: f64,
    /// Speed of the largest value, rad/s.
    pub worst_rad_s: f64,
    /// The largest value: N, m/s², or growth in 1/s.
    pub worst: f64,
    /// What it was held against: the median times the ratio, or the limit; 0 for growth.
    pub against: f64,
    /// Why.
    pub reason: Reason,
    /// What meets there.
    pub cause: String,
}

/// Orders that reach the mount: 1 by unbalance and unequal blades, and the multiples of the blade count.
#[must_use]
pub fn orders(blades: usize, count: usize) -> Vec<usize> {
    let blades = blades.max(1);
    let mut all: Vec<usize> = (1..count).filter(|n| *n == 1 || n % blades == 0).collect();
    all.dedup();
    all
}

/// Crossings of the orders with the modes, straight between the speeds of the scan.
#[must_use]
pub fn crossings(states: &[SpeedState], orders: &[usize]) -> Vec<Crossing> {
    let mut all = Vec::new();
    for pair in states.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        for (low, high) in same_modes(&a.modes, &b.modes) {
            for &order in orders {
                let above = |state: &SpeedState, f: f64| f - order as f64 * state.speed_rad_s / TAU;
                let (da, db) = (above(a, low.frequency_hz), above(b, high.frequency_hz));
                if (da > 0.0) == (db > 0.0) {
                    continue;
                }
                let t = da / (da - db);
                let speed_rad_s = a.speed_rad_s + t * (b.speed_rad_s - a.speed_rad_s);
                all.push(Crossing {
                    order,
                    speed_rad_s,
                    frequency_hz: order as f64 * speed_rad_s / TAU,
                    damping_ratio: low.damping_ratio + t * (high.damping_ratio - low.damping_ratio),
                    transmitted_rms_n: a.shaking.transmitted_rms_n().max(b.shaking.transmitted_rms_n()),
                    words: described(low.whirl, &low.words),
                });
            }
        }
    }
    all.sort_by(|a, b| a.speed_rad_s.total_cmp(&b.speed_rad_s));
    all
}

/// Modes of two neighbouring speeds that belong together: both lists by frequency, and where one has more (a mode is damped beyond
/// vibration at the other speed) the pairs that lie closest in all.
fn same_modes<'a>(a: &'a [ModeLine], b: &'a [ModeLine]) -> Vec<(&'a ModeLine, &'a ModeLine)> {
    if a.len() > b.len() {
        return same_modes(b, a).into_iter().map(|(low, high)| (high, low)).collect();
    }
    let spare = b.len() - a.len();
    let apart = |i: usize, j: usize| (a[i].frequency_hz - b[j].frequency_hz).abs();
    // least[i][s]: sum of the distances of the first i modes with s of `b` left out.
    let mut least = vec![vec![0.0; spare + 1]; a.len() + 1];
    for i in 1..=a.len() {
        for s in 0..=spare {
            let paired = least[i - 1][s] + apart(i - 1, i - 1 + s);
            least[i][s] = if s > 0 { paired.min(least[i][s - 1]) } else { paired };
        }
    }
    let (mut pairs, mut s) = (Vec::with_capacity(a.len()), spare);
    for i in (1..=a.len()).rev() {
        while s > 0 && least[i][s] == least[i][s - 1] {
            s -= 1;
        }
        pairs.push((&a[i - 1], &b[i - 1 + s]));
    }
    pairs.reverse();
    pairs
}

/// "forward pitch and yaw" where the shaft circles.
fn described(whirl: f64, words: &str) -> String {
    let turns = words.contains("pitch") || words.contains("yaw");
    match whirl {
        w if turns && w > 0.3 => format!("forward {words}"),
        w if turns && w < -0.3 => format!("backward {words}"),
        _ => words.to_owned(),
    }
}

/// All bands.
#[must_use]
pub fn bands(mount: &Mount, states: &[SpeedState], crossings: &[Crossing]) -> Vec<Band> {
    let ratio = mount.scan.avoid_ratio;
    let force: Vec<f64> = states.iter().map(|s| s.shaking.transmitted_rms_n()).collect();
    let against = ratio * median(&force);
    let mut all = runs(states, &force, against, Reason::Force);
    for (i, sensor) in mount.sensors.iter().enumerate() {
        let felt: Vec<f64> = states.iter().map(|s| s.shaking.sensor_rms_m_s2(i)).collect();
        let against = sensor.limit_rms_m_s2.unwrap_or(ratio * median(&felt));
        all.extend(runs(states, &felt, against, Reason::Sensor(i)));
    }
    let growth: Vec<f64> =
        states.iter().map(|s| s.turning_growth_per_s.unwrap_or(f64::NEG_INFINITY)).collect();
    all.extend(runs(states, &growth, LEAST_GROWTH_PER_S, Reason::Instability).into_iter().map(|mut band| {
        band.against = 0.0;
        band
    }));
    for band in &mut all {
        band.cause = cause(band, crossings);
    }
    all.sort_by(|a, b| a.from_rad_s.total_cmp(&b.from_rad_s));
    all
}

/// Ranges in which values pass a level; edges straight between the speeds.
fn runs(states: &[SpeedState], values: &[f64], level: f64, reason: Reason) -> Vec<Band> {
    let speed = |i: usize| states[i].speed_rad_s;
    let edge = |inside: usize, outside: usize| {
        let (a, b) = (values[inside], values[outside]);
        let t = if a.is_finite() && b.is_finite() && a > b { (a - level) / (a - b) } else { 1.0 };
        speed(inside) + t.clamp(0.0, 1.0) * (speed(outside) - speed(inside))
    };
    let mut all = Vec::new();
    let mut i = 0;
    while i < values.len() {
        if values[i].is_nan() || values[i] <= level {
            i += 1;
            continue;
        }
        let start = i;
        while i + 1 < values.len() && values[i + 1] > level {
            i += 1;
        }
        let worst = (start..=i).max_by(|a, b| values[*a].total_cmp(&values[*b])).unwrap_or(start);
        all.push(Band {
            from_rad_s: if start > 0 { edge(start, start - 1) } else { speed(start) },
            to_rad_s: if i + 1 < values.len() { edge(i, i + 1) } else { speed(i) },
            worst_rad_s: speed(worst),
            worst: values[worst],
            against: level,
            reason,
            cause: String::new(),
        });
        i += 1;
    }
    all
}

/// The crossing that makes a band: the one nearest its worst speed, if it lies in or next to the band.
fn cause(band: &Band, crossings: &[Crossing]) -> String {
    let width = (band.to_rad_s - band.from_rad_s).max(0.02 * band.worst_rad_s);
    let distance = |c: &Crossing| (c.speed_rad_s - band.worst_rad_s).abs();
    let near = crossings.iter().filter(|c| distance(c) <= width);
    if band.reason == Reason::Instability {
        return match near.clone().filter(|c| c.order == 1).min_by(|a, b| distance(a).total_cmp(&distance(b)))
        {
            Some(c) => format!("1P at {}: unstable with two blades, not only resonant", c.words),
            None => "turning inertia of two blades: unstable".into(),
        };
    }
    match near.min_by(|a, b| distance(a).total_cmp(&distance(b))) {
        Some(c) => format!("{}P at {}, {:.1} Hz", c.order, c.words, c.frequency_hz),
        None => "strong loads, no mode near".into(),
    }
}

fn median(values: &[f64]) -> f64 {
    let mut sorted: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::INFINITY)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(frequencies_hz: &[f64]) -> Vec<ModeLine> {
        let line = |frequency_hz: &f64| ModeLine {
            frequency_hz: *frequency_hz,
            damping_ratio: 0.01,
            whirl: 0.0,
            words: "roll".into(),
        };
        frequencies_hz.iter().map(line).collect()
    }

    #[test]
    fn a_mode_that_vanishes_between_two_speeds_leaves_the_others_their_own() {
        let whole = lines(&[9.2, 30.0, 84.0, 198.0]);
        for gone in 0..4 {
            let mut fewer = lines(&[9.0, 31.0, 83.0, 199.0]);
            fewer.remove(gone);
            for (a, b) in [(&whole, &fewer), (&fewer, &whole)] {
                let pairs = same_modes(a, b);
                assert_eq!(pairs.len(), 3);
                for (low, high) in pairs {
                    assert!((low.frequency_hz - high.frequency_hz).abs() < 1.5, "{low:?}, {high:?}");
                }
            }
        }
        assert_eq!(same_modes(&whole, &[]).len(), 0);
    }
}
