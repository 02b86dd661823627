//! Whether the volume the blades sweep meets a surface.
//!
//! A blade element of chord c at blade angle β reaches c |sin β| / 2 ahead of and behind the disk plane, so
//! between two radii the blades sweep a ring of that half depth. A surface is cut where its chord plane enters a
//! ring; its thickness is left out. Each half is split into strips of triangles, exact for untwisted surfaces.

use crate::base::Vec3;
use crate::point::input::{Placement, Propeller, Surface};
use crate::surface::geometry::halves;

/// Strips of a half; enough for the chord plane of a twisted surface to be flat within each.
const STRIPS: u32 = 16;

/// Disk position and axes.
struct Disk {
    hub_m: Vec3,
    aft: Vec3,
    side: Vec3,
    up: Vec3,
}

impl Disk {
    /// Tilt turns the shaft nose up about y, then toe turns it to starboard about the tilted z axis.
    fn new(placement: &Placement) -> Self {
        let (sin_tilt, cos_tilt) = placement.tilt_rad.sin_cos();
        let (sin_toe, cos_toe) = placement.toe_rad.sin_cos();
        let aft = Vec3::new(cos_toe * cos_tilt, -sin_toe, -cos_toe * sin_tilt);
        let up = Vec3::new(sin_tilt, 0.0, cos_tilt);
        Self { hub_m: placement.hub_m, aft, side: up.cross(&aft), up }
    }

    /// Coordinates: aft of the disk plane, and the two in it, m.
    fn local(&self, point: &Vec3) -> Vec3 {
        let d = point - self.hub_m;
        Vec3::new(d.dot(&self.aft), d.dot(&self.side), d.dot(&self.up))
    }
}

/// A ring of the swept volume, m.
struct Ring {
    inner_m: f64,
    outer_m: f64,
    half_depth_m: f64,
}

/// The rings between blade rows; the hub inside the root counts with the root's depth.
fn rings(propeller: &Propeller) -> Vec<Ring> {
    let radius_m = 0.5 * propeller.diameter_m;
    let errors = propeller.pitch_error_rad.iter().copied().chain([0.0]);
    let offsets: Vec<f64> = errors.map(|error| error + propeller.pitch_offset_rad).collect();
    let half_depth = |row: &crate::point::input::BladeRow| {
        let sine = offsets.iter().map(|o| (row.twist_rad + o).sin().abs()).fold(0.0, f64::max);
        0.5 * row.chord_ratio * radius_m * sine
    };
    let rows = &propeller.blade.rows;
    let hub = rows.first().map(|root| Ring {
        inner_m: 0.0,
        outer_m: root.radius_ratio * radius_m,
        half_depth_m: half_depth(root),
    });
    let between = rows.windows(2).map(|pair| Ring {
        inner_m: pair[0].radius_ratio * radius_m,
        outer_m: pair[1].radius_ratio * radius_m,
        half_depth_m: half_depth(&pair[0]).max(half_depth(&pair[1])),
    });
    hub.into_iter().chain(between).collect()
}

/// How far, m, the surface reaches into the swept volume from the side; `None` where they do not meet.
pub(super) fn deepest_cut_m(surface: &Surface, propeller: &Propeller, placement: &Placement) -> Option<f64> {
    let disk = Disk::new(placement);
    let tip_m = 0.5 * propeller.diameter_m;
    let triangles: Vec<[Vec3; 3]> =
        triangles(surface).into_iter().map(|corners| corners.map(|corner| disk.local(&corner))).collect();
    let rings = rings(propeller);
    let cut = |ring: &Ring| {
        let inner = triangles.iter().filter_map(|triangle| {
            let piece = clip_depth(triangle, ring.half_depth_m);
            let (near, far) = radial_extent(&piece)?;
            (near <= ring.outer_m && far >= ring.inner_m).then(|| tip_m - near.max(ring.inner_m))
        });
        inner.reduce(f64::max)
    };
    rings.iter().filter_map(cut).reduce(f64::max)
}

fn triangles(surface: &Surface) -> Vec<[Vec3; 3]> {
    let mut triangles = Vec::new();
    for half in halves(surface) {
        let station = |i: u32| half.length_m * f64::from(i) / f64::from(STRIPS);
        for (s, t) in (0..STRIPS).map(|i| (station(i), station(i + 1))) {
            let (front, rear) = (half.leading_edge(s), half.trailing_edge(s));
            let (next_front, next_rear) = (half.leading_edge(t), half.trailing_edge(t));
            triangles.push([front, rear, next_rear]);
            triangles.push([front, next_rear, next_front]);
        }
    }
    triangles
}

/// The part of a convex polygon within the slab |x| ≤ depth, by clipping at one face after the other.
fn clip_depth(polygon: &[Vec3], depth: f64) -> Vec<Vec3> {
    let below = clip(polygon, |p| depth - p.x);
    clip(&below, |p| p.x + depth)
}

/// The part of a convex polygon where `inside` is not negative; `inside` is linear in position.
fn clip(polygon: &[Vec3], inside: impl Fn(&Vec3) -> f64) -> Vec<Vec3> {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (i, corner) in polygon.iter().enumerate() {
        let next = &polygon[(i + 1) % polygon.len()];
        let (a, b) = (inside(corner), inside(next));
        if a >= 0.0 {
            kept.push(*corner);
        }
        if (a > 0.0 && b < 0.0) || (a < 0.0 && b > 0.0) {
            kept.push(corner.lerp(next, a / (a - b)));
        }
    }
    kept
}

/// Least and greatest distance from the shaft of a convex polygon, m; `None` for an empty one.
fn radial_extent(polygon: &[Vec3]) -> Option<(f64, f64)> {
    let far = polygon.iter().map(|p| p.y.hypot(p.z)).reduce(f64::max)?;
    let edges = (0..polygon.len()).map(|i| (&polygon[i], &polygon[(i + 1) % polygon.len()]));
    let near = edges.clone().map(|(a, b)| edge_distance(a, b)).reduce(f64::min)?;
    let turns: Vec<f64> = edges.map(|(a, b)| a.y * b.z - a.z * b.y).collect();
    // The shaft pierces the polygon where all edges turn around it the same way.
    let around = turns.iter().all(|t| *t > 0.0) || turns.iter().all(|t| *t < 0.0);
    Some((if around { 0.0 } else { near }, far))
}

/// Distance of a segment from the shaft in the disk plane, m.
fn edge_distance(a: &Vec3, b: &Vec3) -> f64 {
    let (dy, dz) = (b.y - a.y, b.z - a.z);
    let length_squared = dy * dy + dz * dz;
    let along =
        if length_squared > 0.0 { (-(a.y * dy + a.z * dz) / length_squared).clamp(0.0, 1.0) } else { 0.0 };
    (a.y + along * dy).hypot(a.z + along * dz)
}
