//! A choice from a sweep: which placement keeps the loads low over the flown envelope, and what it costs.
//!
//! The axes of a sweep are split in two: those that are decided (offset, gap, blade count…), whose combinations are the
//! *candidates*, and those that are flown (airspeed, angle of attack…), whose combinations are the *conditions*. A candidate's
//! figure is the NP amplitude to be kept low, at the hub of the first propeller or of all together at the airframe, worst or
//! mean over the conditions. Candidates that pass a limit, or that have no answer where others have one, are out, with the
//! reason. Everything comes from the file; nothing is computed anew.

mod all_propellers;
mod limits;
mod measure;
mod odd_even;
mod rank;
mod sensitivity;
mod study;

pub use limits::Costs;
pub(crate) use measure::by_condition;
pub use odd_even::{ByBlades, OddEven};
pub use rank::{Ranking, Row, rank};
pub use sensitivity::{Nearby, NearbyValue};
pub use study::{AirframeFigures, Candidate, Figures, Study, StudyAxis};
