//! Every candidate by load and loss of efficiency, with the Pareto front.

use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, WHITE};

use super::super::canvas::{Area, px};
use super::super::colour::{FAINT_INK, INK};
use super::super::panel::{Axis, Room, curve, panel, place};
use super::super::style::{BODY, SMALL, line, text, write};
use super::against_offset::{value_axis, write_marks};
use super::offset_gap::capital;
use super::scale::Scale;
use super::{COLOURS, Drawn};
use crate::PlotError;
use crate::choose::Row;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, drawn: &Drawn) -> Result<(), PlotError> {
    let title = format!("{} against loss of efficiency", capital(drawn.choose.keep_low.words()));
    let inner = drawn.framed(area, &title, drawn.over())?;
    let rows: Vec<&Row> = drawn
        .ranking
        .rows
        .iter()
        .filter(|row| row.value.is_finite() && row.costs.efficiency_loss.is_finite())
        .collect();
    let Some(scale) = Scale::of(rows.iter().map(|row| row.value)) else { return Ok(()) };
    let loss = |row: &Row| 100.0 * row.costs.efficiency_loss;
    let most = rows.iter().map(|row| loss(row)).fold(0.0, f64::max).max(0.1);
    let x = Axis::round(
        -0.02 * most,
        1.05 * most,
        8,
        "thrust for power below the best candidate at the same condition, worst, %",
    );
    let (y, transform) = value_axis(&scale, &drawn.quantity());
    let mut chart = panel(
        &inner,
        &if rows.len() == 1 { "1 candidate".to_owned() } else { format!("{} candidates", rows.len()) },
        &x,
        &y.0,
        Room { above: 10.0, right: 200.0 },
    )?;
    write_marks(&inner, &chart, &x, &y)?;
    let mut counts: Vec<usize> = drawn.study.candidates.iter().map(|c| c.blade_count).collect();
    counts.sort_unstable();
    counts.dedup();
    let colour = |row: &Row| {
        let count = drawn.study.candidates[row.candidate].blade_count;
        COLOURS[counts.iter().position(|c| *c == count).unwrap_or(0) % COLOURS.len()]
    };
    let front: Vec<(f64, f64)> =
        rows.iter().filter(|row| row.pareto).map(|row| (loss(row), transform(row.value))).collect();
    // Out first, the front last, so that what matters lies on top.
    for row in rows.iter().filter(|row| !row.allowed) {
        let at = place(&inner, &chart, (loss(row), transform(row.value)));
        inner.draw(&Circle::new(at, px(4.0), line(colour(row), 1.3)))?;
    }
    curve(&mut chart, &front, line(INK, 1.8))?;
    for row in rows.iter().filter(|row| row.allowed) {
        let at = place(&inner, &chart, (loss(row), transform(row.value)));
        let radius = if row.pareto { 7.0 } else { 4.0 };
        inner.draw(&Circle::new(at, px(radius), colour(row).filled()))?;
        if row.pareto {
            inner.draw(&Circle::new(at, px(radius), line(INK, 1.5)))?;
        }
    }
    let (width, _) = inner.dim_in_pixel();
    let left = width as i32 - px(176.0);
    let mut y = px(60.0);
    for (k, count) in counts.iter().enumerate() {
        inner.draw(&Circle::new((left, y), px(6.0), COLOURS[k % COLOURS.len()].filled()))?;
        write(&inner, &super::blades(&count.to_string()), (left + px(16.0), y), text(BODY, INK))?;
        y += px(30.0);
    }
    let marks = [(7.0, WHITE, INK, "Pareto front"), (4.0, WHITE, FAINT_INK, "passes a limit")];
    for (radius, fill, edge, words) in marks {
        y += px(8.0);
        inner.draw(&Circle::new((left, y), px(radius), fill.filled()))?;
        inner.draw(&Circle::new((left, y), px(radius), line(edge, 1.5)))?;
        write(&inner, words, (left + px(16.0), y), text(SMALL, FAINT_INK))?;
        y += px(22.0);
    }
    Ok(())
}
