//! The measured sets: their tables, sections and bands.

use super::blade::{Outlines, Thickness};
use crate::table::Band;

/// A measured propeller.
pub(super) struct Set {
    pub name: &'static str,
    pub source: &'static str,
    pub diameter_m: f64,
    pub blades: &'static [usize],
    /// Columns `r_over_R`, `chord_over_R`, `twist_deg`.
    pub geometry: &'static str,
    pub advance: &'static str,
    /// Empty where there is none.
    pub at_rest: &'static str,
    pub outline: Outlines,
    pub thickness: Thickness,
    pub bands: Bands,
    /// Whether blade counts are compared with each other.
    pub ratios: bool,
}

/// Bands of a set and what sets them.
pub(super) struct Bands {
    pub thrust: Band,
    pub power: Band,
    pub set_by: &'static str,
}

const UIUC_2: &str =
    "Brandt, Deters, Ananda, Dantsker, Selig, UIUC Propeller Database vol. 2; AIAA 2014-2151";
const UIUC_1: &str = "Brandt, Selig, UIUC Propeller Database vol. 1; AIAA 2011-1255";
const NACA_640: &str = "Hartman, Biermann, NACA Report 640 (1938), re-plotted in AIAA 2014-2151";

/// 9 in, section known.
const SMALL: Bands = Bands {
    thrust: Band::Larger { relative: 0.08, absolute: 0.004 },
    power: Band::Larger { relative: 0.10, absolute: 0.003 },
    set_by: "handbook drag near Re 5e4, measurement 3 %, scanned twist",
};

const SMALLER: Bands = Bands {
    thrust: Band::Relative(0.15),
    power: Band::Relative(0.15),
    set_by: "Reynolds numbers to 2e4, blade as built",
};

const UNKNOWN: Bands = Bands {
    thrust: Band::Relative(0.15),
    power: Band::Relative(0.15),
    set_by: "section unknown, NACA 4412 taken",
};

const FULL_SCALE: Bands = Bands {
    thrust: Band::Relative(0.06),
    power: Band::Relative(0.06),
    set_by: "chart reading 3 %, nacelle behind the disk",
};

