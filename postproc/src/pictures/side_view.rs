//! Side view through the hub to scale, seen from port: sections of the surfaces, bodies, wakes, shaft and disk.
//!
//! Wakes are drawn to half depth, as the models give them without the propeller's suction.

use plotters::prelude::DrawingBackend;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::frames::DiskAxes;
use wakebeat_engine::point::input::{OperatingPoint, Surface};
use wakebeat_engine::point::wake_outline::{BEYOND_DISK, SurfaceWakeOutline, WakeSlice, body_wake_slices};
use wakebeat_engine::surface::geometry::halves;
use wakebeat_engine::surface::skin::flap_at;

use super::Run;
use super::canvas::{Area, px};
use super::clip::Window;
use super::colour::{BLUE, FAINT_INK, INK, VERMILION};
use super::frame::framed;
use super::number::short;
use super::outline::{
    Place, View, body_profile, edge_m, planform, section_at_y, station_abreast, station_at_y,
};
use super::scene::{BODY_FILL, SURFACE_FILL, Scene, Sign, WAKE_FILL, key, length};
use super::style::{BODY, bold, cut_name, write};
use crate::PlotError;

/// Width of the drawing, pixels.
const DRAWING: f64 = 790.0;
/// Slices along a wake.
const SLICES: usize = 60;
/// How far ahead of the hub is shown at most, tip radii.
const AHEAD: f64 = 8.0;
/// Where the shaft offset is dimensioned, tip radii aft of the hub.
const OFFSET_AT: f64 = 0.36;
/// Where the axial gap is dimensioned, tip radii below the hub.
const GAP_AT: f64 = 1.25;
/// Width of a figure over that of the drawing.
const FIGURE: f64 = 0.17;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Side view through the hub, to scale, seen from port", run)?;
    let (left, right) = inner.split_horizontally(px(DRAWING));
    let side = Side::new(run.point);
    let labels = ["x aft, m", "z up, m"];
    let scene = Scene::new(&left, "Aircraft axes: air comes from the left", side.window(), labels)?;
    side.wakes(&scene)?;
    side.airframe(&scene)?;
    side.guides(&scene)?;
    side.propeller(&scene)?;
    side.dimensions(&scene)?;
    write(&right, "Key", (0, px(15.0)), bold(BODY, INK))?;
    key(&right, &side.words())
}

/// What the side view shows, drawn by whoever needs it.
pub(crate) struct Side<'a> {
    point: &'a OperatingPoint,
    /// The disk.
    pub disk: DiskAxes,
    /// Tip radius, m.
    pub tip_m: f64,
    view: View,
    /// The surface whose trailing edge lies closest ahead of the hub, that edge, undeflected as the placement is told from it, and
    /// its chord, m.
    pub nearest: Option<(&'a Surface, Vec3, f64)>,
}

impl<'a> Side<'a> {
    /// The view of an operating point.
    pub fn new(point: &'a OperatingPoint) -> Self {
        let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
        let edges = point.surfaces.iter().filter_map(|surface| {
            let (half, s_m) = station_abreast(surface, &disk.hub_m)?;
            let edge = half.trailing_edge(s_m);
            (edge.x < disk.hub_m.x).then(|| (surface, edge, half.chord_m(s_m)))
        });
        let nearest = edges.max_by(|a, b| a.1.x.total_cmp(&b.1.x));
        let tip_m = 0.5 * point.propeller.diameter_m;
        Self { point, disk, tip_m, view: View::from_port(), nearest }
    }

    /// What is shown, m.
    pub fn window(&self) -> Window {
        let (hub, r) = (self.disk.hub_m, self.tip_m);
        let nose = self.nearest.map_or(hub.x - 1.5 * r, |(_, edge, chord_m)| edge.x - chord_m);
        let from = nose.clamp(hub.x - AHEAD * r, hub.x - r) - 0.15 * r;
        // The figure right of the dimension of the offset needs its room whatever the scale.
        let room = FIGURE / (1.0 - FIGURE) * (hub.x + OFFSET_AT * r - from);
        let to = hub.x + (0.85 * r).max(OFFSET_AT * r + room);
        Window { right: (from, to), up: (hub.z - 1.45 * r, hub.z + 1.15 * r) }
    }

