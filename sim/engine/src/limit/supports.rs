//! How a static load is shared among supports: each gives in proportion to its stiffness, the powerplant and the base are rigid.
//!
//! Equal bolts on a circle share as the textbook's bolt group does: f_x = F_x/N + M_y z/Σz² − M_z y/Σy² and so on.

use nalgebra::{LU, Matrix3, Matrix6, U6, Vector6};

use super::input::Support;
use crate::base::Vec3;

/// Pivot over the largest below which supports count as leaving a motion free; round-off is 1e-16 times the condition.
const SINGULAR: f64 = 1e-11;

/// Supports ready to share loads.
#[derive(Debug, Clone)]
pub struct SupportGroup<'a> {
    supports: &'a [Support],
    /// Middle of the supports, shaft axes from the hub, m.
    pub middle_m: Vec3,
    /// Length that makes rotations and shifts alike, m.
    length_m: f64,
    factors: LU<f64, U6, U6>,
}

/// Matrix of the cross product p ×.
fn cross(p: Vec3) -> Matrix3<f64> {
    Matrix3::new(0.0, -p.z, p.y, p.z, 0.0, -p.x, -p.y, p.x, 0.0)
}

impl<'a> SupportGroup<'a> {
    /// Prepares supports; `None` where they leave a motion free (fewer than three, or all in one line without a stiffness that
    /// holds the rotation about it).
    #[must_use]
    pub fn new(supports: &'a [Support]) -> Option<Self> {
        let count = supports.len() as f64;
        let middle_m = supports.iter().map(|s| s.position_m).sum::<Vec3>() / count.max(1.0);
        let length_m = supports.iter().map(|s| (s.position_m - middle_m).norm()).fold(0.0, f64::max);
        let length_m = if length_m > 0.0 { length_m } else { 1.0 };
        let mut stiffness = Matrix6::zeros();
        for support in supports {
            let arm = cross((support.position_m - middle_m) / length_m);
            let k = support.stiffness_n_m;
            // Shift of the support: u + θ × p = u − [p]× θ.
            let mut add = |row: usize, column: usize, part: Matrix3<f64>| {
                let mut view = stiffness.fixed_view_mut::<3, 3>(row, column);
                view += part;
            };
            add(0, 0, k);
            add(0, 3, -k * arm);
            add(3, 0, arm * k);
            add(3, 3, -arm * k * arm);
        }
        let factors = stiffness.lu();
        let pivots = factors.u().diagonal().abs();
        (pivots.min() > SINGULAR * pivots.max()).then_some(Self { supports, middle_m, length_m, factors })
    }

    /// Force of the powerplant on each support, N, under a force, N, and a moment about the middle, N m.
    #[must_use]
    pub fn share(&self, force_n: Vec3, moment_n_m: Vec3) -> Vec<Vec3> {
        let moment = moment_n_m / self.length_m;
        let load = Vector6::new(force_n.x, force_n.y, force_n.z, moment.x, moment.y, moment.z);
        // The pivots were looked at: there is a solution.
        let shift = self.factors.solve(&load).unwrap_or_else(Vector6::zeros);
        let (u, turn) = (Vec3::new(shift[0], shift[1], shift[2]), Vec3::new(shift[3], shift[4], shift[5]));
        let at = |s: &Support| {
            s.stiffness_n_m * (u + turn.cross(&((s.position_m - self.middle_m) / self.length_m)))
        };
        self.supports.iter().map(at).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn support(x: f64, y: f64, z: f64, k: Vec3) -> Support {
        let name = format!("at {x} {y} {z}");
        Support { name, position_m: Vec3::new(x, y, z), stiffness_n_m: Matrix3::from_diagonal(&k) }
    }

    /// Forces and moments of the supports add up to the load, whatever their stiffness.
    #[test]
    fn what_is_shared_adds_up() {
        let supports = [
            support(-0.10, 0.03, 0.02, Vec3::new(9e4, 2e4, 3e4)),
            support(-0.12, -0.04, 0.02, Vec3::new(5e4, 2e4, 2e4)),
            support(-0.11, 0.0, -0.05, Vec3::new(7e4, 6e4, 2e4)),
        ];
        let group = SupportGroup::new(&supports).unwrap();
        let (force, moment) = (Vec3::new(-42.0, 14.0, -30.0), Vec3::new(1.3, 1.5, -0.7));
        let shared = group.share(force, moment);
        let sum: Vec3 = shared.iter().sum();
        let turn: Vec3 =
            shared.iter().zip(&supports).map(|(f, s)| (s.position_m - group.middle_m).cross(f)).sum();
        assert!((sum - force).norm() < 1e-11 && (turn - moment).norm() < 1e-12, "{sum} {turn}");
    }

    #[test]
    fn supports_in_one_line_leave_a_rotation_free() {
        let k = Vec3::new(1e5, 1e5, 1e5);
        let line = [support(0.0, 0.03, 0.0, k), support(0.0, -0.03, 0.0, k), support(0.0, 0.0, 0.0, k)];
        assert!(SupportGroup::new(&line).is_none());
        assert!(SupportGroup::new(&[]).is_none());
    }
}
