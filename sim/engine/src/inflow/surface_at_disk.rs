//! A surface as one disk sees it: circulation, the stretch of span ahead of the disk, and the inflow sources it makes.
//!
//! A surface makes up to three sources, named after it: `NAME_lift` and `NAME_thickness`, its potential fields, and
//! `NAME_wake`, its viscous wake. With the potential fields off the wake sees the undisturbed speed at its edge.

use std::sync::Arc;

use super::InflowSource;
use super::flap_ends::{FlapEnd, flap_ends_near, strips_for};
use super::potential::{DiskRings, lift_source, thickness_source};
use super::surface_wake::SurfaceWakeSource;
use crate::air::standard_air;
use crate::base::Vec3;
use crate::frames::{DiskAxes, free_stream_m_s};
use crate::point::PointError;
use crate::point::input::{Flight, Surface};
use crate::surface::centre_line::CentreLines;
use crate::surface::flow::SurfaceFlow;
use crate::surface::geometry::{EdgeCoordinates, Half};
use crate::surface::lift_field::LiftField;
use crate::surface::thickness_field::ThicknessField;

/// Nearest to the edge, in chords, that the edge speed is taken: linear thickness theory has a pole at the edge.
const NEAREST_EDGE_SPEED: f64 = 0.02;

/// What is computed once for a surface and a disk.
pub struct SurfaceAtDisk {
    /// Circulation and sections.
    pub flow: Arc<SurfaceFlow>,
    /// Where the disk lies as seen from each half.
    pub ranges: Vec<DiskRange>,
    /// The wake's centre lines behind each half, along the stretch the disk sees.
    pub centre_lines: Vec<CentreLines>,
    /// Nearest and furthest distance of the disk behind the trailing edge, not negative, m.
    pub aft_m: (f64, f64),
    /// Reynolds number of the undisturbed air per length, 1/m.
    pub reynolds_per_m: f64,
    fields: Option<(LiftField, ThicknessField)>,
    /// Ends of deflected flaps that pass near the disk.
    flap_ends: Vec<FlapEnd>,
}

/// Where the disk's rim lies as seen from one half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiskRange {
    /// Stations on the half, followed upstream along the drift of sideslip, m.
    pub span_m: (f64, f64),
    /// Distances behind the trailing edge, m.
    pub aft_m: (f64, f64),
}

impl DiskRange {
    fn new(half: &Half, stream: &Vec3, disk: &DiskAxes, tip_m: f64) -> Self {
        let mut range =
            Self { span_m: (f64::INFINITY, f64::NEG_INFINITY), aft_m: (f64::INFINITY, f64::NEG_INFINITY) };
        let rim = (0..32).map(|i| disk.point_m(tip_m, std::f64::consts::TAU * f64::from(i) / 32.0));
        for point in rim.chain([disk.hub_m]) {
            let at = half.edge_coordinates(&point);
            let s = at.s_m - stream.dot(&half.span_direction) / stream.x * at.aft_m;
            range.span_m = (range.span_m.0.min(s), range.span_m.1.max(s));
            range.aft_m = (range.aft_m.0.min(at.aft_m), range.aft_m.1.max(at.aft_m));
        }
        range
    }
}

