//! Potential flow past a body of revolution by sources and doublets on its axis.
//!
//! Axial flow (T. von Kármán, 1927, NACA TM 574): source density q(ξ), piecewise linear between nodes on the axis, so
//! that the body is the stream surface ψ = ½Vr² − (1/4π) ∫ q (1 + cos θ) dξ = 0, cos θ = (x − ξ)/R. Cross flow
//! (M. Munk, NACA Report 184, 1924, for the slender limit): doublet density m(ξ) across the axis with potential
//! (r cos ω/4π) ∫ m/R³ dξ, so that no flow passes the surface. Both by least squares over twice as many points of
//! the surface as nodes. The singularities end where the exact ones of a spheroid do ([`Meridian::source_ends_m`]; R.A. Handelsman
//! and J.B. Keller, J. Fluid Mech. 28, 1967): for a spheroid the source density is exactly linear between the foci and
//! the field comes out to round-off, where sources V dS/dx over the whole length read about 10 % high.
//!
//! Valid outside the body, for rounded or pointed ends; tails shorter than a diameter strain the fit.

use nalgebra::{DMatrix, DVector};
use std::f64::consts::PI;

use super::shape::Meridian;

/// Pieces of the densities. The axial speed 0.1 diameter behind tails of one to three diameters has then settled to 1e-4 V.
const PIECES: usize = 32;

/// Points of the surface for each node.
const POINTS_A_NODE: usize = 2;

/// Least distance from the axis at which the closed integrals are evaluated, over length.
const AXIS: f64 = 2e-4;

/// Flow past one body, per unit speed; distances in metres, x from the nose aft.
#[derive(Debug, Clone, PartialEq)]
pub struct AxisField {
    nodes_m: Vec<f64>,
    /// Source density over axial speed at the nodes, m.
    source_m: Vec<f64>,
    /// Doublet density over cross speed at the nodes, m².
    doublet_m2: Vec<f64>,
    least_radius_m: f64,
}

/// Disturbance of a unit cross flow: parts along the axis and outward go with cos ω, the part around the axis (positive
/// with growing ω) with sin ω, where ω is the angle from the direction of the cross flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossDisturbance {
    /// Along the axis, aft.
    pub axial: f64,
    /// Away from the axis.
    pub radial: f64,
    /// Around the axis.
    pub around: f64,
}

/// A node seen from a point at distance r from the axis: t = x − ξ, distance R, asinh(t/r).
#[derive(Debug, Clone, Copy)]
struct Seen {
    t: f64,
    big: f64,
    log: f64,
}

impl Seen {
    fn new(node: f64, x: f64, r: f64) -> Self {
        let t = x - node;
        let big = (t * t + r * r).sqrt();
        Self { t, big, log: ((t.abs() + big) / r).ln().copysign(t) }
    }
}

/// One piece of axis seen from a point: what integrals over it with the kernels hold.
struct Piece {
    /// Length and the values of t at its ends.
    h: f64,
    t: [f64; 2],
    r: f64,
    big: [f64; 2],
    /// Difference of asinh(t/r).
    log: f64,
}

impl Piece {
    fn new(a: Seen, b: Seen, r: f64) -> Self {
        Self { h: a.t - b.t, t: [a.t, b.t], r, big: [a.big, b.big], log: a.log - b.log }
    }

    fn between(&self, f: impl Fn(f64, f64) -> f64) -> f64 {
        f(self.t[0], self.big[0]) - f(self.t[1], self.big[1])
    }

    /// The two linear hats of the piece as (A, B) with density A − B t.
    fn hats(&self) -> [(f64, f64); 2] {
        [(-self.t[1] / self.h, -1.0 / self.h), (self.t[0] / self.h, 1.0 / self.h)]
    }

    /// ∫ dξ/R³ and ∫ t dξ/R³ and ∫ t² dξ/R³.
    fn cubes(&self) -> [f64; 3] {
        let direction = self.between(|t, big| t / big);
        [direction / (self.r * self.r), -self.between(|_, big| 1.0 / big), self.log - direction]
    }

