//! Cubic splines with continuous second derivative, on a line, on a circle and on a grid.
//!
//! Slopes follow from the tridiagonal system of the spline with not-a-knot ends (C. de Boor, A Practical Guide to
//! Splines, chapter IV); fourth-order accurate. A grid is the tensor product: splines of splines.

/// Nodes repeated on each side of a circle. What happens at an end of a spline fades by 2 − √3 a node, so that
/// 32 nodes leave 5e-19 of it.
const WRAP: usize = 32;

/// Slopes of the not-a-knot spline through `(x, y)`; x strictly increasing. One point has slope 0, two are a straight
/// line, three a parabola.
#[must_use]
pub fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let n = x.len();
    if n < 2 {
        return vec![0.0; n];
    }
    let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let d: Vec<f64> = (0..n - 1).map(|i| (y[i + 1] - y[i]) / h[i]).collect();
    if n == 2 {
        return vec![d[0]; 2];
    }
    if n == 3 {
        let middle = (h[1] * d[0] + h[0] * d[1]) / (h[0] + h[1]);
        return vec![2.0 * d[0] - middle, middle, 2.0 * d[1] - middle];
    }
    let (mut below, mut on, mut above) = (vec![0.0; n], vec![0.0; n], vec![0.0; n]);
    let mut right = vec![0.0; n];
    for i in 1..n - 1 {
        (below[i], on[i], above[i]) = (h[i], 2.0 * (h[i - 1] + h[i]), h[i - 1]);
        right[i] = 3.0 * (h[i] * d[i - 1] + h[i - 1] * d[i]);
    }
    let first = h[0] + h[1];
    (on[0], above[0]) = (h[1], first);
    right[0] = ((h[0] + 2.0 * first) * h[1] * d[0] + h[0] * h[0] * d[1]) / first;
    let (a, b) = (h[n - 2], h[n - 3]);
    let last = a + b;
    (on[n - 1], below[n - 1]) = (b, last);
    right[n - 1] = (a * a * d[n - 3] + (2.0 * last + a) * b * d[n - 2]) / last;
    for i in 1..n {
        let factor = below[i] / on[i - 1];
        on[i] -= factor * above[i - 1];
        right[i] -= factor * right[i - 1];
    }
    let mut slope = right;
    slope[n - 1] /= on[n - 1];
    for i in (0..n - 1).rev() {
        slope[i] = (slope[i] - above[i] * slope[i + 1]) / on[i];
    }
    slope
}

/// Slopes of the spline through points on a circle of the given period; x strictly increasing within one period.
#[must_use]
pub fn periodic_slopes(x: &[f64], y: &[f64], period: f64) -> Vec<f64> {
    let n = x.len();
    if n < 2 {
        return vec![0.0; n];
    }
    let laps = WRAP.div_ceil(n);
    let lap = |k: usize| (k / n) as f64 - laps as f64;
    let total = n * (2 * laps + 1);
    let wide: Vec<f64> = (0..total).map(|k| x[k % n] + period * lap(k)).collect();
    let values: Vec<f64> = (0..total).map(|k| y[k % n]).collect();
    slopes(&wide, &values)[n * laps..n * (laps + 1)].to_vec()
}

/// `C` functions of two variables on one grid.
#[derive(Debug, Clone, PartialEq)]
pub struct Bicubic<const C: usize> {
    x: Vec<f64>,
    y: Vec<f64>,
    period: Option<f64>,
    /// Value, slope in x, slope in y and mixed slope of each function, at `[i_x * y.len() + i_y]`.
    nodes: Vec<[[f64; 4]; C]>,
}

impl<const C: usize> Bicubic<C> {
    /// Spline through `values[i_x * y.len() + i_y]`. Both axes strictly increasing, one node or more; with a `period`
    /// y lies on a circle. (Lengths are checked where tables are read.)
    #[must_use]
    pub fn new(x: Vec<f64>, y: Vec<f64>, period: Option<f64>, values: &[[f64; C]]) -> Self {
        let (nx, ny) = (x.len(), y.len());
        let mut nodes: Vec<[[f64; 4]; C]> = values.iter().map(|v| v.map(|f| [f, 0.0, 0.0, 0.0])).collect();
        let along_y = |line: &[f64]| match period {
            Some(period) => periodic_slopes(&y, line, period),
            None => slopes(&y, line),
        };
        let part = |nodes: &[[[f64; 4]; C]], at: usize, c: usize, from: usize| nodes[at][c][from];
        for c in 0..C {
            for iy in 0..ny {
                let line: Vec<f64> = (0..nx).map(|ix| part(&nodes, ix * ny + iy, c, 0)).collect();
                for (ix, slope) in slopes(&x, &line).into_iter().enumerate() {
                    nodes[ix * ny + iy][c][1] = slope;
                }
            }
            for ix in 0..nx {
                for (from, to) in [(0, 2), (1, 3)] {
                    let line: Vec<f64> = (0..ny).map(|iy| part(&nodes, ix * ny + iy, c, from)).collect();
                    for (iy, slope) in along_y(&line).into_iter().enumerate() {
                        nodes[ix * ny + iy][c][to] = slope;
                    }
                }
            }
        }
        Self { x, y, period, nodes }
    }

