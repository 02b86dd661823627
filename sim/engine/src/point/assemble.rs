//! From balanced annuli to the result of an operating point.

use super::disk_fields::DiskFields;
use super::group_state::GroupState;
use super::result::{BladeLoads, HubLoad, LoadHistory, PointResult};
use super::setup::Setup;
use super::{summary, warnings};
use realfft::num_complex::Complex64;

use crate::base::fourier::Fourier;
use crate::rotor::blade_loads::{BladeSignals, blade_signals};
use crate::rotor::hub::{blade_load_histories, hub_loads};
use crate::rotor::sweep::GroupLoads;

/// Sums stations to blades and blades to the hub; the fields over the disk are left out.
pub(super) fn assemble(setup: &Setup, groups: &[GroupState]) -> PointResult {
    let orders = setup.orders;
    let fourier = Fourier::new(setup.ahead.azimuth_rad.len());
    let signals = signals(setup, groups);
    let hub = hub(setup, &signals, &fourier);
    let blades: Vec<BladeLoads> = signals.iter().map(|s| blade_load_histories(s, &fourier, orders)).collect();
    let mut result = PointResult {
        blade_count: setup.point.propeller.blade_count,
        azimuth_rad: setup.ahead.azimuth_rad.clone(),
        radius_m: setup.ahead.stations.iter().map(|s| s.radius_m).collect(),
        hub,
        blades,
        disk: DiskFields::default(),
        attribution: Vec::new(),
        airframe: None,
        summary: Vec::new(),
        warnings: Vec::new(),
    };
    result.summary = summary::scalars(setup, &result);
    result.warnings = warnings::warnings(setup, groups);
    result
}

/// Mean thrust, N, and torque, N m, at the hub: those of [`assemble`], to the last bit.
pub(super) fn mean_thrust_and_torque(setup: &Setup, groups: &[GroupState]) -> (f64, f64) {
    let hub = hub_of(setup, groups);
    let mean = |load: HubLoad| hub[load as usize].harmonics.amplitude[0];
    (mean(HubLoad::Thrust), mean(HubLoad::Torque))
}

/// NP thrust at the hub, N, of groups on the full grid or a thinned one.
pub(super) fn passage_thrust_n(setup: &Setup, groups: &[GroupState]) -> Complex64 {
    let hub = hub_of(setup, groups);
    hub[HubLoad::Thrust as usize].harmonics.phasor(setup.point.propeller.blade_count)
}

/// Hub loads of groups on the full grid or a thinned one.
fn hub_of(setup: &Setup, groups: &[GroupState]) -> Vec<LoadHistory> {
    hub(setup, &signals(setup, groups), &Fourier::new(groups[0].azimuths()))
}

/// Loads of each distinct blade over the azimuths of its groups.
fn signals(setup: &Setup, groups: &[GroupState]) -> Vec<BladeSignals> {
    let stride = setup.ahead.azimuth_rad.len() / groups[0].azimuths();
    let azimuth_rad: Vec<f64> = setup.ahead.azimuth_rad.iter().step_by(stride).copied().collect();
    (0..setup.pitch_rad.len())
        .map(|blade| {
            let loads: Vec<&GroupLoads> = groups.iter().map(|g| &g.loads[blade]).collect();
            blade_signals(&setup.ahead.stations, &loads, &setup.ahead.disk, &azimuth_rad, setup.ahead.root_m)
        })
        .collect()
}

/// Hub loads in the order of [`HubLoad::ALL`].
fn hub(setup: &Setup, signals: &[BladeSignals], fourier: &Fourier) -> Vec<LoadHistory> {
    let propeller = &setup.point.propeller;
    hub_loads(
        signals,
        &propeller.spacing_error_rad,
        propeller.blade_count,
        setup.ahead.disk.sigma,
        fourier,
        setup.orders,
    )
}