    /// Velocity of each hat of sources: along and away from the axis.
    fn source(&self) -> [[f64; 2]; 2] {
        let [one, t, tt] = self.cubes();
        self.hats().map(|(a, b)| [a * t - b * tt, self.r * (a * one - b * t)])
    }

    /// Flux of each hat of sources through the circle of the point, ∫ q (1 + t/R) dξ.
    fn flux(&self) -> [f64; 2] {
        let one = self.between(|t, big| t + big);
        let t = self.between(|t, big| 0.5 * (t * t + t * big)) - 0.5 * self.r * self.r * self.log;
        self.hats().map(|(a, b)| a * one - b * t)
    }

    /// Velocity of each hat of doublets: axial, radial (cos ω) and around (sin ω).
    fn doublet(&self) -> [[f64; 3]; 2] {
        let r = self.r;
        let [one, t, _] = self.cubes();
        let cube = self.between(|_, big| big.powi(-3));
        let t_cube = self.between(|t, big| (t / big).powi(3)) / (r * r);
        let fifth = self.between(|t, big| t / (3.0 * big) * ((r / big).powi(2) + 2.0)) / r.powi(4);
        self.hats().map(|(a, b)| {
            let g = a * one - b * t;
            let (g_x, g_r) = (a * cube + b * t_cube, -3.0 * r * (a * fifth + b * cube / 3.0));
            [r * g_x, g + r * g_r, -g]
        })
    }
}

impl AxisField {
    /// Fits the singularities to a shape; `None` where it has none that fit (a shape without thickness).
    #[must_use]
    pub fn new(meridian: &dyn Meridian) -> Option<Self> {
        let (from, to) = meridian.source_ends_m();
        let length = meridian.length_m();
        // Closer together at the ends, where the body is thin.
        let spread = |share: f64| 0.5 * (1.0 - (PI * share).cos());
        let nodes_m: Vec<f64> =
            (0..=PIECES).map(|i| from + (to - from) * spread(i as f64 / PIECES as f64)).collect();
        let count = POINTS_A_NODE * (PIECES + 1);
        let surface: Vec<(f64, f64)> = (0..count)
            .map(|i| length * spread((i as f64 + 0.5) / count as f64))
            .map(|x| (x, meridian.radius_m(x)))
            .collect();
        if surface.iter().any(|(_, r)| *r <= 0.0) {
            return None;
        }
        let mut field = Self {
            source_m: vec![0.0; nodes_m.len()],
            doublet_m2: vec![0.0; nodes_m.len()],
            nodes_m,
            least_radius_m: AXIS * length,
        };
        field.source_m = field.fit_sources(&surface)?;
        field.doublet_m2 = field.fit_doublets(&surface, |x| meridian.radius_m(x), length)?;
        Some(field)
    }

    fn pieces(&self, x: f64, r: f64) -> impl Iterator<Item = Piece> {
        let mut last = Seen::new(self.nodes_m[0], x, r);
        self.nodes_m[1..].iter().map(move |node| {
            let before = std::mem::replace(&mut last, Seen::new(*node, x, r));
            Piece::new(before, last, r)
        })
    }

    /// Rows ψ/(V r), the distance by which the stream surface misses the body.
    fn fit_sources(&self, surface: &[(f64, f64)]) -> Option<Vec<f64>> {
        let mut matrix = DMatrix::zeros(surface.len(), self.nodes_m.len());
        let right = DVector::from_iterator(surface.len(), surface.iter().map(|(_, r)| 0.5 * r));
        for (i, (x, r)) in surface.iter().enumerate() {
            for (k, piece) in self.pieces(*x, *r).enumerate() {
                for (side, flux) in piece.flux().into_iter().enumerate() {
                    matrix[(i, k + side)] += flux / (4.0 * PI * r);
                }
            }
        }
        least_squares(matrix, right)
    }

