//! The figures of a sweep, by candidate and condition.

use super::all_propellers::{self, AllPropellers};
use wakebeat_engine::case::Case;
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::record::{RecordError, SweepRecord};
use wakebeat_engine::study::{Axis, AxisValues, Choose, Grid, Limits, PointStatus};

/// An axis of the study with its values.
#[derive(Debug, Clone, PartialEq)]
pub struct StudyAxis {
    /// Name in the result file.
    pub name: String,
    /// What people are told it is, see [`Axis::label`].
    pub label: String,
    /// Keys of the axes paired with it.
    pub paired: Vec<String>,
    /// Key path.
    pub key: String,
    /// Unit of the values.
    pub unit: String,
    /// Values as texts, and as numbers where they are numbers.
    pub texts: Vec<String>,
    /// Numbers; empty for an axis of texts.
    pub numbers: Vec<f64>,
}

/// What the ranking needs of one point.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// NP amplitudes: thrust, N; force in the disk plane, N; bending moment, N m; torque, N m.
    pub loads: [f64; 4],
    /// Loads of all propellers together; `None` of one alone.
    pub airframe: Option<AirframeFigures>,
    /// Mean thrust, N.
    pub thrust_n: f64,
    /// Mean thrust of all propellers, N.
    pub thrust_of_all_n: f64,
    /// Mean shaft power of all propellers, W.
    pub power_of_all_w: f64,
    /// Shaft speed, rpm.
    pub speed_rpm: f64,
    /// Greatest helical tip Mach number of any propeller.
    pub tip_mach: f64,
    /// Pitching moment of all thrust lines about the centre of gravity, N m; NaN where that is not known.
    pub pitching_moment_n_m: f64,
    /// Least clearances of any propeller, m, in the order of [`Limits::CLEARANCES`]; NaN where there is none.
    pub clearance_m: [f64; 6],
}

/// Loads of all propellers at the centre of gravity, at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirframeFigures {
    /// Amplitude of the force at the blade-passage orders of all propellers, N.
    pub force_n: f64,
    /// Amplitude of the moment at those orders, N m.
    pub moment_n_m: f64,
    /// Mean forward force, N.
    pub thrust_n: f64,
}

/// A combination of decided values.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Place along each decided axis.
    pub subscripts: Vec<usize>,
    /// Blade count.
    pub blade_count: usize,
    /// Tip diameter, m.
    pub diameter_m: f64,
    /// Number in the grid of its point at each condition.
    pub points: Vec<usize>,
    /// Figures at each condition, or why there are none.
    pub figures: Vec<Result<Figures, String>>,
}

/// A sweep by candidates and conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    /// Axes that are decided, each with a dimension of its own.
    pub decided: Vec<StudyAxis>,
    /// Axes that are flown.
    pub flown: Vec<StudyAxis>,
    /// Combinations of the decided values, the last axis fastest.
    pub candidates: Vec<Candidate>,
    /// Place along each flown axis of every condition, the last axis fastest.
    pub conditions: Vec<Vec<usize>>,
    /// Weight of each condition.
    pub weights: Vec<f64>,
    /// Whether thrust is trimmed, so that powers compare.
    pub trimmed: bool,
    /// Names of the further propellers.
    pub further: Vec<String>,
    /// Whether losses, tip Mach numbers, clearances and thrust lines are those of all propellers; a file from before the loads of
    /// further ones were kept has those of the first alone.
    pub costs_of_all: bool,
}

impl Study {
    /// Takes the figures out of a whole sweep.
    ///
    /// # Errors
    /// [`RecordError`] when the file is a shard, has no point with an answer, or lacks something the ranking needs.
    pub fn read(record: &SweepRecord, case: &Case, choose: &Choose) -> Result<Self, RecordError> {
        record.check_whole()?;
        record.check_answers()?;
        let figures = figures(record, choose)?;
        let diameters = record
            .summary("diameter_m")
            .unwrap_or_else(|_| vec![case.point.propeller.diameter_m; record.status.len()]);
        let trimmed = case.trim.is_some_and(|trim| trim.thrust.is_some());
        let study = Self::of_points(&record.grid, choose, trimmed, |point| {
            (record.blade_count[point], diameters[point], figures[point].clone())
        });
        let further: Vec<String> = case.point.further.iter().map(|one| one.name.clone()).collect();
        Ok(Self { costs_of_all: further.is_empty() || !record.further()?.is_empty(), further, ..study })
    }

