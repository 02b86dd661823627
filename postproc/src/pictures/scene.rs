//! A view to scale: equal axes in metres, and what is drawn in them is cut to the plot.

use plotters::element::{Circle, Polygon, Rectangle};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, WHITE};

use super::canvas::{Area, px};
use super::clip::Window;
use super::colour::{BLUE, FAINT_INK, INK, VERMILION};
use super::number::short;
use super::outline::Place;
use super::panel::{Axis, Chart, Room, panel, place, plot_size};
use super::style::{SMALL, anchored, dashes, line, stroke, text, write};
use crate::PlotError;

/// Bodies.
pub(super) const BODY_FILL: RGBColor = RGBColor(214, 214, 214);
/// Surfaces.
pub(super) const SURFACE_FILL: RGBColor = RGBColor(150, 150, 150);
/// Wakes to half depth.
pub(super) const WAKE_FILL: RGBColor = RGBColor(176, 214, 240);
/// Length and half width of an arrow head, pixels.
const ARROW: (f64, f64) = (11.0, 4.0);

/// A scene being drawn.
pub(super) struct Scene<'a, DB: DrawingBackend> {
    area: &'a Area<DB>,
    chart: Chart<'a, DB>,
    window: Window,
}

impl<'a, DB: DrawingBackend> Scene<'a, DB> {
    /// A scene that shows at least `window`, m.
    pub fn new(
        area: &'a Area<DB>,
        heading: &str,
        window: Window,
        labels: [&str; 2],
    ) -> Result<Self, PlotError> {
        let room = Room { above: 6.0, right: 26.0 };
        let (width, height) = plot_size(area, room);
        let (dx, dy) = (window.right.1 - window.right.0, window.up.1 - window.up.0);
        let scale = (dx / width).max(dy / height);
        let widened = |(low, high): (f64, f64), size: f64| {
            let (middle, half) = (0.5 * (low + high), 0.5 * size * scale);
            (middle - half, middle + half)
        };
        let window = Window { right: widened(window.right, width), up: widened(window.up, height) };
        let steps = |size: f64| ((size / 110.0).round() as usize).max(3);
        let x = Axis::round(window.right.0, window.right.1, steps(width), labels[0]);
        let y = Axis::round(window.up.0, window.up.1, steps(height), labels[1]);
        let chart = panel(area, heading, &x, &y, room)?;
        Ok(Self { area, chart, window })
    }

    /// What is shown.
    pub fn window(&self) -> Window {
        self.window
    }

    /// A place in fine pixels.
    pub fn at(&self, at: Place) -> (i32, i32) {
        place(self.area, &self.chart, at)
    }

    /// A filled polygon with an edge.
    pub fn fill(&self, points: &[Place], fill: RGBColor, edge: f64) -> Result<(), PlotError> {
        let inside: Vec<_> = self.window.polygon(points).into_iter().map(|p| self.at(p)).collect();
        if inside.len() < 3 {
            return Ok(());
        }
        self.area.draw(&Polygon::new(inside, fill.filled()))?;
        if edge > 0.0 {
            let closed: Vec<Place> = points.iter().chain(points.first()).copied().collect();
            self.line(&closed, INK, edge)?;
        }
        Ok(())
    }

    /// A line.
    pub fn line(&self, points: &[Place], colour: RGBColor, width: f64) -> Result<(), PlotError> {
        for piece in self.window.line(points) {
            stroke(self.area, piece.into_iter().map(|p| self.at(p)).collect(), line(colour, width))?;
        }
        Ok(())
    }

    /// A straight dashed line.
    pub fn dashed(&self, from: Place, to: Place, colour: RGBColor, width: f64) -> Result<(), PlotError> {
        for piece in self.window.line(&[from, to]) {
            let points: Vec<_> = piece.into_iter().map(|p| self.at(p)).collect();
            dashes(self.area, &points, line(colour, width))?;
        }
        Ok(())
    }

    /// The hub.
    pub fn hub(&self, at: Place) -> Result<(), PlotError> {
        self.area.draw(&Circle::new(self.at(at), px(5.0), INK.filled()))?;
        Ok(())
    }

