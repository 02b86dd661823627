//! Modes of a powerplant on isolators, transmissibility, shaft rotation and the free airframe, against closed forms.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use nalgebra::Complex;
use std::f64::consts::TAU;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::mount::aero::HubDerivatives;
use wakebeat_engine::mount::avoid::crossings;
use wakebeat_engine::mount::input::{Carrier, Isolator, Matrix3, Mount, Sensor, Shaft};
use wakebeat_engine::mount::loads::{HubHarmonics, HubVector, grade_unbalance_kg_m};
use wakebeat_engine::mount::response::Ready;
use wakebeat_engine::mount::scan::{MountModes, SpeedState};
use wakebeat_engine::mount::shaking::{Channel, Shaking};
use wakebeat_engine::mount::system::{ShaftRotation, System};
use wakebeat_validation::mounts::{circle, in_flight, isolator, on_bench, powerplant};
use wakebeat_validation::reference::Table;

const MODES: &str = include_str!("../data/mount/isolator_modes_at_rest.csv");
const AGAINST_SPEED: &str = include_str!("../data/mount/isolator_frequencies_against_shaft_speed.csv");

/// The body of the isolator tables: 1.2 kg on four isolators; hub in the centre of gravity.
fn body(isolators: Vec<Isolator>) -> Mount {
    on_bench(powerplant(1.2, [0.0; 3], [1.1e-3, 2.4e-3, 2.6e-3], 5e-4), isolators)
}

fn layout(name: &str) -> Mount {
    let (tilt_deg, offset_m) = match name {
        "focal" => (24.359_552_f64, 0.018),
        "centre of gravity plane" => (0.0, 0.0),
        _ => (0.0, 0.05),
    };
    body(circle(-offset_m, 0.045, tilt_deg.to_radians(), 9e4, 2.5e4))
}

fn frequencies(mount: &Mount, rpm: f64) -> Vec<f64> {
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Locked));
    let (modes, _) = ready.dynamics(rpm * TAU / 60.0, None).modes().unwrap();
    modes.iter().map(|mode| mode.frequency_hz()).collect()
}

/// Source: closed forms of tilted isolators on a circle and the 6 × 6 eigenproblem solved by scipy (table, 2e-15 between
/// them). Band: eight digits of the table.
#[test]
fn val_six_frequencies_at_rest_are_the_closed_forms() {
    let table = Table::parse(MODES).unwrap();
    for name in ["centre of gravity plane", "focal", "overhung 0.05 m; parallel"] {
        let rows = table.rows().filter(|row| row.text("layout").unwrap() == name);
        let mut expected: Vec<f64> = rows.map(|row| row.number("f_closed_hz").unwrap()).collect();
        expected.sort_by(f64::total_cmp);
        let found = frequencies(&layout(name), 0.0);
        assert_eq!(found.len(), 6);
        for (f, e) in found.iter().zip(&expected) {
            assert_relative_eq!(f, e, max_relative = 6e-8);
        }
    }
}

/// Source: gyroscopic pair in closed form and scipy's eigenvalues (table). Band: eight digits of the table.
#[test]
fn val_frequencies_against_shaft_speed_split_as_the_closed_form() {
    let table = Table::parse(AGAINST_SPEED).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let found = frequencies(&layout(row.text("layout").unwrap()), row.number("rpm").unwrap());
        for (i, f) in found.iter().enumerate() {
            assert_relative_eq!(*f, row.number(&format!("f{}", i + 1)).unwrap(), max_relative = 6e-8);
        }
        rows += 1;
    }
    assert!(rows > 15);
}

