//! What the numbers are not.

use maud::{Markup, html};

/// Of airloads.
pub(super) const AIRLOADS: &str = "Airloads only: no structural response, no turbulence, no manufacturing scatter beyond the blade errors given.";
/// Of vibration.
pub(super) const VIBRATION: &str = "Vibration of a rigid powerplant on linear isolators, without turbulence; whirl is judged on an \
                                    immovable base.";
/// Of a ranking.
pub(super) const RANKING: &str = "A ranking of estimates on a grid: what lies between its points, turbulence, structure and noise are \
                                  not in it.";
/// Of a march.
pub(super) const MARCH: &str =
    "A march holds the airloads of each revolution to its conditions; isolators are linear.";
/// Beside clearances.
pub(super) const CLEARANCES: &str = "Clearances are held against rules for certified aeroplanes, for orientation: the applicable \
                                     rules and licensed practice decide.";

const ALWAYS: [&str; 3] = [
    "Estimates for design studies, not for certification: no load, size or clearance on this page is proof of strength or of safety.",
    "They replace neither tests nor the judgement of a qualified engineer. The applicable rules and licensed practice decide.",
    CLEARANCES,
];

/// The cautions of the page: those of its kinds of files, each once, then those of every page.
pub(super) fn all<'a>(own: impl Iterator<Item = &'a &'static str>) -> Markup {
    let mut told: Vec<&str> = Vec::new();
    for words in own.copied().chain(ALWAYS) {
        if !told.contains(&words) {
            told.push(words);
        }
    }
    html! {
        section.cautions id="cautions" aria-labelledby="cautions-h" {
            h2 id="cautions-h" { "Cautions" }
            ul { @for words in told { li { (words) } } }
        }
    }
}
