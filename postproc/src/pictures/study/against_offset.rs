//! What is kept low against shaft offset, a line for each blade count.

use plotters::element::{Circle, PathElement};
use plotters::prelude::DrawingBackend;
use plotters::style::Color;

use super::super::canvas::{Area, px};
use super::super::colour::INK;
use super::super::panel::{Axis, Room, curve, panel, place};
use super::super::style::{BODY, fitted, line, text, width, write};
use super::offset_gap::capital;
use super::scale::{Scale, plain};
use super::{BLADES, COLOURS, Drawn, OFFSET};
use crate::PlotError;

/// From the end of a line to its name, and the longest name, pixels.
const TO_LABEL: f64 = 58.0;
const LABEL: f64 = 420.0;

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, drawn: &Drawn) -> Result<(), PlotError> {
    let Some(offset) = drawn.along(OFFSET) else { return Ok(()) };
    let title = format!("{} against shaft offset", capital(drawn.choose.keep_low.words()));
    let others = drawn.settings_but(&[OFFSET, BLADES]);
    let words =
        if others.is_empty() { drawn.over().to_owned() } else { format!("{}; {others}", drawn.over()) };
    let inner = drawn.framed(area, &title, &words)?;
    let numbers = &drawn.study.decided[offset].numbers;
    let mut order: Vec<usize> = (0..numbers.len()).collect();
    order.sort_by(|a, b| numbers[*a].total_cmp(&numbers[*b]));
    let lines: Vec<(String, Vec<(f64, f64)>)> = drawn
        .counts()
        .into_iter()
        .take(COLOURS.len())
        .map(|(name, changes)| {
            let point = |i: &usize| {
                let mut changes = changes.clone();
                changes.push((offset, *i));
                let value = drawn.like_winner(&changes).map_or(f64::NAN, |c| drawn.value(c));
                (numbers[*i], value)
            };
            (name, order.iter().map(point).collect())
        })
        .collect();
    let Some(scale) = Scale::of(lines.iter().flat_map(|(_, points)| points.iter().map(|p| p.1))) else {
        return Ok(());
    };
    let (low, high) = (numbers[order[0]], numbers[order[order.len() - 1]]);
    // One value alone stands in the middle.
    let room = if high > low { 0.03 * (high - low) } else { low.abs().max(0.01) };
    let x = Axis::round(low - room, high + room, 8, "shaft offset above the trailing edge, m");
    let (y, transform) = value_axis(&scale, &drawn.quantity());
    let heading = if scale.logarithmic {
        "One line a blade count: logarithmic scale"
    } else {
        "One line a blade count"
    };
    let names = lines.iter().map(|(name, _)| width(name, &text(BODY, INK)));
    let longest = names.collect::<Result<Vec<_>, _>>()?.into_iter().max().unwrap_or(0);
    let longest = (f64::from(longest) / f64::from(px(1.0))).min(LABEL);
    let mut chart = panel(&inner, heading, &x, &y.0, Room { above: 10.0, right: TO_LABEL + longest + 6.0 })?;
    write_marks(&inner, &chart, &x, &y)?;
    let mut ends = Vec::new();
    for (k, (name, points)) in lines.iter().enumerate() {
        let points: Vec<(f64, f64)> = points.iter().map(|(x, y)| (*x, transform(*y))).collect();
        curve(&mut chart, &points, line(COLOURS[k], 2.6))?;
        for point in points.iter().filter(|p| p.1.is_finite()) {
            let at = place(&inner, &chart, *point);
            inner.draw(&Circle::new(at, px(5.0), COLOURS[k].filled()))?;
        }
        if let Some(last) = points.iter().rev().find(|p| p.1.is_finite()) {
            ends.push((place(&inner, &chart, (high, last.1)), name.clone(), k));
        }
    }
    let foot = place(&inner, &chart, (high, y.0.low)).1;
    end_labels(&inner, ends, foot)
}

/// Places as near as can be to those wanted, which grow, at least `step` apart, none beyond `last` as long as there is room.
fn apart(wanted: &[i32], step: i32, last: i32) -> Vec<i32> {
    let mut places = wanted.to_vec();
    for i in 1..places.len() {
        places[i] = places[i].max(places[i - 1] + step);
    }
    let mut most = last;
    for place in places.iter_mut().rev() {
        *place = (*place).min(most);
        most = *place - step;
    }
    places
}

/// Names at the ends of lines, kept apart and above the foot of the plot.
fn end_labels<DB: DrawingBackend>(
    area: &Area<DB>,
    mut ends: Vec<((i32, i32), String, usize)>,
    foot: i32,
) -> Result<(), PlotError> {
    ends.sort_by_key(|end| end.0.1);
    let wanted: Vec<i32> = ends.iter().map(|end| end.0.1).collect();
    let places = apart(&wanted, px(BODY * 1.25), foot - px(0.5 * BODY));
    for (((x, _), name, k), y) in ends.into_iter().zip(places) {
        let name = fitted(&name, &text(BODY, INK), px(LABEL))?;
        let swatch = vec![(x + px(28.0), y), (x + px(52.0), y)];
        area.draw(&PathElement::new(swatch, line(COLOURS[k], 4.0)))?;
        write(area, &name, (x + px(TO_LABEL), y), text(BODY, INK))?;
    }
    Ok(())
}

/// The axis of values, its marks where they cannot be the axis' own, and what a value becomes on it.
pub(super) type ValueAxis = (Axis, Vec<(f64, String)>);

/// Values straight from 0, or their logarithms.
pub(super) fn value_axis(scale: &Scale, label: &str) -> (ValueAxis, impl Fn(f64) -> f64 + use<>) {
    let logarithmic = scale.logarithmic;
    let transform = move |value: f64| if logarithmic { value.max(f64::MIN_POSITIVE).log10() } else { value };
    if logarithmic {
        let (low, high) = (scale.low.log10() - 0.08, scale.high.log10() + 0.08);
        let marks: Vec<(f64, String)> = scale.marks().iter().map(|(v, _)| (v.log10(), plain(*v))).collect();
        let mut axis = Axis::round(low, high, 5, label);
        axis.ticks = marks.iter().map(|(at, _)| *at).collect();
        axis.numbered = false;
        return ((axis, marks), transform);
    }
    ((Axis::round(0.0, 1.08 * scale.high, 6, label), Vec::new()), transform)
}

/// Writes the marks of a logarithmic axis.
pub(super) fn write_marks<DB: DrawingBackend>(
    area: &Area<DB>,
    chart: &super::super::panel::Chart<'_, DB>,
    x: &Axis,
    (_, marks): &ValueAxis,
) -> Result<(), PlotError> {
    use super::super::colour::FAINT_INK;
    use super::super::style::{SMALL, anchored};
    use plotters::style::text_anchor::{HPos, VPos};
    for (at, words) in marks {
        let (px_x, px_y) = place(area, chart, (x.low, *at));
        let style = anchored(text(SMALL, FAINT_INK), HPos::Right, VPos::Center);
        write(area, words, (px_x - px(8.0), px_y), style)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::apart;

    #[test]
    fn names_of_equal_lines_stand_apart_above_the_foot() {
        assert_eq!(apart(&[100, 100, 100], 25, 95), [45, 70, 95]);
        assert_eq!(apart(&[10, 12, 90], 25, 95), [10, 35, 90]);
    }
}
