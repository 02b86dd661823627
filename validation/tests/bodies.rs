//! Bodies of revolution against the exact spheroid, their own drag, and published far-wake constants.

// Helpers of tests, and the comparison with the exact field is printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use approx::assert_relative_eq;
use std::f64::consts::{LN_2, PI};
use wakebeat_engine::base::Vec3;
use wakebeat_engine::body::axis_field::AxisField;
use wakebeat_engine::body::shape::{BodyShape, Meridian};
use wakebeat_engine::body::wake::{BodyWake, BodyWakeInput, SPREADING_RATE};
use wakebeat_engine::inflow::RoundWake;
use wakebeat_engine::inflow::body_wake::BodyWakeSource;
use wakebeat_engine::point::input::Body;
use wakebeat_validation::reference::Table;

/// The exact flow past a prolate spheroid.
///
/// Confocal coordinates x = k μ ζ, r = k √(1 − μ²) √(ζ² − 1), foci at ±k from the middle (H. Lamb, Hydrodynamics, 6th
/// ed., arts. 103 to 105): φ = A μ (½ ζ ln((ζ+1)/(ζ−1)) − 1) along the axis, and
/// φ = B √(1−μ²) √(ζ²−1) (½ ln((ζ+1)/(ζ−1)) − ζ/(ζ²−1)) cos ω across it, A and B from no flow through ζ₀ = a/k.
struct Spheroid {
    half_length_m: f64,
    radius_m: f64,
}

/// Step of the central differences of the potential, m: truncation near 1e-9, round-off near 1e-10 of the speed.
const STEP: f64 = 1e-5;

impl Spheroid {
    fn focus_m(&self) -> f64 {
        (self.half_length_m.powi(2) - self.radius_m.powi(2)).sqrt()
    }

    fn confocal(&self, x: f64, r: f64) -> (f64, f64) {
        let k = self.focus_m();
        let (near, far) = ((x - k).hypot(r), (x + k).hypot(r));
        ((far - near) / (2.0 * k), (far + near) / (2.0 * k))
    }

    /// Potential of the disturbance of unit axial flow; x from the middle.
    fn axial_potential(&self, x: f64, r: f64) -> f64 {
        let log = |z: f64| 0.5 * ((z + 1.0) / (z - 1.0)).ln();
        let (mu, z) = self.confocal(x, r);
        let z0 = self.half_length_m / self.focus_m();
        // The slope in ζ of k μ ζ + A μ (ζ log − 1) vanishes at ζ₀.
        let a = -self.focus_m() / (log(z0) - z0 / (z0 * z0 - 1.0));
        a * mu * (z * log(z) - 1.0)
    }

    /// Potential of the disturbance of unit cross flow over cos ω; x from the middle.
    fn cross_potential(&self, x: f64, r: f64) -> f64 {
        let f = |z: f64| 0.5 * ((z + 1.0) / (z - 1.0)).ln() - z / (z * z - 1.0);
        let (mu, z) = self.confocal(x, r);
        let z0 = self.half_length_m / self.focus_m();
        // The slope in ζ of √(ζ²−1) (k + B f) vanishes at ζ₀; f' = 2/(ζ²−1)².
        let b = -self.focus_m() * z0 / (z0 * f(z0) + 2.0 / (z0 * z0 - 1.0));
        b * (1.0 - mu * mu).max(0.0).sqrt() * (z * z - 1.0).sqrt() * f(z)
    }

    fn gradient(potential: impl Fn(f64, f64) -> f64, x: f64, r: f64) -> [f64; 2] {
        let along = potential(x + STEP, r) - potential(x - STEP, r);
        let away = potential(x, r + STEP) - potential(x, r - STEP);
        [along / (2.0 * STEP), away / (2.0 * STEP)]
    }

    /// Points outside it, x from the nose: abreast of its rear half, beside and behind the tail.
    fn points(&self) -> Vec<(f64, f64)> {
        let mut all = Vec::new();
        for x in [0.5, 0.75, 0.9, 1.0, 1.0125, 1.05, 1.2, 1.5].map(|s| s * self.length_m()) {
            for gap in [0.1, 0.3, 1.0, 3.0] {
                all.push((x, self.radius_m(x) + gap * self.radius_m));
            }
        }
        all
    }
}

impl Meridian for Spheroid {
    fn length_m(&self) -> f64 {
        2.0 * self.half_length_m
    }

    fn radius_m(&self, x_m: f64) -> f64 {
        let s = x_m / self.half_length_m - 1.0;
        self.radius_m * (1.0 - s * s).max(0.0).sqrt()
    }

    fn source_ends_m(&self) -> (f64, f64) {
        (self.half_length_m - self.focus_m(), self.half_length_m + self.focus_m())
    }
}

fn eight_to_one() -> Spheroid {
    Spheroid { half_length_m: 2.0, radius_m: 0.25 }
}

