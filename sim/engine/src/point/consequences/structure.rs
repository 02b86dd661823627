//! How near the blades come to the structure.
//!
//! The blades sweep a ring of half depth c |sin β| / 2 about the disk plane at every radius. Structure is the skin of every surface, its
//! flaps as deflected, and of every body, both sampled.
//!
//! - *Axial clearance*: between the blades' nearest edges and structure within the tip circle, along the shaft.
//! - *Tip clearance*: between the tip circle and structure abreast of the blades' tips, radially.
//!
//! 14 CFR 25.925(c) and former 23.925(c) ask for 0.5 in (0.0127 m) and 1 in (0.0254 m), and for what harmful vibration needs beyond.

use super::scalar;
use crate::base::Vec3;
use crate::body::shape::{BodyShape, Meridian};
use crate::frames::DiskAxes;
use crate::point::input::{OperatingPoint, Propeller};
use crate::point::result::Scalar;
use crate::surface::geometry::halves;
use crate::surface::skin::{flap_at, reach_ratio, section_point_m};
use std::f64::consts::TAU;

/// Least axial clearance of 14 CFR 25.925(c) and former 23.925(c): 0.5 in.
pub const AXIAL_RULE_M: f64 = 0.0127;
/// Least tip clearance of 14 CFR 25.925(c) and former 23.925(c): 1 in.
pub const TIP_RULE_M: f64 = 0.0254;

/// Samples along the span of a half, along a chord, along a body, around it. The least distance is flat about its place, so
/// that the error goes with the square of the spacing.
const SPAN_POINTS: u32 = 400;
const CHORD_POINTS: u32 = 20;
const BODY_SLICES: u32 = 200;
const BODY_ANGLES: u32 = 48;
/// Samples along a blade.
const BLADE_POINTS: u32 = 100;

/// Least clearances over all structure, m; infinite where there is none within or abreast of the tip circle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct StructureClearance {
    pub axial_m: f64,
    pub tip_m: f64,
}

/// Axial and tip clearance where there is structure to clear.
pub(super) fn structure(point: &OperatingPoint) -> Vec<Scalar> {
    let clearance = structure_clearance(point);
    let mut all = Vec::new();
    if clearance.axial_m.is_finite() {
        let words = "clearance between blades and structure, axial";
        all.push(scalar("clearance_axial_m", "m", words, clearance.axial_m));
    }
    if clearance.tip_m.is_finite() {
        let words = "clearance between blade tips and structure abreast of them, radial";
        all.push(scalar("clearance_tip_m", "m", words, clearance.tip_m));
    }
    all
}

pub(super) fn structure_clearance(point: &OperatingPoint) -> StructureClearance {
    let mut least = Least::new(point);
    for surface in &point.surfaces {
        for half in halves(surface) {
            for i in 0..=SPAN_POINTS {
                let s_m = half.length_m * f64::from(i) / f64::from(SPAN_POINTS);
                let middle_m = section_point_m(&half, s_m, (0.5, 0.0), None);
                let chord_m = half.chord_m(s_m);
                if !least
                    .may_be_met_within(&middle_m, (reach_ratio(surface) + surface.thickness_ratio) * chord_m)
                {
                    continue;
                }
                let flap = flap_at(surface, &half, s_m);
                for j in 0..=CHORD_POINTS {
                    let x = f64::from(j) / f64::from(CHORD_POINTS);
                    let half_m = half_thickness_ratio(surface.thickness_ratio, x) * chord_m;
                    for rise_m in [-half_m, half_m] {
                        least.take(&section_point_m(&half, s_m, (x, rise_m), flap));
                    }
                }
            }
        }
    }
    for body in &point.bodies {
        let shape = BodyShape::new(body);
        // From the tail, which is nearest to a propeller behind.
        for i in (0..=BODY_SLICES).rev() {
            let x_m = shape.length_m * f64::from(i) / f64::from(BODY_SLICES);
            let radius_m = shape.radius_m(x_m);
            if !least.may_be_met_within(&(shape.nose_m + x_m * Vec3::x()), radius_m) {
                continue;
            }
            for k in 0..BODY_ANGLES {
                let (sin, cos) = (TAU * f64::from(k) / f64::from(BODY_ANGLES)).sin_cos();
                least.take(&(shape.nose_m + Vec3::new(x_m, radius_m * sin, radius_m * cos)));
            }
        }
    }
    least.found
}

/// Half the thickness over chord of a four-digit section (Abbott and von Doenhoff, closed trailing edge).
fn half_thickness_ratio(thickness_ratio: f64, x: f64) -> f64 {
    let shape = 0.2969 * x.sqrt() - x * (0.1260 + x * (0.3516 - x * (0.2843 - 0.1036 * x)));
    5.0 * thickness_ratio * shape.max(0.0)
}

