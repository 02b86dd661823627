//! One and two blades: a transverse inertia that turns with the rotor.
//!
//! With J₁ about the blade and J₂ across it, ΔJ = (J₂ − J₁)/2, the rotations (θ_y, θ_z) carry beside the mean inertia
//!
//! d/dt [ΔJ R(ψ) θ̇],  R = [[cos 2ψ, −σ sin 2ψ], [−σ sin 2ψ, −cos 2ψ]]
//!
//! (derived; the derivative acts on R as well: without that the 2P gyroscopic moment halves). Equal stiffness has closed bands: unstable
//! between √(K/(I_n − J₁)) and √(K/(I_n − J₂)).
//!
//! *Floquet*: the state (q, p = M(ψ) q̇) is carried over half a revolution, after which M repeats; a multiplier beyond 1 grows.
//! *Harmonic balance*: q = Σ X_n e^{inΩt}; with R = E e^{2iΩt} + Ē e^{−2iΩt}, E = ½[[1, iσ], [iσ, −1]], the order n gets
//! −Ω² ΔJ [n(n−2) E X_{n−2} + n(n+2) Ē X_{n+2}]. Order 0 is tied to none.

use super::error::MountError;
use super::modes::Dynamics;
use super::response::unit_mass;
use super::system::System;
use crate::base::eigen::eigenvalues;
use nalgebra::{Complex, DMatrix, DVector, SymmetricEigen};
use std::f64::consts::{PI, TAU};

type C64 = Complex<f64>;

const MOST_ITERATIONS: usize = 10_000;
/// Orders carried beyond those of the loads: the tie falls as the square of ΔJ over the inertia.
const BEYOND: usize = 8;
/// Radians of the fastest vibration in a step: the error of a step is its sixth power over 144.
const STEP_RAD: f64 = 0.04;

/// E for all coordinates: rotations about y and z stand at 4 and 5 (or 0 and 1 of a two-angle model).
fn turning(size: usize, first: usize, sigma: f64) -> DMatrix<C64> {
    let mut e = DMatrix::zeros(size, size);
    e[(first, first)] = C64::new(0.5, 0.0);
    e[(first + 1, first + 1)] = C64::new(-0.5, 0.0);
    e[(first, first + 1)] = C64::new(0.0, 0.5 * sigma);
    e[(first + 1, first)] = C64::new(0.0, 0.5 * sigma);
    e
}

/// Motion by order from 0 under forces by order; the error is the order whose chain is singular.
pub(super) fn respond(
    dynamics: &Dynamics,
    system: &System,
    speed_rad_s: f64,
    forces: &[DVector<C64>],
) -> Result<Vec<DVector<C64>>, usize> {
    let size = system.size();
    let last = i64::try_from(forces.len() + BEYOND).unwrap_or(i64::MAX);
    let mut motion = vec![DVector::zeros(size); forces.len()];
    // Odd orders of both signs hang together; even ones part at 0.
    for first in [-(last | 1), 2] {
        let chain: Vec<i64> = (first..=last).step_by(2).collect();
        let solved = solve_chain(dynamics, system, speed_rad_s, forces, &chain)
            .ok_or(usize::try_from(first.abs().min(2)).unwrap_or(1))?;
        for (n, q) in chain.iter().zip(solved) {
            if let Some(place) = usize::try_from(*n).ok().and_then(|n| motion.get_mut(n)) {
                *place = q;
            }
        }
    }
    Ok(motion)
}

