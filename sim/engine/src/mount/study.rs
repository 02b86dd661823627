//! The whole answer of a mount at its operating point: the order of evaluation.

use super::aero::{BladeInAir, HubDerivatives};
use super::avoid::{Band, Crossing, bands, crossings, orders};
use super::error::MountError;
use super::flown::FlownSpeeds;
use super::input::Mount;
use super::loads::axial_wind_m_s;
use super::response::Ready;
use super::scan::{
    AngleState, LoadCurves, LoadedState, ModeLine, MountModes, SpeedState, scan_angles, scan_speeds,
};
use super::shaking::Shaking;
use super::system::{ShaftRotation, System};
use super::whirl::critical_scale;
use crate::flex::flap::{Flapping, MODES, SolidBlade, flapping};
use crate::point::consequences::airframe_consequences;
use crate::point::input::OperatingPoint;
use crate::point::result::{PointResult, Scalar, Warning};
use crate::trim::Trim;
use rayon::prelude::*;
use std::f64::consts::TAU;

/// Frequencies of the transmissibility curves.
const CURVE: usize = 241;
/// Airspeeds and shaft speeds of the whirl map.
const MAP: (usize, usize) = (9, 5);
/// Shaft speeds at which blades are bent.
const BLADE_SPEEDS: usize = 13;

/// Everything a mount is asked for.
#[derive(Debug, Clone)]
pub struct MountResult {
    /// The operating point's airloads.
    pub point: PointResult,
    /// Shaft speed of the case, rad/s.
    pub speed_rad_s: f64,
    /// What shakes at the case.
    pub shaking: Shaking,
    /// Modes at rest in still air.
    pub at_rest: Vec<ModeLine>,
    /// Modes at the speed of the case, with air.
    pub running: Vec<ModeLine>,
    /// Shaft speeds looked through.
    pub speeds: Vec<SpeedState>,
    /// nP lines against modes.
    pub crossings: Vec<Crossing>,
    /// Speeds to avoid.
    pub bands: Vec<Band>,
    /// Airspeeds that belong to shaft speeds.
    pub flown: FlownSpeeds,
    /// Angles of attack looked through.
    pub angles: Vec<AngleState>,
    /// Whirl.
    pub whirl: Whirl,
    /// Transmissibility.
    pub transmissibility: Transmissibility,
    /// Flapping of the first blade at the case.
    pub flapping: Flapping,
    /// Flap frequencies of the blade at some shaft speeds: rad/s, then Hz by mode.
    pub blade_frequency_hz: Vec<(f64, Vec<f64>)>,
    /// Bounds of the motion of a blade tip along the shaft and across it, m.
    pub tip_motion_m: (f64, f64),
    /// Least clearance of the blades from structure, axial or at the tips, m; `None` where there is none to clear.
    pub clearance_m: Option<f64>,
    /// Airspeed of the response, m/s.
    pub airspeed_m_s: f64,
    /// Its angle of attack, rad.
    pub angle_of_attack_rad: f64,
    /// Remarks.
    pub warnings: Vec<Warning>,
}

/// How far the mount is from whirl.
#[derive(Debug, Clone)]
pub struct Whirl {
    /// Slopes of the loaded propeller at the case.
    pub loaded: HubDerivatives,
    /// Slopes of the classical theory at the case.
    pub classical: HubDerivatives,
    /// Critical stiffness over the given one, loaded slopes.
    pub critical_loaded: f64,
    /// The same, classical slopes.
    pub critical_classical: f64,
    /// Airspeeds of the map, m/s.
    pub airspeed_m_s: Vec<f64>,
    /// Shaft speeds of the map, rad/s.
    pub speed_rad_s: Vec<f64>,
    /// Critical stiffness over the given one, classical slopes, by airspeed and shaft speed.
    pub map: Vec<f64>,
}

