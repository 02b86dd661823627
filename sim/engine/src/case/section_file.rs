//! The section table: coefficients on a full grid of Reynolds number, Mach number and angle.

use super::csv::{Column, Table, read};
use super::keys::Range;
use super::problem::Problem;
use crate::point::input::SectionTable;

const fn column(name: &'static str, range: Range, unit: &'static str) -> Column {
    Column { name, required: true, number: Some((range, unit)) }
}

const REYNOLDS: Column = column("reynolds", Range::above(0.0, 1e9), "1");
const MACH: Column = column("mach", Range::closed(0.0, 1.0), "1");
const ANGLE: Column = column("angle_deg", Range::closed(-180.0, 180.0), "deg");
const LIFT: Column = column("cl", Range::closed(-10.0, 10.0), "1");
const DRAG: Column = column("cd", Range::closed(0.0, 10.0), "1");
const MOMENT: Column = column("cm", Range::closed(-10.0, 10.0), "1");

/// A section turned by 360° is itself; room for coefficients rounded in print.
const CLOSURE: f64 = 1e-6;

/// Reads a section table.
pub(super) fn section_table(file: &str, text: &str) -> Result<SectionTable, Vec<Problem>> {
    let table = read(file, text, &[REYNOLDS, MACH, ANGLE, LIFT, DRAG, MOMENT])?;
    let mut problems = Vec::new();
    let mut numbers = |column: &Column| table.numbers(column, &mut problems);
    let (reynolds, mach, angle) = (numbers(&REYNOLDS), numbers(&MACH), numbers(&ANGLE));
    let (lift, drag, moment) = (numbers(&LIFT), numbers(&DRAG), numbers(&MOMENT));
    if !problems.is_empty() {
        return Err(problems);
    }
    let grid = Grid { axes: [distinct(&reynolds), distinct(&mach), distinct(&angle)] };
    let points: Vec<[f64; 3]> = (0..reynolds.len()).map(|i| [reynolds[i], mach[i], angle[i]]).collect();
    problems.extend(grid.problem(&table, &points));
    problems.extend(range_problems(&table, &grid.axes[2], &angle));
    if !problems.is_empty() {
        return Err(problems);
    }
    let columns = [(&LIFT, &lift), (&DRAG, &drag), (&MOMENT, &moment)];
    problems.extend(columns.iter().filter_map(|(c, v)| open_circle(&table, c, v, grid.axes[2].len())));
    if !problems.is_empty() {
        return Err(problems);
    }
    let [reynolds, mach, angle] = grid.axes;
    let angle_rad = angle.into_iter().map(f64::to_radians).collect();
    Ok(SectionTable { reynolds, mach, angle_rad, lift, drag, moment })
}

/// Distinct values in rising order.
fn distinct(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup();
    sorted
}

/// The grid spanned by the values of the three axes.
struct Grid {
    axes: [Vec<f64>; 3],
}

impl Grid {
    fn point(&self, row: usize) -> Option<[f64; 3]> {
        let [re, mach, angle] = &self.axes;
        let (rest, i) = (row / angle.len(), row % angle.len());
        Some([*re.get(rest / mach.len())?, mach[rest % mach.len()], angle[i]])
    }

    /// The first row that is not where the full grid has it.
    fn problem(&self, table: &Table, points: &[[f64; 3]]) -> Option<Problem> {
        let name = |p: [f64; 3]| format!("reynolds {}, mach {}, angle {} deg", p[0], p[1], p[2]);
        let order = "every combination once, sorted by reynolds, then mach, then angle";
        let size: usize = self.axes.iter().map(Vec::len).product();
        for (row, point) in points.iter().enumerate() {
            let wanted = self.point(row);
            if wanted == Some(*point) {
                continue;
            }
            let column = (0..3).find(|&k| wanted.is_none_or(|w| w[k] != point[k])).unwrap_or(0);
            let column = [REYNOLDS.name, MACH.name, ANGLE.name][column];
            let what = match wanted {
                Some(wanted) if !points.contains(&wanted) => {
                    format!("leaves a gap in the grid: no row for {}", name(wanted))
                }
                Some(wanted) => format!("is not sorted: {} belongs here", name(wanted)),
                None => "stands twice".into(),
            };
            return Some(table.problem(row, column, what).allowed(order));
        }
        let missing = self.point(points.len()).filter(|_| points.len() < size)?;
        let what = format!("ends before the grid is full: no row for {}", name(missing));
        Some(table.problem(points.len() - 1, ANGLE.name, what).allowed(order))
    }
}

/// A blade meets every angle at start and in reversed flow, so the table goes all the way round.
fn range_problems(table: &Table, angles: &[f64], column: &[f64]) -> Vec<Problem> {
    let ends = [(angles.first(), -180.0, "start"), (angles.last(), 180.0, "end")];
    let end = |(found, wanted, word): (Option<&f64>, f64, &str)| {
        let found = *found?;
        if found == wanted {
            return None;
        }
        let row = column.iter().position(|angle| *angle == found)?;
        let problem = table.problem(row, ANGLE.name, format!("does not cover the full circle at its {word}"));
        Some(problem.allowed(format!("angles from -180 to 180 deg, {wanted} at the {word}")).hint(
            "blades meet any angle at start and in reversed flow; beyond stall a flat plate is common practice",
        ))
    };
    ends.into_iter().filter_map(end).collect()
}

/// The coefficients at −180° and 180° are the same.
fn open_circle(table: &Table, column: &Column, values: &[f64], angles: usize) -> Option<Problem> {
    let row = (angles - 1..values.len())
        .step_by(angles)
        .find(|&last| (values[last] - values[last + 1 - angles]).abs() > CLOSURE)?;
    let other = values[row + 1 - angles];
    let problem = table.problem(row, column.name, format!("at 180 deg differs from {other} at -180 deg"));
    Some(problem.allowed("the same coefficient at both ends: it is the same flow"))
}
