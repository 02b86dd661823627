//! Flap modes of rotating beams and their aerodynamic damping.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use wakebeat_engine::flex::beam::Beam;
use wakebeat_engine::flex::flap::flapping;
use wakebeat_engine::mount::Complex64;
use wakebeat_engine::mount::aero::{BladeInAir, HubDerivatives};
use wakebeat_engine::mount::estimate::MATERIALS;
use wakebeat_engine::point::input::{
    BladeRow, BladeTable, Compressibility, SectionSpec, Surface, SurfaceWake,
};
use wakebeat_engine::point::solve_once;
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::Table;

/// Source: tapered rotating beam by Rayleigh-Ritz with 16 functions (table, converged to 1e-6; at rest Kirchhoff's wedge and cone). Band: 0.1 % of the
/// issue of the method; found 1e-5.
#[test]
fn val_tapered_rotating_beams_have_the_frequencies_of_the_table() {
    let table = Table::parse(include_str!("../data/mount/tapered_rotating_blade.csv")).unwrap();
    let (mut rows, mut worst) = (0, 0.0_f64);
    for row in table.rows() {
        let number = |name: &str| row.number(name).unwrap();
        let (c, t, hub, eta) = (number("c_tip"), number("t_tip"), number("hub_ratio"), number("eta"));
        // Length 1, root mass and stiffness 1: frequencies are the table's numbers.
        let x = move |r: f64| r - hub;
        let chord = move |r: f64| 1.0 - (1.0 - c) * x(r);
        let thick = move |r: f64| 1.0 - (1.0 - t) * x(r);
        let beam = Beam {
            root_m: hub,
            tip_m: 1.0 + hub,
            mass_kg_m: &move |r| chord(r) * thick(r),
            stiffness_n_m2: &move |r| chord(r) * thick(r).powi(3),
            pitch_rad: 0.0,
        };
        let modes = beam.modes(eta, 3).unwrap();
        for (mode, name) in modes.iter().zip(["mu1", "mu2", "mu3"]) {
            let error = (mode.frequency_rad_s / number(name) - 1.0).abs();
            assert!(
                error < 1e-3,
                "{name} c {c} t {t} hub {hub} eta {eta}: {} against {}",
                mode.frequency_rad_s,
                number(name)
            );
            worst = worst.max(error);
        }
        rows += 1;
    }
    println!("{rows} beams, largest difference {worst:.1e}");
    assert!(rows > 60);
}