/// Block elimination along orders two apart.
fn solve_chain(
    dynamics: &Dynamics,
    system: &System,
    speed_rad_s: f64,
    forces: &[DVector<C64>],
    chain: &[i64],
) -> Option<Vec<DVector<C64>>> {
    let size = system.size();
    let scale = unit_mass(&dynamics.mass);
    let scaled = |m: &DMatrix<C64>| DMatrix::from_fn(size, size, |i, j| m[(i, j)] * scale[i] * scale[j]);
    let e = scaled(&turning(size, 4, system.sigma)) * C64::new(system.difference_kg_m2, 0.0);
    let e_conj = e.map(|x| x.conj());
    let square = speed_rad_s * speed_rad_s;
    // Coefficient of X_{n∓2} in the equation of order n.
    let tie = |n: i64, other: i64, m: &DMatrix<C64>| m * C64::new(-square * (n * other) as f64, 0.0);
    let diagonal = |n: i64| {
        let s = C64::new(0.0, n as f64 * speed_rad_s);
        let whole = dynamics.at_root(s);
        scaled(&if n < 0 { whole - dynamics.loss.map(|l| C64::new(0.0, 2.0 * l)) } else { whole })
    };
    let force = |n: i64| {
        let at = usize::try_from(n.abs()).ok().and_then(|at| forces.get(at));
        // Half of each single-sided amplitude stands at either sign.
        DVector::from_fn(size, |i, _| {
            at.map_or(C64::default(), |f| 0.5 * scale[i] * if n < 0 { f[i].conj() } else { f[i] })
        })
    };
    let mut reduced: Vec<(DMatrix<C64>, DVector<C64>)> = Vec::with_capacity(chain.len());
    for (k, n) in chain.iter().enumerate() {
        let (mut a, mut b) = (diagonal(*n), force(*n));
        if k > 0 {
            let lower = tie(*n, n - 2, &e);
            let (up, from) = &reduced[k - 1];
            a -= &lower * up;
            b -= &lower * from;
        }
        let norm = a.iter().map(|x| x.norm()).fold(0.0, f64::max);
        let lu = a.lu();
        let least = lu.u().diagonal().iter().map(|x| x.norm()).fold(f64::INFINITY, f64::min);
        if least.is_nan() || least <= 1e-12 * norm {
            return None;
        }
        reduced.push((lu.solve(&tie(*n, n + 2, &e_conj))?, lu.solve(&b)?));
    }
    let mut solved: Vec<DVector<C64>> = vec![DVector::zeros(size); chain.len()];
    for k in (0..chain.len()).rev() {
        let (up, from) = &reduced[k];
        solved[k] = if k + 1 < chain.len() { from - up * &solved[k + 1] } else { from.clone() };
    }
    Some(solved.into_iter().map(|q| DVector::from_fn(size, |i, _| q[i] * scale[i] * 2.0)).collect())
}

/// A system with turning inertia, for stability: coordinates with (θ_y, θ_z) at `first`.
#[derive(Debug, Clone)]
pub struct Turning {
    /// Mean matrices, rotation and air included; `loss` is turned into damping by [`Self::new`].
    pub dynamics: Dynamics,
    /// ΔJ, kg m².
    pub difference_kg_m2: f64,
    /// Place of θ_y; θ_z follows.
    pub first: usize,
    /// σ: +1 clockwise.
    pub sigma: f64,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
}

impl Turning {
    /// Makes loss factors viscous: by modes of the undamped system at rest, c_ij = l_ij / √(ω_i ω_j), equal to the loss at each mode's
    /// own frequency.
    ///
    /// # Errors
    /// [`MountError`] when the mass is not positive definite or the iterations do not suffice.
    pub fn new(
        mut dynamics: Dynamics,
        difference_kg_m2: f64,
        first: usize,
        sigma: f64,
        speed_rad_s: f64,
    ) -> Result<Self, MountError> {
        if dynamics.loss.norm() > 0.0 {
            dynamics.damping += viscous(&dynamics)?;
            dynamics.loss.fill(0.0);
        }
        Ok(Self { dynamics, difference_kg_m2, first, sigma, speed_rad_s })
    }

    fn mass_at(&self, azimuth_rad: f64) -> DMatrix<f64> {
        let mut mass = self.dynamics.mass.clone();
        let (sin, cos) = (2.0 * azimuth_rad).sin_cos();
        let (d, f) = (self.difference_kg_m2, self.first);
        mass[(f, f)] += d * cos;
        mass[(f + 1, f + 1)] -= d * cos;
        mass[(f, f + 1)] -= d * self.sigma * sin;
        mass[(f + 1, f)] -= d * self.sigma * sin;
        mass
    }

