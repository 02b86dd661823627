//! Peaks and valleys of a history.

/// First sample, every reversal, last sample; equal neighbours are one point. A constant history is one point.
///
/// ```
/// use wakebeat_postproc::counting::turning_points;
/// assert_eq!(turning_points(&[0.0, 1.0, 1.0, 3.0, 2.0, 2.5]), [0.0, 3.0, 2.0, 2.5]);
/// ```
#[must_use]
pub fn turning_points(history: &[f64]) -> Vec<f64> {
    let mut points = Vec::new();
    for_each_turning_point(history, |point| points.push(point));
    points
}

/// Hands each turning point on, without storing them.
pub(super) fn for_each_turning_point(history: &[f64], mut take: impl FnMut(f64)) {
    let Some((&first, rest)) = history.split_first() else { return };
    take(first);
    let Some(start) = rest.iter().position(|x| *x != first) else { return };
    let mut last = rest[start];
    let mut rising = last > first;
    for &x in &rest[start + 1..] {
        // A plateau neither turns nor moves.
        if x != last && (x > last) != rising {
            take(last);
            rising = !rising;
        }
        last = x;
    }
    take(last);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plateaus_and_flanks_are_no_turning_points() {
        assert_eq!(turning_points(&[1.0, 1.0, 2.0, 3.0, 3.0, 3.0, 0.0, 0.0]), [1.0, 3.0, 0.0]);
        assert_eq!(turning_points(&[0.0, 2.0, 2.0, 1.0, 1.0, 1.5]), [0.0, 2.0, 1.0, 1.5]);
    }

    #[test]
    fn short_and_constant_histories() {
        assert!(turning_points(&[]).is_empty());
        assert_eq!(turning_points(&[4.0, 4.0]), [4.0]);
        assert_eq!(turning_points(&[4.0, 5.0]), [4.0, 5.0]);
    }
}
