//! What of the induced velocity changes over azimuth: the disk's first harmonic and the annuli's own ripple.

use multiversion::multiversion;

use super::ripple::Ripple;
use super::setup::Setup;
use crate::base::lanes::Lanes;
use crate::induction::dynamic::FirstHarmonic;
use crate::rotor::tones::{MULTIPLES, Tones};

/// Cosine and sine parts of the induced velocity at eight stations by the azimuth of the blade, m/s.
#[derive(Debug, Clone, Copy)]
pub(super) struct InducedTones {
    axial: (Lanes, Lanes),
    tangential: (Lanes, Lanes),
    passage: [(Lanes, Lanes); MULTIPLES],
}

impl InducedTones {
    /// At the stations of group `g`.
    pub(super) fn new(setup: &Setup, g: usize, first: &FirstHarmonic, ripple: &Ripple) -> Self {
        let stations = &setup.ahead.stations[setup.ahead.group_range(g)];
        let station = |i: usize| &stations[i.min(stations.len() - 1)];
        // The station stands at ψ − lag: the first harmonic's parts turned to the blade's azimuth.
        let turned = |c: f64, s: f64| {
            (
                Lanes::from_fn(|i| c * station(i).lag_rad.cos() - s * station(i).lag_rad.sin()),
                Lanes::from_fn(|i| s * station(i).lag_rad.cos() + c * station(i).lag_rad.sin()),
            )
        };
        let radius = Lanes::from_fn(|i| station(i).radius_m / setup.ahead.tip_m);
        let (cosine, sine) = turned(first.cosine_m_s, first.sine_m_s);
        Self {
            axial: (cosine * radius, sine * radius),
            // Air moving up by u meets e_t with −u sin ψ: against the motion u sin ψ; to starboard −σ u cos ψ.
            tangential: turned(-setup.ahead.disk.sigma * first.starboard_m_s, first.up_m_s),
            passage: ripple.parts(),
        }
    }

    /// Axial ripple and in-plane velocity at each azimuth, m/s.
    pub(super) fn by_azimuth(&self, tones: &Tones, ripple: &mut Vec<(Lanes, Lanes)>) {
        ripple.resize(tones.first.len(), (Lanes::ZERO, Lanes::ZERO));
        sum_tones(self, tones, ripple);
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn sum_tones(parts: &InducedTones, tones: &Tones, ripple: &mut [(Lanes, Lanes)]) {
    for (to, ((cos, sin), passage)) in ripple.iter_mut().zip(tones.first.iter().zip(&tones.passage)) {
        let mut sum = parts.axial.0 * *cos + parts.axial.1 * *sin;
        for (part, tone) in parts.passage.iter().zip(passage) {
            sum = sum + part.0 * tone.0 + part.1 * tone.1;
        }
        *to = (sum, parts.tangential.0 * *cos + parts.tangential.1 * *sin);
    }
}