impl SurfaceAtDisk {
    /// Solves a surface for a disk of radius `tip_m`; `None` where the stream does not come from ahead.
    ///
    /// # Errors
    /// [`PointError::Circulation`] when the lifting line does not settle.
    pub fn new(
        surface: &Surface,
        flight: &Flight,
        disk: &DiskAxes,
        tip_m: f64,
    ) -> Result<Option<Self>, PointError> {
        let stream = free_stream_m_s(flight);
        if stream.x <= 0.0 {
            return Ok(None);
        }
        let flap_ends = flap_ends_near(surface, disk, tip_m);
        let flow = SurfaceFlow::of_strips(surface, &stream, strips_for(surface, &flap_ends, tip_m))
            .map_err(|e| PointError::Circulation { surface: surface.name.clone(), reason: e.to_string() })?;
        let halves = &flow.line.span.halves;
        let ranges: Vec<DiskRange> =
            halves.iter().map(|half| DiskRange::new(half, &stream, disk, tip_m)).collect();
        let from_m = ranges.iter().map(|r| r.aft_m.0).fold(f64::INFINITY, f64::min).max(0.0);
        let to_m = ranges.iter().map(|r| r.aft_m.1).fold(0.0, f64::max).max(from_m + 1e-6 * tip_m);
        let centre_lines: Vec<CentreLines> =
            (0..ranges.len()).map(|h| flow.centre_lines(h, ranges[h].span_m, to_m)).collect();
        let flow = Arc::new(flow);
        let fields = surface.potential.then(|| {
            let lift = LiftField::new(Arc::clone(&flow), centre_lines.clone());
            (lift, ThicknessField::new(Arc::clone(&flow)))
        });
        let air = standard_air(flight.altitude_m, flight.temperature_offset_k);
        let reynolds_per_m = air.density_kg_m3 * flight.airspeed_m_s / air.viscosity_pa_s;
        Ok(Some(Self {
            flow,
            ranges,
            centre_lines,
            aft_m: (from_m, to_m),
            reynolds_per_m,
            fields,
            flap_ends,
        }))
    }

    /// Speed beside the wake over the speed of the stream, on the centre line behind a station of a half.
    #[must_use]
    pub fn edge_speed_ratio(&self, half: usize, s_m: f64, aft_m: f64) -> f64 {
        let Some((lift, thickness)) = &self.fields else { return 1.0 };
        let geometry = &self.flow.line.span.halves[half];
        let aft_m = aft_m.max(NEAREST_EDGE_SPEED * geometry.chord_m(s_m));
        let offset_m = self.centre_lines[half].height_m(s_m, aft_m);
        let point = geometry.point(&EdgeCoordinates { s_m, aft_m, offset_m });
        // On its own sheet the span part of the lift has no axial share.
        let added = thickness.velocity_m_s(&point) + lift.section_velocity_m_s(&point);
        1.0 + added.x / self.flow.line.velocity_m_s.norm()
    }

