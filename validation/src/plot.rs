//! Rows as pictures: curves over published points.

use std::path::PathBuf;

use wakebeat_postproc::{
    ComparedCurve, ComparedPanel, ComparedPoint, Comparison, Folder, PictureFormat, PlotError,
    draw_comparisons,
};

use crate::table::{Judged, Point, Row, Table, held_against};

/// A row with fewer points is no curve.
const LEAST_POINTS: usize = 3;

/// Panels of a picture, and curves of a panel.
const MOST_PANELS: usize = 4;
const MOST_CURVES: usize = 12;

/// Draws every check that has curves into a folder and returns the paths.
///
/// # Errors
/// [`PlotError`] when the folder cannot be written or the drawing fails.
pub fn draw<'f>(
    table: &Table,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    draw_comparisons(&comparisons(table), folder, format)
}

fn comparisons(table: &Table) -> Vec<Comparison> {
    let mut all = Vec::new();
    let mut rest = table.rows.as_slice();
    while let Some(first) = rest.first() {
        let same = |row: &&Judged| (row.topic, &row.set) == (first.topic, &first.set);
        let (check, others) = rest.split_at(rest.iter().take_while(same).count());
        let panels = panels(check);
        for (i, panels) in panels.chunks(MOST_PANELS).enumerate() {
            let part = if i == 0 { String::new() } else { format!("_{}", i + 1) };
            all.push(Comparison {
                file_stem: format!("{}{part}", stem(&format!("{}_{}", first.topic, first.set))),
                title: format!("{}: {}", first.topic.replace('_', " "), first.set),
                source: first.source.to_owned(),
                discs: if held_against(check) { "what ours is held against" } else { "published" },
                panels: panels.to_vec(),
            });
        }
        rest = others;
    }
    all
}

fn panels(check: &[Judged]) -> Vec<ComparedPanel> {
    let mut panels: Vec<ComparedPanel> = Vec::new();
    for row in check.iter().map(|judged| &judged.row).filter(|row| row.points.len() >= LEAST_POINTS) {
        let quantity =
            if row.unit == "1" { row.symbol.to_owned() } else { format!("{}, {}", row.symbol, row.unit) };
        let place = |p: &&mut ComparedPanel| {
            p.quantity == quantity && p.along == row.along && p.curves.len() < MOST_CURVES
        };
        match panels.iter_mut().find(place) {
            Some(panel) => panel.curves.push(curve(row)),
            None => {
                panels.push(ComparedPanel { quantity, along: row.along.to_owned(), curves: vec![curve(row)] })
            }
        }
    }
    panels.iter_mut().for_each(name_by_difference);
    panels
}

fn curve(row: &Row) -> ComparedCurve {
    let points = row.points.iter().map(|p| ComparedPoint {
        at: p.at,
        published: p.published,
        ours: p.ours,
        judged: p.judged,
    });
    // What the panel says already is left out of the legend.
    let name = row.quantity.strip_prefix(row.symbol).unwrap_or(&row.quantity);
    let mut breaks = row.breaks.clone();
    if row.unit == "deg" {
        breaks.extend(wraps(&row.points));
        breaks.sort_unstable();
    }
    ComparedCurve { name: name.trim_start_matches([',', ' ']).to_owned(), points: points.collect(), breaks }
}

/// Places at which an angle runs over ±180°: the line there would cross the whole picture.
fn wraps(points: &[Point]) -> impl Iterator<Item = usize> {
    let apart = |pair: &[Point]| (pair[1].ours - pair[0].ours).abs() > 180.0;
    points.windows(2).enumerate().filter(move |(_, pair)| apart(pair)).map(|(at, _)| at + 1)
}

/// Leaves out of the names of a panel's curves the words that all begin with.
fn name_by_difference(panel: &mut ComparedPanel) {
    let shared = {
        let mut names = panel.curves.iter().map(|curve| curve.name.split(' ').collect::<Vec<_>>());
        let Some(first) = names.next() else { return };
        let alike = |other: Vec<&str>| first.iter().zip(other).take_while(|(a, b)| *a == b).count();
        names.map(alike).min().unwrap_or(0)
    };
    for curve in &mut panel.curves {
        curve.name = curve.name.split(' ').skip(shared).collect::<Vec<_>>().join(" ");
    }
}

/// Letters and digits of a name, `_` between them; a dot would end the name of the file.
fn stem(name: &str) -> String {
    let kept = name.chars().map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { ' ' });
    kept.collect::<String>().split_whitespace().collect::<Vec<_>>().join("_")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn curves_are_named_by_what_tells_them_apart() {
        let named = |names: &[&str]| {
            let curve = |name: &&str| ComparedCurve {
                name: (*name).to_owned(),
                points: Vec::new(),
                breaks: Vec::new(),
            };
            let curves = names.iter().map(curve).collect();
            let mut panel = ComparedPanel { quantity: String::new(), along: String::new(), curves };
            name_by_difference(&mut panel);
            panel.curves.into_iter().map(|curve| curve.name).collect::<Vec<_>>()
        };
        assert_eq!(
            named(&["over that at 30°, 2 blades", "over that at 30°, 3 blades"]),
            ["2 blades", "3 blades"]
        );
        assert_eq!(named(&["4042 rpm", "5030 rpm"]), ["4042 rpm", "5030 rpm"]);
        assert_eq!(named(&["of the largest harmonic"]), ["of the largest harmonic"]);
    }

    #[test]
    fn an_angle_that_runs_over_half_a_turn_begins_anew() {
        let points = [170.0, 179.0, -175.0, -160.0].map(|ours| Point::new(0.0, ours, ours));
        assert_eq!(wraps(&points).collect::<Vec<_>>(), [2]);
    }

    #[test]
    fn names_of_files_hold_no_blanks_and_no_dots() {
        assert_eq!(stem("propellers_DA4022 9 x 6.75 in, 2 blades"), "propellers_da4022_9_x_6_75_in_2_blades");
    }
}
