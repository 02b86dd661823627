//! A potential field as an inflow source: sampled on a polar grid of the disk and interpolated on the blades' rings.
//!
//! Sampling: equal steps in radius and azimuth, cubic (four-point Lagrange) interpolation in both. The steps follow
//! the scale of the field, the distance from the trailing edge to the disk (see [`SampledField::grid`]). Where a ring
//! crosses the trailing sheet, the jump of the spanwise velocity and the kink of the upwash are spread over one step,
//! a quarter of that distance; the viscous wake is about as thick. Points off the rings are computed in full.

use super::InflowSource;
use super::span_table::SpanTable;
use super::station::StationGrid;
use crate::base::Vec3;
use crate::frames::DiskAxes;
use crate::surface::flow::lagrange4;
use crate::surface::lift_field::LiftField;
use crate::surface::thickness_field::ThicknessField;

/// Steps on the rim over the distance of the edge.
const STEPS_PER_GAP: f64 = 4.0;
/// Fewest and most azimuths sampled.
const AZIMUTHS: (usize, usize) = (48, 192);
/// Fewest and most radii sampled.
const RADII: (usize, usize) = (6, 24);

/// Where a field is sampled.
#[derive(Debug, Clone, PartialEq)]
pub struct SampleGrid {
    disk: DiskAxes,
    root_m: f64,
    tip_m: f64,
    radii: usize,
    azimuths: usize,
}

/// A field sampled over the disk.
pub struct SampledField {
    name: String,
    grid: SampleGrid,
    /// Velocity at `[i_r * azimuths + i_psi]`, m/s.
    values_m_s: Vec<Vec3>,
    exact: Box<dyn Fn(&Vec3) -> Vec3 + Send + Sync>,
}

impl SampledField {
    /// A grid between two radii of a disk `gap_m` behind the nearest trailing edge.
    #[must_use]
    pub fn grid(disk: &DiskAxes, (root_m, tip_m): (f64, f64), gap_m: f64) -> SampleGrid {
        let step_m = gap_m.max(1e-3 * tip_m) / STEPS_PER_GAP;
        let count = |length_m: f64, (least, most): (usize, usize)| ((length_m / step_m).ceil() as usize).clamp(least, most);
        SampleGrid {
            disk: disk.clone(),
            root_m,
            tip_m,
            radii: count(tip_m - root_m, RADII) + 1,
            azimuths: count(std::f64::consts::TAU * tip_m, AZIMUTHS),
        }
    }

    /// Samples `sampled` on a grid; `exact` serves points off the rings.
    fn new(
        name: String,
        grid: SampleGrid,
        sampled: impl Fn(&Vec3) -> Vec3,
        exact: Box<dyn Fn(&Vec3) -> Vec3 + Send + Sync>,
    ) -> Self {
        let mut values_m_s = Vec::with_capacity(grid.radii * grid.azimuths);
        let directions: Vec<Vec3> = (0..grid.azimuths).map(|j| grid.disk.radial(j as f64 * grid.azimuth_step())).collect();
        for i in 0..grid.radii {
            let radius_m = grid.root_m + i as f64 * grid.radius_step_m();
            values_m_s.extend(directions.iter().map(|radial| sampled(&(grid.disk.hub_m + radius_m * radial))));
        }
        Self { name, grid, values_m_s, exact }
    }

    /// The samples at one radius: a row of azimuths with one before and two after the turn.
    fn row(&self, radius_m: f64) -> Vec<Vec3> {
        let grid = &self.grid;
        let position = (radius_m - grid.root_m) / grid.radius_step_m();
        let first = (position.floor().max(1.0) as usize).min(grid.radii - 3) - 1;
        let weights = lagrange4(position - (first + 1) as f64);
        let count = grid.azimuths;
        let at = |j: usize| {
            let j = (j + count - 1) % count;
            (0..4).map(|k| weights[k] * self.values_m_s[(first + k) * count + j]).sum::<Vec3>()
        };
        (0..count + 3).map(at).collect()
    }
}

