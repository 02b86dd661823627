//! A made-up run with the shape of a real one: a wake that crosses the disk below the shaft, strips that answer
//! it at once, loads summed over the blades. It serves the drawing, not the physics.

use std::f64::consts::TAU;

use ndarray::Array2;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::airframe::{AIRFRAME_LOADS, AirframeResult, AirframeSums, FurtherResult, PHASES};
use wakebeat_engine::point::input::{
    AnalyticSection, BladeRow, BladeTable, Body, Compressibility, Flight, FurtherPropeller, Induction,
    OperatingPoint, Placement, Propeller, PropellerChanges, Rotation, SectionLift, SectionSpec, Solver,
    Streamwise, Suction, Surface, SurfaceWake, TipLoss,
};
use wakebeat_engine::point::result::{Harmonics, HubLoad, LoadHistory, PointResult, Scalar, Share};
use wakebeat_engine::record::RunRecord;

const AZIMUTHS: usize = 360;
const STATIONS: usize = 30;
const TIP_M: f64 = 0.1143;
const ROOT_RATIO: f64 = 0.15;
const AIRSPEED_M_S: f64 = 18.0;
const SPEED_RAD_S: f64 = 628.0;

/// The made-up run of a blade count and sense of rotation.
pub fn run(blade_count: usize, rotation: Rotation) -> (RunRecord, OperatingPoint) {
    let azimuth_rad: Vec<f64> = (0..AZIMUTHS).map(|a| TAU * a as f64 / AZIMUTHS as f64).collect();
    let radius_m: Vec<f64> = (0..STATIONS)
        .map(|s| TIP_M * (ROOT_RATIO + (1.0 - ROOT_RATIO) * (s as f64 + 0.5) / STATIONS as f64))
        .collect();
    let field = |value: &dyn Fn(f64, f64) -> f64| {
        Array2::from_shape_fn((STATIONS, AZIMUTHS), |(s, a)| value(radius_m[s], azimuth_rad[a]))
    };
    let inflow = field(&axial_inflow);
    let axial = inflow.mapv(|u| u + 4.0);
    let tangential = field(&|r, _| SPEED_RAD_S * r);
    let angle = field(&|r, psi| twist(r) - ((axial_inflow(r, psi) + 4.0) / (SPEED_RAD_S * r)).atan());
    let normal = field(&|r, psi| {
        let alpha = twist(r) - ((axial_inflow(r, psi) + 4.0) / (SPEED_RAD_S * r)).atan();
        0.5 * 1.2 * (SPEED_RAD_S * r).powi(2) * 0.02 * 5.6 * alpha
    });
    let along = normal.mapv(|n| 0.25 * n);
    let blade = blade_loads(&normal, &along, &radius_m);
    let hub = hub_loads(&blade, blade_count, rotation);
    let result = PointResult {
        blade_count,
        attribution: shares(&hub),
        hub,
        blades: vec![blade],
        disk: [axial, tangential, inflow, angle, normal, along].into_iter().collect(),
        azimuth_rad,
        radius_m,
        summary: Vec::new(),
        airframe: None,
        warnings: Vec::new(),
    };
    let record = RunRecord {
        case_toml: String::new(),
        inputs: Vec::new(),
        result,
        program_version: "0.1.0".to_owned(),
        created_utc: "2026-01-31T12:00:00Z".to_owned(),
    };
    (record, point(blade_count, rotation))
}

/// A wake of 18 % depth and 6 mm half-width, 25 mm below the shaft, deeper to the starboard side.
fn axial_inflow(radius_m: f64, azimuth: f64) -> f64 {
    let height = radius_m * azimuth.cos() + 0.025;
    let side = 1.0 + 2.0 * radius_m * azimuth.sin();
    AIRSPEED_M_S * (1.0 - 0.18 * side * (-(height / 0.006).powi(2)).exp())
}

fn twist(radius_m: f64) -> f64 {
    (0.171 / (TAU * radius_m)).atan() + 0.03
}

fn load(history: Vec<f64>) -> LoadHistory {
    let count = history.len() as f64;
    let part = |order: usize, wave: fn(f64) -> f64| {
        let terms = history.iter().enumerate();
        2.0 / count * terms.map(|(a, x)| x * wave(order as f64 * TAU * a as f64 / count)).sum::<f64>()
    };
    let pairs: Vec<_> = (0..=48).map(|n| (part(n, f64::cos), part(n, f64::sin))).collect();
    let mut amplitude: Vec<f64> = pairs.iter().map(|(c, s)| c.hypot(*s)).collect();
    let mut phase_rad: Vec<f64> = pairs.iter().map(|(c, s)| s.atan2(*c)).collect();
    (amplitude[0], phase_rad[0]) = (0.5 * pairs[0].0, 0.0);
    LoadHistory { history, harmonics: Harmonics { amplitude, phase_rad } }
}

