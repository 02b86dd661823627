//! Peaks and valleys of a history.

/// Samples looked at before what was found is handed on.
const CHUNK: usize = 1024;

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

/// Hands each turning point on, without storing them all.
///
/// Whether a sample turns is as good as a coin to the processor, so the search has no branch on it: every sample is written to the
/// next free place, which is kept only where the history turned.
pub(super) fn for_each_turning_point(history: &[f64], mut take: impl FnMut(f64)) {
    let Some((&first, rest)) = history.split_first() else { return };
    take(first);
    let Some(start) = rest.iter().position(|x| *x != first) else { return };
    let mut last = rest[start];
    let mut rising = last > first;
    let mut found = [0.0; CHUNK];
    for samples in rest[start + 1..].chunks(CHUNK) {
        let mut count = 0;
        for &x in samples {
            // A plateau neither turns nor moves.
            let turns = (x != last) & ((x > last) != rising);
            found[count] = last;
            count += usize::from(turns);
            rising ^= turns;
            last = x;
        }
        found[..count].iter().for_each(|point| take(*point));
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
