//! The frame of the page: head, contents, style and script, all in one text.

use std::path::Path;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::Source;
use crate::files;

const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = include_str!("script.js");
/// Nothing may be fetched: pictures only from the text itself.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; img-src data:";
/// Mark by which a page of ours is known.
const GENERATOR: &str = "<meta name=\"generator\" content=\"wakebeat ";

/// Whether a file is a page that this program wrote.
#[must_use]
pub fn is_page(path: &Path) -> bool {
    files::is_marked(path, GENERATOR)
}

/// The whole page.
pub(super) fn document(sources: &[Source], body: &Markup) -> Markup {
    let title = match sources {
        [one] => one.title().to_owned(),
        _ => "Propeller in the wake: report".to_owned(),
    };
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                (PreEscaped(GENERATOR)) (env!("CARGO_PKG_VERSION")) (PreEscaped("\">"))
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="color-scheme" content="light dark";
                // An icon in the text keeps browsers from asking for one.
                link rel="icon" href="data:,";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#main" { "Skip to the content" }
                header {
                    h1 { bdi { (title) } }
                    button type="button" id="theme" hidden { "Dark" }
                    p.caution { "Design-study estimates; rules, tests and licensed practice decide. See " a href="#cautions" { "the cautions" } "." }
                }
                nav aria-label="Contents" { (contents(sources)) }
                main id="main" { (body) }
                footer { p { "Made by wakebeat " (env!("CARGO_PKG_VERSION")) ". This page stands alone: it needs no network and sends nothing." } }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    }
}

fn contents(sources: &[Source]) -> Markup {
    let parts = |number: usize| {
        let link = |part: &str, words: &str| html! { li { a href={ "#f" (number) "-" (part) } { (words) } } };
        html! {
            ul {
                (link("asked", "Asked")) (link("answer", "Answer")) (link("why", "Why")) (link("sure", "How sure"))
                (link("inputs", "Inputs"))
            }
        }
    };
    html! {
        ol.contents {
            @for (index, source) in sources.iter().enumerate() {
                li {
                    a href={ "#f" (index + 1) } { bdi { (source.title()) } } " " span.of { "(" bdi { (source.label) } ")" }
                    (parts(index + 1))
                }
            }
            li { a href="#validation" { "Validation" } }
            li { a href="#cautions" { "Cautions" } }
        }
    }
}
