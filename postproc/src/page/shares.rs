//! Which source makes how much of the blade-rate loads.
//!
//! A share is shown as its part in phase with the total: right of zero it adds, left of it it takes away, and the parts add
//! up to the total.

use maud::{Markup, html};
use wakebeat_engine::point::result::{Harmonics, HubLoad, Share};

use super::plot::figure;
use super::table::{Cell, Column, table};
use crate::pictures::loads::title;
use crate::pictures::number::{beside, short};
use crate::pictures::style::cut_name;

/// A total this much below the mean thrust is round-off and has no shares (moments: times the tip radius).
const ROUND_OFF: f64 = 1e-9;
/// Rows of the bars.
const ROW: f64 = 24.0;
/// Left and right end of the bars, and where the figures stand.
const BARS: (f64, f64) = (128.0, 270.0);
/// Width of a letter at most on average; names of sources move the left end of the bars by it, up to a place where bars find room.
const LETTER: f64 = 6.6;
const LEFT_MOST: f64 = 196.0;

/// Hub harmonics with their shares, of a run or of a point of a sweep.
pub(super) struct Shares {
    /// Order of blade passage.
    pub order: usize,
    /// Totals in the order of [`HubLoad::ALL`].
    pub totals: Vec<Harmonics>,
    /// The sources in the order of the sum.
    pub sources: Vec<Share>,
}

/// One source's part of one load.
struct Part<'a> {
    name: &'a str,
    /// Amplitude of the share.
    amplitude: f64,
    /// Part in phase with the total.
    in_phase: f64,
}

impl Shares {
    fn total(&self, load: HubLoad) -> f64 {
        self.totals.get(load as usize).map_or(f64::NAN, |all| all.phasor(self.order).norm())
    }

