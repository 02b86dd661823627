//! `wakebeat choose`: ranks the candidates of a sweep, and hands the choice on.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};
use wakebeat_engine::case::Case;
use wakebeat_engine::record::{self, SweepRecord};
use wakebeat_engine::study::Choose;
use wakebeat_postproc::choose::{Candidate, NearbyValue, Ranking, Row, Study, StudyAxis, rank};

use crate::args::ChooseArgs;
use crate::failure::Failure;
use crate::numbers::significant;
use crate::output::{Output, WIDTH, indented};
use crate::table;

/// What the ranking is good for.
const CAUTION: &str =
    "A ranking of estimates: no turbulence, no structure, no noise; rules and licensed practice decide.";

/// Columns that a reason is wrapped to in the table.
const REASON: usize = 64;

/// Ranks a sweep from its file alone; writes a candidate as a case if asked to.
///
/// # Errors
/// When the file is no sweep, `[choose]` has a problem, or the case cannot be written.
pub fn choose(args: &ChooseArgs, output: Output) -> Result<(), Failure> {
    if let Some(path) = args.write.as_ref().filter(|path| names_folder(path)) {
        return Err(Failure::CaseIsFolder { path: path.clone() });
    }
    let record = record::read_sweep(&args.study)?;
    let label = args.study.display().to_string();
    let case = record.case(&label, &args.sets)?;
    let how = case.choose.clone().unwrap_or_default();
    let study = Study::read(&record, &case, &how)?;
    let ranking = rank(&study, &how);
    if let Some(target) = &args.write {
        let row = ranking
            .rows
            .get(args.rank - 1)
            .ok_or(Failure::Rank { rank: args.rank, candidates: ranking.rows.len() })?;
        write_case(&record, &study, &study.candidates[row.candidate], &label, &args.sets, target)?;
        if !row.allowed {
            output.hint(&format!("rank {} is out: {}", args.rank, row.reason));
        }
        output.hint(&format!("case of rank {}: {}", args.rank, target.display()));
    }
    output.answer(|| text(&study, &ranking, args.rows, &case), || as_json(&study, &ranking, &how))
}

fn text(study: &Study, ranking: &Ranking, most: usize, case: &Case) -> String {
    let mut parts = Vec::new();
    if !case.title.is_empty() {
        parts.push(case.title.clone());
    }
    parts.push(question(study, ranking, case));
    parts.push(row_table(study, ranking, most));
    parts.extend(winner(study, ranking));
    parts.extend(ranking.odd_even.as_ref().map(|told| textwrap::fill(&told.sentence, WIDTH)));
    parts.extend(ranking.idle_limits.iter().map(|name| {
        format!("note: choose.{name} cannot be held to anything: the sweep holds no such figure")
    }));
    parts.push(CAUTION.to_owned());
    parts.join("\n\n")
}

/// What was asked, and over what.
fn question(study: &Study, ranking: &Ranking, case: &Case) -> String {
    let how = &ranking.choose;
    let over = match how.over {
        wakebeat_engine::study::Over::WorstCase => "worst case",
        wakebeat_engine::study::Over::WeightedMean => "weighted mean",
    };
    let names = |axes: &[StudyAxis]| {
        axes.iter()
            .map(|axis| format!("{} ({})", axis.label, axis.texts.len()))
            .collect::<Vec<_>>()
            .join(", ")
    };
    let flown = if study.flown.is_empty() {
        "at the one condition of the case".to_owned()
    } else {
        format!("{over} over {}", names(&study.flown))
    };
    let candidates = match study.candidates.len() {
        _ if study.decided.is_empty() => "one candidate, the case: no axis of the grid is decided".to_owned(),
        1 => format!("1 candidate of {}", names(&study.decided)),
        many => format!("{many} candidates of {}", names(&study.decided)),
    };
    let mut lines = vec![format!("{} to be kept low, {flown}", how.keep_low.words()), candidates];
    lines.extend(study.propellers_in_words(how).iter().map(|words| textwrap::fill(words, WIDTH)));
    if let Some(trim) = &case.trim {
        lines.push(compared(study, trim.keeps_solidity));
    }
    if !study.trimmed {
        lines.push("note: thrust is not trimmed, so that candidates differ in thrust as well".to_owned());
    }
    for (condition, reason) in &ranking.left_out {
        lines.push(textwrap::fill(
            &format!(
                "left out, no candidate has an answer there: {}: {}",
                study.condition_words(*condition),
                first_line(reason)
            ),
            WIDTH,
        ));
    }
    lines.join("\n")
}

/// How blade counts are compared; keys paired with the count change with it.
fn compared(study: &Study, keeps_solidity: bool) -> String {
    let count = "propeller.blade_count";
    let keys = |axis: &StudyAxis| [&axis.key].into_iter().chain(&axis.paired).cloned().collect::<Vec<_>>();
    let of_count = study.decided.iter().map(keys).find(|keys| keys.iter().any(|key| key == count));
    let own: Vec<String> = of_count.unwrap_or_default().into_iter().filter(|key| key != count).collect();
    match (keeps_solidity, own.is_empty()) {
        (true, true) => "blade counts compared at equal solidity".to_owned(),
        (false, true) => "blade counts compared with the same blade".to_owned(),
        (true, false) => {
            format!("blade counts compared at equal solidity, each with its own {}", own.join(", "))
        }
        (false, false) => format!("blade counts compared each with its own {}", own.join(", ")),
    }
}

