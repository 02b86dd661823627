//! Surveys against the field they were taken from.

// Helpers of tests, and the errors are printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::f64::consts::TAU;
use wakebeat_engine::base::Vec3;
use wakebeat_engine::frames::{DiskAxes, free_stream_m_s};
use wakebeat_engine::inflow::InflowSource;
use wakebeat_engine::point::input::{Body, OperatingPoint, Rotation, Survey, SurveyData};
use wakebeat_engine::point::result::{HubLoad, PointResult};
use wakebeat_engine::point::{solve_once, solve_with};
use wakebeat_validation::propellers::plain_point;

/// A slow spot, a swirl and a shear as a source: velocity over airspeed added to the free stream.
struct Field {
    airspeed_m_s: f64,
}

fn added(p: &Vec3) -> Vec3 {
    let spot = (-((p.y - 0.1).powi(2) + (p.z + 0.05).powi(2)) / (2.0 * 0.12_f64.powi(2))).exp();
    Vec3::new(-0.3 * spot + 0.04 * (3.0 * p.y).sin(), 0.1 * p.z * p.y + 0.02, 0.05 * (2.0 * p.y + p.z).cos())
}

impl InflowSource for Field {
    fn name(&self) -> &'static str {
        "field"
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        Some(self.airspeed_m_s * added(point_m))
    }
}

/// A propeller of 1 m with its root at a fifth, at incidence, in sideslip, tilted and off the origin.
fn point(rotation: Rotation) -> OperatingPoint {
    let mut point = plain_point(3);
    point.flight.angle_of_attack_rad = 0.05;
    point.flight.sideslip_rad = -0.03;
    point.placement.tilt_rad = 0.06;
    point.placement.hub_m = Vec3::new(0.3, 0.05, -0.1);
    point.propeller.rotation = rotation;
    point
}

/// Whole velocity over airspeed.
fn ratio(point: &OperatingPoint, p: &Vec3) -> Vec3 {
    free_stream_m_s(&point.flight) / point.flight.airspeed_m_s + added(p)
}

fn radii() -> Vec<f64> {
    (0..=20).map(|i| 0.2 + 0.04 * f64::from(i)).collect()
}

/// On the disk, where a survey plane would be.
fn disk_ratio(point: &OperatingPoint, radius_ratio: f64, azimuth_rad: f64) -> Vec3 {
    let disk = DiskAxes::new(&point.placement, point.propeller.rotation);
    ratio(point, &disk.point_m(0.5 * radius_ratio * point.propeller.diameter_m, azimuth_rad))
}

fn polar(point: &OperatingPoint) -> SurveyData {
    let azimuth_rad: Vec<f64> = (0..72).map(|j| TAU * f64::from(j) / 72.0).collect();
    let at = |r: &f64| azimuth_rad.iter().map(|a| disk_ratio(point, *r, *a)).collect::<Vec<_>>();
    let velocity = radii().iter().flat_map(at).collect();
    SurveyData::Polar { radius_ratio: radii(), azimuth_rad, velocity }
}

fn cartesian(point: &OperatingPoint) -> SurveyData {
    let axis = |middle: f64| (-26..=26).map(|i| middle + 0.02 * f64::from(i)).collect::<Vec<f64>>();
    let (y_m, z_m) = (axis(0.04), axis(-0.1));
    let velocity =
        y_m.iter().flat_map(|y| z_m.iter().map(|z| ratio(point, &Vec3::new(0.0, *y, *z)))).collect();
    SurveyData::Cartesian { y_m, z_m, velocity }
}

