//! The mount's equations from one instant to the next.
//!
//! M q̈ + C q̇ + K q = Dᵀ f, D the motion that each load works on, in z = (q, q̇) by the trapezoidal rule (average acceleration; Newmark 1959 with β = ¼, γ = ½): stable for any step, no
//! numerical damping, period long by (ωΔt)²/12. Loss factors act as viscous damping equal to them at each mode's own frequency.

use crate::mount::modes::Dynamics;
use nalgebra::{DMatrix, DVector};

/// A step of fixed length with fixed matrices.
#[derive(Debug, Clone)]
pub struct Step {
    size: usize,
    /// z to z: row by row.
    carry: Vec<f64>,
    /// Number of loads.
    loads: usize,
    /// Sum of the loads at both ends to z.
    drive: Vec<f64>,
}

/// Position and velocity of all coordinates.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// q, then q̇.
    pub z: Vec<f64>,
    spare: Vec<f64>,
}

impl State {
    /// At rest.
    #[must_use]
    pub fn at_rest(coordinates: usize) -> Self {
        Self { z: vec![0.0; 2 * coordinates], spare: vec![0.0; 2 * coordinates] }
    }
}

impl Step {
    /// A step of `step_s` for the dynamics (loss already made viscous); `driven` gives the motion each load works on, loads × coordinates.
    /// `None` where a matrix is singular.
    #[must_use]
    pub fn new(
        dynamics: &Dynamics,
        inverse_mass: &DMatrix<f64>,
        driven: &DMatrix<f64>,
        step_s: f64,
    ) -> Option<Self> {
        let n = dynamics.mass.nrows();
        let mut slope = DMatrix::<f64>::zeros(2 * n, 2 * n);
        slope.view_mut((0, n), (n, n)).copy_from(&DMatrix::identity(n, n));
        slope.view_mut((n, 0), (n, n)).copy_from(&-(inverse_mass * &dynamics.stiffness));
        slope.view_mut((n, n), (n, n)).copy_from(&-(inverse_mass * &dynamics.damping));
        let half = slope * (0.5 * step_s);
        let one = DMatrix::<f64>::identity(2 * n, 2 * n);
        let back = (&one - &half).try_inverse()?;
        let carry = &back * (&one + &half);
        let loads = driven.nrows();
        let mut load = DMatrix::<f64>::zeros(2 * n, loads);
        load.view_mut((n, 0), (n, loads)).copy_from(&(inverse_mass * driven.transpose()));
        let drive = back * load * (0.5 * step_s);
        // nalgebra stores columns; rows are wanted one after the other.
        Some(Self {
            size: 2 * n,
            loads,
            carry: carry.transpose().as_slice().to_vec(),
            drive: drive.transpose().as_slice().to_vec(),
        })
    }

    /// Advances a state under the loads at the beginning and the end.
    pub fn advance(&self, state: &mut State, before: &[f64], after: &[f64]) {
        for (i, out) in state.spare.iter_mut().enumerate() {
            let row = &self.carry[i * self.size..(i + 1) * self.size];
            let moved: f64 = row.iter().zip(&state.z).map(|(a, z)| a * z).sum();
            let drive = &self.drive[i * self.loads..(i + 1) * self.loads];
            let driven: f64 = drive.iter().zip(before.iter().zip(after)).map(|(d, (b, a))| d * (b + a)).sum();
            *out = moved + driven;
        }
        std::mem::swap(&mut state.z, &mut state.spare);
    }
}

/// What is told of a state: rows over (z, f).
#[derive(Debug, Clone, Default)]
pub struct Readings {
    /// One row over z and one over f for each reading.
    rows: Vec<(Vec<f64>, Vec<f64>)>,
}

impl Readings {
    /// Adds a reading a·q + b·q̇ + c·q̈ + d·f, with q̈ = M⁻¹(Dᵀ f − C q̇ − K q).
    pub fn push(
        &mut self,
        dynamics: &Dynamics,
        inverse_mass: &DMatrix<f64>,
        driven: &DMatrix<f64>,
        [a, b, c]: [&DVector<f64>; 3],
        d: &DVector<f64>,
    ) {
        let through = inverse_mass.transpose() * c;
        let on_q = a - dynamics.stiffness.transpose() * &through;
        let on_v = b - dynamics.damping.transpose() * &through;
        let on_f = d + driven * through;
        let z = on_q.iter().chain(on_v.iter()).copied().collect();
        self.rows.push((z, on_f.iter().copied().collect()));
    }

    /// Number of readings.
    #[must_use]
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// A reading's value.
    #[must_use]
    pub fn read(&self, index: usize, state: &State, load: &[f64]) -> f64 {
        let (z, f) = &self.rows[index];
        z.iter().zip(&state.z).map(|(a, b)| a * b).sum::<f64>()
            + f.iter().zip(load).map(|(a, b)| a * b).sum::<f64>()
    }
}
