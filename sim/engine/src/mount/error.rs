//! Why a mount has no answer.

use thiserror::Error;

/// A failure with where and what to try.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum MountError {
    /// Mass or inertia is not positive.
    #[error("mass and inertia of {part} are not positive definite: {reason}")]
    Mass {
        /// Powerplant, airframe.
        part: &'static str,
        /// What fails.
        reason: String,
    },
    /// The isolators leave a motion free.
    #[error(
        "the isolators leave a motion of the powerplant free: {motion}; add an isolator off that axis, or stiffness across it"
    )]
    FreeMode {
        /// The motion in words.
        motion: String,
    },
    /// Vibration exactly at an undamped resonance.
    #[error(
        "{order}P at {speed_rpm:.1} rpm, {frequency_hz:.3} Hz, meets an undamped mode of the mount exactly ({motion}): its response \
         has no bound; give the isolators `damping_n_s_per_m` or `loss_factor`"
    )]
    UndampedResonance {
        /// Cycles per shaft revolution.
        order: usize,
        /// Shaft speed.
        speed_rpm: f64,
        /// Frequency.
        frequency_hz: f64,
        /// The motion in words.
        motion: String,
    },
    /// Eigenvalues did not settle within the iterations allowed.
    #[error(
        "modes of the mount were not found within the iterations allowed: check masses and stiffnesses for extreme ratios"
    )]
    Eigenvalues,
    /// A state of a schedule has no airloads.
    #[error(
        "the schedule has no airloads at {time_s:.3} s ({speed_rpm:.0} rpm, {airspeed_m_s:.2} m/s, angle of attack {angle_deg:.1} deg): \
         {source}"
    )]
    NoAirloads {
        /// Time of the schedule.
        time_s: f64,
        /// Shaft speed.
        speed_rpm: f64,
        /// Airspeed.
        airspeed_m_s: f64,
        /// Angle of attack.
        angle_deg: f64,
        /// Why.
        source: crate::point::PointError,
    },
    /// The airloads at a shaft speed or angle could not be computed.
    #[error(transparent)]
    Point(#[from] crate::point::PointError),
}
