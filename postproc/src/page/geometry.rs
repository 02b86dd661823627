//! Where the propeller stands, to scale: from the side, from behind, from above.

use std::fmt::Write;

use maud::{Markup, html};
use wakebeat_engine::base::Vec3;
use wakebeat_engine::body::shape::{BodyShape, Meridian};
use wakebeat_engine::frames::DiskAxes;
use wakebeat_engine::point::input::{Body, OperatingPoint};
use wakebeat_engine::point::wake_outline::{WakeSlice, body_wake_slices};
use wakebeat_engine::surface::geometry::halves;

use super::plot::{WIDTH, figure};
use crate::PlotError;
use crate::pictures::clip::Window;
use crate::pictures::number::short;
use crate::pictures::outline::{
    Place, View, body_circle, body_profile, planform, rim, section_at_y, station_at_y,
};
use crate::pictures::rear_view::Rear;
use crate::pictures::side_view::Side;

/// Slices along a body's wake.
const SLICES: usize = 60;

/// Where the shaft offset is dimensioned, tip radii aft of the hub.
const OFFSET_AT: f64 = 0.36;
/// Room right of that for its words, of the width of the drawing.
const WORDS: f64 = 0.27;

/// A drawing to scale being made.
struct Drawing {
    window: Window,
    scale: f64,
    marks: Vec<Markup>,
}

impl Drawing {
    fn new(window: Window) -> Self {
        let scale = WIDTH / (window.right.1 - window.right.0).max(1e-9);
        Self { window, scale, marks: Vec::new() }
    }

    fn height(&self) -> f64 {
        (self.window.up.1 - self.window.up.0) * self.scale
    }

    fn at(&self, (right, up): Place) -> (f64, f64) {
        ((right - self.window.right.0) * self.scale, (self.window.up.1 - up) * self.scale)
    }

    fn path(&self, points: &[Place], closed: bool) -> String {
        let mut path = String::new();
        for (index, place) in points.iter().enumerate() {
            let (x, y) = self.at(*place);
            // Writing to a string cannot fail.
            let _ = write!(path, "{}{x:.1} {y:.1}", if index == 0 { "M" } else { "L" });
        }
        if closed {
            path.push('Z');
        }
        path
    }

    /// An area with words for its title.
    fn fill(&mut self, points: &[Place], class: &str, tip: &str) {
        let cut = self.window.polygon(points);
        if cut.len() > 2 {
            let path = self.path(&cut, true);
            self.marks.push(html! { path class=(class) d=(path) { title { (tip) } } });
        }
    }

    fn line(&mut self, points: &[Place], class: &str, tip: &str) {
        for piece in self.window.line(points) {
            let path = self.path(&piece, false);
            self.marks.push(html! { path.draw.(class) d=(path) { title { (tip) } } });
        }
    }

    fn hub(&mut self, at: Place) {
        let (x, y) = self.at(at);
        self.marks.push(
            html! { circle.hub cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="3.5" { title { "hub" } } },
        );
    }

    /// Words right of a place, on a ground that keeps them readable.
    fn words(&mut self, at: Place, words: &str) {
        let (x, y) = self.at(at);
        self.marks
            .push(html! { text.on x=(format!("{:.1}", x + 5.0)) y=(format!("{:.1}", y + 4.0)) { (words) } });
    }

    /// A bar of a round length at the lower left.
    fn ruler(&mut self) {
        let reach = 0.3 * (self.window.right.1 - self.window.right.0);
        let power = 10_f64.powf(reach.log10().floor());
        let length = [5.0, 2.0, 1.0].into_iter().map(|k| k * power).find(|l| *l <= reach).unwrap_or(power);
        let y = self.height() - 8.0;
        let end = 10.0 + length * self.scale;
        self.marks.push(html! {
            path.ruler d={ "M10 " (format!("{:.1}", y - 5.0)) "v5H" (format!("{end:.1}")) "v-5" } {}
            text.on x="14" y=(format!("{:.1}", y - 8.0)) { (metres(length)) }
        });
    }

    fn figure(mut self, title: &str, about: &str) -> Markup {
        self.ruler();
        let inner = html! { g.scene { @for mark in &self.marks { (mark) } } };
        figure(title, about, self.height(), &inner, &[])
    }
}

/// The three views with their key.
pub(super) fn views(point: &OperatingPoint) -> Result<Markup, PlotError> {
    Ok(html! {
        div.figures {
            (side(point)?)
            (behind(point)?)
            (above(point)?)
        }
        ul.key.signs {
            li { span.swatch.surface {} "surface" }
            li { span.swatch.body {} "body" }
            li { span.swatch.wake {} "wake to half depth, without the propeller's suction" }
            li { span.swatch.disk {} "disk" }
        }
    })
}

