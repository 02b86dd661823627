//! Circulation of a surface alone in the free stream: Prandtl's lifting line.
//!
//! Each strip carries Γ = ½ V c cos Λ c_l(α_e), with V the speed in the section's plane, Λ the sweep of the
//! quarter-chord line and
//!
//! ```text
//! α_e = atan2(V·n, V·x) + incidence + twist + v_n/V
//! ```
//!
//! where v_n is the velocity along the half's normal made by the trailing vortices (see [`Span`]). Sources: Glauert,
//! Elements of Aerofoil and Airscrew Theory, ch. XI; cos Λ on the section slope is simple sweep theory (Jones, NACA
//! Report 884, from memory). Kept in one plane square to x: dihedral is exact in that trace, sweep acts only through
//! the slope. Against lifting-surface theory the lift slope is 4 to 8 % high for rectangular wings of aspect ratio 10
//! to 6, 12 % at 4 and 23 % at 2.
//!
//! Past stall the lift curve falls, and a lifting line then has saw-tooth solutions between neighbouring strips. Stall
//! does not start and stop within one chord of span, so the lift lost to stall, a₀(α − α₀) − c_l(α), is averaged over
//! about one chord (a Gaussian of that standard deviation; our own regularisation, without effect on attached flow
//! and on a uniform span).

mod span;
mod velocity;

pub use span::{Control, Span};

use nalgebra::{DMatrix, DVector};
use thiserror::Error;

use crate::base::Vec3;
use crate::point::input::{AnalyticSection, Surface};
use velocity::{Leg, Segment};

/// Newton steps before giving up.
const MAX_ITERATIONS: usize = 80;
/// Residual over the circulation of unit lift coefficient at which the answer stands.
const TOLERANCE: f64 = 1e-11;
/// Smallest share of a Newton step that is tried.
const LEAST_STEP: f64 = 1.0 / 64.0;
/// Step of the central difference that gives the slope of the lift curve, rad.
const ANGLE_STEP_RAD: f64 = 1e-5;

/// Why a lifting line has no answer.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum LiftingLineError {
    /// Circulation and downwash did not settle.
    #[error("circulation of a surface did not settle in {iterations} steps (residual {residual:.1e})")]
    NotConverged {
        /// Steps taken.
        iterations: usize,
        /// Largest residual over the circulation of unit lift coefficient.
        residual: f64,
    },
    /// The equations have no single answer.
    #[error("equations for the circulation of a surface are singular")]
    Singular,
}

/// One strip of a solved lifting line.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Which half of the surface, in the order of [`super::geometry::halves`].
    pub half: usize,
    /// Distance from the root along the half, m.
    pub s_m: f64,
    /// Weight of the strip in an integral over the span, m.
    pub width_m: f64,
    /// Chord, m.
    pub chord_m: f64,
    /// Circulation, positive for lift along the half's normal, m²/s.
    pub circulation_m2_s: f64,
    /// Angle of attack of the chord against the local flow, downwash included, rad.
    pub effective_angle_rad: f64,
    /// Section lift coefficient on the local chord, 2Γ/(V c).
    pub lift_coefficient: f64,
}

/// A surface's circulation and the vortices that make its velocity field.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftingLine {
    /// The span and its halves.
    pub span: Span,
    /// Strips in order along the span: port tip to starboard tip, or root to tip.
    pub strips: Vec<Strip>,
    /// Strengths of the trailing vortices about the stream direction, at the strip edges, m²/s; their sum is 0.
    pub trailing_m2_s: Vec<f64>,
    /// Free stream in aircraft axes, m/s.
    pub velocity_m_s: Vec3,
    /// Force square to the strips over dynamic pressure and area along the surface; the lift coefficient of a wing.
    pub lift_coefficient: f64,
    /// Induced drag over dynamic pressure and area along the surface.
    pub induced_drag_coefficient: f64,
    stream_direction: Vec3,
    legs: Vec<Leg>,
    bound: Vec<Segment>,
}

/// Straight lift line of a section: slope times angle above zero lift.
pub fn linear_lift(section: &AnalyticSection) -> impl Fn(f64) -> f64 + use<> {
    let (slope, zero) = (section.lift_slope_per_rad, section.zero_lift_rad);
    move |angle_rad| slope * (angle_rad - zero)
}

