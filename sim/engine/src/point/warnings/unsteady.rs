//! Gusts too quick for incompressible or undelayed lift.

use super::super::consequences::{passage_reduced_frequency, typical_speed_m_s};
use super::super::input::{SectionLift, Streamwise, SurfaceWake};
use super::super::result::Warning;
use super::super::setup::Setup;
use crate::unsteady::gust_functions::{horlock, sears};

/// kM/β² above which a gust's pressure is not in step over the chord (Amiet, AIAA J. 12, 1974; from memory).
const COMPRESSIBLE_GUST: f64 = 0.4;

/// Reduced frequency above which chordwise gusts are told of.
const CHORDWISE_GUST: f64 = 0.3;

pub(super) fn compressible_gust(setup: &Setup) -> Option<Warning> {
    if setup.point.solver.section_lift != SectionLift::Unsteady || setup.ahead.sources.is_empty() {
        return None;
    }
    let k = passage_reduced_frequency(setup.point)?;
    let mach = typical_speed_m_s(setup.point) / setup.ahead.air.speed_of_sound_m_s;
    // Past the speed of sound there is no such theory; the drag-rise warning speaks there.
    if mach >= 1.0 {
        return None;
    }
    let parameter = k * mach / (1.0 - mach * mach);
    let blades = setup.point.propeller.blade_count;
    let below = (blades as f64 * COMPRESSIBLE_GUST / parameter) as usize;
    (parameter > COMPRESSIBLE_GUST).then(|| Warning {
        name: "compressible_gust",
        text: format!(
            "kM/β² is {parameter:.2} for {blades}P at 0.75 R (k = {k:.2}, Mach {mach:.2}), it stays below \
             {COMPRESSIBLE_GUST} up to {below}P: lift lags as in incompressible air, so take harmonics above \
             {below}P as estimates"
        ),
    })
}

/// Chordwise gusts through W² where Horlock's function would lag them.
///
/// The part square to the plate is lagged in either case: S + 1 stands against T = S + J₀ + iJ₁, mid-chord
/// reference. The often quoted 35 and 58 % at k = 0.5 and 1 are of the wholly quasi-steady value 2.
pub(super) fn chordwise_gust(setup: &Setup) -> Option<Warning> {
    let solver = &setup.point.solver;
    if solver.section_lift != SectionLift::Unsteady || solver.streamwise != Streamwise::QuasiSteady {
        return None;
    }
    let point = setup.point;
    let sheds = !point.survey_replaces()
        && (point.surfaces.iter().any(|s| s.wake != SurfaceWake::None)
            || point.bodies.iter().any(|b| b.wake));
    let k = passage_reduced_frequency(point)?;
    if !(sheds || point.survey.is_some()) || k <= CHORDWISE_GUST {
        return None;
    }
    let (undelayed, whole) = (sears(k) + 1.0, horlock(k));
    let ratio = undelayed / whole;
    Some(Warning {
        name: "chordwise_gust",
        text: format!(
            "at k = {k:.2} of NP at 0.75 R the lift of chordwise gusts, undelayed by \
             `solver.streamwise = \"quasi_steady\"`, is {:.0} % large and {:.0} deg late against Horlock's \
             function: set it to \"horlock\"",
            100.0 * (ratio.norm() - 1.0),
            -ratio.arg().to_degrees()
        ),
    })
}
