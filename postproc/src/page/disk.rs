//! The disk seen from behind with the angle of attack of the sections, and a revolution to turn through: where the blades
//! stand, what each of them meets along its span, and the hub loads at that moment.
//!
//! The page shows azimuth 0 without its script; the script reads the numbers that stand beside the drawing.

use std::f64::consts::TAU;
use std::fmt::Write;

use maud::{Markup, PreEscaped, html};
use ndarray::Array2;
use serde_json::json;
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::{DiskField, HubLoad, PointResult};
use wakebeat_engine::rotor::hub::blade_azimuths;
use wakebeat_engine::surface::geometry::halves;

use super::plot::{Axis, WIDTH, colour};
use super::raster;
use super::table::figure;
use crate::PlotError;
use crate::pictures::clip::in_unit_circle;
use crate::pictures::colour::map;
use crate::pictures::frame::{rotation, sense};
use crate::pictures::loads::{extremes, title};
use crate::pictures::number::{short, tick_label, ticks};
use crate::pictures::outline::{Place, View, body_circle, silhouette, trailing_edge};
use crate::pictures::ring_match::RingMatch;
use crate::pictures::sample::Sampler;

/// Most azimuths that the page carries, and the fewest that still make a revolution.
const MOST_AZIMUTHS: usize = 240;
const LEAST_AZIMUTHS: usize = 60;
/// A load this much below the largest of its unit is round-off.
const ROUND_OFF: f64 = 1e-9;
/// Pixels of the field.
const SIZE: u32 = 300;
/// Radius and centre of the disk in the drawing.
const DISK: f64 = 142.0;
const CENTRE: (f64, f64) = (200.0, 182.0);
/// Height of the drawing with its colour bar.
const HEIGHT: f64 = 412.0;
/// Axes of the chart along the blade: left, right, top, bottom.
const AXES: [f64; 4] = [52.0, 388.0, 10.0, 196.0];
const CHART_HEIGHT: f64 = 240.0;

/// What is drawn of a run.
struct Disk<'a> {
    result: &'a PointResult,
    point: &'a OperatingPoint,
    /// Angle of attack at every azimuth, deg.
    field: Array2<f64>,
    tip_m: f64,
    root: f64,
    sense: f64,
    low: f64,
    high: f64,
    /// Ends of the colours: without the few places at hub and tip that would take them all.
    colours: (f64, f64),
    /// Azimuth of each blade ahead of the slider's, rad.
    ahead_rad: Vec<f64>,
    /// Every how many azimuths the page carries one.
    stride: usize,
}

/// The disk with its slider; `id` is unique in the page.
pub(super) fn shown(result: &PointResult, point: &OperatingPoint, id: &str) -> Result<Markup, PlotError> {
    let field = result.disk(DiskField::AngleOfAttack).mapv(f64::to_degrees);
    if !field.iter().any(|value| value.is_finite()) {
        return Err(PlotError::NotFinite { item: DiskField::AngleOfAttack.key() });
    }
    let (low, high) = extremes(field.iter().copied());
    let tip_m = 0.5 * point.propeller.diameter_m;
    let root = point.propeller.blade.rows.first().map_or(0.0, |row| row.radius_ratio);
    let disk = Disk {
        stride: stride(result.azimuth_rad.len()),
        sense: sense(point.propeller.rotation),
        ahead_rad: blade_azimuths(result.blade_count, &point.propeller.spacing_error_rad),
        root,
        result,
        point,
        colours: common(&field),
        field,
        tip_m,
        low,
        high: if high > low { high } else { low + 1.0 },
    };
    disk.markup(id)
}

/// Share of the places whose value lies beyond each end of the colours.
const BEYOND: f64 = 0.02;

/// The range that most places lie in.
fn common(field: &Array2<f64>) -> (f64, f64) {
    let mut values: Vec<f64> = field.iter().copied().filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let at =
        |share: f64| values.get((share * (values.len() - 1) as f64).round() as usize).copied().unwrap_or(0.0);
    let (low, high) = (at(BEYOND), at(1.0 - BEYOND));
    // A uniform field is one colour in the middle of a bar one degree long.
    if high - low > 1e-6 { (low, high) } else { (low - 0.5, high + 0.5) }
}

/// The least step that divides the azimuths and leaves a number the page can carry; 1 where none leaves enough.
fn stride(azimuths: usize) -> usize {
    let fits = |step: &usize| azimuths.is_multiple_of(*step) && azimuths / step <= MOST_AZIMUTHS;
    (1..=azimuths.max(1)).find(fits).filter(|step| azimuths / step >= LEAST_AZIMUTHS).unwrap_or(1)
}

