//! Pictures of a sweep: what a placement study found.
//!
//! | file | shows |
//! |---|---|
//! | `study_offset_gap` | what is kept low over shaft offset and axial gap, a panel for each blade count, one scale |
//! | `study_envelope` | the same over airspeed and angle of attack, at the winner's geometry |
//! | `study_offset` | the same against shaft offset for all blade counts, at the winner's other settings |
//! | `study_pareto` | the same against the loss of efficiency, every candidate, the Pareto front |
//!
//! A sweep that lacks the axes of a picture does without it.

mod against_offset;
mod envelope;
mod heat;
mod offset_gap;
mod pareto;
mod scale;

use std::path::{Path, PathBuf};

use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;
use wakebeat_engine::record::{RecordError, SweepRecord, read_sweep};
use wakebeat_engine::study::{Choose, Over};

use super::PictureFormat;
use super::canvas::{Area, Canvas, Sheet, save_all};
use super::colour::{BLUE, GREEN, ORANGE, PURPLE, SKY, VERMILION};
use super::frame::titled;
use crate::choose::{Ranking, Study, rank};
use crate::{Folder, PlotError};

/// What a study picture is drawn from.
pub(super) struct Drawn<'a> {
    study: &'a Study,
    ranking: &'a Ranking,
    choose: &'a Choose,
    /// Angle of attack of every candidate at every condition, rad.
    angle_of_attack_rad: Vec<Vec<f64>>,
    airspeed_m_s: Vec<Vec<f64>>,
    program_version: &'a str,
    title: &'a str,
}

/// The pictures.
#[derive(Debug, Clone, Copy)]
enum Picture {
    OffsetGap,
    Envelope,
    Offset,
    Pareto,
}

impl Picture {
    const ALL: [Self; 4] = [Self::OffsetGap, Self::Envelope, Self::Offset, Self::Pareto];

    fn file_stem(self) -> &'static str {
        match self {
            Self::OffsetGap => "study_offset_gap",
            Self::Envelope => "study_envelope",
            Self::Offset => "study_offset",
            Self::Pareto => "study_pareto",
        }
    }

    /// Whether the study holds what the picture shows.
    fn fits(self, drawn: &Drawn) -> bool {
        match self {
            Self::OffsetGap => drawn.along(OFFSET).is_some() && drawn.along(GAP).is_some(),
            Self::Envelope => drawn.study.conditions.len() > 1 && envelope::varies(drawn),
            Self::Offset => drawn.along(OFFSET).is_some(),
            Self::Pareto => drawn.ranking.rows.iter().any(|row| row.costs.efficiency_loss.is_finite()),
        }
    }
}

const OFFSET: &str = "placement.shaft_offset_m";
const GAP: &str = "placement.axial_gap_m";
const BLADES: &str = "propeller.blade_count";

/// Colours of blade counts in order.
const COLOURS: [RGBColor; 6] = [BLUE, VERMILION, GREEN, PURPLE, ORANGE, SKY];

struct OnePicture<'a> {
    picture: Picture,
    drawn: &'a Drawn<'a>,
}

impl Sheet for OnePicture<'_> {
    fn draw<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        match self.picture {
            Picture::OffsetGap => offset_gap::draw(area, self.drawn),
            Picture::Envelope => envelope::draw(area, self.drawn),
            Picture::Offset => against_offset::draw(area, self.drawn),
            Picture::Pareto => pareto::draw(area, self.drawn),
        }
    }
}

/// Draws the pictures of the result file of a sweep into a folder and returns their paths.
///
/// # Errors
/// [`PlotError`] when the file cannot be read, holds a shard only or nothing to draw, or the folder cannot be written.
pub fn plot_sweep(file: &Path, dir: &Path, format: PictureFormat) -> Result<Vec<PathBuf>, PlotError> {
    let record = read_sweep(file)?;
    draw_sweep(&record, &file.display().to_string(), dir, format)
}

