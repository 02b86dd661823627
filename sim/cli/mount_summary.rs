//! What `mount` says: one screen of text, or JSON.

use std::f64::consts::TAU;
use std::path::Path;

use serde_json::{Value, json};
use wakebeat_engine::case::{Case, Origin};
use wakebeat_engine::mount::avoid::{Band, Reason};
use wakebeat_engine::mount::flown::Tie;
use wakebeat_engine::mount::input::{Base, Mount};
use wakebeat_engine::mount::scan::ModeLine;
use wakebeat_engine::mount::shaking::{Channel, Shaking};
use wakebeat_engine::mount::study::MountResult;
use wakebeat_engine::point::result::Warning;

use crate::numbers::significant;
use crate::output::wrapped;
use crate::table;

/// What the numbers are good for; one line.
const CAUTION: &str = "Design-study estimate of vibration: linear isolators, rigid powerplant, no turbulence; rules, tests and licensed \
                       practice decide.";

/// A mount's answer with the case it belongs to and the file it went to.
pub struct MountSummary<'a> {
    /// The case.
    pub case: &'a Case,
    /// The mount of the case.
    pub mount: &'a Mount,
    /// The answer.
    pub result: &'a MountResult,
    /// What to look at twice.
    pub warnings: &'a [Warning],
    /// The result file.
    pub file: &'a Path,
}

