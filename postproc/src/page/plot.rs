//! Axes in SVG with lines, bars, dots and bands. Colours are classes of the style sheet, so that light, dark and print each
//! have their own; every mark carries its value as a title.

use std::fmt::Write;

use maud::{Markup, html};

use crate::pictures::number::{short, tick_label, ticks};

/// Width of a figure in its own units; a text of 12 then reads on a telephone.
pub(super) const WIDTH: f64 = 400.0;
/// Room around the axes.
const LEFT: f64 = 56.0;
const RIGHT: f64 = 12.0;
const TOP: f64 = 10.0;
const BOTTOM: f64 = 44.0;
/// Most marks with titles along a line.
const MARKS: usize = 60;

/// One axis.
pub(super) struct Axis {
    pub label: String,
    pub low: f64,
    pub high: f64,
}

impl Axis {
    /// An axis over a range; a little wider where the range is empty.
    pub fn new(label: impl Into<String>, low: f64, high: f64) -> Self {
        let (low, high) = if low.is_finite() && high.is_finite() { (low, high) } else { (0.0, 1.0) };
        let high = if high > low { high } else { low + low.abs().max(1.0) };
        Self { label: label.into(), low, high }
    }

    fn share(&self, value: f64) -> f64 {
        (value - self.low) / (self.high - self.low)
    }
}

/// A plot being drawn.
pub(super) struct Plot {
    title: String,
    about: String,
    x: Axis,
    y: Axis,
    height: f64,
    x_ticks: Option<Vec<f64>>,
    marks: Vec<Markup>,
    key: Vec<(String, String)>,
}

impl Plot {
    /// A plot with a title, what it shows in a sentence for those who do not see it, and its axes.
    pub fn new(title: impl Into<String>, about: impl Into<String>, x: Axis, y: Axis) -> Self {
        let (title, about) = (title.into(), about.into());
        Self { title, about, x, y, height: 250.0, x_ticks: None, marks: Vec::new(), key: Vec::new() }
    }

    /// Lower.
    pub fn low(mut self) -> Self {
        self.height = 165.0;
        self
    }

    /// Ticks of its own along x.
    pub fn with_x_ticks(mut self, at: Vec<f64>) -> Self {
        self.x_ticks = Some(at);
        self
    }

    fn px(&self, x: f64) -> f64 {
        LEFT + self.x.share(x) * (WIDTH - LEFT - RIGHT)
    }

    fn py(&self, y: f64) -> f64 {
        self.height - BOTTOM - self.y.share(y) * (self.height - TOP - BOTTOM)
    }

    /// A line; parts outside the axes are cut off. `tip` words a point.
    pub fn line(&mut self, points: &[(f64, f64)], class: &str, tip: impl Fn(f64, f64) -> String) {
        let finite = |p: &&(f64, f64)| p.0.is_finite() && p.1.is_finite();
        let path = self.path(points);
        self.marks.push(html! { path.line.(class) d=(path) {} });
        let inside: Vec<&(f64, f64)> =
            points.iter().filter(finite).filter(|p| (self.y.low..=self.y.high).contains(&p.1)).collect();
        let step = inside.len().div_ceil(MARKS).max(1);
        for (x, y) in inside.into_iter().step_by(step) {
            let (cx, cy) = (format!("{:.1}", self.px(*x)), format!("{:.1}", self.py(*y)));
            self.marks.push(html! { circle.hit.(class) cx=(cx) cy=(cy) r="5" { title { (tip(*x, *y)) } } });
        }
    }

    /// A line without marks.
    pub fn guide(&mut self, points: &[(f64, f64)], class: &str) {
        let path = self.path(points);
        self.marks.push(html! { path.line.(class) d=(path) {} });
    }

    fn path(&self, points: &[(f64, f64)]) -> String {
        let mut path = String::new();
        let mut pen_down = false;
        for (x, y) in points {
            if x.is_finite() && y.is_finite() {
                // Writing to a string cannot fail.
                let _ =
                    write!(path, "{}{:.1} {:.1}", if pen_down { "L" } else { "M" }, self.px(*x), self.py(*y));
                pen_down = true;
            } else {
                pen_down = false;
            }
        }
        path
    }

    /// A dot with its value.
    pub fn dot(&mut self, (x, y): (f64, f64), class: &str, radius: f64, tip: &str) {
        let (cx, cy) = (format!("{:.1}", self.px(x)), format!("{:.1}", self.py(y)));
        self.marks.push(html! { circle.dot.(class) cx=(cx) cy=(cy) r=(radius) { title { (tip) } } });
    }

