//! Colours of the segments and their key. Letters go with the colours, so that bars can be read in grey.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor, WHITE};

use crate::PlotError;
use crate::pictures::canvas::{Area, px};
use crate::pictures::colour::{BLUE, FAINT_INK, GREEN, INK, NO_DATA, ORANGE, PURPLE, SKY, VERMILION, YELLOW};
use crate::pictures::style::{BODY, SMALL, anchored, bold, cut, line, text, write};

/// Colours in turn.
const COLOURS: [RGBColor; 7] = [SKY, BLUE, ORANGE, GREEN, PURPLE, YELLOW, VERMILION];
/// Width of the key's column, pixels.
pub(super) const WIDTH: f64 = 250.0;
/// Greatest line spacing, pixels.
const STEP: f64 = 32.0;

/// Colour of a part; what comes after the segments is pale.
pub(super) fn colour(part: usize, segments: usize) -> RGBColor {
    if part >= segments { NO_DATA } else { COLOURS[part % COLOURS.len()] }
}

/// A to Z, then two letters.
pub(super) fn letter(part: usize) -> String {
    let one = |k: usize| char::from(b'A' + (k % 26) as u8);
    if part < 26 { one(part).to_string() } else { format!("{}{}", one(part / 26 - 1), one(part)) }
}

/// Writes a part's letter on its colour.
pub(super) fn write_letter<DB: DrawingBackend>(
    area: &Area<DB>,
    part: usize,
    segments: usize,
    at: (i32, i32),
) -> Result<(), PlotError> {
    let RGBColor(r, g, b) = colour(part, segments);
    // Weights of the ITU-R BT.601 luma.
    let luma = 0.299 * f64::from(r) + 0.587 * f64::from(g) + 0.114 * f64::from(b);
    let ink = if luma < 130.0 { WHITE } else { INK };
    write(area, &letter(part), at, anchored(bold(SMALL, ink), HPos::Center, VPos::Center))
}

/// A filled rectangle with an edge.
pub(super) fn swatch<DB: DrawingBackend>(
    area: &Area<DB>,
    part: usize,
    segments: usize,
    corners: [(i32, i32); 2],
) -> Result<(), PlotError> {
    area.draw(&Rectangle::new(corners, colour(part, segments).filled()))?;
    let edge = if part >= segments { FAINT_INK } else { WHITE };
    area.draw(&Rectangle::new(corners, line(edge, 1.0)))?;
    Ok(())
}

/// The names of the parts below each other; returns the height they take, fine pixels.
pub(super) fn key<DB: DrawingBackend>(
    area: &Area<DB>,
    heading: &str,
    names: &[String],
    segments: usize,
) -> Result<i32, PlotError> {
    write(area, heading, (0, px(15.0)), bold(BODY, INK))?;
    let step = STEP.min(520.0 / names.len().max(1) as f64);
    let mut y = px(50.0);
    for (part, name) in names.iter().enumerate() {
        let half = px(0.42 * step);
        swatch(area, part, segments, [(0, y - half), (px(34.0), y + half)])?;
        write_letter(area, part, segments, (px(17.0), y))?;
        write(area, &cut(&name.replace('_', " "), 19), (px(46.0), y), text(BODY.min(0.9 * step), INK))?;
        y += px(step);
    }
    Ok(y)
}
