//! Forces on the isolators and the motor's torque in every segment of a duty cycle.
//!
//! Airloads pass through the mount with its gyroscopic and aerodynamic coupling ([`crate::mount::response`]). The direction of the
//! unbalance is not known: its amplitude is added to that of 1P, the worst case. The powerplant's share of weight is in the mean,
//! in flight and at rest.

use rayon::prelude::*;

use super::fly::FlownSegment;
use super::loads::DutyLoad;
use crate::limit::from_mount::weight_shares_n;
use crate::mount::MountError;
use crate::mount::aero::{BladeInAir, HubDerivatives};
use crate::mount::input::Mount;
use crate::mount::loads::{HubHarmonics, axial_wind_m_s};
use crate::mount::response::Ready;
use crate::mount::shaking::{Channel, Shaking};
use crate::mount::system::{ShaftRotation, System};
use crate::point::result::Harmonics;
use nalgebra::Complex;

/// Shaft axes in the names of loads, and in words.
const AXES: [(&str, &str); 3] =
    [("x", "aft along the shaft"), ("y", "to starboard"), ("z", "up in the disk plane")];

/// Motor torque, then the force of the powerplant on each isolator along shaft axes.
///
/// # Errors
/// [`MountError`] where a harmonic of a segment meets an undamped mode.
pub fn isolator_loads(mount: &Mount, flown: &[FlownSegment]) -> Result<Vec<DutyLoad>, MountError> {
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
    let shaking: Vec<Shaking> = flown
        .par_iter()
        .map(|segment| {
            let point = &segment.point;
            let loads = HubHarmonics::of_point(&segment.result, point.propeller.speed_rad_s);
            let wind = axial_wind_m_s(point);
            let air = HubDerivatives::loaded(&BladeInAir::new(point), &segment.result, wind);
            Shaking::new(&ready, &loads, Some(&air))
        })
        .collect::<Result<_, _>>()?;
    let mut all = vec![DutyLoad {
        name: "motor_torque".to_owned(),
        unit: "N m",
        long_name: "torque of the motor on its stator, positive when the propeller absorbs power".to_owned(),
        rest: 0.0,
        segments: shaking.iter().map(|s| told(&motor_torque(s))).collect(),
    }];
    let Some(first) = flown.first() else { return Ok(all) };
    let weights = weight_shares_n(mount, &first.point.placement);
    for (index, isolator) in mount.isolators.iter().enumerate() {
        for (axis, (letter, words)) in AXES.into_iter().enumerate() {
            let rest = weights.get(index).map_or(0.0, |weight| weight[axis]);
            let in_segment = |s: &Shaking| {
                let mut force = along_shaft_axis(s, mount, index, axis);
                if let Some(mean) = force.first_mut() {
                    *mean += rest;
                }
                told(&force)
            };
            all.push(DutyLoad {
                name: format!("{}_{letter}", isolator.name),
                unit: "N",
                long_name: format!(
                    "force of the powerplant on isolator {}, {words}, weight included",
                    isolator.name
                ),
                rest,
                segments: shaking.iter().map(in_segment).collect(),
            });
        }
    }
    Ok(all)
}

/// Amplitudes under the airloads with the unbalance added to each in its own direction.
fn with_unbalance(shaking: &Shaking, channel: Channel) -> (Vec<Complex<f64>>, Vec<f64>) {
    let place = shaking.channels.iter().position(|known| *known == channel);
    place.map_or_else(Default::default, |k| (shaking.air[k].clone(), shaking.unbalance[k].clone()))
}

fn motor_torque(shaking: &Shaking) -> Vec<Complex<f64>> {
    let (air, unbalance) = with_unbalance(shaking, Channel::MotorTorque);
    air.iter().zip(&unbalance).map(|(a, u)| lengthened(*a, *u)).collect()
}

/// Force on an isolator along a shaft axis, from its own axes.
fn along_shaft_axis(shaking: &Shaking, mount: &Mount, isolator: usize, axis: usize) -> Vec<Complex<f64>> {
    let own: Vec<_> = (0..3).map(|k| with_unbalance(shaking, Channel::Isolator(isolator, k))).collect();
    let axes = &mount.isolators[isolator].axes;
    let at = |order: usize| {
        let air: Complex<f64> = (0..3).map(|k| own[k].0[order] * axes[(axis, k)]).sum();
        let unbalance: f64 = (0..3).map(|k| own[k].1[order] * axes[(axis, k)].abs()).sum();
        lengthened(air, unbalance)
    };
    (0..shaking.orders()).map(at).collect()
}

/// A phasor made longer, its direction kept.
fn lengthened(phasor: Complex<f64>, by: f64) -> Complex<f64> {
    if phasor.norm() > 0.0 { phasor * (1.0 + by / phasor.norm()) } else { Complex::new(by, 0.0) }
}

/// Amplitudes and phases; order 0 is the signed mean.
fn told(phasors: &[Complex<f64>]) -> Harmonics {
    let of = |(order, c): (usize, &Complex<f64>)| if order == 0 { (c.re, 0.0) } else { (c.norm(), -c.arg()) };
    let (amplitude, phase_rad) = phasors.iter().enumerate().map(of).unzip();
    Harmonics { amplitude, phase_rad }
}
