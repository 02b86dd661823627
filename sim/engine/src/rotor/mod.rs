//! The sweep of the blades over one revolution and what reaches the hub.
//!
//! [`sweep`] evaluates eight stations over all azimuths at given induced velocity; [`blade_loads`]
//! sums stations to one blade's loads; [`hub`] sums blades at their own azimuths.

pub mod blade_loads;
pub mod group;
mod gust;
pub mod hub;
pub mod hub_signals;
pub mod linear;
pub mod station_section;
pub mod sweep;
pub mod tones;
