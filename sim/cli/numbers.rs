//! Numbers as people read them: significant digits, and decimals that line up within a row.

/// Shown where there is no number, as for the efficiency of a propeller at rest.
const NONE: &str = "-";

/// A number with `digits` significant digits; in powers of ten below 1e-4 and from 1e6 on.
pub fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return NONE.to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let size = value.abs();
    if (1e-4..1e6).contains(&size) {
        fixed(rounded(value, digits), decimals(size, digits))
    } else {
        format!("{value:.*e}", digits.saturating_sub(1))
    }
}

/// The number with all but its first `digits` digits zero.
fn rounded(value: f64, digits: usize) -> f64 {
    format!("{value:.*e}", digits.saturating_sub(1)).parse().unwrap_or(value)
}

/// As [`significant`], without zeros at the end: for numbers a person has chosen.
pub fn given(value: f64) -> String {
    let text = significant(value, 6);
    if !text.contains('.') || text.contains('e') {
        return text;
    }
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Decimals that give the largest of a row `digits` significant digits.
pub fn decimals(largest: f64, digits: usize) -> usize {
    if largest <= 0.0 || !largest.is_finite() {
        return 0;
    }
    // The exponent after rounding: 9.9996 with four digits is 10.00.
    let rounded = format!("{largest:.*e}", digits.saturating_sub(1));
    let exponent = rounded.rsplit('e').next().and_then(|e| e.parse::<i64>().ok()).unwrap_or(0);
    usize::try_from(digits as i64 - 1 - exponent).unwrap_or(0)
}

/// A number with fixed decimals; one that rounds to zero has no sign.
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NONE.to_owned();
    }
    let text = format!("{value:.decimals$}");
    if text.starts_with('-') && text.bytes().all(|b| matches!(b, b'-' | b'0' | b'.')) {
        return text[1..].to_owned();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn significant_digits_and_powers_of_ten() {
        assert_eq!(significant(1234.567, 4), "1235");
        assert_eq!(significant(114_028.4, 4), "114000");
        assert_eq!(significant(-0.0123456, 3), "-0.0123");
        assert_eq!(significant(9.9996, 4), "10.00");
        assert_eq!(significant(1.5e-7, 3), "1.50e-7");
        assert_eq!(significant(0.0, 3), "0");
        assert_eq!(significant(f64::NAN, 3), "-");
    }

    #[test]
    fn given_numbers_keep_no_zeros() {
        assert_eq!(given(18.0), "18");
        assert_eq!(given(0.2286), "0.2286");
        assert_eq!(given(6500.0), "6500");
        assert_eq!(given(0.1 + 0.2), "0.3");
    }

    #[test]
    fn decimals_follow_the_largest() {
        assert_eq!(decimals(12.3, 4), 2);
        assert_eq!(decimals(0.0123, 4), 5);
        assert_eq!(decimals(123_456.0, 4), 0);
        assert_eq!(decimals(0.0, 4), 0);
    }

    #[test]
    fn zero_has_no_sign() {
        assert_eq!(fixed(-0.0004, 2), "0.00");
        assert_eq!(fixed(-0.4, 1), "-0.4");
    }
}
