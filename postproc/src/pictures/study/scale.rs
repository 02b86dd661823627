//! One colour scale for all panels of a picture, and its bar.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::{Color, RGBColor};

use super::super::canvas::{Area, px};
use super::super::colour::{self, FAINT_INK, INK, NO_DATA};
use super::super::number::{short, tick_label, ticks};
use super::super::style::{BODY, SMALL, line, stroke, text, upwards, write};
use crate::PlotError;

/// From this ratio of largest to least on the scale is logarithmic.
const LOGARITHMIC_FROM: f64 = 8.0;

/// Values nearer together than this part of them are equal but for round-off.
const EQUAL: f64 = 1e-9;

/// Decades that a logarithmic scale shows at most; smaller values take the darkest colour.
const MOST_DECADES: f64 = 3.0;

/// A range of values on a straight or a logarithmic scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    pub low: f64,
    pub high: f64,
    pub logarithmic: bool,
}

impl Scale {
    /// The scale of some values; `None` where none is finite.
    pub fn of(values: impl Iterator<Item = f64>) -> Option<Self> {
        let finite: Vec<f64> = values.filter(|value| value.is_finite()).collect();
        let high = finite.iter().copied().reduce(f64::max)?;
        let low = finite.iter().copied().reduce(f64::min)?;
        if high <= 0.0 && low >= 0.0 {
            // No load at all: an amplitude has no scale below 0.
            return Some(Self { low: 0.0, high: 1.0, logarithmic: false });
        }
        if high > 0.0 && (low <= 0.0 || high / low >= LOGARITHMIC_FROM) {
            let low = low.max(high / 10_f64.powf(MOST_DECADES));
            return Some(Self { low, high, logarithmic: true });
        }
        let room = if high - low > EQUAL * high.abs() { 0.0 } else { 0.5 * high.abs() };
        Some(Self { low: low - room, high: high + room, logarithmic: false })
    }

    /// Where a value stands, 0 to 1.
    pub fn share(&self, value: f64) -> f64 {
        if self.logarithmic {
            (value.max(self.low) / self.low).ln() / (self.high / self.low).ln()
        } else {
            (value - self.low) / (self.high - self.low)
        }
    }

    pub fn colour(&self, value: f64) -> RGBColor {
        if value.is_finite() { colour::map(self.share(value)) } else { NO_DATA }
    }

    /// Round values on the scale and their labels.
    pub fn marks(&self) -> Vec<(f64, String)> {
        if !self.logarithmic {
            let marks = ticks(self.low, self.high, 6);
            let step = marks.windows(2).next().map_or(1.0, |pair| pair[1] - pair[0]);
            return marks.into_iter().map(|value| (value, tick_label(value, step))).collect();
        }
        let (from, to) = (self.low.log10().floor() as i32, self.high.log10().ceil() as i32);
        let leads: &[f64] = if self.high / self.low > 200.0 { &[1.0] } else { &[1.0, 2.0, 5.0] };
        let all = (from..=to).flat_map(|power| leads.iter().map(move |lead| lead * 10_f64.powi(power)));
        let inside = all.filter(|value| (self.low * 0.999..=self.high * 1.001).contains(value));
        inside.map(|value| (value, plain(value))).collect()
    }
}

/// A round value without needless zeros.
pub(super) fn plain(value: f64) -> String {
    if !(1e-4..1e5).contains(&value.abs()) {
        return short(value);
    }
    let decimals = (0..6).find(|d| {
        let scaled = value * 10_f64.powi(*d);
        (scaled - scaled.round()).abs() < 1e-6 * scaled.abs()
    });
    format!("{value:.*}", decimals.unwrap_or(6) as usize)
}

/// Draws the bar with its label at the left, numbers at the right, from `left` on, pixels.
pub(super) fn bar<DB: DrawingBackend>(
    area: &Area<DB>,
    scale: &Scale,
    left: f64,
    (top, bottom): (f64, f64),
    label: &str,
) -> Result<(), PlotError> {
    let (x, top, bottom, width) = (px(left), px(top), px(bottom), px(30.0));
    for y in top..bottom {
        let share = f64::from(bottom - y) / f64::from(bottom - top);
        area.draw(&Rectangle::new([(x, y), (x + width, y + 1)], colour::map(share).filled()))?;
    }
    area.draw(&Rectangle::new([(x, top), (x + width, bottom)], line(FAINT_INK, 1.0)))?;
    for (value, words) in scale.marks() {
        let y = bottom - (scale.share(value) * f64::from(bottom - top)).round() as i32;
        stroke(area, vec![(x + width, y), (x + width + px(6.0), y)], line(INK, 1.0))?;
        write(area, &words, (x + width + px(11.0), y), text(SMALL, INK))?;
    }
    write(area, label, (x - px(20.0), (top + bottom) / 2), upwards(BODY))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_values_have_a_scale_of_amplitudes() {
        let of = |values: &[f64]| Scale::of(values.iter().copied()).unwrap();
        assert_eq!(of(&[0.0, 0.0]), Scale { low: 0.0, high: 1.0, logarithmic: false });
        let equal = of(&[2.0, 2.0 + 1e-12]);
        assert!(equal.low > 0.9 && equal.high < 3.1, "{equal:?}");
    }
}
