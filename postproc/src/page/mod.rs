//! One self-contained page from result files, for whoever has neither the program nor the files.
//!
//! The page reads as an argument: what was asked, the answer, why, how sure, what to avoid, what it costs, the inputs in full,
//! cautions. It needs no network: style, script, charts and data stand in it.
//!
//! | module | what |
//! |---|---|
//! | `source` | a result file with its case |
//! | `run`, `sweep`, `mount`, `march` | the sections of each kind of file |
//! | `geometry`, `disk`, `shares`, `harmonics` | figures that need the physics to be drawn |
//! | `plot`, `table` | axes with marks, tables that sort |
//! | `trust` | what validation says, handed in as plain data |
//! | `inputs`, `cautions`, `layout` | what every page ends with, and its frame |
//!
//! A new part of a section is a function that returns [`maud::Markup`] and a line in the `Section` of its kind of file.

mod cautions;
mod disk;
mod geometry;
mod harmonics;
mod inputs;
mod layout;
mod march;
mod mount;
mod phase;
mod plot;
mod raster;
mod run;
mod shares;
mod sizing;
mod source;
mod sweep;
mod table;
mod trust;

use std::path::Path;

use maud::{Markup, html};

use crate::PlotError;
pub use layout::is_page;
pub use source::Source;
pub use trust::{KnownFailure, Trust, TrustRow};

/// Most bytes of a page: what a mail carries without thought.
pub const MOST_BYTES: usize = 3_000_000;

/// The argument of one file.
struct Section {
    /// What was asked: conditions and geometry.
    asked: Markup,
    /// The answer: a sentence and a table.
    answer: Markup,
    /// Why it comes out so.
    why: Markup,
    /// Remarks on validity of this file.
    sure: Markup,
    /// Speeds to keep away from.
    avoid: Option<Markup>,
    /// What it costs.
    costs: Option<Markup>,
    /// Cautions beside those of every page.
    cautions: Vec<&'static str>,
}

/// The page of some result files, in their order.
///
/// # Errors
/// [`PlotError`] when a file holds nothing that can be shown, or its wakes cannot be found.
pub fn page(sources: &[Source], trust: &Trust) -> Result<String, PlotError> {
    let sections = sources
        .iter()
        .enumerate()
        .map(|(index, source)| Ok((source, source.section(index + 1)?)))
        .collect::<Result<Vec<_>, PlotError>>()?;
    let body = html! {
        @for (index, (source, section)) in sections.iter().enumerate() {
            (one(index + 1, source, section, (index == 0).then_some(trust)))
        }
        (cautions::all(sections.iter().flat_map(|(_, section)| &section.cautions)))
    };
    Ok(layout::document(sources, &body).into_string())
}

/// The section of one file; the first carries the table of validation.
fn one(number: usize, source: &Source, section: &Section, trust: Option<&Trust>) -> Markup {
    let heading = |part: &str, words: &str| html! { h3 id={ "f" (number) "-" (part) } { (words) } };
    html! {
        section.file id={ "f" (number) } aria-labelledby={ "f" (number) "-h" } {
            h2 id={ "f" (number) "-h" } { bdi { (source.title()) } }
            p.of { (source.kind_words()) ", from " code { bdi { (source.label) } } }
            (heading("asked", "What was asked"))
            (section.asked)
            (heading("answer", "The answer"))
            (section.answer)
            (heading("why", "Why"))
            (section.why)
            (heading("sure", "How sure"))
            (section.sure)
            @match trust {
                Some(trust) => (trust::shown(trust)),
                None => p { "What the engine is held to, and how far off it is found: see " a href="#validation" { "validation" } "." },
            }
            @if let Some(avoid) = &section.avoid {
                (heading("avoid", "What to avoid"))
                (avoid)
            }
            @if let Some(costs) = &section.costs {
                (heading("costs", "What it costs"))
                (costs)
            }
            (heading("inputs", "Inputs in full"))
            (inputs::shown(source))
        }
    }
}

/// Words with what stands between backquotes as code.
fn prose(text: &str) -> Markup {
    html! {
        @for (index, part) in text.split('`').enumerate() {
            @if index % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// A path as people name a file: without its folders.
fn file_name(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}
