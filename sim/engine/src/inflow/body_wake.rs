//! The viscous wake of a body as an inflow source.

use super::{InflowSource, RoundWake, RoundWakePoint};
use crate::base::Vec3;
use crate::body::displacement::axis_drift;
use crate::body::shape::BodyShape;
use crate::body::wake::BodyWake;
use crate::point::input::Body;
use crate::point::result::Warning;

/// Closing lengths below this many diameters usually separate (common practice for tails without power).
const SHORT_TAIL_DIAMETERS: f64 = 1.5;

/// A body's wake where the disk cuts it.
pub struct BodyWakeSource {
    name: String,
    body: Body,
    shape: BodyShape,
    drift: Vec3,
    wake: BodyWake,
    reach_m: f64,
}

impl BodyWakeSource {
    /// The wake of `body` in the stream `free_stream_m_s`.
    #[must_use]
    pub fn new(body: &Body, wake: BodyWake, free_stream_m_s: &Vec3) -> Self {
        Self {
            name: format!("{}_wake", body.name),
            body: body.clone(),
            shape: BodyShape::new(body),
            drift: axis_drift(free_stream_m_s),
            reach_m: wake.reach_m(),
            wake,
        }
    }
}

impl RoundWake for BodyWakeSource {
    fn seen_from(&self, point_m: &Vec3) -> Option<RoundWakePoint> {
        let (x, off) = self.shape.seen_from(point_m);
        if x <= 0.0 {
            return None;
        }
        let aft_m = x - self.shape.length_m;
        Some(RoundWakePoint {
            from_axis_m: off - aft_m.max(0.0) * self.drift,
            aft_m,
            made_over_m: x.min(self.shape.length_m),
            wake: self.wake.station(x),
            reach_m: self.reach_m,
        })
    }
}

impl InflowSource for BodyWakeSource {
    fn name(&self) -> &str {
        &self.name
    }

    fn round_wake(&self) -> Option<&dyn RoundWake> {
        Some(self)
    }

    fn warnings(&self) -> Vec<Warning> {
        let name = &self.body.name;
        let widened = self.wake.widened_by().map(|ratio| Warning {
            name: "body_wake_widened",
            text: format!(
                "body `{name}`: drag is {:.2} times the turbulent friction of its surface, more than a wake as wide \
                 as its boundary layer can carry: the wake was drawn {ratio:.2} times wider",
                self.wake.drag_over_friction()
            ),
        });
        let diameters = self.body.closing_length_m / self.body.diameter_m;
        let short = (diameters < SHORT_TAIL_DIAMETERS).then(|| Warning {
            name: "short_closing_tail",
            text: format!(
                "body `{name}` closes over {diameters:.2} diameters: flow usually separates below \
                 {SHORT_TAIL_DIAMETERS}, the wake is then wider and the potential field weaker than computed"
            ),
        });
        widened.into_iter().chain(short).collect()
    }
}