/// Source: nP lines against the same eigenproblem, by bracketing (table). Band: straight lines between speeds 20 rpm apart, 1e-4.
#[test]
fn val_order_lines_cross_the_modes_where_the_table_says() {
    let table = Table::parse(include_str!("../data/mount/isolator_crossings.csv")).unwrap();
    let mut compared = 0;
    for name in ["focal", "overhung 0.05 m; parallel"] {
        let mount = layout(name);
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Locked));
        let states: Vec<SpeedState> = (5..=600)
            .map(|i| {
                let speed_rad_s = f64::from(20 * i) * TAU / 60.0;
                let loads = HubHarmonics { speed_rad_s, orders: vec![HubVector::zeros()] };
                SpeedState {
                    speed_rad_s,
                    modes: MountModes::new(&ready).unwrap().lines(speed_rad_s, None).unwrap(),
                    shaking: Shaking::new(&ready, &loads, None).unwrap(),
                    turning_growth_per_s: None,
                }
            })
            .collect();
        let found = crossings(&states, &[1, 2, 3, 6]);
        for order in [1, 2, 3, 6] {
            let rows = table.rows().filter(|row| {
                row.text("layout").unwrap() == name && row.number("n").unwrap() == f64::from(order)
            });
            let mut expected: Vec<f64> = rows.map(|row| row.number("rpm").unwrap()).collect();
            expected.sort_by(f64::total_cmp);
            let own = found.iter().filter(|c| c.order == order as usize);
            let own: Vec<f64> = own.map(|c| c.speed_rad_s * 60.0 / TAU).collect();
            assert_eq!(own.len(), expected.len(), "{name}, order {order}: {own:?}");
            for (rpm, expected) in own.iter().zip(&expected) {
                assert_relative_eq!(rpm, expected, max_relative = 1e-4);
                compared += 1;
            }
        }
    }
    assert_eq!(compared, 48);
}

/// Exact: over a revolution the hub loads put in what dampers, loss and the drive take out; springs and rotation keep theirs.
/// Band: round-off of a solve.
#[test]
fn val_power_of_the_hub_loads_is_what_the_mount_dissipates() {
    let mut isolators = circle(-0.05, 0.045, 0.3, 9e4, 2.5e4);
    for (i, isolator) in isolators.iter_mut().enumerate() {
        isolator.damping_n_s_m = Vec3::new(12.0, 5.0, 7.0) * (1.0 + i as f64);
        isolator.loss_factor = Vec3::new(0.02, 0.1, 0.05);
    }
    let mut mount = in_flight(
        on_bench(powerplant(1.2, [-0.02, 0.001, 0.0], [1.1e-3, 2.4e-3, 2.6e-3], 5e-4), isolators),
        9.0,
        [-0.4, 0.0, 0.03],
        [0.3, 0.5, 0.7],
    );
    mount.plant.drive.torque_slope_n_m_s = 0.005;
    let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
    let speed_rad_s = 6000.0 * TAU / 60.0;
    // Any loads do; these differ in size and phase from order to order.
    let load = |n: usize| {
        HubVector::from_fn(|i, _| Complex::from_polar(1.0 / (1 + i + n) as f64, (3 * i + 5 * n) as f64))
    };
    let loads = HubHarmonics { speed_rad_s, orders: (0..7).map(load).collect() };
    let response = ready.respond(&loads, None).unwrap();
    let (mut put_in, mut taken_out) = (0.0, 0.0);
    for n in 1..loads.orders.len() {
        let (omega, q) = (n as f64 * speed_rad_s, &response.motion[n]);
        let rate = |motion: Complex<f64>| motion * Complex::new(0.0, omega);
        let hub = ready.hub_motion(q);
        put_in += (0..7).map(|i| 0.5 * (loads.orders[n][i] * rate(hub[i]).conj()).re).sum::<f64>();
        for (isolator, rows) in ready.system.isolators() {
            for axis in 0..3 {
                let shift: Complex<f64> = rows.row(axis).iter().zip(q.iter()).map(|(r, q)| q * *r).sum();
                let loss = isolator.stiffness_n_m[axis] * isolator.loss_factor[axis] / omega;
                taken_out += 0.5 * (isolator.damping_n_s_m[axis] + loss) * rate(shift).norm_sqr();
            }
        }
        let motor: Complex<f64> = ready.system.motor_angle().iter().zip(q.iter()).map(|(r, q)| q * *r).sum();
        taken_out += 0.5 * mount.plant.drive.torque_slope_n_m_s * rate(motor).norm_sqr();
    }
    assert!(put_in > 0.0);
    assert_relative_eq!(put_in, taken_out, max_relative = 1e-9);
}

