//! Numbers for people: ticks at round values, labels with the digits that matter.

/// Round values that cover a range in about `count` steps of 1, 2, 2.5 or 5 times a power of ten.
pub(crate) fn ticks(low: f64, high: f64, count: usize) -> Vec<f64> {
    let step = round_step((high - low) / count.max(1) as f64);
    if !(step.is_finite() && step > 0.0) {
        return vec![low];
    }
    let first = (low / step - 1e-9).ceil() as i64;
    let last = (high / step + 1e-9).floor() as i64;
    (first..=last).map(|k| k as f64 * step).collect()
}

fn round_step(raw: f64) -> f64 {
    let power = 10_f64.powf(raw.log10().floor());
    let lead = raw / power;
    let round = [1.0, 2.0, 2.5, 5.0].into_iter().find(|value| lead <= value * 1.001).unwrap_or(10.0);
    round * power
}

/// Decimals that a figure may have.
const MOST_DECIMALS: usize = 6;

/// A value with three significant digits, plain between ten-thousandths and hundred thousands.
pub(crate) fn short(value: f64) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let exponent = exponent(value);
    if !(-4..=5).contains(&exponent) {
        return minus(&format!("{value:.2e}"));
    }
    minus(&format!("{value:.*}", (2 - exponent).max(0) as usize))
}

/// A value with the decimals that give the largest of its kind three digits, so that figures side by side
/// compare; an exact zero is 0, and where decimals would run long every value has its own three digits.
pub(crate) fn beside(value: f64, largest: f64) -> String {
    let decimals = (2 - exponent(largest)).max(0) as usize;
    if value == 0.0 {
        return "0".to_owned();
    }
    if decimals > MOST_DECIMALS {
        return minus(&format!("{value:.2e}"));
    }
    minus(&format!("{value:.decimals$}"))
}

/// Power of ten of the leading digit; 0 for 0.
fn exponent(value: f64) -> i32 {
    if value == 0.0 { 0 } else { value.abs().log10().floor() as i32 }
}

/// A prefix that keeps the figures of a kind short.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Prefix {
    /// Figures are values times this.
    pub factor: f64,
    sign: &'static str,
}

impl Prefix {
    /// For values up to `largest`.
    pub fn of(largest: f64) -> Self {
        match largest.abs() {
            tiny if tiny > 0.0 && tiny < 1e-10 => Self { factor: 1e12, sign: "p" },
            tiny if tiny > 0.0 && tiny < 1e-7 => Self { factor: 1e9, sign: "n" },
            tiny if tiny > 0.0 && tiny < 1e-4 => Self { factor: 1e6, sign: "µ" },
            tiny if tiny > 0.0 && tiny < 0.1 => Self { factor: 1e3, sign: "m" },
            huge if huge >= 1e4 => Self { factor: 1e-3, sign: "k" },
            _ => Self { factor: 1.0, sign: "" },
        }
    }

    /// The unit with the prefix.
    pub fn unit(self, unit: &str) -> String {
        format!("{}{unit}", self.sign)
    }
}

/// Labels of ticks, all with the decimals their step needs.
pub(crate) fn tick_label(value: f64, step: f64) -> String {
    if !(1e-4..1e6).contains(&step.abs()) {
        return if value == 0.0 { "0".to_owned() } else { minus(&format!("{value:.1e}")) };
    }
    let decimals = (0..6).find(|d| {
        let scaled = step * 10_f64.powi(*d);
        (scaled - scaled.round()).abs() < 1e-6 * scaled.abs()
    });
    let text = format!("{value:.*}", decimals.unwrap_or(6) as usize);
    // −0.0 from rounding reads as 0.
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        return text.trim_start_matches('-').to_owned();
    }
    minus(&text)
}

/// A true minus sign.
fn minus(text: &str) -> String {
    text.replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(ticks(0.0, 10.0, 5), [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(ticks(-0.31, 0.31, 4), [-0.2, 0.0, 0.2]);
        assert_eq!(ticks(3.0, 3.0, 4), [3.0]);
    }

    #[test]
    fn prefixes_keep_figures_short() {
        assert_eq!(Prefix::of(0.05).unit("N m"), "mN m");
        assert_eq!(Prefix::of(25_000.0).unit("N"), "kN");
        assert_eq!(Prefix::of(2.5e-5).unit("N"), "µN");
        assert_eq!(Prefix::of(2.5e-8).unit("N"), "nN");
        assert_eq!(Prefix::of(2.5e-11).unit("N"), "pN");
        assert_eq!(Prefix::of(0.0), Prefix::of(1.0));
    }

    #[test]
    fn labels_have_the_digits_that_matter() {
        assert_eq!(short(12.345), "12.3");
        assert_eq!(short(-0.01234), "−0.0123");
        assert_eq!(short(1234.5), "1234");
        assert_eq!(short(0.0), "0.00");
        assert_eq!(beside(0.0123, 45.6), "0.0");
        assert_eq!(beside(7.0, 1234.0), "7");
        assert_eq!(beside(0.0, 45.6), "0");
        assert_eq!(beside(2.5e-5, 2.5e-5), "2.50e−5");
        assert_eq!(beside(1.25e-7, 2.5e-5), "1.25e−7");
        assert_eq!(short(1.5e-9), "1.50e−9");
        assert_eq!(tick_label(0.5, 0.25), "0.50");
        assert_eq!(tick_label(-1e-17, 0.1), "0.0");
        assert_eq!(tick_label(-20.0, 10.0), "−20");
    }
}
