//! The lift field of a surface whose span, or one of whose deflected flaps, ends in the disk or close by: a wingtip with a pusher
//! behind it, a fin's root near the shaft, flaps on both sides of a fuselage.
//!
//! A vortex trails from a free end whose core and whose sheet stay sharp however far behind the edge. The grid of
//! [`super::potential`], which takes the distance from the edge for its scale, would miss it. Here the scale at a
//! point is the least of its distances from the ends, from the lines abreast of them, where the section part begins, and, abreast of
//! the span, from the sheet. Where the grid's steps are short against that
//! they serve; elsewhere the azimuths of the ring itself are evaluated at its own radius, all of them or every so many with
//! cubics between. The velocity of bound vortex and sheet comes from a [`GradedTable`].
//!
//! Left are errors below 1e-3 of V; within the core and within a fiftieth of the tip radius from the sheet up to 6e-3 at single
//! azimuths, where the strength of the sheet bends at the edges of the lifting line's strips.

use std::f64::consts::TAU;

use super::flap_ends::{FlapEnd, NEAR};
use super::graded_table::{EndOnDisk, GradedTable};
use super::potential::even_handed;
use super::station::StationGrid;
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::base::turn::even_stride;
use crate::frames::DiskAxes;
use crate::surface::lift_field::LiftField;

/// Steps over the scale of the field.
const STEPS_A_SCALE: f64 = 3.0;
/// Step along x over the tip radius by which the direction of an end vortex is found.
const ALONG: f64 = 0.05;

/// A lift field near the ends of its sheet.
pub(super) struct NearEnds {
    field: LiftField,
    table: Option<GradedTable>,
    ends: Vec<Line>,
    /// Stations where flaps end, with their halves and how wide the strips are there, m.
    flap_ends: Vec<(FlapEnd, f64)>,
    tip_m: f64,
    /// Position along y of a mirrored surface's plane of symmetry, m.
    symmetry_y_m: Option<f64>,
}

/// A straight line.
#[derive(Debug, Clone, Copy)]
struct Line {
    point_m: Vec3,
    direction: Vec3,
    /// Width within which the field changes no faster, m: 0 at a free end, whose core has its own table.
    width_m: f64,
}

impl Line {
    fn distance_m(&self, point_m: &Vec3) -> f64 {
        let from = point_m - self.point_m;
        (from - from.dot(&self.direction) * self.direction).norm().hypot(self.width_m)
    }
}

/// Axial velocity and velocity against the motion, m/s.
pub(super) type Met = [f64; 2];

impl NearEnds {
    /// `None` where no end comes near the disk.
    pub(super) fn new(
        field: &LiftField,
        disk: &DiskAxes,
        (tip_m, symmetry_y_m): (f64, Option<f64>),
        flap_ends: &[FlapEnd],
    ) -> Option<Self> {
        let vortices_at = |x_m: f64| -> Vec<(Vec3, f64)> {
            let of_flaps = flap_ends.iter().map(|end| field.flap_vortex_at(x_m, end.half, end.s_m));
            field.end_vortices_at(x_m).into_iter().chain(of_flaps).collect()
        };
        let at = vortices_at(disk.hub_m.x);
        let ahead = vortices_at(disk.hub_m.x - ALONG * tip_m);
        // Those of the flaps come last.
        let free = at.len() - flap_ends.len();
        let line = |end: usize| {
            let (point_m, core_m) = at[end];
            let direction = (point_m - ahead[end].0).normalize();
            Line { point_m, direction, width_m: if end < free { 0.0 } else { core_m } }
        };
        let lines: Vec<Line> = (0..at.len()).map(line).collect();
        let reach_m = (1.0 + NEAR) * tip_m;
        if flap_ends.is_empty() && lines.iter().all(|line| line.distance_m(&disk.hub_m) > reach_m) {
            return None;
        }
        let ends: Vec<EndOnDisk> =
            at.iter().map(|(point_m, core_m)| EndOnDisk { point_m: *point_m, core_m: *core_m }).collect();
        let table = GradedTable::new(field, disk, tip_m, &ends);
        let widths = at[free..].iter().map(|(_, width_m)| *width_m);
        let flap_ends = flap_ends.iter().copied().zip(widths).collect();
        Some(Self { field: field.clone(), table, ends: lines, flap_ends, tip_m, symmetry_y_m })
    }