fn first_line(text: &str) -> &str {
    text.lines().next().unwrap_or_default()
}

fn row_table(study: &Study, ranking: &Ranking, most: usize) -> String {
    let how = &ranking.choose;
    let unit = if how.keep_low.unit() == "1" { String::new() } else { format!(" {}", how.keep_low.unit()) };
    let moments = ranking.rows.iter().any(|row| row.costs.pitching_moment_n_m.is_finite());
    let mut heading = vec!["rank".to_owned()];
    heading.extend(study.decided.iter().map(|axis| axis.label.clone()));
    heading.push(format!("{}{unit}", how.keep_low.words()));
    heading.push("loss %".to_owned());
    if moments {
        heading.push("moment N m".to_owned());
    }
    heading.push(String::new());
    heading.push("why not first".to_owned());
    let line = |(place, row): (usize, &Row)| {
        let candidate = &study.candidates[row.candidate];
        let mut cells = vec![if row.allowed { format!("{}", place + 1) } else { "out".to_owned() }];
        cells.extend(study.decided.iter().zip(&candidate.subscripts).map(|(axis, i)| axis.texts[*i].clone()));
        cells.push(significant(row.value, 3));
        cells.push(significant(100.0 * row.costs.efficiency_loss, 2));
        if moments {
            cells.push(significant(row.costs.pitching_moment_n_m, 3));
        }
        cells.push(if row.pareto { "*".to_owned() } else { String::new() });
        cells.push(textwrap::fill(first_line(&row.reason), REASON));
        cells
    };
    let allowed = ranking.allowed().count();
    let numbers = 0..heading.len() - 2;
    let shown: Vec<Vec<String>> =
        ranking.rows.iter().enumerate().filter(|(_, row)| row.allowed).take(most).map(line).collect();
    let out: Vec<(usize, &Row)> = ranking.rows.iter().enumerate().filter(|(_, row)| !row.allowed).collect();
    let mut lines = shown;
    lines.extend(out.iter().take(most.div_ceil(3)).map(|(place, row)| line((*place, row))));
    let table = table::plain(heading, lines, numbers);
    format!(
        "{table}\n{allowed} {} all limits, {} {} out; * on the Pareto front of load and efficiency; --rows shows more, --json all",
        if allowed == 1 { "keeps" } else { "keep" },
        out.len(),
        if out.len() == 1 { "is" } else { "are" },
    )
}

fn winner(study: &Study, ranking: &Ranking) -> Option<String> {
    let first = ranking.rows.first()?;
    if ranking.weightless {
        let words = "No candidate can be ranked: all weight is on conditions left out, at which none has an answer. Give weight to \
                     conditions that can be flown, or widen the grid.";
        return Some(textwrap::fill(words, WIDTH));
    }
    if !first.allowed {
        return Some("No candidate keeps all limits: loosen one, or widen the grid.".to_owned());
    }
    let unit = ranking.choose.keep_low.unit();
    let words = study.candidate_words(first.candidate);
    let mut lines = vec![format!("winner: {}", if words.is_empty() { "the case as it is" } else { &words })];
    for near in &ranking.nearby {
        let side = |value: &NearbyValue| match value {
            NearbyValue::Found(value) => format!(
                "{}{}{}",
                significant(*value, 3),
                if unit == "1" { String::new() } else { format!(" {unit}") },
                if first.value > 0.0 {
                    format!(" ({:+.0} %)", 100.0 * (value / first.value - 1.0))
                } else {
                    String::new()
                }
            ),
            NearbyValue::Unknown(why) => format!("unknown, {why}"),
        };
        if let [NearbyValue::Unknown(lower), NearbyValue::Unknown(higher)] = &near.values
            && lower == higher
        {
            let step = format!("{} {} {}", near.label, significant(near.step, 3), near.unit);
            lines.push(indented("  ", &format!("{step} either way: unknown, {lower}")));
            continue;
        }
        lines.push(format!(
            "  {} {} {} lower: {}; higher: {}",
            near.label,
            significant(near.step, 3),
            near.unit,
            side(&near.values[0]),
            side(&near.values[1])
        ));
    }
    lines.push("  between grid points by straight lines; a run of the case tells more".to_owned());
    Some(lines.join("\n"))
}