fn side(point: &OperatingPoint) -> Result<Markup, PlotError> {
    let side = Side::new(point);
    let view = View::from_port();
    let mut drawing = Drawing::new(with_room(side.window(), side.disk.hub_m.x + OFFSET_AT * side.tip_m));
    for slices in side.wake_slices()? {
        drawing.fill(&band(&slices, &view), "wake", "wake to half depth");
        drawing.line(&centre(&slices, &view), "wakeline", "middle of the wake");
    }
    for body in &point.bodies {
        let tip = body_words(body);
        drawing.fill(&body_profile(body, &view), "body", &tip);
    }
    for surface in &point.surfaces {
        let tip = format!("{}, span {}", surface.name, metres(surface.span_m));
        match section_at_y(surface, side.disk.hub_m.y, &view) {
            Some(section) => drawing.fill(&section, "surface", &tip),
            None => {
                halves(surface).iter().for_each(|half| drawing.fill(&planform(half, &view), "surface", &tip))
            }
        }
    }
    let (hub, r) = (side.disk.hub_m, side.tip_m);
    let along = |k: f64| view.place(&(hub + k * r * side.disk.aft));
    drawing.line(&[along(-0.6), along(0.5)], "shaft", "shaft");
    let ends = [1.0, -1.0].map(|k| view.place(&(hub + k * r * side.disk.up)));
    drawing.line(&ends, "disk", &format!("disk, radius {}", metres(r)));
    drawing.hub(view.place(&hub));
    let mut about = format!("Side view from port, air from the left: disk of radius {}", metres(r));
    if let Some((surface, edge, _)) = side.nearest {
        let (offset, gap) = (hub.z - edge.z, hub.x - edge.x);
        about.push_str(&format!(", {} behind the trailing edge of {}", metres(gap), surface.name));
        if drawing.window.holds(view.place(&edge)) {
            let below = hub.z - 1.2 * r;
            drawing.line(&[(edge.x, edge.z), (edge.x, below)], "guide", "trailing edge");
            drawing.line(&[(hub.x, hub.z), (hub.x, below)], "guide", "hub");
            drawing.line(&[(edge.x, below), (hub.x, below)], "dimension", "axial gap");
            drawing.words((hub.x, below), &format!("gap {}", metres(gap)));
            // A fin is passed aside, not above or below.
            if station_at_y(surface, hub.y).is_some() {
                let x = hub.x + OFFSET_AT * r;
                drawing.line(&[(edge.x, edge.z), (x, edge.z)], "guide", "trailing edge");
                drawing.line(&[(hub.x, hub.z), (x, hub.z)], "guide", "hub");
                drawing.line(&[(x, edge.z), (x, hub.z)], "dimension", "shaft offset");
                let side = if offset < 0.0 { "below" } else { "above" };
                drawing.words((x, 0.5 * (edge.z + hub.z)), &format!("{} {side}", metres(offset.abs())));
                about.push_str(&format!(", shaft {} {side} it", metres(offset.abs())));
            }
        }
        if side.is_edge_turned(surface) {
            about.push_str(", both from the edge undeflected");
        }
    }
    Ok(drawing.figure("From the side (port), air from the left", &about))
}

/// The window widened so that words right of `from` find room.
fn with_room(window: Window, from: f64) -> Window {
    let (left, right) = window.right;
    Window { right: (left, right.max((from - WORDS * left) / (1.0 - WORDS))), ..window }
}

fn behind(point: &OperatingPoint) -> Result<Markup, PlotError> {
    let rear = Rear::new(point);
    let view = View::from_behind();
    let mut drawing = Drawing::new(rear.around_disk());
    for body in &point.bodies {
        drawing.fill(&body_circle(body, &view), "body", &body_words(body));
    }
    for (contour, _) in rear.surfaces() {
        drawing.fill(&contour, "surface", "surface");
    }
    for surface in &point.surfaces {
        let words = format!("wake of {} at the disk, to half depth", surface.name);
        for slices in rear.surface_slices(surface)? {
            drawing.fill(&band(&slices, &view), "wake", &words);
            drawing.line(&centre(&slices, &view), "wakeline", &words);
        }
    }
    for (body, round) in rear.body_rounds()? {
        drawing.fill(&round, "wake", &format!("wake of {} at the disk, to half depth", body.name));
    }
    for (_, edge) in rear.surfaces() {
        drawing.line(&edge, "edge", "trailing edge");
    }
    drawing.line(&rim(point, &view), "disk", &format!("disk, radius {}", metres(rear.tip_m)));
    drawing.hub(view.place(&rear.disk.hub_m));
    let about = format!(
        "View from behind around the disk of radius {}, starboard right, with what lies ahead of it and the wakes that cross it",
        metres(rear.tip_m)
    );
    Ok(drawing.figure("From behind, starboard right", &about))
}