    /// Velocity at a point of the disk, m/s.
    pub(super) fn velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        even_handed(point_m, self.symmetry_y_m, self.tip_m, |point| self.one_sided_m_s(point))
    }

    fn one_sided_m_s(&self, point_m: &Vec3) -> Vec3 {
        let Some(table) = &self.table else { return self.field.velocity_m_s(point_m) };
        self.field.velocity_with_sheet_m_s(point_m, |at| {
            table.velocity_m_s(at).unwrap_or_else(|| self.field.sheet_velocity_at_m_s(at))
        })
    }

    /// Distance over which the field changes at a point, m.
    fn scale_m(&self, point_m: &Vec3) -> f64 {
        let from_ends = self.ends.iter().map(|end| end.distance_m(point_m)).fold(f64::INFINITY, f64::min);
        let (half, s_m, height_m) = self.field.sheet_coordinates(point_m);
        let halves = self.field.halves();
        // Abreast of an end the section part begins, as the root of the distance.
        let from_tip = (s_m - halves[half].length_m).abs();
        let abreast_of_end = if halves.len() == 1 { from_tip.min(s_m.abs()) } else { from_tip };
        // So does that of a flap, over the strips there.
        let of_half = self.flap_ends.iter().filter(|(end, _)| end.half == half);
        let abreast_of_end =
            of_half.map(|(end, width_m)| (s_m - end.s_m).hypot(*width_m)).fold(abreast_of_end, f64::min);
        let from_sheet = if halves[half].spans(s_m) { height_m.abs() } else { f64::INFINITY };
        from_ends.min(abreast_of_end).min(from_sheet)
    }

    /// Puts what a station meets in place of what a grid of `radius_step_m` gave, wherever that is too coarse, cell by cell of
    /// `per_cell` azimuths.
    pub(super) fn replace(
        &self,
        ring: &StationGrid,
        (radius_step_m, per_cell): (f64, usize),
        met: &mut [Met],
    ) {
        let count = met.len();
        let mut looked = Looked { ring, field: self, at: vec![None; count] };
        let arc_m = TAU * ring.station.radius_m * per_cell as f64 / count as f64;
        for (cell, met) in met.chunks_exact_mut(per_cell).enumerate() {
            let first = cell * per_cell;
            let least_m = self.scale_m(&ring.point_m(first + per_cell / 2)) - 0.5 * arc_m;
            let step_m = least_m.max(0.0) / STEPS_A_SCALE;
            if arc_m.max(radius_step_m) <= step_m {
                continue;
            }
            let most = (step_m / arc_m * per_cell as f64) as usize;
            looked.fill(first, even_stride(per_cell, most), met);
        }
    }
}

/// What has been evaluated on a ring, azimuth by azimuth.
struct Looked<'a> {
    ring: &'a StationGrid<'a>,
    field: &'a NearEnds,
    at: Vec<Option<Met>>,
}

impl Looked<'_> {
    fn look(&mut self, j: usize) -> Met {
        let (ring, field) = (self.ring, self.field);
        *self.at[j].get_or_insert_with(|| {
            let velocity = field.velocity_m_s(&ring.point_m(j));
            [velocity.dot(&ring.disk.aft), -velocity.dot(&ring.directions.tangential[j])]
        })
    }

    /// Fills one cell, from azimuth index `first` on, by every `stride`-th azimuth with cubics between.
    fn fill(&mut self, first: usize, stride: usize, met: &mut [Met]) {
        let count = self.at.len();
        for (k, between) in met.chunks_exact_mut(stride).enumerate() {
            let place = first + k * stride;
            if stride == 1 {
                between[0] = self.look(place);
                continue;
            }
            let near: [Met; 4] =
                std::array::from_fn(|i| self.look((place + count + i * stride - stride) % count));
            for (i, met) in between.iter_mut().enumerate() {
                let weights = lagrange4(i as f64 / stride as f64);
                *met = std::array::from_fn(|part| (0..4).map(|n| weights[n] * near[n][part]).sum());
            }
        }
    }
}
