//! How the propeller draws the wake in.
//!
//! With v the azimuth-mean induced axial velocity of an annulus, `U_e` the edge speed without propeller
//! and δ the deficit over edge speed: total pressure is carried along, so that
//! U₀² = `U_e`² − `V_r`² [1 − (1 − δ)²] without the propeller's pressure field at the disk, and
//! `U_d`² = U₀² + (V̄ + v)² − V̄² with it, V̄ the azimuth mean of U₀. `V_r` = `U_e` + κv is the edge speed
//! where the deficit was made.
//!
//! The streamwise growth of v ahead of the disk follows the solid angle the disk fills: for a uniform pressure jump the
//! pressure field is that of a doublet sheet, whose potential is the solid angle over 4π (Lamb,
//! Hydrodynamics, art. 100, in the linear limit; at the disk itself the solid angle is 2π and the factor 1).

use std::sync::LazyLock;

use multiversion::multiversion;

use crate::base::lanes::{LANES, Lanes};
use crate::base::quadrature::gauss8_nodes;
use crate::point::input::Suction;
use crate::wake::WakeShape;

/// Directions of the solid-angle sum over half the disk; the integrand is smooth and periodic, so that the sum
/// converges faster than any power for r/R up to 0.97 and to 1e-4 at the last stations.
const SOLID_ANGLE_STEPS: usize = 48;

/// Sum over directions φ in the disk's plane, seen from the foot of a point at radius r, of a function of the distance
/// to the rim √(R² − r² sin²φ) − r cos φ; the mean over all directions.
fn mean_over_rim(radius_m: f64, tip_m: f64, f: impl Fn(f64) -> f64) -> f64 {
    static COSINES: LazyLock<[f64; SOLID_ANGLE_STEPS]> = LazyLock::new(|| {
        std::array::from_fn(|i| (std::f64::consts::PI * (i as f64 + 0.5) / SOLID_ANGLE_STEPS as f64).cos())
    });
    let sum: f64 = COSINES
        .iter()
        .map(|cos| {
            let across = radius_m * radius_m * (1.0 - cos * cos);
            f((tip_m * tip_m - across).max(0.0).sqrt() - radius_m * cos)
        })
        .sum();
    sum / SOLID_ANGLE_STEPS as f64
}

/// Share of the disk's induced velocity at a distance ahead of it: solid angle of the disk over 2π.
///
/// On the axis 1 − d/√(d² + R²). `radius_m` below the tip radius, distance not negative.
#[must_use]
pub fn upstream_factor(distance_m: f64, radius_m: f64, tip_m: f64) -> f64 {
    if distance_m <= 0.0 {
        return 1.0;
    }
    1.0 - mean_over_rim(radius_m, tip_m, |rim| distance_m / (distance_m * distance_m + rim * rim).sqrt())
}

/// Mean of [`upstream_factor`] from `distance_m` to `distance_m + length_m`; the integral along the distance is closed.
fn mean_upstream_factor(distance_m: f64, length_m: f64, radius_m: f64, tip_m: f64) -> f64 {
    let (near, far) = (distance_m, distance_m + length_m);
    1.0 - mean_over_rim(radius_m, tip_m, |rim| {
        let square = rim * rim;
        ((far * far + square).sqrt() - (near * near + square).sqrt()) / length_m
    })
}

/// Furthest that a braking annulus is taken to push a wake off the shaft, over its distance without propeller.
///
/// Far ahead of an annulus that takes the most power a windmill can, v = −V/3 (Betz), the factor is √(3/2) = 1.22; less from
/// nearer by. Azimuths are chosen before v is known, so the factor is held there.
pub(super) const MOST_OUTWARD: f64 = 1.25;

/// Most that it is taken to thicken a wake. There a shallow wake takes 3/2, one of half the speed on its centre line 2 and more.
pub(super) const MOST_THICKENED: f64 = 2.0;

/// Distance from the centre line over the undrawn reach at which a wake that thick may still be felt: the whole factor for a profile
/// that ends, less for a Gaussian, of which 2e-5 of the peak are left there.
#[must_use]
pub(super) fn thickened_reach(shape: WakeShape) -> f64 {
    match shape {
        WakeShape::Gaussian => 1.25,
        WakeShape::CosineSquared => MOST_THICKENED,
    }
}

/// Factors of one annulus for a wake shed at a distance ahead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SuctionFactors {
    /// At the trailing edge.
    pub edge: f64,
    /// κ: where the deficit is taken to be made.
    pub made: f64,
    /// Whether suction acts at all.
    pub active: bool,
}

