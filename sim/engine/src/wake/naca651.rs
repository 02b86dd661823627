//! The wake correlation of Silverstein, Katzoff and Bullivant, NACA Report 651 (1939), as published.
//!
//! With x from the trailing edge along the wake's centre line, ξ = x/c:
//!
//! ```text
//! Δq/q = 2.42 √c_d/(ξ + 0.3) · cos²(π n/(2 b))       b = 0.68 c √(c_d (ξ + 0.15))
//! ```
//!
//! The 2.42 multiplies a loss of **dynamic pressure**; the velocity deficit is δ = 1 − √(1 − Δq/q). It is taken
//! against the local edge speed. Fitted for tailplanes some chords behind a wing: near the edge the width is half
//! as large again as measured and the profile carries about 1.7 times the drag that made it; at 10 chords half.

use super::profile::velocity_deficit;
use super::{WakeModel, WakeSection, WakeShape, WakeStation};
use crate::point::result::Warning;

/// Greatest loss of dynamic pressure. The correlation passes 1 close behind thick-wake sections (c_d above 0.015 at
/// the edge), where it has no meaning; our own bound leaves a tenth of the edge speed.
const LOSS_CAP: f64 = 0.99;

/// The correlation of NACA Report 651.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Naca651Wake;

/// Loss of dynamic pressure on the centre line as the correlation gives it, before the cap.
fn correlated_loss(section: &WakeSection, aft_m: f64) -> f64 {
    2.42 * section.drag_coefficient.max(0.0).sqrt() / (chords_aft(section, aft_m) + 0.3)
}

fn chords_aft(section: &WakeSection, aft_m: f64) -> f64 {
    aft_m.max(0.0) / section.chord_m
}

impl Naca651Wake {
    /// Loss of dynamic pressure on the centre line over that of the edge, at most 0.99.
    #[must_use]
    pub fn peak_loss(&self, section: &WakeSection, aft_m: f64) -> f64 {
        correlated_loss(section, aft_m).min(LOSS_CAP)
    }
}

impl WakeModel for Naca651Wake {
    fn station(&self, section: &WakeSection, aft_m: f64) -> WakeStation {
        if section.drag_coefficient <= 0.0 {
            return WakeStation { peak: 0.0, width_m: section.chord_m, shape: WakeShape::CosineSquared };
        }
        let spread = section.drag_coefficient * (chords_aft(section, aft_m) + 0.15);
        WakeStation {
            peak: velocity_deficit(self.peak_loss(section, aft_m)),
            width_m: 0.68 * section.chord_m * spread.sqrt(),
            shape: WakeShape::CosineSquared,
        }
    }

    fn warning(&self, section: &WakeSection, aft_m: f64) -> Option<Warning> {
        let loss = correlated_loss(section, aft_m);
        (loss > LOSS_CAP).then(|| Warning {
            name: "naca651_capped",
            text: format!(
                "correlation gives a dynamic-pressure loss of {loss:.2}, cut at {LOSS_CAP}; use the momentum wake"
            ),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn section(drag_coefficient: f64) -> WakeSection {
        WakeSection { chord_m: 2.0, drag_coefficient, edge_speed_ratio: 1.0 }
    }

    #[test]
    fn constant_is_a_loss_of_dynamic_pressure() {
        // Far behind the loss is small and the velocity deficit half of it: 1.21 √cd/(ξ + 0.3).
        let station = Naca651Wake.station(&section(0.01), 2.0 * 500.0);
        assert_relative_eq!(station.peak, 1.21 * 0.1 / 500.3, max_relative = 1e-3);
        assert_relative_eq!(station.half_width_m(), 0.5 * station.width_m, max_relative = 1e-3);
    }

    #[test]
    fn deep_wakes_are_cut_and_say_so() {
        let station = Naca651Wake.station(&section(0.05), 0.0);
        assert_relative_eq!(station.peak, 0.9, max_relative = 1e-12);
        assert_eq!(Naca651Wake.warning(&section(0.05), 0.0).unwrap().name, "naca651_capped");
        assert_eq!(Naca651Wake.warning(&section(0.01), 0.0), None);
    }
}
