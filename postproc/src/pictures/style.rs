//! Text and lines in the sizes all pictures share.

use plotters::element::{PathElement, Rectangle, Text};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontStyle, FontTransform, IntoFont, RGBColor, ShapeStyle, TextStyle, WHITE};

use super::canvas::{Area, FONT, px};
use super::colour::INK;
use crate::PlotError;

/// Text sizes, pixels; the smallest is still 8 pixels at half size.
pub(super) const TITLE: f64 = 30.0;
/// Headings of panels and axis labels.
pub(super) const BODY: f64 = 20.0;
/// Tick labels and small print.
pub(super) const SMALL: f64 = 17.0;

/// Length of dashes and gaps, pixels.
const DASH: (f64, f64) = (14.0, 8.0);

/// A text style, anchored at its left and its vertical middle.
pub(super) fn text(size: f64, colour: RGBColor) -> TextStyle<'static> {
    (FONT, px(size)).into_font().color(&colour).pos(Pos::new(HPos::Left, VPos::Center))
}

/// The same in bold.
pub(super) fn bold(size: f64, colour: RGBColor) -> TextStyle<'static> {
    let font = (FONT, px(size), FontStyle::Bold).into_font();
    font.color(&colour).pos(Pos::new(HPos::Left, VPos::Center))
}

/// Moves the anchor of a style.
pub(super) fn anchored(style: TextStyle<'static>, horizontal: HPos, vertical: VPos) -> TextStyle<'static> {
    style.pos(Pos::new(horizontal, vertical))
}

/// Text that reads upwards, centred on its anchor.
pub(super) fn upwards(size: f64) -> TextStyle<'static> {
    let font = (FONT, px(size)).into_font().transform(FontTransform::Rotate270);
    font.color(&INK).pos(Pos::new(HPos::Center, VPos::Center))
}

/// A line of a width in pixels.
pub(super) fn line(colour: RGBColor, width: f64) -> ShapeStyle {
    colour.stroke_width(px(width).max(1) as u32)
}

/// Writes at a place in fine pixels.
pub(super) fn write<DB: DrawingBackend>(
    area: &Area<DB>,
    words: &str,
    at: (i32, i32),
    style: TextStyle<'static>,
) -> Result<(), PlotError> {
    if !words.is_empty() {
        area.draw(&Text::new(words.to_owned(), at, style))?;
    }
    Ok(())
}

/// A line through points in fine pixels.
pub(super) fn stroke<DB: DrawingBackend>(
    area: &Area<DB>,
    points: Vec<(i32, i32)>,
    style: ShapeStyle,
) -> Result<(), PlotError> {
    area.draw(&PathElement::new(points, style))?;
    Ok(())
}

/// A dashed line through points in fine pixels; dashes run on over the points.
pub(super) fn dashes<DB: DrawingBackend>(
    area: &Area<DB>,
    points: &[(i32, i32)],
    style: ShapeStyle,
) -> Result<(), PlotError> {
    let (dash, period) = (f64::from(px(DASH.0)), f64::from(px(DASH.0 + DASH.1)));
    let mut gone = 0.0;
    for pair in points.windows(2) {
        let (dx, dy) = (f64::from(pair[1].0 - pair[0].0), f64::from(pair[1].1 - pair[0].1));
        let length = dx.hypot(dy);
        let at = |t: f64| {
            let share = ((t - gone) / length).clamp(0.0, 1.0);
            (pair[0].0 + (share * dx).round() as i32, pair[0].1 + (share * dy).round() as i32)
        };
        let mut from = (gone / period).floor() * period;
        while length > 0.0 && from < gone + length {
            if from + dash > gone {
                stroke(area, vec![at(from), at(from + dash)], style)?;
            }
            from += period;
        }
        gone += length;
    }
    Ok(())
}

/// A name cut to a number of letters.
pub(crate) fn cut(name: &str, letters: usize) -> String {
    if name.chars().count() <= letters {
        return name.to_owned();
    }
    name.chars().take(letters - 1).chain(['…']).collect()
}

/// How wide words are in a style, fine pixels.
pub(super) fn width(words: &str, style: &TextStyle<'_>) -> Result<i32, PlotError> {
    let size = style.font.box_size(words);
    size.map(|(width, _)| width as i32).map_err(|error| PlotError::Drawing { reason: error.to_string() })
}

/// Words cut at their end to a width, fine pixels.
pub(super) fn fitted(words: &str, style: &TextStyle<'_>, room: i32) -> Result<String, PlotError> {
    let mut letters = words.chars().count();
    let mut shown = words.to_owned();
    while letters > 1 && width(&shown, style)? > room {
        letters -= 1;
        shown = cut(words, letters);
    }
    Ok(shown)
}

/// A name of something among its like cut to a number of letters in the middle: what tells such names apart, and the kind of a source,
/// stands at their end.
pub(crate) fn cut_name(name: &str, letters: usize) -> String {
    let count = name.chars().count();
    if count <= letters {
        return name.to_owned();
    }
    let tail = (letters - 1) * 3 / 4;
    let head = name.chars().take(letters - 1 - tail);
    head.chain(['…']).chain(name.chars().skip(count - tail)).collect()
}

/// Writes centred above a place, on white so that grid lines do not cross the words.
pub(super) fn write_above<DB: DrawingBackend>(
    area: &Area<DB>,
    words: &str,
    (x, y): (i32, i32),
    style: TextStyle<'static>,
) -> Result<(), PlotError> {
    let (width, height) =
        style.font.box_size(words).map_err(|error| PlotError::Drawing { reason: error.to_string() })?;
    let (half, tall) = (width as i32 / 2 + px(1.0), height as i32);
    let ground = Rectangle::new([(x - half, y - tall), (x + half, y)], WHITE.filled());
    area.draw(&ground)?;
    write(area, words, (x, y), anchored(style, HPos::Center, VPos::Bottom))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cut_name_keeps_its_length_its_number_and_its_kind() {
        let name = "strut of the upper starboard leg number 3 thickness";
        assert_eq!(cut_name(name, 20), "strut…er 3 thickness");
        assert_eq!(cut_name(name, 20).chars().count(), 20);
        assert_eq!(cut_name("wing wake", 9), "wing wake");
    }
}
