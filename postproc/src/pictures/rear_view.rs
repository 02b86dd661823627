//! View from behind along x to scale: planform edges, bodies, disk, and the wakes where they cross the disk.

use plotters::prelude::DrawingBackend;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::frames::DiskAxes;
use wakebeat_engine::point::input::{Body, OperatingPoint, Surface};
use wakebeat_engine::point::wake_outline::{SurfaceWakeOutline, WakeSlice, body_wake_slices};
use wakebeat_engine::surface::geometry::halves;

use super::Run;
use super::canvas::{Area, px};
use super::clip::Window;
use super::colour::{BLUE, INK, VERMILION};
use super::frame::framed;
use super::loads::extremes;
use super::outline::{Place, View, body_circle, rim, silhouette, trailing_edge};
use super::scene::{BODY_FILL, SURFACE_FILL, Scene, Sign, WAKE_FILL, key, length};
use super::style::{BODY, bold, cut_name, write};
use crate::PlotError;

/// Height of the panel with the whole span, pixels.
const WHOLE: f64 = 236.0;
/// Width of the panel around the disk, pixels.
const DRAWING: f64 = 790.0;
/// Surfaces that have their dihedral told.
const MOST_WITH_DIHEDRAL: usize = 4;
/// Stations along a wake that crosses the disk.
const STATIONS: usize = 60;
/// Slices along a body's wake, of which the one at the disk is drawn.
const SLICES: usize = 80;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "View from behind, to scale: starboard is right", run)?;
    let (upper, lower) = inner.split_vertically(px(WHOLE));
    let (left, right) = lower.split_horizontally(px(DRAWING));
    let rear = Rear::new(run.point);
    let labels = ["y starboard, m", "z up, m"];
    let whole = Scene::new(&upper, "Whole span", rear.whole(), labels)?;
    rear.draw(&whole, false)?;
    let near = Scene::new(&left, "Around the disk", rear.around_disk(), labels)?;
    rear.draw(&near, true)?;
    write(&right, "Key", (0, px(15.0)), bold(BODY, INK))?;
    key(&right, &rear.words())
}

/// What the view from behind shows, drawn by whoever needs it.
pub(crate) struct Rear<'a> {
    point: &'a OperatingPoint,
    /// The disk.
    pub disk: DiskAxes,
    /// Tip radius, m.
    pub tip_m: f64,
    view: View,
}

impl<'a> Rear<'a> {
    /// The view of an operating point.
    pub fn new(point: &'a OperatingPoint) -> Self {
        let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
        Self { point, disk, tip_m: 0.5 * point.propeller.diameter_m, view: View::from_behind() }
    }

    /// Contour and trailing edge of each half of each surface.
    pub fn surfaces(&self) -> Vec<(Vec<Place>, Vec<Place>)> {
        let surfaces = self.point.surfaces.iter();
        surfaces
            .flat_map(|surface| halves(surface).into_iter().map(move |half| (surface, half)))
            .map(|(surface, half)| {
                let contour = silhouette(surface, &half, &self.view);
                (contour, trailing_edge(surface, &half, &self.view))
            })
            .collect()
    }

    /// Everything, with some room.
    pub fn whole(&self) -> Window {
        let mut all: Vec<Place> = rim(self.point, &self.view);
        all.extend(self.surfaces().into_iter().flat_map(|(contour, _)| contour));
        all.extend(self.point.bodies.iter().flat_map(|body| body_circle(body, &self.view)));
        let (left, right) = extremes(all.iter().map(|p| p.0));
        let (low, high) = extremes(all.iter().map(|p| p.1));
        let room = 0.15 * self.tip_m;
        Window { right: (left - room, right + room), up: (low - room, high + room) }
    }

    /// The disk and what lies around it.
    pub fn around_disk(&self) -> Window {
        let (hub, reach) = (self.disk.hub_m, 1.12 * self.tip_m);
        Window { right: (hub.y - reach, hub.y + reach), up: (hub.z - reach, hub.z + reach) }
    }

