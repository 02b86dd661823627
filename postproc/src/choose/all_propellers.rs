//! Figures of all propellers of an aircraft together, and in words which of them a ranking speaks of.

use wakebeat_engine::point::airframe::AIRFRAME_LOADS;
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::record::{RecordError, SweepRecord};
use wakebeat_engine::study::{Choose, Limits, Phases};

use super::study::{AirframeFigures, Study};

/// What further propellers add to the figures of the first, at every point.
pub(super) struct AllPropellers {
    /// Sum of mean thrusts, N.
    pub thrust_n: Vec<f64>,
    /// Sum of mean shaft powers, W.
    pub power_w: Vec<f64>,
    /// Greatest helical tip Mach number.
    pub tip_mach: Vec<f64>,
    /// Sum of the thrust lines' pitching moments, N m.
    pub pitching_moment_n_m: Vec<f64>,
    /// Least clearances, m, in the order of [`Limits::CLEARANCES`].
    pub clearance_m: [Vec<f64>; 6],
}

impl AllPropellers {
    /// Adds a further propeller.
    pub fn add(&mut self, record: &SweepRecord, name: &str) -> Result<(), RecordError> {
        let points = record.status.len();
        let known =
            |scalar: &str| record.further_summary(name, scalar).unwrap_or_else(|_| vec![f64::NAN; points]);
        let sum = |a: f64, b: f64| a + b;
        combine(&mut self.thrust_n, record.further_summary(name, "thrust_n")?, sum);
        combine(&mut self.power_w, record.further_summary(name, "power_w")?, sum);
        combine(&mut self.pitching_moment_n_m, known("thrust_line_moment_n_m"), sum);
        // The greater and the lesser of two leave NaN out.
        combine(&mut self.tip_mach, record.further_summary(name, "tip_mach")?, f64::max);
        for (least, scalar) in self.clearance_m.iter_mut().zip(Limits::CLEARANCES) {
            combine(least, known(scalar), f64::min);
        }
        Ok(())
    }
}

fn combine(all: &mut [f64], one: Vec<f64>, how: impl Fn(f64, f64) -> f64) {
    for (all, one) in all.iter_mut().zip(one) {
        *all = how(*all, one);
    }
}

/// Loads of all propellers at the centre of gravity at every point: amplitudes at the order of each distinct blade count.
pub(super) fn loads(record: &SweepRecord, phases: Phases) -> Result<Vec<AirframeFigures>, RecordError> {
    let mut counts = vec![record.blade_count.clone()];
    for one in record.further()? {
        counts.push(record.further_blade_count(&one.name)?);
    }
    let points = record.status.len();
    let passages: Vec<Vec<usize>> = (0..points)
        .map(|point| {
            let mut orders: Vec<usize> = counts.iter().map(|counts| counts[point]).collect();
            orders.sort_unstable();
            orders.dedup();
            orders
        })
        .collect();
    let width = record.orders.max(1);
    // Sums of squares of force and moment.
    let mut squares = vec![[0.0; 2]; points];
    for load in AIRFRAME_LOADS {
        let all = record.by_order(&path(load, phases))?;
        let which = usize::from(load.unit() != HubLoad::Thrust.unit());
        for (point, row) in all.chunks(width).enumerate() {
            let at = |order: usize| row.get(order).copied().unwrap_or(f64::NAN);
            squares[point][which] += passages[point].iter().map(|n| at(*n).powi(2)).sum::<f64>();
        }
    }
    let thrust = record.by_order(&path(HubLoad::Thrust, Phases::AsGiven))?;
    let one = |(point, [force, moment]): (usize, &[f64; 2])| AirframeFigures {
        force_n: force.sqrt(),
        moment_n_m: moment.sqrt(),
        thrust_n: thrust[point * width],
    };
    Ok(squares.iter().enumerate().map(one).collect())
}

/// Amplitudes of a load at the airframe in the file.
fn path(load: HubLoad, phases: Phases) -> String {
    let (name, key) = (load.name(), load.key());
    match phases {
        Phases::AsGiven => format!("airframe_harmonics/{key}"),
        Phases::Any => {
            format!("airframe_envelope/{name}_greatest{}", key.strip_prefix(name).unwrap_or_default())
        }
    }
}

impl Study {
    /// Which propellers a ranking speaks of, in a few words for below a title; `None` where there is one.
    #[must_use]
    pub fn propellers_briefly(&self, choose: &Choose) -> Option<String> {
        let count = self.further.len() + 1;
        let all = if count == 2 { "both propellers".to_owned() } else { format!("all {count} propellers") };
        let briefly = match (choose.keep_low.is_of_airframe(), choose.phases) {
            (true, Phases::AsGiven) => format!("{all} in phase as given"),
            (true, Phases::Any) => format!("{all}, any phase"),
            (false, _) => format!("first propeller of {count}"),
        };
        (count > 1).then_some(briefly)
    }

    /// Which propellers a ranking speaks of, in sentences without full stop; none where there is one.
    #[must_use]
    pub fn propellers_in_words(&self, choose: &Choose) -> Vec<String> {
        if self.further.is_empty() {
            return Vec::new();
        }
        let names: Vec<String> = self.further.iter().map(|name| format!("`{name}`")).collect();
        let names = names.join(", ");
        let ranked = match (choose.keep_low.is_of_airframe(), choose.phases) {
            (true, phases) => {
                let at = match phases {
                    Phases::AsGiven => "in phase as the case gives it",
                    Phases::Any => "each component at its worst phase",
                };
                format!(
                    "ranked by the loads of [propeller] and {names} together at the centre of gravity, {at}"
                )
            }
            (false, _) => format!(
                "ranked by the loads of [propeller] alone, at its hub: {names} not counted; \
                 choose.keep_low = \"airframe_force\" counts all"
            ),
        };
        let costs = if self.costs_of_all {
            "efficiency, thrust-line moment, tip Mach number and clearances are those of all propellers"
                .to_owned()
        } else {
            format!(
                "efficiency, thrust-line moment, tip Mach number and clearances are those of [propeller] alone: the file is from \
                 before those of {names} were kept"
            )
        };
        vec![ranked, costs]
    }
}
