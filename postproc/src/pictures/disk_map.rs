//! A quantity over the disk, seen from behind looking forward: starboard is right, up is up.
//!
//! The outlines of wing and body are projected along the shaft, so that it can be seen what lies ahead of a place.

use std::f64::consts::TAU;

use ndarray::Array2;
use plotters::element::{BitMapElement, Circle, Polygon, Rectangle};
use plotters::prelude::DrawingBackend;
use plotters::style::text_anchor::{HPos, VPos};
use plotters::style::{Color, RGBColor};
use wakebeat_engine::point::input::{OperatingPoint, Rotation};
use wakebeat_engine::point::result::DiskField;
use wakebeat_engine::surface::geometry::halves;

use super::Run;
use super::canvas::{Area, px};
use super::clip::in_unit_circle;
use super::colour::{self, FAINT_INK, INK, NO_DATA};
use super::frame::{framed, rotation, sense};
use super::loads::extremes;
use super::number::{short, tick_label, ticks};
use super::outline::{Place, View, body_circle, silhouette, trailing_edge};
use super::ring_match::RingMatch;
use super::sample::Sampler;
use super::style::{BODY, SMALL, anchored, dashes, line, stroke, text, upwards, write};
use crate::PlotError;

/// Radius of the disk, pixels.
const DISK: f64 = 310.0;
/// Centre of the disk in the framed area, pixels.
const CENTRE: (f64, f64) = (420.0, 385.0);
/// Left edge of the colour bar, pixels.
const BAR_X: f64 = 900.0;

/// A quantity to map.
#[derive(Debug, Clone, Copy)]
pub(super) struct Quantity {
    pub file_stem: &'static str,
    field: DiskField,
    title: &'static str,
    /// At the colour bar, with the unit of the figures.
    label: &'static str,
    /// Behind figures.
    unit: &'static str,
    /// Figures are values times this.
    factor: f64,
}

/// Angle of attack of the sections.
pub(super) const ANGLE_OF_ATTACK: Quantity = Quantity {
    file_stem: "disk_angle_of_attack",
    field: DiskField::AngleOfAttack,
    title: "Angle of attack of the blade sections over the disk, seen from behind",
    label: "geometric angle of attack, deg",
    unit: "°",
    factor: 180.0 / std::f64::consts::PI,
};
/// Axial inflow without induction.
pub(super) const AXIAL_INFLOW: Quantity = Quantity {
    file_stem: "disk_axial_inflow",
    field: DiskField::AxialInflow,
    title: "Axial inflow without induction over the disk, seen from behind",
    label: "axial inflow, m/s",
    unit: " m/s",
    factor: 1.0,
};
/// Axial force on a blade.
pub(super) const NORMAL_FORCE: Quantity = Quantity {
    file_stem: "disk_normal_force",
    field: DiskField::NormalForce,
    title: "Axial force on a blade over the disk, seen from behind",
    label: "axial force, N/m, forward positive",
    unit: " N/m",
    factor: 1.0,
};

/// The disk as drawn.
struct Disk<'a> {
    quantity: Quantity,
    outlines: Vec<Outline>,
    radius_m: &'a [f64],
    azimuths: usize,
    values: Array2<f64>,
    tip_m: f64,
    root_m: f64,
    /// +1 clockwise, −1 counterclockwise, seen from behind.
    sense: f64,
    low: f64,
    high: f64,
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(
    area: &Area<DB>,
    quantity: Quantity,
    run: Run<'_>,
) -> Result<(), PlotError> {
    let inner = framed(area, quantity.title, run)?;
    let disk = Disk::new(quantity, run)?;
    disk.fill(&inner)?;
    disk.outlines(&inner)?;
    disk.marks(&inner)?;
    disk.rotation_arrow(&inner, run.point.propeller.rotation)?;
    disk.colour_bar(&inner)?;
    disk.words(&inner)
}

/// A line over the disk in tip radii.
struct Outline {
    points: Vec<Place>,
    width: f64,
    /// With gaps, so that a thin wake behind it shows.
    dashed: bool,
}

