//! Outlines of wing and body as polygons, for any direction of view.
//!
//! A view takes a point of the aircraft to two coordinates in metres, right and up. Sections are drawn with the thickness
//! of the closed four-digit family (NACA Report 460) on their chord line, without camber: the case states thickness, not
//! shape. Flaps are drawn as deflected.

use std::f64::consts::TAU;

use wakebeat_engine::base::Vec3;
use wakebeat_engine::body::shape::{BodyShape, Meridian};
use wakebeat_engine::frames::DiskAxes;
use wakebeat_engine::point::input::{Body, OperatingPoint, Surface};
use wakebeat_engine::surface::geometry::{Half, halves};
use wakebeat_engine::surface::skin::{flap_at, section_point_m};

/// A place in the view, right and up, m.
pub(crate) type Place = (f64, f64);

/// Stations along a half.
const STATIONS: u32 = 24;
/// How far beside a flap's end the edge is drawn on either side, of the half.
const STEP: f64 = 1e-6;
/// Points on each side of a section.
const SECTION: u32 = 40;
/// Points on a circle, and on the rim of the disk, whose line is heavier.
const CIRCLE: u32 = 96;
const RIM: u32 = 180;

/// A direction to look along.
#[derive(Debug, Clone)]
pub(crate) struct View {
    origin_m: Vec3,
    right: Vec3,
    up: Vec3,
}

impl View {
    /// From behind along the shaft: starboard right, origin at the hub.
    pub fn along_shaft(point: &OperatingPoint) -> Self {
        let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
        Self { origin_m: disk.hub_m, right: disk.starboard, up: disk.up }
    }

    /// From behind along x, aircraft axes.
    pub fn from_behind() -> Self {
        Self { origin_m: Vec3::zeros(), right: Vec3::y(), up: Vec3::z() }
    }

    /// From port along y: aft right, aircraft axes.
    pub fn from_port() -> Self {
        Self { origin_m: Vec3::zeros(), right: Vec3::x(), up: Vec3::z() }
    }

    /// From above against z: starboard right, nose up, aircraft axes.
    pub fn from_above() -> Self {
        Self { origin_m: Vec3::zeros(), right: Vec3::y(), up: -Vec3::x() }
    }

    /// A point of the aircraft in the view.
    pub fn place(&self, point_m: &Vec3) -> Place {
        let from = point_m - self.origin_m;
        (from.dot(&self.right), from.dot(&self.up))
    }
}

/// Half thickness of the closed four-digit section over chord at a fraction of the chord.
fn half_thickness(thickness_ratio: f64, at: f64) -> f64 {
    let polynomial = at * (-0.1260 + at * (-0.3516 + at * (0.2843 - 0.1036 * at)));
    5.0 * thickness_ratio * (0.2969 * at.sqrt() + polynomial)
}

/// Points of a section, from the trailing edge over the upper side to the nose and back below, its flap as deflected.
fn section_points(surface: &Surface, half: &Half, s_m: f64) -> Vec<Vec3> {
    let (chord_m, flap) = (half.chord_m(s_m), flap_at(surface, half, s_m));
    let turn = (0..=2 * SECTION).map(|k| TAU * f64::from(k) / f64::from(2 * SECTION));
    turn.map(|angle| {
        let at = 0.5 * (1.0 + angle.cos());
        let side = if angle <= 0.5 * TAU { 1.0 } else { -1.0 };
        let rise_m = side * half_thickness(surface.thickness_ratio, at) * chord_m;
        section_point_m(half, s_m, (at, rise_m), flap)
    })
    .collect()
}

/// Stations along a half, with both sides of a flap's ends, where the edge steps.
fn stations_m(surface: &Surface, half: &Half) -> Vec<f64> {
    let even = (0..=STATIONS).map(|k| f64::from(k) / f64::from(STATIONS));
    let ends = surface.flaps.iter().flat_map(|flap| [flap.span_from, flap.span_to]);
    let beside = ends.flat_map(|end| [end - STEP, end + STEP]);
    let mut ratios: Vec<f64> = even.chain(beside).filter(|ratio| (0.0..=1.0).contains(ratio)).collect();
    ratios.sort_by(f64::total_cmp);
    ratios.into_iter().map(|ratio| ratio * half.length_m).collect()
}

/// The trailing edge at a station, as a flap turns it.
pub(crate) fn edge_m(surface: &Surface, half: &Half, s_m: f64) -> Vec3 {
    section_point_m(half, s_m, (1.0, 0.0), flap_at(surface, half, s_m))
}