/// A mass on one set of isolators that moves along x only.
fn axial(mass_kg: f64, stiffness: f64, damping: f64) -> Mount {
    let mut spring = isolator([0.0; 3], [stiffness; 3]);
    spring.damping_n_s_m = Vec3::repeat(damping);
    on_bench(powerplant(mass_kg, [0.0; 3], [1.0; 3], 0.1), vec![spring])
}

/// Source: force transmissibility of one degree of freedom (textbook; table). Band: ten digits of the table.
#[test]
fn val_transmissibility_is_that_of_one_degree_of_freedom() {
    let table = Table::parse(include_str!("../data/mount/transmissibility.csv")).unwrap();
    let (mass, natural) = (0.7_f64, 40.0 * TAU);
    let mut rows = 0;
    for row in table.rows() {
        let (zeta, r) = (row.number("zeta").unwrap(), row.number("r").unwrap());
        let mount = axial(mass, mass * natural * natural, 2.0 * zeta * mass * natural);
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
        let found =
            ready.transmissibility(&ready.dynamics(0.0, None).held(&[1, 2, 3, 4, 5, 6]), 0, r * natural);
        assert_relative_eq!(found, row.number("T").unwrap(), max_relative = 2e-8);
        rows += 1;
    }
    assert!(rows > 40);
}

/// Source: closed form of two masses and an isolator (table). Band: eight digits of the table.
#[test]
fn val_a_free_airframe_answers_by_the_reduced_mass() {
    let table = Table::parse(include_str!("../data/mount/free_two_mass.csv")).unwrap();
    let (m1, m2) = (0.8_f64, 11.0);
    let reduced = m1 * m2 / (m1 + m2);
    let natural = 40.0 * TAU;
    for row in table.rows() {
        let (zeta, f_hz) = (row.number("zeta").unwrap(), row.number("f_hz").unwrap());
        let bench = axial(m1, reduced * natural * natural, 2.0 * zeta * reduced * natural);
        let mut mount = in_flight(bench.clone(), m2, [0.0; 3], [1.0, 1.2, 1.3]);
        mount.sensors.push(Sensor {
            name: "sensor".into(),
            position_m: Vec3::zeros(),
            axes: Matrix3::identity(),
            carrier: Carrier::Airframe,
            limit_rms_m_s2: None,
        });
        let loads = |order: f64| HubHarmonics {
            speed_rad_s: TAU * f_hz / order,
            orders: vec![HubVector::zeros(), HubVector::from_fn(|i, _| f64::from(u8::from(i == 0)).into())],
        };
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
        let response = ready.respond(&loads(1.0), None).unwrap();
        let omega = TAU * f_hz;
        let a = ready.sensor_accelerations(&response.motion[1], omega)[0][0];
        assert_relative_eq!(a.norm(), row.number("a2_m_s2_per_n").unwrap(), max_relative = 2e-7);
        assert_relative_eq!(a.arg().to_degrees(), row.number("phase_deg").unwrap(), epsilon = 2e-5);
        let force = ready.transmitted(&ready.isolator_forces(&response.motion[1], omega))[0];
        assert_relative_eq!(force.norm(), row.number("force_through_isolator").unwrap(), max_relative = 2e-7);
        // What is told of the hub's motion is what strains the isolator.
        let strained = ready.hub_motion_on_airframe(&response.motion[1])[0];
        let isolator = Complex::new(natural, 2.0 * zeta * omega) * (reduced * natural);
        assert_relative_eq!((strained * isolator).norm(), force.norm(), max_relative = 1e-9);
        let ready = Ready::new(&bench, System::new(&bench, ShaftRotation::Free));
        let response = ready.respond(&loads(1.0), None).unwrap();
        let force = ready.transmitted(&ready.isolator_forces(&response.motion[1], omega))[0];
        assert_relative_eq!(
            force.norm(),
            row.number("force_on_immovable_base").unwrap(),
            max_relative = 2e-7
        );
    }
}

