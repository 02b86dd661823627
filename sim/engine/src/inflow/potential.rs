//! A potential field as an inflow source: sampled on a polar grid of the disk and interpolated on the blades' rings.
//!
//! Sampled are the two components a blade meets, axial and against its motion, at equal steps of radius and azimuth;
//! between them cubic (four-point Lagrange) interpolation in both. The steps follow the scale of the field, the
//! distance from the trailing edge to the disk (see [`DiskRings::gap_m`]). Where a ring crosses the trailing sheet the
//! kink of the upwash and the jump of the spanwise velocity are spread over two steps, about that distance. The jump
//! lies across the blade's motion where the disk is cut near its middle and is a per cent or two of V where it is
//! cut aside; the viscous wake spreads it too. Where a free end of the sheet or of a deflected flap passes the disk within a radius of its rim the grid
//! serves only away from end and sheet (see `near_ends`). Points off the rings are computed in full.

use std::f64::consts::TAU;

use super::flap_ends::FlapEnd;
use super::near_ends::{Met, NearEnds};
use super::span_table::SpanTable;
use super::station::StationGrid;
use super::{InflowSource, add_points};
use crate::base::Vec3;
use crate::base::lagrange::lagrange4;
use crate::frames::DiskAxes;
use crate::surface::lift_field::LiftField;
use crate::surface::thickness_field::ThicknessField;

/// Steps on the rim, and along the radius, over the distance from the edge: the axial error stays below 5e-4 of V.
const STEPS_PER_GAP: f64 = 1.4;
/// Fewest and most azimuths sampled.
const AZIMUTHS: (usize, usize) = (36, 240);
/// Fewest and most steps of radius.
const RADII: (usize, usize) = (5, 40);

/// The rings that will be asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiskRings<'a> {
    /// The disk.
    pub disk: &'a DiskAxes,
    /// Blade root radius, m.
    pub root_m: f64,
    /// Tip radius, m.
    pub tip_m: f64,
    /// Distance from the nearest trailing edge to the disk, m.
    pub gap_m: f64,
    /// Azimuths of a ring.
    pub azimuths: usize,
    /// Position along y of a mirrored surface's plane of symmetry, m.
    pub symmetry_y_m: Option<f64>,
}

/// Distance from the plane of symmetry over tip radius within which a point counts as on it.
const ON_PLANE: f64 = 1e-9;

/// A velocity at a point; on the plane of symmetry, where rounding would choose the half, the mean of both sides.
pub(super) fn even_handed(
    point_m: &Vec3,
    plane: Option<f64>,
    tip_m: f64,
    velocity: impl Fn(&Vec3) -> Vec3,
) -> Vec3 {
    match plane {
        Some(y_m) if (point_m.y - y_m).abs() < ON_PLANE * tip_m => {
            let aside = 10.0 * ON_PLANE * tip_m;
            let at = |y: f64| velocity(&Vec3::new(point_m.x, y, point_m.z));
            0.5 * (at(y_m + aside) + at(y_m - aside))
        }
        _ => velocity(point_m),
    }
}

/// Where a field is sampled.
#[derive(Debug, Clone, PartialEq)]
struct SampleGrid {
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
    /// Axial velocity at `[i_r * azimuths + i_psi]`, m/s.
    axial_m_s: Vec<f64>,
    /// Velocity against the blade's motion, likewise, m/s.
    tangential_m_s: Vec<f64>,
    exact: Box<dyn Fn(&Vec3) -> Vec3 + Send + Sync>,
    /// Where ends of a sheet pass the disk so close that the grid is too coarse.
    near: Option<NearEnds>,
}