impl SampleGrid {
    fn radius_step_m(&self) -> f64 {
        (self.tip_m - self.root_m) / (self.radii - 1) as f64
    }

    fn azimuth_step(&self) -> f64 {
        std::f64::consts::TAU / self.azimuths as f64
    }
}

impl InflowSource for SampledField {
    fn name(&self) -> &str {
        &self.name
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        Some((self.exact)(point_m))
    }

    fn add_on_ring(&self, ring: &StationGrid, sum_m_s: &mut [Vec3]) {
        let row = self.row(ring.station.radius_m);
        let count = self.grid.azimuths;
        let step = self.grid.azimuth_step();
        for (azimuth, sum) in ring.directions.azimuth_rad.iter().zip(sum_m_s) {
            let position = (azimuth / step).rem_euclid(count as f64);
            let index = (position as usize).min(count - 1);
            let w = lagrange4(position - index as f64);
            let near = &row[index..index + 4];
            *sum += w[0] * near[0] + w[1] * near[1] + w[2] * near[2] + w[3] * near[3];
        }
    }
}

/// The lift of a surface as a source.
#[must_use]
pub fn lift_source(name: String, grid: SampleGrid, field: LiftField) -> SampledField {
    let table = SpanTable::new(&field, &grid.disk, grid.tip_m);
    let sampled = |point: &Vec3| match &table {
        Some(table) => field.section_velocity_m_s(point) + table.velocity_m_s(&field, point),
        None => field.velocity_m_s(point),
    };
    let exact = field.clone();
    SampledField::new(name, grid, sampled, Box::new(move |point| exact.velocity_m_s(point)))
}

