//! Velocity that a surface's lift makes at any point, with a chordwise load that is right close behind the edge.
//!
//! The field is the sum of two parts:
//!
//! - *section part*: the plane field of the section abreast of the point ([`super::section_field`]): flat plate,
//!   parabolic camber, flap, together carrying the lifting line's circulation there. Heights count from the chord line
//!   (see `section_axes`).
//! - *span part*: bound vortex and trailing sheet of the lifting line (`span_sheet`) less the plane vortex of
//!   the same circulation at the quarter chord. It holds what a finite span changes, is smooth over a chord, and
//!   vanishes for an infinite span. Heights count from the wake's centre line, where the sheet is.
//!
//! Far away the section part is its own lumped vortex, so the whole is the lifting line. Beyond the tips there is no
//! section part. Camber and flap parts fade over the last chord before a tip as the root of the distance, as
//! circulation does.
//!
//! Limits: sweep acts as in the lifting line, through slope and the place of the bound vortex; the section part stays
//! plane in the streamwise section. Sections of 10 to 12 % deviate 1 to 6 % from the plate at equal lift. Roll-up of
//! the sheet is left out. Stalled sections keep the field of an attached section of their lift.

use std::sync::Arc;

use super::centre_line::CentreLines;
use super::flow::SurfaceFlow;
use super::geometry::{EdgeCoordinates, Half, symmetry_y_m};
use super::section_axes::{SectionPoint, half_abreast, joined_normal};
use super::section_field::{LiftParts, plane_vortex_m_s};
use super::span_sheet::{BOUND_CORE, EndVortex, SpanSheet};
use crate::base::Vec3;

/// A point seen from the sheet of the half it is abreast of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SheetPoint {
    /// The half.
    pub half: usize,
    /// Station on the half, m.
    pub s_m: f64,
    /// Distance behind its undeflected trailing edge, m.
    pub aft_m: f64,
    /// Height above the sheet, m.
    pub height_m: f64,
}

/// The velocity field of a surface's lift.
#[derive(Debug, Clone)]
pub struct LiftField {
    flow: Arc<SurfaceFlow>,
    sheet: SpanSheet,
    /// One set a half.
    centre_lines: Vec<CentreLines>,
}

impl LiftField {
    /// The field of a surface whose wake runs along `centre_lines`, one set for each half.
    #[must_use]
    pub fn new(flow: Arc<SurfaceFlow>, centre_lines: Vec<CentreLines>) -> Self {
        Self { sheet: SpanSheet::new(&flow.line), flow, centre_lines }
    }

