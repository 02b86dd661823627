//! What the blade cuts: axial inflow without induction, as velocity and as ratio to airspeed.
//!
//! Left, against height up both sides of the circle at three quarters of the radius, where the azimuth grid
//! resolves the wake's profile; right, against azimuth around three radii.

use std::f64::consts::PI;

use plotters::prelude::DrawingBackend;
use plotters::style::RGBColor;
use plotters::style::text_anchor::{HPos, VPos};
use wakebeat_engine::point::result::DiskField;

use super::Run;
use super::canvas::{Area, px};
use super::colour::{BLUE, FAINT_INK, GREEN, INK, PURPLE, VERMILION};
use super::frame::{framed, sense};
use super::loads::{AZIMUTH, extremes};
use super::number::{tick_label, ticks};
use super::panel::{Axis, Chart, Room, curve, panel, place};
use super::sample::Sampler;
use super::style::{BODY, SMALL, anchored, line, stroke, text, upwards, write};
use crate::PlotError;

/// Radii around which the right panel goes, over tip radius.
const RADII: [(f64, RGBColor); 3] = [(0.5, GREEN), (0.75, BLUE), (0.95, VERMILION)];
/// Circle of the left panel, over tip radius.
const PROFILE: f64 = 0.75;
/// Sides of the left panel; +1 where azimuth grows from 0 for clockwise rotation.
const SIDES: [(&str, f64, RGBColor); 2] = [("port", -1.0, PURPLE), ("starboard", 1.0, INK)];
/// Room between heading and plot for legend and ratio scale, pixels.
const ABOVE: f64 = 92.0;
/// Width of the left panel, pixels.
const LEFT: f64 = 480.0;
const INFLOW: &str = "axial inflow, m/s";
const RATIO: &str = "ratio to airspeed";

/// The inflow and what it is measured against.
struct Cut<'a> {
    disk: Sampler<'a>,
    azimuth_rad: &'a [f64],
    tip_m: f64,
    /// +1 clockwise, −1 counterclockwise, seen from behind.
    sense: f64,
    airspeed_m_s: f64,
    low_m_s: f64,
    high_m_s: f64,
}

/// Draws the picture.
pub(super) fn draw<DB: DrawingBackend>(area: &Area<DB>, run: Run<'_>) -> Result<(), PlotError> {
    let inner = framed(area, "What the blades cut: axial inflow without induction", run)?;
    let cut = Cut::new(run)?;
    let (left, right) = inner.split_horizontally(px(LEFT));
    cut.against_height(&left)?;
    cut.around(&right)
}

impl<'a> Cut<'a> {
    fn new(run: Run<'a>) -> Result<Self, PlotError> {
        let result = &run.record.result;
        let field = result.disk(DiskField::AxialInflow);
        if !field.iter().any(|value| value.is_finite()) {
            return Err(PlotError::NotFinite { item: DiskField::AxialInflow.key() });
        }
        let (low, high) = extremes(field.iter().copied());
        // A uniform field needs a scale too: a tenth of the speed on both sides.
        let room =
            if high - low > 1e-6 * high.abs() { 0.06 * (high - low) } else { 0.1 * high.abs().max(1.0) };
        Ok(Self {
            disk: Sampler { radius_m: &result.radius_m, field },
            azimuth_rad: &result.azimuth_rad,
            tip_m: 0.5 * run.point.propeller.diameter_m,
            sense: sense(run.point.propeller.rotation),
            airspeed_m_s: run.point.flight.airspeed_m_s,
            low_m_s: low - room,
            high_m_s: high + room,
        })
    }

