//! Odd against even blade counts at the winner's geometry.

use super::measure::{by_condition, over};
use super::rank::{EQUAL, Row};
use super::study::Study;
use wakebeat_engine::study::{Choose, KeepLow};

/// Figures of one blade count at the winner's geometry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByBlades {
    /// Blade count.
    pub blade_count: usize,
    /// What is to be kept low; NaN where there is no answer.
    pub value: f64,
    /// NP thrust, N.
    pub thrust_n: f64,
    /// NP bending moment, N m.
    pub bending_n_m: f64,
}

/// Blade counts compared.
#[derive(Debug, Clone, PartialEq)]
pub struct OddEven {
    /// All counts at the winner's other settings.
    pub counts: Vec<ByBlades>,
    /// In plain words.
    pub sentence: String,
}

/// Compares blade counts, where the study decides them.
pub(super) fn odd_even(
    study: &Study,
    choose: &Choose,
    winner: usize,
    rows: &[Row],
    counts: &[bool],
) -> Option<OddEven> {
    let along = study.decided.iter().position(|axis| axis.key == "propeller.blade_count")?;
    let of = &study.candidates[winner];
    let mut by_blades: Vec<ByBlades> = (0..study.decided[along].texts.len())
        .filter_map(|i| {
            let mut subscripts = of.subscripts.clone();
            subscripts[along] = i;
            let candidate = &study.candidates[study.candidate_at(&subscripts)?];
            let figure = |keep_low: KeepLow| {
                let values = by_condition(candidate, keep_low);
                over(&values, &study.weights, counts, choose.over).map_or(f64::NAN, |m| m.value)
            };
            Some(ByBlades {
                blade_count: candidate.blade_count,
                value: figure(choose.keep_low),
                thrust_n: figure(KeepLow::Thrust),
                bending_n_m: figure(KeepLow::Bending),
            })
        })
        .collect();
    by_blades.sort_by_key(|b| b.blade_count);
    let best = |odd: bool| {
        let mut allowed = rows.iter().filter(|row| row.allowed);
        allowed.find(|row| (study.candidates[row.candidate].blade_count % 2 == 1) == odd)
    };
    let sentence = sentence(study, choose, &by_blades, best(true), best(false));
    Some(OddEven { counts: by_blades, sentence })
}

fn sentence(
    study: &Study,
    choose: &Choose,
    counts: &[ByBlades],
    odd: Option<&Row>,
    even: Option<&Row>,
) -> String {
    let mut text = format!("Odd against even here: {}", neighbours(counts));
    if let (Some(odd), Some(even)) = (odd, even) {
        let (better, worse) = if odd.value < even.value { (odd, even) } else { (even, odd) };
        let word = |row: &Row| if row.candidate == odd.candidate { "odd" } else { "even" };
        let (low, high) = told_apart(better.value, worse.value);
        let (what, unit) = (choose.keep_low.words(), unit(choose.keep_low));
        let [best, other] = [better, worse]
            .map(|row| format!("the best {} count ({})", word(row), study.candidate_words(row.candidate)));
        text.push_str(&if is_more(worse.value, better.value) {
            format!(" Over the whole study {best} has {low} {unit} of {what}, {other} {high}.")
        } else {
            format!(" Over the whole study {best} and {other} have the same {what}, {low} {unit}.")
        });
    }
    text
}

/// Whether one figure is above another by more than round-off.
fn is_more(one: f64, other: f64) -> bool {
    one > other + EQUAL * other.abs()
}

/// Two figures with three digits, or as many as tell them apart.
fn told_apart(one: f64, other: f64) -> (String, String) {
    let all = (3..=9).map(|digits| (digits_of(one, digits), digits_of(other, digits)));
    let mut texts = all.skip_while(|(a, b)| a == b && is_more(other, one));
    texts.next().unwrap_or_else(|| (digits_of(one, 9), digits_of(other, 9)))
}

/// A figure with a number of digits, plain between ten-thousandths and hundred thousands.
fn digits_of(value: f64, digits: usize) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    let exponent = value.abs().log10().floor() as i32;
    if (-4..=5).contains(&exponent) {
        let decimals = (digits as i32 - 1 - exponent).max(0) as usize;
        return format!("{value:.decimals$}");
    }
    format!("{value:.*e}", digits - 1)
}