impl LiftingLine {
    /// Circulation of a surface in a free stream, aircraft axes, m/s.
    ///
    /// `lift` gives the section lift coefficient at an angle of attack in rad, stall included; [`linear_lift`] is the
    /// attached limit. The surface's lift slope and zero-lift angle say what of it counts as stall.
    ///
    /// # Errors
    /// [`LiftingLineError`] if circulation and downwash do not settle.
    pub fn new(
        surface: &Surface,
        velocity_m_s: &Vec3,
        strips: usize,
        lift: impl Fn(f64) -> f64,
    ) -> Result<Self, LiftingLineError> {
        Self::on_span(Span::new(surface, strips), &surface.section, velocity_m_s, lift)
    }

    /// As [`LiftingLine::new`] on a span that is already cut, which may have its own chord law.
    ///
    /// # Errors
    /// As [`LiftingLine::new`].
    pub fn on_span(
        span: Span,
        section: &AnalyticSection,
        velocity_m_s: &Vec3,
        lift: impl Fn(f64) -> f64,
    ) -> Result<Self, LiftingLineError> {
        let sections = vec![section.clone(); span.controls.len()];
        Self::with_sections(span, &sections, velocity_m_s, |_, angle_rad| lift(angle_rad))
    }

    /// As [`LiftingLine::on_span`] with a section of its own for every strip; `lift` takes it and an angle of attack.
    ///
    /// # Errors
    /// As [`LiftingLine::new`].
    pub fn with_sections(
        span: Span,
        sections: &[AnalyticSection],
        velocity_m_s: &Vec3,
        lift: impl Fn(&AnalyticSection, f64) -> f64,
    ) -> Result<Self, LiftingLineError> {
        let trailing = span.trailing_from_circulation();
        let equations = Equations::new(&span, &trailing, sections, velocity_m_s, &lift);
        let circulation = equations.solve()?;
        Ok(Self::from_circulation(&equations, &trailing, &circulation, velocity_m_s, span.clone()))
    }

    fn from_circulation(
        equations: &Equations<'_, impl Fn(&AnalyticSection, f64) -> f64>,
        trailing: &DMatrix<f64>,
        circulation: &DVector<f64>,
        velocity_m_s: &Vec3,
        span: Span,
    ) -> Self {
        let angles = equations.angles(circulation);
        let induced = &equations.influence * circulation;
        let strips: Vec<Strip> = span
            .controls
            .iter()
            .enumerate()
            .map(|(i, control)| Strip {
                half: control.half,
                s_m: control.s_m,
                width_m: control.width_m,
                chord_m: control.chord_m,
                circulation_m2_s: circulation[i],
                effective_angle_rad: angles[i],
                lift_coefficient: ratio(2.0 * circulation[i], equations.speed[i] * control.chord_m),
            })
            .collect();
        let sum = |force: &dyn Fn(usize) -> f64| -> f64 {
            let total: f64 = strips.iter().enumerate().map(|(i, strip)| force(i) * strip.width_m).sum();
            ratio(2.0 * total, velocity_m_s.norm_squared() * span.area_m2)
        };
        let lift_coefficient = sum(&|i| equations.speed[i] * circulation[i]);
        let induced_drag_coefficient = sum(&|i| -induced[i] * circulation[i]);
        let trailing_m2_s: Vec<f64> = (trailing * circulation).iter().copied().collect();
        Self {
            legs: velocity::legs(&span.edges_m, &trailing_m2_s),
            bound: velocity::bound(&span.edges_m, &span.controls, &trailing_m2_s),
            stream_direction: velocity_m_s.try_normalize(0.0).unwrap_or_else(Vec3::x),
            velocity_m_s: *velocity_m_s,
            span,
            strips,
            trailing_m2_s,
            lift_coefficient,
            induced_drag_coefficient,
        }
    }
}

/// Quotient that is 0 for air at rest.
fn ratio(numerator: f64, denominator: f64) -> f64 {
    if denominator == 0.0 { 0.0 } else { numerator / denominator }
}

/// The equations of the strips: Γ_i = q_i [a₀(α_i − α₀) − mean over a chord of the lift lost to stall].
struct Equations<'a, L> {
    /// Velocity along the normals from circulations, 1/m.
    influence: DMatrix<f64>,
    /// Averages over a chord of span.
    chord_mean: DMatrix<f64>,
    /// Angle of attack without downwash, rad.
    geometric_angle: DVector<f64>,
    /// Speed in the section's plane, m/s.
    speed: DVector<f64>,
    /// Circulation of unit lift coefficient, ½ V c cos Λ, m²/s.
    unit_circulation: DVector<f64>,
    sections: &'a [AnalyticSection],
    lift: &'a L,
}

