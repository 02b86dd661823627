//! Shape-preserving cubic interpolation of tables.
//!
//! Fritsch and Butland's limited slopes (SIAM J. Sci. Stat. Comput. 5, 1984, 300–304): continuous
//! first derivative, no overshoot between rows, third-order accurate where the data are smooth.

/// A monotone piecewise-cubic interpolant.
#[derive(Debug, Clone, PartialEq)]
pub struct Pchip {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl Pchip {
    /// Interpolant through `(x, y)`; x strictly increasing, two rows or more, equal lengths (checked where
    /// tables are read).
    #[must_use]
    pub fn new(x: Vec<f64>, y: Vec<f64>) -> Self {
        let n = x.len();
        let step: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
        let secant: Vec<f64> = y.windows(2).zip(&step).map(|(w, h)| (w[1] - w[0]) / h).collect();
        let mut slope = vec![0.0; n];
        if n == 2 {
            slope.fill(secant[0]);
        } else {
            for i in 1..n - 1 {
                if secant[i - 1] * secant[i] > 0.0 {
                    let (w1, w2) = (2.0 * step[i] + step[i - 1], step[i] + 2.0 * step[i - 1]);
                    slope[i] = (w1 + w2) / (w1 / secant[i - 1] + w2 / secant[i]);
                }
            }
            slope[0] = end_slope(step[0], step[1], secant[0], secant[1]);
            slope[n - 1] = end_slope(step[n - 2], step[n - 3], secant[n - 2], secant[n - 3]);
        }
        Self { x, y, slope }
    }

    /// Value at `x`; the end values hold outside the table.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        let last = self.x.len() - 1;
        if x <= self.x[0] {
            return self.y[0];
        }
        if x >= self.x[last] {
            return self.y[last];
        }
        let i = self.x.partition_point(|&v| v <= x) - 1;
        let h = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / h;
        let (a, b) = (1.0 - t, t);
        let (a2, b2) = (a * a, b * b);
        self.y[i] * a2 * (1.0 + 2.0 * b)
            + self.y[i + 1] * b2 * (1.0 + 2.0 * a)
            + h * (self.slope[i] * a2 * b - self.slope[i + 1] * b2 * a)
    }

    /// Slope at `x`; that of the ends outside the table.
    #[must_use]
    pub fn slope_at(&self, x: f64) -> f64 {
        let last = self.x.len() - 1;
        let i = self.x.partition_point(|&v| v <= x).clamp(1, last) - 1;
        let h = self.x[i + 1] - self.x[i];
        let t = ((x - self.x[i]) / h).clamp(0.0, 1.0);
        let secant = (self.y[i + 1] - self.y[i]) / h;
        6.0 * t * (1.0 - t) * secant
            + (1.0 - t) * (1.0 - 3.0 * t) * self.slope[i]
            + t * (3.0 * t - 2.0) * self.slope[i + 1]
    }

    /// The rows it goes through.
    #[must_use]
    pub fn rows(&self) -> (&[f64], &[f64]) {
        (&self.x, &self.y)
    }
}

/// Three-point end slope, limited so that the curve keeps the sense of the data.
fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let s = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if s * d0 <= 0.0 {
        0.0
    } else if d0 * d1 < 0.0 && s.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        s
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn straight_data_stay_straight_and_steps_do_not_overshoot() {
        let line = Pchip::new(vec![0.0, 0.3, 1.0], vec![1.0, 1.6, 3.0]);
        assert_relative_eq!(line.at(0.77), 2.54, epsilon = 1e-14);
        assert_relative_eq!(line.slope_at(0.77), 2.0, epsilon = 1e-13);
        let curve = Pchip::new(vec![0.0, 0.5, 1.1, 2.0], vec![0.0, 0.4, 1.3, 1.5]);
        for x in [0.1, 0.7, 1.6] {
            let across = (curve.at(x + 1e-5) - curve.at(x - 1e-5)) / 2e-5;
            assert_relative_eq!(curve.slope_at(x), across, max_relative = 1e-8);
        }
        let step = Pchip::new(vec![0.0, 1.0, 2.0, 3.0], vec![0.0, 0.0, 1.0, 1.0]);
        for i in 0..=300 {
            let y = step.at(f64::from(i) * 0.01);
            assert!((0.0..=1.0).contains(&y));
        }
    }
}
