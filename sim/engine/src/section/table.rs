//! Tabulated sections.

use super::{Coefficients, SectionModel, lift_factor};
use crate::base::pchip::Pchip;
use crate::point::input::{Compressibility, SectionTable};

/// A table at one station's Reynolds and Mach number, as smooth curves over angle.
///
/// Reynolds number is interpolated in its logarithm, Mach number linearly, angle by a
/// shape-preserving cubic. Outside the table the nearest row holds (the solver warns). A table with
/// a single Mach number M₁ is carried to other Mach numbers by f = √(1 − M₁²)/√(1 − M²) where
/// the Prandtl–Glauert rule is chosen; a table with several is taken as it stands. The rule is one of attached flow: it stretches the
/// angle from zero lift by f up to the greatest lift, which stays, and from there on less and less; at twice the stall's angle from zero
/// lift the table is read as it stands.
#[derive(Debug, Clone)]
pub struct PolarSlice {
    lift: Pchip,
    drag: Pchip,
    rule: Compressibility,
    reference_factor: f64,
    /// Angle of zero lift, rad.
    zero_lift_rad: f64,
    /// Angles of the least and the greatest lift next to it, rad.
    unstalled_rad: (f64, f64),
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
        let lift = blend(&table.lift);
        let (zero_lift_rad, unstalled_rad) = attached(&lift);
        Self { lift, drag: blend(&table.drag), rule, reference_factor, zero_lift_rad, unstalled_rad }
    }

    /// Angles of attack, rad, of the least and the greatest lift next to zero lift at a Mach number; the ends of the table where there is
    /// none.
    #[must_use]
    pub fn unstalled_rad(&self, mach: f64) -> (f64, f64) {
        let factor = self.factor(mach);
        let (zero, (low, high)) = (self.zero_lift_rad, self.unstalled_rad);
        (zero + (low - zero) / factor, zero + (high - zero) / factor)
    }

    /// By how much attached lift grows from the Mach number of the table to another.
    fn factor(&self, mach: f64) -> f64 {
        lift_factor(self.rule, mach) * self.reference_factor
    }

    /// The angle at which the table is read in place of another where attached lift grows by `factor`, rad.
    fn stretched_rad(&self, angle_rad: f64, factor: f64) -> f64 {
        let off = angle_rad - self.zero_lift_rad;
        let (low, high) = self.unstalled_rad;
        let reach = if off >= 0.0 { high - self.zero_lift_rad } else { self.zero_lift_rad - low };
        let (size, at_stall) = (off.abs(), reach / factor);
        let read = if size <= at_stall {
            size * factor
        } else if size < 2.0 * reach {
            reach + (size - at_stall) * reach / (2.0 * reach - at_stall)
        } else {
            size
        };
        self.zero_lift_rad + read.copysign(off)
    }
}

/// Angle of zero lift and those of the least and the greatest lift next to it, rad, among the rows of a lift curve.
fn attached(curve: &Pchip) -> (f64, (f64, f64)) {
    let (angle, lift) = curve.rows();
    let last = angle.len() - 1;
    // Zero lift between ±90 deg: reversed flow has another.
    let off = |i: &usize| if angle[*i].cos() > 0.0 { lift[*i].abs() } else { f64::INFINITY };
    let nearest = (0..=last).min_by(|a, b| off(a).total_cmp(&off(b))).unwrap_or_default();
    let high = (nearest..last).find(|i| lift[i + 1] < lift[*i]).unwrap_or(last);
    let low = (1..=nearest).rev().find(|i| lift[i - 1] > lift[*i]).unwrap_or(0);
    let beyond = if lift[nearest] > 0.0 { nearest.saturating_sub(1) } else { (nearest + 1).min(last) };
    let rise = lift[beyond] - lift[nearest];
    let share = if rise == 0.0 { 0.0 } else { (-lift[nearest] / rise).clamp(0.0, 1.0) };
    (angle[nearest] + share * (angle[beyond] - angle[nearest]), (angle[low], angle[high]))
}

impl SectionModel for PolarSlice {
    fn coefficients(&self, angle_rad: f64, mach: f64) -> Coefficients {
        let factor = self.factor(mach);
        let angle_rad = if factor == 1.0 { angle_rad } else { self.stretched_rad(angle_rad, factor) };
        Coefficients { lift: self.lift.at(angle_rad), drag: self.drag.at(angle_rad) }
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
    }

    /// The rule of attached flow steepens the lift line, leaves the greatest lift and what is past stall, and makes no step.
    #[test]
    fn prandtl_and_glauert_reach_no_further_than_the_greatest_lift() {
        let angle: Vec<f64> = (-180..=180).map(|i| f64::from(i).to_radians()).collect();
        let zero = (-2.0_f64).to_radians();
        let lift = |a: &f64| {
            let line = 5.7 * (a - zero);
            if line.abs() < 1.2 { line } else { 0.9 * (2.0 * a).sin() }
        };
        let table = SectionTable {
            reynolds: vec![1e5],
            mach: vec![0.0],
            lift: angle.iter().map(lift).collect(),
            drag: vec![0.01; angle.len()],
            moment: vec![0.0; angle.len()],
            angle_rad: angle,
        };
        let fast = PolarSlice::new(&table, Compressibility::PrandtlGlauert, 1e5, 0.0);
        let at = |deg: f64, mach: f64| fast.coefficients(deg.to_radians(), mach).lift;
        for deg in [-8.0, -2.0, 1.3, 6.0] {
            let line = 5.7 * (deg + 2.0_f64).to_radians();
            assert_relative_eq!(at(deg, 0.6), line / 0.8, epsilon = 1e-9);
        }
        let greatest = |mach: f64| (0..400).map(|i| at(f64::from(i) * 0.05, mach)).fold(0.0, f64::max);
        assert_relative_eq!(greatest(0.6), greatest(0.0), max_relative = 1e-3);
        for deg in [30.0, 90.0, -60.0, 170.0] {
            assert_eq!(at(deg, 0.6), at(deg, 0.0));
        }
        let place = |i: i32| f64::from(i) * 0.01;
        let steps = (-3000..3000)
            .map(|i| (fast.stretched_rad(place(i + 1), 1.25) - fast.stretched_rad(place(i), 1.25)) / 0.01);
        assert!(steps.clone().all(|slope| slope > 0.0 && slope < 1.26));
    }
}
