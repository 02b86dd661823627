//! The viscous wake of a lifting surface as an inflow source.
//!
//! Once a point: circulation by lifting line, from it at each strip near the disk the local angle, section drag and
//! the wake's centre line; depth and width behind each strip on a short table over distance. Between strips and
//! table rows values are linear (error below 1e-4 of them for disks of usual tilt and sweep). A wake ends at the tips
//! over about its own width; tip-vortex roll-up is not modelled.

use super::suction::thickened_reach;
use super::surface_at_disk::SurfaceAtDisk;
use super::{InflowSource, WakePlane, WakePosition};
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::point::input::SurfaceWake;
use crate::point::result::Warning;
use crate::section::analytic_coefficients;
use crate::surface::centre_line::CentreLine;
use crate::surface::geometry::{EdgeCoordinates, Half};
use crate::wake::{MomentumWake, Naca651Wake, WakeModel, WakeSection, WakeStation};

/// Shortest chord, over the mean one, that sets the length of a wake's tables; beyond them the last slope is carried on.
const LEAST_CHORD: f64 = 0.2;

/// Rows of a strip's table over distance behind the edge.
const ROWS: usize = 17;

/// A surface's wake where the disk cuts it.
pub struct SurfaceWakeSource {
    name: String,
    parts: Vec<Part>,
    table: AftTable,
    reach_m: f64,
    warning: Option<Warning>,
}

/// One half of the surface.
struct Part {
    half: Half,
    /// Trailing edge as a straight line, where twist leaves it straight.
    straight_edge: Option<(Vec3, Vec3)>,
    /// Drift along the span per distance aft, from sideslip.
    drift: f64,
    /// Side of the plane of symmetry, +1 starboard, of a mirrored half; `None` where the root is a free end too.
    side: Option<f64>,
    /// Root position along y, m, and its drift per distance aft of the root's edge, from sideslip.
    symmetry_m: (f64, f64),
    /// Trailing edge of the root along x, m: both halves divide along one line aft of it.
    root_edge_x_m: f64,
    strips: Vec<StripWake>,
}

/// Rows of the strips' tables over distance behind the edge.
#[derive(Debug, Clone, Copy)]
struct AftTable {
    from_m: f64,
    step_m: f64,
}

impl AftTable {
    /// Row below a distance behind the edge and the part of the way to the next; ends are held.
    fn at(&self, aft_m: f64) -> (usize, f64) {
        let row = ((aft_m - self.from_m) / self.step_m).clamp(0.0, (ROWS - 1) as f64);
        let index = (row as usize).min(ROWS - 2);
        (index, row - index as f64)
    }
}

/// The wake behind one strip.
struct StripWake {
    s_m: f64,
    chord_m: f64,
    /// Height of the centre line above the trailing edge at the rows, m.
    heights_m: Vec<f64>,
    rows: Vec<WakeStation>,
}

impl SurfaceWakeSource {
    /// The wake of a surface on a disk; `None` where it sheds none or does not lie ahead.
    #[must_use]
    pub fn new(seen: &SurfaceAtDisk, disk: &DiskAxes) -> Option<Self> {
        let flow = &seen.flow;
        let (aft_from_m, aft_to_m) = seen.aft_m;
        let model = wake_model(seen)?;
        let model = &*model;
        let aft_step_m = (aft_to_m - aft_from_m) / (ROWS - 1) as f64;
        let stream = &flow.line.velocity_m_s;
        let mut parts = Vec::new();
        for (index, half) in flow.line.span.halves.iter().enumerate() {
            let strips = seen.centre_lines[index]
                .by_strip()
                .map(|(strip, line)| StripWake::new(seen, model, strip, line, (aft_from_m, aft_step_m)))
                .collect();
            let side = flow.surface.mirror.then(|| if index == 0 { 1.0 } else { -1.0 });
            parts.push(Part::new(half, stream, side, flow.surface.root_leading_edge_m.y, strips));
        }
        let stations = || parts.iter().flat_map(|p| &p.strips).flat_map(|s| &s.rows);
        let reach_m = stations().map(WakeStation::support_m).fold(0.0, f64::max);
        if stations().all(|s| s.peak <= 0.0) {
            return None;
        }
        let warning = hub_warning(seen, model, disk);
        let name = format!("{}_wake", flow.surface.name);
        let table = AftTable { from_m: aft_from_m, step_m: aft_step_m };
        Some(Self { name, parts, table, reach_m, warning })
    }
}

