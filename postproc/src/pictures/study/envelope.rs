//! What is kept low over airspeed and angle of attack, at the winner's geometry, a panel for each blade count on one scale.
//!
//! Where both are axes of the grid, every combination is a cell; in level flight the angle follows from the airspeed, and the
//! conditions lie on a line.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;
use plotters::style::text_anchor::{HPos, VPos};

use super::super::canvas::{Area, px};
use super::super::colour::{FAINT_INK, INK};
use super::super::loads::extremes;
use super::super::number::short;
use super::super::panel::{Axis, Room, curve, panel, place};
use super::super::style::{SMALL, anchored, line, text, write};
use super::heat::{MOST_PANELS, panels};
use super::offset_gap::capital;
use super::scale::{Scale, bar};
use super::{BLADES, Drawn};
use crate::PlotError;
use crate::choose::by_condition;

/// Width of the panels and place of the bar, pixels.
const PANELS: f64 = 990.0;
const BAR: f64 = 1050.0;
/// Half a side of a mark, pixels.
const MARK: f64 = 13.0;

/// Whether the conditions differ in airspeed or angle of attack.
pub(super) fn varies(drawn: &Drawn) -> bool {
    let winner = drawn.winner();
    let spread = |values: &[f64]| {
        let (low, high) = extremes(values.iter().copied());
        high - low > 1e-9
    };
    spread(&drawn.airspeed_m_s[winner]) || spread(&drawn.angle_of_attack_rad[winner])
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, drawn: &Drawn) -> Result<(), PlotError> {
    let title = format!("{} over airspeed and angle of attack", capital(drawn.choose.keep_low.words()));
    let settings = drawn.settings_but(&[BLADES]);
    let words = if settings.is_empty() { settings } else { format!("at {settings}") };
    let inner = drawn.framed(area, &title, &words)?;
    let counts = drawn.counts();
    let values = |candidate: usize| -> Vec<f64> {
        let all = by_condition(&drawn.study.candidates[candidate], drawn.choose.keep_low);
        all.into_iter().map(|value| value.unwrap_or(f64::NAN)).collect()
    };
    let candidates: Vec<(String, usize)> = counts
        .into_iter()
        .filter_map(|(name, changes)| Some((name, drawn.like_winner(&changes)?)))
        .take(MOST_PANELS)
        .collect();
    let Some(scale) = Scale::of(candidates.iter().flat_map(|(_, c)| values(*c))) else { return Ok(()) };
    let at = |candidate: usize, k: usize| {
        (drawn.airspeed_m_s[candidate][k], drawn.angle_of_attack_rad[candidate][k].to_degrees())
    };
    let all = candidates.iter().flat_map(|(_, c)| (0..drawn.study.conditions.len()).map(move |k| at(*c, k)));
    let (xs, ys): (Vec<f64>, Vec<f64>) = all.unzip();
    let axis = |values: &[f64], label: &str| {
        let (low, high) = extremes(values.iter().copied());
        let room = 0.14 * (high - low).max(1e-3 * high.abs()).max(0.5);
        Axis::round(low - room, high + room, 5, label)
    };
    let (x_axis, y_axis) = (axis(&xs, "airspeed, m/s"), axis(&ys, "angle of attack, deg"));
    let areas = panels(&inner, candidates.len(), PANELS);
    for (cell, (name, candidate)) in areas.iter().zip(&candidates) {
        let values = values(*candidate);
        let (low, high) = extremes(values.iter().copied());
        let heading = format!("{name}: {} to {}", short(low), short(high));
        let mut chart = panel(cell, &heading, &x_axis, &y_axis, Room::default())?;
        // In level flight the conditions are a line of the flight envelope.
        let points: Vec<(f64, f64)> = (0..values.len()).map(|k| at(*candidate, k)).collect();
        if drawn.study.flown.len() == 1 {
            curve(&mut chart, &points, line(FAINT_INK, 1.5))?;
        }
        for (point, value) in
            points.iter().zip(&values).filter(|(point, value)| point.1.is_finite() && value.is_finite())
        {
            let (x, y) = place(cell, &chart, *point);
            let (a, b) = ((x - px(MARK), y - px(MARK)), (x + px(MARK), y + px(MARK)));
            cell.draw(&Rectangle::new([a, b], scale.colour(*value).filled()))?;
            cell.draw(&Rectangle::new([a, b], line(INK, 1.0)))?;
        }
        let failed = values.iter().filter(|value| !value.is_finite()).count();
        if failed > 0 {
            let (width, _) = cell.dim_in_pixel();
            let at = (width as i32 - px(24.0), px(46.0));
            let style = anchored(text(SMALL, FAINT_INK), HPos::Right, VPos::Center);
            write(cell, &format!("{failed} of {} have no answer", values.len()), at, style)?;
        }
    }
    bar(&inner, &scale, BAR, (60.0, 620.0), &drawn.quantity())
}