    /// Velocity across, height up.
    fn against_height<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let radius_m = PROFILE * self.tip_m;
        let x = Axis::round(self.low_m_s, self.high_m_s, 4, INFLOW);
        let y = Axis::round(-radius_m, radius_m, 8, "height above the shaft in the disk, m");
        let room = Room { above: ABOVE, right: 22.0 };
        let heading = format!("Up the circle at {PROFILE} R");
        let mut chart = panel(area, &heading, &x, &y, room)?;
        self.airspeed_line(&mut chart, &[(self.airspeed_m_s, -radius_m), (self.airspeed_m_s, radius_m)])?;
        for (_, side, colour) in SIDES {
            let points = self.half_circle(radius_m, side * self.sense);
            curve(&mut chart, &points, line(colour, 2.2))?;
        }
        let names = SIDES.map(|(name, _, colour)| (name.to_owned(), colour));
        legend(area, place(area, &chart, (self.low_m_s, radius_m)), &names)?;
        self.ratio_scale_above(area, &chart, radius_m)
    }

    /// Inflow and height at the azimuths of one half of a circle: growing from 0, or shrinking from 360°.
    fn half_circle(&self, radius_m: f64, sense: f64) -> Vec<(f64, f64)> {
        let steps = self.azimuth_rad.len().max(2) / 2;
        (0..=steps)
            .map(|k| sense * PI * k as f64 / steps as f64)
            .map(|psi| (self.disk.value(radius_m, psi), radius_m * psi.cos()))
            .collect()
    }

    /// Velocity up, azimuth across.
    fn around<DB: DrawingBackend>(&self, area: &Area<DB>) -> Result<(), PlotError> {
        let y = Axis::round(self.low_m_s, self.high_m_s, 6, INFLOW);
        let room = Room { above: ABOVE, right: 96.0 };
        let mut chart = panel(area, "Around the disk", &Axis::revolution(AZIMUTH), &y, room)?;
        self.airspeed_line(&mut chart, &[(0.0, self.airspeed_m_s), (360.0, self.airspeed_m_s)])?;
        for (ratio, colour) in RADII {
            curve(&mut chart, &self.ring(ratio * self.tip_m), line(colour, 2.2))?;
        }
        let names = RADII.map(|(ratio, colour)| (format!("{ratio} R"), colour));
        legend(area, place(area, &chart, (0.0, self.high_m_s)), &names)?;
        self.ratio_scale_beside(area, &chart)
    }

    /// Azimuth in degrees and inflow at a radius, closed at 360.
    fn ring(&self, radius_m: f64) -> Vec<(f64, f64)> {
        let at = |psi: f64| (psi.to_degrees(), self.disk.value(radius_m, psi));
        let mut points: Vec<_> = self.azimuth_rad.iter().map(|psi| at(*psi)).collect();
        points.push((360.0, self.disk.value(radius_m, 0.0)));
        points
    }

    /// A faint line at the airspeed where it lies on the scale.
    fn airspeed_line<DB: DrawingBackend>(
        &self,
        chart: &mut Chart<'_, DB>,
        ends: &[(f64, f64)],
    ) -> Result<(), PlotError> {
        if (self.low_m_s..=self.high_m_s).contains(&self.airspeed_m_s) {
            curve(chart, ends, line(FAINT_INK, 1.0))?;
        }
        Ok(())
    }

    /// Round ratios to airspeed on the scale, with their step; none when the aircraft stands.
    fn ratios(&self, count: usize) -> (Vec<f64>, f64) {
        if self.airspeed_m_s <= 0.0 {
            return (Vec::new(), 1.0);
        }
        let marks = ticks(self.low_m_s / self.airspeed_m_s, self.high_m_s / self.airspeed_m_s, count);
        let step = marks.windows(2).next().map_or(0.1, |pair| pair[1] - pair[0]);
        (marks, step)
    }

    fn ratio_scale_above<DB: DrawingBackend>(
        &self,
        area: &Area<DB>,
        chart: &Chart<'_, DB>,
        top: f64,
    ) -> Result<(), PlotError> {
        let (marks, step) = self.ratios(4);
        let style = anchored(text(SMALL, FAINT_INK), HPos::Center, VPos::Bottom);
        for ratio in &marks {
            let (x, y) = place(area, chart, (ratio * self.airspeed_m_s, top));
            stroke(area, vec![(x, y), (x, y - px(6.0))], line(FAINT_INK, 1.0))?;
            write(area, &tick_label(*ratio, step), (x, y - px(9.0)), style.clone())?;
        }
        if marks.is_empty() {
            return Ok(());
        }
        let (x, y) = place(area, chart, (0.5 * (self.low_m_s + self.high_m_s), top));
        write(area, RATIO, (x, y - px(30.0)), anchored(text(BODY, INK), HPos::Center, VPos::Bottom))
    }

    fn ratio_scale_beside<DB: DrawingBackend>(
        &self,
        area: &Area<DB>,
        chart: &Chart<'_, DB>,
    ) -> Result<(), PlotError> {
        let (marks, step) = self.ratios(6);
        for ratio in &marks {
            let (x, y) = place(area, chart, (360.0, ratio * self.airspeed_m_s));
            stroke(area, vec![(x, y), (x + px(6.0), y)], line(FAINT_INK, 1.0))?;
            write(area, &tick_label(*ratio, step), (x + px(11.0), y), text(SMALL, FAINT_INK))?;
        }
        if marks.is_empty() {
            return Ok(());
        }
        let (x, y) = place(area, chart, (360.0, 0.5 * (self.low_m_s + self.high_m_s)));
        write(area, RATIO, (x + px(78.0), y), upwards(BODY))
    }
}

/// Between heading and plot, where no curve can go; `corner` is the upper left of the plot.
fn legend<DB: DrawingBackend>(
    area: &Area<DB>,
    corner: (i32, i32),
    names: &[(String, RGBColor)],
) -> Result<(), PlotError> {
    let (left, y) = (corner.0 + px(4.0), corner.1 - px(ABOVE - 18.0));
    for (number, (name, colour)) in names.iter().enumerate() {
        let x = left + px(130.0 * number as f64);
        stroke(area, vec![(x, y), (x + px(30.0), y)], line(*colour, 3.0))?;
        write(area, name, (x + px(38.0), y), text(BODY, INK))?;
    }
    Ok(())
}
