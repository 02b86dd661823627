//! Whether the volume the blades sweep meets a surface.
//!
//! A blade element of chord c at blade angle β reaches c |sin β| / 2 ahead of and behind the disk plane, so
//! between two radii the blades sweep a ring of that half depth. A surface is cut where its chord plane enters a
//! ring, flaps as deflected; its thickness is left out. Each half is split into strips of triangles, exact for untwisted surfaces.

use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::{Placement, Propeller, Surface};
use crate::surface::geometry::{Half, halves};
use crate::surface::skin::{flap_at, section_point_m};

/// Strips of a half; enough for the chord plane of a twisted surface to be flat within each.
const STRIPS: u32 = 16;

/// Coordinates of a point: aft of the disk plane, and the two in it, m.
pub(super) fn local(disk: &DiskAxes, point: &Vec3) -> Vec3 {
    let d = point - disk.hub_m;
    Vec3::new(d.dot(&disk.aft), d.dot(&disk.starboard), d.dot(&disk.up))
}

/// A ring of the swept volume, m.
pub(super) struct Ring {
    pub inner_m: f64,
    pub outer_m: f64,
    pub half_depth_m: f64,
}

/// Half the depth of the blades at a row, m.
fn half_depth_m(propeller: &Propeller, row: &crate::point::input::BladeRow) -> f64 {
    let errors = propeller.pitch_error_rad.iter().copied().chain([0.0]);
    let sine = errors
        .map(|error| (row.twist_rad + error + propeller.pitch_offset_rad).sin().abs())
        .fold(0.0, f64::max);
    0.25 * row.chord_ratio * propeller.diameter_m * sine
}

/// The rings between blade rows, from root to tip.
pub(super) fn blade_rings(propeller: &Propeller) -> Vec<Ring> {
    let radius_m = 0.5 * propeller.diameter_m;
    let between = propeller.blade.rows.windows(2).map(|pair| Ring {
        inner_m: pair[0].radius_ratio * radius_m,
        outer_m: pair[1].radius_ratio * radius_m,
        half_depth_m: half_depth_m(propeller, &pair[0]).max(half_depth_m(propeller, &pair[1])),
    });
    between.collect()
}

/// The rings of the blades and the hub inside the root, which counts with the root's depth.
pub(super) fn rings(propeller: &Propeller) -> Vec<Ring> {
    let hub = propeller.blade.rows.first().map(|root| Ring {
        inner_m: 0.0,
        outer_m: root.radius_ratio * 0.5 * propeller.diameter_m,
        half_depth_m: half_depth_m(propeller, root),
    });
    hub.into_iter().chain(blade_rings(propeller)).collect()
}

/// How far, m, the surface reaches into the swept volume from the side; `None` where they do not meet.
pub(super) fn deepest_cut_m(surface: &Surface, propeller: &Propeller, placement: &Placement) -> Option<f64> {
    let disk = DiskAxes::new(placement, propeller.rotation);
    let tip_m = 0.5 * propeller.diameter_m;
    let triangles: Vec<[Vec3; 3]> =
        triangles(surface).into_iter().map(|corners| corners.map(|corner| local(&disk, &corner))).collect();
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
        for ends in stations(surface, &half).windows(2) {
            let (s, t) = (ends[0], ends[1]);
            let flap = flap_at(surface, &half, 0.5 * (s + t));
            let hinge = flap.map(|flap| 1.0 - flap.chord_ratio);
            let along: Vec<f64> = [Some(0.0), hinge, Some(1.0)].into_iter().flatten().collect();
            for part in along.windows(2) {
                let at = |s_m: f64, x: f64| section_point_m(&half, s_m, (x, 0.0), flap);
                let (front, rear) = (at(s, part[0]), at(s, part[1]));
                let (next_front, next_rear) = (at(t, part[0]), at(t, part[1]));
                triangles.push([front, rear, next_rear]);
                triangles.push([front, next_rear, next_front]);
            }
        }
    }
    triangles
}