impl Disk<'_> {
    fn markup(&self, id: &str) -> Result<Markup, PlotError> {
        let count = self.result.azimuth_rad.len() / self.stride;
        let degrees = 360.0 / count.max(1) as f64;
        let blades = self.result.blade_count;
        let slider = format!("{id}-azimuth");
        Ok(html! {
            div.turn id=(id) {
                p.slider {
                    label for=(slider) { "Azimuth of " (self.turned()) ", deg (0: up, growing " (rotation(self.point.propeller.rotation)) ")" }
                    input type="range" id=(slider) min="0" max=(count.saturating_sub(1)) step="1" value="0"
                        data-degrees=(degrees) aria-valuetext="0 degrees";
                    output for=(slider) { "0°" }
                }
                div.figures {
                    figure.chart {
                        figcaption { "Angle of attack over the disk, seen from behind" }
                        svg.diskmap viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(self.about()) {
                            (self.field(id)?)
                            (self.outlines(id))
                            (self.rim())
                            g.blades {
                                @for blade in 0..blades { (self.blade(blade)) }
                            }
                            (self.colour_bar(id))
                        }
                        p.note data-hover="" { (self.usual_words()) }
                    }
                    figure.chart {
                        figcaption { "Angle of attack along the blades at this azimuth" }
                        (self.along())
                        ul.key { @for blade in 0..blades { li { span.swatch.(colour(blade)) {} "blade " (blade + 1) } } }
                    }
                    (self.moment())
                }
                script type="application/json" { (PreEscaped(self.data().to_string())) }
            }
        })
    }

    /// What the slider turns: blade 1, or where it would stand without an error of its own.
    fn turned(&self) -> &'static str {
        if self.ahead_rad.first().is_some_and(|ahead| *ahead != 0.0) {
            "the place of blade 1 in even spacing"
        } else {
            "blade 1"
        }
    }

    fn usual_words(&self) -> String {
        format!(
            "From {}° to {}°, beyond the ends of the bar in the colour of the end. Point at the disk for the value there. Lines: \
             wing and body ahead, dashed: trailing edge. Grey: hub.",
            short(self.low),
            short(self.high)
        )
    }

    /// A load at an azimuth; round-off is none.
    fn clean(&self, load: HubLoad, value: f64) -> f64 {
        let alike = HubLoad::ALL.into_iter().filter(|other| other.unit() == load.unit());
        let largest = alike
            .flat_map(|other| &self.result.hub(other).history)
            .fold(0.0, |most, v| f64::max(most, v.abs()));
        if value.abs() > ROUND_OFF * largest { value } else { 0.0 }
    }

    fn about(&self) -> String {
        format!(
            "Angle of attack of the blade sections over the disk, seen from behind: {} to {} degrees. The slider turns the blades.",
            short(self.low),
            short(self.high)
        )
    }

    /// Place of a radius ratio and an azimuth.
    fn place(&self, ratio: f64, azimuth: f64) -> (f64, f64) {
        (CENTRE.0 + self.sense * DISK * ratio * azimuth.sin(), CENTRE.1 - DISK * ratio * azimuth.cos())
    }

    fn field(&self, id: &str) -> Result<Markup, PlotError> {
        let rings = RingMatch::new(Sampler { radius_m: &self.result.radius_m, field: &self.field });
        let half = 0.5 * f64::from(SIZE);
        let mut shares = Vec::with_capacity((SIZE * SIZE) as usize);
        for y in 0..SIZE {
            for x in 0..SIZE {
                let (right, down) = ((f64::from(x) + 0.5) / half - 1.0, (f64::from(y) + 0.5) / half - 1.0);
                let ratio = right.hypot(down);
                shares.push(if ratio > 1.0 {
                    None
                } else if ratio < self.root {
                    Some(f64::NAN)
                } else {
                    let value = rings.value(ratio * self.tip_m, (self.sense * right).atan2(-down));
                    Some((value - self.colours.0) / (self.colours.1 - self.colours.0))
                });
            }
        }
        let uri = raster::data_uri(SIZE, &shares)?;
        Ok(html! {
            image id={ (id) "-field" } href=(uri) x=(CENTRE.0 - DISK) y=(CENTRE.1 - DISK) width=(2.0 * DISK) height=(2.0 * DISK) {}
        })
    }

    /// Wing and body ahead of the disk.
    fn outlines(&self, id: &str) -> Markup {
        let view = View::along_shaft(self.point);
        let mut lines: Vec<(Vec<Place>, bool)> = Vec::new();
        for surface in &self.point.surfaces {
            for half in halves(surface) {
                lines.push((silhouette(surface, &half, &view), false));
                lines.push((trailing_edge(surface, &half, &view), true));
            }
        }
        lines.extend(self.point.bodies.iter().map(|body| (body_circle(body, &view), false)));
        let path = |points: &[Place]| {
            let mut path = String::new();
            let inside: Vec<Place> = points.iter().map(|p| (p.0 / self.tip_m, p.1 / self.tip_m)).collect();
            for piece in in_unit_circle(&inside) {
                for (index, (right, up)) in piece.iter().enumerate() {
                    let (x, y) = (CENTRE.0 + DISK * right, CENTRE.1 - DISK * up);
                    // Writing to a string cannot fail.
                    let _ = write!(path, "{}{x:.1} {y:.1}", if index == 0 { "M" } else { "L" });
                }
            }
            path
        };
        html! {
            g.ahead id={ (id) "-ahead" } {
                @for (points, dashed) in &lines {
                    @let d = path(points);
                    path.halo d=(d) {}
                    path class=[dashed.then_some("dashed")] d=(d) {}
                }
            }
        }
    }

    fn rim(&self) -> Markup {
        let mark = |step: u32| {
            let azimuth = TAU * f64::from(step) / 12.0;
            let (from, to, words) =
                (self.place(1.0, azimuth), self.place(1.035, azimuth), self.place(1.13, azimuth));
            html! {
                path.axis d={ "M" (format!("{:.1} {:.1}L{:.1} {:.1}", from.0, from.1, to.0, to.1)) } {}
                text x=(format!("{:.1}", words.0)) y=(format!("{:.1}", words.1 + 4.0)) text-anchor="middle" { (30 * step) "°" }
            }
        };
        html! {
            circle.rim cx=(CENTRE.0) cy=(CENTRE.1) r=(DISK) {}
            @for step in 0..12 { (mark(step)) }
            text.label x="8" y="16" { "port" }
            text.label x=(WIDTH - 8.0) y="16" text-anchor="end" { "starboard" }
        }
    }

    /// A blade at azimuth 0 of the first, as a line from root to tip with its number; the script turns it.
    fn blade(&self, blade: usize) -> Markup {
        let turn = self.sense * self.ahead_rad[blade].to_degrees();
        let root = format!("{:.1}", CENTRE.1 - DISK * self.root);
        let tip = CENTRE.1 - DISK;
        html! {
            g.blade.(colour(blade)) transform={ "rotate(" (format!("{turn:.3}")) " " (CENTRE.0) " " (CENTRE.1) ")" } {
                path.halo d={ "M" (CENTRE.0) " " (root) "V" (tip) } {}
                path d={ "M" (CENTRE.0) " " (root) "V" (tip) } {}
                circle cx=(CENTRE.0) cy=(format!("{:.1}", CENTRE.1 - 0.9 * DISK)) r="8" {}
                text.number x=(CENTRE.0) y=(format!("{:.1}", CENTRE.1 - 0.9 * DISK + 4.0)) text-anchor="middle" { (blade + 1) }
            }
        }
    }

    fn colour_bar(&self, id: &str) -> Markup {
        let (left, right, top) = (50.0, 350.0, 352.0);
        let steps = 24;
        let (low, high) = self.colours;
        let marks = ticks(low, high, 6);
        let step = marks.windows(2).next().map_or(1.0, |pair| pair[1] - pair[0]);
        let x = |value: f64| left + (value - low) / (high - low) * (right - left);
        html! {
            defs {
                linearGradient id={ (id) "-map" } {
                    @for k in 0..=steps {
                        @let share = f64::from(k) / f64::from(steps);
                        @let c = map(share);
                        stop offset=(format!("{share:.4}")) stop-color=(format!("#{:02x}{:02x}{:02x}", c.0, c.1, c.2)) {}
                    }
                }
            }
            rect.axis x=(left) y=(top) width=(right - left) height="14" fill={ "url(#" (id) "-map)" } {}
            @for value in &marks {
                path.axis d={ "M" (format!("{:.1}", x(*value))) " " (top + 14.0) "v4" } {}
                text x=(format!("{:.1}", x(*value))) y=(top + 31.0) text-anchor="middle" { (tick_label(*value, step)) }
            }
            text.label x=(0.5 * (left + right)) y=(top + 50.0) text-anchor="middle" { "geometric angle of attack, deg" }
        }
    }

    /// Angle of attack of blade `blade` at a station while blade 1 stands at azimuth 0, deg.
    fn at_start(&self, station: usize, blade: usize) -> f64 {
        let sampler = Sampler { radius_m: &self.result.radius_m, field: &self.field };
        let turn = self.ahead_rad[blade] / TAU * self.field.ncols() as f64;
        sampler.ring(station, turn)
    }

    fn axes(&self) -> (Axis, Axis) {
        (
            Axis::new("radius over tip radius", 0.0, 1.0),
            Axis::new("angle of attack, deg", self.low, self.high),
        )
    }

    fn along(&self) -> Markup {
        let [left, right, top, bottom] = AXES;
        let (x, y) = self.axes();
        let px = |value: f64| left + (value - x.low) / (x.high - x.low) * (right - left);
        let py = |value: f64| bottom - (value - y.low) / (y.high - y.low) * (bottom - top);
        let path = |blade: usize| {
            let mut path = String::new();
            for (station, radius_m) in self.result.radius_m.iter().enumerate() {
                let (x, y) = (px(radius_m / self.tip_m), py(self.at_start(station, blade)));
                // Writing to a string cannot fail.
                let _ = write!(path, "{}{x:.1} {y:.1}", if station == 0 { "M" } else { "L" });
            }
            path
        };
        let y_ticks = ticks(y.low, y.high, 5);
        let step = y_ticks.windows(2).next().map_or(1.0, |pair| pair[1] - pair[0]);
        html! {
            svg.along viewBox={ "0 0 " (WIDTH) " " (CHART_HEIGHT) } role="img" aria-label="Angle of attack along each blade, from hub to tip, at the azimuth of the slider" {
                g.grid {
                    @for value in &y_ticks {
                        path d={ "M" (left) " " (format!("{:.1}", py(*value))) "H" (right) } {}
                        text x=(left - 6.0) y=(format!("{:.1}", py(*value) + 4.0)) text-anchor="end" { (tick_label(*value, step)) }
                    }
                    @for k in 0..=5 {
                        @let value = 0.2 * f64::from(k);
                        text x=(format!("{:.1}", px(value))) y=(bottom + 17.0) text-anchor="middle" { (format!("{value:.1}")) }
                    }
                }
                path.axis d={ "M" (left) " " (top) "V" (bottom) "H" (right) } {}
                text.label x=(0.5 * (left + right)) y=(CHART_HEIGHT - 8.0) text-anchor="middle" { (x.label) }
                text.label x="12" y=(0.5 * (top + bottom)) text-anchor="middle" transform={ "rotate(-90 12 " (0.5 * (top + bottom)) ")" } { (y.label) }
                @for blade in 0..self.result.blade_count { path.line.(colour(blade)) d=(path(blade)) {} }
            }
        }
    }

    /// Hub loads at azimuth 0 beside their means; the script keeps them up to date.
    fn moment(&self) -> Markup {
        html! {
            div.scroll tabindex="0" role="region" aria-label="Hub loads at this azimuth" {
                table.moment {
                    caption { "Hub loads at this azimuth" }
                    thead { tr { th scope="col" { "load" } th scope="col" { "unit" } th scope="col" { "now" } th scope="col" { "mean" } } }
                    tbody {
                        @for load in HubLoad::ALL {
                            @let history = self.result.hub(load);
                            tr {
                                th scope="row" { (title(load)) }
                                td { (load.unit()) }
                                td.n data-load=(load.name()) { (figure(self.clean(load, history.history.first().copied().unwrap_or(f64::NAN)))) }
                                td.n { (figure(self.clean(load, history.harmonics.amplitude.first().copied().unwrap_or(f64::NAN)))) }
                            }
                        }
                    }
                }
            }
        }
    }

    /// Numbers for the script: angles in hundredths of a degree, loads with five digits.
    fn data(&self) -> serde_json::Value {
        // A place without a number stays without one.
        let hundredths = |v: &f64| v.is_finite().then(|| (100.0 * v).round() as i64);
        let angles: Vec<Vec<Option<i64>>> = self
            .field
            .outer_iter()
            .map(|row| row.iter().step_by(self.stride).map(hundredths).collect())
            .collect();
        let five = |v: f64| format!("{v:.4e}").parse::<f64>().unwrap_or(v);
        let loads: serde_json::Map<String, serde_json::Value> = HubLoad::ALL
            .into_iter()
            .map(|load| {
                let history = self
                    .result
                    .hub(load)
                    .history
                    .iter()
                    .step_by(self.stride)
                    .map(|v| five(self.clean(load, *v)));
                (load.name().to_owned(), json!(history.collect::<Vec<f64>>()))
            })
            .collect();
        let radii: Vec<f64> =
            self.result.radius_m.iter().map(|r| (1e4 * r / self.tip_m).round() / 1e4).collect();
        json!({
            "ahead": self.ahead_rad.iter().map(|a| (1e4 * a.to_degrees()).round() / 1e4).collect::<Vec<f64>>(),
            "sense": self.sense,
            "root": self.root,
            "radii": radii,
            "centre": [CENTRE.0, CENTRE.1],
            "radius": DISK,
            "axes": AXES,
            "low": self.low,
            "high": self.high,
            "angles": angles,
            "loads": loads,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_page_carries_a_divisor_of_the_azimuths() {
        assert_eq!(stride(720), 3);
        assert_eq!(stride(240), 1);
        assert_eq!(stride(360), 2);
        // A prime number of azimuths has no divisor that leaves a revolution.
        assert_eq!(stride(241), 1);
        assert_eq!(stride(40), 1);
    }
}
