//! The argument of a motor mount: what reaches the airframe, which speeds to keep away from, spectra and limit loads.

use std::f64::consts::TAU;

use maud::{Markup, html};
use wakebeat_engine::case::{Case, Origin};
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::record::FieldRecord;

use super::plot::{Axis, Plot, colour, with_unit};
use super::table::{Cell, Column, figure, table};
use super::{Section, cautions, geometry, prose, run, sizing};
use crate::PlotError;
use crate::flown::mount_as_flown;
use crate::pictures::number::short;
use crate::sizing::{SizingData, read};

/// An amplitude this much below the largest of its kind is round-off.
const ROUND_OFF: f64 = 1e-9;

/// A mount as the file holds it.
struct Mount<'a> {
    record: &'a FieldRecord,
    case: &'a Case,
    /// The point with what trim has found.
    flown: OperatingPoint,
    id: &'a str,
    blades: usize,
    sizing: SizingData,
}

/// The section of a mount.
pub(super) fn section(record: &FieldRecord, case: &Case, id: &str) -> Result<Section, PlotError> {
    let mount = Mount {
        record,
        case,
        flown: mount_as_flown(record, &case.point),
        id,
        blades: case.point.propeller.blade_count.max(1),
        sizing: read(record),
    };
    let shakes = case.mount.is_some();
    let mut cautions = vec![cautions::VIBRATION, cautions::AIRLOADS];
    if mount.sizing.duty.is_some() || mount.sizing.limit.is_some() {
        cautions.push(crate::sizing::tables::CAUTION);
    }
    Ok(Section {
        asked: html! {
            (run::asked(case, &mount.flown))
            @if shakes { p { (mount.plant()) } }
            (geometry::views(&mount.flown)?)
        },
        answer: html! {
            @if shakes { (mount.sentence()) (mount.transmitted()) (mount.isolators()) (mount.sensors()) }
            (sizing::answer(&mount.sizing))
        },
        why: html! {
            @if shakes {
                (mount.modes())
                div.figures { (mount.against_speed()) (mount.frequencies()) }
            }
            (sizing::why(&mount.sizing))
        },
        sure: mount.sure(),
        avoid: shakes.then(|| mount.avoid()),
        costs: Some(mount.costs()),
        cautions,
    })
}

