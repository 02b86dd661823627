//! Lift and drag of the airframe without its propeller.

use crate::air::standard_air;
use crate::base::Vec3;
use crate::frames::free_stream_m_s;
use crate::point::PointError;
use crate::point::input::{AircraftLift, OperatingPoint, Surface};
use crate::section::analytic_coefficients;
use crate::surface::flow::{STRIPS, SurfaceFlow};
use crate::surface::geometry::halves;
use crate::surface::lifting_line::Span;

/// Forces in the stream, N.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AirframeForces {
    /// Up, square to the stream.
    pub lift_n: f64,
    /// Along the stream that lift brings: induced drag, and the drag of the sections above their least.
    pub drag_of_lift_n: f64,
    /// Area of the surfaces seen along their normals whose sections are past their greatest lift, m².
    pub stalled_m2: f64,
}

/// What lifts, prepared once for all angles of attack.
///
/// By default every surface of the case stands alone in the free stream, as the engine's wakes take it: Prandtl's lifting line
/// with sections, flaps and stall ([`crate::surface::lifting_line`]). The force of a strip, ρVΓ per unit span along its
/// half's normal, counts with the normal's part along z. Drag of lift is the line's induced drag plus q c (c_d − drag_min) of the
/// sections. A tail in the wing's downwash is taken to lift as if it stood alone: where the tail carries much, give
/// `airframe.lift_slope_per_rad` instead, and lift is then q S a (α − α₀) up to `lift_max`, induced drag k C_L² q S. Bodies
/// lift nothing; pitch balance, slipstream and the propeller's own normal force are left out.
#[derive(Debug, Clone)]
pub struct AirframeModel<'a> {
    point: &'a OperatingPoint,
    lift: Option<AircraftLift>,
    spans: Vec<Span>,
    density_kg_m3: f64,
}

impl<'a> AirframeModel<'a> {
    /// Cuts the surfaces into strips.
    #[must_use]
    pub fn new(point: &'a OperatingPoint) -> Self {
        let spans = if point.airframe.lift.is_some() {
            Vec::new()
        } else {
            point.surfaces.iter().map(|surface| Span::new(surface, STRIPS)).collect()
        };
        let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
        Self { point, lift: point.airframe.lift, spans, density_kg_m3: air.density_kg_m3 }
    }

    /// Dynamic pressure, Pa.
    #[must_use]
    pub fn dynamic_pressure_pa(&self) -> f64 {
        0.5 * self.density_kg_m3 * self.point.flight.airspeed_m_s.powi(2)
    }

    /// Airspeed, m/s.
    #[must_use]
    pub fn airspeed_m_s(&self) -> f64 {
        self.point.flight.airspeed_m_s
    }

    /// Velocity of the air at an angle of attack, m/s.
    fn stream_m_s(&self, angle_rad: f64) -> Vec3 {
        let mut flight = self.point.flight.clone();
        flight.angle_of_attack_rad = angle_rad;
        free_stream_m_s(&flight)
    }

    /// Lift and the drag it brings at an angle of attack, rad.
    ///
    /// # Errors
    /// [`PointError::Circulation`] where a lifting line has no answer.
    pub fn forces(&self, angle_rad: f64) -> Result<AirframeForces, PointError> {
        if let Some(lift) = &self.lift {
            return Ok(self.forces_of_aircraft(lift, angle_rad));
        }
        let stream = self.stream_m_s(angle_rad);
        let mut sum = AirframeForces::default();
        for (surface, span) in self.point.surfaces.iter().zip(&self.spans) {
            let own = self.forces_of_surface(surface, span, &stream)?;
            sum.lift_n += own.lift_n;
            sum.drag_of_lift_n += own.drag_of_lift_n;
            sum.stalled_m2 += own.stalled_m2;
        }
        Ok(sum)
    }

    fn forces_of_aircraft(&self, lift: &AircraftLift, angle_rad: f64) -> AirframeForces {
        let line = lift.lift_slope_per_rad * (angle_rad - lift.zero_lift_rad);
        let coefficient = line.clamp(-lift.lift_max, lift.lift_max);
        let head_n = self.dynamic_pressure_pa() * lift.reference_area_m2;
        AirframeForces {
            lift_n: head_n * coefficient,
            drag_of_lift_n: head_n * lift.induced_drag_factor * coefficient.powi(2),
            stalled_m2: if line > lift.lift_max { lift.reference_area_m2 } else { 0.0 },
        }
    }

    fn forces_of_surface(
        &self,
        surface: &Surface,
        span: &Span,
        stream_m_s: &Vec3,
    ) -> Result<AirframeForces, PointError> {
        let flow = SurfaceFlow::on_span(surface, span.clone(), stream_m_s, |section, angle| {
            analytic_coefficients(section, angle, 1.0).lift
        })
        .map_err(|error| PointError::Circulation {
            surface: surface.name.clone(),
            reason: error.to_string(),
        })?;
        let line = &flow.line;
        let mut forces = AirframeForces {
            lift_n: 0.0,
            drag_of_lift_n: self.dynamic_pressure_pa() * line.span.area_m2 * line.induced_drag_coefficient,
            stalled_m2: 0.0,
        };
        for (strip, section) in line.strips.iter().zip(&flow.sections) {
            let normal = &line.span.halves[strip.half].normal;
            let speed_m_s = stream_m_s.x.hypot(stream_m_s.dot(normal));
            let lift_n = self.density_kg_m3 * speed_m_s * strip.circulation_m2_s * strip.width_m;
            forces.lift_n += lift_n * normal.z;
            let own = &section.analytic;
            if own.lift_slope_per_rad * (strip.effective_angle_rad - own.zero_lift_rad) > own.lift_max {
                forces.stalled_m2 += strip.chord_m * strip.width_m;
            }
            let drag = analytic_coefficients(&section.analytic, strip.effective_angle_rad, 1.0).drag;
            let rise = drag - surface.section.drag_min;
            forces.drag_of_lift_n +=
                0.5 * self.density_kg_m3 * speed_m_s.powi(2) * strip.chord_m * strip.width_m * rise;
        }
        Ok(forces)
    }
}

/// Area of the surfaces seen from above, m².
#[must_use]
pub fn area_from_above_m2(surfaces: &[Surface]) -> f64 {
    surfaces.iter().flat_map(halves).map(|half| half.area_m2() * half.normal.z.abs()).sum()
}
