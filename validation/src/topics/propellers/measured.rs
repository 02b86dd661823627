//! Measured points, put together by shaft speed.

use super::sets::Set;
use crate::reference::{Row, Table};
use crate::table::CheckError;

/// A measured point. Coefficients that were not read there are missing.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    pub rpm: f64,
    pub advance_ratio: f64,
    pub thrust: Option<f64>,
    pub power: Option<f64>,
}

/// Points of one blade count at one nominal shaft speed, in order of advance ratio.
#[derive(Debug, Clone)]
pub(super) struct Condition {
    pub rpm: f64,
    pub samples: Vec<Sample>,
}

/// Speeds closer than this share are one condition, measured with two ranges of the tunnel's pressure gauge.
const SAME_SPEED: f64 = 0.015;

/// Shaft speed of the 10 ft propeller, whose points are listed without it.
const FULL_SCALE_RPM: f64 = 1200.0;

/// All conditions of a blade count in advancing flow.
pub(super) fn advancing(set: &Set, blades: usize) -> Result<Vec<Condition>, CheckError> {
    let table = Table::parse(set.advance)?;
    let mut samples = Vec::new();
    for row in table.rows() {
        if let Ok(quantity) = row.text("quantity") {
            samples.extend(plotted(quantity, &row)?);
        } else if row.number("blades")? == blades as f64 {
            samples.push(Sample {
                rpm: row.number("rpm")?,
                advance_ratio: row.number("J")?,
                thrust: Some(row.number("CT")?),
                power: Some(row.number("CP")?),
            });
        }
    }
    Ok(by_speed(samples))
}

/// A point of a chart that shows each quantity at advance ratios of its own; efficiency follows from the other two.
fn plotted(quantity: &str, row: &Row) -> Result<Option<Sample>, CheckError> {
    let (advance_ratio, value) = (row.number("J")?, row.number("value")?);
    let sample = |thrust, power| Some(Sample { rpm: FULL_SCALE_RPM, advance_ratio, thrust, power });
    Ok(match quantity {
        "CT" => sample(Some(value), None),
        "CP" => sample(None, Some(value)),
        _ => None,
    })
}

/// Points at rest of a blade count, in order of shaft speed.
pub(super) fn at_rest(set: &Set, blades: usize) -> Result<Vec<Sample>, CheckError> {
    if set.at_rest.is_empty() {
        return Ok(Vec::new());
    }
    let mut samples = Vec::new();
    for row in Table::parse(set.at_rest)?.rows() {
        if row.number("blades")? == blades as f64 {
            samples.push(Sample {
                rpm: row.number("rpm")?,
                advance_ratio: 0.0,
                thrust: Some(row.number("CT0")?),
                power: Some(row.number("CP0")?),
            });
        }
    }
    samples.sort_by(|a, b| a.rpm.total_cmp(&b.rpm));
    Ok(samples)
}

fn by_speed(mut samples: Vec<Sample>) -> Vec<Condition> {
    samples.sort_by(|a, b| a.rpm.total_cmp(&b.rpm));
    let mut conditions: Vec<Condition> = Vec::new();
    for sample in samples {
        match conditions.last_mut() {
            Some(last) if sample.rpm < last.rpm * (1.0 + SAME_SPEED) => last.samples.push(sample),
            _ => conditions.push(Condition { rpm: sample.rpm, samples: vec![sample] }),
        }
    }
    for condition in &mut conditions {
        condition.samples.sort_by(|a, b| a.advance_ratio.total_cmp(&b.advance_ratio));
    }
    conditions
}