impl Mount<'_> {
    fn numbers(&self, name: &str) -> &[f64] {
        self.record.numbers(&format!("mount/{name}"))
    }

    fn texts(&self, name: &str) -> &[String] {
        self.record.texts(&format!("mount/{name}"))
    }

    fn scalar(&self, name: &str) -> f64 {
        self.numbers(name).first().copied().unwrap_or(f64::NAN)
    }

    fn rpm(&self) -> f64 {
        self.flown.propeller.speed_rad_s * 60.0 / TAU
    }

    fn plant(&self) -> String {
        let Some(mount) = &self.case.mount else { return String::new() };
        format!(
            "{} kg of powerplant on {} isolators: what reaches the airframe at {:.0} rpm, and at which speeds is it worse?",
            short(mount.plant.mass_kg),
            mount.isolators.len(),
            self.rpm()
        )
    }

    fn sentence(&self) -> Markup {
        let bands = self.numbers("bands/from_rpm").len();
        html! {
            p.answer {
                "At " (format!("{:.0}", self.rpm())) " rpm " strong { (short(self.scalar("response/transmitted_rms_n"))) " N rms" }
                " reach the airframe, without the mean and with the unbalance in its worst direction; "
                @match bands {
                    0 => "no speed looked through needs to be avoided.",
                    1 => "one band of speeds is to be avoided.",
                    n => { (n) " bands of speeds are to be avoided." },
                }
            }
        }
    }

    fn orders(&self) -> usize {
        self.record.numbers("order").len()
    }

    /// Value of a block (rows, orders) at a row and an order.
    fn at(&self, name: &str, row: usize, order: usize) -> f64 {
        let orders = self.orders();
        if order >= orders {
            return f64::NAN;
        }
        self.numbers(&format!("response/{name}")).get(row * orders + order).copied().unwrap_or(f64::NAN)
    }

    /// Mean, unbalance at 1P, and airloads at 1P, NP, 2NP of some rows.
    fn amplitudes(&self, caption: &str, rows: &[(String, &str, &str, usize)]) -> Markup {
        let mut orders = vec![1, self.blades, 2 * self.blades];
        orders.dedup();
        let mut columns = vec![Column::new("load", ""), Column::new("unit", ""), Column::new("mean", "")];
        columns.push(Column::new("1P, unbalance alone", ""));
        columns.extend(orders.iter().map(|n| Column::new(format!("{n}P, airloads"), "")));
        // Round-off is shown as none: like blades pass nothing at orders between the multiples of their count.
        let size = |unit: &str| {
            let alike = rows.iter().filter(|(_, _, own, _)| *own == unit);
            let values =
                alike.flat_map(|(_, name, _, row)| (0..self.orders()).map(|n| self.at(name, *row, n).abs()));
            values.filter(|v| v.is_finite()).fold(0.0, f64::max)
        };
        let cells = |(words, name, unit, row): &(String, &str, &str, usize)| {
            let least = ROUND_OFF * size(unit);
            let clean = |value: f64| Cell::Figure(if value.abs() <= least { 0.0 } else { value });
            let suffix = if *unit == "N m" { "_n_m" } else { "_n" };
            let stem = name.strip_suffix(suffix).unwrap_or(name);
            let mut cells = vec![Cell::text(words), Cell::text(*unit), clean(self.at(name, *row, 0))];
            cells.push(clean(self.at(&format!("{stem}_unbalance{suffix}"), *row, 1)));
            cells.extend(orders.iter().map(|n| clean(self.at(name, *row, *n))));
            cells
        };
        table(caption, &columns, &rows.iter().map(cells).collect::<Vec<_>>())
    }

    fn transmitted(&self) -> Markup {
        let axes = ["x, aft", "y, starboard", "z, up"];
        let force =
            axes.iter().enumerate().map(|(i, a)| (format!("force along {a}"), "transmitted_force_n", "N", i));
        let moment = axes
            .iter()
            .enumerate()
            .map(|(i, a)| (format!("moment about {a}"), "transmitted_moment_n_m", "N m", i));
        let rows: Vec<_> = force.chain(moment).collect();
        self.amplitudes(
            "Force and moment on the airframe, shaft axes about the hub, amplitudes (single-sided peaks)",
            &rows,
        )
    }

    fn isolators(&self) -> Markup {
        let axes = ["first", "second", "third"];
        let rows: Vec<_> = self
            .texts("response/isolator_name")
            .iter()
            .enumerate()
            .flat_map(|(i, name)| {
                axes.iter().enumerate().map(move |(axis, words)| {
                    (format!("{name}, {words} axis"), "isolator_force_n", "N", 3 * i + axis)
                })
            })
            .collect();
        self.amplitudes("Forces on the isolators along their own axes", &rows)
    }

    fn sensors(&self) -> Markup {
        let names = self.texts("response/sensor_name");
        if names.is_empty() {
            return html! {};
        }
        let (felt, limits) =
            (self.numbers("response/sensor_rms_m_s2"), self.numbers("response/sensor_limit_rms_m_s2"));
        let columns = [
            Column::new("sensor", ""),
            Column::new("acceleration, rms", "m/s²"),
            Column::new("limit", "m/s²"),
            Column::new("verdict", ""),
        ];
        let rows: Vec<Vec<Cell>> = names
            .iter()
            .enumerate()
            .map(|(i, name)| {
                let value = |all: &[f64]| all.get(i).copied().unwrap_or(f64::NAN);
                let (felt, limit) = (value(felt), value(limits));
                let verdict = match limit {
                    limit if limit.is_nan() => "no limit given",
                    limit if felt > limit => "above its limit",
                    _ => "within its limit",
                };
                vec![Cell::text(name), Cell::Figure(felt), Cell::Figure(limit), Cell::text(verdict)]
            })
            .collect();
        table("Sensors", &columns, &rows)
    }

    fn modes(&self) -> Markup {
        let columns = [
            Column::new("mode, running", "Hz"),
            Column::new("damping ratio", "%"),
            Column::new("over 1P", "1"),
            Column::new("what moves", ""),
        ];
        let damping = self.numbers("modes/running/damping_ratio");
        let motion = self.texts("modes/running/motion");
        let rows: Vec<Vec<Cell>> = self
            .numbers("modes/running/frequency_hz")
            .iter()
            .enumerate()
            .map(|(i, hz)| {
                vec![
                    Cell::Figure(*hz),
                    Cell::Figure(100.0 * damping.get(i).copied().unwrap_or(f64::NAN)),
                    Cell::Figure(hz * 60.0 / self.rpm()),
                    Cell::text(motion.get(i).cloned().unwrap_or_default()),
                ]
            })
            .collect();
        table("Modes of the powerplant on its isolators", &columns, &rows)
    }

    /// The bands to avoid over a plot, with the speed of the case.
    fn over_speed(&self, plot: &mut Plot, top: f64) {
        let to = self.numbers("bands/to_rpm");
        for (i, from) in self.numbers("bands/from_rpm").iter().enumerate() {
            let to = to.get(i).copied().unwrap_or(*from);
            let cause = self.texts("bands/cause").get(i).cloned().unwrap_or_default();
            plot.band(*from, to, "avoid", &format!("avoid {from:.0} to {to:.0} rpm: {cause}"));
        }
        plot.guide(&[(self.rpm(), 0.0), (self.rpm(), top)], "case");
    }

    fn against_speed(&self) -> Markup {
        let (rpm, force) = (self.numbers("speed/shaft_speed_rpm"), self.numbers("speed/transmitted_rms_n"));
        let (Some(first), Some(last)) = (rpm.first(), rpm.last()) else { return html! {} };
        let top = 1.1 * force.iter().copied().filter(|v| v.is_finite()).fold(1e-12, f64::max);
        let title = "Force on the airframe against shaft speed";
        let about = format!(
            "{title}, {first:.0} to {last:.0} rpm, at the airspeed of the case, speeds to avoid marked"
        );
        let mut plot = Plot::new(
            title,
            about,
            Axis::new("shaft speed, rpm", *first, *last),
            Axis::new("force, N rms", 0.0, top),
        );
        self.over_speed(&mut plot, top);
        let points: Vec<(f64, f64)> = rpm.iter().copied().zip(force.iter().copied()).collect();
        plot.line(&points, "c1", |x, y| format!("{x:.0} rpm: {} N rms", short(y)));
        plot.key("c1", "force, rms");
        plot.key("avoid", "speeds to avoid");
        plot.key("case", "speed of the case");
        plot.figure(&format!("{}-speed", self.id))
    }

    fn frequencies(&self) -> Markup {
        let (rpm, hz) = (self.numbers("speed/shaft_speed_rpm"), self.numbers("speed/frequency_hz"));
        let (Some(first), Some(last)) = (rpm.first(), rpm.last()) else { return html! {} };
        let modes = hz.len() / rpm.len().max(1);
        let top = 1.15 * hz.iter().copied().filter(|v| v.is_finite()).fold(1.0, f64::max);
        let title = "Frequencies of the modes against shaft speed";
        let about = format!(
            "{title} with the lines of 1P, {}P and {}P; speeds to avoid marked",
            self.blades,
            2 * self.blades
        );
        let mut plot = Plot::new(
            title,
            about,
            Axis::new("shaft speed, rpm", *first, *last),
            Axis::new("frequency, Hz", 0.0, top),
        );
        self.over_speed(&mut plot, top);
        let mut orders = vec![1, self.blades, 2 * self.blades];
        orders.dedup();
        for order in orders {
            let n = order as f64;
            plot.guide(&[(*first, n * first / 60.0), (*last, n * last / 60.0)], "order");
            // The name stands near the end of the line that is shown.
            let end = (0.96 * last).min(0.93 * 60.0 * top / n);
            if end > *first {
                plot.words((end, n * end / 60.0), &format!("{order}P"));
            }
        }
        for mode in 0..modes {
            let points: Vec<(f64, f64)> =
                rpm.iter().enumerate().map(|(k, x)| (*x, hz[k * modes + mode])).collect();
            plot.line(&points, &colour(mode), |x, y| {
                format!("mode {}, {x:.0} rpm: {} Hz", mode + 1, short(y))
            });
        }
        plot.key("c1", "modes, with air, one colour each");
        plot.key("order", "nP lines");
        plot.figure(&format!("{}-modes", self.id))
    }

    fn avoid(&self) -> Markup {
        let speeds = self.numbers("speed/shaft_speed_rpm");
        let range = match (speeds.first(), speeds.last()) {
            (Some(first), Some(last)) => format!("{first:.0} to {last:.0} rpm"),
            _ => "no speed".to_owned(),
        };
        let from = self.numbers("bands/from_rpm");
        if from.is_empty() {
            return html! { p { "No speeds to avoid: looked through " (range) "." } };
        }
        let by = self.texts("bands/airspeeds_by").first().map_or("", String::as_str);
        let columns = [
            Column::new("from", "rpm"),
            Column::new("to", "rpm"),
            Column::new(format!("from, {by}"), "m/s"),
            Column::new(format!("to, {by}"), "m/s"),
            Column::new("worst", ""),
            Column::new("held against", ""),
            Column::new("what is large there", ""),
            Column::new("cause", ""),
        ];
        let value =
            |name: &str, i: usize| self.numbers(&format!("bands/{name}")).get(i).copied().unwrap_or(f64::NAN);
        let text =
            |name: &str, i: usize| self.texts(&format!("bands/{name}")).get(i).cloned().unwrap_or_default();
        let whole = |v: f64| Cell::shown(v, format!("{v:.0}"));
        let rows: Vec<Vec<Cell>> = (0..from.len())
            .map(|i| {
                vec![
                    whole(from[i]),
                    whole(value("to_rpm", i)),
                    Cell::Figure(value("from_m_s", i)),
                    Cell::Figure(value("to_m_s", i)),
                    Cell::Figure(value("worst", i)),
                    Cell::Figure(value("against", i)),
                    Cell::text(text("measure", i)),
                    Cell::text(text("cause", i)),
                ]
            })
            .collect();
        html! {
            (table("Speeds to avoid", &columns, &rows))
            p.note { "Looked through " (range) ", airspeed and attitude of the case held; airspeeds by " (by) "." }
        }
    }

    fn sure(&self) -> Markup {
        let warnings = self.record.texts("warnings/text");
        let whirl = self.scalar("whirl/critical_stiffness_ratio_loaded");
        let estimated: Vec<&str> = (self.case.values.iter())
            .filter(|v| v.origin == Origin::Estimated && v.path.starts_with("mount."))
            .map(|v| v.path.trim_start_matches("mount."))
            .collect();
        html! {
            @if !estimated.is_empty() {
                p { "Not given and so estimated: " (estimated.join(", ")) ". Measure them before the figures are relied on." }
            }
            @if whirl.is_finite() {
                p {
                    "Whirl on an immovable base: "
                    @if whirl == 0.0 { "at no stiffness." }
                    @else if whirl < 1.0 { "below " (short(whirl)) " of the stiffness given." }
                    @else { strong { "unstable" } ", stable from " (short(whirl)) " times the stiffness given." }
                }
            }
            @if let Some((hz, ratio)) = self.flapping() {
                p {
                    "All loads on this page are those of stiff blades. Their first flap mode is at " (short(hz)) " Hz; flapping makes "
                    (self.blades) "P thrust " strong { (short(ratio)) " times" } " that of stiff blades, and loads and damage by it with it."
                }
            }
            @if !warnings.is_empty() {
                p { "Limits that this result passes, with their figures:" }
                ul.warnings { @for warning in warnings { li { (prose(warning)) } } }
            }
        }
    }

    /// Frequency of the first flap mode, Hz, and NP thrust of flapping over that of stiff blades.
    fn flapping(&self) -> Option<(f64, f64)> {
        let at = |name: &str, i: usize| self.numbers(&format!("blade/{name}")).get(i).copied();
        let ratio = at("flapping_thrust_n", self.blades)? / at("stiff_thrust_n", self.blades)?;
        Some((at("frequency_hz", 0)?, ratio)).filter(|(hz, ratio)| hz.is_finite() && ratio.is_finite())
    }

    fn costs(&self) -> Markup {
        let (along, across) =
            (self.scalar("response/tip_motion_along_m"), self.scalar("response/tip_motion_across_m"));
        html! {
            @if along.is_finite() && across.is_finite() {
                p {
                    "Soft isolators take clearance: by the vibration of this state alone blade tips move by up to "
                    (with_unit(1e3 * along, "mm")) " along the shaft and " (with_unit(1e3 * across, "mm")) " across it; the shift by mean "
                    "loads, speeds to avoid, turns and limit loads come on top. Efficiency is not changed by the mount"
                    @let thrust = self.record.numbers("hub_harmonics/thrust_n").first().copied().unwrap_or(f64::NAN);
                    @if thrust.is_finite() { "; mean thrust is " (figure(thrust)) " N" }
                    "."
                }
            }
            (run::clearances(&self.flown))
        }
    }
}
