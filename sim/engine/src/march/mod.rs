//! Marching in time: a schedule of shaft speed, airspeed, attitude and flaps with the mount in the loop.
//!
//! | module | what |
//! |---|---|
//! | [`schedule`] | states against time |
//! | [`rotor`] | airloads of one revolution after the other, sections lagged in time |
//! | `passing` | airloads from one revolution to the next |
//! | `carried` | what holds the mean loads on a free airframe |
//! | [`step`] | the mount's equations from one azimuth to the next |
//! | [`run`] | the order of evaluation, what is told of each revolution |

mod carried;
mod passing;
pub mod rotor;
pub mod run;
pub mod schedule;
pub mod step;