/// Contours of surfaces, their trailing edges dashed, and bodies, seen along the shaft.
fn outlines(point: &OperatingPoint, tip_m: f64) -> Vec<Outline> {
    let view = View::along_shaft(point);
    let mut all = Vec::new();
    let mut add = |mut points: Vec<Place>, width: f64, dashed: bool| {
        points.iter_mut().for_each(|place| *place = (place.0 / tip_m, place.1 / tip_m));
        all.push(Outline { points, width, dashed });
    };
    for surface in &point.surfaces {
        for half in halves(surface) {
            let mut contour = silhouette(surface, &half, &view);
            // Two halves join at the root; a single one ends there.
            if !surface.mirror {
                contour.extend(contour.first().copied());
            }
            add(contour, 1.2, false);
            add(trailing_edge(surface, &half, &view), 1.2, true);
        }
    }
    for body in &point.bodies {
        add(body_circle(body, &view), 1.6, false);
    }
    all
}

impl<'a> Disk<'a> {
    fn new(quantity: Quantity, run: Run<'a>) -> Result<Self, PlotError> {
        let result = &run.record.result;
        let values = result.disk(quantity.field).mapv(|value| quantity.factor * value);
        let (low, high) = extremes(values.iter().copied());
        if !values.iter().any(|value| value.is_finite()) {
            return Err(PlotError::NotFinite { item: quantity.field.key() });
        }
        let tip_m = 0.5 * run.point.propeller.diameter_m;
        let root = run.point.propeller.blade.rows.first().map_or(0.0, |row| row.radius_ratio);
        // A uniform field is one colour in the middle of a bar one unit long.
        let (low, high) = if high - low > 1e-6 { (low, high) } else { (low - 0.5, high + 0.5) };
        Ok(Self {
            quantity,
            outlines: outlines(run.point, tip_m),
            radius_m: &result.radius_m,
            azimuths: result.azimuth_rad.len(),
            values,
            tip_m,
            root_m: root * tip_m,
            sense: sense(run.point.propeller.rotation),
            low,
            high,
        })
    }

    /// Place of a radius ratio and azimuth in fine pixels.
    fn place(&self, ratio: f64, azimuth: f64) -> (i32, i32) {
        let (x, y) = (self.sense * azimuth.sin(), -azimuth.cos());
        (px(CENTRE.0 + ratio * DISK * x), px(CENTRE.1 + ratio * DISK * y))
    }

    fn colour(&self, value: f64) -> RGBColor {
        if value.is_finite() { colour::map((value - self.low) / (self.high - self.low)) } else { NO_DATA }
    }

