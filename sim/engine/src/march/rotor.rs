//! Airloads of one revolution after the other.
//!
//! States of the airloads, solved as operating points along the schedule, give what each station meets over a revolution, induced velocity
//! included; between them it follows a straight line. Each revolution is then swept with the same kernels as an operating point, as if its state
//! had lasted: section lag within the revolution is all there, its lag behind the change from one revolution to the next, ten chords of travel or
//! about a quarter of a revolution, is less than what `passing` rounds off. (Lag carried on from a revolution in another state would
//! begin each revolution with a step.) When nothing changes, the loads are those of the operating point.
//!
//! Induced velocity is that of the momentary state: it keeps up with changes slower than the annuli's time constants, about 0.4 R/V. Within a
//! revolution the state is that of its middle.

use super::schedule::{Row, Schedule, point_at};
use crate::base::fourier::Fourier;
use crate::base::lanes::{LANES, Lanes};
use crate::blade::BladeStation;
use crate::frames::DiskAxes;
use crate::mount::MountError;
use crate::mount::aero::{BladeInAir, HubDerivatives};
use crate::mount::scan::LoadedState;
use crate::point::input::{Induction, OperatingPoint};
use crate::point::result::{DiskField, Warning};
use crate::rotor::blade_loads::{BladeSignals, blade_signals};
use crate::rotor::group::StationGroup;
use crate::rotor::hub::hub_loads;
use crate::rotor::sweep::{GroupFlow, GroupLoads, SweepRoom, SweepSetup, SweepStart, sweep};
use ndarray::Array2;
use rayon::prelude::*;

/// What the stations meet in one state.
struct Met {
    axial: Array2<f64>,
    tangential: Array2<f64>,
    air: HubDerivatives,
    warnings: Vec<Warning>,
}

/// The rotor on its way along the schedule.
pub struct MarchingRotor {
    /// Limits of the model that a state passes, each once: at the first time on the way, s.
    pub warnings: Vec<(f64, Warning)>,
    states: Vec<Vec<Met>>,
    stations: Vec<BladeStation>,
    groups: Vec<Vec<StationGroup>>,
    loads: Vec<Vec<GroupLoads>>,
    room: SweepRoom,
    flows: Vec<GroupFlow>,
    setup: SweepSetup,
    disk: DiskAxes,
    azimuth_rad: Vec<f64>,
    root_m: f64,
    spacing_error_rad: Vec<f64>,
    blades: usize,
    fourier: Fourier,
}

/// Hub loads over a revolution, and the slopes of the state.
pub struct Revolution {
    /// By [`crate::point::result::HubLoad::ALL`], then by azimuth.
    pub hub: Vec<Vec<f64>>,
    /// Slopes by the motion of the hub.
    pub air: HubDerivatives,
}

impl MarchingRotor {
    /// Solves the states along the schedule.
    ///
    /// # Errors
    /// [`MountError::NoAirloads`] when a state has no answer.
    pub fn new(point: &OperatingPoint, schedule: &Schedule) -> Result<Self, MountError> {
        let segments = schedule.rows.len() - 1;
        let places: Vec<(usize, f64)> = (0..segments)
            .flat_map(|segment| {
                let count = if schedule.changes(segment) { schedule.states.max(2) } else { 2 };
                (0..count).map(move |i| (segment, i as f64 / (count as f64 - 1.0)))
            })
            .collect();
        let solved: Vec<(usize, f64, Met)> = places
            .into_par_iter()
            .map(|(segment, t)| {
                let row = schedule.within(segment, t);
                Ok((segment, row.time_s, met(point, &row)?))
            })
            .collect::<Result<_, MountError>>()?;
        let mut states: Vec<Vec<Met>> = (0..segments).map(|_| Vec::new()).collect();
        let mut warnings: Vec<(f64, Warning)> = Vec::new();
        for (segment, time_s, mut state) in solved {
            for warning in state.warnings.drain(..) {
                if warnings.iter().all(|(_, known)| known.name != warning.name) {
                    warnings.push((time_s, warning));
                }
            }
            states[segment].push(state);
        }
        let first = point_at(point, &schedule.rows[0]);
        Ok(Self { warnings, ..Self::at_first(&first, states) })
    }

    fn at_first(point: &OperatingPoint, states: Vec<Vec<Met>>) -> Self {
        let blade = BladeInAir::new(point);
        let propeller = &point.propeller;
        let azimuths = point.solver.azimuths;
        let pitches = blade_pitches(point);
        let count = blade.stations.len().div_ceil(LANES);
        let range = |g: usize| g * LANES..((g + 1) * LANES).min(blade.stations.len());
        let groups: Vec<Vec<StationGroup>> = pitches
            .iter()
            .map(|pitch| {
                (0..count)
                    .map(|g| StationGroup::new(&blade.stations[range(g)], &blade.sections[range(g)], *pitch))
                    .collect()
            })
            .collect();
        let tip_m = 0.5 * propeller.diameter_m;
        Self {
            warnings: Vec::new(),
            loads: groups.iter().map(|own| own.iter().map(|_| GroupLoads::new(azimuths)).collect()).collect(),
            room: SweepRoom::new(azimuths),
            flows: (0..count).map(|_| GroupFlow::new(azimuths)).collect(),
            setup: SweepSetup {
                density_kg_m3: blade.air.density_kg_m3,
                speed_of_sound_m_s: blade.air.speed_of_sound_m_s,
                speed_rad_s: propeller.speed_rad_s,
                section_lift: point.solver.section_lift,
                streamwise: point.solver.streamwise,
                first_harmonic_undelayed: point.solver.induction == Induction::Dynamic,
                start: SweepStart::Periodic,
            },
            disk: DiskAxes::new(&point.placement, propeller.rotation),
            azimuth_rad: (0..azimuths).map(|j| std::f64::consts::TAU * j as f64 / azimuths as f64).collect(),
            root_m: propeller.blade.rows[0].radius_ratio * tip_m,
            spacing_error_rad: propeller.spacing_error_rad.clone(),
            blades: propeller.blade_count,
            fourier: Fourier::new(azimuths),
            stations: blade.stations,
            groups,
            states,
        }
    }

