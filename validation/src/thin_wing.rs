//! The wing that checks share.

use std::f64::consts::TAU;

use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::{AnalyticSection, Surface, SurfaceWake};

/// A plane mirrored wing of unit root chord, slope 2π, without camber, drag coefficient 0.01, leading edge of the root at the
/// origin; it sheds no wake and its fields are off. `taper` is tip over root chord. Checks change what they need.
#[must_use]
pub fn thin_wing(span_m: f64, taper: f64) -> Surface {
    Surface {
        name: "wing".into(),
        root_leading_edge_m: Vec3::zeros(),
        mirror: true,
        span_m,
        root_chord_m: 1.0,
        tip_chord_m: taper,
        sweep_rad: 0.0,
        dihedral_rad: 0.0,
        incidence_rad: 0.0,
        twist_rad: 0.0,
        thickness_ratio: 0.1,
        section: AnalyticSection {
            lift_slope_per_rad: TAU,
            zero_lift_rad: 0.0,
            drag_min: 0.01,
            drag_rise: 0.0,
            lift_at_drag_min: 0.0,
            lift_max: 1.5,
            lift_min: -1.5,
        },
        wake: SurfaceWake::None,
        flaps: Vec::new(),
        potential: false,
    }
}
