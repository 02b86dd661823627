//! What propellers do to each other in the air, and is left out of their loads: where it matters it is told.
//!
//! By momentum theory a disk of radius R with thrust T induces v at itself and 2v far behind,
//! T = 2ρπR² (V + v) v with V the speed along the shaft.
//!
//! - *Slipstream.* It leaves along V∞ + 2v a (a: shaft, aft) and is taken as wide as the disk; it contracts to
//!   R √((V + v)/(V + 2v)), so the warning comes rather early.
//! - *Air drawn aside.* The slipstream is a cylinder of ring vortices that ends at the disk; from a distance its end draws air
//!   like a sink of strength 2v πR²: across the shaft vR²/(2d²) at distance d abreast, by induction's field of a half-infinite solenoid
//!   (10 % low at d = 2R). A neighbour there meets that much crossflow.

use std::f64::consts::PI;

use super::FurtherResult;
use crate::air::standard_air;
use crate::base::Vec3;
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::point::input::{OperatingPoint, Placement, Rotation};
use crate::point::result::{HubLoad, PointResult, Warning};

/// Crossflow over the speed through the disk from which a neighbour is told of, about a degree.
const TELLING_CROSSFLOW: f64 = 0.02;

/// A propeller as an actuator disk.
struct Disk<'a> {
    name: &'a str,
    axes: DiskAxes,
    radius_m: f64,
    /// Undisturbed velocity, m/s.
    stream_m_s: Vec3,
    /// Mean induced velocity at the disk, m/s; none where it brakes.
    induced_m_s: f64,
}

/// A warning for each propeller whose slipstream reaches another one, and for each pair that draws air across.
pub(super) fn warnings(
    point: &OperatingPoint,
    first: &PointResult,
    further: &[FurtherResult],
) -> Vec<Warning> {
    let mut disks = vec![disk(
        point,
        "propeller",
        (&point.placement, point.propeller.rotation),
        0.5 * point.propeller.diameter_m,
        first,
    )];
    for (one, solved) in point.further.iter().zip(further) {
        let radius_m = 0.5 * one.changes.diameter_m.unwrap_or(point.propeller.diameter_m);
        disks.push(disk(point, &one.name, (&one.placement, one.rotation), radius_m, &solved.result));
    }
    let mut list = Vec::new();
    for (i, source) in disks.iter().enumerate() {
        for (j, target) in disks.iter().enumerate().filter(|(j, _)| *j != i) {
            let washed = washed_by(source, target);
            // Of two that draw at each other the stronger pull is told once.
            let told = j > i || crossflow(target, source) < crossflow(source, target);
            list.extend(washed.or_else(|| told.then(|| drawn_by(source, target)).flatten()));
        }
    }
    list
}

fn disk<'a>(
    point: &OperatingPoint,
    name: &'a str,
    (placement, rotation): (&Placement, Rotation),
    radius_m: f64,
    result: &PointResult,
) -> Disk<'a> {
    let axes = DiskAxes::new(placement, rotation);
    let stream_m_s = free_stream_m_s(&point.flight);
    let density = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k).density_kg_m3;
    let thrust = result.hub(HubLoad::Thrust).harmonics.amplitude[0].max(0.0);
    let along = stream_m_s.dot(&axes.aft).max(0.0);
    let induced_m_s =
        -0.5 * along + (0.25 * along * along + thrust / (2.0 * density * PI * radius_m * radius_m)).sqrt();
    Disk { name, axes, radius_m, stream_m_s, induced_m_s }
}

/// A warning where the slipstream of `source` reaches the disk of `target`.
fn washed_by(source: &Disk, target: &Disk) -> Option<Warning> {
    let wash = source.stream_m_s + 2.0 * source.induced_m_s * source.axes.aft;
    let along = wash.try_normalize(0.0)?;
    let apart = target.axes.hub_m - source.axes.hub_m;
    let behind_m = apart.dot(&along);
    let aside_m = (apart - behind_m * along).norm();
    let depth_m = source.radius_m + target.radius_m - aside_m;
    (behind_m > 0.0 && depth_m > 0.0).then(|| Warning {
        name: "slipstream_meets_disk",
        text: format!(
            "the slipstream of `{}`, {:.1} m/s faster than the air around it, runs into the disk of `{}` over a strip up \
             to {:.3} m wide: loads of `{}` are computed without it; take them as wrong there, not as uncertain",
            source.name,
            2.0 * source.induced_m_s,
            target.name,
            depth_m.min(2.0 * target.radius_m),
            target.name,
        ),
    })
}

