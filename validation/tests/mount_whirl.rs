//! Propeller whirl on two angles and the rocking of two-blade propellers, against closed forms and independent integration.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use std::f64::consts::TAU;
use wakebeat_engine::mount::aero::{BladeInAir, HubDerivatives};
use wakebeat_engine::mount::modes::Dynamics;
use wakebeat_engine::mount::periodic::{Turning, equal_stiffness_band};
use wakebeat_engine::mount::response::Ready;
use wakebeat_engine::mount::system::{ShaftRotation, System};
use wakebeat_engine::mount::whirl::TwoAngles;
use wakebeat_engine::mount::{Complex64, Matrix};
use wakebeat_engine::point::input::{
    BladeRow, BladeTable, Compressibility, Flight, OperatingPoint, SectionSpec,
};
use wakebeat_validation::mounts::{on_bench, powerplant};
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::Table;

const OMEGA: f64 = 680.0;
const POLAR: f64 = 8e-4;
const INERTIA: f64 = 6e-3;

/// The propeller of the whirl tables: three blades, R 0.25 m, chord 0.03 m from the axis to the tip, lift slope 5.7.
fn propeller(root_ratio: f64) -> OperatingPoint {
    let mut point = plain_point(3);
    let row = |radius_ratio: f64| BladeRow {
        radius_ratio,
        chord_ratio: 0.12,
        twist_rad: 0.3,
        sweep_ratio: 0.0,
        thickness_ratio: 0.1,
        section: 0,
    };
    point.propeller.blade = BladeTable { generic: false, rows: vec![row(root_ratio), row(1.0)] };
    point.propeller.diameter_m = 0.5;
    point.propeller.speed_rad_s = OMEGA;
    point.propeller.compressibility = Compressibility::None;
    if let SectionSpec::Analytic(section) = &mut point.propeller.sections[0] {
        section.lift_slope_per_rad = 5.7;
    }
    point.flight = Flight {
        airspeed_m_s: 40.0,
        altitude_m: 0.0,
        temperature_offset_k: 0.0,
        angle_of_attack_rad: 0.0,
        sideslip_rad: 0.0,
    };
    point.solver.stations = 400;
    point
}

fn derivatives(axial_m_s: f64) -> HubDerivatives {
    HubDerivatives::classical(&BladeInAir::new(&propeller(1e-6)), OMEGA, axial_m_s)
}