impl SampleGrid {
    /// A grid whose azimuths divide those of the rings, so that weights repeat from cell to cell; where the rings allow it
    /// they are a multiple of four, so that a field turned by a quarter is sampled at the same places.
    fn new(rings: &DiskRings) -> Self {
        let DiskRings { disk, root_m, tip_m, gap_m, azimuths, symmetry_y_m: _ } = *rings;
        let step_m = gap_m.max(1e-3 * tip_m) / STEPS_PER_GAP;
        let count = |length_m: f64, (least, most): (usize, usize)| {
            ((length_m / step_m).ceil() as usize).clamp(least, most)
        };
        let wanted = count(TAU * tip_m, AZIMUTHS);
        let quarters = |n: usize| n.is_multiple_of(4) || !azimuths.is_multiple_of(4);
        let fits = |n: &usize| azimuths.is_multiple_of(*n) && quarters(*n);
        let azimuths = (wanted..=azimuths).find(fits).unwrap_or(azimuths);
        Self { disk: disk.clone(), root_m, tip_m, radii: count(tip_m - root_m, RADII) + 1, azimuths }
    }

    fn radius_step_m(&self) -> f64 {
        (self.tip_m - self.root_m) / (self.radii - 1) as f64
    }
}

impl SampledField {
    /// Samples `sampled` on a grid; `exact` serves points off the rings.
    fn new(
        name: String,
        grid: SampleGrid,
        sampled: impl Fn(&Vec3) -> Vec3,
        exact: Box<dyn Fn(&Vec3) -> Vec3 + Send + Sync>,
    ) -> Self {
        let count = grid.radii * grid.azimuths;
        let (mut axial_m_s, mut tangential_m_s) = (Vec::with_capacity(count), Vec::with_capacity(count));
        let step = TAU / grid.azimuths as f64;
        let directions: Vec<(Vec3, Vec3)> = (0..grid.azimuths)
            .map(|j| j as f64 * step)
            .map(|azimuth| (grid.disk.radial(azimuth), grid.disk.tangential(azimuth)))
            .collect();
        for i in 0..grid.radii {
            let radius_m = grid.root_m + i as f64 * grid.radius_step_m();
            for (radial, motion) in &directions {
                let velocity = sampled(&(grid.disk.hub_m + radius_m * radial));
                axial_m_s.push(velocity.dot(&grid.disk.aft));
                tangential_m_s.push(-velocity.dot(motion));
            }
        }
        Self { name, grid, axial_m_s, tangential_m_s, exact, near: None }
    }

    /// The samples of one component at one radius: all azimuths with one more before and two more after the turn.
    fn row(&self, values: &[f64], radius_m: f64) -> Vec<f64> {
        let grid = &self.grid;
        let position = (radius_m - grid.root_m) / grid.radius_step_m();
        let first = (position.floor().max(1.0) as usize).min(grid.radii - 3) - 1;
        let weights = lagrange4(position - (first + 1) as f64);
        let count = grid.azimuths;
        let mut row = vec![0.0; count + 3];
        for (k, weight) in weights.iter().enumerate() {
            let from = &values[(first + k) * count..(first + k + 1) * count];
            for (sum, value) in row[1..=count].iter_mut().zip(from) {
                *sum += weight * value;
            }
        }
        (row[0], row[count + 1], row[count + 2]) = (row[count], row[1], row[2]);
        row
    }
}

/// Azimuthal interpolation weights of the points within one cell of the grid.
struct CellWeights {
    /// Cells that the first point of a ring lies ahead of azimuth 0.
    first_cell: usize,
    /// Points of a cell that lie in it; the others, from the lag of the station, in the next.
    own: usize,
    weights: Vec<[f64; 4]>,
}

impl CellWeights {
    /// Weights for a ring of equally spaced azimuths, `per_cell` a cell, whose first is `first_rad`.
    fn new(first_rad: f64, cells: usize, per_cell: usize) -> Self {
        let position = first_rad * cells as f64 / TAU;
        let offset = position - position.floor();
        let place = |k: usize| offset + k as f64 / per_cell as f64;
        Self {
            first_cell: position.floor().rem_euclid(cells as f64) as usize % cells,
            own: (0..per_cell).take_while(|k| place(*k) < 1.0).count(),
            weights: (0..per_cell).map(|k| lagrange4(place(k) % 1.0)).collect(),
        }
    }

