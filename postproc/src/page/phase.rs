//! Loads on the airframe against the phase between propellers.

use maud::{Markup, html};
use wakebeat_engine::point::airframe::{AIRFRAME_LOADS, AirframeSums};
use wakebeat_engine::point::input::{FurtherPropeller, OperatingPoint};
use wakebeat_engine::point::result::{HubLoad, PointResult};

use super::plot::{Axis, Plot, colour, with_unit};
use crate::phase::{self, ByPhase};
use crate::pictures::loads::title;
use crate::pictures::number::short;

/// Steps of a curve over the interval.
const STEPS: usize = 120;

/// Blade-rate amplitudes over one blade interval of phase, for each further propeller; nothing without one.
pub(super) fn shown(result: &PointResult, point: &OperatingPoint, sums: &AirframeSums, id: &str) -> Markup {
    let blades = result.blade_count;
    html! {
        @if !sums.by_phase.is_empty() {
            p {
                "The " (blades) "P loads of the propellers add or cancel by the phase between them. Over one blade interval, "
                (short(phase::interval_rad(blades).to_degrees())) "°, a load runs through all it can be: in phase at the ends, in \
                 anti-phase in the middle."
            }
            @for (moving, further) in point.further.iter().enumerate() {
                p.note { (words(result, further)) }
                div.figures {
                    @for unit in ["N", "N m"] {
                        (chart((result, sums), (moving, further), unit, &format!("{id}-{}-{}", further.name, &unit.replace(' ', ""))))
                    }
                }
            }
        }
    }
}

/// Where the case stands between the ends.
fn words(result: &PointResult, further: &FurtherPropeller) -> String {
    let blades = result.blade_count;
    match phase::beat_hz(result, &further.name) {
        Some(hz) => format!(
            "{} runs at {} of the speed and drifts through all phases: at {blades}P the loads beat at {} Hz, {} s from in phase \
             to in phase. The dots are the instant at which it leads by {}.",
            further.name,
            short(further.speed_ratio),
            short(hz),
            short(1.0 / hz),
            phase::degrees(further.phase_rad),
        ),
        None => {
            format!("The dots are the case: {} leads by {}.", further.name, phase::degrees(further.phase_rad))
        }
    }
}

fn chart(
    (result, sums): (&PointResult, &AirframeSums),
    (moving, further): (usize, &FurtherPropeller),
    unit: &str,
    id: &str,
) -> Markup {
    let blades = result.blade_count;
    let interval_rad = phase::interval_rad(blades);
    let interval = interval_rad.to_degrees();
    let curves: Vec<(HubLoad, ByPhase)> = AIRFRAME_LOADS
        .into_iter()
        .filter(|load| load.unit() == unit)
        .filter_map(|load| Some((load, phase::curve(sums, moving, load, blades)?)))
        .collect();
    let largest = curves.iter().map(|(_, curve)| curve.range().1).fold(0.0, f64::max);
    let what = if unit == "N" { "Forces" } else { "Moments" };
    let name = format!("{what} at {blades}P while {} takes every phase", further.name);
    let about = format!(
        "{name}: amplitude at the centre of gravity in {unit} over one blade interval of {} degrees",
        short(interval)
    );
    let x = Axis::new(format!("{} ahead of the first propeller, deg", further.name), 0.0, interval);
    let y = Axis::new(unit, 0.0, if largest > 0.0 { 1.15 * largest } else { 1.0 });
    let top = y.high;
    let ticks = (0..=4).map(|k| 0.25 * f64::from(k) * interval).collect();
    let mut plot = Plot::new(name, about, x, y).with_x_ticks(ticks);
    plot.guide(&[(0.5 * interval, 0.0), (0.5 * interval, top)], "order");
    for (index, (load, values)) in curves.iter().enumerate() {
        let class = colour(index);
        let points: Vec<(f64, f64)> = (0..=STEPS)
            .map(|k| k as f64 / STEPS as f64)
            .map(|share| (share * interval, values.at(share * interval_rad)))
            .collect();
        let label = title(*load);
        let tip =
            |phase: f64, value: f64| format!("{label} at {}°: {}", short(phase), with_unit(value, unit));
        plot.line(&points, &class, tip);
        let here = further.phase_rad.rem_euclid(interval_rad);
        let at = (here.to_degrees(), values.at(here));
        plot.dot(at, &class, 4.0, &format!("{label} in the case: {}", with_unit(at.1, unit)));
        plot.key(&class, label);
    }
    plot.key("order", "anti-phase");
    plot.figure(id)
}