    /// The sources this surface makes on the disk between the blades' root and tip, for rings of `azimuths`.
    #[must_use]
    pub fn sources(
        self,
        disk: &DiskAxes,
        (root_m, tip_m): (f64, f64),
        azimuths: usize,
    ) -> Vec<Box<dyn InflowSource>> {
        let wake = SurfaceWakeSource::new(&self, disk);
        let mut sources: Vec<Box<dyn InflowSource>> = Vec::new();
        if let Some((lift, thickness)) = self.fields {
            let name = &self.flow.surface.name;
            let surface = &self.flow.surface;
            let symmetry_y_m = surface.mirror.then_some(surface.root_leading_edge_m.y);
            let rings = DiskRings { disk, root_m, tip_m, gap_m: self.aft_m.0, azimuths, symmetry_y_m };
            sources.push(Box::new(lift_source(format!("{name}_lift"), &rings, lift, &self.flap_ends)));
            sources.push(Box::new(thickness_source(format!("{name}_thickness"), &rings, thickness)));
        }
        if let Some(wake) = wake {
            sources.push(Box::new(wake));
        }
        sources
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inflow::station::{Directions, StationGrid};
    use crate::point::input::{Placement, Rotation};
    use crate::surface::geometry::trailing_edge_at_y;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    const TIP: f64 = 0.15;

    fn seen(surface: &Surface, gap_m: f64) -> (SurfaceAtDisk, DiskAxes) {
        seen_in_sideslip(surface, gap_m, 0.0)
    }

    fn seen_in_sideslip(surface: &Surface, gap_m: f64, sideslip_rad: f64) -> (SurfaceAtDisk, DiskAxes) {
        let edge = trailing_edge_at_y(surface, 0.0).unwrap();
        let hub_m = edge + Vec3::new(gap_m, 0.0, 0.02);
        let disk = DiskAxes::new(&Placement { hub_m, tilt_rad: 0.0, toe_rad: 0.0 }, Rotation::Clockwise);
        let flight = Flight {
            airspeed_m_s: 20.0,
            altitude_m: 0.0,
            temperature_offset_k: 0.0,
            angle_of_attack_rad: 0.05,
            sideslip_rad,
        };
        (SurfaceAtDisk::new(surface, &flight, &disk, TIP).unwrap().unwrap(), disk)
    }

    /// The two halves of a wing share one dividing plane, whatever way their edges run: no point behind lies in neither wake.
    #[test]
    fn sideslip_opens_no_gap_between_the_wakes_of_two_halves() {
        for sweep_deg in [-20.0_f64, 0.0, 20.0] {
            let surface = Surface { sweep_rad: sweep_deg.to_radians(), ..wing() };
            let (seen, disk) = seen_in_sideslip(&surface, 0.3, 10.0_f64.to_radians());
            let wake = seen
                .sources(&disk, (0.02, TIP), 360)
                .into_iter()
                .find(|source| source.has_plane_wake())
                .unwrap();
            for i in -400..=400 {
                let point_m = disk.hub_m + Vec3::new(0.0, 0.15 * f64::from(i) / 400.0, -0.02);
                assert!(wake.wake_position(&point_m).is_some(), "sweep {sweep_deg} deg, y {} m", point_m.y);
            }
        }
    }

    /// Momentum is carried: with U_e below V the momentum thickness is (V/U_e)^((H + 5)/2) of that far away. A Gaussian of
    /// peak u has H = 1/(1 − u/√2) and θ in proportion to its width times u/H.
    #[test]
    fn slow_edge_thickens_the_wake_and_none_is_felt_without_potential() {
        let wake = |potential: bool| {
            let surface = Surface { potential, ..wing() };
            let (seen, disk) = seen(&surface, 0.02);
            let source = SurfaceWakeSource::new(&seen, &disk).unwrap();
            let position = source.wake_position(&Vec3::new(disk.hub_m.x, 0.05, 0.2)).unwrap();
            let ratio = seen.edge_speed_ratio(0, 0.05, position.aft_m);
            (ratio, source.wake_station(&position).unwrap())
        };
        let ((slow, thick), (one, thin)) = (wake(true), wake(false));
        assert_eq!(one, 1.0);
        // Linear theory behind 12 %: 7.6 % of V is lost at 0.05 chord, 5.2 % at 0.1; the tapered edge is 0.07 ahead.
        assert!(slow > 0.924 && slow < 0.948, "{slow}");
        let shape_factor = |peak: f64| 1.0 / (1.0 - peak / std::f64::consts::SQRT_2);
        let theta =
            |station: &crate::wake::WakeStation| station.width_m * station.peak / shape_factor(station.peak);
        // Between the rows of a strip's table depth and width are linear, not their product: 2e-3.
        let growth = slow.powf(-0.5 * (shape_factor(thick.peak) + 5.0));
        assert_relative_eq!(theta(&thick) / theta(&thin), growth, max_relative = 4e-3);
        // Air that gains speed on its way aft empties the wake sooner.
        assert!(thick.peak < thin.peak && thick.peak > 0.7 * thin.peak, "{} {}", thick.peak, thin.peak);
    }

    #[test]
    fn each_field_is_a_source_of_its_own_name() {
        let names = |surface: &Surface| -> Vec<String> {
            let (seen, disk) = seen(surface, 0.05);
            let sources = seen.sources(&disk, (0.03, TIP), 360);
            sources.iter().map(|s| s.name().to_owned()).collect()
        };
        let all = Surface { potential: true, ..wing() };
        assert_eq!(names(&all), ["wing_lift", "wing_thickness", "wing_wake"]);
        assert_eq!(names(&Surface { potential: false, ..all.clone() }), ["wing_wake"]);
        let wake = crate::point::input::SurfaceWake::None;
        assert_eq!(names(&Surface { wake, ..all }), ["wing_lift", "wing_thickness"]);
    }

    /// Shaft and disk are placed from the undeflected edge; the wake starts at the turned one, below it.
    #[test]
    fn flap_lowers_the_wake_at_an_unmoved_disk() {
        let flap = crate::point::input::Flap {
            name: "flap".into(),
            span_from: 0.0,
            span_to: 1.0,
            chord_ratio: 0.25,
            deflection_rad: 0.2,
        };
        let offset = |surface: &Surface| {
            let (seen, disk) = seen(surface, 0.05);
            let source = SurfaceWakeSource::new(&seen, &disk).unwrap();
            source.wake_position(&disk.hub_m).unwrap().offset_m
        };
        let lowered = offset(&Surface { flaps: vec![flap], ..wing() }) - offset(&wing());
        // The edge of a quarter of 0.4 m sinks by 0.1 sin 0.2; the wake goes on down behind it.
        assert!(
            lowered > 0.1 * 0.2_f64.sin() && lowered < 0.1 * 0.2_f64.sin() + 0.05 * 0.2_f64.tan(),
            "{lowered}"
        );
    }

    /// Fins, swept and pointed wings, disks ahead of them, beside them and tilted: finite, and below half the speed.
    #[test]
    fn fields_are_finite_wherever_a_disk_may_be() {
        let fin = Surface { mirror: false, dihedral_rad: std::f64::consts::FRAC_PI_2, span_m: 0.4, ..wing() };
        let swept = Surface { sweep_rad: 0.6, dihedral_rad: 0.2, twist_rad: -0.05, ..wing() };
        let pointed = Surface { tip_chord_m: 1e-3, ..wing() };
        for surface in [fin, swept, pointed].map(|s| Surface { potential: true, ..s }) {
            for hub_m in
                [[1.6, 0.0, 0.25], [0.8, 0.3, 0.2], [1.7, 1.0, 0.2], [1.5, -1.4, 0.3], [1.2, 0.2, 0.6]]
            {
                for (tilt_rad, toe_rad) in [(0.0, 0.0), (0.4, -0.3), (1.4, 0.0)] {
                    let placement = Placement { hub_m: Vec3::from(hub_m), tilt_rad, toe_rad };
                    let disk = DiskAxes::new(&placement, Rotation::Counterclockwise);
                    let flight = Flight {
                        airspeed_m_s: 20.0,
                        altitude_m: 0.0,
                        temperature_offset_k: 0.0,
                        angle_of_attack_rad: 0.08,
                        sideslip_rad: 0.1,
                    };
                    let seen = SurfaceAtDisk::new(&surface, &flight, &disk, TIP).unwrap().unwrap();
                    for source in seen.sources(&disk, (0.03, TIP), 120) {
                        let azimuths: Vec<f64> = (0..120).map(|j| f64::from(j).to_radians() * 3.0).collect();
                        let directions = Directions::new(&disk, &azimuths, 0.0);
                        let station = crate::blade::BladeStation {
                            chord_m: 0.01,
                            ..crate::blade::BladeStation::plain(0.1)
                        };
                        let ring = StationGrid {
                            disk: &disk,
                            station: &station,
                            tip_m: TIP,
                            directions: &directions,
                        };
                        let (mut axial, mut tangential) = (vec![0.0; 120], vec![0.0; 120]);
                        source.add_on_ring(&ring, &mut axial, &mut tangential);
                        let worst = axial.iter().chain(&tangential).fold(0.0_f64, |a, b| a.max(b.abs()));
                        let finite = axial.iter().chain(&tangential).all(|v| v.is_finite());
                        assert!(finite && worst < 10.0, "{} {hub_m:?} {tilt_rad}: {worst}", source.name());
                    }
                }
            }
        }
    }
}