/// The least clearances met so far.
struct Least<'a> {
    propeller: &'a Propeller,
    disk: DiskAxes,
    tip_m: f64,
    tip_half_depth_m: f64,
    /// No blade is deeper anywhere.
    most_half_depth_m: f64,
    found: StructureClearance,
}

impl<'a> Least<'a> {
    fn new(point: &'a OperatingPoint) -> Self {
        let propeller = &point.propeller;
        Self {
            propeller,
            disk: DiskAxes::new(&point.placement, propeller.rotation),
            tip_m: 0.5 * propeller.diameter_m,
            tip_half_depth_m: half_depth_m(propeller, 1.0),
            most_half_depth_m: half_depth_m_of(propeller, greatest_chord_ratio(propeller), 1.0),
            found: StructureClearance { axial_m: f64::INFINITY, tip_m: f64::INFINITY },
        }
    }

    /// Whether a point within `reach_m` of another may come nearer than all before.
    fn may_be_met_within(&self, centre_m: &Vec3, reach_m: f64) -> bool {
        // Twice round-off of the place itself, so that no point is lost to it.
        let reach_m = reach_m + 4.0 * f64::EPSILON * (centre_m.amax() + self.disk.hub_m.amax());
        let (aft_m, radius_m) = self.seen_from_hub(centre_m);
        let aft_m = aft_m.abs() - reach_m;
        let axially = radius_m - reach_m <= self.tip_m && aft_m - self.most_half_depth_m < self.found.axial_m;
        let radially = aft_m <= self.tip_half_depth_m && radius_m - reach_m - self.tip_m < self.found.tip_m;
        axially || radially
    }

    /// Distance of a point aft of the disk and from the shaft, m.
    fn seen_from_hub(&self, point_m: &Vec3) -> (f64, f64) {
        let from_hub = point_m - self.disk.hub_m;
        let aft_m = from_hub.dot(&self.disk.aft);
        (aft_m, (from_hub - aft_m * self.disk.aft).norm())
    }

    fn take(&mut self, point_m: &Vec3) {
        let (aft_m, radius_m) = self.seen_from_hub(point_m);
        let root_m = self.propeller.blade.rows[0].radius_ratio * self.tip_m;
        if radius_m <= self.tip_m && radius_m >= root_m {
            let gap_m = aft_m.abs() - half_depth_m(self.propeller, radius_m / self.tip_m);
            self.found.axial_m = self.found.axial_m.min(gap_m);
        } else if radius_m > self.tip_m && aft_m.abs() <= self.tip_half_depth_m {
            self.found.tip_m = self.found.tip_m.min(radius_m - self.tip_m);
        }
    }
}

/// Half the axial depth of the blades at a radius over tip radius, pitch offset and errors counted, m.
fn half_depth_m(propeller: &Propeller, radius_ratio: f64) -> f64 {
    let rows = &propeller.blade.rows;
    let after = rows.partition_point(|row| row.radius_ratio < radius_ratio).clamp(1, rows.len() - 1);
    let (a, b) = (&rows[after - 1], &rows[after]);
    let share = ((radius_ratio - a.radius_ratio) / (b.radius_ratio - a.radius_ratio)).clamp(0.0, 1.0);
    let between = |value: fn(&crate::point::input::BladeRow) -> f64| value(a) + share * (value(b) - value(a));
    let twist_rad = between(|row| row.twist_rad) + propeller.pitch_offset_rad;
    let sine = propeller
        .pitch_error_rad
        .iter()
        .chain([&0.0])
        .map(|error| (twist_rad + error).sin().abs())
        .fold(0.0, f64::max);
    half_depth_m_of(propeller, between(|row| row.chord_ratio), sine)
}

/// Half the axial depth of a chord that stands at an angle to the disk plane, given by its sine, m.
fn half_depth_m_of(propeller: &Propeller, chord_ratio: f64, sine: f64) -> f64 {
    0.25 * chord_ratio * propeller.diameter_m * sine
}

/// Half the axial depth of the blades where they are deepest, m.
pub(super) fn greatest_half_depth_m(propeller: &Propeller) -> f64 {
    let ratios = (0..=BLADE_POINTS).map(|i| f64::from(i) / f64::from(BLADE_POINTS));
    ratios.map(|ratio| half_depth_m(propeller, ratio)).fold(0.0, f64::max)
}

fn greatest_chord_ratio(propeller: &Propeller) -> f64 {
    propeller.blade.rows.iter().map(|row| row.chord_ratio).fold(0.0, f64::max)
}