impl<'a, L: Fn(&AnalyticSection, f64) -> f64> Equations<'a, L> {
    fn new(
        span: &Span,
        trailing: &DMatrix<f64>,
        sections: &'a [AnalyticSection],
        velocity_m_s: &Vec3,
        lift: &'a L,
    ) -> Self {
        let count = span.controls.len();
        let at = |f: &dyn Fn(&Control) -> f64| DVector::from_fn(count, |i, _| f(&span.controls[i]));
        let speed = at(&|c| velocity_m_s.x.hypot(velocity_m_s.dot(&span.half(c).normal)));
        let half_chord = at(&|c| 0.5 * c.chord_m * span.half(c).sweep_cosine());
        Self {
            influence: span.normal_velocity_from_trailing() * trailing,
            chord_mean: span.chord_mean(),
            geometric_angle: at(&|c| span.half(c).geometric_angle_rad(c.s_m, velocity_m_s)),
            unit_circulation: half_chord.component_mul(&speed),
            speed,
            sections,
            lift,
        }
    }

    /// Effective angles of attack, rad.
    fn angles(&self, circulation: &DVector<f64>) -> DVector<f64> {
        let induced = &self.influence * circulation;
        &self.geometric_angle + induced.zip_map(&self.speed, ratio)
    }

    /// Lift coefficient of a strip's straight line.
    fn line_lift(&self, strip: usize, angle: f64) -> f64 {
        let section = &self.sections[strip];
        section.lift_slope_per_rad * (angle - section.zero_lift_rad)
    }

    /// Lift coefficient that a strip's section lacks against its straight line.
    fn stall_loss(&self, strip: usize, angle: f64) -> f64 {
        self.line_lift(strip, angle) - (self.lift)(&self.sections[strip], angle)
    }

    fn residual(&self, circulation: &DVector<f64>) -> DVector<f64> {
        let angles = self.angles(circulation);
        let by_strip = |f: &dyn Fn(usize, f64) -> f64| DVector::from_fn(angles.len(), |i, _| f(i, angles[i]));
        let loss = &self.chord_mean * by_strip(&|i, angle| self.stall_loss(i, angle));
        let lift = by_strip(&|i, angle| self.line_lift(i, angle)) - loss;
        circulation - lift.component_mul(&self.unit_circulation)
    }

    fn jacobian(&self, circulation: &DVector<f64>) -> DMatrix<f64> {
        let angles = self.angles(circulation);
        let count = circulation.len();
        let loss_slope = DVector::from_fn(count, |i, _| {
            let (low, high) = (angles[i] - ANGLE_STEP_RAD, angles[i] + ANGLE_STEP_RAD);
            (self.stall_loss(i, high) - self.stall_loss(i, low)) / (2.0 * ANGLE_STEP_RAD)
        });
        let by_circulation =
            DMatrix::from_fn(count, count, |i, j| ratio(self.influence[(i, j)], self.speed[i]));
        let lift = if loss_slope.iter().all(|slope| *slope == 0.0) {
            // Without stall the product is one by a diagonal.
            DMatrix::from_fn(count, count, |i, j| {
                self.sections[i].lift_slope_per_rad * by_circulation[(i, j)]
            })
        } else {
            let lift_slope = DMatrix::from_fn(count, count, |i, j| {
                let line = if i == j { self.sections[i].lift_slope_per_rad } else { 0.0 };
                line - self.chord_mean[(i, j)] * loss_slope[j]
            });
            lift_slope * by_circulation
        };
        DMatrix::from_fn(count, count, |i, j| {
            f64::from(u8::from(i == j)) - self.unit_circulation[i] * lift[(i, j)]
        })
    }

    /// Newton's method with backtracking; on a straight lift curve the first step is the answer.
    fn solve(&self) -> Result<DVector<f64>, LiftingLineError> {
        let mut circulation = DVector::zeros(self.speed.len());
        let scale = self.unit_circulation.amax();
        if scale == 0.0 {
            return Ok(circulation);
        }
        let mut residual = self.residual(&circulation);
        for _ in 0..MAX_ITERATIONS {
            if residual.amax() <= TOLERANCE * scale {
                return Ok(circulation);
            }
            let step = self.jacobian(&circulation).lu().solve(&residual).ok_or(LiftingLineError::Singular)?;
            let mut share = 1.0;
            loop {
                let trial = &circulation - share * &step;
                let trial_residual = self.residual(&trial);
                if trial_residual.norm() < residual.norm() || share <= LEAST_STEP {
                    (circulation, residual) = (trial, trial_residual);
                    break;
                }
                share *= 0.5;
            }
        }
        let left = residual.amax() / scale;
        Err(LiftingLineError::NotConverged { iterations: MAX_ITERATIONS, residual: left })
    }
}

#[cfg(test)]
mod tests;
