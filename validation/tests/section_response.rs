//! The time-domain section driven by known gusts and motions, against exact responses.
//!
//! The section is the engine's own sweep: eight blade stations flying in a straight stream, driven through azimuth.

#![allow(clippy::print_stdout, reason = "tests print their comparisons for the reader")]

use approx::assert_relative_eq;
use wakebeat_engine::base::lanes::Lanes;
use wakebeat_engine::blade::BladeStation;
use wakebeat_engine::point::input::{AnalyticSection, Compressibility, SectionLift, Streamwise};
use wakebeat_engine::rotor::group::{StationGroup, StationSection};
use wakebeat_engine::rotor::sweep::{GroupFlow, GroupLoads, SweepSetup, SweepStart, sweep};
use wakebeat_engine::unsteady::indicial::{Indicial, KUSSNER, WAGNER};
use wakebeat_engine::unsteady::lag::Lag;
use wakebeat_validation::reference::Table;

const SPEED_M_S: f64 = 40.0;
const OMEGA: f64 = 100.0;
const GUST_M_S: f64 = 1e-4;

/// A thin plate.
fn plate() -> StationSection {
    let section = AnalyticSection {
        lift_slope_per_rad: std::f64::consts::TAU,
        zero_lift_rad: 0.0,
        drag_min: 0.0,
        drag_rise: 0.0,
        lift_at_drag_min: 0.0,
        lift_max: 2.0,
        lift_min: -2.0,
    };
    StationSection::Analytic(section, Compressibility::None)
}

fn setup() -> SweepSetup {
    SweepSetup {
        density_kg_m3: 1.0,
        speed_of_sound_m_s: 340.0,
        speed_rad_s: OMEGA,
        section_lift: SectionLift::Unsteady,
        streamwise: Streamwise::QuasiSteady,
        first_harmonic_undelayed: false,
        start: SweepStart::Periodic,
    }
}

/// A plate of a chord at an incidence, flying straight on.
fn straight_flight(chord_m: f64, twist_rad: f64) -> StationGroup {
    let station = BladeStation {
        radius_m: 1.0,
        width_m: 0.1,
        chord_m,
        twist_rad,
        lag_rad: 0.0,
        thickness_ratio: 0.1,
        section: 0,
    };
    StationGroup::new(&[station], &[plate()], 0.0)
}

/// Lift response of a section to a unit gust of `cycles` per revolution with `per_cycle` steps a cycle, over the
/// quasi-steady value: (real, imaginary) with the gust's phase at mid-chord.
fn driven_gust(reduced_frequency: f64, cycles: usize, per_cycle: usize) -> (f64, f64) {
    // k = ω c/(2W) with ω = cycles Ω.
    let chord_m = 2.0 * SPEED_M_S * reduced_frequency / (cycles as f64 * OMEGA);
    let group = straight_flight(chord_m, 0.0);
    let azimuths = cycles * per_cycle;
    let mut flow = GroupFlow::new(azimuths);
    let phase = |j: usize| std::f64::consts::TAU * (j % per_cycle) as f64 / per_cycle as f64;
    for j in 0..azimuths {
        // The velocity across the chord is minus the axial one at zero blade angle.
        flow.axial_m_s[j] = Lanes::splat(-GUST_M_S * phase(j).cos());
        flow.tangential_m_s[j] = Lanes::splat(SPEED_M_S);
    }
    let setup = setup();
    let mut loads = GroupLoads::new(azimuths);
    // The first sweep finds the states that repeat, the second begins with them.
    sweep(&group, &flow, &setup, &mut loads);
    sweep(&group, &flow, &setup, &mut loads);
    let steady = 0.5 * SPEED_M_S * chord_m * std::f64::consts::TAU * GUST_M_S;
    let mut sum = (0.0, 0.0);
    for (j, lift) in loads.normal_n_per_m.iter().enumerate() {
        sum.0 += lift.0[0] * phase(j).cos();
        sum.1 -= lift.0[0] * phase(j).sin();
    }
    let scale = 2.0 / (azimuths as f64 * steady);
    (sum.0 * scale, sum.1 * scale)
}

