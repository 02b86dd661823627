//! Published results and exact solutions against the engine.

pub mod reference;
