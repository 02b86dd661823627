//! A surface's wake that goes around bodies.

use super::station::StationGrid;
use super::{InflowSource, RoundWake, WakePlane, WakePosition};
use crate::base::Vec3;
use crate::body::displacement::{StreamTubes, before_all};
use crate::body::shape::BodyShape;
use crate::point::input::{Body, Surface};
use crate::point::result::Warning;
use crate::surface::geometry::halves;
use crate::wake::WakeStation;

/// A source whose plane wake is carried in the stream tubes of bodies; see [`crate::body::displacement`].
pub struct PastBodies {
    inner: Box<dyn InflowSource>,
    tubes: Vec<StreamTubes>,
}

impl PastBodies {
    /// Carries the wake that `inner` sheds from `surface` around `bodies` in the stream `free_stream_m_s`; without bodies `inner`
    /// is returned as it is.
    #[must_use]
    pub fn around(
        inner: Box<dyn InflowSource>,
        surface: &Surface,
        bodies: &[Body],
        free_stream_m_s: &Vec3,
    ) -> Box<dyn InflowSource> {
        if bodies.is_empty() {
            return inner;
        }
        let tubes = bodies
            .iter()
            .map(BodyShape::new)
            .map(|shape| {
                let edge_x_m = edge_abreast_m(surface, &shape);
                StreamTubes::new(shape, free_stream_m_s, edge_x_m)
            })
            .collect();
        Box::new(Self { inner, tubes })
    }
}

/// Where the surface's trailing edge passes a body most closely, x in aircraft axes, m.
fn edge_abreast_m(surface: &Surface, shape: &BodyShape) -> f64 {
    let nearest = halves(surface)
        .iter()
        .map(|half| {
            let along = shape.nose_m - half.root_quarter_chord_m;
            let s_m = along.dot(&half.span_direction).clamp(0.0, half.length_m);
            let edge = half.trailing_edge(s_m);
            (shape.seen_from(&edge).1.norm(), edge.x)
        })
        .min_by(|a, b| a.0.total_cmp(&b.0));
    nearest.map_or(f64::INFINITY, |(_, x)| x)
}

impl InflowSource for PastBodies {
    fn name(&self) -> &str {
        self.inner.name()
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        self.inner.velocity_m_s(point_m)
    }

    fn add_on_ring(&self, ring: &StationGrid, axial_m_s: &mut [f64], tangential_m_s: &mut [f64]) -> bool {
        self.inner.add_on_ring(ring, axial_m_s, tangential_m_s)
    }

    fn has_plane_wake(&self) -> bool {
        self.inner.has_plane_wake()
    }

    fn wake_planes(&self) -> Vec<WakePlane> {
        // A point is asked for at another place: at most that much nearer to a plane.
        let shift_m: f64 = self.tubes.iter().map(StreamTubes::greatest_shift_m).sum();
        let mut planes = self.inner.wake_planes();
        planes.iter_mut().for_each(|plane| plane.slack_m += shift_m);
        planes
    }

    fn wake_position(&self, point_m: &Vec3) -> Option<WakePosition> {
        self.inner.wake_position(&before_all(&self.tubes, point_m)?)
    }

    fn wake_station(&self, position: &WakePosition) -> Option<WakeStation> {
        self.inner.wake_station(position)
    }

    fn round_wake(&self) -> Option<&dyn RoundWake> {
        self.inner.round_wake()
    }

    fn warnings(&self) -> Vec<Warning> {
        self.inner.warnings()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::body::shape::tests::pod;
    use crate::surface::test_surfaces::wing;

    /// A plane wake on z = 0 of a trailing edge at x = 0.
    struct Sheet;

    impl InflowSource for Sheet {
        fn name(&self) -> &'static str {
            "sheet"
        }

        fn has_plane_wake(&self) -> bool {
            true
        }

        fn wake_position(&self, point_m: &Vec3) -> Option<WakePosition> {
            Some(WakePosition {
                part: 0,
                span_m: point_m.y,
                aft_m: point_m.x,
                offset_m: point_m.z,
                normal: Vec3::z(),
                chord_m: 0.1,
                reach_m: 0.05,
            })
        }
    }

    /// The wing's trailing edge at the root is at x = 1.4, z = 0.2; the pod's tail 0.1 m behind it, on its level.
    fn around() -> Box<dyn InflowSource> {
        let body = Body { nose_m: Vec3::new(0.75, 0.0, 0.2), ..pod() };
        PastBodies::around(Box::new(Sheet), &wing(), &[body], &Vec3::x())
    }

    #[test]
    fn nothing_inside_the_solid_and_the_sheet_thins_towards_the_axis() {
        let source = around();
        assert!(source.wake_position(&Vec3::new(1.41, 0.0, 0.2)).is_none());
        // Behind the tail a height above the axis is seen from further off, the more the nearer the axis.
        let magnified = |s: f64| {
            let at = source.wake_position(&Vec3::new(1.55, 0.6 * s, 0.2 + 0.8 * s)).unwrap();
            (at.offset_m - 0.2) / (0.8 * s)
        };
        assert!(magnified(0.01) > magnified(0.02) && magnified(0.02) > magnified(0.1));
        assert!((magnified(5.0) - 1.0).abs() < 1e-4);
    }

    #[test]
    fn without_bodies_the_source_is_itself() {
        let source = PastBodies::around(Box::new(Sheet), &wing(), &[], &Vec3::x());
        assert_eq!(
            source.wake_position(&Vec3::new(1.41, 0.0, 0.2)),
            Sheet.wake_position(&Vec3::new(1.41, 0.0, 0.2))
        );
    }
}