/// The wake model of a surface out to the furthest point of the disk; `None` where it sheds no wake.
///
/// Boundary layers are those at the Reynolds number of the mean chord: a taper of 2 moves H at the edge by 0.05 at the most.
pub(crate) fn wake_model(seen: &SurfaceAtDisk) -> Option<Box<dyn WakeModel>> {
    let surface = &seen.flow.surface;
    match surface.wake {
        SurfaceWake::None => None,
        SurfaceWake::Naca651 => Some(Box::new(Naca651Wake)),
        SurfaceWake::Momentum => {
            let mean_chord_m = 0.5 * (surface.root_chord_m + surface.tip_chord_m);
            let least_chord_m = surface.root_chord_m.min(surface.tip_chord_m).max(LEAST_CHORD * mean_chord_m);
            Some(Box::new(MomentumWake::of_section(
                surface.thickness_ratio,
                seen.reynolds_per_m * mean_chord_m,
                surface.potential,
                seen.aft_m.1 / least_chord_m,
            )))
        }
    }
}

/// What the section at a strip hands to its wake `aft_m` behind the trailing edge.
pub(crate) fn wake_section(seen: &SurfaceAtDisk, strip: usize, aft_m: f64) -> WakeSection {
    let at = &seen.flow.line.strips[strip];
    let section = &seen.flow.sections[strip].analytic;
    WakeSection {
        chord_m: at.chord_m,
        drag_coefficient: analytic_coefficients(section, at.effective_angle_rad, 1.0).drag,
        edge_speed_ratio: seen.edge_speed_ratio(at.half, at.s_m, aft_m),
    }
}

/// What the wake model is known to miss abreast of the hub.
fn hub_warning(seen: &SurfaceAtDisk, model: &dyn WakeModel, disk: &DiskAxes) -> Option<Warning> {
    let line = &seen.flow.line;
    let hub: Vec<EdgeCoordinates> =
        line.span.halves.iter().map(|half| half.edge_coordinates(&disk.hub_m)).collect();
    let nearest = (0..line.strips.len()).min_by(|a, b| {
        let distance = |i: &usize| (line.strips[*i].s_m - hub[line.strips[*i].half].s_m).abs();
        distance(a).total_cmp(&distance(b))
    })?;
    let at = hub[line.strips[nearest].half];
    if at.aft_m <= 0.0 {
        return None;
    }
    // Only the strips ahead of the disk have a centre line; the warning asks for section and distance alone.
    let section = WakeSection { edge_speed_ratio: 1.0, ..wake_section(seen, nearest, at.aft_m) };
    let warning = model.warning(&section, at.aft_m)?;
    Some(Warning { text: format!("surface `{}`: {}", seen.flow.surface.name, warning.text), ..warning })
}

impl StripWake {
    fn new(
        seen: &SurfaceAtDisk,
        model: &dyn WakeModel,
        strip: usize,
        line: &CentreLine,
        (aft_from_m, aft_step_m): (f64, f64),
    ) -> Self {
        let aft_m = |row: usize| aft_from_m + aft_step_m * row as f64;
        let station = |row: usize| model.station(&wake_section(seen, strip, aft_m(row)), aft_m(row));
        let at = &seen.flow.line.strips[strip];
        Self {
            s_m: at.s_m,
            chord_m: at.chord_m,
            heights_m: (0..ROWS).map(|row| line.height_m(aft_m(row))).collect(),
            rows: (0..ROWS).map(station).collect(),
        }
    }
}

impl Part {
    fn new(half: &Half, stream: &Vec3, side: Option<f64>, root_y_m: f64, strips: Vec<StripWake>) -> Self {
        let straight_edge = (half.twist_rad == 0.0)
            .then(|| (half.trailing_edge(0.0), half.trailing_edge(1.0) - half.trailing_edge(0.0)));
        let drift = stream.dot(&half.span_direction) / stream.x;
        let symmetry_m = (root_y_m, stream.y / stream.x);
        let root_edge_x_m = half.trailing_edge(0.0).x;
        Self { half: half.clone(), straight_edge, drift, side, symmetry_m, root_edge_x_m, strips }
    }

    /// A point seen from the trailing edge; the same as [`Half::edge_coordinates`], faster without twist.
    fn edge_coordinates(&self, point_m: &Vec3) -> EdgeCoordinates {
        let Some((root, slope)) = &self.straight_edge else {
            return self.half.edge_coordinates(point_m);
        };
        let s_m = (point_m - self.half.root_quarter_chord_m).dot(&self.half.span_direction);
        let from_edge = point_m - (root + slope * s_m);
        EdgeCoordinates { s_m, aft_m: from_edge.x, offset_m: from_edge.dot(&self.half.normal) }
    }

    /// Neighbouring strips at a span station and the part of the way between them; ends are held.
    fn between(&self, s_m: f64) -> (&StripWake, &StripWake, f64) {
        let last = self.strips.len() - 1;
        let above = self.strips.partition_point(|strip| strip.s_m <= s_m);
        if above == 0 || above > last {
            let end = &self.strips[above.min(last)];
            return (end, end, 0.0);
        }
        let (a, b) = (&self.strips[above - 1], &self.strips[above]);
        (a, b, (s_m - a.s_m) / (b.s_m - a.s_m))
    }

