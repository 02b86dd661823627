//! Plane potential flow about a section: what its lift and its thickness add to a stream of unit speed.
//!
//! Chord axes: the leading edge at 0, the trailing edge at 1, ζ = x + iz in chords. Velocities are conjugate,
//! u − iw. With X = 2ζ − 1, R = √(X² − 1) → X far away and p = X − R (so that |p| < 1 off the chord), vorticity
//!
//! ```text
//! 2V [A₀ (1 + cos t)/sin t + Σ Aₙ sin nt],   x = (1 − cos t)/2
//! ```
//!
//! of thin-aerofoil theory (Glauert, Elements of Aerofoil and Airscrew Theory, ch. VII, from memory) has the field
//!
//! ```text
//! u − iw = iV [A₀ (1 − R/(X + 1)) − Σ Aₙ (−p)ⁿ]
//! ```
//!
//! - A₀ alone is the flat plate, −i sin α [√((ζ − 1)/ζ) − 1] V: exact, at any incidence, in the plate's own axes.
//! - A₁ alone is the elliptic load of a parabolic mean line, A₁ = −2α₀.
//! - A plain flap deflected by δ about the hinge x = (1 − cos t_h)/2 has Aₙ = 2δ sin(n t_h)/(nπ), whose sum is
//!   −Σ Aₙ (−p)ⁿ = (δ/iπ) ln[(1 − p e^(−i s))/(1 − p e^(i s))] with s = π − t_h.
//!
//! Thickness: sources 2V dz_t/dx on the chord (linear theory), z_t the four-digit form with its trailing edge closed,
//! z_t = 5t (0.2969 √x − 0.1260 x − 0.3516 x² + 0.2843 x³ − 0.1036 x⁴) (Jacobs, Ward, Pinkerton, NACA Report 460,
//! 1933, from memory). Behind the edge exact potential flow about the same shape loses 3 to 8 % more speed than this
//! at 12 %, other shapes −35 to +16 %. At the edge itself the field has a logarithm's pole; use it from 0.02 chord on.

use nalgebra::Complex;
use std::f64::consts::{PI, TAU};

/// Closed four-digit thickness over 5t: coefficients of √x, x, x², x³, x⁴.
const FOUR_DIGIT: [f64; 5] = [0.2969, -0.1260, -0.3516, 0.2843, -0.1036];

/// From this distance on, in chords, the logarithms of the thickness field cancel and its moments serve.
const FAR_CHORDS: f64 = 8.0;

/// Moments kept far away: the first one left out is below 1e-9 of the field's size at the edge.
const MOMENTS: usize = 9;

/// Strengths of the parts of a section's lift, each an angle times speed, m/s.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LiftParts {
    /// V A₀.
    pub plate_m_s: f64,
    /// V A₁ of the section's own camber.
    pub camber_m_s: f64,
    /// V δ of the flap as it acts.
    pub flap_m_s: f64,
    /// t_h, the hinge's angle along the chord, rad; 0 at the leading edge, π at the trailing edge.
    pub hinge_rad: f64,
}

impl LiftParts {
    /// Parts of a section that carries `circulation_m2_s` on `chord_m`: the plate takes what camber and flap leave.
    #[must_use]
    pub fn of_circulation(
        circulation_m2_s: f64,
        chord_m: f64,
        camber_m_s: f64,
        (flap_m_s, hinge_rad): (f64, f64),
    ) -> Self {
        // Γ = πcV (A₀ + A₁/2), with A₁ of camber and flap together.
        let first = camber_m_s + 2.0 * flap_m_s * hinge_rad.sin() / PI;
        let plate_m_s = circulation_m2_s / (PI * chord_m) - 0.5 * first;
        Self { plate_m_s, camber_m_s, flap_m_s, hinge_rad }
    }

    /// Velocity (u, w) added at ζ, m/s.
    #[must_use]
    pub fn velocity_m_s(&self, zeta: Complex<f64>) -> (f64, f64) {
        let x = 2.0 * zeta - 1.0;
        let root = root(x - 1.0) * root(x + 1.0);
        let p = (x + root).inv();
        let mut sum = (1.0 - root / (x + 1.0)) * self.plate_m_s + p * self.camber_m_s;
        if self.flap_m_s != 0.0 {
            sum += flap_sum(p, self.hinge_rad) * self.flap_m_s;
        }
        // i (a + ib) = u − iw: u = −b, w = −a.
        (-sum.im, -sum.re)
    }
}

/// Σ sin(n s) pⁿ 2/(nπ) with s = π − t_h.
fn flap_sum(p: Complex<f64>, hinge_rad: f64) -> Complex<f64> {
    let turn = Complex::from_polar(1.0, PI - hinge_rad);
    let log = (1.0 - p * turn.conj()).ln() - (1.0 - p * turn).ln();
    // Division by i.
    Complex::new(log.im, -log.re) / PI
}