/// Ends of the strips of a half, those of its flaps among them, m.
fn stations(surface: &Surface, half: &Half) -> Vec<f64> {
    let even = (0..=STRIPS).map(|i| f64::from(i) / f64::from(STRIPS));
    let of_flaps = surface.flaps.iter().flat_map(|flap| [flap.span_from, flap.span_to]);
    let mut all: Vec<f64> = even.chain(of_flaps).map(|ratio| ratio * half.length_m).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    all
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

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use crate::point::input::{BladeRow, BladeTable, Compressibility, Flap, Rotation};
    use crate::surface::test_surfaces::wing;
    use std::f64::consts::FRAC_PI_2;

    /// A propeller of radius 0.2 m with blades 0.02 m deep everywhere.
    pub(in crate::case) fn propeller() -> Propeller {
        let row = |radius_ratio| BladeRow {
            radius_ratio,
            chord_ratio: 0.1,
            twist_rad: FRAC_PI_2,
            sweep_ratio: 0.0,
            thickness_ratio: 0.1,
            section: 0,
        };
        Propeller {
            blade_count: 2,
            diameter_m: 0.4,
            speed_rad_s: 600.0,
            rotation: Rotation::Clockwise,
            pitch_offset_rad: 0.0,
            blade: BladeTable { generic: false, rows: vec![row(0.2), row(1.0)] },
            sections: Vec::new(),
            compressibility: Compressibility::None,
            pitch_error_rad: Vec::new(),
            spacing_error_rad: Vec::new(),
        }
    }

    fn level(x: f64, y: f64, z: f64) -> Placement {
        Placement { hub_m: Vec3::new(x, y, z), tilt_rad: 0.0, toe_rad: 0.0 }
    }

    /// The wing's trailing edge at the root is at x = 1.4, z = 0.2.
    #[test]
    fn the_blade_depth_decides_behind_the_edge_and_the_tip_circle_beside_it() {
        let cut = |placement| deepest_cut_m(&wing(), &propeller(), &placement);
        assert_eq!(cut(level(1.4101, 0.0, 0.2)), None);
        assert!((cut(level(1.4099, 0.0, 0.2)).unwrap() - 0.2).abs() < 1e-3);
        assert_eq!(cut(level(1.2, 0.0, 0.4001)), None);
        assert!(cut(level(1.2, 0.0, 0.3999)).unwrap() < 1e-3);
        // Beyond the tip at y = 1, whose chord runs from x = 1.05 to 1.25.
        assert_eq!(cut(level(1.15, 1.2001, 0.2)), None);
        assert!(cut(level(1.15, 1.1999, 0.2)).is_some());
    }

    /// A flap of 0.1 m chord at the root, 60 deg down, ends 0.087 m below and 0.05 m ahead of the edge.
    #[test]
    fn a_deflected_flap_reaches_into_a_disk_below() {
        let flap = |deflection_deg: f64| Flap {
            name: "flap".into(),
            span_from: 0.0,
            span_to: 0.5,
            chord_ratio: 0.25,
            deflection_rad: deflection_deg.to_radians(),
        };
        let cut = |deflection_deg: f64, z: f64| {
            let surface = Surface { flaps: vec![flap(deflection_deg)], ..wing() };
            deepest_cut_m(&surface, &propeller(), &level(1.35, 0.0, z))
        };
        assert_eq!(cut(0.0, -0.001), None);
        assert_eq!(cut(60.0, -0.0867), None);
        assert!(cut(60.0, -0.0865).is_some());
        assert_eq!(cut(-60.0, -0.001), None);
    }

    /// The clipped triangles against a dense cloud of points of the same chord plane.
    #[test]
    fn clipping_agrees_with_sampled_points() {
        let propeller = propeller();
        let mut state = 1_u64;
        let mut random = || {
            // Knuth's linear congruential generator; the upper bits are good enough here.
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            f64::from((state >> 40) as u32) / f64::from(1_u32 << 24) * 2.0 - 1.0
        };
        let (mut cut, mut clear) = (0, 0);
        for _ in 0..200 {
            let surface = Surface {
                dihedral_rad: 0.5 * random(),
                incidence_rad: 0.2 * random(),
                sweep_rad: 0.4 * random(),
                ..wing()
            };
            let placement = Placement {
                tilt_rad: 0.5 * random(),
                toe_rad: 0.5 * random(),
                hub_m: Vec3::new(1.4 + 0.25 * random(), 0.8 * random(), 0.2 + 0.25 * random()),
            };
            let exact = deepest_cut_m(&surface, &propeller, &placement);
            let sampled = sampled_cut_m(&surface, &placement);
            // Points 5 mm apart at most reach at least that near to the true extent in all but grazing cuts.
            match (exact, sampled) {
                (Some(exact), Some(sampled)) => {
                    assert!(exact >= sampled - 1e-12, "{exact} {sampled}");
                    assert!(exact - sampled < 0.02, "{exact} {sampled}");
                    cut += 1;
                }
                (Some(exact), None) => assert!(exact < 0.02, "{exact} in {placement:?}"),
                (None, sampled) => {
                    assert_eq!(sampled, None);
                    clear += 1;
                }
            }
        }
        assert!(cut > 40 && clear > 40, "{cut} {clear}");
    }

    fn sampled_cut_m(surface: &Surface, placement: &Placement) -> Option<f64> {
        let disk = DiskAxes::new(placement, Rotation::Clockwise);
        let mut deepest: Option<f64> = None;
        for half in halves(surface) {
            for i in 0..=400 {
                let s = half.length_m * f64::from(i) / 400.0;
                let (front, rear) = (half.leading_edge(s), half.trailing_edge(s));
                for j in 0..=200 {
                    let p = local(&disk, &front.lerp(&rear, f64::from(j) / 200.0));
                    let radius = p.y.hypot(p.z);
                    if p.x.abs() <= 0.01 && radius <= 0.2 {
                        deepest = Some(deepest.unwrap_or(0.0).max(0.2 - radius));
                    }
                }
            }
        }
        deepest
    }
}
