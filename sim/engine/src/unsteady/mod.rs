//! Unsteady section lift in the time domain.
//!
//! A gust that stands still in space and is met at the leading edge raises lift as Küssner's
//! function of the distance travelled; blade motion raises it as Wagner's. Both are written as a
//! jump to the final value minus a sum of decaying exponentials, so that the lag of any velocity
//! history is a handful of first-order states ([`indicial`]). A steady operating point is periodic:
//! the states that repeat after one revolution follow in closed form ([`lag`]).

pub mod chordwise;
pub mod gust_functions;
pub mod indicial;
pub mod lag;
pub mod oblique;