impl SuctionFactors {
    /// Factors for a surface of `chord_m` whose trailing edge lies `distance_m` ahead of the disk.
    #[must_use]
    pub fn new(mode: Suction, distance_m: f64, chord_m: f64, radius_m: f64, tip_m: f64) -> Self {
        let edge = upstream_factor(distance_m, radius_m, tip_m);
        match mode {
            Suction::None => Self { edge: 0.0, made: 0.0, active: false },
            Suction::Far => Self { edge, made: 0.0, active: true },
            Suction::TrailingEdge => Self { edge, made: edge, active: true },
            Suction::ChordMean => {
                let made = mean_upstream_factor(distance_m, chord_m, radius_m, tip_m);
                Self { edge, made, active: true }
            }
        }
    }
}

/// Nodes of a wake's profile: eight over its core and eight over its skirt.
const NODES: usize = 16;

/// Where the core of a profile ends, over its support.
const CORE: f64 = 0.35;

/// Nodes and weights over the profile from its middle to its end.
fn nodes() -> [(f64, f64); NODES] {
    let (core, skirt) = (gauss8_nodes(0.0, CORE), gauss8_nodes(CORE, 1.0));
    std::array::from_fn(|i| if i < 8 { core[i] } else { skirt[i - 8] })
}

/// How one source's wake is drawn in at eight stations.
#[derive(Debug, Clone)]
pub struct SuctionLanes {
    /// At the trailing edge.
    edge: Lanes,
    /// κ: where the deficit is taken to be made.
    pub made: Lanes,
    active: bool,
    /// Share of the dynamic pressure lost at each node of the profile, 0 for a station without a wake.
    lost: [Lanes; NODES],
    weights: [f64; NODES],
}

impl SuctionLanes {
    /// From the factors of each lane, `None` without a wake, and the deficit of its profile against distance from the
    /// middle in units of the support.
    #[must_use]
    pub fn new(
        factors: impl Fn(usize) -> Option<SuctionFactors>,
        profile: impl Fn(usize, f64) -> f64,
    ) -> Self {
        let nodes = nodes();
        let of = |value: fn(&SuctionFactors) -> f64| {
            Lanes::from_fn(|lane| factors(lane).as_ref().map_or(0.0, value))
        };
        Self {
            edge: of(|f| f.edge),
            made: of(|f| f.made),
            active: (0..LANES).filter_map(&factors).any(|f| f.active),
            lost: nodes.map(|(x, _)| {
                Lanes::from_fn(|lane| {
                    if factors(lane).is_some() { total_pressure_loss(1.0, profile(lane, x)) } else { 0.0 }
                })
            }),
            weights: nodes.map(|(_, weight)| weight),
        }
    }

    /// The same wake made at the other end of what is known of suction: far ahead, or at the trailing edge. Other modes keep it.
    #[must_use]
    pub fn limited(&self, limit: Suction) -> Self {
        let made = match limit {
            Suction::Far => Lanes::ZERO,
            Suction::TrailingEdge => self.edge,
            Suction::ChordMean | Suction::None => self.made,
        };
        Self { made, ..self.clone() }
    }

    /// Factors on the wake's distance from the shaft and on its thickness at mean edge speed, V̄ and induced velocity.
    ///
    /// The distance follows √(edge speed at the trailing edge / at the disk). The thickness keeps the flux of
    /// total-pressure loss ∫ Δ U dz between trailing edge and disk. A braking annulus, v below 0, makes both exceed 1, at most
    /// to 1.25 and 2; beyond (v about −V/3) the flux of a wake is no longer kept.
    #[must_use]
    pub fn drawn(&self, (edge_speed, mean_speed, v): (Lanes, Lanes, Lanes)) -> (Lanes, Lanes) {
        let one = Lanes::splat(1.0);
        if !self.active {
            return (one, one);
        }
        let (before, after) = (edge_speed + self.edge * v, edge_speed + v);
        let offset = before.zip(after, |b, a| if b > 0.0 && a > 0.0 { (b / a).sqrt() } else { 1.0 });
        let (before, after) = flux_before_and_after(self, edge_speed, mean_speed, v);
        let thickness = before.zip(after, |b, a| if b > 0.0 && a > 0.0 { b / a } else { 1.0 });
        (offset.min(Lanes::splat(MOST_OUTWARD)), thickness.min(Lanes::splat(MOST_THICKENED)))
    }
}

/// Whether any annulus brakes, so that wakes are pushed off the shaft.
#[must_use]
pub(super) fn brakes(v_m_s: Lanes) -> bool {
    !v_m_s.all(Lanes::ZERO, |v, zero| v >= zero)
}

/// Flux of total-pressure loss at the trailing edge and at the disk, over the wake's own thickness.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn flux_before_and_after(
    suction: &SuctionLanes,
    edge_speed: Lanes,
    mean_speed: Lanes,
    v: Lanes,
) -> (Lanes, Lanes) {
    let made = edge_speed + suction.made * v;
    let made_square = made * made;
    let edge_square = edge_speed * edge_speed;
    let mean_square = mean_speed * mean_speed;
    let (near, far) = (mean_speed + suction.edge * v, mean_speed + v);
    let at_edge = edge_square + near * near - mean_square;
    let at_disk = edge_square + far * far - mean_square;
    let (mut before, mut after) = (Lanes::ZERO, Lanes::ZERO);
    for (lost, weight) in suction.lost.iter().zip(suction.weights) {
        let loss = made_square * *lost;
        let weighed = loss * weight;
        before = before + weighed * (at_edge - loss).max(Lanes::ZERO).sqrt();
        after = after + weighed * (at_disk - loss).max(Lanes::ZERO).sqrt();
    }
    (before, after)
}