/// Lamb's spheroid in axial flow. Its exact sources are linear between the foci, which the fit can represent, so only
/// the differences of the exact potential are left: 1e-8 of the speed.
#[test]
fn val_axial_flow_past_the_spheroid() {
    for spheroid in [eight_to_one(), Spheroid { half_length_m: 1.0, radius_m: 0.25 }] {
        let field = AxisField::new(&spheroid).unwrap();
        for (x, r) in spheroid.points() {
            let exact =
                Spheroid::gradient(|x, r| spheroid.axial_potential(x, r), x - spheroid.half_length_m, r);
            let [u, v] = field.axial(x, r);
            assert!((u - exact[0]).abs() < 1e-8 && (v - exact[1]).abs() < 1e-8, "{x} {r}: {u} {v} {exact:?}");
        }
    }
}

/// The known error of slender source lines, V dS/dx over the whole length, which the fit does away with: 0.05 m behind the
/// tail of the 8:1 spheroid of 4 m (29 % high there, 10 % high at 3 % of the length, nothing at 12 %). Printed; the fit must be
/// within 2e-5 of the speed, what the step off the axis leaves.
#[test]
fn val_slender_source_line_behind_the_spheroid() {
    let spheroid = eight_to_one();
    let field = AxisField::new(&spheroid).unwrap();
    let (a, b) = (spheroid.half_length_m, spheroid.radius_m);
    for behind in [0.05, 0.1, 0.2, 0.5] {
        let x = a + behind;
        // On the axis r enters as its square: 1e-3 m off it moves the speed by less than 1e-3 of the disturbance.
        let exact = (spheroid.axial_potential(x + STEP, 0.0) - spheroid.axial_potential(x - STEP, 0.0))
            / (2.0 * STEP);
        // u = (1/4π) ∫ S'(ξ)/(x − ξ)² dξ with S' = −2π (b/a)² ξ.
        let integral = ((x + a) / (x - a)).ln() - 2.0 * a * x / (x * x - a * a);
        let slender = 0.5 * (b / a).powi(2) * integral;
        let fitted = field.axial(x + a, 0.0)[0];
        println!(
            "{behind:.2} m behind the tail: u/V exact {exact:+.5}, slender line {slender:+.5} ({:+.1} %), fit {fitted:+.5}",
            100.0 * (slender / exact - 1.0)
        );
        assert!(behind > 0.1 || (slender / exact - 1.0).abs() > 0.1);
        assert_relative_eq!(fitted, exact, epsilon = 2e-5);
    }
}

/// Lamb's spheroid across the flow. The exact doublets are a parabola between the foci, here in 32 straight pieces.
#[test]
fn val_cross_flow_past_the_spheroid() {
    for spheroid in [eight_to_one(), Spheroid { half_length_m: 1.0, radius_m: 0.25 }] {
        let field = AxisField::new(&spheroid).unwrap();
        let mut worst = 0.0_f64;
        for (x, r) in spheroid.points() {
            let from_middle = x - spheroid.half_length_m;
            let potential = |x: f64, r: f64| spheroid.cross_potential(x, r);
            let [along, away] = Spheroid::gradient(potential, from_middle, r);
            let around = -potential(from_middle, r) / r;
            let cross = field.cross(x, r);
            let off = [cross.axial - along, cross.radial - away, cross.around - around];
            worst = off.iter().fold(worst, |most, d| most.max(d.abs()));
        }
        println!("cross flow: largest error {worst:.1e} of the cross speed");
        assert!(worst < 2e-3, "{worst}");
    }
}

fn pod(length_m: f64, closing_length_m: f64) -> Body {
    Body {
        name: "pod".into(),
        nose_m: Vec3::zeros(),
        length_m,
        diameter_m: 0.11,
        closing_length_m,
        drag_coefficient: 0.11,
        wake: true,
        potential: true,
    }
}

/// The stated shapes are stream surfaces: the fitted one stays within 1 % of the greatest radius of the body's from 1 to
/// 99 % of the length. Where normal speed vanishes on the surface the outer flow follows, so this is the error of the field.
#[test]
fn val_stated_shapes_are_stream_surfaces() {
    for (length, closing) in [(0.75, 0.3), (0.75, 0.165), (0.75, 0.11), (0.4, 0.2), (2.0, 0.3)] {
        let shape = BodyShape::new(&pod(length, closing));
        let field = AxisField::new(&shape).unwrap();
        let miss = (10..990)
            .map(|i| length * f64::from(i) / 1000.0)
            .map(|x| field.surface_miss_m(x, shape.radius_m(x)).abs())
            .fold(0.0, f64::max);
        let behind = [0.1, 0.25, 0.5].map(|d| 1.0 + field.axial(length + d * 0.11, 0.0)[0]);
        println!(
            "length {length} closing {closing}: stream surface within {:.2} % of the radius; axial speed 0.1, 0.25, 0.5 \
             diameter behind {behind:.4?}",
            100.0 * miss / 0.055
        );
        assert!(miss < 0.01 * 0.055, "{length} {closing}: {miss}");
    }
}