/// The same on the axis behind the edge, 0 < p ≤ 1.
#[must_use]
pub fn flap_sum_on_axis(p: f64, hinge_rad: f64) -> f64 {
    (2.0 / PI) * (p * hinge_rad.sin()).atan2(1.0 + p * hinge_rad.cos())
}

/// Velocity of a plane vortex, positive for lift, at (x, z) from it, m/s.
#[must_use]
pub fn plane_vortex_m_s(circulation_m2_s: f64, x_m: f64, z_m: f64, core_m: f64) -> (f64, f64) {
    let scale = circulation_m2_s / (TAU * (x_m * x_m + z_m * z_m + core_m * core_m));
    (scale * z_m, -scale * x_m)
}

/// Velocity (u, w) over the stream's that a closed four-digit thickness adds at ζ.
#[must_use]
pub fn thickness_velocity(thickness_ratio: f64, zeta: Complex<f64>) -> (f64, f64) {
    let integral = if zeta.norm_sqr() > FAR_CHORDS * FAR_CHORDS { far(zeta) } else { near(zeta) };
    let field = integral * (5.0 * thickness_ratio / PI);
    (field.re, -field.im)
}

/// Speed over the stream's that a closed four-digit thickness adds on its axis, and its slope by x, both over the
/// thickness ratio: x in chords from the nose, above 0 and not 1, on the chord the principal value.
#[must_use]
pub fn thickness_speed_on_axis(x: f64) -> (f64, f64) {
    let (value, slope) = if x > FAR_CHORDS { far_on_axis(x) } else { near_on_axis(x) };
    (5.0 / PI * value, 5.0 / PI * slope)
}

/// ∫ z'(ξ)/(x − ξ) dξ over 5t and its slope, as [`near`].
fn near_on_axis(x: f64) -> (f64, f64) {
    let half = x.sqrt();
    let nose = ((half + 1.0) / (half - 1.0)).abs().ln() / (2.0 * half);
    let nose_slope = -(1.0 / (x - 1.0) + nose) / (2.0 * x);
    let mut sum = (FOUR_DIGIT[0] * nose, FOUR_DIGIT[0] * nose_slope);
    let mut power = ((x / (x - 1.0)).abs().ln(), 1.0 / x - 1.0 / (x - 1.0));
    for n in 1..=4_u8 {
        let order = f64::from(n);
        let factor = order * FOUR_DIGIT[usize::from(n)];
        sum = (sum.0 + factor * power.0, sum.1 + factor * power.1);
        power = (x * power.0 - 1.0 / order, power.0 + x * power.1);
    }
    sum
}

/// The same from the moments of the slope.
fn far_on_axis(x: f64) -> (f64, f64) {
    let inverse = 1.0 / x;
    (0..MOMENTS).rev().fold((0.0, 0.0), |(value, slope), k| {
        let moment = slope_moment(k) + value;
        (moment * inverse, (slope - moment * inverse) * inverse)
    })
}

/// ∫ z'(ξ)/(ζ − ξ) dξ over 5t by the closed integrals of √ξ and powers.
fn near(zeta: Complex<f64>) -> Complex<f64> {
    let half = root(zeta);
    let nose = ((half + 1.0) / (half - 1.0)).ln() / (2.0 * half);
    let mut sum = FOUR_DIGIT[0] * nose;
    // Iₙ = ∫ ξⁿ/(ζ − ξ) dξ = ζ Iₙ₋₁ − 1/n.
    let mut power = (zeta / (zeta - 1.0)).ln();
    for n in 1..=4_u8 {
        let order = f64::from(n);
        sum += order * FOUR_DIGIT[usize::from(n)] * power;
        power = zeta * power - 1.0 / order;
    }
    sum
}

/// The same as Σ mₖ/ζ^(k+1), mₖ the moments of the slope.
fn far(zeta: Complex<f64>) -> Complex<f64> {
    let inverse = zeta.inv();
    (0..MOMENTS).rev().fold(Complex::new(0.0, 0.0), |sum, k| (sum + slope_moment(k)) * inverse)
}

/// ∫ z' ξᵏ dξ over 5t.
fn slope_moment(k: usize) -> f64 {
    let k = k as f64;
    let powers: f64 = (1..5).map(|n| n as f64 * FOUR_DIGIT[n] / (k + n as f64)).sum();
    0.5 * FOUR_DIGIT[0] / (k + 0.5) + powers
}

/// Slope z'(ξ) times 2√ξ over 5t with ξ = q²: a polynomial in q.
#[must_use]
pub fn slope_by_root(q: f64) -> f64 {
    let x = q * q;
    let powers =
        FOUR_DIGIT[1] + x * (2.0 * FOUR_DIGIT[2] + x * (3.0 * FOUR_DIGIT[3] + x * 4.0 * FOUR_DIGIT[4]));
    FOUR_DIGIT[0] + 2.0 * q * powers
}

