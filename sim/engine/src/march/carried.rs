//! What carries the mean loads.
//!
//! On a free airframe flight holds the mean loads: drag the thrust, tail and ailerons the moments. Loads that change more slowly than the
//! mount moves pass through the isolators all the same, and what holds them acts on the airframe. So the mean loads at the hub come with loads
//! on the rigid airframe that balance them: those with which the powerplant, shifted in its isolators, stands still on an airframe that
//! does not move. How the airframe itself answers a gust is not modelled.

use crate::mount::modes::Dynamics;
use crate::mount::system::System;
use nalgebra::{DMatrix, DVector};

/// Singular values below this part of the largest belong to motion that nothing holds.
const FREE: f64 = 1e-10;

/// The mean loads at the hub, and how they are held.
#[derive(Debug, Clone)]
pub(super) struct Carried {
    /// Coordinates that stand under a unit of each load: coordinates × 7.
    shift: DMatrix<f64>,
    /// Force on each coordinate under a unit of each load, what holds the airframe included: 7 × coordinates.
    pub driven: DMatrix<f64>,
}

impl Carried {
    /// For the dynamics of one state, air included, and the hub's motion, 7 × coordinates; `None` where the shift cannot be found.
    pub(super) fn new(system: &System, dynamics: &Dynamics, hub: &DMatrix<f64>) -> Option<Self> {
        let held = system.airframe_motion().unwrap_or(0..0);
        let moving: Vec<usize> = (0..system.size()).filter(|i| !held.contains(i)).collect();
        let stiffness =
            DMatrix::from_fn(moving.len(), moving.len(), |i, j| dynamics.stiffness[(moving[i], moving[j])]);
        let load = DMatrix::from_fn(moving.len(), hub.nrows(), |i, j| hub[(j, moving[i])]);
        let found = rest(&stiffness, &load)?;
        let mut shift = DMatrix::zeros(system.size(), hub.nrows());
        for (row, coordinate) in moving.iter().enumerate() {
            shift.row_mut(*coordinate).copy_from(&found.row(row));
        }
        let mut driven = hub.clone();
        for coordinate in held {
            let balance = dynamics.stiffness.row(coordinate) * &shift;
            driven.column_mut(coordinate).copy_from(&balance.transpose());
        }
        Some(Self { shift, driven })
    }

    /// Where all coordinates stand under mean loads at the hub.
    pub(super) fn shift(&self, mean: &[f64; 7]) -> DVector<f64> {
        &self.shift * DVector::from_column_slice(mean)
    }
}

/// Where coordinates come to rest; those that nothing holds stay. Coordinates of different units are scaled by their own stiffness.
fn rest(stiffness: &DMatrix<f64>, load: &DMatrix<f64>) -> Option<DMatrix<f64>> {
    let scale = stiffness.diagonal().map(|k| if k.abs() > 0.0 { 1.0 / k.abs().sqrt() } else { 1.0 });
    let scaled = DMatrix::from_fn(stiffness.nrows(), stiffness.ncols(), |i, j| {
        scale[i] * stiffness[(i, j)] * scale[j]
    });
    let wanted = DMatrix::from_fn(load.nrows(), load.ncols(), |i, j| scale[i] * load[(i, j)]);
    let parts = scaled.svd(true, true);
    let least = FREE * parts.singular_values.max();
    let found = parts.solve(&wanted, least).ok()?;
    Some(DMatrix::from_fn(found.nrows(), found.ncols(), |i, j| scale[i] * found[(i, j)]))
}
