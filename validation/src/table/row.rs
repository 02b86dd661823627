//! A row: one quantity, published and ours, at one place or along a curve.

use std::borrow::Cow;

use super::band::Band;

/// Words that are fixed or made.
pub type Text = Cow<'static, str>;

/// One comparison of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// Where on the curve, in the unit that [`Row::along`] names; 0 where there is no curve.
    pub at: f64,
    /// The published value.
    pub published: f64,
    /// The engine's value.
    pub ours: f64,
    /// Whether it counts; the others are drawn only.
    pub judged: bool,
}

impl Point {
    /// A comparison that counts.
    #[must_use]
    pub fn new(at: f64, published: f64, ours: f64) -> Self {
        Self { at, published, ours, judged: true }
    }
}

/// One row of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What is compared, without unit: `CT, 4042 rpm`. Unique within its check.
    pub quantity: Text,
    /// Short name under which rows of a set are put together in the statistics: `CT`.
    pub symbol: &'static str,
    /// Unit of published value and ours; "1" when dimensionless.
    pub unit: &'static str,
    /// How far ours may be off.
    pub band: Band,
    /// What sets the band.
    pub band_from: Text,
    /// What the curve runs along, with unit; empty where there is none.
    pub along: &'static str,
    /// The comparisons, at least one that counts.
    pub points: Vec<Point>,
    /// Places among the points at which another curve of the same row begins.
    pub breaks: Vec<usize>,
}

impl Row {
    /// A row with one comparison.
    #[must_use]
    pub fn single(quantity: impl Into<Text>, symbol: &'static str, published: f64, ours: f64) -> Self {
        Self::curve(quantity, symbol, "", vec![Point::new(0.0, published, ours)])
    }

    /// A row along a curve. Its table line shows the point that uses most of the band.
    #[must_use]
    pub fn curve(
        quantity: impl Into<Text>,
        symbol: &'static str,
        along: &'static str,
        points: Vec<Point>,
    ) -> Self {
        Self {
            quantity: quantity.into(),
            symbol,
            unit: "1",
            band: Band::Relative(0.0),
            band_from: Cow::Borrowed(""),
            along,
            points,
            breaks: Vec::new(),
        }
    }

    /// With a unit.
    #[must_use]
    pub fn in_unit(mut self, unit: &'static str) -> Self {
        self.unit = unit;
        self
    }

    /// With a band and what sets it.
    #[must_use]
    pub fn within(mut self, band: Band, set_by: impl Into<Text>) -> Self {
        self.band = band;
        self.band_from = set_by.into();
        self
    }

    /// The comparisons that count.
    pub fn judged(&self) -> impl Iterator<Item = &Point> {
        self.points.iter().filter(|point| point.judged)
    }

    /// The comparison that uses most of the band; a row without any has no number.
    #[must_use]
    pub fn worst(&self) -> Point {
        let used = |p: &Point| self.band.used(p.published, p.ours);
        let worst = self.judged().max_by(|a, b| used(a).total_cmp(&used(b)));
        worst.copied().unwrap_or(Point::new(0.0, f64::NAN, f64::NAN))
    }

    /// Share of the band used by the worst comparison; at most 1 is inside.
    #[must_use]
    pub fn used(&self) -> f64 {
        let worst = self.worst();
        self.band.used(worst.published, worst.ours)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn worst_point_is_the_one_that_uses_most_of_its_band() {
        let mut points = vec![Point::new(0.1, 0.1, 0.105), Point::new(0.6, 0.02, 0.0225)];
        points.push(Point { judged: false, ..Point::new(0.7, 0.01, 0.03) });
        let row = Row::curve("CT", "CT", "J", points)
            .within(Band::Larger { relative: 0.08, absolute: 0.004 }, "test");
        assert_eq!(row.worst().at, 0.6);
        assert!((row.used() - 0.625).abs() < 1e-12);
    }

    #[test]
    fn a_row_that_compares_nothing_is_outside() {
        assert!(Row::curve("x", "x", "J", Vec::new()).within(Band::Absolute(1.0), "test").used() > 1.0);
    }
}