/// Source: Lock-number damping of a rigid blade hinged on the axis, ζ = γK/(4ν), γ/(16ν) in hover (textbook; table). The moment slope A₃ holds the same
/// integral. Band: 400 strips.
#[test]
fn val_flap_damping_is_the_lock_number_formula() {
    let table = Table::parse(include_str!("../data/mount/blade_flap_damping.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let number = |name: &str| row.number(name).unwrap();
        let (mu, lock, nu) = (number("mu"), number("lock_number"), number("nu"));
        let (radius, omega, chord, slope, density) = (0.25, 680.0, 0.03, 5.7, 1.225);
        let mut point = plain_point(3);
        let blade_row = |radius_ratio: f64| BladeRow {
            radius_ratio,
            chord_ratio: chord / radius,
            twist_rad: 0.2,
            sweep_ratio: 0.0,
            thickness_ratio: 0.1,
            section: 0,
        };
        point.propeller.blade = BladeTable { generic: false, rows: vec![blade_row(1e-6), blade_row(1.0)] };
        point.propeller.diameter_m = 2.0 * radius;
        point.propeller.speed_rad_s = omega;
        point.propeller.compressibility = Compressibility::None;
        point.flight.altitude_m = 0.0;
        point.flight.temperature_offset_k = 0.0;
        point.solver.stations = 400;
        if let SectionSpec::Analytic(section) = &mut point.propeller.sections[0] {
            section.lift_slope_per_rad = slope;
        }
        let air = HubDerivatives::classical(&BladeInAir::new(&point), omega, mu * omega * radius);
        let inertia = density * slope * chord * radius.powi(4) / lock;
        let zeta = (2.0 / 3.0) * air.moment_by_rate_n_m_s / (2.0 * inertia * nu * omega);
        assert_relative_eq!(zeta, number("zeta_flap_along_shaft"), max_relative = 1e-4);
        rows += 1;
    }
    assert!(rows > 100);
}

/// Limit: a blade a million times stiffer passes the airloads as they are; a real one does not. Marching the modal equation in time until transients have
/// died gives the periodic closed form. Band: 1e-5 for the stiffness ratio, steps of the march.
#[test]
fn val_stiff_blades_are_the_limit_and_marching_ends_in_the_periodic_answer() {
    let mut point = plain_point(3);
    point.surfaces.push(wing_ahead());
    point.placement.hub_m = wakebeat_engine::base::Vec3::new(0.26, 0.0, 0.02);
    let result = solve_once(&point).unwrap();
    let mut stiff = MATERIALS[0];
    stiff.modulus_pa *= 1e6;
    stiff.loss_factor = 0.0;
    let orders = 8;
    let flap = flapping(&point, &result, stiff, orders).unwrap();
    for n in 0..orders {
        let scale = flap.stiff_thrust_n[0].norm();
        assert!((flap.thrust_n[n] - flap.stiff_thrust_n[n]).norm() < 1e-5 * scale);
    }
    let mut soft = MATERIALS[0];
    soft.loss_factor = 0.0;
    let flap = flapping(&point, &result, soft, orders).unwrap();
    assert!((flap.thrust_n[3] - flap.stiff_thrust_n[3]).norm() > 1e-3 * flap.stiff_thrust_n[3].norm());
    let mode = &flap.modes[0];
    let (w, c, omega) = (mode.beam.frequency_rad_s, mode.air_damping_per_s, point.propeller.speed_rad_s);
    // The forcing of the mode back from its closed answer.
    let force: Vec<Complex64> = (0..orders)
        .map(|n| {
            let x = n as f64 * omega;
            mode.tip_m[n] * Complex64::new(w * w - x * x, x * c)
        })
        .collect();
    let at = |series: &[Complex64], t: f64| -> f64 {
        series
            .iter()
            .enumerate()
            .map(|(n, a)| (a * Complex64::from_polar(1.0, n as f64 * omega * t)).re)
            .sum()
    };
    let (mut q, mut v, mut t) = (0.0, 0.0, 0.0);
    let steps_per_revolution = 400.0;
    let dt = std::f64::consts::TAU / omega / steps_per_revolution;
    let slope = |t: f64, q: f64, v: f64| (v, at(&force, t) - c * v - w * w * q);
    let end = 30.0 / c;
    while t < end {
        let k1 = slope(t, q, v);
        let k2 = slope(t + 0.5 * dt, q + 0.5 * dt * k1.0, v + 0.5 * dt * k1.1);
        let k3 = slope(t + 0.5 * dt, q + 0.5 * dt * k2.0, v + 0.5 * dt * k2.1);
        let k4 = slope(t + dt, q + dt * k3.0, v + dt * k3.1);
        q += dt / 6.0 * (k1.0 + 2.0 * k2.0 + 2.0 * k3.0 + k4.0);
        v += dt / 6.0 * (k1.1 + 2.0 * k2.1 + 2.0 * k3.1 + k4.1);
        t += dt;
    }
    assert_relative_eq!(q, at(&mode.tip_m, t), max_relative = 1e-6);
}

fn wing_ahead() -> Surface {
    let SectionSpec::Analytic(section) = plain_point(2).propeller.sections[0].clone() else { unreachable!() };
    Surface {
        name: "wing".into(),
        root_leading_edge_m: wakebeat_engine::base::Vec3::zeros(),
        mirror: true,
        span_m: 1.4,
        root_chord_m: 0.18,
        tip_chord_m: 0.18,
        sweep_rad: 0.0,
        dihedral_rad: 0.0,
        incidence_rad: 0.0,
        twist_rad: 0.0,
        thickness_ratio: 0.12,
        section,
        flaps: Vec::new(),
        wake: SurfaceWake::Momentum,
        potential: true,
    }
}
