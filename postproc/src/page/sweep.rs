//! The argument of a sweep: the winner, the ranking, why the winner wins.

use std::path::PathBuf;

use maud::{Markup, html};
use wakebeat_engine::case::Case;
use wakebeat_engine::point::result::{Harmonics, HubLoad, Share};
use wakebeat_engine::record::{RecordError, SweepRecord};
use wakebeat_engine::study::{Limits, Over};

use super::plot::{Axis, Plot, colour, with_unit};
use super::shares::Shares;
use super::table::{Cell, Column, figure, table};
use super::{Section, cautions, geometry};
use crate::PlotError;
use crate::choose::{NearbyValue, Ranking, Row, Study, rank};
use crate::pictures::number::short;

/// Rows of the ranking that a page carries.
const MOST_ROWS: usize = 150;
/// Dots of the front that a page carries.
const MOST_DOTS: usize = 400;

/// What the section is made from.
struct Ranked<'a> {
    record: &'a SweepRecord,
    case: &'a Case,
    study: Study,
    ranking: Ranking,
}

/// The section of a sweep; `label` names the file in messages, `id` tells its figures from others.
pub(super) fn section(
    record: &SweepRecord,
    case: &Case,
    (label, id): (&str, &str),
) -> Result<Section, PlotError> {
    let choose = case.choose.clone().unwrap_or_default();
    let study = Study::read(record, case, &choose)?;
    let ranking = rank(&study, &choose);
    if ranking.weightless {
        return Err(PlotError::NoWeight);
    }
    if !ranking.rows.iter().any(|row| row.value.is_finite()) {
        return Err(PlotError::NotFinite { item: "hub_harmonics" });
    }
    let ranked = Ranked { record, case, study, ranking };
    let worst = ranked.worst_point();
    let flown = record
        .case(label, &record.grid.sets(worst))
        .map_err(|problems| PlotError::Case { path: PathBuf::from(label), problems })?;
    Ok(Section {
        asked: html! {
            (ranked.question())
            p { "Below: the candidate that is first in the ranking." }
            (geometry::views(&flown.point)?)
        },
        answer: html! { (ranked.sentence()) (ranked.table()) },
        why: html! {
            @if let Some(told) = &ranked.ranking.odd_even { p { (long_numbers(&told.sentence)) } }
            div.figures {
                @if let Some(figure) = ranked.along_first_axis(id) { (figure) }
                (ranked.front(id))
            }
            h4 { "Which source makes the winner's load" }
            p { "At the condition that makes its figure: " (long_numbers(&record.grid.describe(worst))) "." }
            @if !ranked.study.further.is_empty() { p { "The shares are those in the hub loads of [propeller]." } }
            (ranked.shares(worst)?.shown())
            p.note { "A sweep keeps no disk maps: a run of the winner shows what its blades meet." }
        },
        sure: ranked.sure()?,
        avoid: None,
        costs: Some(ranked.costs()),
        cautions: vec![cautions::RANKING, cautions::AIRLOADS],
    })
}

