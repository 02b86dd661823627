//! The survey table: velocities over the disk in one of three forms, told apart by their headers.

use super::csv::{Column, Table, read};
use super::keys::Range;
use super::problem::Problem;
use crate::base::Vec3;
use crate::point::input::SurveyData;

const fn column(name: &'static str, range: Range, unit: &'static str) -> Column {
    Column { name, required: true, number: Some((range, unit)) }
}

const POSITION: Range = Range::closed(-1000.0, 1000.0);
/// Twenty times airspeed is beyond any flow ahead of a propeller.
const RATIO: Range = Range::closed(-20.0, 20.0);

const Y: Column = column("y_m", POSITION, "m");
const Z: Column = column("z_m", POSITION, "m");
const RADIUS: Column = column("radius_ratio", Range::closed(0.0, 10.0), "1");
const AZIMUTH: Column = column("azimuth_deg", Range::closed(-360.0, 360.0), "deg");
const ORDER: Column = column("order", Range::closed(0.0, 1000.0), "1");
const VELOCITY: [Column; 3] =
    [column("u_x", RATIO, "1"), column("u_y", RATIO, "1"), column("u_z", RATIO, "1")];
const COSINE: [Column; 3] = [column("a_x", RATIO, "1"), column("a_y", RATIO, "1"), column("a_z", RATIO, "1")];
const SINE: [Column; 3] = [column("b_x", RATIO, "1"), column("b_y", RATIO, "1"), column("b_z", RATIO, "1")];

/// Largest step in azimuth, deg: with fewer than eight azimuths not even the first harmonic is held.
const LARGEST_STEP_DEG: f64 = 45.0;

/// Azimuths this near are one, deg: room for angles rounded in print.
const SAME_DEG: f64 = 1e-9;

/// Velocity ratios this near are one where a row closes the circle: digits of a table.
const SAME_VALUE: f64 = 1e-9;

const CLOSING: &str = "360 deg is 0 deg again: a row that closes the circle has to repeat the values of the first; leave it out, or \
                       correct the one that is wrong";

/// Reads a survey table.
pub(super) fn survey_data(file: &str, text: &str) -> Result<SurveyData, Vec<Problem>> {
    let header = text.lines().map(str::trim).find(|line| !line.is_empty() && !line.starts_with('#'));
    let has = |column: &Column| header.is_some_and(|h| h.split(',').any(|cell| cell.trim() == column.name));
    if has(&ORDER) {
        return fourier(&Grid::read(file, text, [ORDER, RADIUS], &[COSINE, SINE].concat())?);
    }
    if has(&Y) || has(&Z) {
        return cartesian(Grid::read(file, text, [Y, Z], &VELOCITY)?);
    }
    polar(Grid::read(file, text, [RADIUS, AZIMUTH], &VELOCITY)?)
}

/// Rows laid out on the full grid of two columns.
struct Grid {
    table: Table,
    names: [&'static str; 2],
    axes: [Vec<f64>; 2],
    /// Row of each node, second axis running fastest.
    rows: Vec<usize>,
    /// Remaining columns in the order asked for.
    values: Vec<Vec<f64>>,
}

impl Grid {
    /// Rows may come in any order; every combination must stand once.
    fn read(file: &str, text: &str, keys: [Column; 2], others: &[Column]) -> Result<Self, Vec<Problem>> {
        let known: Vec<Column> = keys.iter().chain(others).copied().collect();
        let table = read(file, text, &known)?;
        let mut problems = Vec::new();
        let mut places = keys.map(|key| table.numbers(&key, &mut problems));
        let values: Vec<Vec<f64>> = others.iter().map(|c| table.numbers(c, &mut problems)).collect();
        if !problems.is_empty() {
            return Err(problems);
        }
        let as_given = places[1].clone();
        let turns = keys[1].name == AZIMUTH.name;
        if turns {
            places[1].iter_mut().for_each(|azimuth| *azimuth = turned(*azimuth));
        }
        let axes = [distinct(&places[0]), distinct(&places[1])];
        let names = keys.map(|key| key.name);
        let again = |row: usize, held: usize| {
            if !(turns && (as_given[row] - as_given[held]).abs() > 180.0) {
                return Again::Twice;
            }
            let same = values.iter().all(|column| (column[row] - column[held]).abs() <= SAME_VALUE);
            if same { Again::Closes } else { Again::ClosesOtherwise }
        };
        let rows = rows_of_nodes(&table, names, &axes, &places, again).map_err(|problem| vec![*problem])?;
        Ok(Self { table, names, axes, rows, values })
    }

    fn vectors(&self, first: usize) -> Vec<Vec3> {
        let at = |row: &usize| Vec3::from_fn(|i, _| self.values[first + i][*row]);
        self.rows.iter().map(at).collect()
    }

