//! Which source makes how much of each harmonic: thrust, the larger force in the disk plane, the larger bending
//! moment, torque, at the first three multiples of the blade count.
//!
//! A share is drawn as its part in phase with the total: to the right of zero it adds, to the left it takes away, and the
//! parts add up to the total, which is marked. Letters name the sources, so that the bars can be read in grey. A total that
//! is round-off is 0 and has no shares; orders that were not computed say so.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, WHITE};
use wakebeat_engine::point::result::{HubLoad, PointResult};

use super::Run;
use super::canvas::{Area, px};
use super::colour::{BLUE, FAINT_INK, GREEN, INK, NO_DATA, ORANGE, PURPLE, SKY, VERMILION, YELLOW};
use super::frame::framed;
use super::loads::{amplitude, extremes, title};
use super::number::{Prefix, beside};
use super::panel::{Axis, Chart, Room, panel, place};
use super::style::{BODY, SMALL, anchored, bold, cut_name, line, stroke, text, write};
use crate::PlotError;

/// Multiples of the blade count.
const MULTIPLES: usize = 3;
/// Half height of a bar, in bars.
const HALF: f64 = 0.36;
/// Width of the bars' column, pixels.
const BARS: f64 = 860.0;
/// Room right of a plot for the figures, pixels.
const FIGURES: f64 = 132.0;
/// Narrowest segment that holds a letter, pixels.
const LETTER: f64 = 18.0;
/// Lines between entries of the key, pixels.
const KEY_STEP: f64 = 32.0;
/// Colours of the sources in turn; the letters go on where they repeat.
const COLOURS: [RGBColor; 7] = [SKY, BLUE, ORANGE, GREEN, PURPLE, YELLOW, VERMILION];

/// Whether the result holds shares.
pub(super) fn has_shares(result: &PointResult) -> bool {
    !result.attribution.is_empty()
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Where the hub loads come from: share of each source", run)?;
    let result = &run.record.result;
    let (left, right) = inner.split_horizontally(px(BARS));
    let loads = result.leading_loads(result.blade_count);
    for (cell, load) in left.split_evenly((loads.len(), 1)).iter().zip(loads) {
        Bars::new(result, load).draw(cell)?;
    }
    key(&right, result)
}

/// The bars of one load.
struct Bars {
    load: HubLoad,
    blade_count: usize,
    prefix: Prefix,
    /// For each multiple of the blade count the total and the parts of the sources, times the prefix; no number for the total
    /// where the order was not computed.
    rows: Vec<(f64, Vec<f64>)>,
}

impl Bars {
    fn new(result: &PointResult, load: HubLoad) -> Self {
        let total = &result.hub(load).harmonics;
        let mut rows: Vec<(f64, Vec<f64>)> = (1..=MULTIPLES)
            .map(|k| k * result.blade_count)
            .map(|order| {
                let whole = amplitude(result, load, order);
                let shares = result.attribution.iter().filter(|_| whole > 0.0);
                let parts = shares.map(|share| share.loads[load as usize].in_phase_with(total, order));
                (whole, parts.map(finite).collect())
            })
            .collect();
        let (low, high) = extremes(rows.iter().flat_map(|(_, parts)| [sum(parts, -1.0), sum(parts, 1.0)]));
        let prefix = Prefix::of(high.max(-low));
        for (total, parts) in &mut rows {
            *total *= prefix.factor;
            parts.iter_mut().for_each(|part| *part *= prefix.factor);
        }
        Self { load, blade_count: result.blade_count, prefix, rows }
    }

    /// Ends of the longest bars with some room, 0 inside.
    fn range(&self) -> (f64, f64) {
        let ends = self.rows.iter().flat_map(|(_, parts)| [sum(parts, -1.0), sum(parts, 1.0)]);
        let (low, high) = extremes(ends.chain([0.0]));
        if high - low > 0.0 { (low - 0.03 * (high - low), high + 0.03 * (high - low)) } else { (-0.1, 1.0) }
    }

    fn draw<DB: DrawingBackend>(&self, cell: &Area<DB>) -> Result<(), PlotError> {
        let (low, high) = self.range();
        let unit = self.prefix.unit(self.load.unit());
        let x = Axis::round(low, high, 8, "");
        let y = Axis {
            low: 0.5,
            high: MULTIPLES as f64 + 0.5,
            ticks: Vec::new(),
            label: String::new(),
            numbered: false,
            gridded: false,
        };
        let heading = format!("{}: {unit}, amplitude in phase with the total", title(self.load));
        let chart = panel(cell, &heading, &x, &y, Room { above: 0.0, right: FIGURES })?;
        let largest = self.rows.iter().map(|(total, _)| *total).fold(0.0, f64::max);
        for (row, (total, parts)) in self.rows.iter().enumerate() {
            let middle = (MULTIPLES - row) as f64;
            let segments = segments(cell, &chart, middle, parts);
            for segment in &segments {
                swatch(cell, segment.source, segment.last, segment.corners)?;
            }
            if total.is_finite() {
                marks(cell, &chart, middle, *total)?;
                let (mark, _) = place(cell, &chart, (*total, middle));
                for segment in &segments {
                    segment.letter(cell, mark)?;
                }
            }
            let order = (row + 1) * self.blade_count;
            let (x, y) = place(cell, &chart, (low, middle));
            let style = anchored(text(BODY, INK), HPos::Right, VPos::Center);
            write(cell, &format!("{order}P"), (x - px(12.0), y), style)?;
            let (x, y) = place(cell, &chart, (high, middle));
            let figure = if total.is_finite() {
                format!("{} {unit}", beside(*total, largest))
            } else {
                "not computed".to_owned()
            };
            write(cell, &figure, (x + px(14.0), y), text(SMALL, INK))?;
        }
        let ends = [(0.0, y.low), (0.0, y.high)].map(|at| place(cell, &chart, at));
        stroke(cell, ends.to_vec(), line(INK, 1.2))
    }
}

