//! What a thinned grid of azimuths adds to its loads, so that its balance is that of the full grid.

use super::ripple::RippleLoads;
use crate::base::lanes::LANES;
use crate::induction::momentum::Induced;

/// Loads of all blades less momentum, of eight annuli: per unit radius, N/m.
#[derive(Debug, Clone, Default)]
pub(super) struct Residual {
    /// Means along the axis and against the rotation.
    pub mean: [[f64; 2]; LANES],
    /// Axial parts at the multiples of NP.
    pub passage: RippleLoads,
}

/// What the full grid leaves unbalanced beyond the thinned one. It changes a little with the induced velocity: from the second
/// correction on, along the last move, by the secant.
#[derive(Debug, Clone, Default)]
pub(super) struct Correction {
    means: [MeanCorrection; LANES],
    /// Axial parts at the multiples of NP, N/m.
    pub passage: RippleLoads,
}

/// The means of one annulus.
#[derive(Debug, Clone, Copy, Default)]
struct MeanCorrection {
    /// Found last, N/m, and the induced velocity it was found at.
    found: Option<([f64; 2], Induced)>,
    /// Change for a move `along` · (induced − that) of one, N/m.
    change: [f64; 2],
    /// The last move over its square, s/m.
    along: [f64; 2],
}

impl Correction {
    /// Takes the difference of what both grids leave of an annulus' means (N/m) at the same induced velocity.
    pub(super) fn take(&mut self, lane: usize, difference: [f64; 2], at: Induced) {
        let own = &mut self.means[lane];
        if let Some((before, from)) = own.found {
            let moved = [at.axial_m_s - from.axial_m_s, at.swirl_m_s - from.swirl_m_s];
            let square = moved[0] * moved[0] + moved[1] * moved[1];
            // An annulus that has not moved tells nothing.
            if square > 0.0 {
                own.along = moved.map(|moved| moved / square);
                own.change = [difference[0] - before[0], difference[1] - before[1]];
            }
        }
        own.found = Some((difference, at));
    }

    /// What is added to an annulus' means at an induced velocity, N/m.
    pub(super) fn mean(&self, lane: usize, at: Induced) -> [f64; 2] {
        let own = &self.means[lane];
        let Some((found, from)) = own.found else { return [0.0; 2] };
        let moved =
            own.along[0] * (at.axial_m_s - from.axial_m_s) + own.along[1] * (at.swirl_m_s - from.swirl_m_s);
        // A move shorter than the next tells too little of it.
        let moved = moved.clamp(-1.0, 1.0);
        [found[0] + moved * own.change[0], found[1] + moved * own.change[1]]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn at(axial_m_s: f64, swirl_m_s: f64) -> Induced {
        Induced { axial_m_s, swirl_m_s }
    }

    #[test]
    fn a_difference_in_proportion_to_the_move_is_met_along_it() {
        let mut correction = Correction::default();
        assert_eq!(correction.mean(3, at(1.0, 1.0)), [0.0; 2]);
        let difference = |v: Induced| [2.0 + 0.1 * v.axial_m_s, -1.0 + 0.3 * v.axial_m_s];
        for v in [at(5.0, 1.0), at(5.5, 1.2)] {
            correction.take(3, difference(v), v);
        }
        let further = at(5.6, 1.24);
        for (own, exact) in correction.mean(3, further).iter().zip(difference(further)) {
            assert_relative_eq!(*own, exact, max_relative = 1e-12);
        }
        // Other annuli know nothing of it, and one that stands still keeps what it has.
        assert_eq!(correction.mean(2, further), [0.0; 2]);
        correction.take(3, [9.0, 9.0], at(5.5, 1.2));
        assert_eq!(correction.mean(3, at(5.5, 1.2)), [9.0, 9.0]);
    }
}