    /// Splits the points of a grid into candidates and conditions; `at` gives blade count, diameter in m and figures of a point.
    #[must_use]
    pub fn of_points(
        grid: &Grid,
        choose: &Choose,
        trimmed: bool,
        at: impl Fn(usize) -> (usize, f64, Result<Figures, String>),
    ) -> Self {
        let decides = |axis: &Axis| {
            // Paired axes go together: one that is decided decides.
            let pair = grid.axes.iter().filter(|other| other.dimension == axis.dimension);
            pair.into_iter().any(|other| choose.decides(&other.key))
        };
        let (decided, flown): (Vec<&Axis>, Vec<&Axis>) = grid.leading().partition(|axis| decides(axis));
        let candidates = combinations(&decided);
        let conditions = combinations(&flown);
        let point = |candidate: &[usize], condition: &[usize]| {
            let mut subscripts = vec![0; grid.shape.len()];
            for (axis, i) in decided.iter().zip(candidate).chain(flown.iter().zip(condition)) {
                subscripts[axis.dimension] = *i;
            }
            subscripts.iter().zip(&grid.shape).fold(0, |index, (i, size)| index * size + i)
        };
        let candidate = |subscripts: Vec<usize>| {
            let points: Vec<usize> = conditions.iter().map(|c| point(&subscripts, c)).collect();
            let (blade_count, diameter_m, _) = at(points[0]);
            let figures = points.iter().map(|p| at(*p).2).collect();
            Candidate { subscripts, blade_count, diameter_m, points, figures }
        };
        let weights = conditions.iter().map(|condition| weight(choose, &flown, condition)).collect();
        Self {
            candidates: candidates.into_iter().map(candidate).collect(),
            decided: decided.iter().map(|axis| study_axis(grid, axis)).collect(),
            flown: flown.iter().map(|axis| study_axis(grid, axis)).collect(),
            conditions,
            weights,
            trimmed,
            further: Vec::new(),
            costs_of_all: true,
        }
    }

    /// A candidate in words: `blade_count 3, shaft_offset_m 0.02`.
    #[must_use]
    pub fn candidate_words(&self, candidate: usize) -> String {
        words(&self.decided, &self.candidates[candidate].subscripts)
    }

    /// A condition in words; empty where nothing is flown.
    #[must_use]
    pub fn condition_words(&self, condition: usize) -> String {
        words(&self.flown, &self.conditions[condition])
    }

    /// The candidate at places along the decided axes.
    #[must_use]
    pub fn candidate_at(&self, subscripts: &[usize]) -> Option<usize> {
        self.candidates.iter().position(|candidate| candidate.subscripts == subscripts)
    }
}

fn words(axes: &[StudyAxis], subscripts: &[usize]) -> String {
    let one = |(axis, i): (&StudyAxis, &usize)| format!("{} {}", axis.label, axis.texts[*i]);
    axes.iter().zip(subscripts).map(one).collect::<Vec<_>>().join(", ")
}

/// An axis that leads a dimension; the texts name the values of the axes paired with it too.
fn study_axis(grid: &Grid, axis: &Axis) -> StudyAxis {
    let pair: Vec<&Axis> =
        grid.axes.iter().filter(|other| other.dimension == axis.dimension && !other.leads).collect();
    let text = |i: usize| {
        let own = shown(&axis.values, i);
        pair.iter().fold(own, |text, other| format!("{text} ({} {})", other.label(), shown(&other.values, i)))
    };
    let count = axis.values.len();
    let numbers = match axis.values {
        AxisValues::Texts(_) => Vec::new(),
        _ => (0..count).filter_map(|i| axis.values.number(i)).collect(),
    };
    StudyAxis {
        name: axis.name.clone(),
        label: axis.label().to_owned(),
        paired: pair.iter().map(|other| other.key.clone()).collect(),
        key: axis.key.clone(),
        unit: axis.unit.clone(),
        texts: (0..count).map(text).collect(),
        numbers,
    }
}

