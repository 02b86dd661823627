//! Eigenvalues of a general complex matrix, with a bounded number of iterations.
//!
//! The library's Schur form where it comes to an end. Where a cluster of roots keeps it from that: Hessenberg form by reflections, then single-shift QR steps with Wilkinson's shift, and an exceptional shift where ten steps have not parted a
//! root (the method of EISPACK's COMQR: Martin and Wilkinson, Numer. Math. 12 (1968) p. 369). An entry below round-off of its neighbours counts as
//! zero; a cluster of roots at zero would never part by that, so that after a while round-off of the whole matrix does. Errors are round-off of the
//! matrix's size, times the condition of the root: a double root of a defective matrix is good to the root of that.

use nalgebra::{Complex, DMatrix, Hessenberg, Schur};

type C64 = Complex<f64>;

/// Iterations of the library's Schur form before the steps below are tried.
const MOST_ITERATIONS: usize = 2000;

/// QR steps that one root may take.
const MOST_STEPS: usize = 300;

/// Steps after which round-off is measured against the whole matrix: the small roots of a badly scaled one keep their digits where they
/// part by themselves.
const PATIENT_STEPS: usize = 60;

/// All eigenvalues, in no order; `None` where a root does not part within `MOST_STEPS` steps or an entry is no number.
#[must_use]
pub fn eigenvalues(matrix: DMatrix<C64>) -> Option<Vec<C64>> {
    let size = matrix.nrows();
    let norm = matrix.iter().map(|x| x.norm_sqr()).sum::<f64>().sqrt();
    if !norm.is_finite() {
        return None;
    }
    if size < 2 || norm == 0.0 {
        return Some(matrix.diagonal().iter().copied().collect());
    }
    if let Some(schur) = Schur::try_new(matrix.clone(), f64::EPSILON, MOST_ITERATIONS) {
        return Some(schur.unpack().1.diagonal().iter().copied().collect());
    }
    let mut h = Hessenberg::new(matrix).unpack_h();
    let mut high = size - 1;
    let mut steps = 0;
    while high > 0 {
        let floor = if steps < PATIENT_STEPS { 0.0 } else { 0.1 * norm };
        let low = parted(&h, high, floor);
        if low == high {
            high -= 1;
            steps = 0;
            continue;
        }
        steps += 1;
        if steps > MOST_STEPS {
            return None;
        }
        let shift = if steps % 10 == 0 { exceptional(&h, low, high) } else { wilkinson(&h, high) };
        qr_step(&mut h, low, high, shift);
    }
    Some(h.diagonal().iter().copied().collect())
}

/// First row of the block that ends at `high`: below it an entry beside the diagonal is zero to round-off of its neighbours, or of
/// `floor` where that is more.
fn parted(h: &DMatrix<C64>, high: usize, floor: f64) -> usize {
    let mut low = high;
    while low > 0 {
        let beside = h[(low, low - 1)].norm();
        let near = h[(low, low)].norm() + h[(low - 1, low - 1)].norm();
        if beside <= f64::EPSILON * near.max(floor) {
            return low;
        }
        low -= 1;
    }
    0
}

/// The root of the last two rows nearer to the last entry.
fn wilkinson(h: &DMatrix<C64>, high: usize) -> C64 {
    let (a, b) = (h[(high - 1, high - 1)], h[(high - 1, high)]);
    let (c, d) = (h[(high, high - 1)], h[(high, high)]);
    let half = (a - d) * 0.5;
    let root = (half * half + b * c).sqrt();
    let (one, other) = (half + root, half - root);
    let larger = if one.norm_sqr() >= other.norm_sqr() { one } else { other };
    if larger.norm_sqr() == 0.0 { d } else { d - b * c / larger }
}

/// A shift off any symmetry that holds the iteration in a circle.
fn exceptional(h: &DMatrix<C64>, low: usize, high: usize) -> C64 {
    let beside = h[(high, high - 1)].norm();
    let above = if high >= low + 2 { h[(high - 1, high - 2)].norm() } else { 0.0 };
    h[(high, high)] + C64::new(beside + above, 0.5 * beside)
}

/// H − s = QR by rotations, then RQ + s, on rows and columns `low` to `high`.
fn qr_step(h: &mut DMatrix<C64>, low: usize, high: usize, shift: C64) {
    for i in low..=high {
        h[(i, i)] -= shift;
    }
    let mut rotations = Vec::with_capacity(high - low);
    for k in low..high {
        let (x, y) = (h[(k, k)], h[(k + 1, k)]);
        let length = x.norm().hypot(y.norm());
        let (c, s) =
            if length == 0.0 { (C64::new(1.0, 0.0), C64::default()) } else { (x / length, y / length) };
        for j in k..=high {
            let (top, below) = (h[(k, j)], h[(k + 1, j)]);
            h[(k, j)] = c.conj() * top + s.conj() * below;
            h[(k + 1, j)] = c * below - s * top;
        }
        rotations.push((c, s));
    }
    for (k, (c, s)) in (low..high).zip(rotations) {
        for i in low..=(k + 1) {
            let (left, right) = (h[(i, k)], h[(i, k + 1)]);
            h[(i, k)] = left * c + right * s;
            h[(i, k + 1)] = right * c.conj() - left * s.conj();
        }
    }
    for i in low..=high {
        h[(i, i)] += shift;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorted(mut roots: Vec<C64>) -> Vec<C64> {
        roots.sort_by(|a, b| a.re.total_cmp(&b.re).then(a.im.total_cmp(&b.im)));
        roots
    }

    /// A matrix of known roots: triangular, turned by a similarity. Band: round-off times the similarity's condition.
    #[test]
    fn known_roots_come_back() {
        let size = 14;
        let triangle = DMatrix::from_fn(size, size, |i, j| {
            if j < i { C64::default() } else { C64::new((i + j) as f64 * 0.5, (i * j) as f64 * 0.1 - 3.0) }
        });
        let turn = DMatrix::from_fn(size, size, |i, j| {
            C64::new(f64::from(u8::from(i == j)) * 3.0, 0.0)
                + C64::new(((i * 7 + j * 3) % 5) as f64 * 0.1, 0.05)
        });
        let matrix = &turn * &triangle * turn.clone().try_inverse().unwrap();
        let expected = sorted(triangle.diagonal().iter().copied().collect());
        for (a, b) in sorted(eigenvalues(matrix).unwrap()).iter().zip(&expected) {
            assert!((a - b).norm() < 1e-9, "{a} {b}");
        }
    }

    /// Six free motions: twelve roots at zero in pairs that share a vector, beside vibrations. Band: root of round-off.
    #[test]
    fn a_cluster_at_zero_beside_vibrations_parts() {
        let size = 10;
        let mut a = DMatrix::<C64>::zeros(2 * size, 2 * size);
        for i in 0..size {
            a[(i, size + i)] = C64::new(1.0, 0.0);
        }
        for i in 0..4 {
            a[(size + i, i)] = C64::new(-((i + 1) as f64).powi(2), -0.1);
            a[(size + i, i + 5)] = C64::new(0.3, 0.0);
        }
        let roots = eigenvalues(a).unwrap();
        assert_eq!(roots.iter().filter(|root| root.norm() < 1e-6).count(), 12);
        assert_eq!(roots.iter().filter(|root| root.im > 0.9).count(), 4);
    }
}