/// Crossflow that `source` draws at the hub of `target`, m/s.
fn crossflow(source: &Disk, target: &Disk) -> f64 {
    let apart = target.axes.hub_m - source.axes.hub_m;
    let distance = apart.norm();
    // The part of the sink's pull across the target's shaft.
    let across = (apart - apart.dot(&target.axes.aft) * target.axes.aft).norm() / distance;
    across * 0.5 * source.induced_m_s * (source.radius_m / distance).powi(2)
}

/// A warning where `source` draws air across the disk of `target`.
fn drawn_by(source: &Disk, target: &Disk) -> Option<Warning> {
    let through = target.stream_m_s.dot(&target.axes.aft).abs() + target.induced_m_s;
    let across = crossflow(source, target);
    (across > TELLING_CROSSFLOW * through).then(|| Warning {
        name: "neighbour_draws_air",
        text: format!(
            "`{}` draws air across the disk of `{}`, {across:.2} m/s at its hub or {:.1} deg of inflow angle, which the \
             loads leave out: it feeds 1P of the blades and the mean in-plane loads, higher orders less",
            source.name,
            target.name,
            (across / through).atan().to_degrees(),
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// A level disk of radius 0.2 m in 10 m/s, inducing 4 m/s.
    fn at(name: &str, hub_m: Vec3) -> Disk<'_> {
        let placement = Placement { hub_m, tilt_rad: 0.0, toe_rad: 0.0 };
        Disk {
            name,
            axes: DiskAxes::new(&placement, Rotation::Clockwise),
            radius_m: 0.2,
            stream_m_s: Vec3::new(10.0, 0.0, 0.0),
            induced_m_s: 4.0,
        }
    }

    #[test]
    fn a_slipstream_reaches_what_lies_behind_within_two_radii_aside() {
        let front = at("front", Vec3::zeros());
        let meets = |hub: Vec3| washed_by(&front, &at("rear", hub));
        let text = meets(Vec3::new(1.0, 0.3, 0.0)).unwrap().text;
        assert!(text.contains("8.0 m/s faster") && text.contains("0.100 m wide"), "{text}");
        assert_eq!(meets(Vec3::new(1.0, 0.41, 0.0)), None);
        assert_eq!(meets(Vec3::new(-1.0, 0.3, 0.0)), None);
    }

    /// The sink against the ring vortices themselves: far away the field of a solenoid's end.
    #[test]
    fn crossflow_is_that_of_the_end_of_a_vortex_cylinder() {
        for (distance, within) in [(0.4, 0.15), (1.0, 0.03)] {
            let sink = crossflow(&at("a", Vec3::zeros()), &at("b", Vec3::new(0.0, distance, 0.0)));
            // Vortex rings of strength γ = 2v per length from x = 0 on, by Biot and Savart.
            let (steps, rings) = (720, 4000);
            let mut drawn = 0.0;
            for k in 0..rings {
                // Steps that grow with distance reach a hundred radii and more.
                let x = |k: f64| 0.2 * 0.01 * ((k / f64::from(rings) * 10.0).exp() - 1.0);
                let (from, to) = (x(f64::from(k)), x(f64::from(k) + 1.0));
                let middle = 0.5 * (from + to);
                for j in 0..steps {
                    let t = std::f64::consts::TAU * (f64::from(j) + 0.5) / f64::from(steps);
                    let ring = Vec3::new(middle, 0.2 * t.cos(), 0.2 * t.sin());
                    let along =
                        Vec3::new(0.0, -t.sin(), t.cos()) * (0.2 * std::f64::consts::TAU / f64::from(steps));
                    let to_point = Vec3::new(0.0, distance, 0.0) - ring;
                    drawn +=
                        8.0 * (to - from) / (4.0 * PI) * along.cross(&to_point).y / to_point.norm().powi(3);
                }
            }
            assert_relative_eq!(sink, drawn.abs(), max_relative = within);
        }
    }
}