    /// Adds the interpolated row to all points of a ring.
    fn add(&self, row: &[f64], sum: &mut [f64]) {
        let cells = row.len() - 3;
        for (i, points) in sum.chunks_exact_mut(self.weights.len()).enumerate() {
            let (own, next) = points.split_at_mut(self.own);
            let (own_weights, next_weights) = self.weights.split_at(self.own);
            for (points, weights, shift) in [(own, own_weights, 0), (next, next_weights, 1)] {
                let cell = (i + self.first_cell + shift) % cells;
                let near = &row[cell..cell + 4];
                for (point, w) in points.iter_mut().zip(weights) {
                    *point += w[0] * near[0] + w[1] * near[1] + w[2] * near[2] + w[3] * near[3];
                }
            }
        }
    }
}

impl InflowSource for SampledField {
    fn name(&self) -> &str {
        &self.name
    }

    fn velocity_m_s(&self, point_m: &Vec3) -> Option<Vec3> {
        Some((self.exact)(point_m))
    }

    fn add_on_ring(&self, ring: &StationGrid, axial_m_s: &mut [f64], tangential_m_s: &mut [f64]) -> bool {
        let (count, cells) = (axial_m_s.len(), self.grid.azimuths);
        let Some(first_rad) = ring.directions.azimuth_rad.first() else { return false };
        if !count.is_multiple_of(cells) {
            return add_points(self, ring, axial_m_s, tangential_m_s);
        }
        let weights = CellWeights::new(*first_rad, cells, count / cells);
        let radius_m = ring.station.radius_m;
        let (axial, tangential) =
            (self.row(&self.axial_m_s, radius_m), self.row(&self.tangential_m_s, radius_m));
        let Some(near) = &self.near else {
            weights.add(&axial, axial_m_s);
            weights.add(&tangential, tangential_m_s);
            return true;
        };
        let mut own = [vec![0.0; count], vec![0.0; count]];
        weights.add(&axial, &mut own[0]);
        weights.add(&tangential, &mut own[1]);
        let mut met: Vec<Met> =
            own[0].iter().zip(&own[1]).map(|(axial, tangential)| [*axial, *tangential]).collect();
        near.replace(ring, (self.grid.radius_step_m(), count / cells), &mut met);
        for ((axial, tangential), met) in axial_m_s.iter_mut().zip(tangential_m_s).zip(met) {
            *axial += met[0];
            *tangential += met[1];
        }
        true
    }
}

/// The lift of a surface as a source.
#[must_use]
pub(super) fn lift_source(
    name: String,
    rings: &DiskRings,
    field: LiftField,
    flap_ends: &[FlapEnd],
) -> SampledField {
    let grid = SampleGrid::new(rings);
    let near = NearEnds::new(&field, &grid.disk, (grid.tip_m, rings.symmetry_y_m), flap_ends);
    let exact = field.clone();
    let exact = Box::new(move |point: &Vec3| exact.velocity_m_s(point));
    if let Some(near) = near {
        let sampled = |point: &Vec3| near.velocity_m_s(point);
        let source = SampledField::new(name, grid, sampled, exact);
        return SampledField { near: Some(near), ..source };
    }
    let table = SpanTable::new(&field, &grid.disk, grid.tip_m);
    let sampled = |point: &Vec3| {
        even_handed(point, rings.symmetry_y_m, rings.tip_m, |point| {
            by_span_table(&field, table.as_ref(), point)
        })
    };
    SampledField::new(name, grid, sampled, exact)
}

/// The lift field at a point of the disk, its span part from a table where there is one.
fn by_span_table(field: &LiftField, table: Option<&SpanTable>, point: &Vec3) -> Vec3 {
    match table {
        Some(table) => field.section_velocity_m_s(point) + table.velocity_m_s(field, point),
        None => field.velocity_m_s(point),
    }
}