fn blade_loads(normal: &Array2<f64>, along: &Array2<f64>, radius_m: &[f64]) -> [LoadHistory; 4] {
    let width = radius_m[1] - radius_m[0];
    let sum = |force: &Array2<f64>, arm: &dyn Fn(f64) -> f64| {
        let columns = force.columns().into_iter();
        load(columns.map(|c| c.iter().zip(radius_m).map(|(f, r)| f * arm(*r) * width).sum()).collect())
    };
    let root = ROOT_RATIO * TIP_M;
    [sum(normal, &|_| 1.0), sum(along, &|r| r), sum(normal, &|r| r - root), sum(along, &|r| r - root)]
}

/// Sum over the blades: pitching + when thrust acts below the shaft, yawing + when it acts on the port side.
fn hub_loads(blade: &[LoadHistory; 4], count: usize, rotation: Rotation) -> Vec<LoadHistory> {
    let sense = if rotation == Rotation::Clockwise { 1.0 } else { -1.0 };
    let [thrust, torque, flap, lag] = blade;
    let sum = |signal: &LoadHistory, weight: &dyn Fn(f64) -> f64| -> Vec<f64> {
        let at = |a: usize| {
            (0..count)
                .map(|k| {
                    let place = (a + k * AZIMUTHS / count) % AZIMUTHS;
                    signal.history[place] * weight(TAU * place as f64 / AZIMUTHS as f64)
                })
                .sum()
        };
        (0..AZIMUTHS).map(at).collect()
    };
    HubLoad::ALL
        .map(|one| match one {
            HubLoad::Thrust => sum(thrust, &|_| 1.0),
            HubLoad::SideForce => sum(lag, &|psi| -12.0 * sense * psi.cos()),
            HubLoad::VerticalForce => sum(lag, &|psi| 12.0 * psi.sin()),
            HubLoad::Torque => sum(torque, &|_| 1.0),
            HubLoad::RollingMoment => sum(torque, &|_| -sense),
            HubLoad::PitchingMoment => sum(flap, &|psi| -psi.cos()),
            HubLoad::YawingMoment => sum(flap, &|psi| -sense * psi.sin()),
        })
        .map(load)
        .to_vec()
}

/// Made-up sources that add up: some add, some take away, some are square to the total.
fn shares(hub: &[LoadHistory]) -> Vec<Share> {
    let sources = [
        ("incidence", 0.02, 1.0),
        ("wing_lift", 0.2, 0.4),
        ("wing_thickness", -0.3, 0.1),
        ("wing_wake", 1.2, 0.1),
        ("fuselage_wake", -0.4, 0.0),
        ("fuselage_potential", 0.25, 2.0),
        ("remainder", 0.03, 0.3),
    ];
    let share = |(name, part, lag): (&str, f64, f64)| Share {
        name: name.to_owned(),
        loads: hub
            .iter()
            .map(|load| Harmonics {
                amplitude: load.harmonics.amplitude.iter().map(|a| part * a).collect(),
                phase_rad: load.harmonics.phase_rad.iter().map(|phase| phase + lag).collect(),
            })
            .collect(),
    };
    sources.map(share).to_vec()
}

/// A wing with dihedral whose edge lies 30 mm ahead of the hub and 25 mm below it.
fn wing(section: &AnalyticSection) -> Surface {
    Surface {
        name: "wing".to_owned(),
        root_leading_edge_m: Vec3::new(-0.21, 0.0, -0.025),
        mirror: true,
        span_m: 1.4,
        root_chord_m: 0.18,
        tip_chord_m: 0.15,
        sweep_rad: 0.0,
        dihedral_rad: 0.035,
        incidence_rad: 0.02,
        twist_rad: 0.0,
        thickness_ratio: 0.12,
        section: section.clone(),
        flaps: Vec::new(),
        wake: SurfaceWake::Momentum,
        potential: false,
    }
}

/// A fuselage below the wing.
fn fuselage() -> Body {
    Body {
        name: "fuselage".to_owned(),
        nose_m: Vec3::new(-0.7, 0.0, -0.05),
        length_m: 0.65,
        diameter_m: 0.09,
        closing_length_m: 0.25,
        drag_coefficient: 0.1,
        wake: true,
        potential: false,
    }
}

