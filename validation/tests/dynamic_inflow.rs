//! Induced velocity that takes time and leans, and the normal force of a propeller at incidence.

// Helpers of tests, and comparisons are printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use wakebeat_engine::induction::dynamic::{DiskFlow, FirstLoads, time_factor};
use wakebeat_engine::point::input::{Induction, OperatingPoint, SectionLift};
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::point::solve_once;
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::Table;

/// Source: slope of the growing vortex cylinder at its start (Snel and Schepers 1995; table to 1e-5). Band: digits of the table.
#[test]
fn val_annulus_time_factors() {
    let table = Table::parse(include_str!("../data/induction/annulus_time_constants.csv")).unwrap();
    for row in table.rows() {
        let x = row.number("x").unwrap();
        assert_relative_eq!(time_factor(x), row.number("fa").unwrap(), epsilon = 2e-5);
    }
}

/// Source: three-state gain matrix (Pitt and Peters 1981, table). Band: digits of the table.
#[test]
fn val_gain_from_hub_moment_and_thrust_is_pitt_and_peters() {
    let table = Table::parse(include_str!("../data/induction/pitt_peters_gain_matrix.csv")).unwrap();
    for row in table.rows() {
        let chi = row.number("chi_deg").unwrap().to_radians();
        // 10 m/s through the disk, without induction so that V = V_T = 10 m/s whatever the skew.
        let flow = DiskFlow {
            density_kg_m3: 1.0,
            tip_m: 1.0,
            axial_m_s: 10.0 * chi.cos(),
            induced_m_s: 0.0,
            in_plane_m_s: 10.0 * chi.sin(),
            skew_azimuth_rad: 0.0,
        };
        let unit = 10.0 * std::f64::consts::PI;
        let along = flow.first_harmonic(&FirstLoads { cosine_moment_n_m: unit, ..FirstLoads::default() });
        let across = flow.first_harmonic(&FirstLoads { sine_moment_n_m: unit, ..FirstLoads::default() });
        let thrust = flow.first_harmonic(&FirstLoads { thrust_n: unit, ..FirstLoads::default() });
        assert_relative_eq!(along.cosine_m_s, row.number("L33_longitudinal").unwrap(), epsilon = 2e-6);
        assert_relative_eq!(across.sine_m_s, row.number("L22_lateral").unwrap(), epsilon = 2e-6);
        assert_relative_eq!(thrust.cosine_m_s, row.number("L13_magnitude").unwrap(), epsilon = 2e-6);
    }
}

/// In steady axial flow nothing leans and nothing ripples: `dynamic` is `momentum`. Band: the tolerance of the balance.
#[test]
fn val_dynamic_is_momentum_in_clean_axial_flow() {
    for blades in [1, 2, 3, 5] {
        let mut point = plain_point(blades);
        point.solver.section_lift = SectionLift::Unsteady;
        let momentum = solve_once(&point).unwrap();
        point.solver.induction = Induction::Dynamic;
        let dynamic = solve_once(&point).unwrap();
        let scale = momentum.scalar("thrust_n").unwrap();
        for load in HubLoad::ALL {
            for (a, b) in momentum.hub(load).history.iter().zip(&dynamic.hub(load).history) {
                // A single blade turns its own moment about the hub, and the disk answers it.
                if blades > 1 || load == HubLoad::Thrust {
                    let band = if blades == 1 { 0.05 } else { 1e-9 };
                    assert_relative_eq!(*a, *b, epsilon = band * scale);
                }
            }
        }
    }
}

/// Slope of the normal force coefficient by incidence of the handbook's kind of propeller at zero thrust, per rad.
fn normal_force_slope(blades: usize, blade_angle_deg: f64, thrust_loading: f64) -> f64 {
    let mut point = reference_propeller(blades, blade_angle_deg);
    point.flight.angle_of_attack_rad = 0.02;
    set_thrust(&mut point, thrust_loading);
    let result = solve_once(&point).unwrap();
    let force = result.hub(HubLoad::VerticalForce).harmonics.amplitude[0];
    // Normal to the shaft, on dynamic pressure of the free stream and disk area.
    force / (0.5 * 1.225 * point.flight.airspeed_m_s.powi(2) * std::f64::consts::PI * 0.25 * 0.02)
}

