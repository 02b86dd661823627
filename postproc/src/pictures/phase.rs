//! Loads on the airframe against the phase between propellers.
//!
//! Over one blade interval of phase every blade-rate load runs through all it can be: in phase at its ends, in anti-phase in its
//! middle, where what adds in phase may cancel. Forces share one scale and moments another. A line for each further propeller
//! that takes every phase while the others keep theirs; dots mark the phases of the case.

use plotters::element::Circle;
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor};
use wakebeat_engine::point::airframe::AirframeSums;
use wakebeat_engine::point::result::{HubLoad, PointResult};

use super::Run;
use super::canvas::{Area, px};
use super::colour::{BLUE, FAINT_INK, GREEN, INK, PURPLE, VERMILION};
use super::frame::{framed, rotation};
use super::loads::title;
use super::number::{Prefix, beside, short};
use super::panel::{Axis, Room, curve, panel, place};
use super::style::{BODY, SMALL, anchored, cut_name, dashes, line, stroke, text, write};
use crate::PlotError;
use crate::phase::{self, ByPhase};

const FORCES: [HubLoad; 3] = [HubLoad::Thrust, HubLoad::VerticalForce, HubLoad::SideForce];
const MOMENTS: [HubLoad; 3] = [HubLoad::PitchingMoment, HubLoad::YawingMoment, HubLoad::RollingMoment];
/// Colours of further propellers; more are named as left out.
const COLOURS: [RGBColor; 4] = [BLUE, VERMILION, GREEN, PURPLE];
/// Multiples of the blade count that are drawn.
const MULTIPLES: [usize; 2] = [1, 2];
/// Steps of a curve over the interval.
const STEPS: usize = 180;
/// Height of a line of the key, pixels.
const KEY_LINE: f64 = 28.0;
/// Room for the words above the plots, and right of them for half a number.
const ROOM: Room = Room { above: 22.0, right: 26.0 };

/// Whether a run holds what the picture shows.
pub(super) fn has_phases(result: &PointResult) -> bool {
    sums(result).is_some_and(|sums| !sums.by_phase.is_empty())
}

fn sums(result: &PointResult) -> Option<&AirframeSums> {
    result.airframe.as_ref().and_then(|airframe| airframe.sums.as_ref())
}

/// A load while one further propeller takes every phase.
struct Line {
    propeller: usize,
    dashed: bool,
    values: ByPhase,
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "Loads on the airframe against the phase between propellers", run)?;
    let Some(sums) = sums(&run.record.result) else { return Ok(()) };
    let (width, height) = inner.dim_in_pixel();
    let key_height = px(KEY_LINE * (1 + key_lines(run).len()) as f64 + 10.0);
    let (plots, key_area) = inner.split_vertically(height as i32 - key_height);
    let row = (height as i32 - key_height - px(30.0)) / 3;
    let cells = plots.split_by_breakpoints([width as i32 / 2], [row, 2 * row]);
    for (side, loads) in [FORCES, MOMENTS].iter().enumerate() {
        let all: Vec<(HubLoad, Vec<Line>)> =
            loads.iter().map(|load| (*load, lines(sums, run, *load))).collect();
        let values = all.iter().flat_map(|(_, lines)| lines).map(|line| line.values.range().1);
        let largest = values.fold(0.0, f64::max);
        for (place, (load, lines)) in all.iter().enumerate() {
            draw_load(&cells[2 * place + side], run, *load, lines, largest, place + 1 == all.len())?;
        }
    }
    key(&key_area, run)
}

fn lines(sums: &AirframeSums, run: Run<'_>, load: HubLoad) -> Vec<Line> {
    let blades = run.record.result.blade_count;
    let mut list = Vec::new();
    for propeller in 0..sums.by_phase.len().min(COLOURS.len()) {
        for multiple in MULTIPLES {
            let values = phase::curve(sums, propeller, load, multiple * blades);
            list.extend(values.map(|values| Line { propeller, dashed: multiple > 1, values }));
        }
    }
    list
}

