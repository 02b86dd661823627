//! Published points and the engine's curves through them.
//!
//! A panel a quantity; a colour a curve. Discs are published values, hollow where they are outside the range that counts; the line
//! joins ours at the same places, anew where another curve of the same kind begins. Where the points are no one curve no line leads through them: ours are crosses.

use plotters::element::{Circle, Cross};
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, RGBColor, ShapeStyle};

use super::PictureFormat;
use super::canvas::{Area, Canvas, Sheet, px, save_all};
use super::colour::{BLUE, GREEN, INK, ORANGE, PURPLE, SKY, VERMILION};
use super::frame::titled;
use super::loads::extremes;
use super::panel::{Axis, Room, curve, panel};
use super::style::{SMALL, cut, line, stroke, text, write};
use crate::{Folder, PlotError};

use std::path::PathBuf;

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
    /// Its name in the legend; empty where the panel says it all.
    pub name: String,
    /// Its points, in any order where there are no breaks.
    pub points: Vec<ComparedPoint>,
    /// Places among the points at which the line begins anew.
    pub breaks: Vec<usize>,
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
    /// What the discs are, in a few words.
    pub discs: &'static str,
    /// At most four panels.
    pub panels: Vec<ComparedPanel>,
}

const COLOURS: [RGBColor; 6] = [BLUE, VERMILION, GREEN, PURPLE, ORANGE, SKY];

/// Room for the legend right of the plot, pixels, and letters of a line that it holds.
const LEGEND: f64 = 190.0;
const LEGEND_LETTERS: usize = 18;

/// Room right of a plot without a legend, pixels.
const UNNAMED: f64 = 36.0;

/// Up to so many curves have names of twice the lines.
const FEW: usize = 4;

/// Lines of a name, and pixels from name to name and from line to line.
const MOST_LINES: usize = 2;
const NAME_STEP: f64 = 24.0;
const LINE_STEP: f64 = 17.0;

/// Half the size of a cross, pixels.
const CROSS: i32 = 4;