/// Constant chord of the handbook's side-area factor, 659 b/R = 80.7, constant pitch, thin section of slope 2π.
fn reference_propeller(blades: usize, blade_angle_deg: f64) -> OperatingPoint {
    let mut point = plain_point(blades);
    let pitch_over_radius = 0.75 * blade_angle_deg.to_radians().tan();
    for row in &mut point.propeller.blade.rows {
        row.chord_ratio = 80.7 / 659.0;
        row.twist_rad = (pitch_over_radius / row.radius_ratio).atan();
    }
    point.solver.induction = Induction::Dynamic;
    point.solver.section_lift = SectionLift::Unsteady;
    point.solver.azimuths = 120;
    point.solver.tolerance = 1e-9;
    point.solver.harmonics = 2;
    point
}

/// Airspeed at which the thrust over free-stream dynamic pressure and disk area is what is asked.
fn set_thrust(point: &mut OperatingPoint, loading: f64) {
    // About the speed at which the blade screws through without thrust: its pitch times revolutions.
    let row = &point.propeller.blade.rows[0];
    let pitch_m = std::f64::consts::TAU * 0.5 * row.radius_ratio * row.twist_rad.tan();
    let screwing = 30.0 * pitch_m;
    let (mut low, mut high) = (0.3 * screwing, 1.2 * screwing);
    for _ in 0..60 {
        let mid = 0.5 * (low + high);
        point.flight.airspeed_m_s = mid;
        let thrust = solve_once(point).unwrap().scalar("thrust_n").unwrap();
        let head = 0.5 * 1.225 * mid * mid * std::f64::consts::PI * 0.25;
        if thrust / head > loading { low = mid } else { high = mid }
    }
}

/// Source: USAF handbook fig. 4.6.1-25a after Ribner, NACA Report 819 (28 values). Band 12 % on the ratio to three blades,
/// blade angles 20 to 45°: chart reading 3 %, theory against tests 10 %. Absolute values are printed: the handbook's blade is
/// known only through its side-area factor.
#[test]
fn val_normal_force_ratios_between_blade_counts() {
    let table =
        Table::parse(include_str!("../data/induction/propeller_normal_force_derivative.csv")).unwrap();
    let handbook = |blades: usize, angle: f64| {
        table
            .rows()
            .find(|r| {
                r.text("type").unwrap() == "single"
                    && r.number("blades").unwrap() == blades as f64
                    && r.number("blade_angle_deg").unwrap() == angle
            })
            .unwrap()
            .number("CN_alpha_per_rad")
            .unwrap()
    };
    for angle in [20.0, 25.0, 30.0, 35.0, 40.0] {
        let three = normal_force_slope(3, angle, 0.0);
        for blades in [2, 4, 6] {
            let ours = normal_force_slope(blades, angle, 0.0);
            println!("{blades} blades at {angle}°: {ours:.4} against {:.4}", handbook(blades, angle));
            let ratio = (ours / three) / (handbook(blades, angle) / handbook(3, angle));
            assert!((ratio - 1.0).abs() < 0.12, "{blades} blades at {angle}°: ratio off by {ratio:.3}");
        }
    }
}

/// Source: USAF handbook fig. 4.6.1-25b (thrust factor f). Band 10 %.
#[test]
fn val_normal_force_grows_with_thrust() {
    let zero = normal_force_slope(3, 30.0, 0.0);
    // T/(8 q R²) = loading π/8; f from the same closed form, f = 1 + (√(1 + Tc) − 1)/2 + Tc/(4(2 + Tc)), Tc = T/(qA).
    for loading in [0.25, 0.5, 1.0] {
        let factor = 1.0 + 0.5 * (f64::sqrt(1.0 + loading) - 1.0) + loading / (4.0 * (2.0 + loading));
        let ours = normal_force_slope(3, 30.0, loading) / zero;
        println!("T/(qA) {loading}: {ours:.3} against {factor:.3}");
        assert!((ours / factor - 1.0).abs() < 0.10, "T/(qA) {loading}: {ours:.3} against {factor:.3}");
    }
}