/// Transmitted over applied load in the same direction at the hub, the propeller at the speed of the case.
#[derive(Debug, Clone)]
pub struct Transmissibility {
    /// Frequencies, Hz.
    pub frequency_hz: Vec<f64>,
    /// Forces along x, y, z, moments about them: six rows.
    pub ratio: Vec<Vec<f64>>,
}

/// Computes the whole answer; `trim`, which the point has met already, tells at which airspeeds shaft speeds are flown.
///
/// # Errors
/// [`MountError`] when the point has no answer, a mass is not positive, or an order meets an undamped mode exactly.
pub fn study(point: &OperatingPoint, mount: &Mount, trim: Option<&Trim>) -> Result<MountResult, MountError> {
    let speed_rad_s = point.propeller.speed_rad_s;
    let state = LoadedState::new(point)?;
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Free));
    let modes = MountModes::new(&ready)?;
    let shaking = Shaking::new(&ready, &state.loads, Some(&state.air))?;
    let (curves, lost) = LoadCurves::new(point, mount)?;
    let speeds = scan_speeds(mount, &curves)?;
    let lines = orders(point.propeller.blade_count, shaking.orders());
    let crossings = crossings(&speeds, &lines);
    let bands = bands(mount, &speeds, &crossings);
    let mut result = MountResult {
        speed_rad_s,
        tip_motion_m: shaking.tip_motion_m(0.5 * point.propeller.diameter_m),
        shaking,
        at_rest: modes.lines(0.0, None)?,
        running: modes.lines(speed_rad_s, Some(&state.air))?,
        speeds,
        crossings,
        bands,
        flown: FlownSpeeds::new(point, trim),
        angles: scan_angles(point, mount)?,
        whirl: whirl(point, mount, &state.air)?,
        transmissibility: transmissibility(&ready, speed_rad_s),
        flapping: flapping(point, &state.result, mount.blade_material, state.loads.orders.len())?,
        blade_frequency_hz: blade_frequencies(point, mount)?,
        clearance_m: clearance_m(point),
        airspeed_m_s: point.flight.airspeed_m_s,
        angle_of_attack_rad: point.flight.angle_of_attack_rad,
        warnings: state.result.warnings.clone(),
        point: state.result,
    };
    result.warnings.extend(lost.into_iter().map(|text| Warning { name: "load_speed_missing", text }));
    let more = remarks(&result, mount);
    result.warnings.extend(more);
    Ok(result)
}

fn whirl(point: &OperatingPoint, mount: &Mount, loaded: &HubDerivatives) -> Result<Whirl, MountError> {
    let blade = BladeInAir::new(point);
    let (speed, axial) = (point.propeller.speed_rad_s, axial_wind_m_s(point));
    let classical = HubDerivatives::classical(&blade, speed, axial);
    let fastest = axial.max(1.0) * 2.0;
    let airspeed_m_s: Vec<f64> = (1..=MAP.0).map(|i| fastest * i as f64 / MAP.0 as f64).collect();
    let shaft = |j: usize| {
        mount.scan.from_rad_s
            + (mount.scan.to_rad_s - mount.scan.from_rad_s) * j as f64 / (MAP.1 as f64 - 1.0)
    };
    let speed_rad_s: Vec<f64> = (0..MAP.1).map(shaft).collect();
    let cells: Vec<(f64, f64)> =
        airspeed_m_s.iter().flat_map(|v| speed_rad_s.iter().map(move |w| (*v, *w))).collect();
    let map = cells
        .par_iter()
        .map(|(v, w)| critical_scale(mount, *w, &HubDerivatives::classical(&blade, *w, *v)))
        .collect::<Result<_, _>>()?;
    Ok(Whirl {
        critical_loaded: critical_scale(mount, speed, loaded)?,
        critical_classical: critical_scale(mount, speed, &classical)?,
        loaded: *loaded,
        classical,
        airspeed_m_s,
        speed_rad_s,
        map,
    })
}

