//! State of the boundary layers at the trailing edge by thickness ratio and Reynolds number.
//!
//! A grid of [coupled solutions](super::edge_layer), linear between nodes (within 0.01 in H), held at its ends. A node is solved
//! when first asked for, about 2 ms, and kept; every answer is the same whoever asks first.

use super::edge_layer::{EdgeState, edge_state};
use super::lag_entrainment::edge_entrainment;
use std::sync::OnceLock;

const THICKNESS_STEP: f64 = 0.03;
/// 0 to 0.24.
const THICKNESSES: usize = 9;
/// Nodes a half decade apart, from 1e5 to 1e7.
const LEAST_REYNOLDS: f64 = 1e5;
const REYNOLDS: usize = 5;

static NODES: [[OnceLock<EdgeState>; REYNOLDS]; THICKNESSES] =
    [const { [const { OnceLock::new() }; REYNOLDS] }; THICKNESSES];

/// Shape factor of a turbulent flat plate at its trailing edge (from memory; common textbook value).
pub const FLAT_PLATE_SHAPE_FACTOR: f64 = 1.4;

/// State at the edge of a section of thickness ratio `thickness_ratio` at a chord Reynolds number.
#[must_use]
pub fn edge_state_at(thickness_ratio: f64, reynolds: f64) -> EdgeState {
    let (i, s) = cell(thickness_ratio / THICKNESS_STEP, THICKNESSES);
    let (j, t) = cell(2.0 * (reynolds / LEAST_REYNOLDS).log10(), REYNOLDS);
    let mut sum = EdgeState { shape_factor: 0.0, entrainment: 0.0, edge_shift: 0.0 };
    for (di, by_thickness) in [1.0 - s, s].into_iter().enumerate() {
        for (dj, by_reynolds) in [1.0 - t, t].into_iter().enumerate() {
            let share = by_thickness * by_reynolds;
            if share > 0.0 {
                let at = node(i + di, j + dj);
                sum.shape_factor += share * at.shape_factor;
                sum.entrainment += share * at.entrainment;
                sum.edge_shift += share * at.edge_shift;
            }
        }
    }
    sum
}

/// Cell of a grid of `count` nodes at a position in steps, and the part of the way through it.
fn cell(position: f64, count: usize) -> (usize, f64) {
    let held = position.max(0.0).min((count - 1) as f64);
    let below = (held as usize).min(count - 2);
    (below, held - below as f64)
}

fn node(i: usize, j: usize) -> EdgeState {
    *NODES[i][j].get_or_init(|| {
        let reynolds = LEAST_REYNOLDS * 10_f64.powf(0.5 * j as f64);
        let solved =
            |i: usize| edge_state(THICKNESS_STEP * i as f64, reynolds).unwrap_or_else(EdgeState::flat_plate);
        let own = solved(i);
        // Without thickness there is no field to shift; between a plate and the first section the shift is that section's.
        if i == 0 { EdgeState { edge_shift: solved(1).edge_shift, ..own } } else { own }
    })
}

impl EdgeState {
    /// A flat plate of which nothing else is known. It would stand in for a node whose solution does not settle; a test
    /// holds that all do.
    #[must_use]
    pub fn flat_plate() -> Self {
        Self {
            shape_factor: FLAT_PLATE_SHAPE_FACTOR,
            entrainment: edge_entrainment(FLAT_PLATE_SHAPE_FACTOR),
            edge_shift: 3.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every node settles, and neighbours differ by little: nothing jumps with thickness or Reynolds number.
    #[test]
    fn all_nodes_settle_and_are_smooth() {
        for j in 0..REYNOLDS {
            let reynolds = LEAST_REYNOLDS * 10_f64.powf(0.5 * j as f64);
            let mut below = 1.2;
            for i in 0..THICKNESSES {
                let at = edge_state(THICKNESS_STEP * i as f64, reynolds);
                let Some(at) = at else { panic!("thickness {i}, Reynolds number {reynolds}: not settled") };
                assert!(at.shape_factor >= below && at.shape_factor < below + 0.35, "{i} {j} {at:?}");
                assert!(at.entrainment > 0.01 && at.entrainment < 0.08, "{i} {j} {at:?}");
                assert!(i == 0 || (at.edge_shift > 1.0 && at.edge_shift < 12.0), "{i} {j} {at:?}");
                below = at.shape_factor;
            }
        }
    }

    /// The grid is fine enough: between nodes it is the solution itself within 0.01 in H.
    #[test]
    fn between_nodes_it_is_the_solution() {
        for (thickness, reynolds) in [(0.045, 3e5), (0.105, 1.7e5), (0.135, 6e5), (0.165, 5e6)] {
            let exact = edge_state(thickness, reynolds);
            let Some(exact) = exact else { panic!("not settled") };
            let read = edge_state_at(thickness, reynolds);
            assert!((read.shape_factor - exact.shape_factor).abs() < 0.01, "{read:?} {exact:?}");
            assert!((read.entrainment - exact.entrainment).abs() < 5e-4, "{read:?} {exact:?}");
            assert!((read.edge_shift / exact.edge_shift - 1.0).abs() < 0.1, "{read:?} {exact:?}");
        }
    }

    #[test]
    fn ends_of_the_grid_are_held() {
        assert_eq!(edge_state_at(0.4, 1e9), edge_state_at(0.24, 1e7));
        assert_eq!(edge_state_at(0.0, 1e3), edge_state_at(0.0, 1e5));
    }
}
