//! `wakebeat report`: one self-contained page from result files.

use std::path::{Path, PathBuf};

use serde_json::json;
use wakebeat_engine::record;
use wakebeat_postproc::page::{KnownFailure, MOST_BYTES, Source, Trust, is_page, page};
use wakebeat_validation::table::{KNOWN, printed};

use crate::args::ReportArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::output::Output;

/// Reads the files, makes the page, writes it whole or not at all.
///
/// # Errors
/// When a file is no result file, the page is too large, or the output must not or cannot be written.
pub fn report(args: &ReportArgs, output: Output) -> Result<(), Failure> {
    interrupt::install()?;
    let target = args.output.clone().unwrap_or_else(|| default_output(args.files.first()));
    let sources: Vec<&Path> = args.files.iter().map(PathBuf::as_path).collect();
    record::check_page_target(&target, args.force, &sources, &is_page)?;
    let sources = args.files.iter().map(|file| Source::read(file)).collect::<Result<Vec<_>, _>>()?;
    let text = page(&sources, &trust())?;
    if text.len() > MOST_BYTES {
        let mb = |bytes: usize| bytes as f64 / 1e6;
        return Err(Failure::PageTooLarge { path: target, size_mb: mb(text.len()), most_mb: mb(MOST_BYTES) });
    }
    {
        let _writing = interrupt::writing();
        record::save_text(&target, &text)?;
    }
    output.answer(
        || format!("page: {}", target.display()),
        || json!({ "page": target.display().to_string(), "bytes": text.len() }),
    )
}

/// `my-pusher.h5` → `my-pusher.html`, in the current folder.
fn default_output(first: Option<&PathBuf>) -> PathBuf {
    let mut name = first.and_then(|file| file.file_stem()).unwrap_or_default().to_os_string();
    name.push(".html");
    PathBuf::from(name)
}

/// What validation says, as plain data.
fn trust() -> Trust {
    let known = KNOWN.iter().map(|known| KnownFailure {
        rows: known.rows.to_owned(),
        physics: known.physics.to_owned(),
        figure: known.figure.to_owned(),
        date: known.date.to_owned(),
    });
    Trust { rows: printed(), known: known.collect() }
}
