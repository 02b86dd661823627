//! The grid of a sweep: axes, their values, and the order of its points.
//!
//! Points are numbered from 0 with the last axis fastest. An axis that is paired with another shares that one's dimension
//! and adds none.

/// One key and the values it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Name in the result file: the last segment of the key, or the full path with `_` where that is taken.
    pub name: String,
    /// Key path, arrays addressed by name: `surface.wing.incidence_deg`.
    pub key: String,
    /// Unit of the key as the case file takes it (degrees and rpm included); "1" for pure numbers and texts.
    pub unit: String,
    /// The key in words.
    pub long_name: String,
    /// The values in the order of the case, in the unit of the key.
    pub values: AxisValues,
    /// Which dimension of the grid it runs along.
    pub dimension: usize,
    /// Whether the dimension is its own; an axis paired with another is led by it.
    pub leads: bool,
}

/// Values of an axis.
#[derive(Debug, Clone, PartialEq)]
pub enum AxisValues {
    /// Numbers.
    Numbers(Vec<f64>),
    /// Whole numbers.
    Integers(Vec<i64>),
    /// Texts: file names, choices, `true` and `false`.
    Texts(Vec<String>),
}

/// Groups whose keys are known by their last segment: each stands once in a case, and no two share a name.
const KNOWN_BY_NAME: [&str; 5] = ["flight", "placement", "propeller", "solver", "trim"];

impl Axis {
    /// What people are told it is: the last segment of the key where that cannot be read as that of another, else the whole key.
    #[must_use]
    pub fn label(&self) -> &str {
        let known = self
            .key
            .rsplit_once('.')
            .is_some_and(|(group, last)| KNOWN_BY_NAME.contains(&group) && last == self.name);
        if known { &self.name } else { &self.key }
    }
}

impl AxisValues {
    /// How many.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::Numbers(values) => values.len(),
            Self::Integers(values) => values.len(),
            Self::Texts(values) => values.len(),
        }
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// A value as a number; `None` for texts and beyond the end.
    #[must_use]
    pub fn number(&self, index: usize) -> Option<f64> {
        match self {
            Self::Numbers(values) => values.get(index).copied(),
            // Whole numbers of a case lie far below 2^53.
            #[expect(clippy::cast_precision_loss, reason = "exact below 2^53")]
            Self::Integers(values) => values.get(index).map(|value| *value as f64),
            Self::Texts(_) => None,
        }
    }

    /// A value as text: the shortest that reads back to the same number, or the text itself; empty beyond the end.
    #[must_use]
    pub fn text(&self, index: usize) -> String {
        match self {
            Self::Numbers(values) => values.get(index).map_or_else(String::new, f64::to_string),
            Self::Integers(values) => values.get(index).map_or_else(String::new, i64::to_string),
            Self::Texts(values) => values.get(index).cloned().unwrap_or_default(),
        }
    }
}

/// Axes and shape.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grid {
    /// All axes in the order of the case, paired ones too.
    pub axes: Vec<Axis>,
    /// Size of each dimension, slowest first.
    pub shape: Vec<usize>,
}

impl Grid {
    /// Number of points.
    #[must_use]
    pub fn points(&self) -> usize {
        self.shape.iter().product()
    }

    /// Place of point `index` along each dimension.
    #[must_use]
    pub fn subscripts(&self, index: usize) -> Vec<usize> {
        let mut rest = index;
        let mut subscripts = vec![0; self.shape.len()];
        for (subscript, size) in subscripts.iter_mut().zip(&self.shape).rev() {
            *subscript = rest % size;
            rest /= size;
        }
        subscripts
    }

    /// The axes that have a dimension of their own, in the order of the dimensions.
    pub fn leading(&self) -> impl Iterator<Item = &Axis> {
        self.axes.iter().filter(|axis| axis.leads)
    }

    /// The axis of a key.
    #[must_use]
    pub fn axis(&self, key: &str) -> Option<&Axis> {
        self.axes.iter().find(|axis| axis.key == key)
    }

    /// Point `index` in words: `blade_count = 3, shaft_offset_m = 0.02`.
    #[must_use]
    pub fn describe(&self, index: usize) -> String {
        let subscripts = self.subscripts(index);
        let one =
            |axis: &Axis| format!("{} = {}", axis.label(), axis.values.text(subscripts[axis.dimension]));
        self.axes.iter().map(one).collect::<Vec<_>>().join(", ")
    }

    /// The changes that turn the case into point `index`, as `KEY=VALUE`.
    #[must_use]
    pub fn sets(&self, index: usize) -> Vec<String> {
        let subscripts = self.subscripts(index);
        let one = |axis: &Axis| {
            let i = subscripts[axis.dimension];
            match &axis.values {
                AxisValues::Numbers(values) => format!("{}={:?}", axis.key, values[i]),
                values => format!("{}={}", axis.key, values.text(i)),
            }
        };
        self.axes.iter().map(one).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn axis(key: &str, values: AxisValues, dimension: usize, leads: bool) -> Axis {
        let name = key.rsplit('.').next().unwrap_or_default().to_owned();
        Axis { name, key: key.into(), unit: "1".into(), long_name: String::new(), values, dimension, leads }
    }

    /// A gap of another propeller, or the diameter of a body, is never told as that of the first propeller.
    #[test]
    fn an_axis_of_something_with_a_name_is_told_by_its_whole_key() {
        let label = |key: &str| axis(key, AxisValues::Numbers(vec![1.0]), 0, true).label().to_owned();
        assert_eq!(label("placement.axial_gap_m"), "axial_gap_m");
        assert_eq!(label("flight.airspeed_m_s"), "airspeed_m_s");
        for key in ["further_propeller.port.axial_gap_m", "body.pod.length_m", "section.drag_min"] {
            assert_eq!(label(key), key);
        }
        let renamed = Axis {
            name: "trim_thrust_n".into(),
            ..axis("trim.thrust_n", AxisValues::Numbers(vec![1.0]), 0, true)
        };
        assert_eq!(renamed.label(), "trim.thrust_n");
    }

    #[test]
    fn the_last_axis_is_fastest_and_a_paired_one_follows_its_leader() {
        let grid = Grid {
            axes: vec![
                axis("propeller.blade_count", AxisValues::Integers(vec![2, 3]), 0, true),
                axis("propeller.blade_file", AxisValues::Texts(vec!["a".into(), "b".into()]), 0, false),
                axis("placement.shaft_offset_m", AxisValues::Numbers(vec![0.0, 0.5, 1.0]), 1, true),
            ],
            shape: vec![2, 3],
        };
        assert_eq!(grid.points(), 6);
        assert_eq!(grid.subscripts(4), [1, 1]);
        assert_eq!(grid.describe(4), "blade_count = 3, blade_file = b, shaft_offset_m = 0.5");
        assert_eq!(
            grid.sets(3),
            ["propeller.blade_count=3", "propeller.blade_file=b", "placement.shaft_offset_m=0.0"]
        );
    }
}
