//! A root between two bounds.

/// Root of a function that changes sign between two bounds, by the Illinois variant of the false position (Dowell and
/// Jarratt, BIT 11, 1971). None where it does not change sign or has no value.
pub fn root(bounds: [f64; 2], tolerance: f64, mut value: impl FnMut(f64) -> Option<f64>) -> Option<f64> {
    let [mut a, mut b] = bounds;
    let (mut at_a, mut at_b) = (value(a)?, value(b)?);
    if at_a * at_b > 0.0 {
        return None;
    }
    for _ in 0..100 {
        let next = (a * at_b - b * at_a) / (at_b - at_a);
        let at_next = value(next)?;
        let moved = (next - b).abs();
        if at_next * at_b < 0.0 {
            (a, at_a) = (b, at_b);
        } else {
            at_a *= 0.5;
        }
        (b, at_b) = (next, at_next);
        if moved <= tolerance * next.abs() || at_next == 0.0 {
            return Some(next);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_a_root_and_says_where_there_is_none() {
        let found = root([0.0, 2.0], 1e-12, |x| Some(x * x - 2.0));
        assert!((found.map_or(0.0, |x| x * x) - 2.0).abs() < 1e-10);
        assert_eq!(root([2.0, 3.0], 1e-12, |x| Some(x * x - 2.0)), None);
    }
}
