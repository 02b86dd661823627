//! Which blade-load harmonics reach the hub, and the harmonics of a plane wake slab, through the whole engine.

#![allow(clippy::unwrap_used)]

use std::f64::consts::{FRAC_PI_2, PI};

use wakebeat_engine::base::Vec3;
use wakebeat_engine::inflow::InflowSource;
use wakebeat_engine::point::input::OperatingPoint;
use wakebeat_engine::point::result::{BladeLoad, DiskField, Harmonics, HubLoad, PointResult};
use wakebeat_engine::point::solve_with;
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::reference::Table;

/// Axial velocity ε cos(nψ) over the whole disk, ψ from the top of a clockwise disk at the origin.
struct Tone {
    order: f64,
    size_m_s: f64,
}

impl InflowSource for Tone {
    fn name(&self) -> &str {
        "tone"
    }

    fn velocity_m_s(&self, p: &Vec3) -> Option<Vec3> {
        Some(Vec3::new(self.size_m_s * (self.order * p.y.atan2(p.z)).cos(), 0.0, 0.0))
    }
}

/// d0 cos²(π(z − h)/(2b)) slower for |z − h| < b.
struct Slab {
    depth_m_s: f64,
    height_m: f64,
    half_width_m: f64,
}

impl InflowSource for Slab {
    fn name(&self) -> &str {
        "slab"
    }

    fn velocity_m_s(&self, p: &Vec3) -> Option<Vec3> {
        let zeta = (p.z - self.height_m) / self.half_width_m;
        let slow = if zeta.abs() < 1.0 { self.depth_m_s * (FRAC_PI_2 * zeta).cos().powi(2) } else { 0.0 };
        Some(Vec3::new(-slow, 0.0, 0.0))
    }
}

fn complex(h: &Harmonics, n: usize) -> (f64, f64) {
    (h.amplitude[n] * h.phase_rad[n].cos(), -h.amplitude[n] * h.phase_rad[n].sin())
}

/// Amplitude of order n of the blade's axial force times its distance from the hub.
fn moment_about_hub(result: &PointResult, n: usize, root_m: f64) -> f64 {
    let flap = complex(&result.blades[0][BladeLoad::FlapMoment as usize].harmonics, n);
    let thrust = complex(&result.blades[0][BladeLoad::Thrust as usize].harmonics, n);
    (flap.0 + root_m * thrust.0).hypot(flap.1 + root_m * thrust.1)
}

/// Source: exact trigonometry of equally spaced blades (table; NACA TN 2585 describes the two-blade case).
/// Band: 2e-6, set by what is nonlinear in a gust of 1e-6 of the airspeed.
#[test]
fn val_hub_selection_rules_for_two_to_six_blades() {
    let table = Table::parse(include_str!("../data/rotor/hub_harmonic_selection.csv")).unwrap();
    let mut checked = 0;
    for blades in 2..=6 {
        for n in 1..=12_usize {
            let mut point = plain_point(blades);
            point.solver.azimuths = 250; // not a multiple of 3, 4 or 6
            let tone = Tone { order: n as f64, size_m_s: 2.5e-5 };
            let result = solve_with(&point, vec![Box::new(tone)]).unwrap();
            let own = complex(&result.blades[0][BladeLoad::Thrust as usize].harmonics, n);
            let axial = own.0.hypot(own.1);
            let moment = moment_about_hub(&result, n, 0.1);
            let clean = solve_with(&point, Vec::new()).unwrap();
            for order in 0..=8 * blades {
                let expected = |quantity: &str| -> f64 {
                    table
                        .rows()
                        .find(|row| {
                            row.number("Z").unwrap() == blades as f64
                                && row.number("n").unwrap() == n as f64
                                && row.text("quantity").unwrap() == quantity
                                && row.number("fixed_frame_per_rev").unwrap() == order as f64
                        })
                        .map_or(0.0, |row| row.number("amplitude_normalised").unwrap())
                };
                let ours = |load: HubLoad, scale: f64| {
                    let (a, b) = (&result.hub(load).harmonics, &clean.hub(load).harmonics);
                    if order == 0 {
                        (a.amplitude[0] - b.amplitude[0]).abs() / scale
                    } else {
                        a.amplitude[order] / scale
                    }
                };
                // The mean thrust moves with the square of the tone; only its own table row counts at order 0.
                if order > 0 {
                    let thrust = ours(HubLoad::Thrust, axial);
                    assert!(
                        (thrust - expected("thrust_or_torque")).abs() < 2e-6,
                        "Z {blades} n {n} at {order}P: {thrust}"
                    );
                }
                let pitching = ours(HubLoad::PitchingMoment, moment);
                assert!(
                    (pitching - expected("inplane_cos_axis")).abs() < 2e-6,
                    "Z {blades} n {n} at {order}P: {pitching}"
                );
                let yawing = ours(HubLoad::YawingMoment, moment);
                assert!(
                    (yawing - expected("inplane_sin_axis")).abs() < 2e-6,
                    "Z {blades} n {n} at {order}P: {yawing}"
                );
                checked += 1;
            }
        }
    }
    assert!(checked > 1000);
}