/// All sets.
pub(super) static SETS: [Set; 12] = [
    Set {
        name: "DA4022 9 x 6.75 in",
        source: UIUC_2,
        diameter_m: 0.2286,
        blades: &[2, 3, 4],
        geometry: include_str!("../../../data/propeller/da4022_9x6.75_geometry.csv"),
        advance: include_str!("../../../data/propeller/da4022_9x6.75_advance.csv"),
        at_rest: include_str!("../../../data/propeller/da4022_9x6.75_static.csv"),
        outline: Outlines::Sda1075,
        thickness: Thickness::OfOutline,
        bands: SMALL,
        ratios: true,
    },
    Set {
        name: "DA4002 9 x 6.75 in",
        source: UIUC_2,
        diameter_m: 0.2286,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/da4002_9x6.75_geometry.csv"),
        advance: include_str!("../../../data/propeller/da4002_9x6.75_advance.csv"),
        at_rest: include_str!("../../../data/propeller/da4002_9x6.75_static.csv"),
        outline: Outlines::Sda1075,
        thickness: Thickness::OfOutline,
        bands: SMALL,
        ratios: false,
    },
    Set {
        name: "DA4002 9 x 8.95 in",
        source: UIUC_2,
        diameter_m: 0.2286,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/da4002_9x8.95_geometry.csv"),
        advance: include_str!("../../../data/propeller/da4002_9x8.95_advance.csv"),
        at_rest: include_str!("../../../data/propeller/da4002_9x8.95_static.csv"),
        outline: Outlines::Sda1075,
        thickness: Thickness::OfOutline,
        bands: SMALL,
        ratios: false,
    },
    Set {
        name: "DA4022 5 x 3.75 in",
        source: UIUC_2,
        diameter_m: 0.127,
        blades: &[2, 3, 4],
        geometry: include_str!("../../../data/propeller/da4022_5x3.75_geometry.csv"),
        advance: include_str!("../../../data/propeller/da4022_5x3.75_advance.csv"),
        at_rest: include_str!("../../../data/propeller/da4022_5x3.75_static.csv"),
        outline: Outlines::Sda1075,
        thickness: Thickness::OfOutline,
        bands: SMALLER,
        ratios: false,
    },
    Set {
        name: "DA4002 5 x 3.75 in",
        source: UIUC_2,
        diameter_m: 0.127,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/da4002_5x3.75_geometry.csv"),
        advance: include_str!("../../../data/propeller/da4002_5x3.75_advance.csv"),
        at_rest: include_str!("../../../data/propeller/da4002_5x3.75_static.csv"),
        outline: Outlines::Sda1075,
        thickness: Thickness::OfOutline,
        bands: SMALLER,
        ratios: false,
    },
    Set {
        name: "NR640 9 in 15°",
        source: UIUC_2,
        diameter_m: 0.2286,
        blades: &[2, 3, 4],
        geometry: include_str!("../../../data/propeller/nr640_9in_15deg_built_twist.csv"),
        advance: include_str!("../../../data/propeller/nr640_9in_15deg_advance.csv"),
        at_rest: include_str!("../../../data/propeller/nr640_9in_15deg_static.csv"),
        outline: Outlines::ClarkYChordLine,
        thickness: Thickness::ByRadius(include_str!("../../../data/propeller/nr640_9in_15deg_thickness.csv")),
        bands: SMALLER,
        // The 3-blade hub is under-pitched by the look of its curves: no ratios between blade counts.
        ratios: false,
    },
    Set {
        name: "NR640 5 in 15°",
        source: UIUC_2,
        diameter_m: 0.127,
        blades: &[2, 3, 4],
        geometry: include_str!("../../../data/propeller/nr640_5in_15deg_built_twist.csv"),
        advance: include_str!("../../../data/propeller/nr640_5in_15deg_advance.csv"),
        at_rest: include_str!("../../../data/propeller/nr640_5in_15deg_static.csv"),
        outline: Outlines::ClarkYChordLine,
        thickness: Thickness::ByRadius(include_str!("../../../data/propeller/nr640_5in_15deg_thickness.csv")),
        bands: SMALLER,
        ratios: false,
    },
    Set {
        name: "Navy 5868-9, 10 ft 15°",
        source: NACA_640,
        diameter_m: 3.048,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/navy_5868-9_10ft_15deg_geometry.csv"),
        advance: include_str!("../../../data/propeller/navy_5868-9_10ft_15deg_advance.csv"),
        at_rest: "",
        outline: Outlines::ClarkYFlatBottom,
        thickness: Thickness::ByRadius(include_str!("../../../data/propeller/nr640_9in_15deg_thickness.csv")),
        bands: FULL_SCALE,
        ratios: false,
    },
    Set {
        name: "thin electric 10 x 7 in",
        source: UIUC_1,
        diameter_m: 0.254,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/e_10x7_geometry.csv"),
        advance: include_str!("../../../data/propeller/e_10x7_advance.csv"),
        at_rest: include_str!("../../../data/propeller/e_10x7_static.csv"),
        outline: Outlines::Naca4412,
        thickness: Thickness::OfOutline,
        bands: UNKNOWN,
        ratios: false,
    },
    Set {
        name: "thin electric 14 x 12 in",
        source: UIUC_1,
        diameter_m: 0.3556,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/e_14x12_geometry.csv"),
        advance: include_str!("../../../data/propeller/e_14x12_advance.csv"),
        at_rest: include_str!("../../../data/propeller/e_14x12_static.csv"),
        outline: Outlines::Naca4412,
        thickness: Thickness::OfOutline,
        bands: UNKNOWN,
        ratios: false,
    },
    Set {
        name: "thin electric 19 x 12 in",
        source: UIUC_1,
        diameter_m: 0.4826,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/e_19x12_geometry.csv"),
        advance: include_str!("../../../data/propeller/e_19x12_advance.csv"),
        at_rest: include_str!("../../../data/propeller/e_19x12_static.csv"),
        outline: Outlines::Naca4412,
        thickness: Thickness::OfOutline,
        bands: UNKNOWN,
        ratios: false,
    },
    Set {
        name: "sport 11 x 7 in",
        source: UIUC_1,
        diameter_m: 0.2794,
        blades: &[2],
        geometry: include_str!("../../../data/propeller/sport_11x7_geometry.csv"),
        advance: include_str!("../../../data/propeller/sport_11x7_advance.csv"),
        at_rest: include_str!("../../../data/propeller/sport_11x7_static.csv"),
        outline: Outlines::Naca4412,
        thickness: Thickness::OfOutline,
        bands: UNKNOWN,
        ratios: false,
    },
];