impl Ranked<'_> {
    fn first(&self) -> Option<&Row> {
        self.ranking.rows.first()
    }

    /// The point of the first candidate that makes its figure.
    fn worst_point(&self) -> usize {
        let row = self.first();
        row.and_then(|row| self.study.candidates[row.candidate].points.get(row.condition).copied())
            .unwrap_or(0)
    }

    fn unit(&self) -> &'static str {
        self.ranking.choose.keep_low.unit()
    }

    fn words(&self) -> &'static str {
        self.ranking.choose.keep_low.words()
    }

    fn over(&self) -> &'static str {
        match (self.study.conditions.len(), self.ranking.choose.over) {
            (1, _) => "at the one condition flown",
            (_, Over::WorstCase) => "worst case over the flown conditions",
            (_, Over::WeightedMean) => "weighted mean over the flown conditions",
        }
    }

    fn question(&self) -> Markup {
        let axis = |axis: &crate::choose::StudyAxis| {
            let ends = [axis.texts.first(), axis.texts.last()].map(|t| t.cloned().unwrap_or_default());
            let unit = if axis.unit == "1" { String::new() } else { format!(" {}", axis.unit) };
            format!(
                "{}: {} values, {} to {}{unit}",
                axis.label,
                axis.texts.len(),
                short_text(&ends[0]),
                short_text(&ends[1])
            )
        };
        html! {
            @if !self.case.notes.is_empty() { p { (self.case.notes) } }
            p {
                @match self.study.candidates.len() {
                    1 => { "How much " (self.words()) " has the one candidate, " (self.over()) "? " }
                    many => { "Which of " (many) " candidates has the lowest " (self.words()) ", " (self.over()) "? " }
                }
                @if self.study.trimmed { "Every point is trimmed to the thrust asked for." }
                @else { "Thrust is not trimmed, so that candidates differ in thrust as well." }
            }
            @for words in self.study.propellers_in_words(&self.ranking.choose) { p { (capital(&words)) "." } }
            ul {
                @for one in &self.study.decided { li { "decided: " (axis(one)) } }
                @for one in &self.study.flown { li { "flown: " (axis(one)) } }
            }
        }
    }

    fn sentence(&self) -> Markup {
        let Some(first) = self.first().filter(|row| row.allowed) else {
            return html! { p.answer { "No candidate keeps all limits: loosen one, or widen the grid." } };
        };
        if self.study.candidates.len() == 1 {
            return html! {
                p.answer {
                    "The one candidate has " strong { (with_unit(first.value, self.unit())) } " of " (self.words()) ", " (self.over()) "."
                }
            };
        }
        let last = self.ranking.allowed().last();
        html! {
            p.answer {
                strong { (long_numbers(&self.study.candidate_words(first.candidate))) } " has the lowest " (self.words()) ", "
                strong { (with_unit(first.value, self.unit())) } ", " (self.over())
                @if let Some(last) = last.filter(|last| last.candidate != first.candidate) {
                    "; the last that keeps all limits has " (with_unit(last.value, self.unit()))
                }
                "."
            }
        }
    }

    fn table(&self) -> Markup {
        let mut columns = vec![Column::new("rank", "")];
        columns.extend(self.study.decided.iter().map(|axis| Column::new(axis.label.as_str(), &axis.unit)));
        columns.push(Column::new(self.words(), self.unit()));
        columns.push(Column::new("efficiency loss", "%"));
        let moments = self.ranking.rows.iter().any(|row| row.costs.pitching_moment_n_m.is_finite());
        if moments {
            columns.push(Column::new("thrust line moment", "N m"));
        }
        columns.push(Column::new("tip Mach", "1"));
        columns.push(Column::new("on the front", ""));
        columns.push(Column::new("why not first", ""));
        let row = |(place, row): (usize, &Row)| {
            let candidate = &self.study.candidates[row.candidate];
            let rank = if row.allowed { format!("{}", place + 1) } else { "out".to_owned() };
            let mut cells = vec![Cell::shown((place + 1) as f64, rank)];
            cells.extend(self.study.decided.iter().zip(&candidate.subscripts).map(|(axis, i)| {
                match axis.numbers.get(*i) {
                    Some(number) => Cell::shown(*number, short_text(&axis.texts[*i])),
                    None => Cell::text(&axis.texts[*i]),
                }
            }));
            cells.push(Cell::Figure(row.value));
            cells.push(Cell::Figure(100.0 * row.costs.efficiency_loss));
            if moments {
                cells.push(Cell::Figure(row.costs.pitching_moment_n_m));
            }
            cells.push(Cell::Figure(row.costs.tip_mach));
            cells.push(Cell::text(if row.pareto { "yes" } else { "" }));
            cells.push(Cell::text(long_numbers(row.reason.lines().next().unwrap_or_default())));
            cells
        };
        let rows: Vec<Vec<Cell>> = self.ranking.rows.iter().enumerate().take(MOST_ROWS).map(row).collect();
        let (all, allowed) = (self.ranking.rows.len(), self.ranking.allowed().count());
        html! {
            (table("Ranking of the candidates", &columns, &rows))
            p.note {
                (allowed) " of " (all) " candidates " (if allowed == 1 { "keeps" } else { "keep" }) " all limits"
                @if all > MOST_ROWS { "; the first " (MOST_ROWS) " are shown, `wakebeat choose` lists all" }
                ". The front: no candidate that keeps all limits is lower both in load and in loss of efficiency."
            }
        }
    }

    /// What is kept low along the axis with the most numbers, at the winner's other settings; a line for each value of another axis.
    fn along_first_axis(&self, id: &str) -> Option<Markup> {
        let decided = &self.study.decided;
        let longest = (0..decided.len())
            .filter(|i| decided[*i].numbers.len() > 1)
            .max_by_key(|i| decided[*i].numbers.len())?;
        let other = (0..decided.len()).find(|i| *i != longest && (2..=6).contains(&decided[*i].texts.len()));
        let winner = &self.study.candidates[self.first()?.candidate].subscripts;
        let value = |subscripts: &[usize]| {
            let candidate = self.study.candidate_at(subscripts)?;
            self.ranking.rows.iter().find(|row| row.candidate == candidate).map(|row| row.value)
        };
        let line = |at: Option<usize>| {
            let mut subscripts = winner.clone();
            if let (Some(other), Some(at)) = (other, at) {
                subscripts[other] = at;
            }
            let points = decided[longest].numbers.iter().enumerate().map(|(i, x)| {
                subscripts[longest] = i;
                (*x, value(&subscripts).unwrap_or(f64::NAN))
            });
            points.collect::<Vec<_>>()
        };
        let lines: Vec<(String, Vec<(f64, f64)>)> = match other {
            Some(other) => decided[other]
                .texts
                .iter()
                .enumerate()
                .map(|(i, t)| (format!("{} {}", decided[other].label, short_text(t)), line(Some(i))))
                .collect(),
            None => vec![(self.words().to_owned(), line(None))],
        };
        let top =
            lines.iter().flat_map(|(_, l)| l).map(|p| p.1).filter(|v| v.is_finite()).fold(0.0, f64::max);
        let axis = &decided[longest];
        let (low, high) =
            axis.numbers.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(*v), b.max(*v)));
        let x_label =
            if axis.unit == "1" { axis.label.clone() } else { format!("{}, {}", axis.label, axis.unit) };
        let y_label = if self.unit() == "1" {
            self.words().to_owned()
        } else {
            format!("{}, {}", self.words(), self.unit())
        };
        let title = format!("{} against {}", self.words(), axis.label);
        let mut plot = Plot::new(
            title.clone(),
            format!("{title}, at the winner's other settings"),
            Axis::new(x_label, low, high),
            Axis::new(y_label, 0.0, 1.08 * top),
        );
        for (index, (words, points)) in lines.iter().enumerate() {
            plot.line(points, &colour(index), |x, y| {
                format!("{words}, {} {}: {}", axis.label, with_unit(x, &axis.unit), with_unit(y, self.unit()))
            });
            plot.key(&colour(index), words.as_str());
        }
        Some(plot.figure(&format!("{}-along", id)))
    }

    /// Every candidate by load and loss of efficiency.
    fn front(&self, id: &str) -> Markup {
        let rows: Vec<&Row> = self
            .ranking
            .rows
            .iter()
            .filter(|row| row.value.is_finite() && row.costs.efficiency_loss.is_finite())
            .take(MOST_DOTS)
            .collect();
        let most = |pick: fn(&Row) -> f64| rows.iter().map(|row| pick(row)).fold(0.0, f64::max);
        // An axis of no length becomes one from 0 to 1.
        let x = Axis::new("efficiency loss, %", 0.0, 105.0 * most(|row| row.costs.efficiency_loss));
        let y_label = if self.unit() == "1" {
            self.words().to_owned()
        } else {
            format!("{}, {}", self.words(), self.unit())
        };
        let title = format!("{} against loss of efficiency", self.words());
        let about = format!("{title}, a dot for each candidate; the ranking above holds the same figures");
        let mut plot = Plot::new(title, about, x, Axis::new(y_label, 0.0, 1.08 * most(|row| row.value)));
        // The front last, so that it lies on top.
        for row in rows.iter().filter(|row| !row.pareto).chain(rows.iter().filter(|row| row.pareto)) {
            let (class, radius) = match (row.pareto, row.allowed) {
                (true, _) => ("c2", 5.0),
                (false, true) => ("c1", 3.0),
                (false, false) => ("c0", 3.0),
            };
            let tip = format!(
                "{}: {}, loss {} %",
                long_numbers(&self.study.candidate_words(row.candidate)),
                with_unit(row.value, self.unit()),
                short(100.0 * row.costs.efficiency_loss)
            );
            plot.dot((100.0 * row.costs.efficiency_loss, row.value), class, radius, &tip);
        }
        plot.key("c2", "on the front");
        plot.key("c1", "keeps all limits");
        if rows.iter().any(|row| !row.allowed) {
            plot.key("c0", "out");
        }
        plot.figure(&format!("{}-front", id))
    }

    /// Harmonics and shares of a point.
    fn shares(&self, point: usize) -> Result<Shares, RecordError> {
        let local = point - self.record.first_point();
        let orders = self.record.orders.max(1);
        let row = |path: &str| -> Result<Vec<f64>, RecordError> {
            let all = self.record.by_order(path)?;
            Ok(all.into_iter().skip(local * orders).take(orders).collect())
        };
        let harmonics = |group: &str, load: HubLoad| -> Result<Harmonics, RecordError> {
            Ok(Harmonics {
                amplitude: row(&format!("{group}/{}", load.key()))?,
                phase_rad: row(&format!("{group}/{}_phase_rad", load.name()))?,
            })
        };
        let all = |group: &str| {
            HubLoad::ALL.into_iter().map(|load| harmonics(group, load)).collect::<Result<Vec<_>, _>>()
        };
        let sources = self.record.sources().unwrap_or_default();
        let candidate = self.first().map_or(0, |row| row.candidate);
        Ok(Shares {
            order: self.study.candidates[candidate].blade_count,
            totals: all("hub_harmonics")?,
            sources: sources
                .into_iter()
                .map(|name| Ok(Share { loads: all(&format!("attribution/{name}"))?, name }))
                .collect::<Result<_, RecordError>>()?,
        })
    }

    fn sure(&self) -> Result<Markup, RecordError> {
        let warnings = self.record.warnings()?;
        let points = self.record.status.len();
        let told: Vec<(String, usize)> = warnings
            .into_iter()
            .map(|(name, flags)| (name.replace('_', " "), flags.iter().filter(|flag| **flag != 0).count()))
            .filter(|(_, count)| *count > 0)
            .collect();
        let first = self.first();
        Ok(html! {
            @if !told.is_empty() {
                p { "Limits that points of the grid pass, of " (points) " points; a run of the point tells the figures:" }
                ul.warnings { @for (name, count) in &told { li { (name) ": " (count) " points" } } }
            }
            @for (condition, reason) in &self.ranking.left_out {
                p { "Left out, no candidate has an answer there: " (self.study.condition_words(*condition)) ": " (reason.lines().next().unwrap_or_default()) }
            }
            @if !self.ranking.nearby.is_empty() {
                p { "What lies around the winner, between grid points by straight lines:" }
                ul {
                    @for near in &self.ranking.nearby {
                        li {
                            (near.label) " " (with_unit(near.step, &near.unit)) " lower: " (self.near(&near.values[0], first))
                            "; higher: " (self.near(&near.values[1], first))
                        }
                    }
                }
            }
        })
    }

    fn near(&self, value: &NearbyValue, first: Option<&Row>) -> String {
        match value {
            NearbyValue::Found(value) => {
                let change = first.map_or(f64::NAN, |row| 100.0 * (value / row.value - 1.0));
                let change = if change.is_finite() { format!(" ({change:+.0} %)") } else { String::new() };
                format!("{}{change}", with_unit(*value, self.unit())).replace('-', "−")
            }
            NearbyValue::Unknown(why) => format!("unknown, {why}"),
        }
    }

    fn costs(&self) -> Markup {
        let Some(first) = self.first() else { return html! {} };
        let clearances: Vec<(&str, f64)> = Limits::CLEARANCES
            .into_iter()
            .zip(first.costs.clearance_m)
            .filter(|(_, v)| v.is_finite())
            .collect();
        let rows: Vec<Vec<Cell>> = clearances
            .iter()
            .map(|(name, value)| {
                vec![Cell::text(name.trim_end_matches("_m").replace('_', " ")), Cell::Figure(*value)]
            })
            .collect();
        html! {
            p {
                "Against the best candidate at the same condition the winner loses " (figure(100.0 * first.costs.efficiency_loss))
                " % of thrust for power; helical tip Mach number " (figure(first.costs.tip_mach))
                @if first.costs.pitching_moment_n_m.is_finite() {
                    "; moment of the thrust line " (figure(first.costs.pitching_moment_n_m)) " N m"
                } @else { "; the case gives no centre of gravity, so the moment of the thrust line is not known" }
                "."
            }
            @if !rows.is_empty() {
                (table("Least clearances of the winner", &[Column::new("clearance", ""), Column::new("least", "m")], &rows))
            }
            @for name in &self.ranking.idle_limits {
                p.note { "choose." (name) " cannot be held to anything: the sweep holds no such figure." }
            }
        }
    }
}

/// With a capital letter.
fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A number of many digits as people read it; anything else as it is.
fn short_text(text: &str) -> String {
    match text.parse::<f64>() {
        Ok(number) if text.len() > 7 => {
            let rounded = format!("{number:.6}");
            rounded.trim_end_matches('0').trim_end_matches('.').replace('-', "−")
        }
        Ok(_) => text.replace('-', "−"),
        Err(_) => text.to_owned(),
    }
}

/// The same for every number of a sentence.
fn long_numbers(text: &str) -> String {
    let word = |word: &str| {
        let bare = word.trim_end_matches([',', ';', ':', ')']);
        if bare.parse::<f64>().is_ok() {
            format!("{}{}", short_text(bare), &word[bare.len()..])
        } else {
            word.to_owned()
        }
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grid_values_read_as_people_write_them() {
        assert_eq!(short_text("0.05200000000000002"), "0.052");
        assert_eq!(short_text("-0.06"), "−0.06");
        assert_eq!(short_text("blade-a.csv"), "blade-a.csv");
        assert_eq!(
            long_numbers("shaft_offset_m 0.05200000000000002, blades 3"),
            "shaft_offset_m 0.052, blades 3"
        );
    }
}
