//! A surface in the free stream of one operating point: circulation and what its fields and its wake share.

use super::centre_line::CentreLines;
use super::flap::{StripSection, strip_sections};
use super::lifting_line::{LiftingLine, LiftingLineError, Span};
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::point::input::{AnalyticSection, Surface};
use crate::section::analytic_coefficients;

/// Strips over the span of a surface.
pub const STRIPS: usize = 40;

/// A surface, its circulation and its sections.
#[derive(Debug, Clone, PartialEq)]
pub struct SurfaceFlow {
    /// The surface.
    pub surface: Surface,
    /// Its circulation.
    pub line: LiftingLine,
    /// Sections of the strips, flaps included, in the order of the strips.
    pub sections: Vec<StripSection>,
    /// Where σ is half way between the tips, and half the span along the trace, m.
    middle_m: f64,
    half_span_m: f64,
}

/// A strip index between strips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SpanPosition {
    half: usize,
    below: usize,
    above: usize,
    share: f64,
    /// Angle along the span over the angle of a strip, less a half: strip i lies at i.
    index: f64,
    inside: bool,
}

impl SpanPosition {
    /// Whether the station lies between the tips.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.inside
    }

    /// Index of the nearest strip.
    #[must_use]
    pub fn nearest(&self) -> usize {
        if self.share < 0.5 { self.below } else { self.above }
    }

    /// The half of the station.
    #[must_use]
    pub fn half(&self) -> usize {
        self.half
    }
}

impl SurfaceFlow {
    /// Solves the lifting line of a surface, stall and flaps included, in a stream in aircraft axes, m/s.
    ///
    /// # Errors
    /// [`LiftingLineError`] if circulation and downwash do not settle.
    pub fn new(surface: &Surface, stream_m_s: &Vec3) -> Result<Self, LiftingLineError> {
        Self::of_strips(surface, stream_m_s, STRIPS)
    }

    /// As [`SurfaceFlow::new`], cut into a number of strips.
    ///
    /// # Errors
    /// As [`SurfaceFlow::new`].
    pub fn of_strips(surface: &Surface, stream_m_s: &Vec3, strips: usize) -> Result<Self, LiftingLineError> {
        let lift = |section: &AnalyticSection, angle: f64| analytic_coefficients(section, angle, 1.0).lift;
        Self::on_span(surface, Span::new(surface, strips), stream_m_s, lift)
    }

    /// As [`SurfaceFlow::new`] on a span that is already cut and with another lift curve.
    ///
    /// # Errors
    /// As [`SurfaceFlow::new`].
    pub fn on_span(
        surface: &Surface,
        span: Span,
        stream_m_s: &Vec3,
        lift: impl Fn(&AnalyticSection, f64) -> f64,
    ) -> Result<Self, LiftingLineError> {
        let sections = strip_sections(surface, &span);
        let analytic: Vec<AnalyticSection> = sections.iter().map(|s| s.analytic.clone()).collect();
        let line = LiftingLine::with_sections(span, &analytic, stream_m_s, lift)?;
        let length_m = line.span.halves[0].length_m;
        let (middle_m, half_span_m) =
            if line.span.halves.len() == 2 { (0.0, length_m) } else { (0.5 * length_m, 0.5 * length_m) };
        Ok(Self { surface: surface.clone(), line, sections, middle_m, half_span_m })
    }

    /// Centre lines of the wake of a half between two stations, m from its root.
    #[must_use]
    pub fn centre_lines(&self, half: usize, range_m: (f64, f64), reach_m: f64) -> CentreLines {
        CentreLines::new(&self.line, half, &self.sections, range_m, reach_m)
    }

    /// Where a station of a half lies between the strips.
    #[must_use]
    pub fn position(&self, half: usize, s_m: f64) -> SpanPosition {
        let sigma = if half == 0 { s_m } else { -s_m };
        let ratio = (sigma - self.middle_m) / self.half_span_m;
        let count = self.line.strips.len();
        let theta = (-ratio.clamp(-1.0, 1.0)).acos();
        let index = theta / std::f64::consts::PI * count as f64 - 0.5;
        let below = index.max(0.0) as usize;
        let (below, above) = (below.min(count - 1), (below + 1).min(count - 1));
        SpanPosition {
            half,
            below,
            above,
            share: (index - below as f64).clamp(0.0, 1.0),
            index,
            inside: ratio.abs() <= 1.0,
        }
    }

    /// Circulation at a station, smooth along the span and 0 beyond the tips, m²/s.
    ///
    /// Four-point Lagrange interpolation in the angle along the span, in which circulation is odd about both tips.
    #[must_use]
    pub fn circulation_m2_s(&self, at: &SpanPosition) -> f64 {
        if !at.inside {
            return 0.0;
        }
        let count = self.line.strips.len() as isize;
        let odd = |i: isize| -> f64 {
            let (i, sign) = if i < 0 {
                (-1 - i, -1.0)
            } else if i >= count {
                (2 * count - 1 - i, -1.0)
            } else {
                (i, 1.0)
            };
            sign * self.line.strips[i as usize].circulation_m2_s
        };
        let base = at.index.floor();
        let weights = lagrange4(at.index - base);
        (0..4).map(|k| weights[k as usize] * odd(base as isize + k - 1)).sum()
    }

    /// A quantity of the strips' sections at a station, linear between strips.
    pub fn blend(&self, at: &SpanPosition, value: impl Fn(&StripSection) -> f64) -> f64 {
        let below = value(&self.sections[at.below]);
        below + at.share * (value(&self.sections[at.above]) - below)
    }
}