fn unit(keep_low: KeepLow) -> &'static str {
    match keep_low.unit() {
        "1" => "(no unit)",
        unit => unit,
    }
}

/// How many times another amplitude one is, where the other is more than nothing.
fn times(one: f64, other: f64) -> String {
    match (one > 0.0, other > 0.0) {
        (_, true) => format!("{:.2} times", one / other),
        (true, false) => "more than none of".to_owned(),
        (false, false) => "no more of".to_owned(),
    }
}

/// Each odd count against the counts one below and one above, thrust and bending apart.
fn neighbours(counts: &[ByBlades]) -> String {
    let solved = |n: usize| counts.iter().find(|c| c.blade_count == n && c.thrust_n.is_finite());
    let mut parts = Vec::new();
    for odd in counts.iter().filter(|c| c.blade_count % 2 == 1 && c.thrust_n.is_finite()) {
        for n in [odd.blade_count - 1, odd.blade_count + 1] {
            if let Some(even) = solved(n) {
                let (count, have) = if odd.blade_count == 1 {
                    ("1 blade".to_owned(), "has")
                } else {
                    (format!("{} blades", odd.blade_count), "have")
                };
                parts.push(format!(
                    "{count} against {n} {have} {} the NP thrust and {} the NP bending moment",
                    times(odd.thrust_n, even.thrust_n),
                    times(odd.bending_n_m, even.bending_n_m),
                ));
            }
        }
    }
    if parts.is_empty() {
        return "the study has no odd count beside an even one.".to_owned();
    }
    let pairs = || {
        let odd = counts.iter().filter(|c| c.blade_count % 2 == 1 && c.thrust_n.is_finite());
        odd.flat_map(|odd| [odd.blade_count - 1, odd.blade_count + 1].map(|n| (odd, solved(n))))
            .filter_map(|(odd, even)| Some((odd, even?)))
    };
    if pairs().all(|(a, b)| [a, b].iter().all(|c| c.thrust_n <= 0.0 && c.bending_n_m <= 0.0)) {
        return "none of the counts compared has an NP thrust or bending moment beyond round-off at this geometry.".to_owned();
    }
    let verdict = if pairs().any(|(odd, even)| is_more(odd.thrust_n, even.thrust_n)) {
        "so an odd count by itself is no cure for thrust ripple at this geometry."
    } else if pairs().any(|(odd, even)| is_more(even.thrust_n, odd.thrust_n)) {
        "so odd counts do lower the thrust ripple at this geometry; mind the bending moment."
    } else {
        "so odd counts change nothing in the thrust ripple at this geometry."
    };
    format!("{}; {verdict}", parts.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counts(all: &[(usize, f64, f64)]) -> Vec<ByBlades> {
        let one = |&(blade_count, thrust_n, bending_n_m)| ByBlades {
            blade_count,
            value: 0.0,
            thrust_n,
            bending_n_m,
        };
        all.iter().map(one).collect()
    }

    #[test]
    fn no_ripple_at_all_gives_no_verdict() {
        let words = neighbours(&counts(&[(1, 0.0, 0.0), (2, 0.0, 0.0), (3, 0.0, 0.0)]));
        assert!(words.starts_with("none of the counts") && !words.contains("lower"), "{words}");
    }

    #[test]
    fn equal_ripple_is_no_gain_and_one_blade_is_singular() {
        let words = neighbours(&counts(&[(1, 0.5, 0.1), (2, 0.5, 0.2)]));
        assert!(words.starts_with("1 blade against 2 has 1.00 times"), "{words}");
        assert!(words.ends_with("change nothing in the thrust ripple at this geometry."), "{words}");
    }

    #[test]
    fn figures_have_the_digits_that_tell_them_apart() {
        assert_eq!(told_apart(0.0019, 0.00211), ("0.00190".to_owned(), "0.00211".to_owned()));
        assert_eq!(told_apart(1.5001, 1.5004), ("1.5001".to_owned(), "1.5004".to_owned()));
        assert_eq!(told_apart(0.0, 0.0), ("0".to_owned(), "0".to_owned()));
    }
}