/// Draws the pictures of a sweep; `label` names it in messages.
///
/// # Errors
/// As [`plot_sweep`].
pub fn draw_sweep<'f>(
    record: &SweepRecord,
    label: &str,
    folder: impl Into<Folder<'f>>,
    format: PictureFormat,
) -> Result<Vec<PathBuf>, PlotError> {
    let case = record
        .case(label, &[])
        .map_err(|problems| PlotError::Case { path: PathBuf::from(label), problems })?;
    let choose = case.choose.clone().unwrap_or_default();
    let study = Study::read(record, &case, &choose)?;
    let ranking = rank(&study, &choose);
    if ranking.weightless {
        return Err(PlotError::NoWeight);
    }
    if !ranking.rows.iter().any(|row| row.value.is_finite()) {
        return Err(PlotError::NotFinite { item: "hub_harmonics" });
    }
    let by_candidate = |values: Vec<f64>| -> Vec<Vec<f64>> {
        study.candidates.iter().map(|c| c.points.iter().map(|p| values[*p]).collect()).collect()
    };
    let points = record.status.len();
    let drawn = Drawn {
        angle_of_attack_rad: by_candidate(angles(record, points, case.point.flight.angle_of_attack_rad)?),
        airspeed_m_s: by_candidate(record.summary("airspeed_m_s")?),
        study: &study,
        ranking: &ranking,
        choose: &choose,
        program_version: &record.program_version,
        title: &case.title,
    };
    let canvas = Canvas::new(format)?;
    let pictures = Picture::ALL
        .into_iter()
        .filter(|picture| picture.fits(&drawn))
        .map(|picture| Ok((picture.file_stem(), canvas.render(&OnePicture { picture, drawn: &drawn })?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    save_all(folder.into(), format, &pictures)
}

/// A blade count in words; what is paired with it stands in brackets behind it, as the text of the axis has it.
fn blades(text: &str) -> String {
    let (count, paired) =
        text.split_once(' ').map_or((text, String::new()), |(n, rest)| (n, format!(" {rest}")));
    let word = if count == "1" { "blade" } else { "blades" };
    format!("{count} {word}{paired}")
}

/// Angle of attack of each point, rad: as trimmed, by its axis, or that of the case.
fn angles(record: &SweepRecord, points: usize, of_case_rad: f64) -> Result<Vec<f64>, RecordError> {
    if record.summary_names()?.iter().any(|name| name == "angle_of_attack_rad") {
        return record.summary("angle_of_attack_rad");
    }
    let axis = record.summary("angle_of_attack_deg").ok();
    Ok(axis.map_or_else(|| vec![of_case_rad; points], |deg| deg.iter().map(|d| d.to_radians()).collect()))
}

impl Drawn<'_> {
    /// Place among the decided axes of a key with numbers.
    fn along(&self, key: &str) -> Option<usize> {
        self.study.decided.iter().position(|axis| axis.key == key && !axis.numbers.is_empty())
    }

    /// The winner, or the best there is.
    fn winner(&self) -> usize {
        self.ranking.rows.first().map_or(0, |row| row.candidate)
    }

    fn value(&self, candidate: usize) -> f64 {
        self.ranking.rows.iter().find(|row| row.candidate == candidate).map_or(f64::NAN, |row| row.value)
    }

    /// Candidate with other places along some axes and the winner's along the others.
    fn like_winner(&self, changes: &[(usize, usize)]) -> Option<usize> {
        let mut subscripts = self.study.candidates[self.winner()].subscripts.clone();
        for (along, i) in changes {
            subscripts[*along] = *i;
        }
        self.study.candidate_at(&subscripts)
    }

    /// One panel or line for each blade count: heading and change of subscripts; one alone where the count is not decided.
    fn counts(&self) -> Vec<(String, Vec<(usize, usize)>)> {
        match self.along(BLADES) {
            Some(along) => {
                let texts = &self.study.decided[along].texts;
                texts.iter().enumerate().map(|(i, text)| (blades(text), vec![(along, i)])).collect()
            }
            None => vec![("all".to_owned(), Vec::new())],
        }
    }

    /// What is drawn, with its unit.
    fn quantity(&self) -> String {
        let keep_low = self.choose.keep_low;
        match keep_low.unit() {
            "1" => keep_low.words().to_owned(),
            unit => format!("{}, {unit}", keep_low.words()),
        }
    }

    fn over(&self) -> &'static str {
        match (self.study.conditions.len(), self.choose.over) {
            (1, _) => "at the one condition flown",
            (_, Over::WorstCase) => "worst case over the flown conditions",
            (_, Over::WeightedMean) => "weighted mean over the flown conditions",
        }
    }

    /// The settings that a picture takes from the winner, those along some axes left out.
    fn settings_but(&self, left_out: &[&str]) -> String {
        let candidate = &self.study.candidates[self.winner()];
        let named = self.study.decided.iter().zip(&candidate.subscripts);
        let kept = named.filter(|(axis, _)| !left_out.contains(&axis.key.as_str()));
        kept.map(|(axis, i)| format!("{} {}", axis.label, axis.texts[*i])).collect::<Vec<_>>().join(", ")
    }

    /// Title, a line below it, small print.
    fn framed<DB: DrawingBackend>(
        &self,
        area: &Area<DB>,
        title: &str,
        words: &str,
    ) -> Result<Area<DB>, PlotError> {
        let mut line = super::style::cut(self.title, 60);
        if !words.is_empty() {
            line = if line.is_empty() { words.to_owned() } else { format!("{line}; {words}") };
        }
        let version = format!("wakebeat {}", self.program_version);
        let lower_right = match self.study.propellers_briefly(self.choose) {
            Some(propellers) => format!("{propellers}; {version}"),
            None => version,
        };
        titled(area, title, &line, &lower_right)
    }
}

#[cfg(test)]
mod tests {
    use super::blades;

    #[test]
    fn the_word_stands_behind_the_count_and_before_what_is_paired() {
        assert_eq!(blades("1"), "1 blade");
        assert_eq!(blades("2 (diameter_m 0.25)"), "2 blades (diameter_m 0.25)");
    }
}
