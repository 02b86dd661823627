//! The argument of a march: the largest values on the way, and when they come.

use maud::{Markup, html};
use wakebeat_engine::case::Case;
use wakebeat_engine::record::FieldRecord;

use super::plot::{Axis, Plot};
use super::table::{Cell, Column, table};
use super::{Section, cautions, geometry, prose, run};
use crate::PlotError;
use crate::pictures::number::short;

/// Where the file keeps a value for each revolution.
const ROOM: &str = "march/harmonics";

struct March<'a> {
    record: &'a FieldRecord,
    case: &'a Case,
    id: &'a str,
}

/// The largest value of a channel.
struct Peak<'a> {
    name: &'a str,
    unit: &'a str,
    value: f64,
    revolution: usize,
}

/// The section of a march.
pub(super) fn section(record: &FieldRecord, case: &Case, id: &str) -> Result<Section, PlotError> {
    let march = March { record, case, id };
    Ok(Section {
        asked: html! { (march.schedule()) (geometry::views(&case.point)?) },
        answer: html! { (march.sentence()) (march.table()) },
        why: html! { div.figures { (march.force()) (march.speed()) } },
        sure: march.sure(),
        avoid: None,
        costs: None,
        cautions: vec![cautions::MARCH, cautions::VIBRATION],
    })
}

impl March<'_> {
    /// Limits of the model that states on the way pass.
    fn sure(&self) -> Markup {
        let warnings = self.record.texts("warnings/text");
        if warnings.is_empty() {
            return html! { p { "No state on the way passes a limit of the model that the engine knows of." } };
        }
        html! {
            p { "Limits that states on the way pass, with their figures:" }
            ul.warnings { @for warning in warnings { li { (prose(warning)) } } }
        }
    }

    fn numbers(&self, name: &str) -> &[f64] {
        self.record.numbers(&format!("{ROOM}/{name}"))
    }

    fn time_s(&self, revolution: usize) -> f64 {
        self.numbers("time_s").get(revolution).copied().unwrap_or(f64::NAN)
    }

    fn rpm(&self, revolution: usize) -> f64 {
        let speed = self.numbers("shaft_speed_rad_s").get(revolution).copied().unwrap_or(f64::NAN);
        speed * 60.0 / std::f64::consts::TAU
    }

    fn peaks(&self) -> Vec<Peak<'_>> {
        let start = format!("{ROOM}/peak_");
        self.record
            .fields
            .iter()
            .filter_map(|field| {
                let name = field.path.strip_prefix(&start)?;
                let values = self.record.numbers(&field.path).iter().copied().enumerate();
                let (revolution, value) =
                    values.filter(|(_, v)| v.is_finite()).max_by(|a, b| a.1.total_cmp(&b.1))?;
                Some(Peak { name, unit: &field.unit, value, revolution })
            })
            .collect()
    }

    fn schedule(&self) -> Markup {
        let time = self.numbers("time_s");
        html! {
            (run::asked(self.case, &self.case.point))
            p {
                "What happens on the way through the schedule, mount in the loop: " (time.len()) " revolutions from "
                (format!("{:.0}", self.rpm(0))) " to " (format!("{:.0}", self.rpm(time.len().saturating_sub(1)))) " rpm?"
            }
        }
    }

    fn sentence(&self) -> Markup {
        let peaks = self.peaks();
        let force = peaks.iter().filter(|p| p.name.starts_with("transmitted_") && p.unit == "N");
        html! {
            @if let Some(most) = force.max_by(|a, b| a.value.total_cmp(&b.value)) {
                p.answer {
                    "The largest force on the airframe along an axis is " strong { (short(most.value)) " N" } " (" (words(most.name)) "), at "
                    (format!("{:.3}", self.time_s(most.revolution))) " s and " strong { (format!("{:.0}", self.rpm(most.revolution))) " rpm" } "."
                }
            } @else {
                p.answer { "The march holds no force on the airframe." }
            }
        }
    }

    fn table(&self) -> Markup {
        let columns = [
            Column::new("channel", ""),
            Column::new("unit", ""),
            Column::new("largest departure from zero", ""),
            Column::new("at", "s"),
            Column::new("at", "rpm"),
        ];
        let rows: Vec<Vec<Cell>> = self
            .peaks()
            .iter()
            .map(|peak| {
                let (time, rpm) = (self.time_s(peak.revolution), self.rpm(peak.revolution));
                vec![
                    Cell::text(words(peak.name)),
                    Cell::text(peak.unit),
                    Cell::Figure(peak.value),
                    Cell::shown(time, format!("{time:.3}")),
                    Cell::shown(rpm, format!("{rpm:.0}")),
                ]
            })
            .collect();
        table("Peaks of the march", &columns, &rows)
    }

    /// Root of the sum of squares of the force on the airframe without its mean, by revolution.
    fn force(&self) -> Markup {
        let orders = self.record.numbers("order").len();
        let time = self.numbers("time_s");
        let parts = ["x", "y", "z"].map(|axis| self.numbers(&format!("transmitted_{axis}_n")));
        let rms = |revolution: usize| {
            let amplitudes =
                parts.iter().flat_map(|all| all.iter().skip(revolution * orders).take(orders).skip(1));
            amplitudes.map(|a| 0.5 * a * a).sum::<f64>().sqrt()
        };
        let points: Vec<(f64, f64)> = time.iter().enumerate().map(|(i, t)| (*t, rms(i))).collect();
        self.against_time("Force on the airframe, rms of each revolution without its mean", "N", &points, 0.0)
    }

    fn speed(&self) -> Markup {
        let time = self.numbers("time_s");
        let points: Vec<(f64, f64)> = time.iter().enumerate().map(|(i, t)| (*t, self.rpm(i))).collect();
        self.against_time("Shaft speed", "rpm", &points, 0.0)
    }

    fn against_time(&self, title: &str, unit: &str, points: &[(f64, f64)], low: f64) -> Markup {
        let (Some(first), Some(last)) = (points.first(), points.last()) else { return html! {} };
        let top = 1.1 * points.iter().map(|p| p.1).filter(|v| v.is_finite()).fold(1e-12, f64::max);
        let about = format!("{title}, {unit}, against time from {:.3} to {:.3} s", first.0, last.0);
        let mut plot =
            Plot::new(title, about, Axis::new("time, s", first.0, last.0), Axis::new(unit, low, top));
        plot.line(points, "c1", |t, v| format!("{t:.3} s: {} {unit}", short(v)));
        plot.figure(&format!("{}-march-{unit}", self.id))
    }
}

/// A channel in words: its name without unit.
fn words(name: &str) -> String {
    let bare = ["_n_m", "_m_s2", "_n", "_m"].iter().find_map(|unit| name.strip_suffix(unit)).unwrap_or(name);
    bare.replace('_', " ")
}
