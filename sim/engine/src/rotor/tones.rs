//! A few harmonics of the loads of eight stations, for the induction that answers them.

use multiversion::multiversion;

use super::sweep::GroupLoads;
use crate::base::lanes::Lanes;
use crate::base::turn::turn;

/// Multiples of blade passage carried; each further one is smaller by its order and by the load's own fall.
pub const MULTIPLES: usize = 4;

/// Cosine and sine of the azimuths at order 1 and at the carried multiples of NP (A).
#[derive(Debug, Clone)]
pub struct Tones {
    /// Order 1.
    pub first: Vec<(f64, f64)>,
    /// Orders N, 2N, 3N …
    pub passage: Vec<[(f64, f64); MULTIPLES]>,
}

/// Cosine and sine parts of the forces per unit span of eight stations: x = mean + Σ c cos nψ + s sin nψ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LoadTones {
    /// Mean axial force, N/m.
    pub mean_normal: Lanes,
    /// Axial force at order 1, N/m.
    pub normal: (Lanes, Lanes),
    /// Force against the rotation at order 1, N/m.
    pub tangential: (Lanes, Lanes),
    /// Axial force at the multiples of NP, N/m.
    pub passage: [(Lanes, Lanes); MULTIPLES],
}

impl Tones {
    /// For a number of azimuths and of blades.
    #[must_use]
    pub fn new(azimuths: usize, blades: usize) -> Self {
        let turn = turn(azimuths);
        let at = |j: usize, order: usize| turn[(j * order) % azimuths];
        Self {
            first: (0..azimuths).map(|j| at(j, 1)).collect(),
            passage: (0..azimuths).map(|j| std::array::from_fn(|m| at(j, (m + 1) * blades))).collect(),
        }
    }
}

impl LoadTones {
    /// The parts of the loads of one blade.
    #[must_use]
    pub fn new(loads: &GroupLoads, tones: &Tones) -> Self {
        parts(loads, tones)
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn parts(loads: &GroupLoads, tones: &Tones) -> LoadTones {
    let zero = (Lanes::ZERO, Lanes::ZERO);
    let mut sum =
        LoadTones { mean_normal: Lanes::ZERO, normal: zero, tangential: zero, passage: [zero; MULTIPLES] };
    let forces = loads.normal_n_per_m.iter().zip(&loads.tangential_n_per_m);
    for ((normal, against), (first, passage)) in forces.zip(tones.first.iter().zip(&tones.passage)) {
        sum.mean_normal = sum.mean_normal + *normal;
        sum.normal = (sum.normal.0 + *normal * first.0, sum.normal.1 + *normal * first.1);
        sum.tangential = (sum.tangential.0 + *against * first.0, sum.tangential.1 + *against * first.1);
        for (part, tone) in sum.passage.iter_mut().zip(passage) {
            *part = (part.0 + *normal * tone.0, part.1 + *normal * tone.1);
        }
    }
    let share = 1.0 / loads.normal_n_per_m.len() as f64;
    let scaled = |part: (Lanes, Lanes)| (part.0 * (2.0 * share), part.1 * (2.0 * share));
    LoadTones {
        mean_normal: sum.mean_normal * share,
        normal: scaled(sum.normal),
        tangential: scaled(sum.tangential),
        passage: sum.passage.map(scaled),
    }
}
