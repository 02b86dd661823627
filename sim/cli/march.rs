//! `wakebeat march`: a schedule in time, mount in the loop.

use std::path::Path;

use serde_json::{Value, json};
use wakebeat_engine::case::Case;
use wakebeat_engine::march::run::{Channel, Told, channels, march as run, orders};
use wakebeat_engine::record::{self, MarchFile, MarchHead};

use crate::args::MarchArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::numbers::significant;
use crate::output::Output;
use crate::table;
use crate::target::{check_target, default_output};

const CAUTION: &str = "Design-study estimate of vibration: linear isolators, rigid powerplant; rules, tests and licensed practice decide.";

/// The largest value a channel reached, and when.
#[derive(Clone, Copy, Default)]
struct Most {
    value: f64,
    time_s: f64,
    rpm: f64,
}

/// Reads the case, marches, writes the result file as it goes, prints what was largest and when. Ctrl-C ends the march after the
/// revolution in hand; the file then holds what was marched.
///
/// # Errors
/// When the case is bad or has no schedule or mount, a state has no answer, or the file cannot be written; then nothing is left.
pub fn march(args: &MarchArgs, output: Output) -> Result<(), Failure> {
    interrupt::install_streaming()?;
    let case_path = &args.case.case;
    let case = load(&args.case)?;
    let Some(mount) = &case.mount else { return Err(Failure::NothingToMarch { file: case.file }) };
    let Some(schedule) = &case.schedule else { return Err(Failure::NoSchedule { file: case.file }) };
    let target = args.output.clone().unwrap_or_else(|| default_output(case_path));
    check_target(&target, args.force, case_path, &case)?;
    let told = channels(mount);
    let mut file = None;
    let mut most = vec![Most::default(); told.len()];
    let mut revolutions = 0;
    let (start, end) = schedule.span_s();
    let mut next_s = 0.1 * end;
    let ended = run(&case.point, mount, schedule, |revolution: &Told| -> Result<(), Failure> {
        revolutions = revolution.number;
        for (most, peak) in most.iter_mut().zip(&revolution.peak) {
            if *peak > most.value {
                let rpm = revolution.row.speed_rad_s * 60.0 / std::f64::consts::TAU;
                *most = Most { value: *peak, time_s: revolution.time_s, rpm };
            }
        }
        if revolution.time_s >= next_s {
            output.hint(&format!("{:.1} of {end} s", revolution.time_s));
            next_s += 0.1 * end;
        }
        let create = || MarchFile::create(&target, head(&case, told.clone()), args.force);
        match &mut file {
            Some(file) => file,
            None => file.insert(interrupt::begin_stream(create)?),
        }
        .take(revolution)?;
        if interrupt::is_stream_to_end() {
            let (time_s, path) = (revolution.time_s, target.clone());
            return Err(Failure::MarchInterrupted { revolutions, time_s, end_s: end, path });
        }
        Ok(())
    });
    if let Err(failure) = &ended
        && !failure.is_interrupt()
    {
        return ended;
    }
    let Some(file) = file else {
        return Err(Failure::NothingMarched { file: case.file, length_s: end - start });
    };
    file.finish()?;
    ended?;
    output.answer(
        || text(&case, &told, &most, revolutions, &target),
        || answer_json(&case, &told, &most, revolutions, &target),
    )
}

fn head(case: &Case, channels: Vec<Channel>) -> MarchHead {
    MarchHead {
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        created_utc: record::now_utc(),
        channels,
        orders: orders(&case.point),
    }
}

fn text(case: &Case, channels: &[Channel], most: &[Most], revolutions: usize, file: &Path) -> String {
    let mut lines = Vec::new();
    if !case.title.is_empty() {
        lines.push(case.title.clone());
    }
    lines.push(format!("{revolutions} revolutions marched"));
    lines.push(String::new());
    let rows = channels.iter().zip(most).map(|(channel, most)| {
        vec![
            channel.name.clone(),
            channel.unit.to_owned(),
            significant(most.value, 4),
            format!("{:.3}", most.time_s),
            format!("{:.0}", most.rpm),
        ]
    });
    let heading = ["largest", "unit", "value", "at s", "at rpm"].map(str::to_owned).to_vec();
    lines.push(table::plain(heading, rows.collect(), 2..5));
    lines.push(String::new());
    lines.push(format!("result file: {}", file.display()));
    lines.push(CAUTION.to_owned());
    lines.join("\n")
}

fn answer_json(case: &Case, channels: &[Channel], most: &[Most], revolutions: usize, file: &Path) -> Value {
    let largest: Vec<Value> = channels
        .iter()
        .zip(most)
        .map(|(c, m)| json!({ "channel": c.name, "unit": c.unit, "value": m.value, "time_s": m.time_s, "speed_rpm": m.rpm }))
        .collect();
    json!({
        "title": case.title,
        "file": file.display().to_string(),
        "revolutions": revolutions,
        "largest": largest,
        "caution": CAUTION,
    })
}
