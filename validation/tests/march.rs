//! Marching in time: the sweep of an oscillator through resonance, and the periodic answer when nothing changes.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use std::f64::consts::TAU;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::march::run::{Told, channels, march};
use wakebeat_engine::march::schedule::{Row, Schedule};
use wakebeat_engine::march::step::{State, Step};
use wakebeat_engine::mount::input::Mount;
use wakebeat_engine::mount::modes::Dynamics;
use wakebeat_engine::mount::response::Ready;
use wakebeat_engine::mount::scan::LoadedState;
use wakebeat_engine::mount::shaking::{Channel, Shaking};
use wakebeat_engine::mount::system::{ShaftRotation, System};
use wakebeat_engine::mount::{Matrix, MountError};
use wakebeat_engine::point::input::{OperatingPoint, SectionLift};
use wakebeat_validation::mounts::{circle, in_flight, on_bench, powerplant};
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::Table;

/// Source: oscillator swept linearly through resonance, closed form by complex error functions (table, 3e-10 against Runge-Kutta); a line of order n
/// passes at n times the rate of the shaft. Band: the step makes the period long by (ωΔt)²/12, up to 7e-5 at the slow end, over some ten
/// cycles; twice the step gives four times the difference (7e-4 found).
#[test]
fn val_a_line_swept_through_resonance_rises_as_the_exact_sweep() {
    let table = Table::parse(include_str!("../data/mount/sweep_exact.csv")).unwrap();
    let (mut rows, mut worst) = (0, 0.0_f64);
    for row in table.rows() {
        let rate = row.number("rate").unwrap();
        if rate < 0.9e-3 {
            continue; // long marches; the shorter ones show the same
        }
        let up = row.text("direction").unwrap() == "up";
        let zeta = row.number("zeta").unwrap();
        let (peak, at) = swept_peak(zeta, rate, up);
        let expected = row.number("peak_over_static").unwrap();
        worst = worst.max((peak / expected - 1.0).abs());
        assert_relative_eq!(peak, expected, max_relative = 5e-4);
        assert_relative_eq!(at, row.number("frequency_ratio_at_peak").unwrap(), max_relative = 5e-3);
        rows += 1;
    }
    println!("{rows} sweeps, largest difference {worst:.1e}");
    assert!(rows > 15);
}

/// Peak over static shift and the momentary frequency there, ω0 = 1: shaft at half the frequency, load at order 2.
fn swept_peak(zeta: f64, rate: f64, up: bool) -> (f64, f64) {
    let one = |x: f64| Matrix::from_element(1, 1, x);
    let dynamics = Dynamics { mass: one(1.0), damping: one(2.0 * zeta), stiffness: one(1.0), loss: one(0.0) };
    let mut hub = Matrix::zeros(7, 1);
    hub[(0, 0)] = 1.0;
    let order = 2.0;
    let (shaft_rate, first, last) = if up { (rate / order, 0.3, 1.9) } else { (-rate / order, 1.9, 0.3) };
    let mut state = State::at_rest(1);
    let (mut peak, mut at) = (0.0, 0.0);
    // The excitation's phase is α t²/2 with t from the moment of zero frequency.
    let mut t = first / (order * shaft_rate);
    let load = |t: f64| {
        let azimuth = 0.5 * shaft_rate * t * t;
        [(order * azimuth).cos(), 0.0, 0.0, 0.0, 0.0, 0.0, 0.0]
    };
    let mut before = load(t);
    let frequency = |t: f64| order * shaft_rate * t;
    while (frequency(t) - last) * shaft_rate.signum() < 0.0 {
        // A step of one of 1440 azimuths of the shaft: at the slow end the free vibration then still has 216 steps a cycle.
        let speed = shaft_rate * t;
        let dt = TAU / 1440.0 / speed.abs();
        let step = Step::new(&dynamics, &one(1.0), &hub, dt).unwrap();
        for _ in 0..20 {
            t += dt;
            let after = load(t);
            step.advance(&mut state, &before, &after);
            before = after;
            if state.z[0].abs() > peak {
                (peak, at) = (state.z[0].abs(), frequency(t));
            }
        }
    }
    (peak, at)
}

