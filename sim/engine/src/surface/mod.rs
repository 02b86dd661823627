//! Lifting surfaces ahead of the disk: planform, circulation, and the line the wake follows.

pub mod centre_line;
pub mod flap;
pub mod flow;
pub mod geometry;
pub mod lift_field;
pub mod lifting_line;
mod section_axes;
pub mod section_field;
pub mod skin;
mod span_sheet;
pub mod thickness_field;

/// Surfaces the unit tests share.
#[cfg(test)]
pub(crate) mod test_surfaces {
    use crate::base::Vec3;
    use crate::point::input::{AnalyticSection, Surface, SurfaceWake};

    /// A plane, unswept, tapered, mirrored wing of span 2 m: root chord 0.4 m, tip chord 0.2 m.
    pub(crate) fn wing() -> Surface {
        Surface {
            name: "wing".into(),
            root_leading_edge_m: Vec3::new(1.0, 0.0, 0.2),
            mirror: true,
            span_m: 2.0,
            root_chord_m: 0.4,
            tip_chord_m: 0.2,
            sweep_rad: 0.0,
            dihedral_rad: 0.0,
            incidence_rad: 0.0,
            twist_rad: 0.0,
            thickness_ratio: 0.12,
            section: AnalyticSection {
                lift_slope_per_rad: std::f64::consts::TAU,
                zero_lift_rad: 0.0,
                drag_min: 0.01,
                drag_rise: 0.005,
                lift_at_drag_min: 0.0,
                lift_max: 1.4,
                lift_min: -1.4,
            },
            flaps: Vec::new(),
            wake: SurfaceWake::Momentum,
            potential: false,
        }
    }
}
