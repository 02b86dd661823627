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
//!
//! # Worked by hand
//! A motor with its propeller of 1.10 kg, centre of gravity 0.050 m aft of the plane of four equal bolts at y, z = ±0.0212132 m; 42 N and
//! 1.05 N m at take-off, 0.9 of both continuous; 7200 rpm; Ip = 4.2e-4 kg m²; `n_A` = 3.8; torque factor 1.25 by choice. W = 10.7873 N,
//! H = Ip Ω = 0.316673 kg m²/s, Σz² = Σy² = 0.0018 m², Σr² = 0.0036 m².
//! - Take-off torque, n = 0.75 · 3.8 = 2.85: `F_z` = −30.7438 N, `F_x` = −42 N, `M_x` = 1.25 · 1.05 = 1.3125 N m,
//!   `M_y` = 0.050 · 30.7438 = 1.53719 N m. Upper bolts: f_x = −42/4 + 1.53719 · 0.0212132/0.0018 = +7.6160 N, lower ones −28.6160 N.
//! - Continuous torque, n = 3.8: `F_z` = −40.9918 N, `M_y` = 2.04959 N m, `M_x` = 1.18125 N m; the bolt at upper port
//!   has f_y = −6.96058 N, f_z = −10.2479 − 6.96058 = −17.2085 N, shear 18.5630 N.
//! - Side load, max(1.33, 3.8/3) = 1.33: `F_y` = 14.3471 N, `M_z` = 0.717356 N m, axial ±8.4541 N.
//! - Gyroscopic, n = 2.5, `F_x` = −37.8 N: (`M_y`, `M_z`) = (+H r, −H q) = (±0.791681, ±0.316673) N m, with the weight `M_y` = 1.34841 ± 0.791681
//!   N m; worst axial force −38.4033 N. With two thin blades an equal vector turns at 2P on top: the largest resultant of the gyroscopic
//!   moment is 1.70534 N m, there the worst bolt has −51.4654 N, at its own worst azimuth −52.6144 N.
//!
//! The tests of `validation/tests/limit_loads.rs` repeat it bolt by bolt.

pub mod cases;
pub mod combined;
pub mod from_mount;
pub mod input;
pub mod rules;
pub mod supports;

pub use cases::{LimitCase, LimitError, LimitLoads, SupportForce, limit_loads};
pub use combined::CombinedLoad;