    /// The functions at a point; outside the grid the values at its edge hold.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> [f64; C] {
        let (ix, wx) = weights(&self.x, None, x);
        let (iy, wy) = weights(&self.y, self.period, y);
        let ny = self.y.len();
        let mut out = [0.0; C];
        for a in 0..2 {
            for b in 0..2 {
                let node = &self.nodes[ix[a] * ny + iy[b]];
                let (w, v) = (wx[a][0] * wy[b][0], wx[a][1] * wy[b][0]);
                let (p, q) = (wx[a][0] * wy[b][1], wx[a][1] * wy[b][1]);
                for (sum, f) in out.iter_mut().zip(node) {
                    *sum += w * f[0] + v * f[1] + p * f[2] + q * f[3];
                }
            }
        }
        out
    }
}

/// Neighbours of a value on an axis and the Hermite weights of their values and slopes.
fn weights(axis: &[f64], period: Option<f64>, value: f64) -> ([usize; 2], [[f64; 2]; 2]) {
    let last = axis.len() - 1;
    let value = match period {
        Some(period) => axis[0] + (value - axis[0]).rem_euclid(period),
        None => value.clamp(axis[0], axis[last]),
    };
    let i = axis.partition_point(|&node| node <= value).saturating_sub(1);
    let (next, h) = match (i < last, period) {
        (true, _) => (i + 1, axis[i + 1] - axis[i]),
        (false, Some(period)) => (0, axis[0] + period - axis[last]),
        (false, None) => (last, 1.0),
    };
    let t = (value - axis[i]) / h;
    let s = 1.0 - t;
    let (own, other) = (s * s * (1.0 + 2.0 * t), t * t * (1.0 + 2.0 * s));
    ([i, next], [[own, h * t * s * s], [other, -h * s * t * t]])
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::f64::consts::TAU;

    #[test]
    fn cubic_in_both_directions_is_exact() {
        let f = |x: f64, y: f64| (1.0 + x - 2.0 * x.powi(3)) * (0.5 - y * y + y.powi(3));
        let (x, y) = (vec![0.0, 0.4, 0.5, 1.0, 1.3], vec![-1.0, 0.2, 0.5, 0.9]);
        let values: Vec<[f64; 1]> = x.iter().flat_map(|a| y.iter().map(|b| [f(*a, *b)])).collect();
        let table = Bicubic::new(x, y, None, &values);
        for (a, b) in [(0.1, -0.5), (0.45, 0.3), (1.3, 0.9), (0.9, 0.0)] {
            assert_relative_eq!(table.at(a, b)[0], f(a, b), epsilon = 1e-12);
        }
        // Beyond the grid the edge holds.
        assert_relative_eq!(table.at(9.0, 0.2)[0], f(1.3, 0.2), epsilon = 1e-12);
    }

    #[test]
    fn short_lines_are_straight_or_parabolic() {
        assert_eq!(slopes(&[1.0], &[3.0]), vec![0.0]);
        assert_eq!(slopes(&[1.0, 3.0], &[0.0, 4.0]), vec![2.0, 2.0]);
        let parabola = slopes(&[0.0, 1.0, 3.0], &[0.0, 1.0, 9.0]);
        for (slope, x) in parabola.iter().zip([0.0, 1.0, 3.0]) {
            assert_relative_eq!(*slope, 2.0 * x, epsilon = 1e-14);
        }
    }

    #[test]
    fn circle_is_smooth_across_its_seam_and_fourth_order() {
        let error = |count: usize| {
            let y: Vec<f64> = (0..count).map(|i| 0.3 + TAU * i as f64 / count as f64).collect();
            let values: Vec<[f64; 1]> = y.iter().map(|a| [(3.0 * a).sin()]).collect();
            let circle = Bicubic::new(vec![0.0], y, Some(TAU), &values);
            let at = |i: u32| TAU * f64::from(i) / 1000.0 - 2.0;
            (0..1000).map(|i| (circle.at(5.0, at(i))[0] - (3.0 * at(i)).sin()).abs()).fold(0.0, f64::max)
        };
        let ratio = error(40) / error(80);
        assert!((14.0..18.0).contains(&ratio), "{ratio}");
        // The seam is no end: 40 nodes on three waves leave (3h)⁴/384, h the spacing.
        assert!(error(40) < 1.2 * (3.0 * TAU / 40.0).powi(4) / 384.0, "{}", error(40));
    }
}