    fn wakes<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        let wakes: Vec<Vec<WakeSlice>> = self.wake_slices()?;
        for slices in &wakes {
            let edge = |side: f64| {
                slices.iter().map(move |s| s.centre_m + side * s.half_width_m * s.across).collect::<Vec<_>>()
            };
            let below = edge(-1.0).into_iter().rev();
            let band: Vec<Place> =
                edge(1.0).into_iter().chain(below).map(|point| self.view.place(&point)).collect();
            scene.fill(&band, WAKE_FILL, 0.0)?;
        }
        for slices in &wakes {
            let centre: Vec<Place> = slices.iter().map(|s| self.view.place(&s.centre_m)).collect();
            scene.line(&centre, BLUE, 2.0)?;
        }
        Ok(())
    }

    /// Wakes of the surfaces abreast of the hub, and of the bodies.
    pub fn wake_slices(&self) -> Result<Vec<Vec<WakeSlice>>, PlotError> {
        let mut all = Vec::new();
        let end_m = self.disk.hub_m.x + BEYOND_DISK * self.tip_m;
        for surface in &self.point.surfaces {
            let Some(outline) = SurfaceWakeOutline::new(surface, self.point)? else { continue };
            let Some((half, s_m)) = station_at_y(surface, self.disk.hub_m.y) else { continue };
            let index = outline.halves().iter().position(|own| own.span_direction == half.span_direction);
            let (Some(index), aft_m) = (index, end_m - half.trailing_edge(s_m).x) else { continue };
            if aft_m > 0.0 {
                let along = (0..=SLICES).map(|k| aft_m * (k as f64 / SLICES as f64).powi(2));
                let mut slices: Vec<WakeSlice> =
                    along.map(|aft_m| outline.slice(index, s_m, aft_m)).collect();
                if let Some(first) =
                    slices.first().copied().filter(|_| flap_at(surface, &half, s_m).is_some())
                {
                    // A flap turns the edge forward: from there to the first slice the wake has its first width.
                    slices.insert(0, WakeSlice { centre_m: edge_m(surface, &half, s_m), ..first });
                }
                all.push(slices);
            }
        }
        for body in &self.point.bodies {
            all.push(body_wake_slices(body, self.point, SLICES)?);
        }
        Ok(all)
    }

    fn airframe<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        for body in &self.point.bodies {
            scene.fill(&body_profile(body, &self.view), BODY_FILL, 1.2)?;
        }
        for surface in &self.point.surfaces {
            match section_at_y(surface, self.disk.hub_m.y, &self.view) {
                Some(section) => scene.fill(&section, SURFACE_FILL, 1.2)?,
                None => {
                    for half in halves(surface) {
                        scene.fill(&planform(&half, &self.view), SURFACE_FILL, 1.2)?;
                    }
                }
            }
        }
        Ok(())
    }

    fn propeller<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        let along = |r: f64| self.view.place(&(self.disk.hub_m + r * self.tip_m * self.disk.aft));
        scene.dashed(along(-0.6), along(0.5), INK, 1.4)?;
        let ends = [1.0, -1.0].map(|r| self.view.place(&(self.disk.hub_m + r * self.tip_m * self.disk.up)));
        scene.line(&ends, VERMILION, 4.0)?;
        scene.hub(self.view.place(&self.disk.hub_m))
    }

    /// The nearest edge where it is shown.
    fn edge_shown<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Option<Vec3> {
        let (_, edge, _) = self.nearest?;
        scene.window().holds(self.view.place(&edge)).then_some(edge)
    }

    /// Thin lines from edge and hub to the dimensions.
    fn guides<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        let Some(edge) = self.edge_shown(scene) else { return Ok(()) };
        let (hub, r) = (self.disk.hub_m, self.tip_m);
        for from in [edge, hub] {
            let (x, z) = (hub.x + (OFFSET_AT + 0.06) * r, hub.z - (GAP_AT + 0.05) * r);
            scene.line(&[(from.x, from.z), (x, from.z)], FAINT_INK, 1.0)?;
            scene.line(&[(from.x, from.z), (from.x, z)], FAINT_INK, 1.0)?;
        }
        Ok(())
    }

    /// Shaft offset right of the disk, axial gap below it.
    fn dimensions<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        let Some(edge) = self.edge_shown(scene) else { return Ok(()) };
        let (hub, r) = (self.disk.hub_m, self.tip_m);
        let (x, z) = (hub.x + OFFSET_AT * r, hub.z - GAP_AT * r);
        let offset = length((hub.z - edge.z).abs());
        scene.dimension((x, edge.z), (x, hub.z), &offset, (x, 0.5 * (hub.z + edge.z)))?;
        scene.dimension((edge.x, z), (hub.x, z), &length(hub.x - edge.x), (hub.x + 0.1 * r, z))
    }

    /// Whether a flap turns the edge that the placement is told from.
    pub fn is_edge_turned(&self, surface: &Surface) -> bool {
        station_abreast(surface, &self.disk.hub_m)
            .and_then(|(half, s_m)| flap_at(surface, &half, s_m))
            .is_some_and(|flap| flap.deflection_rad != 0.0)
    }

    fn words(&self) -> Vec<(Sign, String)> {
        let mut rows = Vec::new();
        if let Some((surface, edge, chord_m)) = self.nearest {
            let hub = self.disk.hub_m;
            let (offset, gap) = (hub.z - edge.z, hub.x - edge.x);
            rows.push((
                Sign::Surface,
                format!("{}, chord {} here", cut_name(&surface.name, 14), length(chord_m)),
            ));
            let side = if offset < 0.0 { "below" } else { "above" };
            let (offset, ratio) = (offset.abs(), short(offset.abs() / self.tip_m));
            // A fin is passed aside, not above or below.
            if station_at_y(surface, hub.y).is_some() {
                rows.push((Sign::Note, format!("shaft {} ({ratio} R) {side} its edge", length(offset))));
            }
            rows.push((Sign::Note, format!("axial gap {} ({} chord)", length(gap), short(gap / chord_m))));
            if self.is_edge_turned(surface) {
                rows.push((Sign::Note, "both from the edge undeflected".to_owned()));
            }
        }
        for body in &self.point.bodies {
            rows.push((
                Sign::Body,
                format!("{}, diameter {}", cut_name(&body.name, 12), length(body.diameter_m)),
            ));
        }
        rows.push((Sign::Wake, "wake: centre, and to half depth".to_owned()));
        rows.push((Sign::Note, "without the propeller's suction".to_owned()));
        rows.push((Sign::Disk, format!("disk, radius {}", length(self.tip_m))));
        let placement = &self.point.placement;
        let (tilt, toe) = (placement.tilt_rad.to_degrees(), placement.toe_rad.to_degrees());
        rows.push((Sign::Shaft, format!("shaft, tilt {tilt:.1}°, toe {toe:.1}°").replace('-', "−")));
        rows
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)] // A test may panic.

    use super::*;
    use wakebeat_engine::case::{from_text, scenarios};

    /// Section and wake meet at the edge that the flap has turned, and the words say that the gap is told from the other.
    #[test]
    fn a_deflected_flap_is_drawn_and_the_wake_starts_at_its_edge() {
        let scenario = scenarios().iter().find(|one| one.name == "nacelle-pusher").unwrap();
        let side_of = |deg: f64| {
            let set = format!("surface.wing.flap.inner.deflection_deg={deg:.1}");
            from_text("case.toml", scenario.case_text(), scenario, &[set]).unwrap().point
        };
        let (plain, turned) = (side_of(0.0), side_of(30.0));
        let edge = |point: &OperatingPoint| {
            let side = Side::new(point);
            section_at_y(&point.surfaces[0], side.disk.hub_m.y, &side.view).unwrap()[0]
        };
        let down_m = edge(&plain).1 - edge(&turned).1;
        // A quarter of a chord of about 0.23 m turned by 30 degrees.
        assert!((0.02..0.04).contains(&down_m), "{down_m}");
        let side = Side::new(&turned);
        let wake = &side.wake_slices().unwrap()[0];
        let (x, z) = edge(&turned);
        assert!((wake[0].centre_m.x - x).hypot(wake[0].centre_m.z - z) < 1e-9);
        assert!(side.words().iter().any(|(_, words)| words.contains("undeflected")));
        assert!(!Side::new(&plain).words().iter().any(|(_, words)| words.contains("undeflected")));
    }
}