impl MountSummary<'_> {
    /// One screen of text.
    pub fn text(&self) -> String {
        let mut lines = Vec::new();
        if !self.case.title.is_empty() {
            lines.push(self.case.title.clone());
        }
        lines.push(self.plant_line());
        lines.extend(self.estimate_line());
        lines.push(String::new());
        lines.push(self.mode_table());
        lines.push(String::new());
        lines.push(self.response_table());
        lines.push(String::new());
        lines.extend(self.sensor_table().into_iter().flat_map(|table| [table, String::new()]));
        lines.extend(self.band_table());
        lines.push(String::new());
        lines.extend(self.angle_line());
        lines.extend(self.blade_line());
        lines.extend(self.whirl_lines());
        lines.extend(self.warnings.iter().map(|w| wrapped("warning: ", &w.text)));
        lines.push(format!("result file: {}", self.file.display()));
        lines.push(wrapped("", CAUTION));
        lines.join("\n")
    }

    /// What must not be missed beside spectra and limit loads: speeds to avoid, what stiff blades leave out, whirl, warnings.
    pub fn short_text(&self) -> String {
        let mut lines = Vec::new();
        if !self.case.title.is_empty() {
            lines.push(self.case.title.clone());
        }
        lines.extend([self.plant_line(), String::new()]);
        lines.extend(self.band_table());
        lines.push(String::new());
        lines.extend(self.blade_line());
        lines.extend(self.whirl_lines().into_iter().take(1));
        lines.extend(self.warnings.iter().map(|w| wrapped("warning: ", &w.text)));
        lines.push(format!("result file, with modes and vibration by isolator: {}", self.file.display()));
        lines.join("\n")
    }

    fn plant_line(&self) -> String {
        let plant = &self.mount.plant;
        let base = match &self.mount.base {
            Base::Fixed => "an immovable base".to_owned(),
            Base::Free(airframe) => format!("a free airframe of {} kg", figure(airframe.mass_kg)),
        };
        let count = self.mount.isolators.len();
        format!(
            "{:.0} rpm, {} m/s; {} kg of powerplant on {count} isolator{} on {base}",
            rpm(self.result.speed_rad_s),
            figure(self.result.airspeed_m_s),
            figure(plant.mass_kg),
            if count == 1 { "" } else { "s" },
        )
    }

    /// What was not given.
    fn estimate_line(&self) -> Option<String> {
        let told: Vec<String> = self
            .case
            .values
            .iter()
            .filter(|v| v.origin == Origin::Estimated && v.path.starts_with("mount."))
            .map(|v| format!("{} {} {}", v.path.trim_start_matches("mount."), v.value, v.unit))
            .collect();
        (!told.is_empty()).then(|| wrapped("estimated: ", &told.join(", ")))
    }

    fn mode_table(&self) -> String {
        let rows = self.result.running.iter().map(|mode| {
            vec![
                format!("{:.2}", mode.frequency_hz),
                format!("{:.1}", 100.0 * mode.damping_ratio),
                per_speed(mode.frequency_hz, self.result.speed_rad_s),
                words(mode),
            ]
        });
        let heading = ["mode, running Hz", "damping %", "over 1P", "what moves"].map(str::to_owned).to_vec();
        table::plain(heading, rows.collect(), 0..3)
    }

    /// Amplitudes at 1P and multiples of NP.
    fn response_table(&self) -> String {
        let shaking = &self.result.shaking;
        let blades = self.result.point.blade_count;
        let mut orders = vec![1, blades, 2 * blades];
        orders.retain(|n| *n < shaking.orders());
        orders.dedup();
        let mut heading =
            vec!["vibration, unbalance in its worst direction".to_owned(), "unit".into(), "mean".into()];
        heading.extend(orders.iter().map(|n| format!("{n}P")));
        heading.push("rms".into());
        let row = |name: &str, unit: &str, channels: &[Channel], scale: f64| {
            let size = |n: usize| {
                scale * channels.iter().map(|c| shaking.amplitude(*c, n).powi(2)).sum::<f64>().sqrt()
            };
            let mut cells = vec![name.to_owned(), unit.to_owned(), figure(size(0))];
            cells.extend(orders.iter().map(|n| figure(size(*n))));
            cells.push(figure(scale * shaking.rms_of(channels.iter().copied())));
            cells
        };
        let mut rows = vec![
            row("force on the airframe", "N", &[0, 1, 2].map(Channel::Transmitted), 1.0),
            row("moment on the airframe", "N m", &[3, 4, 5].map(Channel::Transmitted), 1.0),
            row("torque on the propeller", "N m", &[Channel::Torque], 1.0),
            row("torque of the motor", "N m", &[Channel::MotorTorque], 1.0),
            row("motion of the hub on the airframe", "mm", &[0, 1, 2].map(Channel::Hub), 1e3),
        ];
        for (i, isolator) in self.mount.isolators.iter().enumerate() {
            let channels = [0, 1, 2].map(|axis| Channel::Isolator(i, axis));
            rows.push(row(&format!("force on isolator {}", isolator.name), "N", &channels, 1.0));
        }
        let last = heading.len();
        table::plain(heading, rows, 2..last)
    }

    fn sensor_table(&self) -> Option<String> {
        if self.mount.sensors.is_empty() {
            return None;
        }
        let rows = self.mount.sensors.iter().enumerate().map(|(i, sensor)| {
            let felt = self.result.shaking.sensor_rms_m_s2(i);
            let (limit, verdict) = match sensor.limit_rms_m_s2 {
                Some(limit) => {
                    (figure(limit), if felt > limit { "above its limit" } else { "within its limit" })
                }
                None => ("none".to_owned(), ""),
            };
            vec![sensor.name.clone(), figure(felt), limit, verdict.to_owned()]
        });
        let heading = ["sensor", "rms m/s2", "limit m/s2", ""].map(str::to_owned).to_vec();
        Some(table::plain(heading, rows.collect(), 1..3))
    }

    fn band_table(&self) -> Vec<String> {
        let speeds = &self.result.speeds;
        let (Some(first), Some(last)) = (speeds.first(), speeds.last()) else { return Vec::new() };
        let range = format!("{:.0} to {:.0} rpm", rpm(first.speed_rad_s), rpm(last.speed_rad_s));
        if self.result.bands.is_empty() {
            return vec![format!("no speeds to avoid from {range}")];
        }
        let flown = &self.result.flown;
        let airspeeds = |band: &Band| match flown.within(band.from_rad_s, band.to_rad_s).as_slice() {
            [] if flown.tie == Tie::Trim => "not in trimmed flight".to_owned(),
            [] => "not at this J".to_owned(),
            ranges => {
                let told: Vec<String> = ranges.iter().map(|(a, b)| format!("{a:.1} to {b:.1}")).collect();
                told.join(", ")
            }
        };
        let rows = self.result.bands.iter().map(|band| {
            vec![
                format!("{:.0} to {:.0}", rpm(band.from_rad_s), rpm(band.to_rad_s)),
                airspeeds(band),
                self.measure(band),
                band.cause.clone(),
            ]
        });
        let heading = ["speeds to avoid, rpm", "airspeed m/s", "worst", "cause"].map(str::to_owned).to_vec();
        vec![table::plain(heading, rows.collect(), 0..2), self.flown_line(&range)]
    }

    /// What was looked through, and what ties airspeeds to it.
    fn flown_line(&self, range: &str) -> String {
        let flown = &self.result.flown;
        match (flown.tie, flown.pairs.first(), flown.pairs.last()) {
            (Tie::Trim, Some(first), Some(last)) => {
                format!(
                    "looked through {range}; airspeeds of trimmed flight from {:.1} to {:.1} m/s",
                    first.0, last.0
                )
            }
            _ => format!("looked through {range}; airspeeds at the advance ratio J of the case"),
        }
    }

    fn measure(&self, band: &Band) -> String {
        match band.reason {
            Reason::Force => format!("{} N rms on airframe", figure(band.worst)),
            Reason::Sensor(i) => {
                let name = self.mount.sensors.get(i).map_or("", |s| &s.name);
                format!("{} m/s2 rms at {name}", figure(band.worst))
            }
            Reason::Instability => format!("grows by {} 1/s", figure(band.worst)),
        }
    }

    /// The angle of attack at which the airframe is shaken most.
    fn angle_line(&self) -> Option<String> {
        let force = |s: &Shaking| s.transmitted_rms_n();
        let solved =
            self.result.angles.iter().filter_map(|a| a.shaking.as_ref().map(|s| (a.angle_rad, force(s))));
        let (angle, value) = solved.max_by(|a, b| a.1.total_cmp(&b.1))?;
        let span = (self.result.angles.first()?.angle_rad, self.result.angles.last()?.angle_rad);
        Some(format!(
            "worst angle of attack from {:.1} to {:.1} deg: {:.1} deg, {} N rms on the airframe",
            span.0.to_degrees(),
            span.1.to_degrees(),
            angle.to_degrees(),
            figure(value)
        ))
    }

    /// The first flap mode of a blade and what flapping does to NP thrust, for scripts.
    fn flapping(&self) -> Value {
        let flap = &self.result.flapping;
        let first = flap.modes.first();
        json!({
            "blade_material": self.mount.blade_material.words,
            "frequency_hz": first.map(|mode| mode.beam.frequency_rad_s / TAU),
            "damping_ratio": first.map(|mode| mode.damping_ratio()),
            "thrust_np_over_that_of_stiff_blades": self.flapping_ratio(),
            "all_other_figures_are_of": "stiff blades",
        })
    }

    /// NP thrust of flapping over that of stiff blades.
    fn flapping_ratio(&self) -> Option<f64> {
        let flap = &self.result.flapping;
        let blades = self.result.point.blade_count;
        Some(flap.thrust_n.get(blades)?.norm() / flap.stiff_thrust_n.get(blades)?.norm().max(1e-300))
    }

    /// The first flap mode of a blade, and what flapping does to NP thrust.
    fn blade_line(&self) -> Option<String> {
        let flap = &self.result.flapping;
        let first = flap.modes.first()?;
        let blades = self.result.point.blade_count;
        let ratio = self.flapping_ratio()?;
        let hz = first.beam.frequency_rad_s / TAU;
        Some(wrapped(
            "",
            &format!(
                "blades of {} flap at {hz:.1} Hz, {} per revolution, damping {} %; flapping makes {blades}P thrust {} times that of stiff \
                 blades, which the figures above are for",
                self.mount.blade_material.words,
                per_speed(hz, self.result.speed_rad_s),
                figure(100.0 * first.damping_ratio()),
                figure(ratio)
            ),
        ))
    }

    fn whirl_lines(&self) -> Vec<String> {
        let whirl = &self.result.whirl;
        let told = |critical: f64| match critical {
            0.0 => "never".to_owned(),
            c if c < 1.0 => format!("at {} of the stiffness", figure(c)),
            c => format!("UNSTABLE, stable from {} times the stiffness on", figure(c)),
        };
        vec![
            wrapped(
                "",
                &format!(
                    "whirl on an immovable base with softer isolators: loaded propeller {}, zero-lift theory {}",
                    told(whirl.critical_loaded),
                    told(whirl.critical_classical)
                ),
            ),
            format!(
                "normal force per rad of incidence: {} N loaded, {} N at zero lift",
                figure(whirl.loaded.normal_force_slope_n_per_rad()),
                figure(whirl.classical.normal_force_slope_n_per_rad())
            ),
        ]
    }

    /// The figures of the text, units in the keys.
    pub fn json(&self) -> Value {
        let result = self.result;
        let mode = |m: &ModeLine| json!({ "frequency_hz": m.frequency_hz, "damping_ratio": m.damping_ratio, "whirl": m.whirl, "motion": m.words });
        let isolators: Vec<Value> = (self.mount.isolators.iter().enumerate())
            .map(|(i, isolator)| {
                let rms = [0, 1, 2].map(|axis| result.shaking.rms(Channel::Isolator(i, axis)));
                let mean = [0, 1, 2].map(|axis| result.shaking.amplitude(Channel::Isolator(i, axis), 0));
                json!({ "name": isolator.name, "mean_n": mean, "rms_n": rms })
            })
            .collect();
        let sensors: Vec<Value> = (self.mount.sensors.iter().enumerate())
            .map(|(i, s)| json!({ "name": s.name, "rms_m_s2": result.shaking.sensor_rms_m_s2(i), "limit_rms_m_s2": s.limit_rms_m_s2 }))
            .collect();
        let bands: Vec<Value> = (result.bands.iter())
            .map(|b| {
                json!({ "from_rpm": rpm(b.from_rad_s), "to_rpm": rpm(b.to_rad_s), "worst_rpm": rpm(b.worst_rad_s),
                    "worst": self.measure(b), "cause": b.cause })
            })
            .collect();
        json!({
            "title": self.case.title,
            "file": self.file.display().to_string(),
            "speed_rpm": rpm(result.speed_rad_s),
            "modes_at_rest": result.at_rest.iter().map(mode).collect::<Vec<_>>(),
            "modes_running": result.running.iter().map(mode).collect::<Vec<_>>(),
            "transmitted_rms_n": result.shaking.transmitted_rms_n(),
            "isolators": isolators,
            "sensors": sensors,
            "speeds_to_avoid": bands,
            "whirl": {
                "critical_stiffness_ratio_loaded": result.whirl.critical_loaded,
                "critical_stiffness_ratio_classical": result.whirl.critical_classical,
                "judged_on": "an immovable base",
            },
            "tip_motion_m": { "along": result.tip_motion_m.0, "across": result.tip_motion_m.1 },
            "clearance_m": result.clearance_m,
            "flapping": self.flapping(),
            "caution": CAUTION,
        })
    }
}

fn rpm(speed_rad_s: f64) -> f64 {
    speed_rad_s * 60.0 / TAU
}

fn figure(value: f64) -> String {
    significant(value, 3)
}

fn per_speed(frequency_hz: f64, speed_rad_s: f64) -> String {
    if speed_rad_s > 0.0 { format!("{:.2}", frequency_hz * TAU / speed_rad_s) } else { String::new() }
}

/// The sense of circling where there is one.
fn words(mode: &ModeLine) -> String {
    let turns = mode.words.contains("pitch") || mode.words.contains("yaw");
    match mode.whirl {
        w if turns && w > 0.3 => format!("{}, circling forward", mode.words),
        w if turns && w < -0.3 => format!("{}, circling backward", mode.words),
        _ => mode.words.clone(),
    }
}
