//! Limit loads against a mount worked by hand and against the derivative of angular momentum.

#![allow(clippy::unwrap_used, reason = "a failed step is a failed test")]

use approx::assert_relative_eq;
use nalgebra::Matrix3;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::limit::input::{Engine, LimitFactors, LimitPlant, Power, Support};
use wakebeat_engine::limit::{LimitCase, LimitLoads, limit_loads, rules};
use wakebeat_validation::reference::{Row, Table};

const POLAR_KG_M2: f64 = 4.2e-4;

fn factors() -> LimitFactors {
    LimitFactors {
        engine: Engine::Electric { torque_factor: 1.25 },
        load_factor: 3.8,
        side_load_factor: None,
        pitch_rate_rad_s: rules::PITCH_RATE_RAD_S,
        yaw_rate_rad_s: rules::YAW_RATE_RAD_S,
        gyroscopic_load_factor: rules::GYROSCOPIC_LOAD_FACTOR,
        torque_factor_in_gyroscopic: false,
        ultimate_factor: 1.5,
    }
}

/// The small electric pusher of the worked example; hub 0.08 m aft of the bolt plane, which no case depends on.
fn example(pulsating_kg_m2: f64) -> LimitLoads {
    const HUB_M: f64 = 0.08;
    let plant = LimitPlant {
        mass_kg: 1.10,
        centre_of_gravity_m: Vec3::new(0.050 - HUB_M, 0.0, 0.0),
        polar_inertia_kg_m2: POLAR_KG_M2,
        pulsating_inertia_kg_m2: pulsating_kg_m2,
        sigma: 1.0,
        aircraft_axes: Matrix3::identity(),
    };
    let bolt = |k: usize| {
        let angle = std::f64::consts::FRAC_PI_4 * (2 * k + 1) as f64;
        let position_m = Vec3::new(-HUB_M, 0.030 * angle.cos(), 0.030 * angle.sin());
        Support { name: format!("bolt{}", k + 1), position_m, stiffness_n_m: Matrix3::identity() * 1e6 }
    };
    let bolts: Vec<Support> = (0..4).map(bolt).collect();
    let speed_rad_s = 7200.0 * std::f64::consts::TAU / 60.0;
    let takeoff = Power { thrust_n: 42.0, torque_n_m: 1.05, speed_rad_s };
    let continuous = Power { thrust_n: 0.9 * 42.0, torque_n_m: 0.9 * 1.05, speed_rad_s };
    limit_loads(&factors(), &plant, &bolts, takeoff, continuous).unwrap()
}

fn table(text: &str) -> Table {
    Table::parse(text).unwrap()
}

fn number(row: &Row<'_>, column: &str) -> f64 {
    row.number(column).unwrap()
}

/// The example's name of a case in ours; `None` for the pulsing ones.
fn ours(name: &str) -> Option<&'static str> {
    Some(match name {
        "torque: take-off; 0.75 n_A" => "take-off torque",
        "torque: maximum continuous; n_A" => "continuous torque",
        "side +1.33" => "side load to starboard",
        "gyroscopic q +1.0; yaw (about +z) +2.5" => "gyroscopic, nose up, nose to port",
        "gyroscopic q +1.0; yaw (about +z) -2.5" => "gyroscopic, nose up, nose to starboard",
        "gyroscopic q -1.0; yaw (about +z) +2.5" => "gyroscopic, nose down, nose to port",
        "gyroscopic q -1.0; yaw (about +z) -2.5" => "gyroscopic, nose down, nose to starboard",
        _ => return None,
    })
}

fn case<'a>(loads: &'a LimitLoads, name: &str) -> &'a LimitCase {
    loads.cases.iter().find(|case| case.name == name).unwrap()
}

/// Source: limit loads of an invented electric pusher worked by hand from the rule numbers; 8 digits printed.
#[test]
fn val_loads_at_the_mount_of_the_worked_example() {
    let loads = example(0.0);
    let mut checked = 0;
    for row in table(include_str!("../data/fatigue/limit_load_example_mount.csv")).rows() {
        let Some(name) = ours(row.text("case").unwrap()) else { continue };
        let case = case(&loads, name);
        let (f, m) = (case.force_n, case.moment_n_m);
        for (column, value) in
            [("Fx_n", f.x), ("Fy_n", f.y), ("Fz_n", f.z), ("Mx_n_m", m.x), ("My_n_m", m.y), ("Mz_n_m", m.z)]
        {
            assert_relative_eq!(value, number(&row, column), max_relative = 1e-7, epsilon = 1e-12);
        }
        let axial = || case.supports.iter().map(|s| s.force_n.x);
        let greatest = axial().fold(f64::NEG_INFINITY, f64::max);
        let least = axial().fold(f64::INFINITY, f64::min);
        let shear = case.supports.iter().map(|s| s.shear_n()).fold(0.0, f64::max);
        assert_relative_eq!(greatest, number(&row, "max_bolt_axial_n"), max_relative = 1e-6);
        assert_relative_eq!(least, number(&row, "min_bolt_axial_n"), max_relative = 1e-6);
        assert_relative_eq!(shear, number(&row, "max_bolt_shear_n"), max_relative = 1e-6);
        checked += 1;
    }
    assert_eq!(checked, 7);
}

