//! Bending of a rotating beam clamped at its root.
//!
//! For deflection w out of the plane of rotation, mass per length m, bending stiffness EI, tension S(r) = Ω²∫_r^R m ρ dρ:
//!
//! m ẅ + (EI w″)″ − (S w′)′ − Ω² sin²θ m w = 0
//!
//! (textbook; Bramwell, Done and Balmford, Helicopter Dynamics, 2nd ed. 2001, ch. 7, from memory). The last term belongs to a beam set at
//! pitch θ that bends square to its chord: its motion has a part in the plane, which the centrifugal force does not hold. Solved with cubic
//! elements; the error of a frequency falls as the sixth power of the element's length for smooth beams, and is below 1e-5 for the first two
//! modes with the elements used here. Left out: shear and rotary inertia (slender blades), twist coupling, the mass of a tip.

use crate::base::quadrature::GAUSS4;
use crate::mount::MountError;
use nalgebra::{DMatrix, SymmetricEigen};

/// Elements along the blade.
const ELEMENTS: usize = 24;
const MOST_ITERATIONS: usize = 10_000;

/// A blade as a beam: properties at a radius.
pub struct Beam<'a> {
    /// Clamped end, m from the axis.
    pub root_m: f64,
    /// Free end, m from the axis.
    pub tip_m: f64,
    /// Mass per length at a radius, kg/m.
    pub mass_kg_m: &'a dyn Fn(f64) -> f64,
    /// Bending stiffness at a radius, N m².
    pub stiffness_n_m2: &'a dyn Fn(f64) -> f64,
    /// Pitch at which it bends square to its chord, rad; 0 is pure flap.
    pub pitch_rad: f64,
}

/// A mode of bending.
#[derive(Debug, Clone, PartialEq)]
pub struct BeamMode {
    /// Frequency, rad/s.
    pub frequency_rad_s: f64,
    /// Generalised mass for a tip that moves by 1, kg.
    pub modal_mass_kg: f64,
    nodes_m: Vec<f64>,
    /// Deflection and slope at each node, tip deflection 1.
    values: Vec<(f64, f64)>,
}

impl BeamMode {
    /// Deflection at a radius for a tip that moves by 1.
    #[must_use]
    pub fn at(&self, radius_m: f64) -> f64 {
        self.shape(radius_m).0
    }

    /// Deflection and slope at a radius.
    #[must_use]
    pub fn shape(&self, radius_m: f64) -> (f64, f64) {
        let last = self.nodes_m.len() - 1;
        let i = self.nodes_m.partition_point(|node| *node <= radius_m).clamp(1, last) - 1;
        let length = self.nodes_m[i + 1] - self.nodes_m[i];
        let s = ((radius_m - self.nodes_m[i]) / length).clamp(0.0, 1.0);
        let (h, d, _) = hermite(s, length);
        let own = [self.values[i].0, self.values[i].1, self.values[i + 1].0, self.values[i + 1].1];
        let dot = |a: [f64; 4]| a.iter().zip(own).map(|(x, y)| x * y).sum();
        (dot(h), dot(d))
    }
}

/// Shape functions, their first and second derivatives by radius, at s of an element.
fn hermite(s: f64, l: f64) -> ([f64; 4], [f64; 4], [f64; 4]) {
    let (s2, s3) = (s * s, s * s * s);
    (
        [1.0 - 3.0 * s2 + 2.0 * s3, l * (s - 2.0 * s2 + s3), 3.0 * s2 - 2.0 * s3, l * (s3 - s2)],
        [(6.0 * s2 - 6.0 * s) / l, 1.0 - 4.0 * s + 3.0 * s2, (6.0 * s - 6.0 * s2) / l, 3.0 * s2 - 2.0 * s],
        [(12.0 * s - 6.0) / (l * l), (6.0 * s - 4.0) / l, (6.0 - 12.0 * s) / (l * l), (6.0 * s - 2.0) / l],
    )
}

