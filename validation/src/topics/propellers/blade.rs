//! The measured blades as operating points.

use std::f64::consts::PI;

use wakebeat_engine::base::pchip::Pchip;
use wakebeat_engine::point::input::{
    BladeRow, BladeTable, Compressibility, OperatingPoint, SectionSpec, TipLoss,
};
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

/// Rows put in place of one where thickness changes along the blade: friction and stall do not go straight with it.
const ROWS_FOR_ONE: usize = 4;

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

/// The propeller of a set with a number of blades, at no speed yet. Solver keys at their defaults but for the factor of finite
/// blade count, Goldstein's, which is the exact one; in clean axial flow nothing changes over azimuth, so that few azimuths do.
pub(super) fn propeller(set: &Set, blades: usize, fineness: Fineness) -> Result<OperatingPoint, CheckError> {
    let mut point = plain_point(blades);
    point.propeller.diameter_m = set.diameter_m;
    point.propeller.compressibility = Compressibility::PrandtlGlauert;
    point.solver.tip_loss = TipLoss::Goldstein;
    let table = Table::parse(set.geometry)?;
    let (radius, chord) = (table.column("r_over_R")?, table.column("chord_over_R")?);
    let twist = table.column("twist_deg")?;
    let stations = match set.thickness {
        Thickness::OfOutline => {
            let (section, thickness_ratio) = set.outline.section(None)?;
            point.propeller.sections = vec![section];
            let rows = (0..radius.len()).map(|i| row(radius[i], chord[i], twist[i], thickness_ratio, 0));
            point.propeller.blade = BladeTable { generic: false, rows: rows.collect() };
            40
        }
        Thickness::ByRadius(text) => {
            let thickness = Table::parse(text)?;
            let thickness = (thickness.column("r_over_R")?, thickness.column("t_over_c")?);
            let (chord, twist) = (Pchip::new(radius.clone(), chord), Pchip::new(radius.clone(), twist));
            let (mut rows, mut sections) = (Vec::new(), Vec::new());
            for ratio in finer(&radius) {
                let (section, thickness_ratio) = set.outline.section(Some(linear(&thickness, ratio)))?;
                rows.push(row(ratio, chord.at(ratio), twist.at(ratio), thickness_ratio, sections.len()));
                sections.push(section);
            }
            point.propeller.sections = sections;
            point.propeller.blade = BladeTable { generic: false, rows };
            // A blade with a section for each row needs stations enough for each.
            80
        }
    };
    fineness.resolve(&mut point, stations, 72);
    point.solver.tolerance = 1e-8;
    Ok(point)
}

fn row(
    radius_ratio: f64,
    chord_ratio: f64,
    twist_deg: f64,
    thickness_ratio: f64,
    section: usize,
) -> BladeRow {
    let twist_rad = twist_deg.to_radians();
    BladeRow { radius_ratio, chord_ratio, twist_rad, sweep_ratio: 0.0, thickness_ratio, section }
}

/// The table's radii with those of the rows between.
fn finer(radius: &[f64]) -> Vec<f64> {
    let parts = ROWS_FOR_ONE as f64;
    let within = |a: f64, b: f64| move |i: usize| a + (b - a) * i as f64 / parts;
    let between = radius.windows(2).flat_map(|w| (0..ROWS_FOR_ONE).map(within(w[0], w[1])));
    between.chain(radius.last().copied()).collect()
}

/// Value of a table at `x`, straight between its rows, its ends held.
fn linear(table: &(Vec<f64>, Vec<f64>), x: f64) -> f64 {
    let (list, values) = table;
    let after = list.partition_point(|v| *v <= x).clamp(1, list.len() - 1);
    let part = ((x - list[after - 1]) / (list[after] - list[after - 1])).clamp(0.0, 1.0);
    values[after - 1] + part * (values[after] - values[after - 1])
}