/// Source: rigid body in the plane of symmetry (table). A mount a million times stiffer than needed makes one body of all. Band: the
/// stiffness ratio, 1e-5.
#[test]
fn val_a_sensor_on_a_rigid_airframe_feels_shift_and_turn() {
    let table = Table::parse(include_str!("../data/mount/rigid_airframe_sensor.csv")).unwrap();
    // Hub at the mount; centre of gravity 0.55 m ahead and 0.06 m below.
    let bench =
        on_bench(powerplant(1e-4, [0.0; 3], [1e-7, 1e-7, 1e-7], 1e-9), circle(0.0, 0.05, 0.0, 1e9, 1e9));
    let mut mount = in_flight(bench, 11.0, [-0.55, 0.0, -0.06], [1.0, 1.4, 2.0]);
    mount.sensors.push(Sensor {
        name: "sensor".into(),
        position_m: Vec3::new(-0.85, 0.0, -0.04),
        axes: Matrix3::identity(),
        carrier: Carrier::Airframe,
        limit_rms_m_s2: None,
    });
    let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
    let mut square = 0.0;
    for row in table.rows() {
        let phasor = |name: &str, unit: &str| {
            let a = row.number(&format!("{name}_{unit}")).unwrap();
            nalgebra_phasor(a, row.number(&format!("{name}_phase_deg")).unwrap())
        };
        let mut load = HubVector::zeros();
        (load[0], load[2], load[4]) = (phasor("X", "n"), phasor("Z", "n"), phasor("My", "n_m"));
        let speed = 50.0;
        let response = ready
            .respond(&HubHarmonics { speed_rad_s: speed, orders: vec![HubVector::zeros(), load] }, None)
            .unwrap();
        let a = ready.sensor_accelerations(&response.motion[1], speed)[0];
        assert_relative_eq!(a[0].norm(), row.number("ax_m_s2").unwrap(), max_relative = 3e-5);
        assert_relative_eq!(a[2].norm(), row.number("az_m_s2").unwrap(), max_relative = 3e-5);
        assert_relative_eq!(-a[2].arg().to_degrees(), row.number("az_phase_deg").unwrap(), epsilon = 3e-3);
        square += 0.5 * a[2].norm_sqr();
    }
    assert_relative_eq!(square.sqrt(), 0.096_176_545_6, max_relative = 3e-5);
}

fn nalgebra_phasor(amplitude: f64, phase_deg: f64) -> wakebeat_engine::mount::Complex64 {
    wakebeat_engine::mount::Complex64::from_polar(amplitude, -phase_deg.to_radians())
}

