//! Blade geometry at the stations.

mod generic;

pub use generic::generic_blade;

use crate::base::pchip::Pchip;
use crate::point::input::{BladeRow, BladeTable};

/// One annulus of the blade: its middle, its width, and the blade there.
#[derive(Debug, Clone, PartialEq)]
pub struct BladeStation {
    /// Radius of the station, m.
    pub radius_m: f64,
    /// Width of the annulus, m.
    pub width_m: f64,
    /// Chord, m.
    pub chord_m: f64,
    /// Blade angle above the disk plane, rad, without pitch offset.
    pub twist_rad: f64,
    /// Azimuth by which the mid-chord trails the radial line, rad.
    pub lag_rad: f64,
    /// Cosine of the sweep of the mid-chord line against the radius, cos Λ with tan Λ = r dλ/dr, λ the azimuth by which it trails.
    pub sweep_cosine: f64,
    /// Section thickness over chord.
    pub thickness_ratio: f64,
    /// Section, between those of the rows around it.
    pub section: SectionPlace,
}

#[cfg(test)]
impl BladeStation {
    /// A straight blade of one section at a radius, for tests to change what they are about.
    pub(crate) fn plain(radius_m: f64) -> Self {
        Self {
            radius_m,
            width_m: 0.01,
            chord_m: 0.02,
            twist_rad: 0.3,
            lag_rad: 0.0,
            sweep_cosine: 1.0,
            thickness_ratio: 0.1,
            section: SectionPlace::at(0),
        }
    }
}

/// A place between two sections of a blade's table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionPlace {
    /// Index of the section that the row inboard names.
    pub inner: usize,
    /// Index of the section that the row outboard names.
    pub outer: usize,
    /// Part of the way from the inner to the outer: 0 where they are the same.
    pub outer_share: f64,
}

impl SectionPlace {
    /// At a section itself.
    #[must_use]
    pub fn at(section: usize) -> Self {
        Self { inner: section, outer: section, outer_share: 0.0 }
    }

    /// At a radius over tip radius in a table.
    fn in_table(table: &BladeTable, radius_ratio: f64) -> Self {
        let rows = &table.rows;
        let outboard = rows.partition_point(|row| row.radius_ratio <= radius_ratio).clamp(1, rows.len() - 1);
        let (a, b) = (&rows[outboard - 1], &rows[outboard]);
        if a.section == b.section {
            return Self::at(a.section);
        }
        let outer_share = (radius_ratio - a.radius_ratio) / (b.radius_ratio - a.radius_ratio);
        Self { inner: a.section, outer: b.section, outer_share }
    }

    /// The sections that count here.
    pub fn indices(self) -> impl Iterator<Item = usize> {
        [Some(self.inner), (self.outer_share > 0.0).then_some(self.outer)].into_iter().flatten()
    }
}

/// Stations of a blade of tip radius R from the table's root to its tip.
///
/// r = `r_root` + (R − `r_root`)(1 − cos θ)/2 at the middles of equal steps in θ from 0 to π: annuli shrink towards root and tip
/// as the load does (∝ √(R − r) and √(r − `r_root`) by Prandtl's factor), so that the mid-point sum keeps second order there.
/// Geometry between rows is a shape-preserving cubic; between rows that name different sections, lift and drag go straight from one to the
/// other, as thickness and camber of a blade do.
#[must_use]
pub fn blade_stations(table: &BladeTable, tip_radius_m: f64, count: usize) -> Vec<BladeStation> {
    let curve = |value: fn(&BladeRow) -> f64| {
        Pchip::new(
            table.rows.iter().map(|row| row.radius_ratio).collect(),
            table.rows.iter().map(value).collect(),
        )
    };
    let chord = curve(|row| row.chord_ratio);
    let twist = curve(|row| row.twist_rad);
    let sweep = curve(|row| row.sweep_ratio);
    let thickness = curve(|row| row.thickness_ratio);
    let root = table.rows[0].radius_ratio;
    let ratio =
        |step: f64| root + 0.5 * (1.0 - root) * (1.0 - (std::f64::consts::PI * step / count as f64).cos());
    (0..count)
        .map(|i| {
            let x = ratio(i as f64 + 0.5);
            BladeStation {
                radius_m: x * tip_radius_m,
                width_m: (ratio(i as f64 + 1.0) - ratio(i as f64)) * tip_radius_m,
                chord_m: chord.at(x) * tip_radius_m,
                twist_rad: twist.at(x),
                lag_rad: sweep.at(x) / x,
                sweep_cosine: 1.0 / 1.0_f64.hypot(sweep.slope_at(x) - sweep.at(x) / x),
                thickness_ratio: thickness.at(x),
                section: SectionPlace::in_table(table, x),
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn row(radius_ratio: f64, twist_rad: f64) -> BladeRow {
        BladeRow {
            radius_ratio,
            chord_ratio: 0.1,
            twist_rad,
            sweep_ratio: 0.02,
            thickness_ratio: 0.12,
            section: 0,
        }
    }

    #[test]
    fn sections_change_between_the_rows_that_name_them() {
        let named = |radius_ratio, section| BladeRow { section, ..row(radius_ratio, 0.3) };
        let rows = vec![named(0.2, 0), named(0.6, 0), named(1.0, 1)];
        let stations = blade_stations(&BladeTable { generic: false, rows }, 0.5, 30);
        for station in stations {
            let x = station.radius_m / 0.5;
            let expected = SectionPlace { inner: 0, outer: 1, outer_share: (x - 0.6) / 0.4 };
            let expected = if x < 0.6 { SectionPlace::at(0) } else { expected };
            assert_eq!((station.section.inner, station.section.outer), (expected.inner, expected.outer));
            assert_relative_eq!(station.section.outer_share, expected.outer_share, epsilon = 1e-14);
        }
    }

    #[test]
    fn widths_fill_the_blade_and_sweep_trails_along_the_arc() {
        let table = BladeTable { generic: false, rows: vec![row(0.2, 0.6), row(0.6, 0.4), row(1.0, 0.2)] };
        let stations = blade_stations(&table, 0.5, 17);
        assert_relative_eq!(stations.iter().map(|s| s.width_m).sum::<f64>(), 0.4, epsilon = 1e-14);
        let s = &stations[8];
        assert_relative_eq!(s.lag_rad * s.radius_m, 0.01, epsilon = 1e-14);
        assert_relative_eq!(s.twist_rad, 0.7 - s.radius_m, epsilon = 1e-14);
        // A straight blade beside the shaft: the radius turns against it by its distance over r.
        assert_relative_eq!(s.sweep_cosine, (0.01 / s.radius_m).atan().cos(), epsilon = 1e-12);
    }
}