fn above(point: &OperatingPoint) -> Result<Markup, PlotError> {
    let view = View::from_above();
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    let tip_m = 0.5 * point.propeller.diameter_m;
    let wings: Vec<(String, Vec<Place>)> = point
        .surfaces
        .iter()
        .flat_map(|s| halves(s).into_iter().map(move |half| (s.name.clone(), half)))
        .map(|(name, half)| (name, planform(&half, &view)))
        .collect();
    let bodies: Vec<(&Body, Vec<Place>)> =
        point.bodies.iter().map(|b| (b, body_from_above(b, &view))).collect();
    let ends = |disk: &DiskAxes, tip_m: f64| {
        [1.0, -1.0].map(|k| view.place(&(disk.hub_m + k * tip_m * disk.starboard)))
    };
    let mut disks = vec![(String::new(), ends(&disk, tip_m), view.place(&disk.hub_m), tip_m)];
    for one in &point.further {
        let axes = DiskAxes::new(&one.placement, one.rotation);
        let own_m = 0.5 * one.propeller(&point.propeller).diameter_m;
        disks.push((format!(" of {}", one.name), ends(&axes, own_m), view.place(&axes.hub_m), own_m));
    }
    let rims = disks.iter().flat_map(|(_, ends, _, _)| ends);
    let all = wings.iter().flat_map(|(_, p)| p).chain(bodies.iter().flat_map(|(_, p)| p)).chain(rims);
    let fold = |pick: fn(&Place) -> f64| {
        all.clone().map(pick).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)))
    };
    let (right, up) = (fold(|p| p.0), fold(|p| p.1));
    let room = 0.04 * (right.1 - right.0) + 0.2 * tip_m;
    // Room for the ruler below.
    let below = room + 0.09 * (right.1 - right.0);
    let window = Window { right: (right.0 - room, right.1 + room), up: (up.0 - below, up.1 + room) };
    let mut drawing = Drawing::new(window);
    for body in &point.bodies {
        let slices = body_wake_slices(body, point, SLICES)?;
        let beside: Vec<WakeSlice> =
            slices.into_iter().map(|s| WakeSlice { across: Vec3::y(), ..s }).collect();
        drawing.fill(&band(&beside, &view), "wake", &format!("wake of {} to half depth", body.name));
    }
    for (name, wing) in &wings {
        drawing.fill(wing, "surface", name);
    }
    for (body, contour) in &bodies {
        drawing.fill(contour, "body", &body_words(body));
    }
    for (name, ends, hub, own_m) in &disks {
        drawing.line(ends, "disk", &format!("disk{name}, radius {}", metres(*own_m)));
        drawing.hub(*hub);
    }
    let about = if disks.len() > 1 {
        "View from above: surfaces, bodies and the disks of all propellers"
    } else {
        "View from above: surfaces, bodies and the disk behind them"
    };
    Ok(drawing.figure("From above, nose up the page", about))
}

fn body_from_above(body: &Body, view: &View) -> Vec<Place> {
    let shape = BodyShape::new(body);
    let stations: Vec<f64> =
        (0..=SLICES).map(|k| shape.length_m * (k as f64 / SLICES as f64).powi(2)).collect();
    let edge = |side: f64| {
        let points = stations.iter().map(|x| shape.nose_m + Vec3::new(*x, side * shape.radius_m(*x), 0.0));
        points.map(|p| view.place(&p)).collect::<Vec<_>>()
    };
    edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect()
}

fn band(slices: &[WakeSlice], view: &View) -> Vec<Place> {
    let edge = |side: f64| {
        let points = slices.iter().map(move |s| s.centre_m + side * s.half_width_m * s.across);
        points.map(|p| view.place(&p)).collect::<Vec<_>>()
    };
    edge(1.0).into_iter().chain(edge(-1.0).into_iter().rev()).collect()
}

fn centre(slices: &[WakeSlice], view: &View) -> Vec<Place> {
    slices.iter().map(|s| view.place(&s.centre_m)).collect()
}

fn body_words(body: &Body) -> String {
    format!("{}, diameter {}, length {}", body.name, metres(body.diameter_m), metres(body.length_m))
}

/// A length, in millimetres below a metre.
pub(super) fn metres(value_m: f64) -> String {
    if value_m.abs() < 0.9995 {
        format!("{} mm", short(1e3 * value_m))
    } else {
        format!("{} m", short(value_m))
    }
}