/// Integrates δ(1 − δ) over the plane square to the axis at `x`, as the blades see it, outside the solid.
fn momentum_area(source: &BodyWakeSource, x: f64) -> f64 {
    let (cells, reach) = (400, 0.4);
    let step = 2.0 * reach / f64::from(cells);
    let at = |i: i32| (f64::from(i) + 0.5) * step - reach;
    let mut sum = 0.0;
    for i in 0..cells {
        for j in 0..cells {
            let point = Vec3::new(x, at(i), at(j));
            let seen = source.seen_from(&point).unwrap();
            let square = seen.from_axis_m.norm_squared();
            if square >= seen.wake.core_m.powi(2) {
                let deficit = seen.wake.deficit(square);
                sum += deficit * (1.0 - deficit) * step * step;
            }
        }
    }
    sum
}

/// The wake carries the drag: ∫ δ(1 − δ) dA (U_e/V)^((H+5)/2) is C_D A/2 at the tail and behind it, and as much of it as of
/// friction on the tail. The plane sum of cells of 2 mm sets the error; 2 % is asked for.
#[test]
fn val_momentum_of_the_wake_is_the_drag() {
    let stream = Vec3::new(20.0, -1.0, 1.5);
    for (drag_coefficient, with_field) in [(0.06, true), (0.11, true), (0.11, false), (0.4, true)] {
        let body = Body { drag_coefficient, ..pod(0.75, 0.3) };
        let shape = BodyShape::new(&body);
        let field = AxisField::new(&shape).unwrap();
        let edge = |x: f64, r: f64| if with_field { 1.0 + field.axial(x, r)[0] } else { 1.0 };
        let input =
            BodyWakeInput { shape: &shape, drag_coefficient, reynolds_per_m: 1.2e6, edge_speed_ratio: &edge };
        let wake = BodyWake::new(&input, 0.6, 3.0).unwrap();
        let source = BodyWakeSource::new(&body, wake.clone(), &stream);
        let drag_area = 0.5 * drag_coefficient * PI * 0.055 * 0.055;
        for x in [0.751, 0.76, 0.8, 0.9, 1.2, 3.0] {
            let station = wake.station(x);
            let area = momentum_area(&source, x);
            let speed = edge(x, 2.0 * station.spread_m);
            let carried = area * speed.powf(0.5 * (station.shape_factor() + 5.0));
            println!("C_D {drag_coefficient} x {x}: carries {:+.2} %", 100.0 * (carried / drag_area - 1.0));
            assert_relative_eq!(carried, drag_area, max_relative = 0.02);
            // δ = u₀ is below the least spread that carries the drag nowhere.
            assert!(station.spread_m > (area / PI).sqrt());
        }
        // On the tail less has passed into the wake, and more the further aft.
        let on_tail = [0.6, 0.7].map(|x| momentum_area(&source, x));
        assert!(on_tail[0] < on_tail[1] && on_tail[1] < 1.6 * drag_area, "{on_tail:?}");
    }
}

/// Rodi 1975 (after Pope): spreading rate 0.064 of slender bodies, and the closed law it gives far behind,
/// b³ = 3 S `C_D` A x ln 2/(2π), with exponents 1/3 and −2/3 (Swain 1929).
#[test]
fn val_far_wake_of_a_slender_body() {
    let constants = Table::parse(include_str!("../data/wake/far_wake_constants.csv")).unwrap();
    let rate = constants
        .rows()
        .find(|row| row.text("constant").unwrap() == "spread_slender")
        .and_then(|row| row.number("value").ok())
        .unwrap();
    assert_relative_eq!(SPREADING_RATE, rate);
    let shape = BodyShape::new(&pod(0.75, 0.3));
    let input = BodyWakeInput {
        shape: &shape,
        drag_coefficient: 0.11,
        reynolds_per_m: 1.2e6,
        edge_speed_ratio: &|_, _| 1.0,
    };
    let wake = BodyWake::new(&input, 0.7, 2.0e4).unwrap();
    let drag_area = 0.11 * PI * 0.055 * 0.055;
    let [near, far] = [2.0e3, 1.6e4].map(|behind| wake.station(0.75 + behind));
    // The origin lies some metres ahead of the tail and the term in u₀² still counts: 1 % at 2 km, less further on.
    assert_relative_eq!(far.half_radius_m() / near.half_radius_m(), 2.0, max_relative = 0.01);
    assert_relative_eq!(far.peak / near.peak, 0.25, max_relative = 0.02);
    let law = (3.0 * rate * drag_area * 1.6e4 * LN_2 / (2.0 * PI)).cbrt();
    assert_relative_eq!(far.half_radius_m(), law, max_relative = 0.01);
}
