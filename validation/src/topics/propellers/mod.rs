//! Measured propellers in clean axial flow: thrust and power against advance ratio, at rest, and by blade count.
//!
//! Coefficients CT = T/(ρn²D⁴), CP = P/(ρn³D⁵), J = V/(nD). Every measured point is computed with the engine's own `shape`
//! polars at the local Reynolds number, from the outline of the section, and with Goldstein's factor of finite blade count. Nothing is
//! tuned to any of these sets.

mod blade;
mod compare;
mod measured;
mod sets;

use crate::table::Check;

/// One check for each blade count of each set, and the ratios between blade counts.
pub(super) fn checks() -> Vec<Check> {
    let single = sets::SETS.iter().flat_map(|set| {
        set.blades.iter().map(move |blades| {
            let blades = *blades;
            Check::new("propellers", format!("{}, {blades} blades", set.name), set.source, move |fineness| {
                compare::rows(set, blades, fineness)
            })
        })
    });
    let ratios = sets::SETS.iter().filter(|set| set.ratios).map(|set| {
        Check::new("propellers", format!("{}, ratios", set.name), set.source, |fineness| {
            compare::ratio_rows(set, fineness)
        })
    });
    single.chain(ratios).collect()
}
