//! wakebeat's engine: what a propeller feels when it turns in the wake of the aircraft ahead of it.
//!
//! The chain, each link a module of its own:
//!
//! | module | physics |
//! |---|---|
//! | [`air`] | ISO 2533 standard atmosphere |
//! | [`frames`] | aircraft, disk and blade axes, hub-load signs |
//! | [`surface`] | lifting surfaces: planform, circulation by lifting line, wake centre line |
//! | [`wake`] | viscous wakes: momentum thickness, shape factor, profile |
//! | [`body`] | bodies of revolution: potential flow, boundary layer, wake |
//! | [`inflow`] | the velocity field on the disk as a sum of sources, and the propeller's suction on it |
//! | [`blade`], [`section`] | blade tables, section coefficients |
//! | [`unsteady`] | indicial section lift in the time domain |
//! | [`induction`] | induced velocity of each annulus |
//! | [`rotor`] | the sweep over azimuth, blade loads, hub loads, harmonics |
//! | [`flex`] | blades that bend: flap modes, what they take off the loads |
//! | [`march`] | a schedule in time with the mount in the loop |
//! | [`mount`] | isolators, airframe and sensors: response, whirl, speeds to avoid |
//! | [`point`] | one operating point: the order of evaluation |
//! | [`duty`] | a flight as a sequence of operating points, the loads of each over a revolution |
//! | [`limit`] | limit-load cases of the motor mount |
//! | [`trim`] | level flight, and the thrust that meets the drag |
//! | [`case`] | the case file (only this module knows TOML) |
//! | [`study`] | a grid of operating points: threads, parts, resume, shards |
//! | [`record`] | the result file (only this module knows HDF5) |
//!
//! SI units throughout; radians inside, degrees only in the case file.

pub mod air;
pub mod base;
pub mod blade;
pub mod body;
pub mod case;
pub mod duty;
pub mod flex;
pub mod frames;
pub mod induction;
pub mod inflow;
pub mod limit;
pub mod march;
pub mod mount;
pub mod point;
pub mod record;
pub mod rotor;
pub mod section;
pub mod study;
pub mod surface;
pub mod trim;
pub mod unsteady;
pub mod wake;
