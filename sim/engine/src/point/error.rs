//! Why an operating point could not be computed.

use thiserror::Error;

/// A failure at run time, with where and what to try.
#[derive(Debug, Clone, Error, PartialEq)]
pub enum PointError {
    /// The induced velocity of an annulus did not settle.
    #[error(
        "induced velocity did not settle at radius {radius_m:.3e} m after {iterations} iterations \
         (last step {step_m_s:.2e} m/s, axial {axial_m_s:.3} m/s): \
         try the other `solver.induction`, or a larger `solver.tolerance`; check for stalled or braking stations"
    )]
    NotSettled {
        /// Radius of the station, m.
        radius_m: f64,
        /// Iterations made.
        iterations: usize,
        /// Step asked for last, m/s.
        step_m_s: f64,
        /// Axial induced velocity tried last, m/s.
        axial_m_s: f64,
    },
    /// The first harmonic of the induced velocity did not settle.
    #[error(
        "the disk's first harmonic of induced velocity did not settle after {iterations} iterations: \
         try `solver.induction = \"momentum\"`, or a larger `solver.tolerance`"
    )]
    DiskNotSettled {
        /// Iterations made.
        iterations: usize,
    },
    /// A load came out as no number.
    #[error(
        "{quantity} is not a finite number at radius {radius_m:.4} m: \
         check section tables and blade geometry near this radius"
    )]
    NotFinite {
        /// What failed first.
        quantity: &'static str,
        /// Radius of the station, m.
        radius_m: f64,
    },
    /// A surface's circulation could not be found.
    #[error("circulation of surface `{surface}`: {reason}")]
    Circulation {
        /// Name of the surface.
        surface: String,
        /// What went wrong.
        reason: String,
    },
    /// A further propeller has no answer.
    #[error("further propeller `{name}`: {reason}")]
    Further {
        /// Its name.
        name: String,
        /// What went wrong.
        reason: Box<PointError>,
    },
    /// No singularities on its axis fit a body's shape.
    #[error("potential flow of body `{body}` cannot be found: check its length, diameter and closing length")]
    BodyField {
        /// Name of the body.
        body: String,
    },
}
