//! The measured blades as operating points.

use std::f64::consts::PI;

use wakebeat_engine::point::input::{BladeRow, BladeTable, Compressibility, OperatingPoint, SectionSpec};
use wakebeat_engine::section::shape::SectionShape;

use super::sets::Set;
use crate::propellers::plain_point;
use crate::reference::Table;
use crate::table::{CheckError, Fineness};

/// Where the section's outline comes from.
#[derive(Clone, Copy)]
pub(super) enum Outlines {
    /// Printed coordinates, Deters, Ananda and Selig 2014.
    Sda1075,
    /// Clark Y, blade angles from its flat bottom, as drawings of full-scale propellers give them.
    ClarkYFlatBottom,
    /// Clark Y, blade angles from the line through its ends, which a scan of a blade sees.
    ClarkYChordLine,
    /// NACA 4412 by the four-digit formula (Report 460): taken where the section is unknown.
    Naca4412,
}

/// Section thickness along the blade.
#[derive(Clone, Copy)]
pub(super) enum Thickness {
    /// The outline's own.
    OfOutline,
    /// A table of `r_over_R`, `t_over_c`; heights of the outline are scaled to it.
    ByRadius(&'static str),
}

/// Thickest section that handbook polars are stated for.
const THICKEST: f64 = 0.25;

impl Outlines {
    /// Points over chord: trailing edge, upper surface, nose, lower surface.
    fn points(self) -> Result<Vec<[f64; 2]>, CheckError> {
        match self {
            Self::Sda1075 => {
                let table = Table::parse(include_str!("../../../data/section/sda1075_coordinates.csv"))?;
                let (x, y) = (table.column("x_over_c")?, table.column("y_over_c")?);
                Ok(x.into_iter().zip(y).map(|(x, y)| [x, y]).collect())
            }
            Self::ClarkYFlatBottom => clark_y(),
            Self::ClarkYChordLine => {
                let points = clark_y()?;
                let height = |x: f64| CLARK_Y_ENDS[0] + x * (CLARK_Y_ENDS[1] - CLARK_Y_ENDS[0]);
                Ok(points.into_iter().map(|[x, y]| [x, y - height(x)]).collect())
            }
            Self::Naca4412 => Ok(naca4412()),
        }
    }

    fn section(self, thickness_ratio: Option<f64>) -> Result<(SectionSpec, f64), CheckError> {
        let points = self.points()?;
        let shape = SectionShape::new(points.clone()).map_err(CheckError::refused)?;
        let own = shape.properties().thickness_ratio;
        let Some(thickness_ratio) = thickness_ratio else { return Ok((SectionSpec::Shape(shape), own)) };
        let scale = thickness_ratio.min(THICKEST) / own;
        let scaled = points.into_iter().map(|[x, y]| [x, scale * y]).collect();
        Ok((SectionSpec::Shape(SectionShape::new(scaled).map_err(CheckError::refused)?), thickness_ratio))
    }
}

/// Heights of the Clark Y's nose and of the middle of its trailing edge above the flat bottom.
const CLARK_Y_ENDS: [f64; 2] = [0.035, 0.0006];

fn clark_y() -> Result<Vec<[f64; 2]>, CheckError> {
    let table = Table::parse(include_str!("../../../data/section/clark_y.csv"))?;
    let x = table.column("x_over_c")?;
    let side = |column| Ok::<_, CheckError>(x.iter().copied().zip(table.column(column)?));
    let upper: Vec<_> = side("upper_over_c")?.map(|(x, y)| [x, y]).collect();
    let lower = side("lower_over_c")?.map(|(x, y)| [x, y]).skip(1);
    Ok(upper.into_iter().rev().chain(lower).collect())
}

/// Thickness added square to the chord, 30 points a side.
fn naca4412() -> Vec<[f64; 2]> {
    let half = |x: f64| {
        0.6 * (0.2969 * x.sqrt() - 0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4))
    };
    let mean = |x: f64| {
        if x < 0.4 { 0.25 * (0.8 * x - x * x) } else { 0.04 / 0.36 * (0.2 + 0.8 * x - x * x) }
    };
    let x = |i: i32| 0.5 * (1.0 - (PI * f64::from(i) / 30.0).cos());
    let upper = (0..=30).rev().map(|i| [x(i), mean(x(i)) + half(x(i))]);
    let lower = (1..=30).map(|i| [x(i), mean(x(i)) - half(x(i))]);
    upper.chain(lower).collect()
}

/// The propeller of a set with a number of blades, at no speed yet. Solver keys at their defaults; in clean axial flow
/// nothing changes over azimuth, so that few azimuths do.
pub(super) fn propeller(set: &Set, blades: usize, fineness: Fineness) -> Result<OperatingPoint, CheckError> {
    let mut point = plain_point(blades);
    point.propeller.diameter_m = set.diameter_m;
    point.propeller.compressibility = Compressibility::PrandtlGlauert;
    let thickness = match set.thickness {
        Thickness::OfOutline => None,
        Thickness::ByRadius(text) => Some(Table::parse(text)?),
    };
    let mut sections = Vec::new();
    let mut rows = Vec::new();
    for row in Table::parse(set.geometry)?.rows() {
        let radius_ratio = row.number("r_over_R")?;
        let asked = thickness.as_ref().map(|table| thickness_at(table, radius_ratio)).transpose()?;
        // One section serves all rows unless thickness changes along the blade.
        if asked.is_some() || sections.is_empty() {
            sections.push(set.outline.section(asked)?);
        }
        let (_, thickness_ratio) = &sections[sections.len() - 1];
        rows.push(BladeRow {
            radius_ratio,
            chord_ratio: row.number("chord_over_R")?,
            twist_rad: row.number("twist_deg")?.to_radians(),
            sweep_ratio: 0.0,
            thickness_ratio: *thickness_ratio,
            section: sections.len() - 1,
        });
    }
    point.propeller.blade = BladeTable { generic: false, rows };
    point.propeller.sections = sections.into_iter().map(|(section, _)| section).collect();
    // A blade with a section for each row needs stations enough for each.
    let stations = if point.propeller.sections.len() > 1 { 80 } else { 40 };
    fineness.resolve(&mut point, stations, 72);
    point.solver.tolerance = 1e-8;
    Ok(point)
}

/// Thickness at a radius of the table; beyond its last row that row's.
fn thickness_at(table: &Table, radius_ratio: f64) -> Result<f64, CheckError> {
    let (x, t) = (table.column("r_over_R")?, table.column("t_over_c")?);
    let at = x.iter().rposition(|x| *x <= radius_ratio + 1e-9).unwrap_or(0);
    Ok(t[at])
}
