//! The operating points of a sweep, each resolved by the same steps as a case of its own.

use std::collections::BTreeMap;

use super::document::Node;
use super::inputs::Inputs;
use super::problem::{Problem, Problems};
use super::sweep_axes::{Axes, put};
use super::walk::walk;
use super::{Case, PointCase, build, consistency, point_case, trim_consistency};
use crate::study::Grid;

/// What a case keeps of its `[[sweep.axis]]`.
#[derive(Debug, Clone)]
pub struct Sweep {
    /// Axes and shape.
    pub grid: Grid,
    pub(super) axes: Axes,
    pub(super) root: Node,
}

/// Reads every file that some value of an axis names, so that a bad one is known before anything is computed.
pub(super) fn read_files(root: &Node, axes: &Axes, inputs: &mut Inputs, problems: &mut Vec<Problem>) {
    let label = inputs.label;
    for (dimension, size) in axes.grid.shape.iter().enumerate() {
        let along: Vec<usize> =
            (0..axes.grid.axes.len()).filter(|i| axes.grid.axes[*i].dimension == dimension).collect();
        if !along.iter().any(|i| axes.files[*i]) {
            continue;
        }
        let mut trial = root.clone();
        for subscript in 0..*size {
            for i in &along {
                put(&mut trial, &axes.grid.axes[*i].key, &axes.nodes[*i][subscript]);
            }
            let (values, _) = walk(label, &trial);
            let mut found = Vec::new();
            build::blade(&values, "propeller", None, inputs, &mut found);
            for name in values.names("further_propeller.NAME") {
                build::blade(&values, &format!("further_propeller.{name}"), None, inputs, &mut found);
            }
            build::sections(&values, inputs, &mut found);
            build::survey(&values, inputs, &mut found);
            for problem in found {
                if !problems.contains(&problem) {
                    problems.push(problem);
                }
            }
        }
    }
}

/// Makes the points of a sweep one by one; keeps the parsed files.
pub struct SweepPoints<'a> {
    grid: &'a Grid,
    axes: &'a Axes,
    root: Node,
    texts: &'a BTreeMap<String, String>,
    label: &'a str,
    kept: super::inputs::Parsed,
}

impl<'a> SweepPoints<'a> {
    /// For the sweep of a case, with the texts of all its inputs (see [`Case::input_texts`]).
    #[must_use]
    pub fn new(case: &'a Case, texts: &'a BTreeMap<String, String>) -> Option<Self> {
        let sweep = case.sweep.as_ref()?;
        Some(Self {
            grid: &sweep.grid,
            axes: &sweep.axes,
            root: sweep.root.clone(),
            texts,
            label: &case.file,
            kept: super::inputs::Parsed::default(),
        })
    }

    /// Point `index` of the grid: bit for bit what the case with these values written in it would give.
    ///
    /// # Errors
    /// All problems of the case with these values: keys that do not go together, blades that cut a surface.
    pub fn point(&mut self, index: usize) -> Result<PointCase, Problems> {
        let subscripts = self.grid.subscripts(index);
        for (axis, nodes) in self.grid.axes.iter().zip(&self.axes.nodes) {
            put(&mut self.root, &axis.key, &nodes[subscripts[axis.dimension]]);
        }
        let (values, mut problems) = walk(self.label, &self.root);
        problems.extend(consistency::of_values(self.label, &values));
        problems.extend(trim_consistency::of_values(self.label, &values));
        let mut inputs = Inputs::new(self.label, self.texts);
        inputs.parsed = std::mem::take(&mut self.kept);
        let point = point_case(self.label, &values, &mut inputs, &mut problems);
        self.kept = inputs.parsed;
        match point {
            Some(point) if problems.is_empty() => Ok(point),
            _ => Err(Problems(problems).sorted()),
        }
    }
}
