//! Gauss–Legendre rules for the short smooth integrals of the wake models.

/// Nodes and weights of the eight-point rule on [−1, 1] (Abramowitz and Stegun, table 25.4).
const EIGHT: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_48),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_26),
];

/// Nodes and weights of the four-point rule on [0, 1] (Abramowitz and Stegun, table 25.4): exact up to degree 7.
pub const GAUSS4: [(f64, f64); 4] = [
    (0.069_431_844_202_973_71, 0.173_927_422_568_726_93),
    (0.330_009_478_207_571_87, 0.326_072_577_431_273_07),
    (0.669_990_521_792_428_1, 0.326_072_577_431_273_07),
    (0.930_568_155_797_026_3, 0.173_927_422_568_726_93),
];

/// Nodes and weights of the eight-point rule from `a` to `b`.
#[must_use]
pub fn gauss8_nodes(a: f64, b: f64) -> [(f64, f64); 8] {
    let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
    std::array::from_fn(|i| {
        let (x, w) = EIGHT[i / 2];
        (if i % 2 == 0 { mid - half * x } else { mid + half * x }, half * w)
    })
}

/// ∫ f dx from `a` to `b` by the eight-point rule: exact for polynomials of degree 15.
pub fn gauss8(a: f64, b: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
    half * EIGHT.iter().map(|&(x, w)| w * (f(mid - half * x) + f(mid + half * x))).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn four_points_are_exact_to_degree_seven() {
        let sum = |power: i32| GAUSS4.iter().map(|(x, w)| w * x.powi(power)).sum::<f64>();
        for power in 0..=7 {
            assert_relative_eq!(sum(power), 1.0 / f64::from(power + 1), max_relative = 1e-14);
        }
    }

    #[test]
    fn degree_fifteen_is_exact() {
        let sum: f64 = gauss8_nodes(0.0, 2.0).iter().map(|(x, w)| w * x.powi(15)).sum();
        assert_relative_eq!(sum, 4096.0, max_relative = 1e-13);
        assert_relative_eq!(gauss8(0.0, 2.0, |x| x.powi(15)), 4096.0, max_relative = 1e-13);
    }
}
