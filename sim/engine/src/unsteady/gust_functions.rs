//! Lift of a flat plate in a sinusoidal gust, incompressible, mid-chord reference.

use libm::{j0, j1, y0, y1};
use realfft::num_complex::Complex64;

/// Sears' function, S(k) = C (J₀ − iJ₁) + iJ₁ with Theodorsen's C = H₁/(H₁ + iH₀), Hankel functions of the second kind:
/// lift in a gust square to the plate over 2πρbU w₀ (Sears, J. Aeronaut. Sci. 8, 1941, 104–108). Limit 1 at k = 0.
#[must_use]
pub fn sears(k: f64) -> Complex64 {
    if k <= 0.0 {
        return Complex64::ONE;
    }
    let (h0, h1) = (Complex64::new(j0(k), -y0(k)), Complex64::new(j1(k), -y1(k)));
    let theodorsen = h1 / (h1 + Complex64::I * h0);
    theodorsen * Complex64::new(j0(k), -j1(k)) + Complex64::I * j1(k)
}

/// Horlock's function, T(k) = S + J₀ + iJ₁: lift in a gust along the stream over 2πρbU u₀ α (Horlock, J. Basic Eng. 90,
/// 1968, 494–500; form from memory, derived again). Limit 2 at k = 0.
#[must_use]
pub fn horlock(k: f64) -> Complex64 {
    sears(k) + Complex64::new(j0(k), j1(k))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Values computed apart, to 1e-12 (six digits kept).
    #[test]
    fn known_values() {
        for (k, s, t) in [
            (0.0, (1.0, 0.0), (2.0, 0.0)),
            (0.1, (0.821_241, -0.163_478), (1.818_74, -0.113_541)),
            (0.5, (0.524_633, -0.044_028_9), (1.463_1, 0.198_24)),
            (2.0, (0.081_573_9, 0.267_974), (0.305_465, 0.844_699)),
        ] {
            assert!((sears(k) - Complex64::new(s.0, s.1)).norm() < 2e-6);
            assert!((horlock(k) - Complex64::new(t.0, t.1)).norm() < 1e-5);
        }
    }
}
