//! Everything that can end a command, and the exit code it maps to.

use std::io;
use std::path::PathBuf;

use wakebeat_engine::case::{Problem, Problems, explain};
use wakebeat_engine::point::PointError;
use wakebeat_engine::record::RecordError;
use wakebeat_engine::study::SweepError;
use wakebeat_engine::trim::TrimError;
use wakebeat_postproc::PlotError;

use crate::problem_report;

/// Why a command ended early. The text is complete: it names file, key, value and what to try.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The case does not describe a point that can be computed.
    #[error("{}", problems_text(.0))]
    Case(#[from] Problems),
    /// The point was understood, but has no answer.
    #[error(transparent)]
    Point(#[from] PointError),
    /// The point cannot be trimmed, or has no answer.
    #[error(transparent)]
    Trim(#[from] TrimError),
    /// A result file could not be read or written.
    #[error(transparent)]
    Record(#[from] RecordError),
    /// The case has no mount.
    #[error(
        "{file}: the case has neither [mount] nor [duty]\n  hint: add [mount] with motor_mass_kg and motor_centre_of_gravity_m, and one [[isolator]] or more; `wakebeat new DIR --scenario mount-response` has both"
    )]
    NoMount {
        /// Case file.
        file: String,
    },
    /// The case has no mount, and a march needs one.
    #[error(
        "{file}: the case has no [mount] to march\n  hint: add [mount], [[isolator]] and [[schedule]]; `wakebeat new DIR --scenario mount-response` has all three"
    )]
    NothingToMarch {
        /// Case file.
        file: String,
    },
    /// The case has no schedule.
    #[error(
        "{file}: the case has no [[schedule]]\n  hint: add two or more rows with name, time_s and what changes, such as speed_rpm"
    )]
    NoSchedule {
        /// Case file.
        file: String,
    },
    /// The schedule ended before a revolution did.
    #[error(
        "{file}: no revolution ends within the {length_s} s of [[schedule]], so there is nothing to tell\n  hint: raise the last row's time_s, or the speed_rpm of the first"
    )]
    NothingMarched {
        /// Case file.
        file: String,
        /// From first to last row, s.
        length_s: f64,
    },
    /// The mount has no answer.
    #[error(transparent)]
    Mount(#[from] wakebeat_engine::mount::MountError),
    /// The mount cannot be sized: a segment cannot be flown, or limit loads cannot be shared.
    #[error(transparent)]
    Sizing(#[from] wakebeat_postproc::sizing::RunError),
    /// A table could not be written.
    #[error(transparent)]
    Table(#[from] wakebeat_postproc::FileError),
    /// A sweep could not be computed or finished.
    #[error(transparent)]
    Sweep(#[from] SweepError),
    /// A sweep was interrupted; what is done is kept.
    #[error("interrupted: {} points are done and kept in {}\n  hint: `--resume` computes the rest", .done, .folder.display())]
    Interrupted {
        /// Points that are done.
        done: usize,
        /// Folder of the parts.
        folder: PathBuf,
    },
    /// A march was interrupted; its file holds what was marched.
    #[error(
        "interrupted: {revolutions} revolutions are marched, to {time_s:.3} of {end_s} s, and kept in {path}\n  hint: a march cannot be continued; begin it anew for the rest",
        path = .path.display()
    )]
    MarchInterrupted {
        /// Revolutions in the file.
        revolutions: usize,
        /// Middle of the last one, s.
        time_s: f64,
        /// End of the schedule, s.
        end_s: f64,
        /// The file.
        path: PathBuf,
    },
    /// The pictures could not be drawn.
    #[error(transparent)]
    Plot(#[from] PlotError),
    /// A page too large to mail.
    #[error(
        "{path}: the page would have {size_mb:.1} MB, more than {most_mb:.0} MB\n  hint: name fewer files, and make a page of each part",
        path = .path.display()
    )]
    PageTooLarge {
        /// The page.
        path: PathBuf,
        /// What it would have, MB.
        size_mb: f64,
        /// What a page may have, MB.
        most_mb: f64,
    },
    /// No check and no row fits the pattern of `validate`.
    #[error(
        "--only {pattern}: no check or row of that name\n  hint: topics are {topics}; `*` stands for any letters"
    )]
    NothingToValidate {
        /// What was asked for.
        pattern: String,
        /// What there is.
        topics: String,
    },
    /// There is no manual page of that name.
    #[error("there is no manual page {name}\n  hint: commands are {known}")]
    NoSuchPage {
        /// What was asked for.
        name: String,
        /// The commands.
        known: String,
    },
    /// `new` found files that it would have to overwrite.
    #[error("{}", exists_text(.0))]
    Exists(Vec<PathBuf>),
    /// `choose` found files that it would have to overwrite.
    #[error("{}", choice_exists_text(.0))]
    ChoiceExists(Vec<PathBuf>),
    /// `choose --write` names a folder, not a case file.
    #[error("{path}: is a folder\n  hint: name the case file in it, such as {file}", path = .path.display(), file = .path.join("case.toml").display())]
    CaseIsFolder {
        /// What was asked for.
        path: PathBuf,
    },
    /// There are fewer candidates.
    #[error("--rank {rank}: there are {candidates} candidates; allowed: 1 to {candidates}")]
    Rank {
        /// Asked for.
        rank: usize,
        /// How many there are.
        candidates: usize,
    },
    /// A file or folder could not be made.
    #[error("{path}: {reason}", path = .path.display(), reason = not_made(source))]
    Write {
        /// What should have been made.
        path: PathBuf,
        /// Why not.
        source: io::Error,
    },
    /// Standard output could not be written.
    #[error("standard output: {0}")]
    Stdout(io::Error),
    /// The Ctrl-C handler could not be installed.
    #[error("handler for Ctrl-C: {0}")]
    Signal(#[from] ctrlc::Error),
}

