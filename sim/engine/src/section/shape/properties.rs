//! A section's outline with what follows from it at every Reynolds number.

use super::laminar::{LaminarSeparation, laminar_separation};
use super::laminar_lift::LaminarLift;
use super::mean_line::mean_line;
use super::outline::{Outline, OutlineError, theta_of};
use super::surface_speed::surface_speed;
use std::f64::consts::PI;

/// Geometry of a section and thin-aerofoil results, independent of Reynolds number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShapeProperties {
    /// Angle of zero lift against the x axis of the outline, rad, negative for positive camber.
    pub zero_lift_rad: f64,
    /// Angle of the line from nose to trailing edge against the x axis, rad, positive where the nose is the higher end.
    pub chord_line_rad: f64,
    /// Moment coefficient about the quarter chord, nose up positive.
    pub moment: f64,
    /// Lift coefficient at which the stream meets the nose smoothly (design lift).
    pub ideal_lift: f64,
    /// Greatest thickness over chord.
    pub thickness_ratio: f64,
    /// Height of the base at a blunt trailing edge over chord; 0 where the edge is sharp.
    pub base_ratio: f64,
    /// Nose radius over chord.
    pub nose_radius_ratio: f64,
    /// Rise of the half thickness from 0.15 to 6 % chord, in per cent of the chord.
    pub nose_sharpness: f64,
    /// Distance from the nose to laminar separation at zero lift, over chord; 1 where there is none.
    pub laminar_separation_ratio: f64,
}

/// A section given by its outline.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionShape {
    points: Vec<[f64; 2]>,
    properties: ShapeProperties,
    separation: LaminarSeparation,
    laminar_lift: LaminarLift,
}

impl SectionShape {
    /// A section from points [x, y] over chord: a loop that may begin anywhere and run in either sense, edge
    /// sharp, blunt or open by up to 0.1 chord; or upper and lower surface, each from nose to trailing
    /// edge. Angles count from the x axis.
    ///
    /// # Errors
    /// [`OutlineError`] where the points do not bound a section of unit chord.
    pub fn new(points: Vec<[f64; 2]>) -> Result<Self, OutlineError> {
        let outline = Outline::new(&points)?;
        let line = mean_line(&outline);
        let thickness = surface_speed(|theta| outline.half_thickness(theta));
        let separation = laminar_separation(&thickness);
        let half = |x: f64| outline.half_thickness(theta_of(x));
        let thickness_ratio =
            (0..=1000).map(|i| 2.0 * outline.half_thickness(PI * f64::from(i) / 1000.0)).fold(0.0, f64::max);
        let properties = ShapeProperties {
            zero_lift_rad: line.zero_lift_rad,
            chord_line_rad: outline.mean(0.0) - outline.mean(PI),
            moment: line.moment,
            ideal_lift: line.ideal_lift,
            thickness_ratio,
            base_ratio: 2.0 * outline.half_thickness(PI).max(0.0),
            nose_radius_ratio: nose_radius(half),
            nose_sharpness: 100.0 * (half(0.06) - half(0.0015)),
            laminar_separation_ratio: separation.layer.at,
        };
        let laminar_lift = LaminarLift::new(&thickness, &line);
        Ok(Self { points, properties, separation, laminar_lift })
    }

    /// The points as given.
    #[must_use]
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// What follows from the outline alone.
    #[must_use]
    pub fn properties(&self) -> &ShapeProperties {
        &self.properties
    }

    pub(super) fn separation(&self) -> &LaminarSeparation {
        &self.separation
    }

    pub(super) fn laminar_lift(&self) -> &LaminarLift {
        &self.laminar_lift
    }
}

/// Near a round nose h = √(2ρx)(1 + O(√x)): the parabola in √x through h/√(2x) at 1, 3 and 6 % chord, carried
/// to x = 0, gives √ρ.
fn nose_radius(half: impl Fn(f64) -> f64) -> f64 {
    let at = [0.01_f64, 0.03, 0.06];
    let root = at.map(f64::sqrt);
    let value: Vec<f64> = at.iter().map(|x| half(*x) / (2.0 * x).sqrt()).collect();
    let weight =
        |i: usize| (0..3).filter(|j| *j != i).map(|j| root[j] / (root[j] - root[i])).product::<f64>();
    (0..3).map(|i| weight(i) * value[i]).sum::<f64>().max(0.0).powi(2)
}