    /// Velocity at a point, aircraft axes, m/s.
    #[must_use]
    pub fn velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        self.section_velocity_m_s(point_m) + self.span_velocity_m_s(point_m)
    }

    /// The section part, m/s: steep near the edge, cheap.
    #[must_use]
    pub fn section_velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        self.section_velocity_at_m_s(&SectionPoint::new(&self.flow, point_m))
    }

    fn section_velocity_at_m_s(&self, point: &SectionPoint) -> Vec3 {
        if !point.at.is_inside() {
            return Vec3::zeros();
        }
        point.in_aircraft_axes(self.parts(point).velocity_m_s(point.zeta))
    }

    /// Velocity at a point with that of bound vortex and sheet, the dear part, taken from `sheet_m_s`, m/s.
    pub(crate) fn velocity_with_sheet_m_s(
        &self,
        point_m: &Vec3,
        sheet_m_s: impl Fn(&SheetPoint) -> Vec3,
    ) -> Vec3 {
        let point = SectionPoint::new(&self.flow, point_m);
        let at = self.sheet_point(&point);
        self.section_velocity_at_m_s(&point) + self.less_plane_vortex(sheet_m_s(&at), &at)
    }

    fn sheet_point(&self, point: &SectionPoint) -> SheetPoint {
        let (half, s_m, aft_m) = (point.at.half(), point.edge.s_m, point.edge.aft_m);
        let height_m = point.edge.offset_m - self.centre_height_m(half, s_m, aft_m);
        SheetPoint { half, s_m, aft_m, height_m }
    }

    fn parts(&self, point: &SectionPoint) -> LiftParts {
        let flow = &self.flow;
        let stream = &flow.line.velocity_m_s;
        let speed = stream.x.hypot(stream.dot(&point.half.normal));
        let (a, b) = point.ends_m(flow.surface.mirror);
        let inside = (a.min(b) / point.chord_m).clamp(0.0, 1.0);
        let strength = speed * (inside * (2.0 - inside)).sqrt();
        let section = &flow.surface.section;
        let camber = strength * super::centre_line::camber_strength(section);
        let flap = strength * super::centre_line::efficiency(section) * flow.blend(&point.at, |s| s.flap_rad);
        let hinge = flow.blend(&point.at, |s| s.hinge_rad);
        LiftParts::of_circulation(flow.circulation_m2_s(&point.at), point.chord_m, camber, (flap, hinge))
    }

    /// The span part, m/s: smooth on either side of the sheet.
    #[must_use]
    pub fn span_velocity_m_s(&self, point_m: &Vec3) -> Vec3 {
        self.span_velocity_at_m_s(&self.sheet_point(&SectionPoint::new(&self.flow, point_m)))
    }

    /// The span part at a point seen from the sheet, m/s.
    pub(crate) fn span_velocity_at_m_s(&self, at: &SheetPoint) -> Vec3 {
        self.less_plane_vortex(self.sheet_velocity_at_m_s(at), at)
    }

    /// Velocity of bound vortex and trailing sheet, m/s.
    pub(crate) fn sheet_velocity_at_m_s(&self, at: &SheetPoint) -> Vec3 {
        // The lifting line's sheet leaves the quarter chord level.
        let from = self.halves()[at.half].quarter_chord(at.s_m);
        let up = at.height_m * self.halves()[at.half].normal;
        self.sheet.velocity_m_s(&(from + self.behind_m(at) * Vec3::x() + up))
    }

    /// Distance behind the quarter chord, m.
    fn behind_m(&self, at: &SheetPoint) -> f64 {
        let geometry = &self.halves()[at.half];
        at.aft_m + (geometry.trailing_edge(at.s_m) - geometry.quarter_chord(at.s_m)).x
    }

    /// A velocity less that of the plane vortex of the circulation abreast, m/s.
    fn less_plane_vortex(&self, velocity_m_s: Vec3, at: &SheetPoint) -> Vec3 {
        let halves = self.halves();
        let geometry = &halves[at.half];
        let circulation = self.flow.circulation_m2_s(&self.flow.position(at.half, at.s_m));
        let core_m = BOUND_CORE * geometry.chord_m(at.s_m.clamp(0.0, geometry.length_m));
        let (u, w) = plane_vortex_m_s(circulation, self.behind_m(at), at.height_m, core_m);
        let y_m = geometry.quarter_chord(at.s_m).y + at.height_m * geometry.normal.y;
        let normal = joined_normal(halves, geometry, y_m - symmetry_y_m(halves));
        velocity_m_s - u * Vec3::x() - w * normal
    }

    /// Where the vortices of the free ends pass the plane of an `x_m`, aircraft axes, m, and the radii of their cores, m.
    pub(crate) fn end_vortices_at(&self, x_m: f64) -> [(Vec3, f64); 2] {
        let controls = &self.flow.line.span.controls;
        let [first, last] = self.sheet.ends();
        [
            self.vortex_at(x_m, controls[0].half, &first),
            self.vortex_at(x_m, controls[controls.len() - 1].half, &last),
        ]
    }

    /// Where the vortex of a flap's end at station `s_m` of a half passes the plane of an `x_m`, aircraft axes, m, and the width that the strips
    /// give it, m.
    pub(crate) fn flap_vortex_at(&self, x_m: f64, half: usize, s_m: f64) -> (Vec3, f64) {
        let from_m = self.halves()[half].quarter_chord(s_m);
        let vortex = self.sheet.vortex_from(from_m, self.flow.position(half, s_m).nearest());
        self.vortex_at(x_m, half, &vortex)
    }

    fn vortex_at(&self, x_m: f64, half: usize, vortex: &EndVortex) -> (Vec3, f64) {
        let geometry = &self.halves()[half];
        let on_thread = vortex.from_m + (x_m - vortex.from_m.x) / vortex.aft.x * vortex.aft;
        let s_m = (on_thread - geometry.root_quarter_chord_m).dot(&geometry.span_direction);
        let aft_m = x_m - geometry.trailing_edge(s_m).x;
        let offset_m = self.centre_height_m(half, s_m, aft_m);
        (geometry.point(&EdgeCoordinates { s_m, aft_m, offset_m }), vortex.core_m)
    }

    /// The half a point is abreast of, its station there and its height above the sheet, m.
    pub(crate) fn sheet_coordinates(&self, point_m: &Vec3) -> (usize, f64, f64) {
        let halves = self.halves();
        let half = half_abreast(halves, point_m);
        let edge = halves[half].edge_coordinates(point_m);
        (half, edge.s_m, edge.offset_m - self.centre_height_m(half, edge.s_m, edge.aft_m))
    }

    /// Height of the wake's centre line above the undeflected edge, m.
    pub(crate) fn centre_height_m(&self, half: usize, s_m: f64, aft_m: f64) -> f64 {
        self.centre_lines[half].height_m(s_m, aft_m)
    }

    /// The halves of the surface.
    pub(crate) fn halves(&self) -> &[Half] {
        &self.flow.line.span.halves
    }
}