/// The section of a surface abreast of `y_m`; `None` where it has none, as a fin.
pub(crate) fn section_at_y(surface: &Surface, y_m: f64, view: &View) -> Option<Vec<Place>> {
    let (half, s_m) = station_at_y(surface, y_m)?;
    let points = section_points(surface, &half, s_m);
    Some(points.iter().map(|point| view.place(point)).collect())
}

/// Half and station abreast of `y_m`.
pub(crate) fn station_at_y(surface: &Surface, y_m: f64) -> Option<(Half, f64)> {
    halves(surface).into_iter().find_map(|half| {
        let cosine = half.span_direction.y;
        let s_m = (y_m - surface.root_leading_edge_m.y) / cosine;
        (cosine.abs() > 1e-6 && half.spans(s_m)).then_some((half, s_m))
    })
}

/// Half and station abreast of a point: at its y, or of a fin at its height.
pub(crate) fn station_abreast(surface: &Surface, point_m: &Vec3) -> Option<(Half, f64)> {
    station_at_y(surface, point_m.y).or_else(|| {
        halves(surface).into_iter().find_map(|half| {
            let s_m = half.edge_coordinates(point_m).s_m;
            (half.span_direction.y.abs() <= 1e-6 && half.spans(s_m)).then_some((half, s_m))
        })
    })
}

/// What one half of a surface hides, seen along x or nearly so: from its lower to its upper edge at each station.
pub(crate) fn silhouette(surface: &Surface, half: &Half, view: &View) -> Vec<Place> {
    let (mut upper, mut lower) = (Vec::new(), Vec::new());
    for s_m in stations_m(surface, half) {
        let points = section_points(surface, half, s_m);
        let height = |point: &&Vec3| point.dot(&half.normal);
        let highest = points.iter().max_by(|a, b| height(a).total_cmp(&height(b)));
        let lowest = points.iter().min_by(|a, b| height(a).total_cmp(&height(b)));
        upper.extend(highest.map(|point| view.place(point)));
        lower.extend(lowest.map(|point| view.place(point)));
    }
    lower.reverse();
    upper.extend(lower);
    upper
}

/// Planform of a half: leading edge out, trailing edge back.
pub(crate) fn planform(half: &Half, view: &View) -> Vec<Place> {
    let (root, tip) = (0.0, half.length_m);
    [half.leading_edge(root), half.leading_edge(tip), half.trailing_edge(tip), half.trailing_edge(root)]
        .iter()
        .map(|point| view.place(point))
        .collect()
}

/// Trailing edge of a half, as its flaps turn it.
pub(crate) fn trailing_edge(surface: &Surface, half: &Half, view: &View) -> Vec<Place> {
    stations_m(surface, half).into_iter().map(|s_m| view.place(&edge_m(surface, half, s_m))).collect()
}

/// The greatest section of a body where its tail begins to close, seen from behind.
pub(crate) fn body_circle(body: &Body, view: &View) -> Vec<Place> {
    let shape = BodyShape::new(body);
    let centre = shape.nose_m + (shape.length_m - shape.closing_length_m) * Vec3::x();
    let turn = (0..=CIRCLE).map(|k| TAU * f64::from(k) / f64::from(CIRCLE));
    turn.map(|t| view.place(&(centre + shape.radius_m * Vec3::new(0.0, t.cos(), t.sin())))).collect()
}

/// Contour of a body seen from the side.
pub(crate) fn body_profile(body: &Body, view: &View) -> Vec<Place> {
    let shape = BodyShape::new(body);
    // Dense at the round nose.
    let stations = (0..=CIRCLE).map(|k| shape.length_m * (f64::from(k) / f64::from(CIRCLE)).powi(2));
    let axis: Vec<(f64, f64)> = stations.map(|x| (x, shape.radius_m(x))).collect();
    let edge = |side: f64| {
        let axis = axis.iter();
        axis.map(move |(x, r)| shape.nose_m + Vec3::new(*x, 0.0, side * r)).collect::<Vec<_>>()
    };
    let below = edge(-1.0).into_iter().rev();
    edge(1.0).into_iter().chain(below).map(|point| view.place(&point)).collect()
}

/// Rim of the disk.
pub(crate) fn rim(point: &OperatingPoint, view: &View) -> Vec<Place> {
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    let tip_m = 0.5 * point.propeller.diameter_m;
    let turn = (0..=RIM).map(|k| TAU * f64::from(k) / f64::from(RIM));
    turn.map(|psi| view.place(&disk.point_m(tip_m, psi))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NACA Report 460: greatest half thickness t/2 at 0.3 chord; the fifth coefficient closes the edge.
    #[test]
    fn section_is_as_thick_as_stated_and_closes() {
        assert!((half_thickness(0.12, 0.3) - 0.06).abs() < 1e-4);
        assert!(half_thickness(0.12, 1.0).abs() < 1e-12);
    }
}