/// The thickness of a surface as a source.
#[must_use]
pub fn thickness_source(name: String, rings: &DiskRings, field: ThicknessField) -> SampledField {
    let grid = SampleGrid::new(rings);
    let exact = field.clone();
    let by_side = |point: &Vec3| field.velocity_m_s(point);
    let sampled = |point: &Vec3| even_handed(point, rings.symmetry_y_m, rings.tip_m, by_side);
    SampledField::new(name, grid, sampled, Box::new(move |point| exact.velocity_m_s(point)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::blade::BladeStation;
    use crate::inflow::station::Directions;
    use crate::inflow::surface_at_disk::SurfaceAtDisk;
    use crate::point::input::{Flap, Flight, Placement, Rotation, Surface};
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

    fn station(radius_m: f64, lag_rad: f64) -> BladeStation {
        BladeStation { chord_m: 0.01, lag_rad, ..BladeStation::plain(radius_m) }
    }

    /// Worst errors of a source on the rings, over V.
    #[derive(Debug, Default)]
    struct Errors {
        axial: f64,
        tangential: f64,
        /// Share of the points whose tangential error is above a thousandth.
        coarse_share: f64,
    }

    fn errors(source: &dyn InflowSource, disk: &DiskAxes) -> Errors {
        errors_where(source, disk, |_| true)
    }

    fn errors_where(source: &dyn InflowSource, disk: &DiskAxes, counts: impl Fn(&Vec3) -> bool) -> Errors {
        let azimuths: Vec<f64> = (0..720).map(|j| f64::from(j).to_radians() * 0.5).collect();
        let mut errors = Errors::default();
        for ring in 0..12 {
            let station = station(TIP * (0.17 + 0.075 * f64::from(ring)), 0.02);
            let directions = Directions::new(disk, &azimuths, station.lag_rad);
            let grid = StationGrid { disk, station: &station, tip_m: TIP, directions: &directions };
            let (mut axial, mut tangential) = (vec![0.0; 720], vec![0.0; 720]);
            source.add_on_ring(&grid, &mut axial, &mut tangential);
            let (mut full_axial, mut full_tangential) = (vec![0.0; 720], vec![0.0; 720]);
            add_points(source, &grid, &mut full_axial, &mut full_tangential);
            for j in (0..720).filter(|j| counts(&grid.point_m(*j))) {
                errors.axial = errors.axial.max((axial[j] - full_axial[j]).abs() / SPEED);
                let error = (tangential[j] - full_tangential[j]).abs() / SPEED;
                errors.tangential = errors.tangential.max(error);
                errors.coarse_share += f64::from(u8::from(error > 1e-3)) / (12.0 * 720.0);
            }
        }
        errors
    }

    /// Stated: below a thousandth of V, but for the jump of the spanwise velocity across the trailing sheet, here up to
    /// 0.04 V, which is spread over two steps; half of it is the error at the sheet itself.
    #[test]
    fn interpolation_error_stays_below_a_thousandth_of_the_speed() {
        for (gap, y, offset) in
            [(0.03, 0.0, 0.02), (0.03, 0.0, 0.0), (0.03, 0.35, 0.05), (0.06, 0.2, -0.03), (0.012, 0.3, 0.01)]
        {
            let surface = small_wing();
            let disk = disk_behind(&surface, gap, y, offset);
            let seen = SurfaceAtDisk::new(&surface, &flight(), &disk, TIP).unwrap().unwrap();
            let sources = seen.sources(&disk, (0.15 * TIP, TIP), 720);
            assert_eq!(sources.iter().map(|s| s.name()).collect::<Vec<_>>(), NAMES);
            let lift = errors(sources[0].as_ref(), &disk);
            let thickness = errors(sources[1].as_ref(), &disk);
            assert!(
                thickness.axial < 5e-4 && thickness.tangential < 5e-4,
                "{gap} {y} {offset}: {thickness:?}"
            );
            assert!(lift.axial < 5e-4, "{gap} {y} {offset}: {lift:?}");
            assert!(lift.tangential < 0.025 && lift.coarse_share < 0.2, "{gap} {y} {offset}: {lift:?}");
        }
    }

    /// A fin whose root ends a tenth of the tip radius above the shaft, and a wing whose tip ends abreast of it, with the disk behind.
    fn ends_in_the_disk(gap_radii: f64) -> [(Surface, Flight, DiskAxes); 2] {
        let placed = |x: f64, y: f64, z: f64| {
            let placement = Placement { hub_m: Vec3::new(x, y, z) * TIP, tilt_rad: 0.05, toe_rad: 0.02 };
            DiskAxes::new(&placement, Rotation::Clockwise)
        };
        let fin = Surface {
            mirror: false,
            dihedral_rad: std::f64::consts::FRAC_PI_2,
            root_leading_edge_m: Vec3::new(0.0, 0.0, 0.1 * TIP),
            span_m: 2.0 * TIP,
            root_chord_m: 1.1 * TIP,
            tip_chord_m: 0.75 * TIP,
            potential: true,
            ..wing()
        };
        let tip = Surface {
            root_leading_edge_m: Vec3::zeros(),
            span_m: 12.1 * TIP,
            root_chord_m: 1.5 * TIP,
            tip_chord_m: 1.2 * TIP,
            potential: true,
            ..wing()
        };
        let (slipping, climbing) =
            (Flight { sideslip_rad: 0.1, ..flight() }, Flight { angle_of_attack_rad: 0.09, ..flight() });
        [
            (fin, slipping, placed(1.1 + gap_radii, 0.0, 0.0)),
            (tip, climbing, placed(1.5 + gap_radii, 6.0, 0.1)),
        ]
    }

    /// Stated: below a thousandth of V but for a fiftieth of the tip radius on both sides of the sheet, where it is below a
    /// hundredth. The grid alone, which knows the distance from the edge only, is wrong by a tenth and more.
    #[test]
    fn ends_of_a_surface_in_the_disk_are_resolved_at_any_distance() {
        for gap in [0.3, 0.6, 1.15, 2.0] {
            for (surface, flight, disk) in ends_in_the_disk(gap) {
                let seen = SurfaceAtDisk::new(&surface, &flight, &disk, TIP).unwrap().unwrap();
                let field = LiftField::new(std::sync::Arc::clone(&seen.flow), seen.centre_lines.clone());
                let plain = errors(&on_grid_alone(&seen, &field, &disk), &disk);
                let off_sheet = |point: &Vec3| field.sheet_coordinates(point).2.abs() > 0.02 * TIP;
                let sources = seen.sources(&disk, (0.15 * TIP, TIP), 720);
                let lift = errors(sources[0].as_ref(), &disk);
                let off = errors_where(sources[0].as_ref(), &disk, off_sheet);
                assert!(plain.tangential > 0.1, "{gap} {plain:?}");
                assert!(off.axial < 1e-3 && off.tangential < 1e-3, "{gap} {off:?}");
                assert!(lift.axial < 1e-3 && lift.tangential < 0.01, "{gap} {lift:?}");
                assert!(lift.coarse_share < 5e-3, "{gap} {lift:?}");
                let thickness = errors(sources[1].as_ref(), &disk);
                assert!(thickness.axial < 1e-4 && thickness.tangential < 1e-4, "{gap} {thickness:?}");
            }
        }
    }

    /// The inner end of a deflected flap half a radius aside of the shaft: the grid alone misses the vortex that trails from it.
    #[test]
    fn the_end_of_a_flap_in_the_disk_is_resolved() {
        let flap = Flap {
            name: "flap".into(),
            span_from: 0.5 * TIP / 0.7,
            span_to: 0.8,
            chord_ratio: 0.3,
            deflection_rad: 0.35,
        };
        let surface = Surface { flaps: vec![flap], ..small_wing() };
        for gap in [0.6, 1.5] {
            let disk = disk_behind(&surface, gap * TIP, 0.0, 0.3 * TIP);
            let seen = SurfaceAtDisk::new(&surface, &flight(), &disk, TIP).unwrap().unwrap();
            let field = LiftField::new(std::sync::Arc::clone(&seen.flow), seen.centre_lines.clone());
            let plain = errors(&on_grid_alone(&seen, &field, &disk), &disk);
            let off_sheet = |point: &Vec3| field.sheet_coordinates(point).2.abs() > 0.02 * TIP;
            let sources = seen.sources(&disk, (0.15 * TIP, TIP), 720);
            let off = errors_where(sources[0].as_ref(), &disk, off_sheet);
            // What is left stands at single azimuths, where the sheet steps down from the flap's edge to the plain one.
            assert!(plain.coarse_share > 20.0 * off.coarse_share, "{gap} {plain:?} {off:?}");
            assert!(off.axial < 1e-3 && off.coarse_share < 5e-3, "{gap} {off:?}");
        }
    }

    /// A lift field as it is sampled where no end is near.
    fn on_grid_alone(seen: &SurfaceAtDisk, field: &LiftField, disk: &DiskAxes) -> SampledField {
        let rings = DiskRings {
            disk,
            root_m: 0.15 * TIP,
            tip_m: TIP,
            gap_m: seen.aft_m.0,
            azimuths: 720,
            symmetry_y_m: None,
        };
        let table = SpanTable::new(field, disk, TIP);
        let sampled = |point: &Vec3| by_span_table(field, table.as_ref(), point);
        let exact = field.clone();
        let exact = Box::new(move |point: &Vec3| exact.velocity_m_s(point));
        SampledField::new(String::new(), SampleGrid::new(&rings), sampled, exact)
    }

    /// The nearest an end comes to a disk that is left to the grid: a radius from the rim.
    #[test]
    fn ends_a_radius_from_the_rim_are_left_to_the_grid() {
        for gap in [0.3, 1.15] {
            let surface = Surface { span_m: 2.0 * (0.35 + 2.01 * TIP), ..small_wing() };
            let disk = disk_behind(&surface, gap * TIP, 0.35, 0.02);
            let seen = SurfaceAtDisk::new(&surface, &flight(), &disk, TIP).unwrap().unwrap();
            let lift = errors(seen.sources(&disk, (0.15 * TIP, TIP), 720)[0].as_ref(), &disk);
            // As for ends further away: what exceeds a thousandth is the jump across the sheet.
            assert!(
                lift.axial < 1e-3 && lift.tangential < 0.03 && lift.coarse_share < 0.25,
                "{gap}: {lift:?}"
            );
        }
    }

    const NAMES: [&str; 3] = ["wing_lift", "wing_thickness", "wing_wake"];

    /// A ring whose azimuths the grid does not divide is computed point by point, so that both ways must agree.
    #[test]
    fn lagging_stations_meet_the_field_where_they_are() {
        let surface = small_wing();
        let disk = disk_behind(&surface, 0.03, 0.1, 0.04);
        let seen = SurfaceAtDisk::new(&surface, &flight(), &disk, TIP).unwrap().unwrap();
        let sources = seen.sources(&disk, (0.15 * TIP, TIP), 720);
        for lag_rad in [-0.3, 0.0, 0.004, 0.7] {
            let station = station(0.08, lag_rad);
            let ring = |count: i32| {
                let azimuths: Vec<f64> = (0..count).map(|j| TAU * f64::from(j) / f64::from(count)).collect();
                let directions = Directions::new(&disk, &azimuths, lag_rad);
                let grid =
                    StationGrid { disk: &disk, station: &station, tip_m: TIP, directions: &directions };
                let (mut axial, mut tangential) = (vec![0.0; azimuths.len()], vec![0.0; azimuths.len()]);
                sources[1].add_on_ring(&grid, &mut axial, &mut tangential);
                axial
            };
            let (sampled, full) = (ring(720), ring(7));
            // Azimuth 0 is on both rings.
            assert!((sampled[0] - full[0]).abs() < 5e-4 * SPEED, "{lag_rad}");
        }
    }
}