impl Failure {
    /// Whether the user ended the command.
    pub fn is_interrupt(&self) -> bool {
        matches!(self, Self::Interrupted { .. } | Self::MarchInterrupted { .. })
    }

    /// What is wrong, one by one, for scripts.
    pub fn problems(&self) -> Vec<Problem> {
        match self {
            Self::Case(problems) => problems.0.clone(),
            Self::Record(error) | Self::Plot(PlotError::Record(error)) => {
                vec![problem_report::of_file_text(&error.to_string())]
            }
            other => vec![problem_report::of_text(&other.to_string())],
        }
    }

    /// A reader that closed its end of the pipe has seen enough: that is no failure.
    pub fn is_broken_pipe(&self) -> bool {
        matches!(self, Self::Stdout(e) if e.kind() == io::ErrorKind::BrokenPipe)
    }
}

/// One problem as it is; several below their number. At the end, where to read about the first key.
fn problems_text(problems: &Problems) -> String {
    let mut text = match problems.0.len() {
        1 => problems.to_string(),
        count => format!("{count} problems\n{problems}"),
    };
    let known = |problem: &&Problem| explain(&problem.key).is_ok_and(|found| found.exact);
    if let Some(problem) = problems.0.iter().find(known) {
        text.push_str(&format!("\n`wakebeat explain {}` tells what this key means", problem.key));
    }
    text
}

/// Plain words where the system's would puzzle.
fn not_made(source: &io::Error) -> String {
    match source.kind() {
        io::ErrorKind::AlreadyExists | io::ErrorKind::NotADirectory => {
            "a file stands where its folder should be; choose another name".to_owned()
        }
        _ => source.to_string(),
    }
}

fn choice_exists_text(paths: &[PathBuf]) -> String {
    let mut text = String::from("`choose` overwrites nothing, and these files exist:");
    for path in paths {
        text.push_str(&format!("\n  {}", path.display()));
    }
    text.push_str("\n  hint: name another folder");
    text
}

fn exists_text(paths: &[PathBuf]) -> String {
    let mut text = String::from("`new` overwrites nothing, and these files exist:");
    for path in paths {
        text.push_str(&format!("\n  {}", path.display()));
    }
    text.push_str("\n  hint: name another folder");
    text
}
