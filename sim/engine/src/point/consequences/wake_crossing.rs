//! How a blade crosses the wake of a surface.

use std::f64::consts::LN_2;

use super::{TYPICAL_RADIUS_RATIO, azimuth_cell_m, scalar, typical_chord_m, typical_speed_m_s};
use crate::frames::DiskAxes;
use crate::inflow::InflowSource;
use crate::inflow::surface_at_disk::SurfaceAtDisk;
use crate::inflow::surface_wake::SurfaceWakeSource;
use crate::point::input::{OperatingPoint, Surface};
use crate::point::result::Scalar;

/// Place, depth and width of the wake at the hub, and the reduced frequency of a crossing at 0.75 R.
///
/// A Gaussian deficit of half-depth half width b, crossed at speed u, has the spectrum exp(−ω²b²/(4 ln 2 u²)): it
/// has fallen to half at ω = 2 ln 2 u/b, which gives k = ωc/2W. Empty where there is no wake at the hub.
pub(super) fn wake_crossing(surface: &Surface, point: &OperatingPoint) -> Vec<Scalar> {
    let name = &surface.name;
    let radius_m = 0.5 * point.propeller.diameter_m;
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    // A circulation that cannot be found is reported by the run; here it only leaves the wake unknown.
    let Ok(Some(seen)) = SurfaceAtDisk::new(surface, &point.flight, &disk, radius_m) else {
        return Vec::new();
    };
    let Some(source) = SurfaceWakeSource::new(&seen, &disk) else { return Vec::new() };
    let Some(position) = source.wake_position(&disk.hub_m) else { return Vec::new() };
    let Some(wake) = source.wake_station(&position) else { return Vec::new() };
    let half_width_m = wake.half_width_m();
    let mut all = vec![
        scalar(
            format!("{name}_wake_offset_radii"),
            "1",
            format!("shaft above the wake of `{name}`, in propeller radii"),
            position.offset_m / radius_m,
        ),
        scalar(
            format!("{name}_wake_deficit"),
            "1",
            format!("deepest velocity deficit in the wake of `{name}` over edge speed"),
            wake.peak,
        ),
        scalar(
            format!("{name}_wake_half_width_m"),
            "m",
            format!("half width of the wake of `{name}` at half depth"),
            half_width_m,
        ),
        scalar(
            format!("{name}_wake_half_width_cells"),
            "1",
            format!("half width of the wake of `{name}` in azimuth cells at 0.75 R"),
            half_width_m / azimuth_cell_m(point),
        ),
    ];
    let crossing_m = TYPICAL_RADIUS_RATIO * radius_m;
    let speed_m_s = typical_speed_m_s(point);
    if position.offset_m.abs() < crossing_m && speed_m_s > 0.0 {
        let across_m_s =
            point.propeller.speed_rad_s * (crossing_m.powi(2) - position.offset_m.powi(2)).sqrt();
        let typical_rad_s = 2.0 * LN_2 * across_m_s / half_width_m;
        all.push(scalar(
            format!("{name}_reduced_frequency_crossing_075r"),
            "1",
            format!("reduced frequency of a crossing of `{name}` at 0.75 R, spectrum at half"),
            0.5 * typical_rad_s * typical_chord_m(&point.propeller) / speed_m_s,
        ));
    }
    all
}