    fn draw<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>, wakes: bool) -> Result<(), PlotError> {
        for body in &self.point.bodies {
            scene.fill(&body_circle(body, &self.view), BODY_FILL, 1.2)?;
        }
        for (contour, _) in self.surfaces() {
            scene.fill(&contour, SURFACE_FILL, 1.0)?;
        }
        if wakes {
            self.wakes(scene)?;
        }
        for (_, edge) in self.surfaces() {
            scene.line(&edge, INK, 1.6)?;
        }
        scene.line(&rim(self.point, &self.view), VERMILION, if wakes { 4.0 } else { 2.5 })?;
        scene.hub(self.view.place(&self.disk.hub_m))
    }

    /// Bands of the surfaces' wakes and rounds of the bodies' where they cross the disk.
    fn wakes<DB: DrawingBackend>(&self, scene: &Scene<'_, DB>) -> Result<(), PlotError> {
        for surface in &self.point.surfaces {
            for slices in self.surface_slices(surface)? {
                let edge = |side: f64| {
                    let points = slices.iter().map(move |s| s.centre_m + side * s.half_width_m * s.across);
                    points.map(|point| self.view.place(&point)).collect::<Vec<_>>()
                };
                let band: Vec<Place> = edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect();
                scene.fill(&band, WAKE_FILL, 0.0)?;
                scene.line(&edge(0.0), BLUE, 2.0)?;
            }
        }
        for (_, round) in self.body_rounds()? {
            scene.fill(&round, WAKE_FILL, 0.0)?;
            scene.line(&round, BLUE, 1.2)?;
        }
        Ok(())
    }

    /// The wake of each half of a surface where it crosses the disk; none where the surface sheds none.
    pub fn surface_slices(&self, surface: &Surface) -> Result<Vec<Vec<WakeSlice>>, PlotError> {
        let outline = SurfaceWakeOutline::new(surface, self.point)?;
        Ok(outline.map_or_else(Vec::new, |outline| {
            (0..outline.halves().len()).map(|half| self.on_disk(&outline, half)).collect()
        }))
    }

    /// The bodies that have a wake, each with the round of it at the disk.
    pub fn body_rounds(&self) -> Result<Vec<(&'a Body, Vec<Place>)>, PlotError> {
        let mut all = Vec::new();
        for body in &self.point.bodies {
            let slices = body_wake_slices(body, self.point, SLICES)?;
            let distance = |s: &&WakeSlice| (s.centre_m - self.disk.hub_m).dot(&self.disk.aft).abs();
            if let Some(slice) = slices.iter().min_by(|a, b| distance(a).total_cmp(&distance(b))) {
                let round = (0..=STATIONS)
                    .map(|k| std::f64::consts::TAU * k as f64 / STATIONS as f64)
                    .map(|t| slice.centre_m + slice.half_width_m * Vec3::new(0.0, t.cos(), t.sin()))
                    .map(|point| self.view.place(&point));
                all.push((body, round.collect()));
            }
        }
        Ok(all)
    }

    /// Slices of a half's wake where its centre meets the plane of the disk.
    fn on_disk(&self, outline: &SurfaceWakeOutline, half: usize) -> Vec<WakeSlice> {
        let Some((from, to)) = outline.stretch_m(half) else { return Vec::new() };
        let stations = (0..=STATIONS).map(|k| from + (to - from) * k as f64 / STATIONS as f64);
        stations
            .filter_map(|s_m| {
                let edge = outline.halves()[half].trailing_edge(s_m);
                let ahead = |point: Vec3| (self.disk.hub_m - point).dot(&self.disk.aft) / self.disk.aft.x;
                let mut aft_m = ahead(edge);
                // The plane may lean: follow the centre line to it.
                for _ in 0..3 {
                    if aft_m <= 0.0 {
                        return None;
                    }
                    aft_m += ahead(outline.slice(half, s_m, aft_m).centre_m);
                }
                (aft_m > 0.0).then(|| outline.slice(half, s_m, aft_m))
            })
            .collect()
    }

    fn words(&self) -> Vec<(Sign, String)> {
        let mut rows = Vec::new();
        // Of many surfaces only the spans find room.
        let brief = self.point.surfaces.len() > MOST_WITH_DIHEDRAL;
        for surface in &self.point.surfaces {
            rows.push((
                Sign::Surface,
                format!("{}, span {}", cut_name(&surface.name, 16), length(surface.span_m)),
            ));
            if brief {
                continue;
            }
            let dihedral = format!("{:.1}", surface.dihedral_rad.to_degrees()).replace('-', "−");
            rows.push((Sign::Note, format!("dihedral {dihedral}°; line along it: trailing edge")));
        }
        if brief {
            rows.push((Sign::Note, "line along a surface: trailing edge".to_owned()));
        }
        for body in &self.point.bodies {
            rows.push((
                Sign::Body,
                format!("{}, diameter {}", cut_name(&body.name, 12), length(body.diameter_m)),
            ));
        }
        rows.push((Sign::Wake, "wake at the disk, to half depth".to_owned()));
        rows.push((Sign::Note, "without the propeller's suction".to_owned()));
        rows.push((Sign::Disk, format!("disk, radius {}", length(self.tip_m))));
        rows
    }
}
