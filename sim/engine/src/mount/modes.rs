//! Free vibration: frequencies, damping, sense of whirl and shape of every mode.
//!
//! With M = L Lᵀ and time in units of 1/ω₀ the equations become z' = A z of twice the size; the loss part i L of the stiffness makes A
//! complex, and roots with a positive imaginary part are then those of real motion (those below belong to the conjugate
//! matrix). Eigenvalues by [`crate::base::eigen`], with a bounded number of iterations.

use super::error::MountError;
use super::system::PLANT;
use crate::base::eigen::eigenvalues;
use nalgebra::{Complex, DMatrix, DVector, SymmetricEigen};

/// Iterations a decomposition may take; convergent cases need a few for each root.
pub(super) const MOST_ITERATIONS: usize = 10_000;
/// Roots whose imaginary part is below this part of the largest stand for drift, not vibration.
const STEADY: f64 = 1e-7;

/// M q̈ + C q̇ + (K + i L) q = 0 at one state: rotation and air included.
#[derive(Debug, Clone)]
pub struct Dynamics {
    /// M.
    pub mass: DMatrix<f64>,
    /// C with gyroscopic and aerodynamic parts.
    pub damping: DMatrix<f64>,
    /// K with aerodynamic parts.
    pub stiffness: DMatrix<f64>,
    /// L.
    pub loss: DMatrix<f64>,
}

/// Coordinates in which the mass matrix is one: L of M = L Lᵀ.
pub(super) struct UnitMass {
    lower: DMatrix<f64>,
}

impl UnitMass {
    /// Of a mass matrix.
    ///
    /// # Errors
    /// [`MountError::Mass`] when it is not positive definite.
    pub(super) fn new(mass: &DMatrix<f64>) -> Result<Self, MountError> {
        let factor = mass.clone().cholesky().ok_or_else(|| MountError::Mass {
            part: "the whole system",
            reason: "its mass matrix has no Cholesky factor".into(),
        })?;
        Ok(Self { lower: factor.l() })
    }

    /// Another matrix of the system in them, L⁻¹ A L⁻ᵀ.
    ///
    /// # Errors
    /// [`MountError::Mass`] when an inertia is zero.
    pub(super) fn of(&self, matrix: &DMatrix<f64>) -> Result<DMatrix<f64>, MountError> {
        let solve = |m: &DMatrix<f64>| self.lower.solve_lower_triangular(m);
        let full = solve(matrix).and_then(|half| solve(&half.transpose()));
        full.map(|full| full.transpose())
            .ok_or_else(|| MountError::Mass { part: "the whole system", reason: "an inertia is zero".into() })
    }
}

/// One mode.
#[derive(Debug, Clone)]
pub struct Mode {
    /// Root s of e^{st}, 1/s.
    pub root: Complex<f64>,
    /// Shape in the coordinates of the system, largest entry of the kinetic energy's coordinates real.
    pub shape: DVector<Complex<f64>>,
}

impl Mode {
    /// Frequency of vibration, Hz.
    #[must_use]
    pub fn frequency_hz(&self) -> f64 {
        self.root.im / std::f64::consts::TAU
    }

    /// Damping ratio −Re s / |s|; negative where the vibration grows.
    #[must_use]
    pub fn damping_ratio(&self) -> f64 {
        -self.root.re / self.root.norm().max(f64::MIN_POSITIVE)
    }

    /// Sense in which the shaft's nose circles: above 0 with the shaft, below against it, from 1 (circle) to 0 (line).
    ///
    /// With ψ_y, ψ_z the complex rotations about y and z, the nose (at −x) moves by (ψ_z, −ψ_y) in (y, z); its turn about x is
    /// Im(conj(y) z) and the spin is about −σ x.
    #[must_use]
    pub fn whirl(&self, sigma: f64) -> f64 {
        let (ty, tz) = (self.shape[4], self.shape[5]);
        let size = ty.norm_sqr() + tz.norm_sqr();
        if size == 0.0 {
            return 0.0;
        }
        // y = Re(Y e^{iωt}): with z lagging a quarter the turn is from y to z, about +x.
        let (y, z) = (tz, -ty);
        let about_x = 2.0 * (y * z.conj()).im / size;
        -sigma * about_x
    }
}

impl Dynamics {
    /// The motion q = T z only.
    #[must_use]
    pub fn constrained(&self, to: &DMatrix<f64>) -> Self {
        let within = |m: &DMatrix<f64>| to.transpose() * m * to;
        Self {
            mass: within(&self.mass),
            damping: within(&self.damping),
            stiffness: within(&self.stiffness),
            loss: within(&self.loss),
        }
    }