/// The thickness of a surface as a source.
#[must_use]
pub fn thickness_source(name: String, grid: SampleGrid, field: ThicknessField) -> SampledField {
    let exact = field.clone();
    let sampled = |point: &Vec3| field.velocity_m_s(point);
    SampledField::new(name, grid, sampled, Box::new(move |point| exact.velocity_m_s(point)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blade::BladeStation;
    use crate::inflow::station::Directions;
    use crate::inflow::surface_at_disk::SurfaceAtDisk;
    use crate::point::input::{Flight, Placement, Rotation, Surface};
    use crate::surface::geometry::trailing_edge_at_y;
    use crate::surface::test_surfaces::wing;

    const SPEED: f64 = 16.0;
    const TIP: f64 = 0.114;

    fn flight() -> Flight {
        Flight {
            airspeed_m_s: SPEED,
            altitude_m: 0.0,
            temperature_offset_k: 0.0,
            angle_of_attack_rad: 0.06,
            sideslip_rad: 0.0,
        }
    }

    /// A small pusher's wing: span 1.4 m, chord 0.18 m, dihedral 2 degrees.
    fn small_wing() -> Surface {
        let mut surface = Surface {
            span_m: 1.4,
            root_chord_m: 0.18,
            tip_chord_m: 0.15,
            dihedral_rad: 0.035,
            potential: true,
            ..wing()
        };
        surface.section.zero_lift_rad = -0.037;
        surface
    }

    fn disk_behind(surface: &Surface, gap_m: f64, y_m: f64, offset_m: f64) -> DiskAxes {
        let edge = trailing_edge_at_y(surface, y_m).unwrap();
        let hub_m = Vec3::new(edge.x + gap_m, y_m, edge.z + offset_m);
        DiskAxes::new(&Placement { hub_m, tilt_rad: 0.05, toe_rad: 0.0 }, Rotation::Clockwise)
    }

    /// Errors over V of the ring values against the full field: greatest away from the sheet, greatest anywhere.
    fn errors(surface: &Surface, disk: &DiskAxes) -> Vec<(String, f64, f64)> {
        let seen = SurfaceAtDisk::new(surface, &flight(), disk, TIP).unwrap().unwrap();
        let lines = seen.centre_lines.clone();
        let halves = seen.flow.line.span.halves.clone();
        let gap_m = seen.aft_m.0;
        let azimuths: Vec<f64> = (0..720).map(|j| f64::from(j).to_radians() * 0.5).collect();
        let sources = seen.sources(disk, (0.15 * TIP, TIP)).unwrap();
        let mut list = Vec::new();
        for source in sources.iter().filter(|s| !s.name().ends_with("_wake")) {
            let (mut away, mut any) = (0.0_f64, 0.0_f64);
            for ring in 0..12 {
                let radius_m = TIP * (0.17 + 0.075 * f64::from(ring));
                let station = BladeStation { radius_m, lag_rad: 0.02, ..BladeStation::default() };
                let directions = Directions::new(disk, &azimuths, station.lag_rad);
                let grid = StationGrid { disk, station: &station, tip_m: TIP, directions: &directions };
                let mut ring = vec![Vec3::zeros(); 720];
                source.add_on_ring(&grid, &mut ring);
                for (j, value) in ring.iter().enumerate() {
                    let point = grid.point_m(j);
                    let error = (value - source.velocity_m_s(&point).unwrap()).norm() / SPEED;
                    let half = usize::from(halves.len() == 2 && point.y < 0.0);
                    let at = halves[half].edge_coordinates(&point);
                    let height = at.offset_m - lines[half].height_m(at.s_m, at.aft_m);
                    any = any.max(error);
                    if height.abs() > 0.5 * gap_m {
                        away = away.max(error);
                    }
                }
            }
            list.push((source.name().to_owned(), away, any));
        }
        list
    }

    #[test]
    fn interpolation_error_stays_below_a_thousandth_of_the_speed() {
        for (gap, y, offset) in
            [(0.03, 0.0, 0.02), (0.03, 0.0, 0.0), (0.03, 0.35, 0.05), (0.06, 0.2, -0.03), (0.012, 0.3, 0.01)]
        {
            let surface = small_wing();
            let disk = disk_behind(&surface, gap, y, offset);
            println!("{gap} {y} {offset} {:?}", errors(&surface, &disk));
        }
    }

    #[test]
    fn cost() {
        let surface = small_wing();
        let disk = disk_behind(&surface, 0.03, 0.0, 0.02);
        let azimuths: Vec<f64> = (0..720).map(|j| f64::from(j).to_radians() * 0.5).collect();
        for _ in 0..3 {
            let t = std::time::Instant::now();
            let seen = SurfaceAtDisk::new(&surface, &flight(), &disk, TIP).unwrap().unwrap();
            let t1 = t.elapsed();
            let t = std::time::Instant::now();
            let grid = SampledField::grid(&disk, (0.15 * TIP, TIP), seen.aft_m.0);
            let lift = LiftField::new(seen.flow.clone(), seen.centre_lines.clone());
            let table = SpanTable::new(&lift, &disk, TIP);
            let t2 = t.elapsed();
            let l = lift_source("l".into(), grid.clone(), lift.clone());
            let t3 = t.elapsed() - t2;
            let k = thickness_source("t".into(), grid.clone(), ThicknessField::new(seen.flow.clone()));
            let t4 = t.elapsed() - t3 - t2;
            let mut sum = vec![Vec3::zeros(); 720];
            for s in 0..40 {
                let station =
                    BladeStation { radius_m: TIP * (0.17 + 0.02 * f64::from(s)), ..BladeStation::default() };
                let directions = Directions::new(&disk, &azimuths, 0.0);
                let ring = StationGrid { disk: &disk, station: &station, tip_m: TIP, directions: &directions };
                let q = std::time::Instant::now();
                l.add_on_ring(&ring, &mut sum);
                k.add_on_ring(&ring, &mut sum);
                if s == 39 {
                    println!("ring {:?}", q.elapsed());
                }
            }
            let _ = table;
            println!("solve {t1:?} table {t2:?} lift {t3:?} thick {t4:?} nodes {}x{}", grid.radii, grid.azimuths);
            let t = std::time::Instant::now();
            let _ = SurfaceWakeSource::new(&seen, &disk);
            println!("wake {:?}", t.elapsed());
        }
    }
    use crate::inflow::surface_wake::SurfaceWakeSource;
}
