//! Correction of a cycle for its mean.
//!
//! The fully reversed amplitude that is taken to do the same damage as amplitude σa about the mean σm, with maximum
//! σmax = σm + σa and ratio R = (σm − σa)/σmax. Textbook forms; none knows notch plasticity or welds.

/// How the mean of a cycle acts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MeanStress {
    /// Not at all.
    Ignored,
    /// σa/(1 − σm/σu). A compressive mean helps.
    Goodman {
        /// Ultimate strength σu, unit of the history.
        ultimate: f64,
    },
    /// σa/(1 − (σm/σu)²). Meant for σm ≥ 0; a compressive mean is taken to harm as much as a tensile one.
    Gerber {
        /// Ultimate strength σu, unit of the history.
        ultimate: f64,
    },
    /// σa/(1 − σm/σy): the most cautious of the three lines.
    Soderberg {
        /// Yield strength σy, unit of the history.
        yield_point: f64,
    },
    /// √(σmax σa); a cycle that never pulls does nothing.
    SmithWatsonTopper,
    /// σmax ((1 − R)/2)^γ; with γ = ½ it is Smith–Watson–Topper's.
    Walker {
        /// Exponent γ, 0.4 to 0.8 for most metals.
        exponent: f64,
    },
}

impl MeanStress {
    /// Fully reversed amplitude of equal damage, unit of the history; infinite where the mean reaches the strength.
    #[must_use]
    pub fn reversed_amplitude(self, amplitude: f64, mean: f64) -> f64 {
        let on_line = |share: f64| if share < 1.0 { amplitude / (1.0 - share) } else { f64::INFINITY };
        let highest = mean + amplitude;
        match self {
            _ if amplitude == 0.0 => 0.0,
            Self::Ignored => amplitude,
            Self::Goodman { ultimate } => on_line(mean / ultimate),
            Self::Gerber { ultimate } => on_line((mean / ultimate).powi(2)),
            Self::Soderberg { yield_point } => on_line(mean / yield_point),
            // The part of the cycle that pulls opens a crack; without one the correction has no meaning.
            Self::SmithWatsonTopper | Self::Walker { .. } if highest <= 0.0 => 0.0,
            Self::SmithWatsonTopper => (highest * amplitude).sqrt(),
            Self::Walker { exponent } => highest * (amplitude / highest).powf(exponent),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_mean_no_correction_and_a_mean_at_the_strength_breaks() {
        let all = [
            MeanStress::Ignored,
            MeanStress::Goodman { ultimate: 300.0 },
            MeanStress::Gerber { ultimate: 300.0 },
            MeanStress::Soderberg { yield_point: 250.0 },
            MeanStress::SmithWatsonTopper,
            MeanStress::Walker { exponent: 0.6 },
        ];
        for rule in all {
            assert!((rule.reversed_amplitude(50.0, 0.0) - 50.0).abs() < 1e-12, "{rule:?}");
            assert_eq!(rule.reversed_amplitude(0.0, 400.0), 0.0, "{rule:?}");
        }
        assert_eq!(all[1].reversed_amplitude(1.0, 300.0), f64::INFINITY);
        assert_eq!(all[4].reversed_amplitude(10.0, -20.0), 0.0);
    }
}