/// Source: the same example, bolt by bolt.
#[test]
fn val_bolts_of_the_worked_example() {
    let loads = example(0.0);
    let mut checked = 0;
    for row in table(include_str!("../data/fatigue/limit_load_example_bolts.csv")).rows() {
        let Some(name) = ours(row.text("case").unwrap()) else { continue };
        let support = case(&loads, name).supports[number(&row, "bolt") as usize - 1];
        let f = support.force_n;
        for (column, value) in [("fx_n", f.x), ("fy_n", f.y), ("fz_n", f.z), ("shear_n", support.shear_n())] {
            assert_relative_eq!(value, number(&row, column), max_relative = 1e-6, epsilon = 1e-9);
        }
        assert_relative_eq!(support.resultant_n(), number(&row, "resultant_n"), max_relative = 1e-6);
        checked += 1;
    }
    assert_eq!(checked, 28);
}

/// Source: the same example with two thin blades. The worst bolt, 54.32157 N, is not worst where the moment is largest (53.20941 N).
#[test]
fn val_two_blades_find_the_worst_azimuth_of_each_bolt() {
    let loads = example(POLAR_KG_M2);
    let case = case(&loads, "gyroscopic, nose up, nose to port");
    let rows = table(include_str!("../data/fatigue/limit_load_example_mount.csv"));
    let largest = rows.rows().find(|row| row.text("case").unwrap().ends_with("largest resultant")).unwrap();
    assert_relative_eq!(case.moment_n_m.y, number(&largest, "My_n_m"), max_relative = 1e-7);
    assert_relative_eq!(case.moment_n_m.z, number(&largest, "Mz_n_m"), max_relative = 1e-7);
    let bolts = table(include_str!("../data/fatigue/limit_load_example_bolts.csv"));
    let worst = bolts
        .rows()
        .find(|row| row.text("case").unwrap().ends_with("worst bolt") && number(row, "bolt") == 3.0)
        .unwrap();
    let bolt = case.supports[2];
    assert_relative_eq!(bolt.force_n.x, number(&worst, "fx_n"), max_relative = 1e-7);
    assert_relative_eq!(bolt.resultant_n(), number(&worst, "resultant_n"), max_relative = 1e-7);
    // Every bolt is at least as badly off as at either azimuth of the table.
    for row in bolts.rows().filter(|row| row.text("case").unwrap().contains("two blades")) {
        let found = case.supports[number(&row, "bolt") as usize - 1].resultant_n();
        assert!(found >= number(&row, "resultant_n") * (1.0 - 1e-7));
    }
}

/// Source: angular momentum of thin-rod blades differentiated over a turn: mean Ip Ω ω, largest resultant twice that with two blades. The
/// table's axes turn with the spin along +x; resultants do not depend on that.
#[test]
fn val_gyroscopic_moments_of_two_three_and_four_blades() {
    let mut checked = 0;
    for row in table(include_str!("../data/fatigue/gyroscopic_moments.csv")).rows() {
        let (blades, polar) = (number(&row, "B"), number(&row, "Ip"));
        let plant = LimitPlant {
            mass_kg: 1.0,
            centre_of_gravity_m: Vec3::zeros(),
            polar_inertia_kg_m2: polar,
            pulsating_inertia_kg_m2: if blades == 2.0 { polar } else { 0.0 },
            sigma: 1.0,
            aircraft_axes: Matrix3::identity(),
        };
        let support = |y: f64, z: f64| Support {
            name: "support".into(),
            position_m: Vec3::new(0.0, y, z),
            stiffness_n_m: Matrix3::identity() * 1e6,
        };
        let supports = [support(0.1, 0.0), support(-0.05, 0.08), support(-0.05, -0.08)];
        let speed_rad_s = number(&row, "rpm") * std::f64::consts::TAU / 60.0;
        let power = Power { thrust_n: 0.0, torque_n_m: 0.0, speed_rad_s };
        let factors = LimitFactors {
            pitch_rate_rad_s: number(&row, "q"),
            yaw_rate_rad_s: number(&row, "r"),
            gyroscopic_load_factor: 0.0,
            ..factors()
        };
        let loads = limit_loads(&factors, &plant, &supports, power, power).unwrap();
        let moment = case(&loads, "gyroscopic, nose up, nose to port").moment_n_m;
        assert_relative_eq!(moment.norm(), number(&row, "M_resultant_max"), max_relative = 1e-4);
        if blades > 2.0 {
            assert_relative_eq!(moment.norm(), number(&row, "Ip_Omega_rate"), max_relative = 1e-9);
            assert_relative_eq!(
                moment.y.abs(),
                number(&row, "My_mean").abs(),
                max_relative = 1e-9,
                epsilon = 1e-9
            );
            assert_relative_eq!(
                moment.z.abs(),
                number(&row, "Mz_mean").abs(),
                max_relative = 1e-9,
                epsilon = 1e-9
            );
        }
        checked += 1;
    }
    assert!(checked >= 12);
}
