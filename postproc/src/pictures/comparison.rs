//! Published points and the engine's curves through them.
//!
//! A panel a quantity; a colour a curve. Discs are published values, hollow where they are outside the range that counts; the line
//! joins ours at the same places.

use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, RGBColor, ShapeStyle};

use super::PictureFormat;
use super::canvas::{Area, Canvas, Sheet, px, save_all};
use super::colour::{BLUE, GREEN, INK, ORANGE, PURPLE, SKY, VERMILION};
use super::frame::titled;
use super::loads::extremes;
use super::panel::{Axis, Room, curve, panel};
use super::style::{SMALL, cut, line, stroke, text, write};
use crate::PlotError;

use std::path::{Path, PathBuf};

/// One place of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ComparedPoint {
    /// Where, in the unit of the panel's horizontal axis.
    pub at: f64,
    /// Published value.
    pub published: f64,
    /// The engine's value.
    pub ours: f64,
    /// Whether it counts.
    pub judged: bool,
}

/// A published curve with ours.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedCurve {
    /// Its name in the legend.
    pub name: String,
    /// Its points, in any order.
    pub points: Vec<ComparedPoint>,
}

/// Curves of one quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct ComparedPanel {
    /// The quantity, with unit.
    pub quantity: String,
    /// What it is drawn against, with unit.
    pub along: String,
    /// The curves.
    pub curves: Vec<ComparedCurve>,
}

/// A picture of published values and ours.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Name of the file without extension.
    pub file_stem: String,
    /// Title.
    pub title: String,
    /// Who published it.
    pub source: String,
    /// At most four panels.
    pub panels: Vec<ComparedPanel>,
}

const COLOURS: [RGBColor; 6] = [BLUE, VERMILION, GREEN, PURPLE, ORANGE, SKY];

/// Room for the legend right of the plot, pixels, and letters that it holds.
const LEGEND: f64 = 190.0;
const LEGEND_LETTERS: usize = 17;
const LEGEND_STEP: f64 = 24.0;

/// Draws comparisons into a folder, which is made if it does not exist, and returns the paths.
///
/// # Errors
/// [`PlotError`] when the folder cannot be written or the drawing fails.
pub fn draw_comparisons(
    comparisons: &[Comparison],
    dir: &Path,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let canvas = Canvas::new(format)?;
    let pictures = comparisons
        .iter()
        .map(|c| Ok((c.file_stem.as_str(), canvas.render(c)?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    save_all(dir, format, &pictures)
}

impl Sheet for Comparison {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let inner = titled(area, &self.title, &cut(&self.source, 105), "discs: published; lines: wakebeat")?;
        let (columns, rows) = if self.panels.len() > 2 { (2, 2) } else { (1, self.panels.len().max(1)) };
        let (width, height) = inner.dim_in_pixel();
        let breaks = |length: u32, parts: usize| -> Vec<i32> {
            (1..parts).map(|i| (length as usize * i / parts) as i32).collect()
        };
        let cells = inner.split_by_breakpoints(breaks(width, columns), breaks(height, rows));
        for (cell, panel) in cells.iter().zip(&self.panels) {
            draw_panel(cell, panel)?;
        }
        Ok(())
    }
}

fn draw_panel<DB: DrawingBackend>(cell: &Area<DB>, shown: &ComparedPanel) -> Result<(), PlotError> {
    let points = || shown.curves.iter().flat_map(|c| &c.points);
    let across = extremes(points().map(|p| p.at));
    let up = extremes(points().flat_map(|p| [p.published, p.ours]));
    let (x, y) = (axis(across, &shown.along), axis(up, &shown.quantity));
    let mut chart = panel(cell, &shown.quantity, &x, &y, Room { above: 0.0, right: LEGEND })?;
    for (i, compared) in shown.curves.iter().enumerate() {
        let colour = COLOURS[i % COLOURS.len()];
        let mut sorted = compared.points.clone();
        sorted.sort_by(|a, b| a.at.total_cmp(&b.at));
        let ours: Vec<_> = sorted.iter().map(|p| (p.at, p.ours)).collect();
        curve(&mut chart, &ours, line(colour, 2.2))?;
        let discs = sorted.iter().filter(|p| p.published.is_finite());
        chart.draw_series(discs.map(|p| {
            let style = if p.judged { colour.filled() } else { line(colour, 1.6) };
            Circle::new((p.at, p.published), px(4.5), style)
        }))?;
    }
    legend(cell, shown)
}

/// Swatches and names, from the top, right of the plot.
fn legend<DB: DrawingBackend>(cell: &Area<DB>, shown: &ComparedPanel) -> Result<(), PlotError> {
    let (width, _) = cell.dim_in_pixel();
    let left = width as i32 - px(LEGEND - 16.0);
    for (i, compared) in shown.curves.iter().enumerate() {
        let y = px(44.0 + LEGEND_STEP * i as f64);
        let colour = COLOURS[i % COLOURS.len()];
        stroke(cell, vec![(left, y), (left + px(24.0), y)], line(colour, 2.2))?;
        let disc: ShapeStyle = colour.filled();
        cell.draw(&Circle::new((left + px(12.0), y), px(4.5), disc))?;
        write(cell, &cut(&compared.name, LEGEND_LETTERS), (left + px(32.0), y), text(SMALL, INK))?;
    }
    Ok(())
}

/// A tenth of the range is left free on both sides.
fn axis((low, high): (f64, f64), label: &str) -> Axis {
    let room = if high > low { 0.06 * (high - low) } else { 0.1 * high.abs().max(1.0) };
    Axis::round(low - room, high + room, 5, label)
}