    /// Some coordinates held still, by a mass that nothing moves.
    #[must_use]
    pub fn held(&self, coordinates: &[usize]) -> Self {
        let mut held = self.clone();
        for &i in coordinates {
            for matrix in [&mut held.mass, &mut held.damping, &mut held.stiffness, &mut held.loss] {
                matrix.row_mut(i).fill(0.0);
                matrix.column_mut(i).fill(0.0);
            }
            held.mass[(i, i)] = 1.0;
        }
        held
    }

    /// s² M + s C + K + i L.
    #[must_use]
    pub fn at_root(&self, s: Complex<f64>) -> DMatrix<Complex<f64>> {
        let mut sum = self.mass.map(|m| s * s * m);
        sum += self.damping.map(|c| s * c);
        sum += self.stiffness.map(|k| Complex::new(k, 0.0));
        sum += self.loss.map(|l| Complex::new(0.0, l));
        sum
    }

    /// All roots, those of drift and of decay without vibration included, unsorted.
    ///
    /// # Errors
    /// [`MountError`] when the mass is not positive definite or the iterations do not suffice.
    pub fn roots(&self) -> Result<Vec<Complex<f64>>, MountError> {
        let size = self.mass.nrows();
        let unit_mass = UnitMass::new(&self.mass)?;
        let stiffness = unit_mass.of(&self.stiffness)?;
        let damping = unit_mass.of(&self.damping)?;
        let loss = unit_mass.of(&self.loss)?;
        let unit = stiffness.norm().sqrt().max(damping.norm()).max(f64::MIN_POSITIVE);
        let mut a = DMatrix::<Complex<f64>>::zeros(2 * size, 2 * size);
        for i in 0..size {
            a[(i, size + i)] = Complex::new(1.0, 0.0);
            for j in 0..size {
                a[(size + i, j)] = -Complex::new(stiffness[(i, j)], loss[(i, j)]) / (unit * unit);
                a[(size + i, size + j)] = Complex::new(-damping[(i, j)] / unit, 0.0);
            }
        }
        let roots = eigenvalues(a).ok_or(MountError::Eigenvalues)?;
        Ok(roots.iter().map(|root| root * unit).collect())
    }

    /// Modes of vibration by frequency, and the largest growth rate of the roots without vibration, 1/s.
    ///
    /// # Errors
    /// As [`Self::roots`].
    pub fn modes(&self) -> Result<(Vec<Mode>, f64), MountError> {
        let roots = self.roots()?;
        let largest = roots.iter().map(|root| root.norm()).fold(0.0, f64::max);
        let (mut vibrating, steady): (Vec<_>, Vec<_>) =
            roots.into_iter().partition(|root| root.im.abs() > STEADY * largest);
        vibrating.retain(|root| root.im > 0.0);
        vibrating.sort_by(|a, b| a.im.total_cmp(&b.im));
        let growth = steady.iter().map(|root| root.re).fold(f64::NEG_INFINITY, f64::max);
        let modes = (0..vibrating.len())
            .map(|i| Mode { root: vibrating[i], shape: self.shape(&vibrating, i) })
            .collect();
        Ok((modes, growth))
    }

    /// Shape of root `i`: the vector its matrix takes nearest to zero. Equal roots take further such vectors in turn.
    fn shape(&self, roots: &[Complex<f64>], i: usize) -> DVector<Complex<f64>> {
        let root = roots[i];
        let twins = roots[..i].iter().filter(|other| (*other - root).norm() < 1e-6 * root.norm()).count();
        let size = self.mass.nrows();
        let scale: Vec<f64> =
            (0..size).map(|k| 1.0 / self.mass[(k, k)].max(f64::MIN_POSITIVE).sqrt()).collect();
        let mut matrix = self.at_root(root);
        for r in 0..size {
            for c in 0..size {
                matrix[(r, c)] *= scale[r] * scale[c] / root.norm_sqr();
            }
        }
        let normal = matrix.adjoint() * &matrix;
        let Some(eigen) = SymmetricEigen::try_new(normal, f64::EPSILON, MOST_ITERATIONS) else {
            return DVector::zeros(size);
        };
        let mut order: Vec<usize> = (0..size).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        let vector = eigen.eigenvectors.column(order[twins.min(size - 1)]).into_owned();
        let largest = vector.iter().copied().max_by(|a, b| a.norm().total_cmp(&b.norm())).unwrap_or_default();
        let turn =
            if largest.norm() > 0.0 { largest.conj() / largest.norm() } else { Complex::new(1.0, 0.0) };
        DVector::from_fn(size, |k, _| vector[k] * turn * scale[k])
    }
}

