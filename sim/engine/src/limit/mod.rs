//! Limit loads of the motor mount: the load cases of the rules for this propeller.
//!
//! | module | what |
//! |---|---|
//! | [`input`] | engine, load factors, powerplant, supports |
//! | [`rules`] | factors of the rules, with clause |
//! | [`supports`] | how a load at the mount is shared among isolators or bolts |
//! | [`cases`] | the cases, the load at the mount and on every support |
//! | [`combined`] | cases and vibration together |
//! | [`from_mount`] | plant and supports from the mount of a case |
//!
//! Axes as in [`crate::mount::input`]: *shaft axes*, origin at the hub, x aft along the shaft, y starboard, z up in the
//! disk plane. Moments are right-handed and taken about the middle of the supports.
//!
//! # What acts
//! Weight times load factor n at the powerplant's centre of gravity, along the aircraft's −z (or ±y for the side load); thrust at the hub
//! along −x; the mean shaft torque times its factor, on the mount about the sense of rotation (a clockwise propeller rolls the
//! aircraft to port). Rotation of the aircraft at ω turns the angular momentum H: the mount feels −ω × H. Three and
//! more blades make that steady. With one or two blades the transverse inertia of the propeller differs by J₂ − J₁, and a vector of
//! length (J₂ − J₁) Ω |ω⊥| turns at 2P on top of it (for thin blades as much as the mean: 0 to twice the mean). The worst
//! azimuth is another one for every support.
//!
//! # Not in it
//! Airloads of the propeller beside thrust and torque, gust loads, crash and blade-loss cases, thermal and fitting loads, elastic
//! response to a sudden load. Rule numbers are those of the text quoted, in part superseded; the rule in force decides.

pub mod cases;
pub mod combined;
pub mod from_mount;
pub mod input;
pub mod rules;
pub mod supports;

pub use cases::{LimitCase, LimitError, LimitLoads, SupportForce, limit_loads};
pub use combined::CombinedLoad;