/// Source: closed strip integrals A1, A2, A3 (table; checked there against a sum of nonlinear strip loads). Band: 400 strips, 2e-5.
#[test]
fn val_whirl_derivatives_are_the_closed_strip_integrals() {
    let table = Table::parse(include_str!("../data/mount/whirl_boundary_isotropic.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let d = derivatives(row.number("V_m_s").unwrap());
        assert_relative_eq!(d.force_by_wind_n_s_m, row.number("A1").unwrap(), max_relative = 3e-4);
        assert_relative_eq!(d.force_by_rate_n_s, row.number("A2").unwrap(), max_relative = 3e-5);
        assert_relative_eq!(d.moment_by_wind_n_s, row.number("A2").unwrap(), max_relative = 3e-5);
        assert_relative_eq!(d.moment_by_rate_n_m_s, row.number("A3").unwrap(), max_relative = 3e-5);
        rows += 1;
    }
    assert!(rows > 100);
}

/// The powerplant turning about a pivot on the shaft, hub l aft of it, with springs and dampers about y and z.
fn two_angles(hub_aft_m: f64, speed: f64, axial: f64, springs: (f64, f64), damping: f64) -> Dynamics {
    // A body whose inertia about the pivot is the table's: its mass is small, its centre in the pivot.
    let centre = [-hub_aft_m, 0.0, 0.0];
    let mount = on_bench(powerplant(1e-3, centre, [POLAR, INERTIA, INERTIA], POLAR), Vec::new());
    let ready = Ready::new(&mount, System::new(&mount, ShaftRotation::Locked));
    let air = derivatives(axial);
    let mut dynamics = ready.dynamics(speed, Some(&air));
    let mut turn = Matrix::zeros(6, 2);
    (turn[(4, 0)], turn[(5, 1)]) = (1.0, 1.0);
    dynamics = dynamics.constrained(&turn);
    dynamics.stiffness[(0, 0)] += springs.0;
    dynamics.stiffness[(1, 1)] += springs.1;
    for i in 0..2 {
        dynamics.damping[(i, i)] += damping;
    }
    dynamics
}

fn growth(dynamics: &Dynamics) -> f64 {
    dynamics.roots().unwrap().iter().map(|root| root.re).fold(f64::NEG_INFINITY, f64::max)
}

/// Source: closed boundary K = I w² + Ip Ω w − l V A1 with w = V A2/D (model of Reed and Bland, NASA TN D-659; table). The matrices of the mount
/// change from stable to unstable there, for a pusher, a pivot in the hub, and a tractor. Band: strips, 3e-4.
#[test]
fn val_whirl_boundary_is_the_classical_one_for_pusher_and_tractor() {
    let table = Table::parse(include_str!("../data/mount/whirl_boundary_isotropic.csv")).unwrap();
    let (mut rows, mut worst) = (0, 0.0_f64);
    for row in table.rows() {
        let (l, v, zeta) =
            (row.number("l_m").unwrap(), row.number("V_m_s").unwrap(), row.number("zeta").unwrap());
        let Ok(k) = row.number("K_crit_n_m_per_rad") else { continue };
        if k <= 0.0 {
            continue;
        }
        let d = derivatives(v);
        let closed = TwoAngles {
            inertia_kg_m2: INERTIA,
            angular_momentum_n_m_s: POLAR * OMEGA,
            hub_aft_m: l,
            axial_m_s: v,
            a1: d.force_by_wind_n_s_m,
            a2: d.force_by_rate_n_s,
            a3: d.moment_by_rate_n_m_s,
        };
        assert_relative_eq!(closed.critical_at_ratio(zeta).0, k, max_relative = 3e-4);
        let at = |factor: f64| {
            let k = factor * k;
            growth(&two_angles(l, OMEGA, v, (k, k), 2.0 * zeta * (k * INERTIA).sqrt()))
        };
        assert!(at(1.002) < 0.0 && at(0.998) > 0.0, "l {l} V {v} zeta {zeta}: {} {}", at(1.002), at(0.998));
        worst = worst.max((closed.critical_at_ratio(zeta).0 / k - 1.0).abs());
        rows += 1;
    }
    println!("{rows} boundaries, largest difference {worst:.1e}");
    assert!(rows > 80);
}

/// Source: Routh's criterion on unequal stiffness (table). Band: strips and a step of 0.2 % across the boundary.
#[test]
fn val_unequal_stiffness_moves_the_whirl_boundary_as_routh_says() {
    let table = Table::parse(include_str!("../data/mount/whirl_boundary_anisotropic.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let (l, zeta, ky) =
            (row.number("l_m").unwrap(), row.number("zeta").unwrap(), row.number("Ky_n_m_per_rad").unwrap());
        let Ok(high) = row.number("Kz_high") else { continue };
        let at = |factor: f64| {
            let kz = factor * high;
            // The table's damping: each axis at ζ of its own stiffness.
            let mut dynamics = two_angles(l, OMEGA, 40.0, (ky, kz), 0.0);
            dynamics.damping[(0, 0)] += 2.0 * zeta * (ky * INERTIA).sqrt();
            dynamics.damping[(1, 1)] += 2.0 * zeta * (kz * INERTIA).sqrt();
            growth(&dynamics)
        };
        assert!(at(1.003) < 0.0 && at(0.997) > 0.0, "l {l} zeta {zeta} Ky {ky}: {} {}", at(1.003), at(0.997));
        rows += 1;
    }
    assert!(rows > 4);
}

/// Source: roots of the quartic (table). Band: strips, 3e-4; damping from A1 near the axis.
#[test]
fn val_whirl_frequencies_damping_and_sense() {
    let table = Table::parse(include_str!("../data/mount/whirl_frequencies.csv")).unwrap();
    for row in table.rows() {
        let (k, v) = (row.number("K_n_m_per_rad").unwrap(), row.number("V_m_s").unwrap().max(1e-9));
        let (modes, _) = two_angles(0.1, OMEGA, v, (k, k), 0.0).modes().unwrap();
        for (mode, i) in modes.iter().zip(1..) {
            assert_relative_eq!(
                mode.frequency_hz(),
                row.number(&format!("f{i}_hz")).unwrap(),
                max_relative = 3e-4
            );
            assert_relative_eq!(
                mode.damping_ratio(),
                row.number(&format!("damping{i}")).unwrap(),
                epsilon = 1e-4
            );
            let forward = row.text(&format!("sense{i}")).unwrap() == "forward";
            assert_eq!(i == 2, forward);
        }
    }
}

/// The two-blade rotor of the tables on two angles.
fn rocking(rpm: f64, inertia: f64, (j1, j2): (f64, f64), springs: (f64, f64), damping: f64) -> Turning {
    let speed = rpm * TAU / 60.0;
    let polar = j1 + j2;
    let mut dynamics = Dynamics {
        mass: Matrix::identity(2, 2) * (inertia + 0.5 * polar),
        damping: Matrix::identity(2, 2) * damping,
        stiffness: Matrix::from_row_slice(2, 2, &[springs.0, 0.0, 0.0, springs.1]),
        loss: Matrix::zeros(2, 2),
    };
    dynamics.damping[(0, 1)] -= polar * speed;
    dynamics.damping[(1, 0)] += polar * speed;
    Turning::new(dynamics, 0.5 * (j2 - j1), 0, 1.0, speed).unwrap()
}

const ROTOR: (f64, f64) = (2e-6, 4e-4);

/// Source: multipliers by 8th-order Runge-Kutta (table); harmonic balance of 29 harmonics agrees with them to 2e-13 there. Band: growth 1e-6 of the
/// rest frequency, steps of the integration.
#[test]
fn val_two_blade_multipliers_and_harmonic_balance_agree_with_the_table() {
    let table = Table::parse(include_str!("../data/mount/two_blade_mount_floquet.csv")).unwrap();
    let rest = 73.648_1 * TAU;
    let mut rows = 0;
    for row in table.rows() {
        let (zeta, rpm) = (row.number("zeta").unwrap(), row.number("rpm").unwrap());
        let damping = 2.0 * zeta * (300.0 * (1.2e-3 + 0.5 * (ROTOR.0 + ROTOR.1))).sqrt();
        let turning = rocking(rpm, 1.2e-3, ROTOR, (300.0, 450.0), damping);
        let expected = row.number("growth_1_s").unwrap();
        assert_relative_eq!(turning.growth().unwrap(), expected, epsilon = 1e-6 * rest);
        if rows % 6 == 0 {
            assert_relative_eq!(
                turning.growth_by_harmonic_balance(12).unwrap(),
                expected,
                epsilon = 1e-6 * rest
            );
        }
        let largest = turning.multipliers().unwrap().iter().map(|m: &Complex64| m.norm()).fold(0.0, f64::max);
        assert_relative_eq!(largest, row.number("m1_abs").unwrap(), max_relative = 1e-5);
        rows += 1;
    }
    assert!(rows > 50);
}

/// Source: closed synchronous speeds √(K/(In − J1)) and √(K/(In − J2)) (table). Band: growth passes 0.2 % of the lower edge a little inside.
#[test]
fn val_two_blades_on_equal_stiffness_are_unstable_between_the_synchronous_speeds() {
    let table = Table::parse(include_str!("../data/mount/two_blade_isotropic_band.csv")).unwrap();
    for row in table.rows() {
        let inertia = row.number("In_kg_m2").unwrap();
        let (low, high) = equal_stiffness_band(300.0, inertia, ROTOR.0, ROTOR.1);
        let rpm = 60.0 / TAU;
        assert_relative_eq!(low * rpm, row.number("rpm_low_closed").unwrap(), max_relative = 1e-7);
        let growth = |rpm: f64| rocking(rpm, inertia, ROTOR, (300.0, 300.0), 0.0).growth().unwrap();
        let small = 1e-3 * low;
        assert!(growth(0.999 * low * rpm) < small && growth(1.002 * low * rpm) > small);
        match high {
            Some(high) => {
                assert_relative_eq!(high * rpm, row.number("rpm_high_closed").unwrap(), max_relative = 1e-7);
                assert!(growth(0.998 * high * rpm) > small && growth(1.001 * high * rpm) < small);
            }
            None => assert!(row.number("rpm_high_closed").is_err()),
        }
    }
}

/// Source: Hill's equation of one axis (table, Floquet) and its first order Ω/ω0 = 1 ∓ ε/4. Band: bisection to 1e-6; first order to second-order terms, 0.35 ε².
#[test]
fn val_one_axis_rocks_in_the_first_band_and_not_in_the_second() {
    let table = Table::parse(include_str!("../data/mount/two_blade_single_axis_bands.csv")).unwrap();
    for row in table.rows() {
        let eps = row.number("eps").unwrap();
        let growth = |ratio: f64| one_axis(eps, ratio).growth().unwrap();
        let edge = |mut outside: f64, mut inside: f64| {
            for _ in 0..30 {
                let middle = 0.5 * (outside + inside);
                if growth(middle) > 1e-4 { inside = middle } else { outside = middle }
            }
            0.5 * (outside + inside)
        };
        let (low, high) = (edge(1.0 - 0.5 * eps, 1.0), edge(1.0 + 0.6 * eps, 1.0));
        assert_relative_eq!(low, row.number("band1_low").unwrap(), epsilon = 2e-6);
        assert_relative_eq!(high, row.number("band1_high").unwrap(), epsilon = 2e-6);
        assert_relative_eq!(low, 1.0 - 0.25 * eps, epsilon = 0.35 * eps * eps);
        assert_relative_eq!(high, 1.0 + 0.25 * eps, epsilon = 0.35 * eps * eps);
        // The second band, about Ω = ω0/2, is closed.
        for i in 0..=40 {
            let ratio = 0.5 * (1.0 + eps * (f64::from(i) / 20.0 - 1.0) * 0.25);
            assert!(growth(ratio) < 1e-6, "eps {eps} ratio {ratio}");
        }
    }
}

/// Rocking about y only: z is held by a very heavy inertia, slow enough to meet no line. ω0 = 1.
fn one_axis(eps: f64, ratio: f64) -> Turning {
    let mut mass = Matrix::identity(2, 2);
    mass[(1, 1)] = 1e9;
    let mut damping = Matrix::zeros(2, 2);
    // Overdamped, so that the held axis meets no multiple of the shaft speed.
    damping[(1, 1)] = 1e9;
    let dynamics = Dynamics {
        mass,
        damping,
        stiffness: Matrix::from_row_slice(2, 2, &[1.0, 0.0, 0.0, 1e7]),
        loss: Matrix::zeros(2, 2),
    };
    Turning::new(dynamics, eps, 0, 1.0, ratio).unwrap()
}

/// Source: three blades have constant coefficients (table): Floquet multipliers and eigenvalues agree. Band: steps of the integration.
#[test]
fn val_three_blades_by_floquet_are_the_eigenvalues() {
    let table = Table::parse(include_str!("../data/mount/two_blade_mount_floquet.csv")).unwrap();
    for row in table.rows().step_by(7) {
        let (zeta, rpm) = (row.number("zeta").unwrap(), row.number("rpm").unwrap());
        let damping = 2.0 * zeta * (300.0 * (1.2e-3 + 0.5 * (ROTOR.0 + ROTOR.1))).sqrt();
        let mut turning = rocking(rpm, 1.2e-3, ROTOR, (300.0, 450.0), damping);
        turning.difference_kg_m2 = 0.0;
        let (modes, _) = turning.dynamics.modes().unwrap();
        assert_relative_eq!(modes[0].frequency_hz(), row.number("three_f1_hz").unwrap(), max_relative = 1e-7);
        assert_relative_eq!(modes[1].frequency_hz(), row.number("three_f2_hz").unwrap(), max_relative = 1e-7);
        let largest = modes.iter().map(|mode| mode.root.re).fold(f64::NEG_INFINITY, f64::max);
        assert_relative_eq!(turning.growth().unwrap(), largest, epsilon = 5e-4);
    }
}