/// Principal square root; two real roots instead of the polar form.
fn root(z: Complex<f64>) -> Complex<f64> {
    let size = z.norm_sqr().sqrt();
    let large = (0.5 * (size + z.re.abs())).sqrt();
    if large == 0.0 {
        return Complex::new(0.0, 0.0);
    }
    let small = 0.5 * z.im.abs() / large;
    if z.re >= 0.0 {
        Complex::new(large, small.copysign(z.im))
    } else {
        Complex::new(small, large.copysign(z.im))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quadrature::gauss8;
    use approx::assert_relative_eq;

    #[test]
    fn plate_is_the_closed_form() {
        let angle = 0.1_f64;
        let parts = LiftParts { plate_m_s: angle.sin(), ..LiftParts::default() };
        for zeta in [Complex::new(1.05, 0.02), Complex::new(1.167, -0.5), Complex::new(-0.3, 0.2)] {
            let exact = Complex::new(0.0, -angle.sin()) * (((zeta - 1.0) / zeta).sqrt() - 1.0);
            let (u, w) = parts.velocity_m_s(zeta);
            assert_relative_eq!(u, exact.re, epsilon = 1e-14);
            assert_relative_eq!(w, -exact.im, epsilon = 1e-14);
        }
    }

    #[test]
    fn all_parts_are_one_vortex_of_their_circulation_far_away() {
        let parts = LiftParts::of_circulation(0.7, 1.0, 0.05, (0.2, 2.0));
        let (u, w) = parts.velocity_m_s(Complex::new(3e3, 4e3));
        let exact = plane_vortex_m_s(0.7, 3e3, 4e3, 0.0);
        assert_relative_eq!(u, exact.0, max_relative = 1e-3);
        assert_relative_eq!(w, exact.1, max_relative = 1e-3);
    }

    /// Boundary condition of thin-aerofoil theory: on the chord the normal velocity is the slope of the line.
    #[test]
    fn flap_field_follows_the_flap() {
        let hinge = 2.0_f64;
        // Ideal broken line without incidence: A₀ = δ (π − t_h)/π makes the front part level.
        let (delta, plate) = (0.1, 0.1 * (PI - hinge) / PI);
        let parts = LiftParts { plate_m_s: plate, camber_m_s: 0.0, flap_m_s: delta, hinge_rad: hinge };
        let hinge_x = 0.5 * (1.0 - hinge.cos());
        for (x, slope) in [(0.1, 0.0), (0.6, 0.0), (hinge_x + 0.1, -delta), (0.98, -delta)] {
            for side in [1e-9, -1e-9] {
                assert_relative_eq!(parts.velocity_m_s(Complex::new(x, side)).1, slope, epsilon = 1e-6);
            }
        }
        let p = 0.6;
        assert_relative_eq!(
            flap_sum(Complex::new(p, 0.0), hinge).re,
            flap_sum_on_axis(p, hinge),
            epsilon = 1e-14
        );
    }

    #[test]
    fn thickness_by_quadrature_near_and_far() {
        for zeta in [
            Complex::new(1.05, 0.03),
            Complex::new(1.3, -0.4),
            Complex::new(7.0, 3.0),
            Complex::new(9.0, 1.0),
        ] {
            let part = |pick: fn(Complex<f64>) -> f64| -> f64 {
                // ξ = q² takes the root's singularity away; 64 intervals resolve the nearby edge.
                (0..64)
                    .map(|i| {
                        let (a, b) = (f64::from(i) / 64.0, f64::from(i + 1) / 64.0);
                        gauss8(a, b, |q| pick(slope_by_root(q) / (zeta - q * q)))
                    })
                    .sum()
            };
            let scale = 5.0 * 0.12 / PI;
            let (u, w) = thickness_velocity(0.12, zeta);
            assert_relative_eq!(u, scale * part(|z| z.re), epsilon = 1e-10);
            assert_relative_eq!(w, -scale * part(|z| z.im), epsilon = 1e-10);
        }
    }

    /// On the axis behind the edge it is the plane field; its slope is that of differences.
    #[test]
    fn speed_on_the_axis_is_the_plane_field() {
        for x in [1.001, 1.02, 1.3, 3.0, 7.9, 8.1, 40.0] {
            let (speed, slope) = thickness_speed_on_axis(x);
            assert_relative_eq!(
                0.12 * speed,
                thickness_velocity(0.12, Complex::new(x, 0.0)).0,
                epsilon = 1e-9
            );
            let h = 1e-6 * x;
            let difference =
                (thickness_speed_on_axis(x + h).0 - thickness_speed_on_axis(x - h).0) / (2.0 * h);
            assert_relative_eq!(slope, difference, max_relative = 1e-4, epsilon = 1e-8);
        }
        // On the chord, the mean of both sides.
        let above = thickness_velocity(0.12, Complex::new(0.4, 1e-9)).0;
        assert_relative_eq!(0.12 * thickness_speed_on_axis(0.4).0, above, epsilon = 1e-7);
    }

    #[test]
    fn closed_section_sheds_no_net_source() {
        assert_relative_eq!(slope_moment(0), 0.0, epsilon = 1e-12);
    }
}