    /// Azimuths of a revolution.
    #[must_use]
    pub fn azimuths(&self) -> usize {
        self.azimuth_rad.len()
    }

    /// Sweeps the revolution whose middle lies at a place of the schedule; `row` is the state there.
    pub fn revolve(&mut self, (segment, t): (usize, f64), row: &Row) -> Revolution {
        let states = &self.states[segment];
        let place = t * (states.len() as f64 - 1.0);
        let index = (place as usize).min(states.len() - 2);
        let share = place - index as f64;
        let (a, b) = (&states[index], &states[index + 1]);
        for (g, flow) in self.flows.iter_mut().enumerate() {
            let last = self.stations.len() - 1;
            for j in 0..flow.axial_m_s.len() {
                let mix = |low: &Array2<f64>, high: &Array2<f64>| {
                    Lanes::from_fn(|lane| {
                        let i = (g * LANES + lane).min(last);
                        low[(i, j)] + share * (high[(i, j)] - low[(i, j)])
                    })
                };
                flow.axial_m_s[j] = mix(&a.axial, &b.axial);
                flow.tangential_m_s[j] = mix(&a.tangential, &b.tangential);
            }
        }
        let air = mixed(&a.air, &b.air, share);
        self.setup.speed_rad_s = row.speed_rad_s;
        self.sweep_all();
        Revolution { hub: self.hub(), air }
    }

    fn sweep_all(&mut self) {
        for (groups, loads) in self.groups.iter().zip(&mut self.loads) {
            for ((group, flow), loads) in groups.iter().zip(&self.flows).zip(loads) {
                sweep(group, flow, &self.setup, &mut self.room, loads);
            }
        }
    }

    fn hub(&self) -> Vec<Vec<f64>> {
        let signals: Vec<BladeSignals> = self
            .loads
            .iter()
            .map(|own| {
                let loads: Vec<&GroupLoads> = own.iter().collect();
                blade_signals(&self.stations, &loads, &self.disk, &self.azimuth_rad, self.root_m)
            })
            .collect();
        let all =
            hub_loads(&signals, &self.spacing_error_rad, self.blades, self.disk.sigma, &self.fourier, 1);
        all.into_iter().map(|load| load.history).collect()
    }
}

/// The airloads of the point in the state of a row.
fn met(point: &OperatingPoint, row: &Row) -> Result<Met, MountError> {
    let state = LoadedState::new(&point_at(point, row)).map_err(|source| MountError::NoAirloads {
        time_s: row.time_s,
        speed_rpm: row.speed_rad_s * 60.0 / std::f64::consts::TAU,
        airspeed_m_s: row.airspeed_m_s,
        angle_deg: row.angle_of_attack_rad.to_degrees(),
        source,
    })?;
    Ok(Met {
        axial: state.result.disk(DiskField::AxialVelocity).clone(),
        tangential: state.result.disk(DiskField::TangentialVelocity).clone(),
        air: state.air,
        warnings: state.result.warnings,
    })
}

/// Pitch of each distinct blade, as an operating point takes it.
fn blade_pitches(point: &OperatingPoint) -> Vec<f64> {
    let propeller = &point.propeller;
    let errors = &propeller.pitch_error_rad;
    if errors.iter().all(|e| *e == errors[0]) {
        return vec![propeller.pitch_offset_rad + errors.first().copied().unwrap_or(0.0)];
    }
    errors.iter().map(|e| propeller.pitch_offset_rad + e).collect()
}

fn mixed(a: &HubDerivatives, b: &HubDerivatives, t: f64) -> HubDerivatives {
    let mix = |x: f64, y: f64| x + t * (y - x);
    HubDerivatives {
        force_by_wind_n_s_m: mix(a.force_by_wind_n_s_m, b.force_by_wind_n_s_m),
        force_by_rate_n_s: mix(a.force_by_rate_n_s, b.force_by_rate_n_s),
        moment_by_wind_n_s: mix(a.moment_by_wind_n_s, b.moment_by_wind_n_s),
        moment_by_rate_n_m_s: mix(a.moment_by_rate_n_m_s, b.moment_by_rate_n_m_s),
        thrust_by_speed_n_s_m: mix(a.thrust_by_speed_n_s_m, b.thrust_by_speed_n_s_m),
        thrust_by_spin_n_s: mix(a.thrust_by_spin_n_s, b.thrust_by_spin_n_s),
        torque_by_speed_n_s: mix(a.torque_by_speed_n_s, b.torque_by_speed_n_s),
        torque_by_spin_n_m_s: mix(a.torque_by_spin_n_m_s, b.torque_by_spin_n_m_s),
        thrust_n: mix(a.thrust_n, b.thrust_n),
        torque_n_m: mix(a.torque_n_m, b.torque_n_m),
        axial_wind_m_s: mix(a.axial_wind_m_s, b.axial_wind_m_s),
        sigma: a.sigma,
    }
}