fn as_json(study: &Study, ranking: &Ranking, how: &Choose) -> Value {
    let rows: Vec<Value> = ranking.rows.iter().enumerate().map(|(i, row)| row_json(study, i, row)).collect();
    let near = |value: &NearbyValue| match value {
        NearbyValue::Found(value) => json!({ "value": value, "unit": how.keep_low.unit() }),
        NearbyValue::Unknown(why) => json!({ "unknown": why }),
    };
    let axis = |axis: &StudyAxis, decided: bool| json!({ "name": axis.name, "key": axis.key, "unit": axis.unit, "decided": decided });
    let decided = study.decided.iter().map(|one| axis(one, true));
    let axes: Vec<Value> = decided.chain(study.flown.iter().map(|one| axis(one, false))).collect();
    let nearby: Vec<Value> = ranking
        .nearby
        .iter()
        .map(|n| json!({ "name": n.name, "unit": n.unit, "step": n.step, "lower": near(&n.values[0]), "higher": near(&n.values[1]) }))
        .collect();
    let left_out: Vec<Value> = ranking
        .left_out
        .iter()
        .map(|(k, reason)| json!({ "condition": study.condition_words(*k), "reason": reason }))
        .collect();
    let odd_even = ranking.odd_even.as_ref().map(|told| {
        let counts: Vec<Value> = told
            .counts
            .iter()
            .map(|c| {
                json!({ "blade_count": c.blade_count, "value": c.value, "thrust_np_n": c.thrust_n, "bending_np_n_m": c.bending_n_m })
            })
            .collect();
        json!({ "sentence": told.sentence, "counts": counts })
    });
    json!({
        "keep_low": how.keep_low.key(),
        "unit": how.keep_low.unit(),
        "phases": how.phases.key(),
        "further_propellers": study.further,
        "propellers": study.propellers_in_words(how),
        "trimmed": study.trimmed,
        "axes": axes,
        "rows": rows,
        "left_out": left_out,
        "winner_nearby": nearby,
        "odd_even": odd_even,
        "limits_without_figure": ranking.idle_limits,
        "caution": CAUTION,
    })
}

fn row_json(study: &Study, place: usize, row: &Row) -> Value {
    let candidate = &study.candidates[row.candidate];
    let settings: serde_json::Map<String, Value> = study
        .decided
        .iter()
        .zip(&candidate.subscripts)
        .map(|(axis, i)| {
            // A whole number stays one, a number is one, anything else is a text.
            let text = &axis.texts[*i];
            let value = match (text.parse::<i64>(), axis.numbers.get(*i)) {
                (Ok(whole), Some(_)) => json!(whole),
                (_, Some(number)) => json!(number),
                _ => json!(text),
            };
            (axis.name.clone(), value)
        })
        .collect();
    let clearances: serde_json::Map<String, Value> = wakebeat_engine::study::Limits::CLEARANCES
        .into_iter()
        .zip(row.costs.clearance_m)
        .map(|(name, clearance)| (name.to_owned(), json!(clearance)))
        .collect();
    json!({
        "rank": place + 1,
        "settings": settings,
        "allowed": row.allowed,
        "value": row.value,
        "condition": study.condition_words(row.condition),
        "efficiency_loss": row.costs.efficiency_loss,
        "pitching_moment_n_m": row.costs.pitching_moment_n_m,
        "tip_mach": row.costs.tip_mach,
        "clearances": clearances,
        "pareto": row.pareto,
        "reason": row.reason,
    })
}

/// Whether a path is that of a folder, or can only be one.
fn names_folder(path: &Path) -> bool {
    path.is_dir() || path.to_string_lossy().ends_with(std::path::is_separator)
}

/// Writes a candidate as a case of its own, with the files it reads beside it; flown keys keep the values of the study's case.
fn write_case(
    record: &SweepRecord,
    study: &Study,
    candidate: &Candidate,
    label: &str,
    sets: &[String],
    target: &Path,
) -> Result<(), Failure> {
    let mut all = sets.to_vec();
    let grid_sets = record.grid.sets(candidate.points[0]);
    let decided: Vec<usize> = study
        .decided
        .iter()
        .filter_map(|axis| record.grid.axis(&axis.key))
        .map(|axis| axis.dimension)
        .collect();
    let of_decided =
        record.grid.axes.iter().zip(grid_sets).filter(|(axis, _)| decided.contains(&axis.dimension));
    all.extend(of_decided.map(|(_, set)| set));
    let case = record.case(label, &all)?;
    let folder = target.parent().unwrap_or(Path::new(""));
    let mut files = vec![(target.to_path_buf(), case.point_toml())];
    files.extend(case.inputs.iter().map(|input| (folder.join(&input.path), input.text.clone())));
    let taken: Vec<_> = files
        .iter()
        .enumerate()
        // An input that is there already with the same text is as good.
        .filter(|(i, (path, text))| {
            path.exists() && (*i == 0 || fs::read_to_string(path).ok().as_ref() != Some(text))
        })
        .map(|(_, (path, _))| path.clone())
        .collect();
    if !taken.is_empty() {
        return Err(Failure::ChoiceExists(taken));
    }
    for (path, text) in files {
        let failed = |source| Failure::Write { path: path.clone(), source };
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).map_err(failed)?;
        }
        fs::write(&path, text).map_err(failed)?;
    }
    Ok(())
}