    /// The field, pixel by pixel.
    fn fill<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let reach = px(DISK);
        let size = (2 * reach + 1) as u32;
        let mut pixels = Vec::with_capacity(3 * (size * size) as usize);
        let rings = RingMatch::new(Sampler { radius_m: self.radius_m, field: &self.values });
        for y in -reach..=reach {
            for x in -reach..=reach {
                let RGBColor(r, g, b) =
                    self.pixel(&rings, f64::from(x) / f64::from(reach), f64::from(y) / f64::from(reach));
                pixels.extend([r, g, b]);
            }
        }
        let corner = (px(CENTRE.0) - reach, px(CENTRE.1) - reach);
        let image = BitMapElement::with_owned_buffer(corner, (size, size), pixels)
            .ok_or_else(|| PlotError::Drawing { reason: "the disk has no pixels".to_owned() })?;
        area.draw(&image)?;
        Ok(())
    }

    /// Colour at a place in tip radii right and down from the shaft.
    fn pixel(&self, rings: &RingMatch<'_>, right: f64, down: f64) -> RGBColor {
        let ratio = right.hypot(down);
        if ratio > 1.0 {
            return RGBColor(255, 255, 255);
        }
        let radius_m = ratio * self.tip_m;
        if radius_m < self.root_m {
            return NO_DATA;
        }
        self.colour(rings.value(radius_m, (self.sense * right).atan2(-down)))
    }

    /// Wing and body ahead of the disk: dark lines with a light edge, which show on every colour.
    fn outlines<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let at = |(right, up): &Place| (px(CENTRE.0 + DISK * right), px(CENTRE.1 - DISK * up));
        for (colour, extra) in [(RGBColor(255, 255, 255), 2.0), (INK, 0.0)] {
            for outline in &self.outlines {
                for piece in in_unit_circle(&outline.points) {
                    let points: Vec<_> = piece.iter().map(at).collect();
                    let style = line(colour, outline.width + extra);
                    if outline.dashed { dashes(area, &points, style)? } else { stroke(area, points, style)? }
                }
            }
        }
        Ok(())
    }

    /// Outline, hub, azimuth marks and directions.
    fn marks<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let centre = (px(CENTRE.0), px(CENTRE.1));
        let root = px(DISK * self.root_m / self.tip_m);
        area.draw(&Circle::new(centre, px(DISK), line(INK, 1.5)))?;
        area.draw(&Circle::new(centre, root, line(INK, 1.0)))?;
        for step in 0..12 {
            let azimuth = TAU * f64::from(step) / 12.0;
            stroke(area, vec![self.place(1.0, azimuth), self.place(1.025, azimuth)], line(INK, 1.5))?;
            let label = format!("{}°", 30 * step);
            let style = anchored(text(SMALL, INK), HPos::Center, VPos::Center);
            write(area, &label, self.place(1.085, azimuth), style)?;
        }
        let top = (px(CENTRE.0), px(CENTRE.1 - DISK - 58.0));
        write(area, "up", top, anchored(text(BODY, INK), HPos::Center, VPos::Center))?;
        let sides = [("port", -1.0), ("starboard", 1.0)];
        for (words, side) in sides {
            let at = (px(CENTRE.0 + side * (DISK + 66.0)), px(CENTRE.1));
            write(area, words, at, upwards(BODY))?;
        }
        Ok(())
    }

    /// An arc with a head, outside the azimuth labels.
    fn rotation_arrow<DB: DrawingBackend>(
        &self,
        area: &Area<DB>,
        direction: Rotation,
    ) -> Result<(), PlotError> {
        let (ratio, from, to) = (1.19, 35_f64.to_radians(), 60_f64.to_radians());
        let arc = (0..=40).map(|k| self.place(ratio, from + (to - from) * f64::from(k) / 40.0));
        stroke(area, arc.collect(), line(INK, 2.5))?;
        let head = [
            self.place(ratio, to + 0.045),
            self.place(ratio + 0.024, to - 0.01),
            self.place(ratio - 0.024, to - 0.01),
        ];
        area.draw(&Polygon::new(head.to_vec(), INK.filled()))?;
        let (x, y) = self.place(ratio + 0.04, from);
        let side = if self.sense > 0.0 { HPos::Left } else { HPos::Right };
        write(area, rotation(direction), (x, y), anchored(text(BODY, INK), side, VPos::Bottom))
    }

    fn colour_bar<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let (top, bottom, width) = (px(CENTRE.1 - 230.0), px(CENTRE.1 + 150.0), px(34.0));
        let left = px(BAR_X);
        for y in top..=bottom {
            let fraction = f64::from(bottom - y) / f64::from(bottom - top);
            let row = Rectangle::new([(left, y), (left + width, y + 1)], colour::map(fraction).filled());
            area.draw(&row)?;
        }
        area.draw(&Rectangle::new([(left, top), (left + width, bottom)], line(FAINT_INK, 1.0)))?;
        let marks = ticks(self.low, self.high, 6);
        let step = marks.windows(2).next().map_or(1.0, |pair| pair[1] - pair[0]);
        for value in marks {
            let fraction = (value - self.low) / (self.high - self.low);
            let y = bottom - (fraction * f64::from(bottom - top)).round() as i32;
            stroke(area, vec![(left + width, y), (left + width + px(6.0), y)], line(INK, 1.0))?;
            write(area, &tick_label(value, step), (left + width + px(12.0), y), text(SMALL, INK))?;
        }
        let at = (left - px(24.0), (top + bottom) / 2);
        write(area, self.quantity.label, at, upwards(BODY))
    }

    /// Extremes and the size of the disk.
    fn words<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let rows = [
            self.extreme("lowest", |a, b| a < b),
            self.extreme("highest", |a, b| a > b),
            format!("tip radius {} m, grey: hub", short(self.tip_m)),
            if self.outlines.is_empty() { String::new() } else { "lines: wing and body ahead,".to_owned() },
            if self.outlines.is_empty() { String::new() } else { "dashed: trailing edge".to_owned() },
        ];
        for (row, words) in rows.iter().enumerate() {
            let at = (px(BAR_X - 34.0), px(CENTRE.1 + 200.0 + 30.0 * row as f64));
            write(area, words, at, text(SMALL, INK))?;
        }
        Ok(())
    }

    fn extreme(&self, name: &str, better: impl Fn(f64, f64) -> bool) -> String {
        let finite = self.values.indexed_iter().filter(|(_, value)| value.is_finite());
        let found = finite.reduce(|a, b| if better(*b.1, *a.1) { b } else { a });
        found.map_or_else(String::new, |((station, azimuth), value)| {
            let psi = 360.0 * azimuth as f64 / self.azimuths as f64;
            let ratio = self.radius_m[station] / self.tip_m;
            format!("{name} {}{} at {psi:.0}°, {ratio:.2} R", short(*value), self.quantity.unit)
        })
    }
}
