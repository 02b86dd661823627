//! How far a separated laminar layer runs before it is turbulent and back on the surface.

use std::sync::LazyLock;

/// Lengths in momentum thicknesses of the slowest, the middle and the quickest growth: shape factors 4, where a layer separates
/// (Falkner and Skan's last attached profile), 6, and 8, deep in dead air.
static LENGTHS: LazyLock<Lengths> = LazyLock::new(|| Lengths {
    slowest: length_in_thicknesses(4.0),
    middle: length_in_thicknesses(6.0),
    quickest: length_in_thicknesses(8.0),
});

struct Lengths {
    slowest: f64,
    middle: f64,
    quickest: f64,
}

/// Amplification exponent at which a layer turns turbulent: streams of 0.07 % turbulence (L. M. Mack's n = −8.43 − 2.4 ln Tu, JPL
/// Publication 77-15, 1977; from memory).
const EXPONENT: f64 = 9.0;

/// Length from separation until the layer is back, over that until it turns turbulent: the 50 000 of B. H. Carmichael, NASA
/// CR-165803, 1981, over the 40 000 of H. P. Horton, ARC CP 1073, 1969, in length Reynolds number (both from memory).
const BACK_OVER_TURBULENT: f64 = 1.25;

/// Length Reynolds number from separation until the layer is back: Carmichael's and the range of what is published about it (from
/// memory). Layers that were amplified ahead of separation, above a Reynolds number of 150 to 200 of the momentum thickness, run no
/// longer than this; slower ones are back sooner ([`length_in_thicknesses`]).
const REYNOLDS: f64 = 5e4;
const REYNOLDS_RANGE: (f64, f64) = (3e4, 6e4);

/// A laminar layer where it leaves the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct LeavingLayer {
    /// Distance from the nose over chord; 1 where the layer stays on.
    pub at: f64,
    /// Speed outside the layer over that far ahead.
    pub speed: f64,
    /// Momentum thickness over chord, times the root of the chord Reynolds number.
    pub thickness: f64,
}

impl LeavingLayer {
    /// The layer at a place with an outer speed, from Thwaites' integral ∫U⁵ds up to there.
    pub(super) fn new(at: f64, speed: f64, integral: f64) -> Self {
        Self { at, speed, thickness: (0.45 * integral / speed.powi(6)).sqrt() }
    }

    /// A layer that stays on to the trailing edge.
    pub(super) const fn stays() -> Self {
        Self { at: 1.0, speed: 1.0, thickness: 0.0 }
    }

    /// Distance over chord from separation until the layer is back, at a chord Reynolds number.
    pub(super) fn length(&self, reynolds: f64) -> f64 {
        self.shorter(LENGTHS.middle, REYNOLDS, reynolds)
    }

    /// Share of such layers that are back on the surface at the trailing edge: none where the way there is shorter than the
    /// quickest growth takes, all where it is longer than the slowest does.
    pub(super) fn back_at_trailing_edge(&self, reynolds: f64) -> f64 {
        if self.at >= 1.0 {
            return 1.0;
        }
        let quickest = self.shorter(LENGTHS.quickest, REYNOLDS_RANGE.0, reynolds);
        let slowest = self.shorter(LENGTHS.slowest, REYNOLDS_RANGE.1, reynolds);
        let t = ((1.0 - self.at - quickest) / (slowest - quickest)).clamp(0.0, 1.0);
        t * t * (3.0 - 2.0 * t)
    }

    fn shorter(&self, thicknesses: f64, length_reynolds: f64, reynolds: f64) -> f64 {
        (thicknesses * self.thickness / reynolds.sqrt()).min(length_reynolds / (self.speed * reynolds))
    }
}

/// Length from separation until the layer is back, in momentum thicknesses at separation, where its shape factor is H.
///
/// Envelope of amplified waves (M. Drela, M. B. Giles, AIAA Journal 25(10), 1987, 1347; from memory): dn/dRθ = 0.01 √((2.4 H − 3.7 +
/// 2.5 tanh(1.5 H − 4.65))² + 0.25), dn/ds = dn/dRθ (m + 1) l/(2θ), m = (0.058 (H − 4)²/(H − 1) − 0.068)/l, l = (6.54 H − 14.07)/H².
/// Momentum thickness stays what it was at separation, where nothing rubs; n begins at 0 there. Range: H 4 to 8, momentum
/// thickness Reynolds number above 40, where waves grow at all. In length Reynolds number it is 250 Rθ at H = 6, Carmichael's
/// 50 000 at Rθ = 200, and less below: at chord Reynolds numbers of a few 10⁴ a fixed 50 000 is too long.
pub(super) fn length_in_thicknesses(shape_factor: f64) -> f64 {
    let h = shape_factor;
    let by_thickness = 0.01 * ((2.4 * h - 3.7 + 2.5 * (1.5 * h - 4.65).tanh()).powi(2) + 0.25).sqrt();
    let l = (6.54 * h - 14.07) / (h * h);
    let m = (0.058 * (h - 4.0).powi(2) / (h - 1.0) - 0.068) / l;
    BACK_OVER_TURBULENT * EXPONENT / (by_thickness * 0.5 * (m + 1.0) * l)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Worked by hand: 323, 201 and 151 thicknesses to transition at H = 4, 6 and 8.
    #[test]
    fn growth_is_the_envelopes() {
        for (shape_factor, by_hand) in [(4.0, 323.0), (6.0, 201.0), (8.0, 151.0)] {
            assert_relative_eq!(length_in_thicknesses(shape_factor), 1.25 * by_hand, max_relative = 0.01);
        }
    }

    /// Blasius' layer, θ = 0.664 √(s/Re), that leaves a plate half way: Carmichael's length at high Reynolds number, and at Re 5e4 a
    /// shorter one.
    #[test]
    fn length_is_carmichaels_above_and_shorter_below() {
        let layer = LeavingLayer::new(0.5, 1.0, 0.5);
        assert_relative_eq!(layer.thickness, 0.67 * f64::sqrt(0.5), max_relative = 2e-3);
        assert_relative_eq!(layer.length(1e6), 0.05, epsilon = 1e-12);
        let short = layer.length(5e4);
        assert_relative_eq!(short, 252.0 * layer.thickness / f64::sqrt(5e4), max_relative = 0.01);
        assert!(short < 1.0);
        assert_eq!(LeavingLayer::stays().back_at_trailing_edge(2e4), 1.0);
        let share = |reynolds| layer.back_at_trailing_edge(reynolds);
        assert!(share(1e4) == 0.0 && share(2e5) == 1.0 && (0.1..0.9).contains(&share(5e4)));
    }
}