    /// An upright bar around `x` from 0.
    pub fn bar(&mut self, x: f64, half: f64, y: f64, class: &str, tip: &str) {
        let (left, right) = (self.px(x - half), self.px(x + half));
        let (zero, top) = (self.py(0.0), self.py(y));
        // A bar too low to be seen still shows where it is.
        let height = (zero - top).abs().max(0.8);
        self.marks.push(html! {
            rect.bar.(class) x=(format!("{left:.1}")) y=(format!("{:.1}", zero.min(top).min(zero - 0.8)))
                width=(format!("{:.1}", right - left)) height=(format!("{height:.1}")) { title { (tip) } }
        });
    }

    /// A range of x that is marked over the whole height.
    pub fn band(&mut self, from: f64, to: f64, class: &str, tip: &str) {
        let (left, right) = (self.px(from.max(self.x.low)), self.px(to.min(self.x.high)));
        self.marks.push(html! {
            rect.band.(class) x=(format!("{left:.1}")) y=(TOP) width=(format!("{:.1}", (right - left).max(1.0)))
                height=(self.height - TOP - BOTTOM) { title { (tip) } }
        });
    }

    /// Words above a place.
    pub fn words(&mut self, (x, y): (f64, f64), words: &str) {
        let (x, y) = (format!("{:.1}", self.px(x)), format!("{:.1}", self.py(y) - 4.0));
        self.marks.push(html! { text.small x=(x) y=(y) text-anchor="middle" { (words) } });
    }

    /// An entry of the key.
    pub fn key(&mut self, class: &str, words: impl Into<String>) {
        self.key.push((class.to_owned(), words.into()));
    }

    /// The figure.
    pub fn figure(self, id: &str) -> Markup {
        let clip = format!("{id}-clip");
        let inner = html! {
            defs { clipPath id=(clip) {
                rect x=(LEFT) y=(TOP - 6.0) width=(WIDTH - LEFT - RIGHT) height=(self.height - TOP - BOTTOM + 7.0) {}
            } }
            (self.grid())
            g clip-path={ "url(#" (clip) ")" } { @for mark in &self.marks { (mark) } }
        };
        figure(&self.title, &self.about, self.height, &inner, &self.key)
    }

    fn grid(&self) -> Markup {
        let count = ((self.height - TOP - BOTTOM) / 36.0).max(2.0) as usize;
        let y_ticks = ticks(self.y.low, self.y.high, count);
        let x_ticks = self.x_ticks.clone().unwrap_or_else(|| ticks(self.x.low, self.x.high, 5));
        let step = |all: &[f64]| all.windows(2).next().map_or(1.0, |pair| pair[1] - pair[0]);
        let (x_step, y_step) = (step(&x_ticks), step(&y_ticks));
        let (right, bottom) = (WIDTH - RIGHT, self.height - BOTTOM);
        let middle = format!("{:.1}", 0.5 * (TOP + bottom));
        html! {
            g.grid {
                @for y in &y_ticks {
                    path d={ "M" (LEFT) " " (format!("{:.1}", self.py(*y))) "H" (right) } {}
                    text x=(LEFT - 6.0) y=(format!("{:.1}", self.py(*y) + 4.0)) text-anchor="end" { (tick_label(*y, y_step)) }
                }
                @for x in &x_ticks {
                    path d={ "M" (format!("{:.1}", self.px(*x))) " " (bottom) "v4" } {}
                    text x=(format!("{:.1}", self.px(*x))) y=(bottom + 17.0) text-anchor="middle" { (tick_label(*x, x_step)) }
                }
            }
            path.axis d={ "M" (LEFT) " " (TOP) "V" (bottom) "H" (right) } {}
            text.label x=(0.5 * (LEFT + right)) y=(self.height - 8.0) text-anchor="middle" { (self.x.label) }
            text.label x="12" y=(middle) text-anchor="middle" transform={ "rotate(-90 12 " (middle) ")" } { (self.y.label) }
        }
    }
}

/// A figure: title, drawing with words for those who do not see it, key.
pub(super) fn figure(
    title: &str,
    about: &str,
    height: f64,
    inner: &Markup,
    key: &[(String, String)],
) -> Markup {
    html! {
        figure.chart {
            figcaption { (title) }
            svg viewBox={ "0 0 " (WIDTH) " " (format!("{height:.0}")) } role="img" aria-label=(about) tabindex="0" { (inner) }
            @if !key.is_empty() {
                ul.key { @for (class, words) in key { li { span.swatch.(class) {} (words) } } }
            }
        }
    }
}

/// Value and unit in a title.
pub(super) fn with_unit(value: f64, unit: &str) -> String {
    if unit == "1" || unit.is_empty() { short(value) } else { format!("{} {unit}", short(value)) }
}

/// Class of the colour of a curve, in turn.
pub(super) fn colour(index: usize) -> String {
    format!("c{}", index % 6 + 1)
}