/// A value as text, without the round-off of even spacing.
fn shown(values: &AxisValues, index: usize) -> String {
    let AxisValues::Numbers(numbers) = values else { return values.text(index) };
    let largest = numbers.iter().fold(0.0_f64, |largest, number| largest.max(number.abs()));
    let number = numbers.get(index).copied().unwrap_or(f64::NAN);
    if number.abs() < 1e-9 * largest {
        return "0".to_owned();
    }
    // Nine digits are more than anyone sets, and fewer than round-off reaches.
    format!("{number:.8e}").parse::<f64>().unwrap_or(number).to_string()
}

/// All combinations of the values of some axes, the last fastest; one empty combination of none.
fn combinations(axes: &[&Axis]) -> Vec<Vec<usize>> {
    axes.iter().fold(vec![Vec::new()], |all, axis| {
        let longer = |head: &Vec<usize>| {
            (0..axis.values.len()).map(|i| head.iter().copied().chain([i]).collect()).collect::<Vec<_>>()
        };
        all.iter().flat_map(longer).collect()
    })
}

fn weight(choose: &Choose, flown: &[&Axis], condition: &[usize]) -> f64 {
    let Some(weights) = &choose.weights else { return 1.0 };
    let along = flown.iter().position(|axis| axis.key == weights.axis);
    along.and_then(|k| weights.weights.get(condition[k])).copied().unwrap_or(1.0)
}

/// Figures of every point of a sweep.
fn figures(record: &SweepRecord, choose: &Choose) -> Result<Vec<Result<Figures, String>>, RecordError> {
    let order = |point: usize| record.blade_count[point];
    let amplitude = |load| record.hub_amplitude(load, order);
    let together = |a: HubLoad, b: HubLoad| -> Result<Vec<f64>, RecordError> {
        Ok(amplitude(a)?.iter().zip(amplitude(b)?).map(|(x, y)| x.hypot(y)).collect())
    };
    let loads = [
        amplitude(HubLoad::Thrust)?,
        together(HubLoad::SideForce, HubLoad::VerticalForce)?,
        together(HubLoad::PitchingMoment, HubLoad::YawingMoment)?,
        amplitude(HubLoad::Torque)?,
    ];
    let points = record.status.len();
    let known = |name: &str| record.summary(name).unwrap_or_else(|_| vec![f64::NAN; points]);
    let (thrust, power) = (record.summary("thrust_n")?, record.summary("power_w")?);
    let (speed, mach) = (record.summary("speed_rpm")?, record.summary("tip_mach")?);
    let airframe = record.has_airframe().then(|| all_propellers::loads(record, choose.phases)).transpose()?;
    let mut all = AllPropellers {
        thrust_n: thrust.clone(),
        power_w: power,
        tip_mach: mach,
        pitching_moment_n_m: known("thrust_line_moment_n_m"),
        clearance_m: Limits::CLEARANCES.map(known),
    };
    for one in record.further()? {
        all.add(record, &one.name)?;
    }
    let one = |i: usize| {
        if record.status[i] != PointStatus::Computed {
            return Err(record.message[i].clone());
        }
        Ok(Figures {
            loads: loads.each_ref().map(|load| load[i]),
            airframe: airframe.as_ref().map(|figures| figures[i]),
            thrust_n: thrust[i],
            thrust_of_all_n: all.thrust_n[i],
            power_of_all_w: all.power_w[i],
            speed_rpm: speed[i],
            tip_mach: all.tip_mach[i],
            pitching_moment_n_m: all.pitching_moment_n_m[i],
            clearance_m: all.clearance_m.each_ref().map(|clearance| clearance[i]),
        })
    };
    Ok((0..points).map(one).collect())
}
