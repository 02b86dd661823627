//! Which segment eats the life: shares of damage, one bar a detail, below them one bar for each leading load and exponent.

use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};

use super::key::{WIDTH, key, swatch, write_letter};
use super::{Duty, title};
use crate::PlotError;
use crate::pictures::canvas::{Area, px};
use crate::pictures::colour::{FAINT_INK, INK};
use crate::pictures::frame::framed_as;
use crate::pictures::number::short;
use crate::pictures::panel::{Axis, Room, panel, place};
use crate::pictures::style::{BODY, SMALL, anchored, cut, text, write};

/// Bars at most.
const MOST: usize = 12;
/// Room left of the bars for their names, pixels.
const NAMES: f64 = 250.0;
/// Room right of the bars for figures, pixels.
const FIGURES: f64 = 170.0;
/// Narrowest piece that holds a letter, pixels.
const LETTER: f64 = 20.0;

struct Bar {
    name: String,
    figure: String,
    /// Parts, adding up to 1 where there is damage.
    shares: Vec<f64>,
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, duty: Duty<'_>) -> Result<(), PlotError> {
    let title = "Which segment eats the life: shares of damage";
    let inner = framed_as(area, title, &duty.about(), duty.program_version)?;
    let (width, height) = inner.dim_in_pixel();
    let (left, right) = inner.split_horizontally(width as i32 - px(WIDTH));
    let bars = bars(duty);
    let (names, plot) = left.split_horizontally(px(NAMES));
    let plot_height = (height as i32).min(px(100.0 + 90.0 * bars.len().max(2) as f64));
    let (plot, _) = plot.split_vertically(plot_height);
    let rows = bars.len().max(1) as f64;
    let x = Axis::round(0.0, 100.0, 5, "share of damage, %");
    let y = Axis {
        low: 0.0,
        high: rows,
        ticks: Vec::new(),
        label: String::new(),
        numbered: false,
        gridded: false,
    };
    let chart = panel(&plot, "", &x, &y, Room { above: 0.0, right: FIGURES })?;
    let segments = duty.result.segments.len();
    for (row, bar) in bars.iter().enumerate() {
        let middle = rows - row as f64 - 0.5;
        let mut end = 0.0;
        for (part, share) in bar.shares.iter().enumerate() {
            let from = place(&plot, &chart, (end, middle + 0.32));
            end += 100.0 * share;
            let to = place(&plot, &chart, (end, middle - 0.32));
            if to.0 > from.0 {
                swatch(&plot, part, segments, [from, to])?;
            }
            if to.0 - from.0 > px(LETTER) {
                write_letter(&plot, part, segments, ((from.0 + to.0) / 2, (from.1 + to.1) / 2))?;
            }
        }
        let (_, at_y) = place(&plot, &chart, (0.0, middle));
        // The panel's own column for numbers stays empty and gives the names room.
        let name = anchored(text(BODY, INK), HPos::Left, VPos::Center);
        write(&names, &bar.name, (0, at_y), name)?;
        let (at_x, at_y) = place(&plot, &chart, (100.0, middle));
        write(&plot, &bar.figure, (at_x + px(12.0), at_y), text(SMALL, INK))?;
    }
    let right = right.margin(0, 0, px(18.0), 0);
    let mut parts: Vec<String> = duty.result.segments.iter().map(|segment| segment.name.clone()).collect();
    parts.push("ground-air-ground".to_owned());
    let below = key(&right, "Parts of the life", &parts, segments)?;
    for (row, words) in ["with the transitions", "between segments"].iter().enumerate() {
        write(&right, words, (px(46.0), below + px(-4.0 + 24.0 * row as f64)), text(SMALL, FAINT_INK))?;
    }
    Ok(())
}

/// Details first, then leading loads with each exponent.
fn bars(duty: Duty<'_>) -> Vec<Bar> {
    let mut bars = Vec::new();
    for detail in &duty.result.details {
        bars.push(Bar {
            name: cut(&detail.name.replace('_', " "), 26),
            figure: format!("Miner {}", short(detail.total())),
            shares: shares(&detail.damage),
        });
    }
    for load in duty.leading() {
        for ((_, exponent, cycles), ranges) in duty.result.equivalents.iter().zip(&load.equivalent_range) {
            let Some((total, parts)) = ranges.split_last() else { continue };
            let damage: Vec<f64> = parts.iter().map(|range| range.powf(*exponent) * cycles).collect();
            bars.push(Bar {
                name: format!("{}, m = {exponent}", cut(&title(load), 19)),
                figure: format!("{} {}", short(*total), load.unit),
                shares: shares(&damage),
            });
        }
    }
    bars.truncate(MOST);
    bars
}

fn shares(damage: &[f64]) -> Vec<f64> {
    // A part that breaks at once takes all.
    if let Some(part) = damage.iter().position(|d| d.is_infinite()) {
        return (0..damage.len()).map(|k| f64::from(u8::from(k == part))).collect();
    }
    let total: f64 = damage.iter().sum();
    damage.iter().map(|d| if total > 0.0 { d / total } else { 0.0 }).collect()
}
