//! The inflow sources of the bodies of an operating point.

use super::error::PointError;
use super::input::{Body, OperatingPoint};
use crate::air::{Air, standard_air};
use crate::base::Vec3;
use crate::body::axis_field::AxisField;
use crate::body::shape::BodyShape;
use crate::body::wake::{BodyWake, BodyWakeInput};
use crate::frames::DiskAxes;
use crate::inflow::InflowSource;
use crate::inflow::body_potential::BodyPotentialSource;
use crate::inflow::body_wake::BodyWakeSource;

/// Wake and potential field of every body that has them; none where the air does not come from ahead.
///
/// # Errors
/// [`PointError::BodyField`] when no singularities fit a body.
pub(super) fn body_sources(
    point: &OperatingPoint,
    air: &Air,
    free_stream_m_s: &Vec3,
    disk: &DiskAxes,
) -> Result<Vec<Box<dyn InflowSource>>, PointError> {
    let mut sources: Vec<Box<dyn InflowSource>> = Vec::new();
    if free_stream_m_s.x <= 0.0 {
        return Ok(sources);
    }
    let tip_m = 0.5 * point.propeller.diameter_m;
    for body in &point.bodies {
        let field = axis_field(body)?;
        let range_m = disk_range_m(body, disk, tip_m);
        if let Some(wake) = wake(body, field.as_ref(), reynolds_per_m(point, air), range_m) {
            sources.push(Box::new(BodyWakeSource::new(body, wake, free_stream_m_s)));
        }
        if let Some(field) = field {
            sources.push(Box::new(BodyPotentialSource::new(body, &field, free_stream_m_s, disk, tip_m)));
        }
    }
    Ok(sources)
}

/// The wake of one body; `None` where it sheds none or the air does not come from ahead.
///
/// # Errors
/// As [`body_sources`].
pub(super) fn wake_source(
    body: &Body,
    point: &OperatingPoint,
    air: &Air,
    free_stream_m_s: &Vec3,
    disk: &DiskAxes,
) -> Result<Option<BodyWakeSource>, PointError> {
    if free_stream_m_s.x <= 0.0 {
        return Ok(None);
    }
    let field = axis_field(body)?;
    let range_m = disk_range_m(body, disk, 0.5 * point.propeller.diameter_m);
    let wake = wake(body, field.as_ref(), reynolds_per_m(point, air), range_m);
    Ok(wake.map(|wake| BodyWakeSource::new(body, wake, free_stream_m_s)))
}

/// The wake of one body between two distances behind its nose, m; `None` where it sheds none.
///
/// # Errors
/// As [`body_sources`].
pub(super) fn wake_between(
    body: &Body,
    point: &OperatingPoint,
    range_m: (f64, f64),
) -> Result<Option<BodyWake>, PointError> {
    let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
    Ok(wake(body, axis_field(body)?.as_ref(), reynolds_per_m(point, &air), range_m))
}

/// Airspeed over kinematic viscosity, 1/m.
fn reynolds_per_m(point: &OperatingPoint, air: &Air) -> f64 {
    air.density_kg_m3 * point.flight.airspeed_m_s / air.viscosity_pa_s
}

/// The potential flow around a body, if it acts.
fn axis_field(body: &Body) -> Result<Option<AxisField>, PointError> {
    if !body.potential {
        return Ok(None);
    }
    let unfit = || PointError::BodyField { body: body.name.clone() };
    AxisField::new(&BodyShape::new(body)).ok_or_else(unfit).map(Some)
}

/// Distances behind a body's nose at which the disk lies, m.
fn disk_range_m(body: &Body, disk: &DiskAxes, tip_m: f64) -> (f64, f64) {
    let half = tip_m * (1.0 - disk.aft.x * disk.aft.x).max(0.0).sqrt();
    let hub = disk.hub_m.x - body.nose_m.x;
    (hub - half, hub + half)
}

/// The wake of a body between two distances behind its nose, m.
fn wake(
    body: &Body,
    field: Option<&AxisField>,
    reynolds_per_m: f64,
    (from_m, to_m): (f64, f64),
) -> Option<BodyWake> {
    if !body.wake {
        return None;
    }
    let shape = BodyShape::new(body);
    let edge = |x: f64, r: f64| field.map_or(1.0, |field| 1.0 + field.axial(x, r)[0]);
    let input = BodyWakeInput {
        shape: &shape,
        drag_coefficient: body.drag_coefficient,
        reynolds_per_m,
        edge_speed_ratio: &edge,
    };
    BodyWake::new(&input, from_m, to_m)
}