    /// Rows: flow through the surface over the cross speed. The densities at the ends are zero.
    fn fit_doublets(
        &self,
        surface: &[(f64, f64)],
        radius: impl Fn(f64) -> f64,
        length: f64,
    ) -> Option<Vec<f64>> {
        let inner = self.nodes_m.len() - 2;
        let mut matrix = DMatrix::zeros(surface.len(), inner);
        let mut right = DVector::zeros(surface.len());
        for (i, (x, r)) in surface.iter().enumerate() {
            let step = 1e-5 * x.min(length - x);
            let angle = ((radius(x + step) - radius(x - step)) / (2.0 * step)).atan();
            let (sin, cos) = angle.sin_cos();
            right[i] = -cos;
            for (k, piece) in self.pieces(*x, *r).enumerate() {
                for (side, [axial, radial, _]) in piece.doublet().into_iter().enumerate() {
                    if (1..=inner).contains(&(k + side)) {
                        matrix[(i, k + side - 1)] += (cos * radial - sin * axial) / (4.0 * PI);
                    }
                }
            }
        }
        let inner = least_squares(matrix, right)?;
        Some([0.0].into_iter().chain(inner).chain([0.0]).collect())
    }

    /// Disturbance of a unit axial flow at `x_m` behind the nose and `r_m` from the axis: along and away from the axis.
    #[must_use]
    pub fn axial(&self, x_m: f64, r_m: f64) -> [f64; 2] {
        let r = r_m.max(self.least_radius_m);
        let mut sum = [0.0; 2];
        for (k, piece) in self.pieces(x_m, r).enumerate() {
            for (side, hat) in piece.source().into_iter().enumerate() {
                let q = self.source_m[k + side];
                sum[0] += q * hat[0];
                sum[1] += q * hat[1];
            }
        }
        // On the axis nothing moves away from it; the least radius stands in for it.
        let away = if r_m < r { r_m / r } else { 1.0 };
        [sum[0] / (4.0 * PI), sum[1] * away / (4.0 * PI)]
    }

    /// Disturbance of a unit cross flow at `x_m` behind the nose and `r_m` from the axis.
    #[must_use]
    pub fn cross(&self, x_m: f64, r_m: f64) -> CrossDisturbance {
        let r = r_m.max(self.least_radius_m);
        let mut sum = [0.0; 3];
        for (k, piece) in self.pieces(x_m, r).enumerate() {
            for (side, hat) in piece.doublet().into_iter().enumerate() {
                let m = self.doublet_m2[k + side];
                for (total, part) in sum.iter_mut().zip(hat) {
                    *total += m * part;
                }
            }
        }
        let [axial, radial, around] = sum.map(|s| s / (4.0 * PI));
        let away = if r_m < r { r_m / r } else { 1.0 };
        CrossDisturbance { axial: axial * away, radial, around }
    }

    /// Distance over which the stream surface misses the body at `x_m` behind the nose, m: ψ/(V r).
    #[must_use]
    pub fn surface_miss_m(&self, x_m: f64, r_m: f64) -> f64 {
        let flux = |(k, piece): (usize, Piece)| {
            let [a, b] = piece.flux();
            self.source_m[k] * a + self.source_m[k + 1] * b
        };
        0.5 * r_m - self.pieces(x_m, r_m).enumerate().map(flux).sum::<f64>() / (4.0 * PI * r_m)
    }
}

/// Least squares by QR; `None` where the columns are not independent.
fn least_squares(matrix: DMatrix<f64>, mut right: DVector<f64>) -> Option<Vec<f64>> {
    let columns = matrix.ncols();
    let qr = matrix.qr();
    qr.q_tr_mul(&mut right);
    let solution = qr.r().solve_upper_triangular(&right.rows(0, columns))?;
    solution.iter().all(|v| v.is_finite()).then(|| solution.iter().copied().collect())
}