/// The total, as a line past the bar.
fn marks<DB: DrawingBackend>(
    cell: &Area<DB>,
    chart: &Chart<'_, DB>,
    middle: f64,
    total: f64,
) -> Result<(), PlotError> {
    let ends = [(total, middle - 0.48), (total, middle + 0.48)].map(|at| place(cell, chart, at));
    stroke(cell, ends.to_vec(), line(WHITE, 6.0))?;
    stroke(cell, ends.to_vec(), line(INK, 3.0))
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

/// Sum of the parts of one sign.
fn sum(parts: &[f64], sign: f64) -> f64 {
    parts.iter().filter(|part| sign * **part > 0.0).sum()
}

/// One source's part of a bar.
struct Segment {
    source: usize,
    last: bool,
    /// Upper left and lower right, fine pixels.
    corners: [(i32, i32); 2],
}

impl Segment {
    /// Its letter in the wider piece that the mark of the total leaves, where it fits.
    fn letter<DB: DrawingBackend>(&self, cell: &Area<DB>, mark: i32) -> Result<(), PlotError> {
        let [(left, top), (right, bottom)] = self.corners;
        let before = (left, right.min(mark - px(4.0)));
        let behind = (left.max(mark + px(4.0)), right);
        let (from, to) = if before.1 - before.0 >= behind.1 - behind.0 { before } else { behind };
        if to - from < px(LETTER) {
            return Ok(());
        }
        write_letter(cell, self.source, self.last, ((from + to) / 2, (top + bottom) / 2), SMALL)
    }
}

/// Parts end to end on both sides of zero.
fn segments<DB: DrawingBackend>(
    cell: &Area<DB>,
    chart: &Chart<'_, DB>,
    middle: f64,
    parts: &[f64],
) -> Vec<Segment> {
    let mut ends = (0.0, 0.0);
    let segment = |(source, part): (usize, &f64)| {
        let end = if *part < 0.0 { &mut ends.0 } else { &mut ends.1 };
        let from = place(cell, chart, (*end, middle + HALF));
        *end += part;
        let to = place(cell, chart, (*end, middle - HALF));
        let corners = [(from.0.min(to.0), from.1), (from.0.max(to.0), to.1)];
        Segment { source, last: source + 1 == parts.len(), corners }
    };
    parts.iter().enumerate().map(segment).collect()
}

/// A filled rectangle with a light edge; the remainder, which stands last, is pale.
fn swatch<DB: DrawingBackend>(
    cell: &Area<DB>,
    source: usize,
    last: bool,
    corners: [(i32, i32); 2],
) -> Result<(), PlotError> {
    cell.draw(&Rectangle::new(corners, colour(source, last).filled()))?;
    let edge = if last { FAINT_INK } else { WHITE };
    cell.draw(&Rectangle::new(corners, line(edge, 1.0)))?;
    Ok(())
}

fn colour(source: usize, last: bool) -> RGBColor {
    if last { NO_DATA } else { COLOURS[source % COLOURS.len()] }
}

fn write_letter<DB: DrawingBackend>(
    cell: &Area<DB>,
    source: usize,
    last: bool,
    at: (i32, i32),
    size: f64,
) -> Result<(), PlotError> {
    let RGBColor(r, g, b) = colour(source, last);
    // Weights of the ITU-R BT.601 luma.
    let luma = 0.299 * f64::from(r) + 0.587 * f64::from(g) + 0.114 * f64::from(b);
    let ink = if luma < 130.0 { WHITE } else { INK };
    write(cell, &letter(source), at, anchored(bold(size, ink), HPos::Center, VPos::Center))
}

/// A to Z, then two letters.
fn letter(source: usize) -> String {
    let one = |k: usize| char::from(b'A' + (k % 26) as u8);
    if source < 26 { one(source).to_string() } else { format!("{}{}", one(source / 26 - 1), one(source)) }
}

fn key<DB: DrawingBackend>(area: &Area<DB>, result: &PointResult) -> Result<(), PlotError> {
    write(area, "Sources", (0, px(15.0)), bold(BODY, INK))?;
    let count = result.attribution.len();
    // Many sources stand closer, down to the height of their letters.
    let step = KEY_STEP.min(560.0 / count.max(1) as f64);
    let mut y = px(50.0);
    for (source, share) in result.attribution.iter().enumerate() {
        let last = source + 1 == count;
        let half = px((0.5 * step - 1.0).min(0.42 * KEY_STEP));
        swatch(area, source, last, [(0, y - half), (px(34.0), y + half)])?;
        write_letter(area, source, last, (px(17.0), y), SMALL.min(0.66 * step))?;
        write(
            area,
            &cut_name(&share.name.replace('_', " "), 20),
            (px(46.0), y),
            text(BODY.min(0.9 * step), INK),
        )?;
        y += px(step);
    }
    y += px(16.0);
    stroke(area, vec![(px(17.0), y - px(15.0)), (px(17.0), y + px(15.0))], line(INK, 3.0))?;
    write(area, "total, figures at right", (px(46.0), y), text(BODY, INK))?;
    let words = ["right of zero: adds to the total", "left of zero: takes from it"];
    for (row, words) in words.iter().enumerate() {
        write(area, words, (0, y + px(40.0 + 26.0 * row as f64)), text(SMALL, FAINT_INK))?;
    }
    Ok(())
}