/// Difference of two shares of the energy below which they count as alike.
const ALIKE: f64 = 0.01;

/// What moves most in a mode, in the trade's words: by its share of the kinetic energy of the powerplant.
#[must_use]
pub fn in_words(mass: &DMatrix<f64>, shape: &DVector<Complex<f64>>) -> String {
    const WORDS: [&str; 6] = ["axial", "lateral", "vertical", "roll", "pitch", "yaw"];
    let energy = |i: usize| mass[(i, i)] * shape[i].norm_sqr();
    let plant: f64 = (0..PLANT.min(shape.len())).map(energy).sum();
    let whole: f64 = (0..shape.len()).map(energy).sum();
    if shape.len() < PLANT || plant < 0.02 * whole {
        return "airframe or shaft".into();
    }
    let mut order: Vec<usize> = (0..PLANT).collect();
    order.sort_by(|a, b| energy(*b).total_cmp(&energy(*a)));
    let mut strong: Vec<usize> = order.into_iter().take(2).filter(|i| energy(*i) > 0.2 * plant).collect();
    // On a mount alike in two directions round-off would decide which is named first.
    if let [a, b] = strong[..]
        && energy(a) - energy(b) < ALIKE * plant
    {
        strong.sort_unstable();
    }
    strong.iter().map(|i| WORDS[*i]).collect::<Vec<_>>().join(" and ")
}

/// The motion that isolators on an immovable base leave free, in words; `None` where they hold all six.
///
/// # Errors
/// [`MountError`] when the mass is not positive definite or the iterations do not suffice.
pub fn free_motion(mass: &DMatrix<f64>, stiffness: &DMatrix<f64>) -> Result<Option<String>, MountError> {
    const WORDS: [&str; 6] = [
        "sliding along x",
        "sliding along y",
        "sliding along z",
        "turning about x",
        "turning about y",
        "turning about z",
    ];
    let (mass, stiffness) = (mass.view((0, 0), (PLANT, PLANT)), stiffness.view((0, 0), (PLANT, PLANT)));
    let scale: Vec<f64> = (0..PLANT).map(|i| 1.0 / mass[(i, i)].max(f64::MIN_POSITIVE).sqrt()).collect();
    let scaled = DMatrix::from_fn(PLANT, PLANT, |i, j| stiffness[(i, j)] * scale[i] * scale[j]);
    let eigen =
        SymmetricEigen::try_new(scaled, f64::EPSILON, MOST_ITERATIONS).ok_or(MountError::Eigenvalues)?;
    let (index, value) = eigen.eigenvalues.argmin();
    if value.is_nan() || eigen.eigenvalues.max() <= 0.0 {
        return Ok(Some("all six".into()));
    }
    if value > 1e-9 * eigen.eigenvalues.max() {
        return Ok(None);
    }
    let vector = eigen.eigenvectors.column(index);
    let mut order: Vec<usize> = (0..PLANT).collect();
    order.sort_by(|a, b| vector[*b].abs().total_cmp(&vector[*a].abs()));
    let turning = (3..PLANT).any(|i| (vector[i] * scale[i]).abs() > 1e-6 * scale[i]);
    let strongest =
        if turning { order.iter().find(|i| **i >= 3).copied().unwrap_or(order[0]) } else { order[0] };
    Ok(Some(format!("{} (shaft axes: x aft, y starboard, z up)", WORDS[strongest])))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn round_off_does_not_decide_which_of_two_motions_is_named_first() {
        let words = |pitch: f64, yaw: f64| {
            let shape = [0.0, 0.0, 0.0, 0.0, pitch, yaw].map(|v| Complex::new(v, 0.0));
            in_words(&DMatrix::identity(PLANT, PLANT), &DVector::from_row_slice(&shape))
        };
        assert_eq!(words(1.0, 1.0 + 1e-13), "pitch and yaw");
        assert_eq!(words(1.0 + 1e-13, 1.0), "pitch and yaw");
        assert_eq!(words(1.0, 1.2), "yaw and pitch");
        assert_eq!(words(0.1, 1.0), "yaw");
    }
}