/// Coefficients up to order 20 by sums over 90 azimuths, exact for what orders below 70 hold.
fn fourier(point: &OperatingPoint) -> SurveyData {
    let (mut cosine, mut sine) = (Vec::new(), Vec::new());
    for n in 0..=20_u32 {
        let scale = if n == 0 { 1.0 / 90.0 } else { 2.0 / 90.0 };
        for r in radii() {
            let (mut c, mut s) = (Vec3::zeros(), Vec3::zeros());
            for j in 0..90_u32 {
                let azimuth = TAU * f64::from(j) / 90.0;
                let (sin, cos) = (f64::from(n) * azimuth).sin_cos();
                let u = disk_ratio(point, r, azimuth);
                c += scale * cos * u;
                s += scale * sin * u;
            }
            cosine.push(c);
            sine.push(if n == 0 { Vec3::zeros() } else { s });
        }
    }
    SurveyData::Fourier { radius_ratio: radii(), cosine, sine }
}

fn with_survey(point: &OperatingPoint, data: SurveyData, add: bool) -> OperatingPoint {
    OperatingPoint { survey: Some(Survey { add, data }), ..point.clone() }
}

const LOADS: [HubLoad; 7] = [
    HubLoad::Thrust,
    HubLoad::SideForce,
    HubLoad::VerticalForce,
    HubLoad::Torque,
    HubLoad::RollingMoment,
    HubLoad::PitchingMoment,
    HubLoad::YawingMoment,
];

/// Largest difference of any hub load at any azimuth, over mean thrust (and mean thrust times tip radius).
fn difference(a: &PointResult, b: &PointResult) -> f64 {
    let thrust = b.hub(HubLoad::Thrust).harmonics.amplitude[0];
    LOADS
        .iter()
        .flat_map(|load| a.hub(*load).history.iter().zip(&b.hub(*load).history))
        .map(|(a, b)| (a - b).abs() / thrust)
        .fold(0.0, f64::max)
}

/// A survey of a field gives the field's loads, whatever its form, for both senses of rotation. What is left is the
/// interpolation of a spot of 0.12 m between nodes 0.02 m apart, (0.02/0.12)⁴/384 of its depth: 1e-4 of the thrust is allowed.
#[test]
fn val_survey_gives_the_loads_of_its_field() {
    for rotation in [Rotation::Clockwise, Rotation::Counterclockwise] {
        let point = point(rotation);
        let source = Box::new(Field { airspeed_m_s: point.flight.airspeed_m_s });
        let exact = solve_with(&point, vec![source]).unwrap();
        for (name, data) in
            [("polar", polar(&point)), ("cartesian", cartesian(&point)), ("fourier", fourier(&point))]
        {
            let result = solve_once(&with_survey(&point, data, false)).unwrap();
            let error = difference(&result, &exact);
            println!("{rotation:?} {name}: {error:.1e} of thrust");
            assert!(error < 1e-4, "{name}: {error}");
        }
        // The field is no small thing: without it the loads are others.
        assert!(difference(&solve_once(&point).unwrap(), &exact) > 0.02);
    }
}

/// Replaced: surfaces and bodies leave no trace. Added: a survey of the free stream changes nothing.
#[test]
fn val_survey_replaces_or_adds() {
    let clean = point(Rotation::Clockwise);
    let mut with_body = clean.clone();
    with_body.bodies.push(Body {
        name: "pod".into(),
        nose_m: Vec3::new(-1.8, 0.05, -0.1),
        length_m: 2.0,
        diameter_m: 0.3,
        closing_length_m: 0.8,
        drag_coefficient: 0.12,
        wake: true,
        potential: true,
    });
    let stream = SurveyData::Polar {
        radius_ratio: vec![0.1, 1.0],
        azimuth_rad: (0..8).map(|j| TAU * f64::from(j) / 8.0).collect(),
        velocity: vec![free_stream_m_s(&clean.flight) / clean.flight.airspeed_m_s; 16],
    };
    let bare = solve_once(&clean).unwrap();
    let body = solve_once(&with_body).unwrap();
    assert!(difference(&body, &bare) > 1e-2);
    let replaced = solve_once(&with_survey(&with_body, stream.clone(), false)).unwrap();
    assert!(difference(&replaced, &bare) < 1e-9);
    let added = solve_once(&with_survey(&with_body, stream, true)).unwrap();
    assert!(difference(&added, &body) < 1e-9);
}
