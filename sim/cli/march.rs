//! `wakebeat march`: a schedule in time, mount in the loop.

use std::path::Path;

use serde_json::{Value, json};
use wakebeat_engine::case::Case;
use wakebeat_engine::march::run::{Channel, March, Told, channels, orders};
use wakebeat_engine::mount::input::{Mount, Sensor};
use wakebeat_engine::point::result::Warning;
use wakebeat_engine::record::{self, MarchFile, MarchHead};

use crate::args::MarchArgs;
use crate::failure::Failure;
use crate::interrupt;
use crate::load::load;
use crate::numbers::{given, significant};
use crate::output::{Output, warnings_json, wrapped};
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
    let march = March::new(&case.point, mount, schedule)?;
    let warnings: Vec<Warning> = march.warnings().iter().map(|(time_s, w)| at_time(*time_s, w)).collect();
    let mut sensors = Sensors::new(mount);
    let ended = march.run(|revolution: &Told| -> Result<(), Failure> {
        revolutions = revolution.number;
        sensors.feel(&told, revolution);
        for (most, peak) in most.iter_mut().zip(&revolution.peak) {
            most.take(*peak, revolution);
        }
        if revolution.time_s >= next_s {
            output.hint(&format!("{:.1} of {end} s", revolution.time_s));
            next_s += 0.1 * end;
        }
        let create = || MarchFile::create(&target, head(&case, told.clone(), warnings.clone()), args.force);
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
    let warnings = [warnings, sensors.past_limits()].concat();
    let answer = Answer { case: &case, channels: &told, most: &most, revolutions, warnings, file: &target };
    output.answer(|| answer.text(), || answer.json())
}

/// A warning of a state along the schedule.
fn at_time(time_s: f64, warning: &Warning) -> Warning {
    Warning { name: warning.name, text: format!("from {time_s:.2} s on: {}", warning.text) }
}

/// The most that each sensor felt in a revolution.
struct Sensors<'a> {
    mount: &'a Mount,
    most: Vec<Most>,
}

impl<'a> Sensors<'a> {
    fn new(mount: &'a Mount) -> Self {
        Self { mount, most: vec![Most::default(); mount.sensors.len()] }
    }

    /// Root mean square over a revolution, all axes, the mean left out.
    fn feel(&mut self, channels: &[Channel], revolution: &Told) {
        for (sensor, most) in self.mount.sensors.iter().zip(&mut self.most) {
            let axes = ["x", "y", "z"].map(|axis| format!("{}_{axis}_m_s2", sensor.name));
            let felt = channels.iter().zip(&revolution.amplitude).filter(|(c, _)| axes.contains(&c.name));
            let squares: f64 = felt.flat_map(|(_, a)| a.iter().skip(1)).map(|a| 0.5 * a * a).sum();
            most.take(squares.sqrt(), revolution);
        }
    }

    fn past_limits(&self) -> Vec<Warning> {
        let told = |(sensor, most): (&Sensor, &Most)| {
            let limit = sensor.limit_rms_m_s2.filter(|limit| most.value > *limit)?;
            let text = format!(
                "sensor `{}` feels {} m/s2 rms at {:.2} s and {:.0} rpm, above its limit of {} m/s2",
                sensor.name,
                significant(most.value, 3),
                most.time_s,
                most.rpm,
                given(limit)
            );
            Some(Warning { name: "sensor_limit", text })
        };
        self.mount.sensors.iter().zip(&self.most).filter_map(told).collect()
    }
}

impl Most {
    fn take(&mut self, value: f64, revolution: &Told) {
        if value > self.value {
            let rpm = revolution.row.speed_rad_s * 60.0 / std::f64::consts::TAU;
            *self = Self { value, time_s: revolution.time_s, rpm };
        }
    }
}

fn head(case: &Case, channels: Vec<Channel>, warnings: Vec<Warning>) -> MarchHead {
    MarchHead {
        case_toml: case.resolved_toml(),
        inputs: case.inputs.iter().map(|input| (input.path.clone(), input.text.clone())).collect(),
        program_version: env!("CARGO_PKG_VERSION").to_owned(),
        created_utc: record::now_utc(),
        channels,
        orders: orders(&case.point),
        warnings,
    }
}

/// Everything there is to say.
struct Answer<'a> {
    case: &'a Case,
    channels: &'a [Channel],
    most: &'a [Most],
    revolutions: usize,
    warnings: Vec<Warning>,
    file: &'a Path,
}

impl Answer<'_> {
    fn text(&self) -> String {
        let mut lines = Vec::new();
        if !self.case.title.is_empty() {
            lines.push(self.case.title.clone());
        }
        lines.push(format!("{} revolutions marched", self.revolutions));
        lines.push(String::new());
        let rows = self.channels.iter().zip(self.most).map(|(channel, most)| {
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
        lines.extend(self.warnings.iter().map(|w| wrapped("warning: ", &w.text)));
        lines.push(format!("result file: {}", self.file.display()));
        lines.push(CAUTION.to_owned());
        lines.join("\n")
    }

    fn json(&self) -> Value {
        let largest: Vec<Value> = self
            .channels
            .iter()
            .zip(self.most)
            .map(|(c, m)| json!({ "channel": c.name, "unit": c.unit, "value": m.value, "time_s": m.time_s, "speed_rpm": m.rpm }))
            .collect();
        json!({
            "title": self.case.title,
            "file": self.file.display().to_string(),
            "revolutions": self.revolutions,
            "largest": largest,
            "warnings": warnings_json(&self.warnings),
            "caution": CAUTION,
        })
    }
}
