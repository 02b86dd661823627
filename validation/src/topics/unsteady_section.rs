//! The time-domain section driven by known gusts and motions.
//!
//! Gusts: a whole engine whose thin, unloaded blades cut a tone fixed in space, one cycle of which is one cycle of gust.
//! The chord is chosen so that a station meets the reduced frequency of the table. Motions: the engine's lag, stepped.

use std::f64::consts::TAU;

use wakebeat_engine::base::lanes::Lanes;
use wakebeat_engine::point::input::{OperatingPoint, SectionLift, Streamwise};
use wakebeat_engine::point::result::{DiskField, PointResult};
use wakebeat_engine::point::{PointError, solve_with};
use wakebeat_engine::unsteady::indicial::{Indicial, KUSSNER, WAGNER};
use wakebeat_engine::unsteady::lag::Lag;

use crate::propellers::plain_point;
use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};
use crate::tone::Tone;

/// Cycles of gust in a revolution and steps in a cycle.
const CYCLES: usize = 12;
const STEPS_A_CYCLE: usize = 96;

/// Reduced frequencies that count.
const RANGE: std::ops::RangeInclusive<f64> = 0.02..=5.0;

/// Chordwise gusts: the band holds to here.
const CHORDWISE_RANGE: std::ops::RangeInclusive<f64> = 0.02..=2.0;

const SPEED_M_S: f64 = 2.0;
const GUST_M_S: f64 = 1e-4;
const STATION: usize = 4;
const ALONG: &str = "reduced frequency k";

pub(super) fn checks() -> Vec<Check> {
    vec![
        Check::new("unsteady_section", "gust, S(k)", "Sears 1941, closed form to 1e-12", sears),
        Check::new(
            "unsteady_section",
            "heave, C(k)",
            "Theodorsen, NACA Report 496 (1935), to 1e-12",
            theodorsen,
        ),
        Check::new(
            "unsteady_section",
            "steps",
            "Wagner 1925, Küssner 1936, inverse Laplace transform to 1e-9",
            steps,
        ),
        Check::new("unsteady_section", "gust along the stream, T(k)", "Horlock 1968, to 1e-12", horlock),
    ]
}

type Complex = (f64, f64);

/// Rows of magnitude and phase against a column pair of a table.
fn response_rows(symbols: [&'static str; 2], values: &[(f64, Complex, Complex)]) -> Vec<Row> {
    let size = |c: Complex| c.0.hypot(c.1);
    let late = |a: Complex, b: Complex| (a.1 * b.0 - a.0 * b.1).atan2(a.0 * b.0 + a.1 * b.1).to_degrees();
    let angle = |c: Complex| c.1.atan2(c.0).to_degrees();
    let magnitude = values.iter().map(|(k, exact, ours)| Point::new(*k, size(*exact), size(*ours)));
    // Angles may pass ±180°: ours is the exact one plus what lies between.
    let phase = values
        .iter()
        .map(|(k, exact, ours)| Point::new(*k, angle(*exact), angle(*exact) + late(*ours, *exact)));
    vec![
        Row::curve(symbols[0], symbols[0], ALONG, magnitude.collect())
            .within(Band::Relative(0.005), "fit of the indicial function 0.2 %, 96 steps a cycle 0.05 %"),
        Row::curve(symbols[1], symbols[1], ALONG, phase.collect())
            .in_unit("deg")
            .within(Band::Absolute(1.0), "fit of the indicial function, 96 steps a cycle"),
    ]
}

fn sears(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/section/sears_Sk.csv"))?;
    let mut values = Vec::new();
    for row in table.rows() {
        let k = row.number("k")?;
        if RANGE.contains(&k) {
            let exact = (row.number("S_re")?, row.number("S_im")?);
            values.push((k, exact, gust_response(k, CYCLES, fineness.0 * STEPS_A_CYCLE)?));
        }
    }
    Ok(response_rows(["size of S", "phase of S"], &values))
}

/// Lift of a section in a gust across it of unit amplitude over the quasi-steady lift, phase from mid-chord.
///
/// # Errors
/// Where the engine has no answer.
pub fn gust_response(
    reduced_frequency: f64,
    cycles: usize,
    steps_a_cycle: usize,
) -> Result<Complex, PointError> {
    let point = driven_blades(reduced_frequency, cycles, steps_a_cycle, 0.0);
    let tone = Tone { order: cycles as f64, axial_m_s: -GUST_M_S, tangential_m_s: 0.0 };
    let result = solve_with(&point, vec![Box::new(tone)])?;
    let met = Met::new(&result, &point);
    // An axial gust ε lies across a chord that runs along the stream by ε cos φ, and its lift stands forward by cos φ.
    let unit = 0.5 * met.density_kg_m3 * met.speed_m_s * met.chord_m * TAU * GUST_M_S * met.cos_phi.powi(2);
    Ok(force_harmonic(&result, cycles, unit))
}

fn horlock(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/section/horlock_Tk.csv"))?;
    let (mut real, mut imaginary) = (Vec::new(), Vec::new());
    for row in table.rows() {
        let k = row.number("k")?;
        if CHORDWISE_RANGE.contains(&k) {
            let ours = chordwise_response(k, CYCLES, fineness.0 * 4 * STEPS_A_CYCLE)?;
            real.push(Point::new(k, row.number("T_re")?, ours.0));
            imaginary.push(Point::new(k, row.number("T_im")?, ours.1));
        }
    }
    let row = |name: &'static str, points| {
        Row::curve(name, name, ALONG, points)
            .within(Band::Absolute(0.012), "0.6 % of the quasi-steady value 2: fit of Küssner's function")
    };
    Ok(vec![row("Re T", real), row("Im T", imaginary)])
}

