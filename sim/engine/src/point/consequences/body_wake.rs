//! Where a body's tail and wake lie against the disk.

use super::scalar;
use crate::air::standard_air;
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::inflow::RoundWake;
use crate::point::bodies::wake_source;
use crate::point::input::{Body, OperatingPoint};
use crate::point::result::Scalar;

/// Gap behind the tail, and place, depth and width of the wake at the hub. The wake's part is empty where there is none.
pub(super) fn body_wake(body: &Body, point: &OperatingPoint) -> Vec<Scalar> {
    let name = &body.name;
    let radius_m = 0.5 * point.propeller.diameter_m;
    let hub_m = &point.placement.hub_m;
    let gap_m = hub_m.x - body.nose_m.x - body.length_m;
    let mut all = vec![scalar(
        format!("{name}_tail_gap_diameters"),
        "1",
        format!("hub aft of the tail of `{name}`, in propeller diameters"),
        0.5 * gap_m / radius_m,
    )];
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
    // A field that cannot be found is reported by the run; here it only leaves the wake unknown.
    let source = wake_source(body, point, &air, &free_stream_m_s(&point.flight), &disk);
    let Some(seen) = source.ok().flatten().and_then(|source| source.seen_from(hub_m)) else { return all };
    all.extend([
        scalar(
            format!("{name}_wake_offset_radii"),
            "1",
            format!("shaft aside of the wake's axis of `{name}`, in propeller radii"),
            seen.from_axis_m.norm() / radius_m,
        ),
        scalar(
            format!("{name}_wake_deficit"),
            "1",
            format!("deepest velocity deficit in the wake of `{name}` over edge speed"),
            seen.wake.peak,
        ),
        scalar(
            format!("{name}_wake_spread_m"),
            "m",
            format!("spread of the Gaussian wake of `{name}`"),
            seen.wake.spread_m,
        ),
    ]);
    all
}
