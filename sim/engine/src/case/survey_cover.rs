//! Whether a survey covers the disk from blade root to tip.

use crate::frames::DiskAxes;
use crate::point::input::{Placement, Propeller, SurveyData};
use std::f64::consts::TAU;

/// Room for positions rounded in print, over tip radius.
const ROUNDING: f64 = 1e-6;

/// What a survey leaves out.
pub(super) struct Uncovered {
    pub what: String,
    pub allowed: String,
}

/// The first part of the disk a survey leaves out; `None` where it covers all of it.
pub(super) fn uncovered(
    data: &SurveyData,
    propeller: &Propeller,
    placement: &Placement,
) -> Option<Uncovered> {
    match data {
        SurveyData::Cartesian { y_m, z_m, .. } => rectangle(y_m, z_m, propeller, placement),
        SurveyData::Polar { radius_ratio, .. } | SurveyData::Fourier { radius_ratio, .. } => {
            radii(radius_ratio, propeller.blade.rows.first()?.radius_ratio)
        }
    }
}

fn radii(radius_ratio: &[f64], root: f64) -> Option<Uncovered> {
    let (first, last) = (*radius_ratio.first()?, *radius_ratio.last()?);
    let missing = if first > root + ROUNDING {
        format!("radius ratio {root}, the blade root, lies inside its first radius ratio {first}")
    } else if last < 1.0 - ROUNDING {
        format!("radius ratio 1, the tip, lies outside its last radius ratio {last}")
    } else {
        return None;
    };
    Some(Uncovered { what: missing, allowed: format!("radius ratios from {root} or less to 1 or more") })
}

fn rectangle(y_m: &[f64], z_m: &[f64], propeller: &Propeller, placement: &Placement) -> Option<Uncovered> {
    let disk = DiskAxes::new(placement, propeller.rotation);
    let tip_m = 0.5 * propeller.diameter_m;
    let room = ROUNDING * tip_m;
    let outside = |axis: &[f64], at: f64| at < axis[0] - room || at > axis[axis.len() - 1] + room;
    // The rim reaches furthest in every direction; where it reaches furthest outside is named.
    let beyond = |axis: &[f64], at: f64| (axis[0] - at).max(at - axis[axis.len() - 1]);
    let rim = (0..360).map(|i| disk.point_m(tip_m, TAU * f64::from(i) / 360.0));
    let worst = rim.filter(|p| outside(y_m, p.y) || outside(z_m, p.z)).max_by(|a, b| {
        let far = |p: &crate::base::Vec3| beyond(y_m, p.y).max(beyond(z_m, p.z));
        far(a).total_cmp(&far(b))
    })?;
    let ends = |axis: &[f64]| (axis[0], axis[axis.len() - 1]);
    let ((y0, y1), (z0, z1)) = (ends(y_m), ends(z_m));
    let extent = |unit: f64| tip_m * (1.0 - unit * unit).max(0.0).sqrt();
    let (hub, aft) = (&disk.hub_m, &disk.aft);
    Some(Uncovered {
        what: format!(
            "y {:.4} m, z {:.4} m on the tip circle lies outside its y from {y0} to {y1} m and z from {z0} to {z1} m",
            worst.y, worst.z
        ),
        allowed: format!(
            "y_m from {:.4} or less to {:.4} or more, z_m from {:.4} or less to {:.4} or more",
            hub.y - extent(aft.y),
            hub.y + extent(aft.y),
            hub.z - extent(aft.z),
            hub.z + extent(aft.z)
        ),
    })
}
