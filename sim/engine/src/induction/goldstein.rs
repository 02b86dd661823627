//! Finite blade number: Goldstein's circulation.
//!
//! Goldstein, Proc. R. Soc. A 123 (1929) 440–465, solved the potential flow of a rigid helicoidal wake of few blades exactly. His
//! factor κ = G (1 + λ²/x²), G = NΓ/(2πλRw), takes the place of Prandtl's at the tip, with λ = x tan φ of the
//! blade's own inflow angle: the wake of each radius taken as a helix of its own pitch, as in Lerbs' treatment of
//! moderately loaded propellers (Trans. SNAME 60, 1952, 73–123; from memory). Exact for an optimum, lightly loaded propeller,
//! otherwise as good as that assumption; Prandtl's factor, which replaces the helices by plane sheets, is 7, 14
//! and 28 % above it for two blades at λ = 0.2, 0.3 and 0.5.

use super::tip_loss::prandtl_factor;

/// Blade counts, λ and x of [`RATIO`].
const BLADES: [f64; 4] = [2.0, 3.0, 4.0, 6.0];
const ADVANCE: [f64; 11] = [0.0, 0.05, 0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.75, 1.0];
const RADIUS: [f64; 9] = [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.975];

/// κ over Prandtl's tip factor (local φ): our own solution of Goldstein's problem, error below 3e-4. At λ = 0 they are one.
#[rustfmt::skip]
const RATIO: [[[f64; 9]; 11]; 4] = [
    [
        [1.0; 9],
        [0.9967, 0.9990, 0.9996, 0.9998, 0.9996, 0.9984, 0.9939, 0.9891, 0.9858],
        [0.9760, 0.9865, 0.9915, 0.9925, 0.9905, 0.9852, 0.9761, 0.9701, 0.9668],
        [0.9571, 0.9619, 0.9675, 0.9694, 0.9672, 0.9613, 0.9524, 0.9470, 0.9441],
        [0.9472, 0.9342, 0.9343, 0.9353, 0.9339, 0.9297, 0.9230, 0.9189, 0.9167],
        [0.9441, 0.9087, 0.8998, 0.8979, 0.8966, 0.8940, 0.8898, 0.8871, 0.8857],
        [0.9455, 0.8876, 0.8683, 0.8620, 0.8598, 0.8581, 0.8557, 0.8542, 0.8533],
        [0.9552, 0.8583, 0.8187, 0.8022, 0.7957, 0.7933, 0.7924, 0.7921, 0.7919],
        [0.9681, 0.8421, 0.7856, 0.7591, 0.7469, 0.7418, 0.7401, 0.7399, 0.7399],
        [0.9980, 0.8292, 0.7451, 0.6998, 0.6746, 0.6609, 0.6538, 0.6519, 0.6512],
        [1.0193, 0.8296, 0.7308, 0.6744, 0.6405, 0.6198, 0.6073, 0.6031, 0.6014],
    ],
    [
        [1.0; 9],
        [0.9988, 0.9996, 0.9999, 0.9999, 0.9999, 0.9998, 0.9980, 0.9946, 0.9915],
        [0.9878, 0.9945, 0.9973, 0.9982, 0.9977, 0.9951, 0.9883, 0.9828, 0.9793],
        [0.9760, 0.9830, 0.9882, 0.9901, 0.9886, 0.9836, 0.9746, 0.9687, 0.9653],
        [0.9741, 0.9702, 0.9729, 0.9741, 0.9719, 0.9663, 0.9574, 0.9518, 0.9488],
        [0.9812, 0.9592, 0.9546, 0.9530, 0.9501, 0.9447, 0.9368, 0.9320, 0.9294],
        [0.9936, 0.9508, 0.9361, 0.9301, 0.9258, 0.9206, 0.9139, 0.9100, 0.9079],
        [1.0240, 0.9410, 0.9044, 0.8872, 0.8781, 0.8719, 0.8666, 0.8639, 0.8626],
        [1.0532, 0.9378, 0.8815, 0.8529, 0.8376, 0.8288, 0.8231, 0.8208, 0.8198],
        [1.1075, 0.9416, 0.8520, 0.8013, 0.7716, 0.7540, 0.7435, 0.7400, 0.7385],
        [1.1400, 0.9489, 0.8416, 0.7777, 0.7381, 0.7130, 0.6970, 0.6913, 0.6889],
    ],
    [
        [1.0; 9],
        [0.9994, 0.9998, 0.9999, 1.0000, 1.0000, 1.0000, 0.9993, 0.9970, 0.9943],
        [0.9929, 0.9971, 0.9987, 0.9993, 0.9993, 0.9982, 0.9937, 0.9888, 0.9854],
        [0.9843, 0.9903, 0.9943, 0.9959, 0.9954, 0.9921, 0.9845, 0.9788, 0.9753],
        [0.9828, 0.9829, 0.9864, 0.9881, 0.9867, 0.9818, 0.9728, 0.9669, 0.9636],
        [0.9902, 0.9777, 0.9765, 0.9761, 0.9736, 0.9677, 0.9587, 0.9530, 0.9499],
        [1.0040, 0.9752, 0.9661, 0.9619, 0.9575, 0.9511, 0.9424, 0.9372, 0.9344],
        [1.0395, 0.9768, 0.9476, 0.9325, 0.9228, 0.9147, 0.9066, 0.9023, 0.9001],
        [1.0752, 0.9828, 0.9340, 0.9069, 0.8907, 0.8797, 0.8711, 0.8673, 0.8654],
        [1.1421, 1.0011, 0.9170, 0.8658, 0.8341, 0.8140, 0.8008, 0.7959, 0.7938],
        [1.1818, 1.0156, 0.9119, 0.8461, 0.8035, 0.7755, 0.7569, 0.7500, 0.7470],
    ],
    [
        [1.0; 9],
        [0.9997, 0.9999, 1.0000, 1.0000, 1.0000, 1.0000, 0.9999, 0.9990, 0.9970],
        [0.9969, 0.9988, 0.9995, 0.9997, 0.9998, 0.9997, 0.9979, 0.9944, 0.9913],
        [0.9920, 0.9957, 0.9978, 0.9987, 0.9989, 0.9979, 0.9933, 0.9883, 0.9849],
        [0.9901, 0.9919, 0.9947, 0.9963, 0.9962, 0.9937, 0.9867, 0.9810, 0.9775],
        [0.9942, 0.9897, 0.9909, 0.9920, 0.9911, 0.9870, 0.9786, 0.9725, 0.9690],
        [1.0035, 0.9901, 0.9873, 0.9864, 0.9839, 0.9783, 0.9689, 0.9628, 0.9594],
        [1.0315, 0.9977, 0.9821, 0.9732, 0.9656, 0.9569, 0.9464, 0.9405, 0.9373],
        [1.0625, 1.0102, 0.9798, 0.9605, 0.9461, 0.9338, 0.9221, 0.9163, 0.9133],
        [1.1257, 1.0418, 0.9814, 0.9381, 0.9072, 0.8849, 0.8682, 0.8614, 0.8582],
        [1.1649, 1.0643, 0.9857, 0.9268, 0.8840, 0.8532, 0.8310, 0.8223, 0.8184],
    ],
];

