//! The part of `check` about the grid of a sweep.

use serde_json::{Value, json};
use wakebeat_engine::case::{Case, Problems};
use wakebeat_engine::study::{Grid, refused_points};

use crate::output::WIDTH;
use crate::sweep_summary::{axis_table, grid_line};

/// Largest grid whose points are looked at one by one.
const MOST_POINTS: usize = 100_000;

/// The grid of a case, and the points of it that the case refuses.
pub struct GridCheck<'a> {
    grid: &'a Grid,
    /// `None` where the grid is too large to look at every point.
    refused: Option<Vec<(usize, Problems)>>,
}

impl<'a> GridCheck<'a> {
    /// Looks at every point; `None` for a case without a grid.
    pub fn new(case: &'a Case) -> Option<Self> {
        let grid = &case.sweep.as_ref()?.grid;
        let refused = (grid.points() <= MOST_POINTS).then(|| refused_points(case));
        Some(Self { grid, refused })
    }

    /// Size, axes, and what is refused.
    pub fn text(&self) -> String {
        let mut text = format!("{}\n\n{}", grid_line(self.grid), axis_table(&self.grid.axes));
        match self.refused.as_deref() {
            None => text.push_str("\n\npoints not looked at one by one: there are too many"),
            Some([(first, problems), ..]) => {
                let count = self.refused.as_ref().map_or(0, Vec::len);
                let line = format!(
                    "{count} of them will have no answer; the first, at {}:",
                    self.grid.describe(*first)
                );
                text.push_str(&format!("\n\n{}\n{problems}", textwrap::fill(&line, WIDTH)));
            }
            Some([]) => {}
        }
        text
    }

    /// For scripts.
    pub fn json(&self) -> Value {
        let axes: Vec<Value> = self
            .grid
            .axes
            .iter()
            .map(|axis| json!({ "name": axis.name, "key": axis.key, "unit": axis.unit, "count": axis.values.len() }))
            .collect();
        let refused = self.refused.as_ref().map(|refused| {
            let point = |(index, problems): &(usize, Problems)| {
                json!({ "point": index, "values": self.grid.describe(*index), "problems": problems.to_string() })
            };
            refused.iter().map(point).collect::<Vec<_>>()
        });
        json!({ "points": self.grid.points(), "shape": self.grid.shape, "axes": axes, "refused": refused })
    }
}