/// Source: Sears, J. Aeronaut. Sci. 8(3), 1941; closed form evaluated to 1e-12 in the table.
/// Band: 0.5 % of magnitude and 1° of phase with 64 steps a cycle; the fit of Küssner's function takes 0.16 % of it, the straight
/// line between steps 0.08 %, the shift to the leading edge the rest.
#[test]
fn val_sears_function_from_a_section_driven_in_time() {
    let table = Table::parse(include_str!("../data/section/sears_Sk.csv")).unwrap();
    let mut worst = (0.0_f64, 0.0_f64);
    let mut checked = 0;
    for row in table.rows() {
        let k = row.number("k").unwrap();
        if !(0.02..=5.0).contains(&k) {
            continue;
        }
        let (re, im) = driven_gust(k, 8, 64);
        let magnitude = re.hypot(im) / row.number("S_mag").unwrap() - 1.0;
        let exact = (row.number("S_re").unwrap(), row.number("S_im").unwrap());
        let phase = (im * exact.0 - re * exact.1).atan2(re * exact.0 + im * exact.1).to_degrees();
        assert!(magnitude.abs() < 0.005, "k = {k}: magnitude off by {magnitude:.4}");
        assert!(phase.abs() < 1.0, "k = {k}: phase off by {phase:.3}°");
        worst = (worst.0.max(magnitude.abs()), worst.1.max(phase.abs()));
        checked += 1;
    }
    println!("S(k): {checked} frequencies, worst {:.2} % and {:.2}°", 100.0 * worst.0, worst.1);
    assert!(checked > 30);
}

/// Steady-state response of a lag to cos(ωt) in `steps` a cycle, k in semichords: (real, imaginary).
fn driven_lag<const N: usize>(function: &Indicial<N>, k: f64, steps: usize) -> (f64, f64) {
    let w = |i: usize| (std::f64::consts::TAU * (i % steps) as f64 / steps as f64).cos();
    let ds = Lanes::splat(std::f64::consts::TAU / (k * steps as f64));
    let mut lag = Lag::AT_REST;
    for i in 0..steps {
        lag.step(function, ds, Lanes::splat(w(i + 1) - w(i)));
    }
    let mut lag = lag.repeating(&Lag::AT_REST, function, ds * steps as f64);
    let mut late = lag.value(function).0[0];
    let mut sum = (0.0, 0.0);
    for i in 0..steps {
        let phase = std::f64::consts::TAU * i as f64 / steps as f64;
        sum.0 += (w(i) + late) * phase.cos();
        sum.1 -= (w(i) + late) * phase.sin();
        late = lag.step(function, ds, Lanes::splat(w(i + 1) - w(i))).0[0];
    }
    (2.0 * sum.0 / steps as f64, 2.0 * sum.1 / steps as f64)
}

/// Source: Theodorsen, NACA Report 496, 1935; table to 1e-12. Band as for S(k): 0.5 %, 1°, 64 steps a cycle.
#[test]
fn val_theodorsen_function_from_the_motion_lag_driven_in_time() {
    let table = Table::parse(include_str!("../data/section/theodorsen_Ck.csv")).unwrap();
    let mut checked = 0;
    for row in table.rows() {
        let k = row.number("k").unwrap();
        if !(0.02..=5.0).contains(&k) {
            continue;
        }
        let (re, im) = driven_lag(&WAGNER, k, 64);
        let exact = (row.number("F").unwrap(), row.number("G").unwrap());
        let magnitude = re.hypot(im) / exact.0.hypot(exact.1) - 1.0;
        let phase = (im * exact.0 - re * exact.1).atan2(re * exact.0 + im * exact.1).to_degrees();
        assert!(magnitude.abs() < 0.005 && phase.abs() < 1.0, "k = {k}: {magnitude:.4}, {phase:.3}°");
        checked += 1;
    }
    assert!(checked > 30);
}