/// Lift of a plate at small incidence in a gust along it, over its mean lift times the gust over the speed.
fn chordwise_response(k: f64, cycles: usize, steps_a_cycle: usize) -> Result<Complex, PointError> {
    let mut point = driven_blades(k, cycles, steps_a_cycle, 0.02);
    point.solver.streamwise = Streamwise::Horlock;
    // Along the stream that the station meets, induced velocity included: against its motion and aft.
    let clean = solve_with(&point, Vec::new())?;
    let mean = |field: DiskField| clean.disk(field).row(STATION).mean().unwrap_or(f64::NAN);
    let (aft, around) = (mean(DiskField::AxialVelocity), mean(DiskField::TangentialVelocity));
    let speed_m_s = aft.hypot(around);
    let tone = Tone {
        order: cycles as f64,
        axial_m_s: GUST_M_S * aft / speed_m_s,
        tangential_m_s: -GUST_M_S * around / speed_m_s,
    };
    let result = solve_with(&point, vec![Box::new(tone)])?;
    let row = result.disk(DiskField::NormalForce).row(STATION).to_vec();
    let mean = row.iter().sum::<f64>() / row.len() as f64;
    Ok(force_harmonic(&result, cycles, mean * GUST_M_S / speed_m_s))
}

/// What a station meets.
struct Met {
    density_kg_m3: f64,
    speed_m_s: f64,
    chord_m: f64,
    cos_phi: f64,
}

impl Met {
    fn new(result: &PointResult, point: &OperatingPoint) -> Self {
        let around = point.propeller.speed_rad_s * result.radius_m[STATION];
        let speed_m_s = around.hypot(SPEED_M_S);
        let chord_m = 0.5 * point.propeller.diameter_m * point.propeller.blade.rows[0].chord_ratio;
        Self { density_kg_m3: 1.225, speed_m_s, chord_m, cos_phi: around / speed_m_s }
    }
}

/// Harmonic n of the axial force of the station over a unit: real part in phase with cos nψ, imaginary part ahead of it.
fn force_harmonic(result: &PointResult, n: usize, unit: f64) -> Complex {
    let row = result.disk(DiskField::NormalForce).row(STATION).to_vec();
    let count = row.len();
    let sum = row.iter().enumerate().fold((0.0, 0.0), |sum, (j, force)| {
        let (sin, cos) = (TAU * ((n * j) % count) as f64 / count as f64).sin_cos();
        (sum.0 + force * cos, sum.1 - force * sin)
    });
    (2.0 * sum.0 / (count as f64 * unit), 2.0 * sum.1 / (count as f64 * unit))
}

