//! Amplitude of each order of each hub load.

use maud::{Markup, html};
use wakebeat_engine::point::result::{HubLoad, PointResult};

use super::plot::{Axis, Plot, with_unit};
use crate::pictures::loads::{amplitude, title};

/// Orders shown at least, where the file holds them.
const LEAST_ORDERS: usize = 12;
/// Multiples of the blade count that are shown.
const MULTIPLES: usize = 4;

/// A chart for each load; orders that like blades cannot pass to the hub have another colour.
pub(super) fn shown(result: &PointResult, speed_rad_s: f64, id: &str) -> Markup {
    html! {
        p {
            "Amplitudes of the hub loads by order: nP is n cycles per shaft revolution, 1P is "
            (with_unit(speed_rad_s / std::f64::consts::TAU, "Hz")) ". Like blades pass only multiples of the blade count to the hub."
        }
        div.figures {
            @for load in HubLoad::ALL { (chart(result, load, speed_rad_s, &format!("{id}-{}", load.name()))) }
        }
    }
}

fn chart(result: &PointResult, load: HubLoad, speed_rad_s: f64, id: &str) -> Markup {
    let blades = result.blade_count.max(1);
    let highest = result.hub(load).harmonics.amplitude.len().saturating_sub(1);
    let last = (MULTIPLES * blades).max(LEAST_ORDERS).min(highest).max(1);
    let alike = HubLoad::ALL.into_iter().filter(|other| other.unit() == load.unit());
    let largest = alike
        .flat_map(|other| (1..=last).map(move |order| amplitude(result, other, order)))
        .filter(|v| v.is_finite())
        .fold(0.0, f64::max);
    let name = title(load);
    let (x, y) = (Axis::new("order n", 0.4, last as f64 + 0.6), Axis::new(load.unit(), 0.0, 1.12 * largest));
    let about =
        format!("Amplitude of {name} by order, 1 to {last}, on the scale of all loads in {}", load.unit());
    let step = last.div_ceil(16);
    let mut plot =
        Plot::new(name, about, x, y).low().with_x_ticks((1..=last).step_by(step).map(|n| n as f64).collect());
    let orders = (1..=last).map(|order| (order, amplitude(result, load, order)));
    for (order, value) in orders.filter(|(_, value)| *value > 0.0) {
        let hz = order as f64 * speed_rad_s / std::f64::consts::TAU;
        let class = if order.is_multiple_of(blades) { "c1" } else { "c2" };
        let tip = format!("{order}P, {}: {}", with_unit(hz, "Hz"), with_unit(value, load.unit()));
        plot.bar(order as f64, 0.34, value, class, &tip);
    }
    plot.figure(id)
}