/// Loss of total pressure over ρ/2 of a deficit made at edge speed `made`: V_r² [1 − (1 − δ)²].
#[must_use]
#[inline(always)]
pub fn total_pressure_loss(made: f64, deficit: f64) -> f64 {
    made * made * deficit * (2.0 - deficit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::quadrature::gauss8;
    use approx::assert_relative_eq;

    #[test]
    fn factor_on_the_axis_is_the_closed_form_and_one_at_the_disk() {
        for d in [0.05, 0.4, 3.0] {
            assert_relative_eq!(upstream_factor(d, 0.0, 0.8), 1.0 - d / d.hypot(0.8), epsilon = 1e-13);
        }
        assert_eq!(upstream_factor(0.0, 0.5, 0.8), 1.0);
    }

    #[test]
    fn off_axis_factor_agrees_with_a_sum_over_the_disk() {
        // Solid angle as the surface integral of d/ρ³ over the disk, by brute force.
        let (d, r, tip) = (0.3, 0.55, 0.8);
        let n = 1200;
        let mut sum = 0.0;
        for i in 0..n {
            let s = tip * (f64::from(i) + 0.5) / f64::from(n);
            for k in 0..n {
                let phi = std::f64::consts::TAU * (f64::from(k) + 0.5) / f64::from(n);
                let square = d * d + s * s + r * r - 2.0 * s * r * phi.cos();
                sum += d / square.powf(1.5) * s;
            }
        }
        let solid = sum * (tip / f64::from(n)) * (std::f64::consts::TAU / f64::from(n));
        assert_relative_eq!(upstream_factor(d, r, tip), solid / std::f64::consts::TAU, max_relative = 1e-5);
    }

    #[test]
    fn mean_over_the_chord_is_the_integral_of_the_factor() {
        let mean = gauss8(0.1, 0.3, |d| upstream_factor(d, 0.4, 0.8)) / 0.2;
        assert_relative_eq!(mean_upstream_factor(0.1, 0.2, 0.4, 0.8), mean, max_relative = 1e-10);
    }

    #[test]
    fn factors_order_far_chord_mean_trailing_edge() {
        let at = |mode| SuctionFactors::new(mode, 0.03, 0.2, 0.08, 0.11).made;
        assert!(at(Suction::Far) < at(Suction::ChordMean));
        assert!(at(Suction::ChordMean) < at(Suction::TrailingEdge));
        assert_eq!(at(Suction::Far), 0.0);
    }

    #[test]
    fn no_induction_changes_nothing() {
        let f = SuctionFactors::new(Suction::ChordMean, 0.03, 0.2, 0.08, 0.11);
        let lanes = SuctionLanes::new(|lane| (lane != 2).then_some(f), |_, x| 0.3 * (1.0 - x));
        let drawn = |v: f64| lanes.drawn((Lanes::splat(15.0), Lanes::splat(14.8), Lanes::splat(v)));
        let (offset, thickness) = drawn(0.0);
        assert_eq!(offset.0[0], 1.0);
        assert_relative_eq!(thickness.0[0], 1.0, epsilon = 1e-14);
        let (offset, thickness) = drawn(5.0);
        assert!(offset.0[0] < 1.0 && thickness.0[0] < 1.0);
        // A station without a wake has none to thin.
        assert_eq!(thickness.0[2], 1.0);
    }

    /// At v = −V/3 far ahead: √(3/2) off the shaft; a shallow wake 3/2 as thick. Where the air nearly stands still both are held.
    #[test]
    fn braking_pushes_wakes_out_within_the_range_that_is_looked_at() {
        let far = SuctionFactors { edge: 0.0, made: 0.0, active: true };
        let lanes = SuctionLanes::new(|_| Some(far), |_, x| 1e-4 * (1.0 - x));
        let drawn = |v: f64| {
            let (offset, thickness) = lanes.drawn((Lanes::splat(15.0), Lanes::splat(15.0), Lanes::splat(v)));
            (offset.0[0], thickness.0[0])
        };
        let (offset, thickness) = drawn(-5.0);
        assert_relative_eq!(offset, 1.5_f64.sqrt(), epsilon = 1e-12);
        assert_relative_eq!(thickness, 1.5, epsilon = 1e-3);
        assert_eq!(drawn(-14.0), (MOST_OUTWARD, MOST_THICKENED));
    }
}
