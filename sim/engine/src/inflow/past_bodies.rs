//! A surface's wake that goes around bodies.

use super::station::StationGrid;
use super::{InflowSource, RoundWake, WakePlane, WakePosition};
use crate::base::Vec3;
use crate::body::displacement::StreamTubes;
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

    fn wake_planes(&self) -> Vec<WakePlane> {
        // A point is asked for at another place: at most that much nearer to a plane.
        let shift_m: f64 = self.tubes.iter().map(StreamTubes::greatest_shift_m).sum();
        let mut planes = self.inner.wake_planes();
        planes.iter_mut().for_each(|plane| plane.slack_m += shift_m);
        planes
    }

    fn wake_position(&self, point_m: &Vec3) -> Option<WakePosition> {
        let mut point = *point_m;
        for tubes in &self.tubes {
            point = tubes.before(&point)?;
        }
        self.inner.wake_position(&point)
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
