//! The viscous wake of a lifting surface as an inflow source.
//!
//! Once a point: circulation by lifting line, from it at each strip near the disk the local angle, section drag and
//! the wake's centre line; depth and width behind each strip on a short table over distance. Between strips and
//! table rows values are linear (error below 1e-4 of them for disks of usual tilt and sweep). A wake ends at the tips
//! over about its own width; tip-vortex roll-up is not modelled.

use std::sync::LazyLock;

use super::{InflowSource, WakePlane, WakePosition};
use crate::base::Vec3;
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::point::PointError;
use crate::point::input::{Flight, Surface, SurfaceWake};
use crate::point::result::Warning;
use crate::section::analytic_coefficients;
use crate::surface::centre_line::CentreLine;
use crate::surface::geometry::{EdgeCoordinates, Half};
use crate::surface::lifting_line::LiftingLine;
use crate::wake::lag_entrainment::ShapeFactorError;
use crate::wake::momentum::FLAT_PLATE_SHAPE_FACTOR;
use crate::wake::{MomentumWake, Naca651Wake, WakeModel, WakeSection, WakeStation};

/// Strips over the span of a surface.
const STRIPS: usize = 40;

/// Rows of a strip's table over distance behind the edge.
const ROWS: usize = 17;

/// The shape-factor table is the same for every surface of every point.
static FLAT_PLATE: LazyLock<Result<MomentumWake, ShapeFactorError>> =
    LazyLock::new(|| MomentumWake::new(FLAT_PLATE_SHAPE_FACTOR));

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
    /// Root position along y and its drift per distance aft, from sideslip, m.
    symmetry_m: (f64, f64),
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
    /// The wake of `surface` on a disk of radius `tip_m`; `None` where it sheds none or does not lie ahead.
    ///
    /// # Errors
    /// [`PointError::Circulation`] when the lifting line does not settle.
    pub fn new(
        surface: &Surface,
        flight: &Flight,
        disk: &DiskAxes,
        tip_m: f64,
    ) -> Result<Option<Self>, PointError> {
        let Some(model) = wake_model(surface)? else { return Ok(None) };
        let stream = free_stream_m_s(flight);
        if stream.x <= 0.0 {
            return Ok(None);
        }
        let lift = |angle: f64| analytic_coefficients(&surface.section, angle, 1.0).lift;
        let line = LiftingLine::new(surface, &stream, STRIPS, lift)
            .map_err(|e| PointError::Circulation { surface: surface.name.clone(), reason: e.to_string() })?;
        let ranges: Vec<DiskRange> =
            line.span.halves.iter().map(|half| DiskRange::new(half, &stream, disk, tip_m)).collect();
        let aft_from_m = ranges.iter().map(|r| r.aft_m.0).fold(f64::INFINITY, f64::min).max(0.0);
        let aft_to_m = ranges.iter().map(|r| r.aft_m.1).fold(0.0, f64::max).max(aft_from_m + 1e-6 * tip_m);
        let aft_step_m = (aft_to_m - aft_from_m) / (ROWS - 1) as f64;
        let mut parts = Vec::new();
        for (index, half) in line.span.halves.iter().enumerate() {
            let strips = near_strips(&line, index, ranges[index].span_m)
                .into_iter()
                .map(|strip| StripWake::new(surface, model, &line, strip, aft_from_m, aft_step_m))
                .collect();
            let side = surface.mirror.then(|| if index == 0 { 1.0 } else { -1.0 });
            parts.push(Part::new(half, &stream, side, surface.root_leading_edge_m.y, strips));
        }
        let stations = || parts.iter().flat_map(|p| &p.strips).flat_map(|s| &s.rows);
        let reach_m = stations().map(WakeStation::support_m).fold(0.0, f64::max);
        if stations().all(|s| s.peak <= 0.0) {
            return Ok(None);
        }
        let warning = hub_warning(surface, model, &line, disk);
        let table = AftTable { from_m: aft_from_m, step_m: aft_step_m };
        Ok(Some(Self { name: surface.name.clone(), parts, table, reach_m, warning }))
    }
}

/// The wake model a surface asks for.
fn wake_model(surface: &Surface) -> Result<Option<&'static dyn WakeModel>, PointError> {
    match surface.wake {
        SurfaceWake::None => Ok(None),
        SurfaceWake::Naca651 => Ok(Some(&Naca651Wake)),
        SurfaceWake::Momentum => match &*FLAT_PLATE {
            Ok(model) => Ok(Some(model)),
            Err(e) => Err(PointError::Circulation { surface: surface.name.clone(), reason: e.to_string() }),
        },
    }
}