/// Flap frequencies from rest to the highest speed of the scan.
fn blade_frequencies(point: &OperatingPoint, mount: &Mount) -> Result<Vec<(f64, Vec<f64>)>, MountError> {
    let blade = SolidBlade::new(point, mount.blade_material);
    (0..BLADE_SPEEDS)
        .into_par_iter()
        .map(|i| {
            let speed = mount.scan.to_rad_s * i as f64 / (BLADE_SPEEDS as f64 - 1.0);
            let modes = blade.modes(speed, MODES)?;
            Ok((speed, modes.iter().map(|mode| mode.frequency_rad_s / TAU).collect()))
        })
        .collect()
}

/// From a fifth of the slowest mode to five times the fastest, evenly in the logarithm.
fn transmissibility(ready: &Ready, speed_rad_s: f64) -> Transmissibility {
    let dynamics = ready.dynamics(speed_rad_s, None);
    let (low, high) = dynamics.modes().map_or((1.0, 1000.0), |(modes, _)| {
        let fastest = modes.last().map_or(1000.0, super::modes::Mode::frequency_hz);
        let slowest = modes.iter().map(super::modes::Mode::frequency_hz).find(|f| *f > 0.01 * fastest);
        (0.2 * slowest.unwrap_or(1.0), 5.0 * fastest)
    });
    let frequency_hz: Vec<f64> =
        (0..CURVE).map(|i| low * (high / low).powf(i as f64 / (CURVE as f64 - 1.0))).collect();
    let row = |direction: usize| {
        frequency_hz.iter().map(|f| ready.transmissibility(&dynamics, direction, TAU * f)).collect()
    };
    Transmissibility { ratio: (0..6).map(row).collect(), frequency_hz }
}

fn clearance_m(point: &OperatingPoint) -> Option<f64> {
    let all = airframe_consequences(point);
    let of_blades = |s: &&Scalar| matches!(s.name.as_str(), "clearance_axial_m" | "clearance_tip_m");
    all.iter().filter(of_blades).map(|s| s.value).min_by(f64::total_cmp)
}

/// Where a designer should look twice.
fn remarks(result: &MountResult, mount: &Mount) -> Vec<Warning> {
    let mut all = Vec::new();
    let rpm = |speed: f64| speed * 60.0 / TAU;
    let speed = result.speed_rad_s;
    for band in result.bands.iter().filter(|b| b.from_rad_s <= speed && speed <= b.to_rad_s) {
        let text = format!(
            "the speed of the case, {:.0} rpm, lies in a band to avoid, {:.0} to {:.0} rpm: {}",
            rpm(speed),
            rpm(band.from_rad_s),
            rpm(band.to_rad_s),
            band.cause
        );
        all.push(Warning { name: "speed_to_avoid", text });
    }
    for (i, sensor) in mount.sensors.iter().enumerate() {
        let felt = result.shaking.sensor_rms_m_s2(i);
        if let Some(limit) = sensor.limit_rms_m_s2.filter(|limit| felt > *limit) {
            let text =
                format!("sensor `{}` feels {felt:.2} m/s2 rms, above its limit of {limit} m/s2", sensor.name);
            all.push(Warning { name: "sensor_limit", text });
        }
    }
    let critical = result.whirl.critical_loaded.max(result.whirl.critical_classical);
    if critical > 1.0 {
        let text = format!("the mount whirls: it would be stable from {critical:.2} times its stiffness on");
        all.push(Warning { name: "whirl", text });
    } else if critical > 0.5 {
        let text = format!("whirl is near: at {critical:.2} times its stiffness the mount would whirl");
        all.push(Warning { name: "whirl", text });
    }
    let (along, across) = result.tip_motion_m;
    if let Some(clearance) = result.clearance_m.filter(|c| along.hypot(across) > 0.2 * c) {
        let text = format!(
            "blade tips move by up to {:.1} mm by the vibration of this state alone, the clearance from structure is {:.1} mm",
            1e3 * along.hypot(across),
            1e3 * clearance
        );
        all.push(Warning { name: "tip_motion", text });
    }
    all
}