/// Source: exact Fourier content of a cos² slab (table, quadrature to 1e-11). Band: 3e-6 of the depth, what the
/// kink in the slab's second derivative leaves of a 2880-point sum.
#[test]
fn val_wake_slab_harmonics_on_the_disk() {
    let table = Table::parse(include_str!("../data/rotor/wake_slab_harmonics.csv")).unwrap();
    let station = 16;
    for (r_over_b, h_over_b) in slabs(&table) {
        let mut point = plain_point(2);
        point.solver.azimuths = 2880;
        let depth = 1e-4 * point.flight.airspeed_m_s;
        let radius = solve_with(&point, Vec::new()).unwrap().radius_m[station];
        let result = solve_with(&point, vec![Box::new(slab(radius, r_over_b, h_over_b, depth))]).unwrap();
        let row = result.disk(DiskField::AxialInflow).row(station).to_vec();
        for (n, exact) in magnitudes(&table, r_over_b, h_over_b) {
            let mut sum = (0.0, 0.0);
            for (j, u) in row.iter().enumerate() {
                let (sin, cos) = (n as f64 * result.azimuth_rad[j]).sin_cos();
                sum = (sum.0 + (25.0 - u) * cos, sum.1 + (25.0 - u) * sin);
            }
            let share = if n == 0 { 1.0 } else { 2.0 };
            let ours = share * sum.0.hypot(sum.1) / (row.len() as f64 * depth);
            assert!(
                (ours - exact).abs() < 3e-6,
                "r/b {r_over_b} h/b {h_over_b} n {n}: {ours} against {exact}"
            );
        }
    }
}

/// The slab's harmonics pass the whole chain to hub thrust: for a shallow slab each order of one station's force is in the
/// same proportion to the slab's, and hub thrust at NP is N times the blade's.
#[test]
fn val_slab_reaches_hub_thrust_in_proportion() {
    let table = Table::parse(include_str!("../data/rotor/wake_slab_harmonics.csv")).unwrap();
    let station = 16;
    for blades in 2..=6 {
        let mut point = plain_point(blades);
        point.solver.azimuths = 1440;
        let depth = 1e-5 * point.flight.airspeed_m_s;
        let radius = solve_with(&point, Vec::new()).unwrap().radius_m[station];
        let result = solve_with(&point, vec![Box::new(slab(radius, 5.0, 0.5, depth))]).unwrap();
        let force = order_sizes(&result, station);
        let exact: Vec<(usize, f64)> = magnitudes(&table, 5.0, 0.5);
        let proportion = force[2] / exact[2].1;
        for (n, size) in exact.iter().skip(1).filter(|(_, size)| *size > 1e-3) {
            assert!((force[*n] / size / proportion - 1.0).abs() < 1e-3, "{blades} blades, order {n}");
        }
        let own = result.blades[0][0].harmonics.amplitude[blades];
        let hub = result.hub(HubLoad::Thrust).harmonics.amplitude[blades];
        assert!((hub / (blades as f64 * own) - 1.0).abs() < 1e-9);
    }
}

/// Clean axial inflow has no ripple: below 1e-9 of the mean in every load that has a mean.
#[test]
fn val_clean_axial_inflow_has_no_ripple() {
    for blades in 1..=6 {
        let point: OperatingPoint = plain_point(blades);
        let result = solve_with(&point, Vec::new()).unwrap();
        let scale = result.hub(HubLoad::Thrust).harmonics.amplitude[0];
        for load in HubLoad::ALL {
            // A single blade turns its own in-plane load and moment about the hub: that is no ripple of the inflow.
            if blades == 1 && !matches!(load, HubLoad::Thrust | HubLoad::Torque | HubLoad::RollingMoment) {
                continue;
            }
            let ripple = result.hub(load).harmonics.amplitude[1..].iter().fold(0.0_f64, |a, b| a.max(*b));
            assert!(ripple < 1e-9 * scale, "{blades} blades, {}: {ripple:e} of {scale}", load.name());
        }
    }
}

fn slab(radius: f64, r_over_b: f64, h_over_b: f64, depth_m_s: f64) -> Slab {
    let half_width_m = radius / r_over_b;
    Slab { depth_m_s, height_m: h_over_b * half_width_m, half_width_m }
}

fn slabs(table: &Table) -> Vec<(f64, f64)> {
    let mut list: Vec<(f64, f64)> =
        table.rows().map(|r| (r.number("r_over_b").unwrap(), r.number("h_over_b").unwrap())).collect();
    list.dedup();
    list
}

fn magnitudes(table: &Table, r_over_b: f64, h_over_b: f64) -> Vec<(usize, f64)> {
    table
        .rows()
        .filter(|r| r.number("r_over_b").unwrap() == r_over_b && r.number("h_over_b").unwrap() == h_over_b)
        .map(|r| (r.number("n").unwrap() as usize, r.number("magnitude").unwrap()))
        .collect()
}

fn order_sizes(result: &PointResult, station: usize) -> Vec<f64> {
    let row = result.disk(DiskField::NormalForce).row(station).to_vec();
    (0..=12)
        .map(|n| {
            let (mut re, mut im) = (0.0, 0.0);
            for (j, f) in row.iter().enumerate() {
                let phase = 2.0 * PI * ((n * j) % row.len()) as f64 / row.len() as f64;
                re += f * phase.cos();
                im += f * phase.sin();
            }
            2.0 * re.hypot(im) / row.len() as f64
        })
        .collect()
}