/// What the section at a strip hands to its wake.
fn wake_section(surface: &Surface, line: &LiftingLine, strip: usize) -> WakeSection {
    let strip = &line.strips[strip];
    WakeSection {
        chord_m: strip.chord_m,
        drag_coefficient: analytic_coefficients(&surface.section, strip.effective_angle_rad, 1.0).drag,
        edge_speed_ratio: 1.0,
    }
}

/// What the wake model is known to miss abreast of the hub.
fn hub_warning(
    surface: &Surface,
    model: &dyn WakeModel,
    line: &LiftingLine,
    disk: &DiskAxes,
) -> Option<Warning> {
    let seen: Vec<EdgeCoordinates> =
        line.span.halves.iter().map(|half| half.edge_coordinates(&disk.hub_m)).collect();
    let nearest = (0..line.strips.len()).min_by(|a, b| {
        let distance = |i: &usize| (line.strips[*i].s_m - seen[line.strips[*i].half].s_m).abs();
        distance(a).total_cmp(&distance(b))
    })?;
    let at = seen[line.strips[nearest].half];
    let warning = model.warning(&wake_section(surface, line, nearest), at.aft_m)?;
    Some(Warning { text: format!("surface `{}`: {}", surface.name, warning.text), ..warning })
}

/// Where the disk's rim lies as seen from one half.
struct DiskRange {
    span_m: (f64, f64),
    aft_m: (f64, f64),
}

impl DiskRange {
    fn new(half: &Half, stream: &Vec3, disk: &DiskAxes, tip_m: f64) -> Self {
        let mut range =
            Self { span_m: (f64::INFINITY, f64::NEG_INFINITY), aft_m: (f64::INFINITY, f64::NEG_INFINITY) };
        let rim = (0..32).map(|i| disk.point_m(tip_m, std::f64::consts::TAU * f64::from(i) / 32.0));
        for point in rim.chain([disk.hub_m]) {
            let at = half.edge_coordinates(&point);
            let s = at.s_m - stream.dot(&half.span_direction) / stream.x * at.aft_m;
            range.span_m = (range.span_m.0.min(s), range.span_m.1.max(s));
            range.aft_m = (range.aft_m.0.min(at.aft_m), range.aft_m.1.max(at.aft_m));
        }
        range
    }
}

/// Strips of a half that the disk sees, with one more on either side, in order of span.
fn near_strips(line: &LiftingLine, half: usize, (from, to): (f64, f64)) -> Vec<usize> {
    let mut own: Vec<usize> = (0..line.strips.len()).filter(|i| line.strips[*i].half == half).collect();
    own.sort_by(|a, b| line.strips[*a].s_m.total_cmp(&line.strips[*b].s_m));
    let below = own.iter().filter(|i| line.strips[**i].s_m < from).count();
    let above = own.iter().filter(|i| line.strips[**i].s_m <= to).count();
    let first = below.saturating_sub(1).min(own.len() - 1);
    let last = (above + 1).min(own.len()).max(first + 1);
    own[first..last].to_vec()
}

impl StripWake {
    fn new(
        surface: &Surface,
        model: &dyn WakeModel,
        line: &LiftingLine,
        strip: usize,
        aft_from_m: f64,
        aft_step_m: f64,
    ) -> Self {
        let section = wake_section(surface, line, strip);
        let aft_m = |row: usize| aft_from_m + aft_step_m * row as f64;
        let centre = CentreLine::new(line, strip, &surface.section, aft_m(ROWS - 1));
        Self {
            s_m: line.strips[strip].s_m,
            chord_m: section.chord_m,
            heights_m: (0..ROWS).map(|row| centre.height_m(aft_m(row))).collect(),
            rows: (0..ROWS).map(|row| model.station(&section, aft_m(row))).collect(),
        }
    }
}

impl Part {
    fn new(half: &Half, stream: &Vec3, side: Option<f64>, root_y_m: f64, strips: Vec<StripWake>) -> Self {
        let straight_edge = (half.twist_rad == 0.0)
            .then(|| (half.trailing_edge(0.0), half.trailing_edge(1.0) - half.trailing_edge(0.0)));
        let drift = stream.dot(&half.span_direction) / stream.x;
        let symmetry_m = (root_y_m, stream.y / stream.x);
        Self { half: half.clone(), straight_edge, drift, side, symmetry_m, strips }
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
        if span_m > self.half.length_m + reach_m || !self.claims(point_m, at.aft_m, span_m, reach_m) {
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
    fn claims(&self, point_m: &Vec3, aft_m: f64, span_m: f64, reach_m: f64) -> bool {
        match self.side {
            Some(side) => side * (point_m.y - self.symmetry_m.0 - self.symmetry_m.1 * aft_m) >= 0.0,
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

    fn wake_planes(&self) -> Vec<WakePlane> {
        self.parts.iter().map(|part| part.plane(self.reach_m)).collect()
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