fn behind_incidence() -> OperatingPoint {
    let mut point = plain_point(3);
    point.flight.angle_of_attack_rad = 0.08;
    point.propeller.pitch_error_rad = vec![0.004, 0.0, 0.0];
    point.solver.section_lift = SectionLift::Unsteady;
    point.solver.stations = 12;
    point.solver.harmonics = 3;
    point
}

fn schedule(rows: &[(f64, f64)]) -> Schedule {
    schedule_at(0.08, rows)
}

/// Shaft speeds, rad/s, against time at an angle of attack, rad.
fn schedule_at(angle_of_attack_rad: f64, rows: &[(f64, f64)]) -> Schedule {
    let row = |i: usize, (time_s, speed_rad_s): (f64, f64)| Row {
        name: format!("row{i}"),
        time_s,
        speed_rad_s,
        airspeed_m_s: 25.0,
        angle_of_attack_rad,
        flap_change_rad: 0.0,
        record: false,
    };
    Schedule { rows: rows.iter().enumerate().map(|(i, r)| row(i, *r)).collect(), states: 5 }
}

/// Three kilograms on four isolators on an immovable base, each with a damper, N s/m.
fn on_damped_isolators(damping_n_s_m: f64) -> Mount {
    let mut isolators = circle(-0.05, 0.08, 0.2, 4e5, 2e5);
    for isolator in &mut isolators {
        isolator.damping_n_s_m = Vec3::repeat(damping_n_s_m);
    }
    on_bench(powerplant(3.0, [-0.06, 0.0, 0.0], [0.02, 0.03, 0.03], 0.015), isolators)
}

/// When nothing changes the march is the periodic answer: loads, force on the airframe, motion. Unequal blades make 1P. Band: steps of the march at 3P,
/// (ωΔt)²/12 of the distance to resonance, 1e-3.
#[test]
fn val_when_nothing_changes_the_march_is_the_periodic_answer() {
    let point = behind_incidence();
    let speed = point.propeller.speed_rad_s;
    let mut mount = on_damped_isolators(60.0);
    mount.plant.rotor.unbalance_kg_m = 2e-5;
    let mut last: Option<Told> = None;
    march(
        &point,
        &mount,
        &schedule(&[(0.0, speed), (0.8, speed)]),
        |told: &Told| -> Result<(), MountError> {
            last = Some(told.clone());
            Ok(())
        },
    )
    .unwrap();
    let last = last.unwrap();
    assert_eq!(last.number, 24);
    let state = LoadedState::new(&point).unwrap();
    let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
    mount_agrees(&last, &Shaking::new(&ready, &state.loads, Some(&state.air)).unwrap(), &state);
    assert_eq!(channels(&mount).len(), 12);
}

fn mount_agrees(last: &Told, shaking: &Shaking, state: &LoadedState) {
    // Unbalance and airloads have phases here; their sum is bounded by, and close to, the periodic answer's parts.
    for (i, order) in [(0, 0), (0, 1), (0, 3), (3, 3)] {
        let amplitude = last.amplitude[i][order];
        let vector = if i == 0 { -state.loads.orders[order][0] } else { -state.loads.orders[order][6] };
        let expected = if order == 0 { vector.re } else { vector.norm() };
        assert_relative_eq!(amplitude, expected, epsilon = 1e-6 * state.loads.orders[0][0].norm());
    }
    for axis in 0..3 {
        for (channel, first) in [(Channel::Transmitted(axis), 6), (Channel::Hub(axis), 9)] {
            let place = shaking.channels.iter().position(|c| *c == channel).unwrap();
            let scale = shaking.air[place].iter().skip(1).map(|a| a.norm()).fold(0.0, f64::max);
            let own = last.amplitude[first + axis][3];
            assert_relative_eq!(own, shaking.air[place][3].norm(), epsilon = 2e-3 * scale.max(1e-12));
            let (air, unbalance) = (shaking.air[place][1].norm(), shaking.unbalance[place][1]);
            let one = last.amplitude[first + axis][1];
            assert!(one <= 1.002 * (air + unbalance) && one >= 0.998 * (air - unbalance).abs());
        }
    }
}

