//! Which points of a grid the case refuses, without computing any.

use rayon::prelude::*;

use crate::case::{Case, Problems, SweepPoints};

/// The refused points of a case's grid in order, with their problems.
#[must_use]
pub fn refused_points(case: &Case) -> Vec<(usize, Problems)> {
    let points = case.sweep.as_ref().map_or(0, |sweep| sweep.grid.points());
    let texts = case.input_texts();
    (0..points)
        .into_par_iter()
        .map_init(
            || SweepPoints::new(case, &texts),
            |resolver, index| Some((index, resolver.as_mut()?.point(index).err()?)),
        )
        .flatten()
        .collect()
}
