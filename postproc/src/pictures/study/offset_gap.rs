//! What is kept low over shaft offset and axial gap, a panel for each blade count on one scale.

use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, WHITE};

use super::super::canvas::Area;
use super::super::canvas::px;
use super::super::colour::INK;
use super::super::panel::{Room, panel, place};
use super::super::style::line;
use super::heat::{Cells, MOST_PANELS, fill, panels};
use super::scale::{Scale, bar};
use super::{BLADES, Drawn, GAP, OFFSET};
use crate::PlotError;

/// Width of the panels and place of the bar, pixels.
const PANELS: f64 = 990.0;
const BAR: f64 = 1050.0;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, drawn: &Drawn) -> Result<(), PlotError> {
    let (Some(offset), Some(gap)) = (drawn.along(OFFSET), drawn.along(GAP)) else { return Ok(()) };
    let title = format!("{} over shaft offset and axial gap", capital(drawn.choose.keep_low.words()));
    let others = drawn.settings_but(&[OFFSET, GAP, BLADES]);
    let words =
        if others.is_empty() { drawn.over().to_owned() } else { format!("{}; {others}", drawn.over()) };
    let inner = drawn.framed(area, &title, &words)?;
    let (x, y) =
        (Cells::new(&drawn.study.decided[offset].numbers), Cells::new(&drawn.study.decided[gap].numbers));
    let counts = drawn.counts();
    let value = |changes: &[(usize, usize)], i: usize, j: usize| {
        let mut changes = changes.to_vec();
        changes.extend([(offset, i), (gap, j)]);
        drawn.like_winner(&changes).map_or(f64::NAN, |candidate| drawn.value(candidate))
    };
    let all = counts.iter().flat_map(|(_, changes)| {
        let value = &value;
        x.places.iter().flat_map(move |(_, i)| {
            let changes = changes.clone();
            (0..drawn.study.decided[gap].numbers.len()).map(move |j| value(&changes, *i, j))
        })
    });
    let Some(scale) = Scale::of(all) else { return Ok(()) };
    let winner = drawn.ranking.rows.first().filter(|row| row.allowed).map(|row| row.candidate);
    let shown = counts.len().min(MOST_PANELS);
    let areas = panels(&inner, shown, PANELS);
    for (cell, (name, changes)) in areas.iter().zip(&counts) {
        let (x_axis, y_axis) = (x.axis(4, "shaft offset, m"), y.axis(4, "axial gap, m"));
        let mut best: Option<(f64, f64, f64)> = None;
        for (at_x, i) in &x.places {
            for (at_y, j) in &y.places {
                let here = value(changes, *i, *j);
                if here.is_finite() && best.is_none_or(|(least, _, _)| here < least) {
                    best = Some((here, *at_x, *at_y));
                }
            }
        }
        let heading = match best {
            Some((least, _, _)) => format!("{name}: least {}", super::super::number::short(least)),
            None => format!("{name}: no answer"),
        };
        let mut chart = panel(cell, &heading, &x_axis, &y_axis, Room::default())?;
        fill(&mut chart, (&x, &y), &scale, |i, j| value(changes, i, j))?;
        let is_winner = |at: (f64, f64)| {
            winner.is_some_and(|winner| {
                let of = &drawn.study.candidates[winner];
                changes.iter().all(|(along, i)| of.subscripts[*along] == *i)
                    && drawn.study.decided[offset].numbers[of.subscripts[offset]] == at.0
                    && drawn.study.decided[gap].numbers[of.subscripts[gap]] == at.1
            })
        };
        for (at_x, _) in &x.places {
            for (at_y, _) in &y.places {
                if is_winner((*at_x, *at_y)) {
                    let at = place(cell, &chart, (*at_x, *at_y));
                    cell.draw(&Circle::new(at, px(9.0), WHITE.filled()))?;
                    cell.draw(&Circle::new(at, px(9.0), line(INK, 2.0)))?;
                    cell.draw(&Circle::new(at, px(4.0), INK.filled()))?;
                }
            }
        }
    }
    bar(&inner, &scale, BAR, (60.0, 620.0), &drawn.quantity())?;
    legend(&inner)
}

fn legend<DB: DrawingBackend>(area: &Area<DB>) -> Result<(), PlotError> {
    use super::super::style::{SMALL, text, write};
    let (x, y) = (px(BAR - 24.0), px(680.0));
    area.draw(&Circle::new((x, y), px(7.0), line(INK, 2.0)))?;
    area.draw(&Circle::new((x, y), px(3.0), INK.filled()))?;
    write(area, "the choice", (x + px(14.0), y), text(SMALL, INK))?;
    write(area, "grey: no answer", (x - px(6.0), y + px(28.0)), text(SMALL, INK))
}

/// With a capital letter.
pub(super) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
