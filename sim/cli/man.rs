//! `wakebeat man`: manual pages, from the same definition as the help.

use clap::CommandFactory;
use serde_json::json;
use wakebeat_postproc::{Folder, save_all};

use crate::args::{Cli, ManArgs};
use crate::failure::Failure;
use crate::output::Output;

/// A manual page.
struct Page {
    /// `wakebeat` or `wakebeat-run`.
    name: String,
    /// In the language of `man`.
    text: String,
}

/// Prints the page of the program or of a command, or writes all pages into a folder.
///
/// # Errors
/// When there is no such command, or a page cannot be written.
pub fn man(args: &ManArgs, output: Output) -> Result<(), Failure> {
    let pages = pages().map_err(Failure::Stdout)?;
    let Some(dir) = &args.output else {
        let name =
            args.command.as_ref().map_or("wakebeat".to_owned(), |command| format!("wakebeat-{command}"));
        let Some(page) = pages.iter().find(|page| page.name == name) else {
            return Err(Failure::NoSuchPage { name, known: names(&pages) });
        };
        return output.script(&page.text, || json!({ "page": page.name, "text": page.text }));
    };
    let files: Vec<(String, &[u8])> =
        pages.iter().map(|page| (format!("{}.1", page.name), page.text.as_bytes())).collect();
    // Their names are the program's own.
    let written = save_all(Folder { path: dir, force: true }, &files)?;
    let names = || written.iter().map(|path| path.display().to_string()).collect::<Vec<_>>();
    output.answer(|| names().join("\n"), || json!({ "files": names() }))?;
    output.hint(&format!("next: man -l {}", dir.join("wakebeat.1").display()));
    Ok(())
}

/// The page of the program, then one for each command.
fn pages() -> std::io::Result<Vec<Page>> {
    let mut program = Cli::command().disable_help_subcommand(true);
    program.build();
    let all = std::iter::once(&program).chain(program.get_subcommands());
    all.map(|command| {
        let name = command.get_display_name().unwrap_or(command.get_name()).to_owned();
        let mut text = Vec::new();
        let version = concat!("wakebeat ", env!("CARGO_PKG_VERSION"));
        clap_mangen::Man::new(command.clone()).source(version).manual("wakebeat manual").render(&mut text)?;
        // The library knows no better name for what follows the options.
        let text = String::from_utf8_lossy(&text).replace(".SH EXTRA", ".SH NOTES");
        Ok(Page { name, text })
    })
    .collect()
}

/// The commands that have a page.
fn names(pages: &[Page]) -> String {
    let commands = pages.iter().filter_map(|page| page.name.strip_prefix("wakebeat-"));
    commands.collect::<Vec<_>>().join(", ")
}