fn point(blade_count: usize, rotation: Rotation) -> OperatingPoint {
    let section = AnalyticSection {
        lift_slope_per_rad: 5.6,
        zero_lift_rad: 0.0,
        drag_min: 0.02,
        drag_rise: 0.01,
        lift_at_drag_min: 0.0,
        lift_max: 1.2,
        lift_min: -0.8,
    };
    let row = |radius_ratio: f64| BladeRow {
        radius_ratio,
        chord_ratio: 0.15,
        twist_rad: twist(radius_ratio * TIP_M),
        sweep_ratio: 0.0,
        thickness_ratio: 0.12,
        section: 0,
    };
    OperatingPoint {
        flight: Flight {
            airspeed_m_s: AIRSPEED_M_S,
            altitude_m: 0.0,
            temperature_offset_k: 0.0,
            angle_of_attack_rad: 0.0,
            sideslip_rad: 0.0,
        },
        propeller: Propeller {
            blade_count,
            diameter_m: 2.0 * TIP_M,
            speed_rad_s: SPEED_RAD_S,
            rotation,
            pitch_offset_rad: 0.0,
            blade: BladeTable { generic: false, rows: vec![row(ROOT_RATIO), row(1.0)] },
            sections: vec![SectionSpec::Analytic(section.clone())],
            compressibility: Compressibility::None,
            pitch_error_rad: Vec::new(),
            spacing_error_rad: Vec::new(),
        },
        placement: Placement { hub_m: Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 },
        further: Vec::new(),
        surfaces: vec![wing(&section)],
        bodies: vec![fuselage()],
        survey: None,
        airframe: wakebeat_engine::point::input::Airframe::default(),
        solver: Solver {
            stations: STATIONS,
            azimuths: AZIMUTHS,
            induction: Induction::Momentum,
            tip_loss: TipLoss::Prandtl,
            section_lift: SectionLift::QuasiSteady,
            streamwise: Streamwise::QuasiSteady,
            suction: Suction::None,
            tolerance: 1e-9,
            harmonics: 8,
        },
    }
}

/// The made-up run with further propellers on the other side, each the mirror image of the first: what points aside, rolls or
/// yaws goes against the first's, the rest with it.
pub fn with_further(blade_count: usize, names: &[&str], speed_ratio: f64) -> (RunRecord, OperatingPoint) {
    let (mut record, mut point) = run(blade_count, Rotation::Clockwise);
    let loads: Vec<LoadHistory> =
        AIRFRAME_LOADS.iter().map(|load| record.result.hub(*load).clone()).collect();
    let phase_rad: Vec<f64> = (0..PHASES).map(|p| TAU * p as f64 / PHASES as f64).collect();
    let table = |load: usize| {
        let sign = if matches!(
            AIRFRAME_LOADS[load],
            HubLoad::Thrust | HubLoad::VerticalForce | HubLoad::PitchingMoment
        ) {
            1.0
        } else {
            -1.0
        };
        let amplitude = &loads[load].harmonics.amplitude;
        Array2::from_shape_fn((PHASES, amplitude.len()), |(p, n)| {
            let (sin, cos) = (n as f64 * phase_rad[p]).sin_cos();
            amplitude[n] * (1.0 + sign * cos).hypot(sin)
        })
    };
    let twice: Vec<Vec<f64>> =
        loads.iter().map(|load| load.harmonics.amplitude.iter().map(|a| 2.0 * a).collect()).collect();
    let sums = AirframeSums {
        least: twice.iter().map(|row| vec![0.0; row.len()]).collect(),
        greatest: twice,
        by_phase: names.iter().map(|_| (0..loads.len()).map(table).collect()).collect(),
        phase_rad,
        loads,
    };
    for (k, name) in names.iter().enumerate() {
        let mut placement = point.placement.clone();
        placement.hub_m.y -= 0.5 + 0.4 * k as f64;
        point.further.push(FurtherPropeller {
            name: (*name).to_owned(),
            placement,
            rotation: Rotation::Counterclockwise,
            phase_rad: 0.3 * k as f64,
            speed_ratio,
            changes: PropellerChanges::default(),
        });
        if speed_ratio != 1.0 {
            record.result.summary.push(Scalar {
                name: format!("{name}_beat_np_hz"),
                unit: "Hz",
                long_name: String::new(),
                value: blade_count as f64 * SPEED_RAD_S / TAU * (speed_ratio - 1.0).abs(),
            });
        }
    }
    let further = names
        .iter()
        .map(|name| FurtherResult { name: (*name).to_owned(), result: record.result.clone() })
        .collect();
    record.result.airframe = Some(AirframeResult { further, sums: Some(sums) });
    (record, point)
}
