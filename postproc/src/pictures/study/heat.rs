//! Cells of colour over two axes of a grid.

use plotters::element::Rectangle;
use plotters::prelude::DrawingBackend;
use plotters::style::Color;

use super::super::canvas::{Area, px};
use super::super::panel::{Axis, Chart};
use super::scale::Scale;
use crate::PlotError;

/// Places along an axis and the edges of their cells, half way to the neighbours.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Cells {
    /// Places with the number each has on its axis, in growing order.
    pub places: Vec<(f64, usize)>,
    edges: Vec<f64>,
}

impl Cells {
    pub fn new(numbers: &[f64]) -> Self {
        let mut places: Vec<(f64, usize)> = numbers.iter().copied().zip(0..).collect();
        places.sort_by(|a, b| a.0.total_cmp(&b.0));
        let middle = |i: usize| 0.5 * (places[i].0 + places[i + 1].0);
        let count = places.len();
        let (first, last) = if count > 1 {
            (2.0 * places[0].0 - middle(0), 2.0 * places[count - 1].0 - middle(count - 2))
        } else {
            let room = 0.5 * places.first().map_or(1.0, |p| p.0.abs().max(1e-3));
            (places.first().map_or(0.0, |p| p.0) - room, places.first().map_or(1.0, |p| p.0) + room)
        };
        let mut edges = vec![first];
        edges.extend((0..count.saturating_sub(1)).map(middle));
        edges.push(last);
        Self { places, edges }
    }

    /// An axis over the cells with round ticks; without grid lines, which cells would cover.
    pub fn axis(&self, count: usize, label: &str) -> Axis {
        let (low, high) = (self.edges[0], self.edges[self.edges.len() - 1]);
        let mut axis = Axis::round(low, high, count, label);
        axis.gridded = false;
        axis
    }
}

/// Fills the cells.
pub(super) fn fill<DB: DrawingBackend>(
    chart: &mut Chart<'_, DB>,
    (x, y): (&Cells, &Cells),
    scale: &Scale,
    value: impl Fn(usize, usize) -> f64,
) -> Result<(), PlotError> {
    for (i, (_, ix)) in x.places.iter().enumerate() {
        for (j, (_, iy)) in y.places.iter().enumerate() {
            let corners = [(x.edges[i], y.edges[j]), (x.edges[i + 1], y.edges[j + 1])];
            let cell = Rectangle::new(corners, scale.colour(value(*ix, *iy)).filled());
            chart.draw_series([cell])?;
        }
    }
    Ok(())
}

/// Rows and columns that hold some panels, and the areas, in reading order.
pub(super) fn panels<DB: DrawingBackend>(area: &Area<DB>, count: usize, width: f64) -> Vec<Area<DB>> {
    let (_, height) = area.dim_in_pixel();
    let (columns, rows) = match count {
        0 | 1 => (1, 1),
        2 => (2, 1),
        3 | 4 => (2, 2),
        5 | 6 => (3, 2),
        _ => (3, 3),
    };
    let (width, height) = (px(width), height as i32);
    let xs: Vec<i32> = (1..=columns).map(|k| width * k / columns).collect();
    let ys: Vec<i32> = (1..rows).map(|k| height * k / rows).collect();
    let all = area.split_by_breakpoints(xs, ys);
    // The last column is what lies right of the panels.
    let per_row = usize::try_from(columns).unwrap_or(1) + 1;
    all.into_iter()
        .enumerate()
        .filter(|(i, _)| i % per_row + 1 != per_row)
        .map(|(_, a)| a)
        .take(count)
        .collect()
}

/// Panels that find room.
pub(super) const MOST_PANELS: usize = 9;
