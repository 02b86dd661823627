//! Keys of a survey of the disk.

use super::{KeySpec, Kind};

pub(super) fn keys() -> Vec<KeySpec> {
    let text = |name, kind| KeySpec::text("survey", name, kind);
    vec![
        text("file", Kind::File).doc(
            "CSV table of velocities over airspeed without the propeller, aircraft axes: y_m,z_m,u_x,u_y,u_z on a full grid, or \
             radius_ratio,azimuth_deg,u_x,u_y,u_z on a full grid, or order,radius_ratio,a_x,b_x,a_y,b_y,a_z,b_z with \
             u = sum of a cos(order azimuth) + b sin(order azimuth). Azimuth is 0 where the blade points up and grows \
             with the rotation. It must cover the disk from blade root to tip.",
        ),
        text("add", Kind::Boolean).or("false").doc(
            "false: the survey replaces surfaces and bodies; true: what it differs from the free stream is added to them.",
        ),
    ]
}