/// Two thin blades whose chord lies along the stream everywhere, turned by an angle of attack, so that a tone of `cycles` is a
/// gust of the reduced frequency at the station. k = n Ω c/(2W).
fn driven_blades(k: f64, cycles: usize, steps_a_cycle: usize, angle_rad: f64) -> OperatingPoint {
    let mut point = plain_point(2);
    point.flight.airspeed_m_s = SPEED_M_S;
    point.solver.section_lift = SectionLift::Unsteady;
    point.solver.stations = 8;
    point.solver.azimuths = cycles * steps_a_cycle;
    point.solver.harmonics = cycles.div_ceil(2);
    let (tip, omega) = (0.5 * point.propeller.diameter_m, point.propeller.speed_rad_s);
    let rows = &mut point.propeller.blade.rows;
    let x = station_radius_ratio(rows[0].radius_ratio);
    let speed = (omega * x * tip).hypot(SPEED_M_S);
    let chord_ratio = 2.0 * speed * k / (cycles as f64 * omega) / tip;
    for row in rows {
        row.chord_ratio = chord_ratio;
        row.twist_rad = (SPEED_M_S / (omega * row.radius_ratio * tip)).atan() + angle_rad;
    }
    point
}

/// Where the station lies among eight, as the engine spaces them.
fn station_radius_ratio(root: f64) -> f64 {
    let theta = std::f64::consts::PI * (STATION as f64 + 0.5) / 8.0;
    root + 0.5 * (1.0 - root) * (1.0 - theta.cos())
}

fn theodorsen(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/section/theodorsen_Ck.csv"))?;
    let mut values = Vec::new();
    for row in table.rows() {
        let k = row.number("k")?;
        if RANGE.contains(&k) {
            let exact = (row.number("F")?, row.number("G")?);
            values.push((k, exact, driven_lag(&WAGNER, k, fineness.0 * STEPS_A_CYCLE)));
        }
    }
    Ok(response_rows(["size of C", "phase of C"], &values))
}

/// Response of a lag to cos(ωt) once its states repeat, k in semichords.
fn driven_lag<const N: usize>(function: &Indicial<N>, k: f64, steps: usize) -> Complex {
    let w = |i: usize| (TAU * (i % steps) as f64 / steps as f64).cos();
    let ds = Lanes::splat(TAU / (k * steps as f64));
    let mut lag = Lag::AT_REST;
    for i in 0..steps {
        lag.step(function, ds, Lanes::splat(w(i + 1) - w(i)));
    }
    let mut lag = lag.repeating(&Lag::AT_REST, function, ds * steps as f64);
    let mut late = lag.value().0[0];
    let mut sum = (0.0, 0.0);
    for i in 0..steps {
        let phase = TAU * i as f64 / steps as f64;
        sum.0 += (w(i) + late) * phase.cos();
        sum.1 -= (w(i) + late) * phase.sin();
        late = lag.step(function, ds, Lanes::splat(w(i + 1) - w(i))).0[0];
    }
    (2.0 * sum.0 / steps as f64, 2.0 * sum.1 / steps as f64)
}

fn steps(_: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/section/wagner_kussner.csv"))?;
    let (mut wagner, mut kussner) = (Vec::new(), Vec::new());
    for row in table.rows() {
        let s = row.number("s")?;
        wagner.push(Point::new(s, row.number("phi_exact")?, stepped(&WAGNER, s)));
        kussner.push(Point::new(s, row.number("psi_exact")?, stepped(&KUSSNER, s)));
    }
    let row = |name: &'static str, points| {
        Row::curve(name, name, "travel, semichords", points)
            .within(Band::Absolute(0.005), "0.5 % of the final value: exponentials at the square-root start")
    };
    Ok(vec![row("Wagner's φ(s)", wagner), row("Küssner's ψ(s)", kussner)])
}

/// Response to a step of unit size after a travel: the step is a ramp of a billionth of a semichord.
fn stepped<const N: usize>(function: &Indicial<N>, s: f64) -> f64 {
    const RAMP: f64 = 1e-9;
    let mut lag = Lag::AT_REST;
    let at_once = lag.step(function, Lanes::splat(RAMP), Lanes::splat(1.0)).0[0];
    if s <= 0.0 {
        return 1.0 + at_once;
    }
    // Steps grow with time; the lag is exact for any.
    let count = 16;
    let mut late = at_once;
    for _ in 0..count {
        late = lag.step(function, Lanes::splat(s / f64::from(count)), Lanes::ZERO).0[0];
    }
    1.0 + late
}
