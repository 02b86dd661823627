//! A named array with its unit, its meaning and its dimensions: what a result hands to whoever writes or draws it.

/// The values of a field, in row order.
#[derive(Debug, Clone, PartialEq)]
pub enum FieldValues {
    /// Numbers.
    Numbers(Vec<f64>),
    /// Texts.
    Texts(Vec<String>),
}

/// A named array. A field whose only dimension is its own path is the scale of that dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Path in the result, groups before the name, with the unit in the name: `mount/speed/sensor_rms_m_s2`.
    pub path: String,
    /// Unit; "1" for pure numbers and texts.
    pub unit: String,
    /// What it is, with signs.
    pub long_name: String,
    /// Paths of the scales of its dimensions, slowest first; empty for a scalar.
    pub dimensions: Vec<String>,
    /// The values.
    pub values: FieldValues,
}

impl Field {
    /// An array of numbers over the scales at the given paths.
    #[must_use]
    pub fn numbers(path: &str, unit: &str, long_name: &str, dimensions: &[&str], values: Vec<f64>) -> Self {
        Self {
            path: path.to_owned(),
            unit: unit.to_owned(),
            long_name: long_name.to_owned(),
            dimensions: dimensions.iter().map(|d| (*d).to_owned()).collect(),
            values: FieldValues::Numbers(values),
        }
    }

    /// A scale: the coordinate values of a dimension.
    #[must_use]
    pub fn scale(path: &str, unit: &str, long_name: &str, values: Vec<f64>) -> Self {
        Self::numbers(path, unit, long_name, &[path], values)
    }

    /// 1, 2, … as the scale of a dimension that is counted.
    #[must_use]
    pub fn counted(path: &str, long_name: &str, count: usize) -> Self {
        Self::scale(path, "1", long_name, (1..=count).map(|i| i as f64).collect())
    }

    /// A scalar.
    #[must_use]
    pub fn scalar(path: &str, unit: &str, long_name: &str, value: f64) -> Self {
        Self::numbers(path, unit, long_name, &[], vec![value])
    }

    /// Texts over one dimension.
    #[must_use]
    pub fn texts(path: &str, long_name: &str, dimension: &str, values: Vec<String>) -> Self {
        Self {
            path: path.to_owned(),
            unit: "1".to_owned(),
            long_name: long_name.to_owned(),
            dimensions: vec![dimension.to_owned()],
            values: FieldValues::Texts(values),
        }
    }

    /// Whether it is the scale of a dimension.
    #[must_use]
    pub fn is_scale(&self) -> bool {
        self.dimensions.len() == 1 && self.dimensions[0] == self.path
    }

    /// Number of values.
    #[must_use]
    pub fn len(&self) -> usize {
        match &self.values {
            FieldValues::Numbers(values) => values.len(),
            FieldValues::Texts(values) => values.len(),
        }
    }

    /// Whether it holds no values.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}
