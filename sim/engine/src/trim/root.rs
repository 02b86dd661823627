//! A root of one function that costs: bracket and secant, bounded, the same steps every time.

/// A root and what was spent on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Root {
    /// Where.
    pub x: f64,
    /// What is left there.
    pub residual: f64,
    /// Slope by the last secant.
    pub slope: f64,
}

/// Why there is none.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum NoRoot<E> {
    /// The function keeps its sign up to a bound; the trial with the least residual.
    OutOfReach {
        /// Where the least residual was.
        x: f64,
        /// The least residual.
        residual: f64,
        /// The bound that ended the search.
        bound: f64,
    },
    /// Trials used up.
    NotSettled {
        /// Where the least residual was.
        x: f64,
        /// Least residual.
        residual: f64,
    },
    /// The function has no value where it was needed.
    Function(E),
}

/// Where to look and how closely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Search {
    /// First trial.
    pub start: f64,
    /// First step.
    pub step: f64,
    /// Least and greatest argument.
    pub bounds: (f64, f64),
    /// Residual at which the root stands.
    pub tolerance: f64,
    /// Most trials.
    pub trials: usize,
}

/// Growth of the step from one trial to the next while no change of sign is known.
const MOST_GROWTH: f64 = 4.0;

/// Halvings of a step that leads where the function has no value.
const MOST_RETREATS: usize = 6;

/// The root of a function that grows through it.
///
/// From the start the search goes up where the value is negative and down where it is positive, by secants whose steps are
/// bounded; between two signs by secants inside the bracket, by its middle where two secants in a row gain too little.
pub(super) fn find<E>(mut f: impl FnMut(f64) -> Result<f64, E>, search: Search) -> Result<Root, NoRoot<E>> {
    let (low, high) = search.bounds;
    let x = search.start.clamp(low, high);
    let first = (x, f(x).map_err(NoRoot::Function)?);
    let mut best = first;
    let mut slope = f64::NAN;
    let mut known = Bracket::default();
    known.take(first);
    let (mut last, mut step) = (first, search.step.abs());
    let up = first.1 < 0.0;
    let mut retreats = 0;
    for _ in 1..search.trials {
        if best.1.abs() <= search.tolerance {
            return Ok(Root { x: best.0, residual: best.1, slope });
        }
        let target = match known.next() {
            Some(between) => between,
            None => {
                if (up && last.0 >= high) || (!up && last.0 <= low) {
                    return Err(NoRoot::OutOfReach { x: best.0, residual: best.1, bound: last.0 });
                }
                (last.0 + if up { step } else { -step }).clamp(low, high)
            }
        };
        match f(target) {
            Ok(value) => {
                let here = (target, value);
                slope = (here.1 - last.1) / (here.0 - last.0);
                if !known.is_closed() {
                    let secant = -here.1 / slope;
                    let wanted = if up { secant } else { -secant };
                    // A little beyond the root, so that the next trial closes the bracket.
                    let most = MOST_GROWTH * (here.0 - last.0).abs();
                    step = if wanted > 0.0 { (1.02 * wanted).min(most) } else { most };
                }
                known.take(here);
                if here.1.abs() < best.1.abs() {
                    best = here;
                }
                last = here;
            }
            Err(error) => {
                retreats += 1;
                if retreats > MOST_RETREATS || known.is_closed() {
                    return Err(NoRoot::Function(error));
                }
                step *= 0.5;
            }
        }
    }
    if best.1.abs() <= search.tolerance {
        return Ok(Root { x: best.0, residual: best.1, slope });
    }
    Err(NoRoot::NotSettled { x: best.0, residual: best.1 })
}

/// The nearest trials of either sign, and the last ones.
#[derive(Debug, Clone, Copy, Default)]
struct Bracket {
    below: Option<(f64, f64)>,
    above: Option<(f64, f64)>,
    last: Option<(f64, f64)>,
    earlier: Option<(f64, f64)>,
    /// Trials in a row that did not halve the residual.
    idle: u32,
}

impl Bracket {
    fn take(&mut self, trial: (f64, f64)) {
        if trial.1 < 0.0 {
            self.below = Some(trial);
        } else {
            self.above = Some(trial);
        }
        let halved = self.last.is_some_and(|last| trial.1.abs() <= 0.5 * last.1.abs());
        self.idle = if halved { 0 } else { self.idle + 1 };
        (self.earlier, self.last) = (self.last, Some(trial));
    }

    fn is_closed(&self) -> bool {
        self.below.is_some() && self.above.is_some()
    }

    /// The next trial between the two signs: the secant of the last two trials where it lies inside and trials gain, else the
    /// middle.
    fn next(&self) -> Option<f64> {
        let (Some(below), Some(above)) = (self.below, self.above) else { return None };
        let (low, high) = (below.0.min(above.0), below.0.max(above.0));
        let secant = match (self.last, self.earlier) {
            (Some(last), Some(earlier)) => last.0 - last.1 * (last.0 - earlier.0) / (last.1 - earlier.1),
            _ => f64::NAN,
        };
        let takes = self.idle < 2 && secant > low && secant < high;
        Some(if takes { secant } else { 0.5 * (low + high) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn search(start: f64) -> Search {
        Search { start, step: 0.05 * start, bounds: (1.0, 400.0), tolerance: 1e-9, trials: 40 }
    }

    fn count(start: f64, f: impl Fn(f64) -> f64) -> (Result<Root, NoRoot<()>>, usize) {
        let mut trials = 0;
        let root = find(
            |x| {
                trials += 1;
                Ok::<f64, ()>(f(x))
            },
            search(start),
        );
        (root, trials)
    }

    #[test]
    fn a_smooth_root_takes_few_trials_from_far_away() {
        // Thrust over speed: a parabola with an offset, as a propeller in forward flight has it.
        for (start, most) in [(95.0, 8), (60.0, 10), (200.0, 9), (20.0, 13)] {
            let (root, trials) = count(start, |x| 1e-3 * x * (x - 40.0) - 6.0);
            let x = root.unwrap().x;
            assert!((1e-3 * x * (x - 40.0) - 6.0).abs() <= 1e-9);
            assert!(trials <= most, "{trials} from {start}");
        }
    }

    #[test]
    fn a_bound_that_is_met_is_named() {
        let (root, _) = count(100.0, |x| -1.0 - 1e-3 * (x - 200.0).powi(2));
        let Err(NoRoot::OutOfReach { x, residual, bound }) = root else { panic!("{root:?}") };
        assert_eq!(bound, 400.0);
        assert!((x - 200.0).abs() < 60.0 && residual < -0.9, "{x} {residual}");
    }

    #[test]
    fn a_step_into_the_void_is_taken_back() {
        let f = |x: f64| if x > 130.0 { Err(()) } else { Ok(x - 125.0) };
        let root = find(f, Search { step: 60.0, ..search(100.0) }).unwrap();
        assert!((root.x - 125.0).abs() < 1e-8);
    }

    #[test]
    fn a_kink_is_still_closed() {
        let (root, trials) =
            count(100.0, |x| if x < 150.0 { 1e-4 * (x - 150.0) } else { 10.0 * (x - 150.0) });
        assert!((root.unwrap().x - 150.0).abs() < 1e-4);
        assert!(trials <= 40);
    }
}
