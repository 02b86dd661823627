//! The flow of eight stations with the axial velocity as its square, in which the losses of total pressure of plane wakes add.
//!
//! Plane wakes of two surfaces are layers shed apart, each in air that the other has not slowed: where they overlap downstream, a
//! streamline has lost to both. Round wakes are not taken off here but as a share of what is left (see
//! [`super::round_wake`]).

use super::suction::total_pressure_loss;
use crate::base::lanes::Lanes;

/// Square of the axial velocity, with the velocity's sign, and tangential velocity over azimuth.
#[derive(Debug, Clone, Default)]
pub(super) struct SquareFlow {
    /// U |U|, m²/s² (A).
    pub axial_square: Vec<Lanes>,
    /// Against the motion, without rotation, m/s (A).
    pub tangential_m_s: Vec<Lanes>,
}

impl SquareFlow {
    /// Takes the loss of total pressure of a deficit made at edge speed `made` off the axial velocity at azimuth `j` and
    /// slows the tangential.
    #[inline(always)]
    pub(super) fn take_loss(&mut self, j: usize, made: Lanes, deficit: Lanes) {
        self.axial_square[j] = self.axial_square[j] - total_pressure_loss_lanes(made, deficit);
        self.tangential_m_s[j] = self.tangential_m_s[j] * (Lanes::splat(1.0) - deficit);
    }
}

/// [`total_pressure_loss`] lane by lane.
#[inline(always)]
pub(super) fn total_pressure_loss_lanes(made: Lanes, deficit: Lanes) -> Lanes {
    made.zip(deficit, total_pressure_loss)
}

/// Root that keeps the sign of what it is taken of.
#[inline(always)]
pub(crate) fn signed_root(square: Lanes) -> Lanes {
    let root = square.abs().sqrt();
    square.zip(root, |square, root| if square < 0.0 { -root } else { root })
}
