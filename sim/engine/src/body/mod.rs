//! Bodies of revolution: shape, potential flow around them, boundary layer and wake.
//!
//! A body lies along the x axis of the aircraft: half an ellipsoid as nose, a cylinder, a closing tail
//! ([`shape`]). Its potential flow is that of sources and doublets on its axis, fitted to the shape
//! ([`axis_field`]); its wake carries its drag from the boundary layer on the closing tail to the far wake
//! ([`wake`]). Surfaces' wakes go around it in its stream tubes ([`displacement`]).

pub mod axis_field;
pub mod displacement;
pub mod shape;
pub mod wake;
