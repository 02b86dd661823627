//! The one list of known failures.
//!
//! An entry names the rows it covers, the physics that is missing, the figure that was found and the date. A row that is
//! listed and passes makes the check fail: the list is then out of date. At most one row in ten may be listed.

use super::select::Pattern;

/// A known failure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Known {
    /// `topic/set/quantity` of the rows, `*` for any letters.
    pub rows: &'static str,
    /// What the engine leaves out.
    pub physics: &'static str,
    /// How far off it is.
    pub figure: &'static str,
    /// When the figure was found, year-month-day.
    pub date: &'static str,
}

impl Known {
    /// Whether the entry covers a row.
    #[must_use]
    pub fn fits(&self, name: &str) -> bool {
        Pattern::new(self.rows).fits(name)
    }
}

/// Most known failures, as a share of all rows.
pub const MOST_KNOWN_SHARE: f64 = 0.1;

/// All known failures.
pub const KNOWN: &[Known] = &[
    Known {
        rows: "propellers/DA4002 9 x 6.75 in, 2 blades/*",
        physics: "The blade's angles: DA4022, of the same section and by the scans of the same twist, has its zero thrust 0.06 to 0.09 \
                  lower in J. The source warns that its scan reads twist low.",
        figure: "Zero thrust 0.09 low in J; with 2.0° more at every station it agrees, thrust and power then +0.7 and −0.1 % off near 5040 rpm.",
        date: "2026-11-27",
    },
    Known {
        rows: "propellers/DA4002 9 x 8.95 in, 2 blades/*",
        physics: "The same blade in a hub of 5° more: the same angle is missing.",
        figure: "Zero thrust 0.08 low in J; with 1.6° more it agrees, thrust and power then −0.4 and −0.7 % off near 5040 rpm.",
        date: "2026-11-27",
    },
    Known {
        rows: "normal_force/no thrust, 28 values/CN_α over that at 30°",
        physics: "The handbook's blade is known by its side-area factor only. Constant chord and constant pitch stand in \
                  for it; at 15° their inner blade stands much steeper than that of the charts.",
        figure: "10 to 15 % low at 15°, within 9 % from 20 to 60°.",
        date: "2026-11-27",
    },
    Known {
        rows: "normal_force/growth with thrust, 3 blades at 30°/thrust factor f",
        physics: "The chart is for light loading with lift in proportion to incidence; beyond T/(8qR²) = 4 the blade of \
                  30° stands at more than 20° to the flow, where the lift tilts.",
        figure: "Within 8 % to T/(8qR²) = 3, 10 to 14 % high beyond.",
        date: "2026-11-27",
    },
    Known {
        rows: "trade_facts/ripple falls as the shaft leaves the wake/*whole aircraft",
        physics: "A finding: above the viscous wake the wing's lift makes a 2P ripple that grows with offset, and \
                  raised, the disk meets the fuselage's wake off its middle.",
        figure: "Falls from 0.57 to 0.17 N at 0.04 m, rises to 0.66 N at 0.08 m.",
        date: "2026-11-27",
    },
    Known {
        rows: "trade_facts/ripple falls as the shaft leaves the wake/*without fuselage",
        physics: "A finding: above the viscous wake the wing's lift makes a 2P ripple that grows with offset. The fact \
                  holds of the viscous wake, which the row beside it takes alone.",
        figure: "Falls from 0.66 to 0.16 N at 0.04 m, rises to 0.26 N at 0.08 m.",
        date: "2026-11-27",
    },
];