    fn parts(&self, load: HubLoad) -> Vec<Part<'_>> {
        let Some(total) = self.totals.get(load as usize) else { return Vec::new() };
        let part = |share: &'_ Share| {
            let own = share.loads.get(load as usize)?;
            let amplitude = own.phasor(self.order).norm();
            let in_phase = own.in_phase_with(total, self.order);
            (amplitude.is_finite() && in_phase.is_finite()).then_some((amplitude, in_phase))
        };
        self.sources
            .iter()
            .filter_map(|share| {
                part(share).map(|(amplitude, in_phase)| Part { name: &share.name, amplitude, in_phase })
            })
            .collect()
    }

    /// Thrust, the larger force in the disk plane, the larger bending moment, torque.
    fn leading(&self) -> [HubLoad; 4] {
        let larger = |a, b| if self.total(b) > self.total(a) { b } else { a };
        [
            HubLoad::Thrust,
            larger(HubLoad::VerticalForce, HubLoad::SideForce),
            larger(HubLoad::PitchingMoment, HubLoad::YawingMoment),
            HubLoad::Torque,
        ]
    }

    /// Smallest amplitude that is more than round-off, of forces and moments alike: both grow with the thrust.
    fn least(&self) -> f64 {
        let mean = self.totals.first().and_then(|all| all.amplitude.first()).copied().unwrap_or(0.0);
        ROUND_OFF * mean.abs()
    }

    /// The source that makes most of a load at blade passage, and its part of the total.
    pub fn largest(&self, load: HubLoad) -> Option<(String, f64)> {
        let total = self.total(load);
        let most = self.parts(load).into_iter().max_by(|a, b| a.in_phase.total_cmp(&b.in_phase))?;
        (total > self.least() && most.in_phase > 0.0)
            .then(|| (most.name.replace('_', " "), most.in_phase / total))
    }

    /// A sentence, bars for the leading loads and the table.
    pub fn shown(&self) -> Markup {
        if self.sources.is_empty() {
            return html! { p { "The file holds no shares of the sources." } };
        }
        let np = self.order;
        html! {
            p {
                "Which source makes how much of each load at " (np) "P, once per blade passage: the part of its share that acts in phase with the total. "
                "Parts right of zero add, left of zero take away; they add up to the total. The shares come from the model made linear about the \
                 azimuth mean; what that leaves is the remainder."
            }
            div.figures { @for load in self.leading() { (self.bars(load)) } }
            (self.table())
        }
    }

    fn bars(&self, load: HubLoad) -> Markup {
        let (total, parts) = (self.total(load), self.parts(load));
        let unit = load.unit();
        let name = title(load);
        if total <= self.least() || !total.is_finite() {
            return html! { figure.chart { figcaption { (name) " at " (self.order) "P" } p { "None beyond round-off." } } };
        }
        let reach = |sign: f64| parts.iter().map(|p| sign * p.in_phase).fold(0.0, f64::max);
        let (low, high) = (-reach(-1.0), reach(1.0).max(total));
        let most = ((LEFT_MOST - 12.0) / LETTER) as usize;
        let longest = parts.iter().map(|p| p.name.chars().count()).max().unwrap_or(0).min(most);
        let start = BARS.0.max(LETTER * longest as f64 + 12.0);
        let x = |value: f64| start + (value - low) / (high - low) * (BARS.1 - start);
        let zero = x(0.0);
        let height = ROW * (parts.len() + 1) as f64 + 14.0;
        let row = |index: usize, label: &str, value: f64, class: &str, tip: &str| {
            let y = ROW * index as f64 + 8.0;
            let (left, right) = (zero.min(x(value)), zero.max(x(value)));
            let percent = per_cent(value / total);
            html! {
                text x=(format!("{:.1}", start - 8.0)) y=(y + 14.0) text-anchor="end" { (cut_name(label, most)) }
                rect.bar.(class) x=(format!("{left:.1}")) y=(y) width=(format!("{:.1}", (right - left).max(0.8))) height=(ROW - 7.0) {
                    title { (tip) }
                }
                text x=(BARS.1 + 8.0) y=(y + 14.0) { (plain(value, total)) ", " (percent) " %" }
            }
        };
        let inner = html! {
            @for (index, part) in parts.iter().enumerate() {
                @let name = part.name.replace('_', " ");
                @let class = if part.in_phase < 0.0 { "c2" } else { "c1" };
                @let tip = self.tip(&name, part, unit);
                (row(index, &name, part.in_phase, class, &tip))
            }
            (row(parts.len(), "total", total, "ink", &format!("total: {} {unit}", short(total))))
            path.axis d={ "M" (format!("{zero:.1}")) " 4V" (height - 6.0) } {}
        };
        let about = format!(
            "Share of each source in {name} at {}P; the same figures stand in the table below",
            self.order
        );
        figure(&format!("{name} at {}P, {unit}", self.order), &about, height, &inner, &[])
    }

    /// A share in words; what round-off leaves of it is none.
    fn tip(&self, name: &str, part: &Part<'_>, unit: &str) -> String {
        if part.amplitude <= self.least() {
            return format!("{name}: none beyond round-off");
        }
        let in_phase = if part.in_phase.abs() <= self.least() { 0.0 } else { part.in_phase };
        format!("{name}: {} {unit} in phase, amplitude {} {unit}", short(in_phase), short(part.amplitude))
    }

    fn table(&self) -> Markup {
        let loads = self.leading();
        let mut columns = vec![Column::new("source", "")];
        for load in loads {
            columns.push(Column::new(format!("{}, in phase", title(load)), load.unit()));
            columns.push(Column::new("of the total", "%"));
        }
        let parts = loads.map(|load| self.parts(load));
        let cells = |name: &str, value: &dyn Fn(usize) -> Option<f64>| {
            let mut row = vec![Cell::text(name.replace('_', " "))];
            for (index, load) in loads.into_iter().enumerate() {
                let total = self.total(load);
                let value = value(index).filter(|_| total > self.least()).unwrap_or(f64::NAN);
                row.push(Cell::shown(
                    value,
                    if value.is_finite() { plain(value, total) } else { "–".to_owned() },
                ));
                row.push(Cell::shown(100.0 * value / total, per_cent(value / total)));
            }
            row
        };
        let find =
            |name: &str, index: usize| parts[index].iter().find(|p| p.name == name).map(|p| p.in_phase);
        let mut rows: Vec<Vec<Cell>> =
            self.sources.iter().map(|share| cells(&share.name, &|index| find(&share.name, index))).collect();
        rows.push(cells("total", &|index| Some(self.total(loads[index]))));
        table(&format!("Shares of the sources at {}P, in phase with the total", self.order), &columns, &rows)
    }
}

/// A part with the decimals of its total; one that rounds to zero has no sign.
fn plain(value: f64, total: f64) -> String {
    let text = beside(value, total);
    let zero = text.chars().all(|c| matches!(c, '−' | '0' | '.'));
    if zero { text.trim_start_matches('−').to_owned() } else { text }
}

fn per_cent(share: f64) -> String {
    if !share.is_finite() {
        return "–".to_owned();
    }
    let rounded = (100.0 * share).round();
    // −0 reads as 0.
    if rounded == 0.0 { "0".to_owned() } else { format!("{rounded:.0}").replace('-', "−") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(mean: f64, amplitude: f64) -> Vec<Harmonics> {
        let one = Harmonics { amplitude: vec![mean, 0.0, amplitude], phase_rad: vec![0.0; 3] };
        HubLoad::ALL.map(|_| one.clone()).to_vec()
    }

    #[test]
    fn round_off_is_told_as_none() {
        let sources = vec![
            Share { name: "wing_wake".into(), loads: of(0.0, 0.5) },
            Share { name: "incidence".into(), loads: of(0.0, 6e-16) },
        ];
        let page = Shares { order: 2, totals: of(10.0, 0.5), sources }.shown().into_string();
        assert!(
            page.contains("incidence: none beyond round-off") && page.contains("wing wake: 0.500 N in phase")
        );
        assert!(!page.contains("e−16"), "{page}");
    }
}
