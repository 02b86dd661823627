//! A made-up result with odd numbers in every place, to see that each comes back from the place it went to.

use ndarray::Array2;
use wakebeat_engine::point::airframe::{AirframeResult, AirframeSums, FurtherResult};
use wakebeat_engine::point::result::{
    BladeLoad, BladeLoads, DiskField, Harmonics, HubLoad, LoadHistory, PointResult, Scalar, Share, Warning,
};
use wakebeat_engine::record::RunRecord;

const AZIMUTHS: usize = 24;
const STATIONS: usize = 5;
const ORDERS: usize = 9;

/// A number that no other place holds, not exact in binary.
fn odd(seed: usize) -> f64 {
    (seed as f64 * 0.737).sin() * 1.0e3_f64.powf((seed % 7) as f64 / 7.0)
}

fn load(seed: usize) -> LoadHistory {
    LoadHistory {
        history: (0..AZIMUTHS).map(|i| odd(seed + i)).collect(),
        harmonics: Harmonics {
            amplitude: (0..ORDERS).map(|i| odd(seed + 100 + i)).collect(),
            phase_rad: (0..ORDERS).map(|i| odd(seed + 200 + i)).collect(),
        },
    }
}

fn share(name: &str, seed: usize) -> Share {
    let loads = HubLoad::ALL.iter().map(|one| load(seed + 400 * *one as usize).harmonics).collect();
    Share { name: name.to_owned(), loads }
}

fn blade(number: usize) -> BladeLoads {
    BladeLoad::ALL.map(|one| load(5000 + 1000 * number + 300 * one as usize))
}

/// A record whose blades are alike (`different = 1`) or not.
pub fn record(different: usize) -> RunRecord {
    RunRecord {
        case_toml: "title = \"höchste Fahrt\"\n".to_owned(),
        inputs: vec![
            ("data/blade.csv".to_owned(), "radius_ratio,chord_ratio\n0.2,0.1\n".to_owned()),
            ("a.csv".to_owned(), String::new()),
            ("../other/polar 100%.csv".to_owned(), "x".repeat(200_000)),
            ("/absolute/survey.csv".to_owned(), "y_m\n".to_owned()),
        ],
        result: PointResult {
            blade_count: 3,
            azimuth_rad: (0..AZIMUTHS).map(|i| std::f64::consts::TAU * i as f64 / AZIMUTHS as f64).collect(),
            radius_m: (0..STATIONS).map(|i| 0.1 + 0.07 * i as f64).collect(),
            hub: HubLoad::ALL.iter().map(|one| load(400 * *one as usize)).collect(),
            blades: (0..different).map(blade).collect(),
            disk: DiskField::ALL
                .iter()
                .map(|field| {
                    Array2::from_shape_fn((STATIONS, AZIMUTHS), |(s, a)| {
                        odd(20_000 + 1000 * *field as usize + 100 * s + a)
                    })
                })
                .collect(),
            // Not in the order of the alphabet, which a file without numbers would give.
            attribution: ["incidence", "wing_wake", "wing_lift", "body_wake", "remainder"]
                .iter()
                .enumerate()
                .map(|(number, name)| share(name, 40_000 + 4000 * number))
                .collect(),
            summary: vec![
                scalar("thrust_mean_n", "N", 123.4),
                scalar("efficiency", "1", f64::NAN),
                scalar("advance_ratio", "1", -0.0),
            ],
            airframe: None,
            warnings: vec![
                Warning { name: "narrow_wake", text: "wake of 0.3 azimuth cells".to_owned() },
                Warning { name: "generic_blade", text: "α is wide".to_owned() },
            ],
        },
        program_version: "0.1.0".to_owned(),
        created_utc: "2026-01-31T12:00:00Z".to_owned(),
    }
}

/// Two further propellers, the first with other stations, and sums.
pub fn airframe() -> AirframeResult {
    let further = |name: &str, seed: usize, stations: usize| {
        let mut result = record(1 + seed).result;
        result.warnings.clear();
        result.blade_count = 2 + seed;
        result.radius_m = (0..stations).map(|i| odd(seed + i)).collect();
        let field = || Array2::from_shape_fn((stations, AZIMUTHS), |(s, a)| odd(s + a));
        result.disk = DiskField::ALL.iter().map(|_| field()).collect();
        FurtherResult { name: name.to_owned(), result }
    };
    let row = |seed: usize| (0..ORDERS).map(|i| odd(seed + i)).collect::<Vec<f64>>();
    let rows = |seed: usize| (0..6).map(|i| row(seed + 10 * i)).collect::<Vec<_>>();
    let table = |seed: usize| Array2::from_shape_fn((4, ORDERS), |(p, n)| odd(seed + 20 * p + n));
    AirframeResult {
        further: vec![further("starboard", 1, STATIONS + 2), further("aft", 0, STATIONS)],
        sums: Some(AirframeSums {
            loads: (0..6).map(|i| load(70_000 + 300 * i)).collect(),
            greatest: rows(80_000),
            least: rows(81_000),
            phase_rad: (0..4).map(|i| 0.3 * f64::from(i)).collect(),
            by_phase: (0..2).map(|i| (0..6).map(|j| table(90_000 + 1000 * i + 100 * j)).collect()).collect(),
        }),
    }
}

fn scalar(name: &str, unit: &'static str, value: f64) -> Scalar {
    Scalar { name: name.to_owned(), unit, long_name: format!("{name} in words"), value }
}