    /// Where a point lies in this half's wake; `None` ahead of the edge and beyond the span.
    fn position(&self, index: usize, point_m: &Vec3, reach_m: f64, table: &AftTable) -> Option<WakePosition> {
        let at = self.edge_coordinates(point_m);
        if at.aft_m <= 0.0 {
            return None;
        }
        let span_m = at.s_m - self.drift * at.aft_m;
        if span_m > self.half.length_m + reach_m || !self.claims(point_m, span_m, reach_m) {
            return None;
        }
        let (a, b, t) = self.between(span_m);
        let (row, u) = table.at(at.aft_m);
        let along = |s: &StripWake| s.heights_m[row] + u * (s.heights_m[row + 1] - s.heights_m[row]);
        let height = along(a) + t * (along(b) - along(a));
        Some(WakePosition {
            part: index,
            span_m,
            aft_m: at.aft_m,
            offset_m: at.offset_m - height,
            normal: self.half.normal,
            chord_m: a.chord_m + t * (b.chord_m - a.chord_m),
            reach_m,
        })
    }

    /// Whether a point belongs to this half at its root: a mirrored pair divides at the plane of symmetry (with dihedral
    /// a point below it lies short of both roots), a single half ends.
    fn claims(&self, point_m: &Vec3, span_m: f64, reach_m: f64) -> bool {
        match self.side {
            Some(side) => {
                let drifted_m = self.symmetry_m.1 * (point_m.x - self.root_edge_x_m);
                side * (point_m.y - self.symmetry_m.0 - drifted_m) >= 0.0
            }
            None => span_m >= -reach_m,
        }
    }

    /// The plane square to the half's normal through the middle of its wake on the disk, thick enough for all of it.
    fn plane(&self, reach_m: f64) -> WakePlane {
        let heights = || {
            self.strips.iter().flat_map(|strip| {
                let edge = self.half.trailing_edge(strip.s_m).dot(&self.half.normal);
                strip.heights_m.iter().map(move |height| edge + height)
            })
        };
        let (low, high) =
            heights().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), h| (a.min(h), b.max(h)));
        WakePlane {
            point_m: 0.5 * (low + high) * self.half.normal,
            normal: self.half.normal,
            slack_m: reach_m + 0.5 * (high - low),
        }
    }

    /// Share of the wake left near a free end: it fades over its own width.
    fn end_fade(&self, span_m: f64, width_m: f64) -> f64 {
        let fade = |inside_m: f64| {
            let t = (0.5 + 0.5 * inside_m / width_m).clamp(0.0, 1.0);
            t * t * (3.0 - 2.0 * t)
        };
        let tip = fade(self.half.length_m - span_m);
        if self.side.is_none() { tip * fade(span_m) } else { tip }
    }
}

impl InflowSource for SurfaceWakeSource {
    fn name(&self) -> &str {
        &self.name
    }

    fn warnings(&self) -> Vec<Warning> {
        self.warning.iter().cloned().collect()
    }

    fn has_plane_wake(&self) -> bool {
        true
    }

    fn wake_planes(&self) -> Vec<WakePlane> {
        let shape = self
            .parts
            .iter()
            .flat_map(|part| &part.strips)
            .flat_map(|strip| &strip.rows)
            .map(|row| row.shape)
            .next();
        let reach_m = self.reach_m * shape.map_or(1.0, thickened_reach);
        self.parts.iter().map(|part| part.plane(reach_m)).collect()
    }

    fn wake_position(&self, point_m: &Vec3) -> Option<WakePosition> {
        self.parts
            .iter()
            .enumerate()
            .filter_map(|(index, part)| part.position(index, point_m, self.reach_m, &self.table))
            .min_by(|a, b| a.offset_m.abs().total_cmp(&b.offset_m.abs()))
    }

    fn wake_station(&self, position: &WakePosition) -> Option<WakeStation> {
        let part = self.parts.get(position.part)?;
        let (a, b, t) = part.between(position.span_m);
        let (index, u) = self.table.at(position.aft_m);
        let blend = |value: fn(&WakeStation) -> f64| {
            let along = |strip: &StripWake| {
                let (near, far) = (value(&strip.rows[index]), value(&strip.rows[index + 1]));
                near + u * (far - near)
            };
            let here = along(a);
            here + t * (along(b) - here)
        };
        let width_m = blend(|s| s.width_m);
        let peak = blend(|s| s.peak) * part.end_fade(position.span_m, width_m);
        (peak > 0.0).then_some(WakeStation { peak, width_m, shape: a.rows[index].shape })
    }
}
