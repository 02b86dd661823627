//! Viscous wakes of lifting surfaces: how deep and how wide the slow air is behind a section.
//!
//! Deficits are δ = 1 − U/U_e, with U_e the edge speed beside the wake at the same station. A model turns the
//! drag of a section into a [`WakeStation`] at a distance behind the trailing edge; the station is then evaluated
//! many times across the wake. One file per model; a new one implements [`WakeModel`].

pub mod edge_layer;
pub mod edge_table;
pub mod lag_entrainment;
pub mod momentum;
pub mod naca651;
mod profile;
pub mod shape_factor_table;

pub use momentum::MomentumWake;
pub use naca651::Naca651Wake;
pub use profile::{WakeShape, WakeStation};

use crate::point::result::Warning;

/// What a section hands to its wake.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WakeSection {
    /// Chord, m.
    pub chord_m: f64,
    /// Profile drag coefficient on the chord, viscous part only.
    pub drag_coefficient: f64,
    /// Edge speed beside the wake over the speed of the undisturbed air, U_e/V, where the wake is evaluated; above 0.
    pub edge_speed_ratio: f64,
}

/// A viscous wake: from section drag to depth and width.
pub trait WakeModel: std::fmt::Debug + Send + Sync {
    /// The wake `aft_m` behind the trailing edge, m; ahead of the edge the wake at the edge is meant.
    fn station(&self, section: &WakeSection, aft_m: f64) -> WakeStation;

    /// What the model is known to miss there, with its figure.
    fn warning(&self, section: &WakeSection, aft_m: f64) -> Option<Warning>;
}
