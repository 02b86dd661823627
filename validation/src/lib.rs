//! Published results and exact solutions against the engine.
//!
//! [`topics`] holds the checks, one file a branch of physics; each reads its table under `validation/data`, drives the
//! engine as users run it, and yields rows. [`table`] runs them, gives verdicts and keeps the one list of known failures.
//! Comparisons with our own past values do not belong here.

pub mod mounts;
pub mod plot;
pub mod propellers;
pub mod reference;
pub mod root;
pub mod table;
pub mod thin_wing;
pub mod tone;
pub mod topics;