/// Source: transfer from aerodynamic to motor torque, rigid and elastic shaft (table, closed form). Band: digits of the table.
#[test]
fn val_motor_torque_is_what_rotor_inertia_lets_through() {
    let table = Table::parse(include_str!("../data/mount/shaft_torque_transfer.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let (k_m, k_a) = (row.number("k_m_n_m_s").unwrap(), row.number("k_a_n_m_s").unwrap());
        let omega = TAU * row.number("f_hz").unwrap();
        for (stiffness, column) in
            [(None, "ratio_rigid"), (Some(30.0), "ratio_ks_30"), (Some(8.0), "ratio_ks_8")]
        {
            // A stator that cannot roll: heavy.
            let mut mount = on_bench(
                powerplant(1.0, [0.0; 3], [1e9, 1e9, 1e9], 2.6e-4),
                circle(0.0, 0.05, 0.0, 1e5, 1e5),
            );
            mount.plant.rotor.motor_polar_kg_m2 = 4e-5;
            mount.plant.drive.torque_slope_n_m_s = k_m;
            mount.plant.drive.shaft =
                stiffness.map(|k| Shaft { stiffness_n_m_per_rad: k, damping_n_m_s: 2e-3 });
            let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
            let air = HubDerivatives { torque_by_spin_n_m_s: k_a, ..still() };
            let mut load = HubVector::zeros();
            load[6] = (-1.0).into();
            let loads = HubHarmonics { speed_rad_s: omega, orders: vec![HubVector::zeros(), load] };
            let response = ready.respond(&loads, Some(&air)).unwrap();
            let ratio = ready.motor_torque(&response.motion[1], omega);
            assert_relative_eq!(
                ratio.norm(),
                row.number(column).unwrap(),
                max_relative = 1e-6,
                epsilon = 1e-12
            );
            if stiffness.is_none() && k_m > 0.0 {
                assert_relative_eq!(
                    ratio.arg().to_degrees(),
                    row.number("phase_rigid_deg").unwrap(),
                    epsilon = 1e-5
                );
            }
        }
        rows += 1;
    }
    assert!(rows > 25);
}

/// No airloads.
fn still() -> HubDerivatives {
    HubDerivatives {
        force_by_wind_n_s_m: 0.0,
        force_by_rate_n_s: 0.0,
        moment_by_wind_n_s: 0.0,
        moment_by_rate_n_m_s: 0.0,
        thrust_by_speed_n_s_m: 0.0,
        thrust_by_spin_n_s: 0.0,
        torque_by_speed_n_s: 0.0,
        torque_by_spin_n_m_s: 0.0,
        thrust_n: 0.0,
        torque_n_m: 0.0,
        axial_wind_m_s: 0.0,
        sigma: 1.0,
    }
}

/// Source: ISO 21940-11 formula (table). Band: ten digits of the table.
#[test]
fn val_unbalance_by_grade_is_the_standards() {
    let table = Table::parse(include_str!("../data/mount/balance_grades.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let omega = row.number("omega_rad_s").unwrap();
        let u =
            grade_unbalance_kg_m(row.number("G_mm_s").unwrap(), row.number("rotor_mass_kg").unwrap(), omega);
        assert_relative_eq!(u * 1e6, row.number("U_per_gmm").unwrap(), max_relative = 1e-8);
        assert_relative_eq!(u * omega * omega, row.number("force_N").unwrap(), max_relative = 1e-8);
        rows += 1;
    }
    assert!(rows > 20);
}

/// Closed form: the response of one degree of freedom at r = 1 is 1/(2ζ) times the static shift. Band: round-off.
#[test]
fn val_amplitude_at_resonance_is_one_over_twice_the_damping_ratio() {
    for zeta in [0.005, 0.02, 0.1] {
        let (mass, natural) = (0.5_f64, 200.0);
        let stiffness = mass * natural * natural;
        let mut mount = axial(mass, stiffness, 2.0 * zeta * mass * natural);
        for spring in &mut mount.isolators {
            spring.position_m = Vec3::zeros();
        }
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
        let mut load = HubVector::zeros();
        load[0] = 1.0.into();
        let loads = HubHarmonics {
            speed_rad_s: natural / 2.0,
            orders: vec![HubVector::zeros(), HubVector::zeros(), load],
        };
        let response = ready.respond(&loads, None).unwrap();
        assert_relative_eq!(response.motion[2][0].norm() * stiffness, 0.5 / zeta, max_relative = 1e-10);
    }
}

/// Exact: at rest the base holds the mean loads of the hub whatever stands between body and rotor; the drive's spring carries the
/// torque inside. Band: round-off of a solve.
#[test]
fn val_mean_loads_pass_to_the_base_past_the_spring_of_the_drive() {
    for gain in [0.0, 50.0, 5e3] {
        let plant = powerplant(1.2, [-0.02, 0.001, 0.0], [1.1e-3, 2.4e-3, 2.6e-3], 5e-4);
        let mut mount = on_bench(plant, circle(-0.05, 0.045, 0.3, 9e4, 2.5e4));
        mount.plant.drive.angle_gain_n_m = gain;
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
        let mut loads = HubHarmonics { speed_rad_s: 500.0, orders: vec![HubVector::zeros()] };
        let (thrust, torque) = (4.0, 0.11);
        loads.orders[0][0] = (-thrust).into();
        loads.orders[0][6] = (-torque).into();
        let response = ready.respond(&loads, None).unwrap();
        let transmitted = ready.transmitted(&ready.isolator_forces(&response.motion[0], 0.0));
        let expected = loads.steady_on_body(ready.system.sigma);
        assert!(expected[3].abs() > 0.1, "the body feels the torque");
        for (own, expected) in transmitted.iter().zip(expected) {
            assert_relative_eq!(own.re, expected, epsilon = 1e-12);
        }
    }
}

/// Exact: a stiff shaft adds a fast torsional mode and leaves the modes of the mount, rotation included, where they were.
/// Band: what the shaft still twists, its frequency's square under theirs.
#[test]
fn val_a_stiff_shaft_takes_no_mode_from_the_list() {
    let mut plant = powerplant(0.3, [0.02, 0.0, 0.0], [5e-4, 6e-4, 6e-4], 1e-4);
    plant.rotor.propeller_polar_kg_m2 = 1e-4;
    plant.rotor.motor_polar_kg_m2 = 1e-5;
    let isolators = circle(0.03, 0.02, 0.0, 3e4, 6e3);
    for free in [false, true] {
        let lines = |stiffness: Option<f64>, speed_rad_s: f64| {
            let mut mount = on_bench(plant.clone(), isolators.clone());
            if free {
                mount = in_flight(mount, 5.0, [-0.4, 0.0, 0.03], [0.3, 0.5, 0.7]);
            }
            mount.plant.drive.shaft =
                stiffness.map(|k| Shaft { stiffness_n_m_per_rad: k, damping_n_m_s: 0.0 });
            let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
            MountModes::new(&ready).unwrap().lines(speed_rad_s, None).unwrap()
        };
        for speed_rad_s in [0.0, 300.0, 1500.0] {
            let rigid = lines(None, speed_rad_s);
            assert!(rigid.len() >= 5, "{rigid:?}");
            for stiffness in [643.0, 1e5, 1e7] {
                let elastic = lines(Some(stiffness), speed_rad_s);
                assert_eq!(elastic.len(), rigid.len() + 1, "{stiffness} N m/rad, {speed_rad_s} rad/s");
                for (a, b) in rigid.iter().zip(&elastic) {
                    assert_relative_eq!(a.frequency_hz, b.frequency_hz, max_relative = 1e-3);
                }
            }
        }
    }
}

/// Unbalance in its worst direction: greatest of the answers to unbalance in 360 directions, each by itself. With two blades and a transverse
/// inertia that turns it matters how the unbalance lies to the blade; with three it does not. Band: directions a degree apart, 1.6e-4 at most.
#[test]
fn val_unbalance_is_taken_in_its_worst_direction() {
    let mut plant = powerplant(0.3, [0.02, 0.0, 0.0], [5e-4, 6e-4, 6e-4], 1e-4);
    plant.rotor.propeller_polar_kg_m2 = 1e-4;
    plant.rotor.unbalance_kg_m = 1e-5;
    let mut isolators = circle(0.03, 0.02, 0.0, 3e4, 2e4);
    for isolator in &mut isolators {
        isolator.loss_factor = Vec3::repeat(0.1);
    }
    let speed_rad_s = 620.0;
    for difference_kg_m2 in [0.0, 5e-5] {
        let mut mount = on_bench(plant.clone(), isolators.clone());
        mount.plant.rotor.transverse_difference_kg_m2 = difference_kg_m2;
        let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Free));
        let still = HubHarmonics { speed_rad_s, orders: vec![HubVector::zeros(); 6] };
        let told = Shaking::new(&ready, &still, None).unwrap();
        let towards = |ahead_rad: f64, axis: usize, order: usize| {
            let unbalance = HubHarmonics::of_unbalance(1e-5, ahead_rad, speed_rad_s, ready.system.sigma, 6);
            let motion = &ready.respond(&unbalance, None).unwrap().motion[order];
            let frequency = order as f64 * speed_rad_s;
            ready.transmitted(&ready.isolator_forces(motion, frequency))[axis].norm()
        };
        for (axis, order) in [(1, 1), (2, 1), (1, 3), (2, 3)] {
            let all: Vec<f64> =
                (0..360).map(|degrees| towards(f64::from(degrees).to_radians(), axis, order)).collect();
            let greatest = all.iter().copied().fold(0.0, f64::max);
            let least = all.iter().copied().fold(f64::INFINITY, f64::min);
            let worst = told.amplitude(Channel::Transmitted(axis), order);
            assert_relative_eq!(worst, greatest, max_relative = 2e-4, epsilon = 1e-12);
            if difference_kg_m2 == 0.0 {
                assert_relative_eq!(least, greatest, max_relative = 1e-9, epsilon = 1e-12);
            } else if order == 1 {
                assert!(least < 0.99 * greatest, "{axis} {least} {greatest}");
            }
        }
    }
}
