//! Tabulated sections.

use super::{Coefficients, SectionModel, lift_factor};
use crate::base::pchip::Pchip;
use crate::point::input::{Compressibility, SectionTable};

/// A table at one station's Reynolds and Mach number, as smooth curves over angle.
///
/// Reynolds number is interpolated in its logarithm, Mach number linearly, angle by a
/// shape-preserving cubic. Outside the table the nearest row holds (the solver warns). A table with
/// a single Mach number M₁ is carried to other Mach numbers by √(1 − M₁²)/√(1 − M²) on lift where
/// the Prandtl–Glauert rule is chosen; a table with several is taken as it stands.
#[derive(Debug, Clone)]
pub struct PolarSlice {
    lift: Pchip,
    drag: Pchip,
    rule: Compressibility,
    reference_factor: f64,
}

impl PolarSlice {
    /// The slice of `table` at a Reynolds number and a Mach number.
    #[must_use]
    pub fn new(table: &SectionTable, rule: Compressibility, reynolds: f64, mach: f64) -> Self {
        let logs: Vec<f64> = table.reynolds.iter().map(|r| r.max(1.0).ln()).collect();
        let (re, re_part) = bracket(&logs, reynolds.max(1.0).ln());
        let (ma, ma_part) = bracket(&table.mach, mach);
        let row = |r: usize, m: usize, i: usize| (r * table.mach.len() + m) * table.angle_rad.len() + i;
        let next_re = (re + 1).min(logs.len() - 1);
        let next_ma = (ma + 1).min(table.mach.len() - 1);
        let blend = |column: &[f64]| {
            let values = (0..table.angle_rad.len()).map(|i| {
                let at =
                    |r: usize| column[row(r, ma, i)] * (1.0 - ma_part) + column[row(r, next_ma, i)] * ma_part;
                at(re) * (1.0 - re_part) + at(next_re) * re_part
            });
            Pchip::new(table.angle_rad.clone(), values.collect())
        };
        let single = table.mach.len() == 1;
        let rule = if single { rule } else { Compressibility::None };
        let reference_factor = 1.0 / lift_factor(rule, table.mach[0]);
        Self { lift: blend(&table.lift), drag: blend(&table.drag), rule, reference_factor }
    }
}

impl PolarSlice {
    /// Angles of attack, rad, of the least and the greatest lift next to zero lift; the ends of the table where there is none.
    #[must_use]
    pub fn unstalled_rad(&self) -> (f64, f64) {
        let (angle, lift) = self.lift.rows();
        let last = angle.len() - 1;
        let zero = (0..=last).min_by(|a, b| {
            // Zero lift between ±90 deg: reversed flow has another.
            let off = |i: &usize| if angle[*i].cos() > 0.0 { lift[*i].abs() } else { f64::INFINITY };
            off(a).total_cmp(&off(b))
        });
        let zero = zero.unwrap_or_default();
        let high = (zero..last).find(|i| lift[i + 1] < lift[*i]).unwrap_or(last);
        let low = (1..=zero).rev().find(|i| lift[i - 1] > lift[*i]).unwrap_or(0);
        (angle[low], angle[high])
    }
}

impl SectionModel for PolarSlice {
    fn coefficients(&self, angle_rad: f64, mach: f64) -> Coefficients {
        let factor = lift_factor(self.rule, mach) * self.reference_factor;
        Coefficients { lift: factor * self.lift.at(angle_rad), drag: self.drag.at(angle_rad) }
    }
}

/// Interval of an increasing list that holds `x`, and the part of the way through it; ends are held.
fn bracket(list: &[f64], x: f64) -> (usize, f64) {
    let last = list.len() - 1;
    if last == 0 || x <= list[0] {
        return (0, 0.0);
    }
    if x >= list[last] {
        return (last, 0.0);
    }
    let i = list.partition_point(|&v| v <= x) - 1;
    (i, (x - list[i]) / (list[i + 1] - list[i]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use std::f64::consts::PI;

    #[test]
    fn rows_come_back_and_reynolds_is_interpolated_in_its_logarithm() {
        let angle: Vec<f64> = (-20..=20).map(|i| f64::from(i) * PI / 20.0).collect();
        let n = angle.len();
        let lift: Vec<f64> =
            (0..2 * n).map(|i| if i < n { angle[i].sin() } else { 3.0 * angle[i - n].sin() }).collect();
        let table = SectionTable {
            reynolds: vec![1e4, 1e6],
            mach: vec![0.0],
            angle_rad: angle.clone(),
            drag: vec![0.01; 2 * n],
            moment: vec![0.0; 2 * n],
            lift,
        };
        let at =
            |re| PolarSlice::new(&table, Compressibility::None, re, 0.0).coefficients(angle[25], 0.3).lift;
        assert_relative_eq!(at(1e4), angle[25].sin(), epsilon = 1e-14);
        assert_relative_eq!(at(1e5), 2.0 * angle[25].sin(), epsilon = 1e-13);
        assert_relative_eq!(at(1e9), 3.0 * angle[25].sin(), epsilon = 1e-14);
        let fast = PolarSlice::new(&table, Compressibility::PrandtlGlauert, 1e4, 0.0);
        assert_relative_eq!(fast.coefficients(angle[25], 0.6).lift, angle[25].sin() / 0.8, epsilon = 1e-13);
    }
}