fn draw_load<DB: DrawingBackend>(
    cell: &Area<DB>,
    run: Run<'_>,
    load: HubLoad,
    lines: &[Line],
    largest: f64,
    last: bool,
) -> Result<(), PlotError> {
    let blades = run.record.result.blade_count;
    let interval_rad = phase::interval_rad(blades);
    let interval = interval_rad.to_degrees();
    let prefix = Prefix::of(largest);
    let top = if largest > 0.0 { 1.08 * prefix.factor * largest } else { 1.0 };
    let unit = prefix.unit(load.unit());
    let label = if last { "phase ahead of the first propeller, deg" } else { "" };
    let x = Axis {
        low: 0.0,
        high: interval,
        ticks: (0..=4).map(|k| 0.25 * f64::from(k) * interval).collect(),
        label: label.to_owned(),
        numbered: true,
        gridded: true,
    };
    let y = Axis::round(0.0, top, 4, &unit);
    let heading = heading(load, lines, blades, prefix.factor, largest);
    let mut chart = panel(cell, &heading, &x, &y, ROOM)?;
    for (at, words, side) in
        [(0.0, "in phase", HPos::Left), (0.5, "anti-phase", HPos::Center), (1.0, "in phase", HPos::Right)]
    {
        curve(&mut chart, &[(at * interval, 0.0), (at * interval, top)], line(FAINT_INK, 1.4))?;
        let (x, y) = place(cell, &chart, (at * interval, top));
        write(cell, words, (x, y - px(4.0)), anchored(text(SMALL, FAINT_INK), side, VPos::Bottom))?;
    }
    for one in lines {
        let value = |phase_rad: f64| prefix.factor * one.values.at(phase_rad);
        let points: Vec<(f64, f64)> = (0..=STEPS)
            .map(|k| k as f64 / STEPS as f64)
            .map(|share| (share * interval, value(share * interval_rad)))
            .collect();
        let colour = COLOURS[one.propeller];
        if one.dashed {
            let pixels: Vec<(i32, i32)> = points.iter().map(|point| place(cell, &chart, *point)).collect();
            dashes(cell, &pixels, line(colour, 2.2))?;
        } else {
            curve(&mut chart, &points, line(colour, 2.6))?;
        }
        if let Some(further) = run.point.further.get(one.propeller) {
            let here = further.phase_rad.rem_euclid(interval_rad);
            let at = place(cell, &chart, (here.to_degrees(), value(here)));
            cell.draw(&Circle::new(at, px(5.0), colour.filled()))?;
        }
    }
    Ok(())
}

/// Name, and the range that each multiple runs through.
fn heading(load: HubLoad, lines: &[Line], blades: usize, factor: f64, largest: f64) -> String {
    let ranges = MULTIPLES.iter().filter_map(|multiple| {
        let of = lines.iter().filter(|line| line.dashed == (*multiple > 1)).map(|line| line.values.range());
        let (low, high) = of.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))?;
        let figure = |value: f64| beside(factor * value, factor * largest);
        Some(format!("{}P {} to {}", multiple * blades, figure(low), figure(high)))
    });
    format!("{}: {}", title(load), ranges.collect::<Vec<_>>().join(", "))
}

/// A line of words for each further propeller, and one for those without a colour of their own.
fn key_lines(run: Run<'_>) -> Vec<String> {
    let further = &run.point.further;
    let blades = run.record.result.blade_count;
    let mut list: Vec<String> = further
        .iter()
        .take(COLOURS.len())
        .map(|one| {
            let own = one.propeller(&run.point.propeller);
            let count = if own.blade_count == blades {
                String::new()
            } else {
                format!(", {} blades of its own", own.blade_count)
            };
            let drift = match phase::beat_hz(&run.record.result, &one.name) {
                Some(hz) => format!(
                    "at {} of the speed: runs through all phases, {blades}P beats at {} Hz",
                    short(one.speed_ratio),
                    short(hz)
                ),
                None => format!("{} in the case", phase::degrees(one.phase_rad)),
            };
            format!("{} ({}{count}), {drift}", cut_name(&one.name, 19), rotation(one.rotation))
        })
        .collect();
    if further.len() > COLOURS.len() {
        list.push(format!("and {} more, not drawn", further.len() - COLOURS.len()));
    }
    list
}

fn key<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let blades = run.record.result.blade_count;
    let (left, middle) = (px(92.0), |row: usize| px(10.0 + KEY_LINE * (row as f64 + 0.5)));
    let swatch = |x: i32| vec![(x, middle(0)), (x + px(56.0), middle(0))];
    stroke(area, swatch(left), line(INK, 2.6))?;
    write(area, &format!("{blades}P"), (left + px(66.0), middle(0)), text(BODY, INK))?;
    let second = left + px(150.0);
    dashes(area, &swatch(second), line(INK, 2.2))?;
    write(area, &format!("{}P", 2 * blades), (second + px(66.0), middle(0)), text(BODY, INK))?;
    let third = second + px(170.0);
    area.draw(&Circle::new((third, middle(0)), px(5.0), INK.filled()))?;
    let words = "phase of the case; amplitudes (single-sided peaks) at the centre of gravity";
    write(area, words, (third + px(16.0), middle(0)), text(BODY, INK))?;
    for (row, words) in key_lines(run).iter().enumerate() {
        let y = middle(row + 1);
        if let Some(colour) = COLOURS.get(row) {
            stroke(area, vec![(left, y), (left + px(56.0), y)], line(*colour, 4.0))?;
        }
        write(area, words, (left + px(66.0), y), text(BODY, INK))?;
    }
    Ok(())
}