/// Draws comparisons into a folder, which is made if it does not exist, and returns the paths.
///
/// # Errors
/// [`PlotError`] when the folder cannot be written or the drawing fails.
pub fn draw_comparisons<'f>(
    comparisons: &[Comparison],
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let canvas = Canvas::new(format)?;
    let pictures = comparisons
        .iter()
        .map(|c| Ok((c.file_stem.as_str(), canvas.render(c)?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    save_all(folder.into(), format, &pictures)
}

impl Sheet for Comparison {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let curves = || self.panels.iter().flat_map(|panel| &panel.curves);
        let runs = || curves().flat_map(ComparedCurve::runs);
        let ours = match (runs().any(turns_back), runs().all(turns_back)) {
            (false, _) => "lines: wakebeat",
            (true, false) => "crosses and lines: wakebeat",
            (true, true) => "crosses: wakebeat",
        };
        let hollow = curves().flat_map(|curve| &curve.points).any(|p| p.published.is_finite() && !p.judged);
        let hollow = if hollow { " (hollow: not judged)" } else { "" };
        let key = format!("discs: {}{hollow}; {ours}", self.discs);
        let inner = titled(area, &self.title, &cut(&self.source, 105), &key)?;
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
    let named = shown.curves.iter().any(|compared| !compared.name.is_empty());
    let right = if named { LEGEND } else { UNNAMED };
    let mut chart = panel(cell, &shown.quantity, &x, &y, Room { above: 0.0, right })?;
    for (i, compared) in shown.curves.iter().enumerate() {
        let colour = COLOURS[i % COLOURS.len()];
        for run in compared.runs() {
            let mut ours: Vec<_> = run.iter().map(|p| (p.at, p.ours)).collect();
            ours.sort_by(|a, b| a.0.total_cmp(&b.0));
            if turns_back(run) {
                let crosses = ours.iter().map(|at| Cross::new(*at, px(f64::from(2 * CROSS)), line(INK, 1.4)));
                chart.draw_series(crosses)?;
            } else {
                curve(&mut chart, &ours, line(colour, 2.2))?;
            }
        }
        let discs = compared.points.iter().filter(|p| p.published.is_finite());
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
    let named = shown.curves.iter().filter(|compared| !compared.name.is_empty()).count();
    let most = if named > FEW { MOST_LINES } else { 2 * MOST_LINES };
    let mut below = 44.0;
    for (i, compared) in shown.curves.iter().enumerate().filter(|(_, compared)| !compared.name.is_empty()) {
        let y = px(below);
        let colour = COLOURS[i % COLOURS.len()];
        stroke(cell, vec![(left, y), (left + px(24.0), y)], line(colour, 2.2))?;
        let disc: ShapeStyle = colour.filled();
        cell.draw(&Circle::new((left + px(12.0), y), px(4.5), disc))?;
        let lines = legend_lines(&compared.name, most);
        for (words, k) in lines.iter().zip(0..) {
            let at = (left + px(32.0), y + px(LINE_STEP * f64::from(k)));
            write(cell, words, at, text(SMALL, INK))?;
        }
        below += NAME_STEP + LINE_STEP * lines.len().saturating_sub(1) as f64;
    }
    Ok(())
}

/// A name in lines that the legend holds, broken between words; what does not fit is cut.
fn legend_lines(name: &str, most: usize) -> Vec<String> {
    let mut lines: Vec<String> =
        textwrap::wrap(name, LEGEND_LETTERS).iter().map(|line| line.to_string()).collect();
    if lines.len() > most {
        let rest = lines.split_off(most - 1).join(" ");
        lines.push(cut(&rest, LEGEND_LETTERS));
    }
    lines
}

impl ComparedCurve {
    /// Its points between the breaks.
    fn runs(&self) -> impl Iterator<Item = &[ComparedPoint]> {
        let count = self.points.len();
        let ends = self.breaks.iter().copied().filter(move |at| *at < count).chain([count]);
        let starts = [0].into_iter().chain(self.breaks.iter().copied());
        starts.zip(ends).map(|(from, to)| &self.points[from.min(to)..to])
    }
}

/// Whether points are no one curve: several values at one place, or places that start anew more than once. Two runs through the same
/// range are one curve.
fn turns_back(points: &[ComparedPoint]) -> bool {
    let mut places: Vec<f64> = points.iter().map(|point| point.at).collect();
    let rising = places.windows(2).filter(|pair| pair[1] > pair[0]).count();
    let falling = places.windows(2).filter(|pair| pair[1] < pair[0]).count();
    places.sort_by(f64::total_cmp);
    rising.min(falling) > 1 || places.windows(2).any(|pair| pair[0] == pair[1])
}

/// Below this, values about nothing are round-off.
const ROUND_OFF: f64 = 1e-12;

/// A tenth of the range is left free on both sides; round-off is no range.
fn axis((low, high): (f64, f64), label: &str) -> Axis {
    let room = if high - low > ROUND_OFF { 0.06 * (high - low) } else { 0.1 * high.abs().max(1.0) };
    Axis::round(low - room, high + room, 5, label)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_broken_between_words_and_cut_where_two_lines_do_not_hold_them() {
        assert_eq!(legend_lines("4042 rpm", MOST_LINES), ["4042 rpm"]);
        assert_eq!(
            legend_lines("viscous wake of the wing alone", MOST_LINES),
            ["viscous wake of", "the wing alone"]
        );
        assert_eq!(legend_lines("a name of very many words that nobody reads", MOST_LINES).len(), 2);
        assert_eq!(
            legend_lines("onewordthatislongerthantheroom", MOST_LINES),
            ["onewordthatislonge", "rthantheroom"]
        );
    }

    #[test]
    fn what_is_no_one_curve_turns_back() {
        let at = |at: f64| ComparedPoint { at, published: 1.0, ours: 1.0, judged: true };
        assert!(turns_back(&[at(1.0), at(2.0), at(1.0)]));
        assert!(!turns_back(&[at(2.0), at(1.0)]));
        assert!(!turns_back(&[1.0, 2.0, 3.0, 1.5, 2.5].map(at)));
        assert!(turns_back(&[1.0, 2.0, 1.1, 2.1, 1.2, 2.2].map(at)));
    }

    #[test]
    fn a_line_begins_anew_at_breaks() {
        let at = |at: f64| ComparedPoint { at, published: 1.0, ours: 1.0, judged: true };
        let points = [1.0, 2.0, 3.0, 4.0, 5.0].map(at).to_vec();
        let lengths = |breaks: Vec<usize>| {
            let curve = ComparedCurve { name: String::new(), points: points.clone(), breaks };
            curve.runs().map(<[ComparedPoint]>::len).collect::<Vec<_>>()
        };
        assert_eq!(lengths(vec![]), [5]);
        assert_eq!(lengths(vec![2, 3]), [2, 1, 2]);
    }

    #[test]
    fn round_off_about_nothing_is_no_range() {
        let axis = axis((-2e-15, 0.0), "excess");
        assert!(axis.ticks.len() < 9 && axis.high > 0.05, "{axis:?}");
    }
}