/// Source: Wagner 1925 and Küssner 1936 by inverse Laplace transform of their exact operational forms, table to 1e-9.
/// Band: 0.004 of the final value: what nine or eight exponentials leave of the square-root start (a two-term
/// fit leaves 0.09 there).
#[test]
fn val_wagner_and_kussner_steps() {
    let table = Table::parse(include_str!("../data/section/wagner_kussner.csv")).unwrap();
    for row in table.rows() {
        let s = row.number("s").unwrap();
        let phi = WAGNER.step_response(s) - row.number("phi_exact").unwrap();
        let psi = KUSSNER.step_response(s) - row.number("psi_exact").unwrap();
        assert!(phi.abs() < 0.001, "Wagner at s = {s}: {phi:.5}");
        assert!(psi.abs() < 0.004, "Küssner at s = {s}: {psi:.5}");
    }
}

/// The error of the straight line between steps falls with the square of the step.
#[test]
fn val_gust_response_converges_to_second_order() {
    let fine = driven_gust(0.5, 4, 4096);
    let error = |steps| {
        let at = driven_gust(0.5, 4, steps);
        (at.0 - fine.0).hypot(at.1 - fine.1)
    };
    let order = (error(32) / error(64)).log2();
    assert_relative_eq!(order, 2.0, epsilon = 0.2);
}

/// Source: Horlock, J. Basic Eng. 90, 1968 (table to 1e-12): lift of a plate at small incidence in a gust along the stream,
/// T(k) = S + J0 + iJ1 at mid-chord. Band 0.6 % of the quasi-steady value 2 for k up to 2 with 256 steps a cycle: Küssner's fit
/// and the second-order memory of the plate.
#[test]
fn val_horlock_function_from_a_section_driven_along_the_stream() {
    let table = Table::parse(include_str!("../data/section/horlock_Tk.csv")).unwrap();
    let mut checked = 0;
    for row in table.rows() {
        let k = row.number("k").unwrap();
        if !(0.02..=2.0).contains(&k) {
            continue;
        }
        let (re, im) = driven_stream(k, Streamwise::Horlock);
        let miss = (re - row.number("T_re").unwrap()).hypot(im - row.number("T_im").unwrap());
        assert!(miss < 0.012, "k = {k}: {re:.4} {im:+.4}i off by {miss:.4}");
        checked += 1;
    }
    assert!(checked >= 8);
    // Undelayed, the chordwise part is S + 1, in quadrature and size above T: what the option is for.
    let undelayed = driven_stream(1.0, Streamwise::QuasiSteady);
    assert!(undelayed.0.hypot(undelayed.1) > 1.35);
}

/// Lift of a plate at incidence 0.02 in a gust along the stream over 2πρ(c/2)U u₀ α: (real, imaginary).
fn driven_stream(reduced_frequency: f64, streamwise: Streamwise) -> (f64, f64) {
    const INCIDENCE: f64 = 0.02;
    let per_cycle = 256;
    let cycles = 4;
    let chord_m = 2.0 * SPEED_M_S * reduced_frequency / (cycles as f64 * OMEGA);
    let group = straight_flight(chord_m, INCIDENCE);
    let azimuths = cycles * per_cycle;
    let mut flow = GroupFlow::new(azimuths);
    let phase = |j: usize| std::f64::consts::TAU * (j % per_cycle) as f64 / per_cycle as f64;
    for j in 0..azimuths {
        flow.tangential_m_s[j] = Lanes::splat(SPEED_M_S + GUST_M_S * phase(j).cos());
    }
    let setup = SweepSetup { streamwise, ..setup() };
    let mut loads = GroupLoads::new(azimuths);
    sweep(&group, &flow, &setup, &mut loads);
    sweep(&group, &flow, &setup, &mut loads);
    let scale = 2.0 / (azimuths as f64 * std::f64::consts::PI * chord_m * SPEED_M_S * GUST_M_S * INCIDENCE);
    let mut sum = (0.0, 0.0);
    for (j, lift) in loads.normal_n_per_m.iter().enumerate() {
        sum.0 += lift.0[0] * phase(j).cos();
        sum.1 -= lift.0[0] * phase(j).sin();
    }
    (sum.0 * scale, sum.1 * scale)
}