    /// A dimension between two places with arrows outside where it is short; its figure stands right of `words_at`.
    pub fn dimension(&self, from: Place, to: Place, words: &str, words_at: Place) -> Result<(), PlotError> {
        let (a, b) = (self.at(from), self.at(to));
        let (dx, dy) = (f64::from(b.0 - a.0), f64::from(b.1 - a.1));
        let length = dx.hypot(dy);
        if length < 1.0 {
            return Ok(());
        }
        let along = (dx / length, dy / length);
        stroke(self.area, vec![a, b], line(INK, 1.4))?;
        // Arrows point outwards from between the places, or inwards from beyond them.
        let outside = length < f64::from(px(3.0 * ARROW.0));
        let sign = if outside { -1.0 } else { 1.0 };
        self.arrow(a, (-sign * along.0, -sign * along.1), outside)?;
        self.arrow(b, (sign * along.0, sign * along.1), outside)?;
        let (x, y) = self.at(words_at);
        let style = anchored(text(SMALL, INK), HPos::Left, VPos::Center);
        let (width, height) =
            style.font.box_size(words).map_err(|error| PlotError::Drawing { reason: error.to_string() })?;
        let left = x + px(12.0);
        let half = height as i32 / 2;
        let ground = [(left - px(3.0), y - half), (left + width as i32 + px(3.0), y + half)];
        self.area.draw(&Rectangle::new(ground, WHITE.filled()))?;
        write(self.area, words, (left, y), style)
    }

    /// An arrow head at a place, pointing along a unit vector in pixels, with a tail where it stands outside.
    fn arrow(&self, tip: (i32, i32), along: (f64, f64), tail: bool) -> Result<(), PlotError> {
        let (length, half) = (f64::from(px(ARROW.0)), f64::from(px(ARROW.1)));
        let base = (f64::from(tip.0) - along.0 * length, f64::from(tip.1) - along.1 * length);
        let corner =
            |side: f64| ((base.0 - side * along.1 * half) as i32, (base.1 + side * along.0 * half) as i32);
        self.area.draw(&Polygon::new(vec![tip, corner(1.0), corner(-1.0)], INK.filled()))?;
        if tail {
            let end = ((base.0 - along.0 * length) as i32, (base.1 - along.1 * length) as i32);
            stroke(self.area, vec![tip, end], line(INK, 1.4))?;
        }
        Ok(())
    }
}

/// What a line or an area of a scene means.
#[derive(Debug, Clone, Copy)]
pub(super) enum Sign {
    Surface,
    Body,
    Wake,
    Disk,
    Shaft,
    /// No sign, small print.
    Note,
}

/// Height that the key's heading takes, and most between two rows of it, pixels.
const KEY: (f64, f64) = (52.0, 30.0);

/// Signs with their words, from the top of an area; many stand closer, to end inside it.
pub(super) fn key<DB: DrawingBackend>(area: &Area<DB>, rows: &[(Sign, String)]) -> Result<(), PlotError> {
    let room = f64::from(area.dim_in_pixel().1) / f64::from(px(1.0)) - KEY.0;
    let step = KEY.1.min(room / rows.len().max(1) as f64);
    let size = SMALL.min(0.9 * step);
    let mut y = px(KEY.0);
    for (sign, words) in rows {
        let (left, right) = (0, px(38.0));
        let half = px((0.4 * step).min(9.0));
        let swatch = [(left, y - half), (right, y + half)];
        let filled = |colour: RGBColor, edge: RGBColor| -> Result<(), PlotError> {
            area.draw(&Rectangle::new(swatch, colour.filled()))?;
            area.draw(&Rectangle::new(swatch, line(edge, 1.0)))?;
            Ok(())
        };
        match sign {
            Sign::Surface => filled(SURFACE_FILL, INK)?,
            Sign::Body => filled(BODY_FILL, INK)?,
            Sign::Wake => {
                filled(WAKE_FILL, WAKE_FILL)?;
                stroke(area, vec![(left, y), (right, y)], line(BLUE, 2.0))?;
            }
            Sign::Disk => stroke(area, vec![(left, y), (right, y)], line(VERMILION, 4.0))?,
            Sign::Shaft => dashes(area, &[(left, y), (right, y)], line(INK, 1.4))?,
            Sign::Note => {}
        }
        if matches!(sign, Sign::Note) {
            write(area, words, (0, y), text(size, FAINT_INK))?;
        } else {
            write(area, words, (px(50.0), y), text(size, INK))?;
        }
        y += px(step);
    }
    Ok(())
}

/// A length in millimetres below a metre.
pub(super) fn length(value_m: f64) -> String {
    if value_m.abs() < 0.9995 {
        format!("{} mm", short(1e3 * value_m))
    } else {
        format!("{} m", short(value_m))
    }
}