    /// Multipliers over half a revolution.
    ///
    /// # Errors
    /// [`MountError`] when the mass is singular at some azimuth or the iterations do not suffice.
    pub fn multipliers(&self) -> Result<Vec<C64>, MountError> {
        let size = self.dynamics.mass.nrows();
        let period_s = PI / self.speed_rad_s;
        let fastest = self.fastest_rad_s()?;
        let steps = ((fastest + 2.0 * self.speed_rad_s) * period_s / STEP_RAD).ceil().clamp(60.0, 20_000.0);
        let count = steps as usize;
        let dt = period_s / steps;
        let slope_at = |azimuth: f64| -> Result<DMatrix<f64>, MountError> {
            let inverse = self.mass_at(azimuth).try_inverse().ok_or_else(|| MountError::Mass {
                part: "the whole system",
                reason: "an inertia vanishes during the revolution".into(),
            })?;
            let mut a = DMatrix::zeros(2 * size, 2 * size);
            a.view_mut((0, size), (size, size)).copy_from(&inverse);
            a.view_mut((size, 0), (size, size)).copy_from(&-&self.dynamics.stiffness);
            a.view_mut((size, size), (size, size)).copy_from(&-(&self.dynamics.damping * &inverse));
            Ok(a)
        };
        let mut state = DMatrix::<f64>::identity(2 * size, 2 * size);
        let azimuth_step = PI / steps;
        let mut now = slope_at(0.0)?;
        for k in 0..count {
            let middle = slope_at((k as f64 + 0.5) * azimuth_step)?;
            let next = slope_at((k as f64 + 1.0) * azimuth_step)?;
            let k1 = &now * &state;
            let k2 = &middle * (&state + &k1 * (0.5 * dt));
            let k3 = &middle * (&state + &k2 * (0.5 * dt));
            let k4 = &next * (&state + &k3 * dt);
            state += (k1 + (k2 + k3) * 2.0 + k4) * (dt / 6.0);
            now = next;
        }
        let complex = state.map(|x| C64::new(x, 0.0));
        eigenvalues(complex).ok_or(MountError::Eigenvalues)
    }

    /// Largest growth rate, 1/s, by Floquet multipliers.
    ///
    /// # Errors
    /// As [`Self::multipliers`].
    pub fn growth(&self) -> Result<f64, MountError> {
        let largest = self.multipliers()?.iter().map(|m| m.norm()).fold(0.0, f64::max);
        Ok(largest.ln() * self.speed_rad_s / PI)
    }

    /// Largest growth rate, 1/s, by harmonic balance with orders −`orders` to `orders`.
    ///
    /// e^{λt} Σ X_n e^{inΩt} makes a quadratic eigenvalue problem in λ; of its roots those whose largest part lies near order 0
    /// are kept, the others are their copies one or more revolutions off and suffer from the cut.
    ///
    /// # Errors
    /// [`MountError`] when the mass is singular or the iterations do not suffice.
    pub fn growth_by_harmonic_balance(&self, orders: usize) -> Result<f64, MountError> {
        let size = self.dynamics.mass.nrows();
        let blocks = 2 * orders + 1;
        let full = size * blocks;
        let (mut m, mut c, mut k) = (
            DMatrix::<C64>::zeros(full, full),
            DMatrix::<C64>::zeros(full, full),
            DMatrix::<C64>::zeros(full, full),
        );
        let e = turning(size, self.first, self.sigma) * C64::new(self.difference_kg_m2, 0.0);
        let real = |a: &DMatrix<f64>| a.map(|x| C64::new(x, 0.0));
        let (m0, c0, k0) =
            (real(&self.dynamics.mass), real(&self.dynamics.damping), real(&self.dynamics.stiffness));
        // (λ + inΩ) acts where a time derivative stands.
        let mut put = |row: usize, column: usize, mass: &DMatrix<C64>, rates: (C64, C64)| {
            let at = (row * size, column * size);
            let (a, b) = rates;
            for i in 0..size {
                for j in 0..size {
                    m[(at.0 + i, at.1 + j)] += mass[(i, j)];
                    c[(at.0 + i, at.1 + j)] += mass[(i, j)] * (a + b);
                    k[(at.0 + i, at.1 + j)] += mass[(i, j)] * a * b;
                }
            }
        };
        let rate = |block: usize| C64::new(0.0, (block as f64 - orders as f64) * self.speed_rad_s);
        for row in 0..blocks {
            put(row, row, &m0, (rate(row), rate(row)));
            if row >= 2 {
                put(row, row - 2, &e, (rate(row), rate(row - 2)));
            }
            if row + 2 < blocks {
                put(row, row + 2, &e.map(|x| x.conj()), (rate(row), rate(row + 2)));
            }
        }
        for row in 0..blocks {
            for i in 0..size {
                for j in 0..size {
                    let at = (row * size + i, row * size + j);
                    c[at] += c0[(i, j)];
                    k[at] += k0[(i, j)] + c0[(i, j)] * rate(row);
                }
            }
        }
        let lu = m.lu();
        let singular = || MountError::Mass { part: "the whole system", reason: "an inertia vanishes".into() };
        let (mk, mc) = (lu.solve(&k).ok_or_else(singular)?, lu.solve(&c).ok_or_else(singular)?);
        let unit = self.fastest_rad_s()?.max(self.speed_rad_s);
        let mut a = DMatrix::<C64>::zeros(2 * full, 2 * full);
        for i in 0..full {
            a[(i, full + i)] = C64::new(1.0, 0.0);
            for j in 0..full {
                a[(full + i, j)] = -mk[(i, j)] / (unit * unit);
                a[(full + i, full + j)] = -mc[(i, j)] / unit;
            }
        }
        let roots = eigenvalues(a).ok_or(MountError::Eigenvalues)?;
        let near = roots.iter().map(|root| root * unit).filter(|root| root.im.abs() <= self.speed_rad_s);
        Ok(near.map(|root| root.re).fold(f64::NEG_INFINITY, f64::max))
    }

