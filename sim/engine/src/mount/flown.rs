//! Shaft speed against airspeed as flown, which tells speeds to avoid as airspeeds.
//!
//! With `[trim]` by shaft speed each airspeed of level or driven flight has the shaft speed that meets its thrust; slow flight may
//! need as much as fast flight, so that a band of shaft speeds can be two of airspeeds. Without it the case's advance ratio is held:
//! a propeller of fixed pitch keeps its coefficients then, not its thrust.
//! Trimmed on a coarse grid of the disk, whose mean thrust is within about 1 % of the full one's, straight between airspeeds.

use crate::point::Kept;
use crate::point::input::OperatingPoint;
use crate::trim::{By, Trim, trim};
use rayon::prelude::*;

/// Airspeeds looked at over that of the case: from, to, count.
const AIRSPEEDS: (f64, f64, u32) = (0.7, 1.5, 9);

/// Stations and azimuths of the coarse grid.
const COARSE: (usize, usize) = (16, 72);

/// What ties shaft speed to airspeed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tie {
    /// Trimmed flight.
    Trim,
    /// The advance ratio of the case.
    AdvanceRatio,
}

/// Airspeeds, m/s, rising, with their shaft speeds, rad/s.
#[derive(Debug, Clone, PartialEq)]
pub struct FlownSpeeds {
    /// What ties them.
    pub tie: Tie,
    /// Pairs of airspeed and shaft speed.
    pub pairs: Vec<(f64, f64)>,
}

impl FlownSpeeds {
    /// By trim where it is met by shaft speed at two airspeeds or more, else by the advance ratio of the point.
    #[must_use]
    pub fn new(point: &OperatingPoint, how: Option<&Trim>) -> Self {
        let pairs = how.map_or_else(Vec::new, |how| trimmed(point, how));
        if pairs.len() >= 2 {
            return Self { tie: Tie::Trim, pairs };
        }
        let at = |ratio: f64| (ratio * point.flight.airspeed_m_s, ratio * point.propeller.speed_rad_s);
        Self { tie: Tie::AdvanceRatio, pairs: vec![at(0.0), at(10.0)] }
    }

    /// Airspeeds, m/s, between which the shaft speed lies from `from_rad_s` to `to_rad_s`; none where it never does.
    #[must_use]
    pub fn within(&self, from_rad_s: f64, to_rad_s: f64) -> Vec<(f64, f64)> {
        let mut found: Vec<(f64, f64)> = Vec::new();
        for pair in self.pairs.windows(2) {
            let ((v0, w0), (v1, w1)) = (pair[0], pair[1]);
            if w0.max(w1) < from_rad_s || w0.min(w1) > to_rad_s {
                continue;
            }
            let (low, high) = if w1 == w0 {
                (0.0, 1.0)
            } else {
                let place = |w: f64| ((w - w0) / (w1 - w0)).clamp(0.0, 1.0);
                let (a, b) = (place(from_rad_s), place(to_rad_s));
                (a.min(b), a.max(b))
            };
            let (from, to) = (v0 + low * (v1 - v0), v0 + high * (v1 - v0));
            match found.last_mut() {
                Some(last) if from <= last.1 * (1.0 + 1e-12) => last.1 = to,
                _ => found.push((from, to)),
            }
        }
        found
    }
}

/// Shaft speeds of trimmed flight; airspeeds that cannot be flown are left out.
fn trimmed(point: &OperatingPoint, how: &Trim) -> Vec<(f64, f64)> {
    if how.thrust.is_none() || !matches!(how.by, By::Speed { .. }) {
        return Vec::new();
    }
    let (from, to, count) = AIRSPEEDS;
    let flown: Vec<Option<(f64, f64)>> = (0..count)
        .into_par_iter()
        .map(|i| {
            let mut at = point.clone();
            at.flight.airspeed_m_s *= from + (to - from) * f64::from(i) / f64::from(count - 1);
            at.solver.stations = at.solver.stations.min(COARSE.0);
            at.solver.azimuths = at.solver.azimuths.min(COARSE.1);
            let found = trim(&at, how, &mut Kept::default()).ok()?;
            Some((at.flight.airspeed_m_s, found.point.propeller.speed_rad_s))
        })
        .collect();
    flown.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn speeds(pairs: &[(f64, f64)]) -> FlownSpeeds {
        FlownSpeeds { tie: Tie::Trim, pairs: pairs.to_vec() }
    }

    #[test]
    fn a_band_is_one_range_of_airspeeds_two_or_none() {
        // Slow flight needs as much as fast flight.
        let bucket = speeds(&[(10.0, 500.0), (14.0, 400.0), (18.0, 500.0), (22.0, 700.0)]);
        let found = bucket.within(450.0, 600.0);
        assert_eq!(found.len(), 2);
        assert_relative_eq!(found[0].1, 12.0);
        assert_relative_eq!(found[1].0, 16.0);
        assert_relative_eq!(found[1].1, 20.0);
        assert_eq!(bucket.within(390.0, 410.0).len(), 1);
        assert!(bucket.within(710.0, 900.0).is_empty());
        assert!(bucket.within(100.0, 300.0).is_empty());
    }

    #[test]
    fn a_steady_governor_is_in_the_band_everywhere_or_nowhere() {
        let held = speeds(&[(10.0, 500.0), (14.0, 500.0)]);
        assert_eq!(held.within(450.0, 600.0), [(10.0, 14.0)]);
        assert!(held.within(510.0, 600.0).is_empty());
    }
}