/// Run-up and run-down through the axial mode at 1P: both peak below the steady answer and on either side of it. Band: inequality.
#[test]
fn val_a_run_up_peaks_late_and_below_the_steady_answer() {
    let mut point = behind_incidence();
    point.solver.azimuths = 90;
    point.solver.harmonics = 2;
    let mount = {
        let mut isolators = circle(-0.05, 0.08, 0.0, 4e4, 4e4);
        for isolator in &mut isolators {
            isolator.damping_n_s_m = Vec3::repeat(7.0);
        }
        let mut mount = on_bench(powerplant(4.0, [-0.05, 0.0, 0.0], [0.05, 0.2, 0.2], 0.015), isolators);
        mount.plant.rotor.unbalance_kg_m = 1e-4;
        mount
    };
    // Lateral mode at √(16e4/4) = 200 rad/s.
    let peak = |from: f64, to: f64| {
        let mut most = (0.0, 0.0);
        march(
            &point,
            &mount,
            &schedule(&[(0.0, from), (1.5, to)]),
            |told: &Told| -> Result<(), MountError> {
                let side = told.amplitude[7][1];
                if side > most.0 {
                    most = (side, told.row.speed_rad_s);
                }
                Ok(())
            },
        )
        .unwrap();
        most
    };
    let (up, down) = (peak(150.0, 260.0), peak(260.0, 150.0));
    assert!(up.1 > down.1, "{up:?} {down:?}");
    assert!(up.1 > 200.0 && down.1 < 203.0, "{up:?} {down:?}");
}

/// In clean axial air with like blades and no unbalance nothing shakes, however fast the shaft runs up: thrust and torque rise, and the mount follows
/// them. Band: the line from one revolution's middle to the next bends by the second difference of thrust, a ten-thousandth of it.
#[test]
fn val_a_run_up_in_clean_air_shakes_nothing() {
    let mut point = plain_point(3);
    point.solver.stations = 12;
    point.solver.azimuths = 90;
    point.solver.harmonics = 2;
    let mount = on_damped_isolators(20.0);
    let mut along: Vec<Told> = Vec::new();
    march(
        &point,
        &mount,
        &schedule_at(0.0, &[(0.0, 150.0), (1.0, 260.0)]),
        |told| -> Result<(), MountError> {
            along.push(told.clone());
            Ok(())
        },
    )
    .unwrap();
    assert!(along.len() > 25);
    let means: Vec<f64> = along.iter().map(|told| told.amplitude[6][0]).collect();
    let grown = (means[means.len() - 1] - means[0]).abs();
    assert!(grown > 0.5 * means[0].abs(), "{means:?}");
    // The first revolutions still ring with the beginning of the rise.
    for told in &along[10..] {
        for channel in 6..9 {
            for order in 1..told.amplitude[channel].len() {
                let amplitude = told.amplitude[channel][order];
                assert!(amplitude < 1e-3 * grown, "{channel} {order}P {amplitude:e} of {grown}");
            }
        }
    }
}

/// On a free airframe the mean thrust passes through the isolators as on an immovable base: flight holds the airframe against it. Unchanged, mean
/// and shift are those of the periodic answer, and nothing drifts. Band: air's own stiffness, a ten-thousandth of the isolators'.
#[test]
fn val_the_mean_thrust_of_a_free_airframe_passes_through_its_isolators() {
    let point = behind_incidence();
    let speed = point.propeller.speed_rad_s;
    let mount = in_flight(on_damped_isolators(60.0), 40.0, [-1.0, 0.0, 0.1], [10.0, 20.0, 30.0]);
    let mut along: Vec<Told> = Vec::new();
    march(&point, &mount, &schedule(&[(0.0, speed), (0.8, speed)]), |told| -> Result<(), MountError> {
        along.push(told.clone());
        Ok(())
    })
    .unwrap();
    let state = LoadedState::new(&point).unwrap();
    let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
    let shaking = Shaking::new(&ready, &state.loads, Some(&state.air)).unwrap();
    let thrust = state.loads.orders[0][0].re.abs();
    for told in &along {
        for axis in 0..3 {
            let expected = shaking.amplitude(Channel::Transmitted(axis), 0);
            assert_relative_eq!(told.amplitude[6 + axis][0], expected, epsilon = 2e-3 * thrust);
        }
        assert_relative_eq!(told.amplitude[9][0], shaking.amplitude(Channel::Hub(0), 0), max_relative = 2e-3);
    }
}

