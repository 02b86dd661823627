//! Why a point cannot be trimmed: which limit was met.

use super::root::NoRoot;
use crate::point::PointError;
use thiserror::Error;

/// No trimmed point, with the limit and what was reached.
#[derive(Debug, Clone, Error, PartialEq)]
pub enum TrimError {
    /// The aircraft is too slow for its weight.
    #[error(
        "not trimmable, stall: the greatest lift of the airframe is {greatest_n:.4} N, at {angle_deg:.1} deg angle of attack, with the \
         thrust's part no more than {carried_n:.4} N are carried and the weight is {weight_n:.4} N; level flight needs about \
         {airspeed_m_s:.1} m/s"
    )]
    Stall {
        /// Greatest lift of the airframe, N.
        greatest_n: f64,
        /// Angle of attack there, deg.
        angle_deg: f64,
        /// The most that lift and thrust carry together at any angle, N.
        carried_n: f64,
        /// Weight, N.
        weight_n: f64,
        /// Airspeed at which that lift would carry the weight, m/s.
        airspeed_m_s: f64,
    },
    /// No angle of attack in range gives so little lift.
    #[error(
        "not trimmable, lift: even at {angle_deg:.1} deg angle of attack lift is above the weight of {weight_n:.4} N"
    )]
    TooMuchLift {
        /// Least angle tried, deg.
        angle_deg: f64,
        /// Weight, N.
        weight_n: f64,
    },
    /// Thrust cannot be met within the limits of speed or pitch.
    #[error(
        "not trimmable, {limit}: {wanted_n:.4} N of thrust are wanted, {reached_n:.4} N is the nearest, at {at}"
    )]
    Thrust {
        /// The limit that was met, in words.
        limit: &'static str,
        /// Thrust wanted, N.
        wanted_n: f64,
        /// Nearest thrust, N.
        reached_n: f64,
        /// Where, with its unit.
        at: String,
    },
    /// The motor is not strong enough.
    #[error("not trimmable, power: {needed_w:.4} W are needed and trim.power_max_w is {available_w:.4} W")]
    Power {
        /// Power needed, W.
        needed_w: f64,
        /// Power there is, W.
        available_w: f64,
    },
    /// The search ended before thrust was met closely enough.
    #[error(
        "not trimmable: thrust did not settle, {residual:.1e} of it is left; try a smaller `solver.tolerance` or another first guess"
    )]
    NotSettled {
        /// Residual over the thrust wanted.
        residual: f64,
    },
    /// Something the trim needs is not known.
    #[error("trim needs `{key}`")]
    Missing {
        /// Key that would give it.
        key: &'static str,
    },
    /// An operating point had no answer, on the way or where nothing is trimmed: its own words say why.
    #[error(transparent)]
    Point(#[from] PointError),
}

/// Of a search between two signs, which can only fail to settle or find no value.
impl From<NoRoot<PointError>> for TrimError {
    fn from(none: NoRoot<PointError>) -> Self {
        match none {
            NoRoot::Function(error) => error.into(),
            NoRoot::NotSettled { residual, .. } | NoRoot::OutOfReach { residual, .. } => {
                Self::NotSettled { residual }
            }
        }
    }
}

impl TrimError {
    /// One word for the limit, as a status of a sweep.
    #[must_use]
    pub fn limit(&self) -> &'static str {
        match self {
            Self::Stall { .. } => "stall",
            Self::TooMuchLift { .. } => "lift",
            Self::Thrust { limit, .. } => limit,
            Self::Power { .. } => "power",
            Self::NotSettled { .. } => "not settled",
            Self::Missing { .. } => "missing value",
            Self::Point(_) => "no answer",
        }
    }
}