    /// A problem where an axis has fewer nodes than interpolation needs.
    fn too_few(&self, axis: usize, least: usize) -> Option<Problem> {
        let (count, name) = (self.axes[axis].len(), self.names[axis]);
        (count < least).then(|| {
            let what = if count == 1 {
                "is the only value of this column".into()
            } else {
                format!("is one of only {count} values")
            };
            self.table.problem(0, name, what).allowed(format!("{least} values or more"))
        })
    }
}

/// What a second row for a node is.
enum Again {
    /// One too many.
    Twice,
    /// The first once more after a whole turn, as measured tables end.
    Closes,
    /// The same place after a whole turn with other values.
    ClosesOtherwise,
}

/// Azimuth within one turn, from 0.
fn turned(azimuth_deg: f64) -> f64 {
    let within = azimuth_deg.rem_euclid(360.0);
    if within > 360.0 - SAME_DEG { 0.0 } else { within }
}

/// Distinct values in rising order.
fn distinct(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup();
    sorted
}

fn rows_of_nodes(
    table: &Table,
    names: [&str; 2],
    axes: &[Vec<f64>; 2],
    places: &[Vec<f64>; 2],
    again: impl Fn(usize, usize) -> Again,
) -> Result<Vec<usize>, Box<Problem>> {
    let (first, second) = (axes[0].len(), axes[1].len());
    let once = format!("every combination of {} and {} once", names[0], names[1]);
    let count = table.rows.len();
    let mut rows = vec![usize::MAX; first.saturating_mul(second).min(count + 1)];
    let index = |axis: usize, place: f64| axes[axis].partition_point(|value| *value < place);
    for (row, (a, b)) in places[0].iter().zip(&places[1]).enumerate() {
        let node = index(0, *a) * second + index(1, *b);
        // With more nodes than rows some node is missing; it is named below.
        if let Some(held) = rows.get_mut(node) {
            if *held != usize::MAX {
                let what = format!("stands twice with this {}: see line {}", names[0], table.rows[*held].0);
                let problem = table.problem(row, names[1], what).allowed(&once);
                match again(row, *held) {
                    Again::Closes => continue,
                    Again::Twice => return Err(Box::new(problem)),
                    Again::ClosesOtherwise => return Err(Box::new(problem.hint(CLOSING))),
                }
            }
            *held = row;
        }
    }
    if let Some(node) = rows.iter().position(|row| *row == usize::MAX) {
        let (a, b) = (axes[0][node / second], axes[1][node % second]);
        // Point at a row that has the first of the two values.
        let near = places[0].iter().position(|place| *place == a).unwrap_or(0);
        let what = format!("leaves a gap in the grid: no row for {} {a}, {} {b}", names[0], names[1]);
        return Err(Box::new(table.problem(near, names[0], what).allowed(once)));
    }
    Ok(rows)
}

fn cartesian(grid: Grid) -> Result<SurveyData, Vec<Problem>> {
    let problems: Vec<Problem> = [0, 1].into_iter().filter_map(|axis| grid.too_few(axis, 2)).collect();
    if !problems.is_empty() {
        return Err(problems);
    }
    let velocity = grid.vectors(0);
    let [y_m, z_m] = grid.axes;
    Ok(SurveyData::Cartesian { y_m, z_m, velocity })
}

fn polar(grid: Grid) -> Result<SurveyData, Vec<Problem>> {
    let problems: Vec<Problem> =
        grid.too_few(0, 2).into_iter().chain(open_azimuth(&grid.table, &grid.axes[1])).collect();
    if !problems.is_empty() {
        return Err(problems);
    }
    let velocity = grid.vectors(0);
    let [radius_ratio, azimuth_deg] = grid.axes;
    let azimuth_rad = azimuth_deg.into_iter().map(f64::to_radians).collect();
    Ok(SurveyData::Polar { radius_ratio, azimuth_rad, velocity })
}

/// A step in azimuth that leaves part of the circle uncovered.
fn open_azimuth(table: &Table, azimuth_deg: &[f64]) -> Option<Problem> {
    let next = |i: usize| azimuth_deg.get(i + 1).copied().unwrap_or(azimuth_deg[0] + 360.0);
    let (i, gap) =
        (0..azimuth_deg.len()).map(|i| (i, next(i) - azimuth_deg[i])).max_by(|a, b| a.1.total_cmp(&b.1))?;
    (gap > LARGEST_STEP_DEG).then(|| {
        let row = (0..table.rows.len())
            .find(|row| {
                let text = table.text(*row, AZIMUTH.name).and_then(|text| text.parse().ok());
                text.is_some_and(|azimuth: f64| turned(azimuth) == azimuth_deg[i])
            })
            .unwrap_or(0);
        let what = format!(
            "does not cover the disk: nothing between azimuth {} and {} deg",
            azimuth_deg[i],
            next(i) % 360.0
        );
        let allowed = format!("azimuths all round, at most {LARGEST_STEP_DEG} deg apart");
        table.problem(row, AZIMUTH.name, what).allowed(allowed)
    })
}

fn fourier(grid: &Grid) -> Result<SurveyData, Vec<Problem>> {
    let mut problems: Vec<Problem> = grid.too_few(1, 2).into_iter().collect();
    let orders = &grid.axes[0];
    if let Some(order) = (0..orders.len()).find(|n| orders[*n] != *n as f64) {
        let text = |row: usize| grid.table.text(row, ORDER.name).and_then(|text| text.parse().ok());
        let row = (0..grid.table.rows.len()).find(|row| text(*row) == Some(orders[order])).unwrap_or(0);
        let what = format!("leaves out order {order}");
        problems.push(grid.table.problem(row, ORDER.name, what).allowed("whole orders 0, 1, 2 and so on"));
    } else {
        let radii = grid.axes[1].len();
        for (value, column) in grid.values[3..].iter().zip(SINE) {
            if let Some(row) = grid.rows[..radii].iter().find(|row| value[**row] != 0.0) {
                let what = "has no meaning at order 0, whose sine is zero";
                problems.push(grid.table.problem(*row, column.name, what).allowed("0"));
            }
        }
    }
    if !problems.is_empty() {
        return Err(problems);
    }
    let (cosine, sine) = (grid.vectors(0), grid.vectors(3));
    Ok(SurveyData::Fourier { radius_ratio: grid.axes[1].clone(), cosine, sine })
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::fmt::Write;

    #[test]
    fn rows_in_any_order_give_the_same_grid() {
        let rows: Vec<String> = [0.2, 0.6, 1.0]
            .iter()
            .flat_map(|r| {
                (0..8).map(move |j| format!("{r},{},{},0.1,{}", 45 * j, 1.0 - r, 0.5 * f64::from(j)))
            })
            .collect();
        let header = "radius_ratio,azimuth_deg,u_x,u_y,u_z";
        let sorted = format!("{header}\n{}\n", rows.join("\n"));
        let backwards = rows.iter().rev().fold(String::from(header), |mut text, row| {
            let _ = write!(text, "\n{row}");
            text
        });
        let data = survey_data("a", &sorted).unwrap();
        assert_eq!(survey_data("a", &backwards).unwrap(), data);
        let SurveyData::Polar { radius_ratio, azimuth_rad, velocity } = data else { panic!() };
        assert_eq!((radius_ratio.len(), azimuth_rad.len()), (3, 8));
        assert_eq!(velocity[8 + 3], Vec3::new(0.4, 0.1, 1.5));
    }

    #[test]
    fn negative_azimuths_are_turned_into_the_circle() {
        let rows: String =
            [0.2, 1.0].iter().flat_map(|r| (-4..4).map(move |j| format!("{r},{},1,0,0\n", 45 * j))).collect();
        let data = survey_data("a", &format!("radius_ratio,azimuth_deg,u_x,u_y,u_z\n{rows}")).unwrap();
        let SurveyData::Polar { azimuth_rad, .. } = data else { panic!() };
        assert!(azimuth_rad[0] == 0.0 && azimuth_rad.is_sorted() && azimuth_rad[7] < 5.5);
    }

    /// Measured tables end where they began.
    #[test]
    fn a_closing_row_that_repeats_the_first_is_left_out_and_another_is_refused_with_the_reason() {
        let text = |last: f64| {
            let row = |r: f64, j: i32| {
                let u = if j == 8 { last } else { 1.0 - 0.1 * r * f64::from(j % 8) };
                format!("{r},{},{u},0,0\n", 45 * j)
            };
            let rows: String = [0.2, 1.0].iter().flat_map(|r| (0..=8).map(move |j| row(*r, j))).collect();
            format!("radius_ratio,azimuth_deg,u_x,u_y,u_z\n{rows}")
        };
        let SurveyData::Polar { azimuth_rad, velocity, .. } = survey_data("a", &text(1.0)).unwrap() else {
            panic!()
        };
        assert_eq!((azimuth_rad.len(), velocity.len()), (8, 16));
        let problems = survey_data("a", &text(0.7)).unwrap_err();
        assert!(
            problems.len() == 1 && problems[0].to_string().contains("360 deg is 0 deg again"),
            "{problems:?}"
        );
    }

    #[test]
    fn a_table_of_another_separator_is_one_problem() {
        let text = "radius_ratio;azimuth_deg;u_x;u_y;u_z\n0,2;0;1;0;0\n0,2;45;1;0;0\n1;0;1;0;0\n";
        let problems = survey_data("a", text).unwrap_err();
        assert_eq!(problems.len(), 1, "{problems:?}");
        assert!(problems[0].to_string().contains("is separated by semicolons, with decimal commas"));
    }

    #[test]
    fn coefficients_are_laid_out_by_order() {
        let text = "order,radius_ratio,a_x,b_x,a_y,b_y,a_z,b_z\n\
                    0,0.2,0.9,0,0,0,0,0\n0,1,1,0,0,0,0,0\n1,0.2,0.1,0.2,0,0,0,0\n1,1,0,0,0,0,0,0.3\n";
        let SurveyData::Fourier { radius_ratio, cosine, sine } = survey_data("a", text).unwrap() else {
            panic!()
        };
        assert_eq!(radius_ratio, [0.2, 1.0]);
        assert_eq!((cosine[2].x, sine[2].x, sine[3].z), (0.1, 0.2, 0.3));
    }
}