/// Thrust by revolution along a schedule of angle of attack, rad, and airspeed, m/s: time, state, mean and amplitude at 1P.
fn thrust_along(point: &OperatingPoint, rows: &[(f64, f64, f64)]) -> Vec<(Row, [f64; 2])> {
    let mount = on_damped_isolators(60.0);
    let speed = point.propeller.speed_rad_s;
    let mut schedule = schedule(&rows.iter().map(|(time_s, ..)| (*time_s, speed)).collect::<Vec<_>>());
    for (row, (_, angle, airspeed)) in schedule.rows.iter_mut().zip(rows) {
        row.angle_of_attack_rad = *angle;
        row.airspeed_m_s = *airspeed;
    }
    let mut told_all = Vec::new();
    march(point, &mount, &schedule, |told: &Told| -> Result<(), MountError> {
        told_all.push((told.row.clone(), [told.amplitude[0][0], told.amplitude[0][1]]));
        Ok(())
    })
    .unwrap();
    told_all
}

/// The periodic answer in the state of a row: mean thrust and its amplitude at 1P.
fn periodic_thrust(point: &OperatingPoint, row: &Row) -> [f64; 2] {
    let mut at = point.clone();
    at.flight.angle_of_attack_rad = row.angle_of_attack_rad;
    at.flight.airspeed_m_s = row.airspeed_m_s;
    let state = LoadedState::new(&at).unwrap();
    [-state.loads.orders[0][0].re, state.loads.orders[1][0].norm()]
}

/// A slow ramp in angle of attack goes through the periodic answers: 60 revolutions for 0.16 rad, a lag of a few chords against
/// 80 revolutions of travel. Band: a tenth of a per cent of the mean, and the straight line between five states.
#[test]
fn val_a_slow_ramp_in_angle_goes_through_the_periodic_answers() {
    let point = behind_incidence();
    let along = thrust_along(&point, &[(0.0, 0.0, 25.0), (2.0, 0.16, 25.0)]);
    assert!(along.len() > 50);
    let scale = periodic_thrust(&point, &along[0].0)[0];
    for (row, found) in along.iter().step_by(7) {
        let expected = periodic_thrust(&point, row);
        for (found, expected) in found.iter().zip(expected) {
            assert_relative_eq!(*found, expected, epsilon = 2e-3 * scale);
        }
    }
    // Incidence makes 1P of the one blade that stands off: more at the end than at the start.
    assert!(along[along.len() - 1].1[1] > 2.0 * along[0].1[1]);
}

/// A discrete gust along the shaft, up in six revolutions and down again: thrust falls by no more than the periodic answer at its
/// top, most of it, and comes back to where it was. Band: inequality, and 2e-3 of the mean for the return.
#[test]
fn val_a_gust_takes_thrust_and_gives_it_back() {
    let point = behind_incidence();
    let rows =
        [(0.0, 0.08, 25.0), (0.3, 0.08, 25.0), (0.5, 0.08, 31.0), (0.7, 0.08, 25.0), (1.4, 0.08, 25.0)];
    let along = thrust_along(&point, &rows);
    let thrust: Vec<f64> = along.iter().map(|(_, [mean, _])| *mean).collect();
    let before = periodic_thrust(&point, &along[0].0)[0];
    let mut top = along[0].0.clone();
    top.airspeed_m_s = 31.0;
    let at_top = periodic_thrust(&point, &top)[0];
    let least = thrust.iter().copied().fold(f64::INFINITY, f64::min);
    assert!(at_top < 0.9 * before);
    assert!(
        least > at_top - 2e-3 * before && least < before - 0.8 * (before - at_top),
        "{least} {at_top} {before}"
    );
    assert_relative_eq!(thrust[0], before, epsilon = 2e-3 * before);
    assert_relative_eq!(thrust[thrust.len() - 1], before, epsilon = 2e-3 * before);
}
