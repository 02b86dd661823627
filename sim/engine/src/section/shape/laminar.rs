//! Where a laminar layer leaves the surface, and what the dead air behind costs.

use super::shear_layer::LeavingLayer;
use super::surface_speed::SurfaceSpeed;

/// Thwaites' parameter λ at separation.
pub(super) const SEPARATION: f64 = -0.09;

/// Laminar separation on the thickness form and the drag of a dead-air region behind it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LaminarSeparation {
    /// The layer where it leaves.
    pub layer: LeavingLayer,
    /// Ends of a dead-air region, chords, rising from separation.
    end: Vec<f64>,
    /// Pressure drag coefficient of a region from separation to that end, both surfaces.
    drag: Vec<f64>,
}

/// Separation by Thwaites' method (B. Thwaites, Aeronautical Quarterly 1, 1949, 245, from memory):
/// θ²/ν = 0.45 U⁻⁶ ∫U⁵dx, λ = (θ²/ν) dU/dx, separation at −0.09. The place does not depend on Reynolds number.
///
/// Drag of the dead air: pressure holds its value at separation (the plateau of every laminar bubble) where
/// attached flow would have let it rise, and the surface there faces aft: Δcd = 2 ∫ (cp − cp,sep)(−h′) dx.
/// The attached flow itself has no pressure drag, so the difference is all of it. Derived; the outer flow is
/// taken as unchanged, which overstates long regions.
pub(super) fn laminar_separation(flow: &SurfaceSpeed) -> LaminarSeparation {
    let count = flow.x.len();
    let mut integral = 0.0;
    let mut before: Option<(f64, f64)> = None;
    for i in 1..count - 1 {
        let dx = flow.x[i] - flow.x[i - 1];
        integral += 0.5 * dx * (flow.speed[i].powi(5) + flow.speed[i - 1].powi(5));
        let slope = (flow.speed[i + 1] - flow.speed[i - 1]) / (flow.x[i + 1] - flow.x[i - 1]);
        let lambda = 0.45 * integral / flow.speed[i].powi(6) * slope;
        if let Some((x, last)) = before.filter(|_| lambda < SEPARATION) {
            let part = ((last - SEPARATION) / (last - lambda)).clamp(0.0, 1.0);
            return dead_air(flow, i, LeavingLayer::new(x + part * (flow.x[i] - x), flow.speed[i], integral));
        }
        before = Some((flow.x[i], lambda));
    }
    LaminarSeparation { layer: LeavingLayer::stays(), end: vec![1.0], drag: vec![0.0] }
}

/// The drag integral from separation, node by node to the trailing edge.
fn dead_air(flow: &SurfaceSpeed, first: usize, layer: LeavingLayer) -> LaminarSeparation {
    let plateau = flow.speed[first].powi(2);
    let (mut end, mut drag) = (vec![layer.at], vec![0.0]);
    let mut sum = 0.0;
    for i in first + 1..flow.x.len() {
        let rise = plateau - 0.5 * (flow.speed[i].powi(2) + flow.speed[i - 1].powi(2));
        let closing = flow.half_thickness[i - 1] - flow.half_thickness[i];
        sum += 2.0 * rise.max(0.0) * closing.max(0.0);
        end.push(flow.x[i]);
        drag.push(sum);
    }
    LaminarSeparation { layer, end, drag }
}

impl LaminarSeparation {
    /// Pressure drag coefficient of dead air from separation to `end`, chords.
    pub(super) fn drag_to(&self, end: f64) -> f64 {
        let last = self.end.len() - 1;
        if end <= self.end[0] {
            return 0.0;
        }
        if end >= self.end[last] {
            return self.drag[last];
        }
        let i = self.end.partition_point(|x| *x <= end) - 1;
        let part = (end - self.end[i]) / (self.end[i + 1] - self.end[i]);
        self.drag[i] + part * (self.drag[i + 1] - self.drag[i])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Howarth 1938: U = 1 − x separates at x = 0.120; Thwaites' method gives 0.123 (both from memory).
    #[test]
    fn linearly_retarded_flow_separates_at_an_eighth() {
        let x: Vec<f64> = (0..2000).map(|i| f64::from(i) / 2000.0).collect();
        let speed = x.iter().map(|x| 1.0 - x).collect();
        let none = vec![0.0; x.len()];
        let found = laminar_separation(&SurfaceSpeed {
            theta: none.clone(),
            x,
            half_thickness: none.clone(),
            slope: none.clone(),
            perturbation: none,
            speed,
        });
        assert!((found.layer.at - 0.123).abs() < 0.001, "{}", found.layer.at);
    }
}