/// Share of the blade-local induced velocity that the annulus mean has: Goldstein's κ at the tip, Prandtl's at the root.
///
/// Linear between tabulated values of κ over Prandtl's factor and in 1/N²; above six blades the difference falls as
/// 1/N², one blade is taken as two, λ above 1 as 1. Inside 0.3 R the ratio of 0.3 R serves: nearer to the axis Goldstein's blades
/// run on through it, where a hub is.
#[must_use]
pub fn goldstein_factor(blades: f64, radius: f64, root: f64, tip: f64, sin_inflow: f64) -> f64 {
    let sin = sin_inflow.abs().min(1.0);
    let tangent = sin / (1.0 - sin * sin).sqrt().max(1e-9);
    prandtl_factor(blades, radius, root, tip, sin_inflow)
        * ratio(blades, radius / tip, radius / tip * tangent)
}

fn ratio(blades: f64, x: f64, advance: f64) -> f64 {
    let (i, s) = place(&ADVANCE, advance);
    let (j, t) = place(&RADIUS, x);
    let at = |row: usize| {
        let table = &RATIO[row];
        let near = table[i][j] + t * (table[i][j + 1] - table[i][j]);
        let far = table[i + 1][j] + t * (table[i + 1][j + 1] - table[i + 1][j]);
        near + s * (far - near)
    };
    let last = BLADES.len() - 1;
    if blades >= BLADES[last] {
        return 1.0 + (at(last) - 1.0) * (BLADES[last] / blades).powi(2);
    }
    let above = BLADES.iter().position(|b| *b > blades).unwrap_or(last).max(1);
    let inverse = |count: f64| 1.0 / (count * count);
    let (low, high) = (BLADES[above - 1], BLADES[above]);
    let part = ((inverse(blades) - inverse(low)) / (inverse(high) - inverse(low))).max(0.0);
    at(above - 1) + part * (at(above) - at(above - 1))
}