    /// Fastest vibration of the mean system at rest, rad/s.
    fn fastest_rad_s(&self) -> Result<f64, MountError> {
        let scale = unit_mass(&self.dynamics.mass);
        let size = scale.len();
        let scaled =
            DMatrix::from_fn(size, size, |i, j| self.dynamics.stiffness[(i, j)] * scale[i] * scale[j]);
        let symmetric = (&scaled + scaled.transpose()) * 0.5;
        let eigen = SymmetricEigen::try_new(symmetric, f64::EPSILON, MOST_ITERATIONS)
            .ok_or(MountError::Eigenvalues)?;
        let gyroscopic =
            DMatrix::from_fn(size, size, |i, j| self.dynamics.damping[(i, j)] * scale[i] * scale[j]);
        Ok(eigen.eigenvalues.max().max(0.0).sqrt() + gyroscopic.amax())
    }
}

/// Viscous damping equal to the loss of each mode at its own frequency.
///
/// # Errors
/// [`MountError`] when the mass is not positive definite or the iterations do not suffice.
pub fn viscous(dynamics: &Dynamics) -> Result<DMatrix<f64>, MountError> {
    let mass_fails = || MountError::Mass {
        part: "the whole system",
        reason: "its mass matrix has no Cholesky factor".into(),
    };
    let lower = dynamics.mass.clone().cholesky().ok_or_else(mass_fails)?.l();
    let inverse = lower.clone().try_inverse().ok_or_else(mass_fails)?;
    let stiffness = &inverse * &dynamics.stiffness * inverse.transpose();
    let symmetric = (&stiffness + stiffness.transpose()) * 0.5;
    let eigen =
        SymmetricEigen::try_new(symmetric, f64::EPSILON, MOST_ITERATIONS).ok_or(MountError::Eigenvalues)?;
    let loss = &inverse * &dynamics.loss * inverse.transpose();
    let mut modal = eigen.eigenvectors.transpose() * loss * &eigen.eigenvectors;
    let least = 1e-6 * eigen.eigenvalues.max().max(f64::MIN_POSITIVE);
    for i in 0..modal.nrows() {
        for j in 0..modal.ncols() {
            let square = eigen.eigenvalues[i].max(least) * eigen.eigenvalues[j].max(least);
            modal[(i, j)] /= square.sqrt().sqrt();
        }
    }
    let back = &lower * &eigen.eigenvectors;
    Ok(&back * modal * back.transpose())
}

/// Shaft speeds between which a two-blade rotor on equal stiffness K is unstable, rad/s: √(K/(I_n − J₁)) to √(K/(I_n − J₂)); no
/// upper edge where J₂ reaches I_n.
#[must_use]
pub fn equal_stiffness_band(stiffness: f64, inertia: f64, j1: f64, j2: f64) -> (f64, Option<f64>) {
    let edge = |j: f64| (inertia > j).then(|| (stiffness / (inertia - j)).sqrt());
    (edge(j1).unwrap_or(f64::INFINITY), edge(j2))
}

/// Whole turns in a second to radians in a second.
#[must_use]
pub fn from_rpm(rpm: f64) -> f64 {
    rpm * TAU / 60.0
}