impl Beam<'_> {
    /// The lowest modes at a shaft speed, by frequency.
    ///
    /// # Errors
    /// [`MountError`] when mass or stiffness is not positive or the iterations do not suffice.
    pub fn modes(&self, speed_rad_s: f64, count: usize) -> Result<Vec<BeamMode>, MountError> {
        let size = 2 * ELEMENTS;
        let (mut mass, mut stiffness) =
            (DMatrix::<f64>::zeros(size, size), DMatrix::<f64>::zeros(size, size));
        let length = (self.tip_m - self.root_m) / ELEMENTS as f64;
        let sin2 = self.pitch_rad.sin().powi(2);
        let square = speed_rad_s * speed_rad_s;
        // ∫ m ρ dρ from each radius to the tip, summed inward.
        let mut beyond = 0.0;
        for element in (0..ELEMENTS).rev() {
            let start = self.root_m + length * element as f64;
            let inside = |from: f64| {
                let span = start + length - from;
                GAUSS4
                    .iter()
                    .map(|(s, w)| (from + s * span, w * span))
                    .map(|(r, w)| w * r * (self.mass_kg_m)(r))
                    .sum::<f64>()
            };
            for (s, weight) in GAUSS4 {
                let (r, dr) = (start + s * length, weight * length);
                let (h, d, c) = hermite(s, length);
                let (m, ei) = ((self.mass_kg_m)(r), (self.stiffness_n_m2)(r));
                let tension = square * (beyond + inside(r));
                for a in 0..4 {
                    for b in 0..4 {
                        // The root's two coordinates are held.
                        let (Some(i), Some(j)) =
                            ((2 * element + a).checked_sub(2), (2 * element + b).checked_sub(2))
                        else {
                            continue;
                        };
                        mass[(i, j)] += m * h[a] * h[b] * dr;
                        stiffness[(i, j)] +=
                            (ei * c[a] * c[b] + tension * d[a] * d[b] - square * sin2 * m * h[a] * h[b]) * dr;
                    }
                }
            }
            beyond += inside(start);
        }
        self.solve(&mass, &stiffness, count)
    }

    fn solve(
        &self,
        mass: &DMatrix<f64>,
        stiffness: &DMatrix<f64>,
        count: usize,
    ) -> Result<Vec<BeamMode>, MountError> {
        let size = mass.nrows();
        let fails = || MountError::Mass {
            part: "a blade",
            reason: "its mass per length is not positive everywhere".into(),
        };
        let lower = mass.clone().cholesky().ok_or_else(fails)?.l();
        let half = lower.solve_lower_triangular(stiffness).ok_or_else(fails)?;
        let full = lower.solve_lower_triangular(&half.transpose()).ok_or_else(fails)?;
        let symmetric = (&full + full.transpose()) * 0.5;
        let eigen = SymmetricEigen::try_new(symmetric, f64::EPSILON, MOST_ITERATIONS)
            .ok_or(MountError::Eigenvalues)?;
        let mut order: Vec<usize> = (0..size).collect();
        order.sort_by(|a, b| eigen.eigenvalues[*a].total_cmp(&eigen.eigenvalues[*b]));
        let length = (self.tip_m - self.root_m) / ELEMENTS as f64;
        let nodes_m: Vec<f64> = (0..=ELEMENTS).map(|i| self.root_m + length * i as f64).collect();
        order
            .into_iter()
            .take(count)
            .map(|k| {
                let vector = lower
                    .transpose()
                    .solve_upper_triangular(&eigen.eigenvectors.column(k))
                    .ok_or_else(fails)?;
                let tip = vector[size - 2];
                let mut values = vec![(0.0, 0.0)];
                values.extend((0..ELEMENTS).map(|i| (vector[2 * i] / tip, vector[2 * i + 1] / tip)));
                Ok(BeamMode {
                    frequency_rad_s: eigen.eigenvalues[k].max(0.0).sqrt(),
                    modal_mass_kg: 1.0 / (tip * tip),
                    nodes_m: nodes_m.clone(),
                    values,
                })
            })
            .collect()
    }
}