/// Interval of a rising list in which a value lies and the part of the way through it, ends held.
fn place(list: &[f64], value: f64) -> (usize, f64) {
    let after = list.partition_point(|v| *v <= value).clamp(1, list.len() - 1);
    let part = (value - list[after - 1]) / (list[after] - list[after - 1]);
    (after - 1, part.clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// κ at a place of a propeller of radius 1 with a root too small to matter.
    fn kappa(blades: f64, x: f64, advance: f64) -> f64 {
        goldstein_factor(blades, x, 1e-3, 1.0, (advance / x).atan().sin())
    }

    /// Goldstein's problem solved anew (error below 3e-4), for three blades at λ = 0.2, and two at 0.3.
    #[test]
    fn val_goldstein_circulation() {
        for (x, expected) in [(0.5, 0.9620), (0.7, 0.9123), (0.8, 0.8342), (0.9, 0.6634)] {
            assert_relative_eq!(kappa(3.0, x, 0.2), expected, epsilon = 3e-4);
        }
    }

    #[test]
    fn it_is_prandtls_factor_for_slow_wakes_and_many_blades() {
        for x in [0.3, 0.7, 0.95] {
            let prandtl =
                |blades, advance: f64| prandtl_factor(blades, x, 1e-3, 1.0, (advance / x).atan().sin());
            assert_relative_eq!(kappa(2.0, x, 1e-6), prandtl(2.0, 1e-6), max_relative = 1e-5);
            assert_relative_eq!(kappa(60.0, x, 0.3), prandtl(60.0, 0.3), max_relative = 1e-3);
        }
    }

    #[test]
    fn it_lies_between_its_neighbours_and_is_continuous() {
        for advance in [0.1, 0.33, 0.8] {
            let at = |blades| kappa(blades, 0.7, advance);
            assert!(at(4.0) < at(5.0) && at(5.0) < at(6.0) && at(6.0) < at(7.0) && at(7.0) < 1.0);
            assert_relative_eq!(
                at(1.0) / prandtl_factor(1.0, 0.7, 1e-3, 1.0, (advance / 0.7).atan().sin()),
                at(2.0) / prandtl_factor(2.0, 0.7, 1e-3, 1.0, (advance / 0.7).atan().sin()),
                max_relative = 1e-12
            );
        }
        let mut before = kappa(2.0, 0.21, 0.21);
        for i in 1..=400 {
            let now = kappa(2.0, 0.21 + 0.001 * f64::from(i), 0.21 + 0.002 * f64::from(i));
            assert!((now / before - 1.0).abs() < 0.01, "{i}: {before} {now}");
            before = now;
        }
        for sin in [0.0, 1.0, -0.5] {
            assert!(goldstein_factor(2.0, 0.7, 0.1, 1.0, sin) > 0.0);
        }
    }
}
