//! All annuli and the disk in balance.
//!
//! The loads are those of the whole revolution on the full azimuth grid, but most of the way there is made on a thinned one:
//! its balance is solved first; then the full grid is swept once, the difference of what both grids leave unbalanced is added to
//! the thinned one as a correction, its balance solved again, and so on until the full grid's own residual is within the
//! tolerance (defect correction of a coarse grid, A. Brandt, Math. Comp. 31, 1977, 333–390, section 2.2). The answer is
//! the full grid's; the thinned one only decides how many sweeps it takes: two for most annuli, three or four at the tip. An
//! annulus in balance is not swept again while the disk's harmonic stands. Where all that does not lead on, the full grid is
//! iterated by itself.

use super::disk_state::{Asked, DiskState};
use super::error::PointError;
use super::group_state::{GroupState, Ring};
use super::input::{Induction, Suction};
use super::setup::Setup;
use crate::base::turn::even_stride;
use crate::rotor::tones::MULTIPLES;

/// Iterations after which a grid counts as not settling.
const MOST_ITERATIONS: usize = 400;

/// Iterations on a thinned grid before it is given up.
const MOST_THINNED: usize = 60;

/// Sweeps of the full grid before it goes on by itself.
const MOST_CORRECTIONS: usize = 8;

/// Iterations after which the derivative is taken anew where they do not suffice.
const ITERATIONS_A_DERIVATIVE: usize = 12;

/// Iterations after which it is not taken any more: the bracket's turn has come.
const LAST_DERIVATIVE: usize = 36;

/// Fewest azimuths of a thinned grid.
const FEWEST_AZIMUTHS: usize = 60;

/// Tolerance of the first balance on the thinned grid, which is off by more.
const FIRST_TOLERANCE: f64 = 1e-5;

/// Tolerance of its later balances over that of the answer.
const SHARE_OF_TOLERANCE: f64 = 0.3;

/// Tolerance of the balance at the limits of suction: what they tell is a spread.
const LIMIT_TOLERANCE: f64 = 1e-6;

/// One grid of azimuths.
struct Grid {
    groups: Vec<GroupState>,
    ring: Ring,
}

/// All annuli and the disk in balance.
pub(super) struct Balanced {
    /// The annuli, eight at a time.
    pub groups: Vec<GroupState>,
    disk: Option<DiskState>,
}

/// Balances all annuli, eight at a time, and with `dynamic` induction the disk as a whole.
///
/// # Errors
/// [`PointError`] naming the radius that does not settle.
pub(super) fn balance(setup: &Setup) -> Result<Balanced, PointError> {
    let groups: Vec<GroupState> = (0..setup.groups()).map(|g| GroupState::new(setup, g)).collect();
    let disk = (setup.point.solver.induction == Induction::Dynamic).then(|| DiskState::new(setup, &groups));
    balance_from(setup, Balanced { groups, disk }, Start::MeanFlow, setup.point.solver.tolerance)
}

/// The balance with wakes drawn in at a limit of suction, from that of the answer.
///
/// # Errors
/// As [`balance`].
pub(super) fn balance_at_limit(
    setup: &Setup,
    answer: &Balanced,
    limit: Suction,
) -> Result<Balanced, PointError> {
    let groups = answer.groups.iter().map(|group| group.limited(limit)).collect();
    let mut disk = answer.disk.clone();
    disk.iter_mut().for_each(DiskState::uncorrected);
    let tolerance = setup.point.solver.tolerance.max(LIMIT_TOLERANCE);
    balance_from(setup, Balanced { groups, disk }, Start::AsTheyStand, tolerance)
}

/// Where the thinned grid starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Start {
    /// From induced velocities found in the mean flow with its wakes.
    MeanFlow,
    /// From those the annuli have.
    AsTheyStand,
}

fn balance_from(
    setup: &Setup,
    begun: Balanced,
    start: Start,
    tolerance: f64,
) -> Result<Balanced, PointError> {
    let blades = setup.point.propeller.blade_count;
    let azimuths = setup.azimuth_rad.len();
    let Balanced { groups, mut disk } = begun;
    let mut full = Grid { groups, ring: Ring::new(azimuths, blades, tolerance) };
    if let Some(stride) = stride(azimuths, blades)
        && by_thinned_grid(setup, &mut full, &mut disk, (stride, start))?
    {
        return Ok(Balanced { groups: full.groups, disk });
    }
    disk.iter_mut().for_each(DiskState::uncorrected);
    for (g, group) in full.groups.iter_mut().enumerate() {
        group.reopen();
        group.evaluate(setup, g, &mut full.ring, disk.as_ref().map(|d| &d.harmonic))?;
    }
    if iterate(setup, &mut full, &mut disk, tolerance, MOST_ITERATIONS)? {
        return Ok(Balanced { groups: full.groups, disk });
    }
    let late = full.groups.iter().find(|g| !g.done());
    Err(late
        .map_or(PointError::DiskNotSettled { iterations: MOST_ITERATIONS }, |g| g.complaint(MOST_ITERATIONS)))
}

/// Most azimuths to a thinned one that divide the ring and leave the carried multiples of NP four points a cycle.
fn stride(azimuths: usize, blades: usize) -> Option<usize> {
    let fewest = FEWEST_AZIMUTHS.max(4 * MULTIPLES * blades);
    Some(even_stride(azimuths, azimuths / fewest)).filter(|stride| *stride > 1)
}

/// Balances the full grid by the thinned one; whether that led to the end.
fn by_thinned_grid(
    setup: &Setup,
    full: &mut Grid,
    disk: &mut Option<DiskState>,
    (stride, start): (usize, Start),
) -> Result<bool, PointError> {
    let tolerance = full.ring.tolerance;
    let blades = setup.point.propeller.blade_count;
    let mut thinned = Grid {
        groups: full.groups.iter().map(|group| group.thinned(stride)).collect(),
        ring: Ring::new(setup.azimuth_rad.len() / stride, blades, tolerance),
    };
    for (g, group) in thinned.groups.iter_mut().enumerate() {
        match start {
            Start::MeanFlow => group.begin_in_wakes(setup, g, &mut thinned.ring)?,
            Start::AsTheyStand => {
                group.evaluate(setup, g, &mut thinned.ring, disk.as_ref().map(|d| &d.harmonic))?;
            }
        }
    }
    if !iterate(setup, &mut thinned, disk, tolerance.max(FIRST_TOLERANCE), MOST_THINNED)? {
        return Ok(false);
    }
    if start == Start::MeanFlow {
        // Near the answer the derivative serves to the end.
        learn_derivatives(setup, &mut thinned, disk.as_ref())?;
    }
    let mut swept_at = None;
    let mut balanced = vec![false; full.groups.len()];
    for _ in 0..MOST_CORRECTIONS {
        let harmonic = disk.as_ref().map(|disk| disk.harmonic);
        let stands = disk.as_ref().is_none_or(|disk| disk.stands_at(swept_at.as_ref(), tolerance));
        let swept: Vec<bool> = balanced.iter().map(|balanced| !(stands && *balanced)).collect();
        for (g, (group, from)) in full.groups.iter_mut().zip(&thinned.groups).enumerate() {
            if swept[g] {
                group.follow(from);
                group.evaluate(setup, g, &mut full.ring, harmonic.as_ref())?;
                balanced[g] = group.balanced(tolerance);
            }
        }
        if !stands {
            swept_at = harmonic;
        }
        let asked = disk.as_ref().map(|_| Asked::new(setup, &full.groups));
        let disk_balanced =
            disk.as_ref().zip(asked).is_none_or(|(disk, asked)| disk.balanced(&asked, tolerance));
        if disk_balanced && balanced.iter().all(|balanced| *balanced) {
            return Ok(true);
        }
        for ((group, full), swept) in thinned.groups.iter_mut().zip(&full.groups).zip(swept) {
            if swept {
                group.correct_by(full);
            }
        }
        if let Some((disk, asked)) = disk.as_mut().zip(asked) {
            disk.correct_by(&asked, &Asked::new(setup, &thinned.groups));
        }
        if !iterate(setup, &mut thinned, disk, SHARE_OF_TOLERANCE * tolerance, MOST_THINNED)? {
            return Ok(false);
        }
    }
    Ok(false)
}

/// Takes the derivatives of the annuli that have not settled; of all where all have.
fn learn_derivatives(setup: &Setup, grid: &mut Grid, disk: Option<&DiskState>) -> Result<(), PointError> {
    let all = grid.groups.iter().all(GroupState::done);
    for (g, group) in grid.groups.iter_mut().enumerate() {
        if all || !group.done() {
            group.learn_derivatives(setup, g, &mut grid.ring, disk.map(|d| &d.harmonic))?;
        }
    }
    Ok(())
}

/// Iterates one grid from where its groups were swept last; whether it settles.
fn iterate(
    setup: &Setup,
    grid: &mut Grid,
    disk: &mut Option<DiskState>,
    tolerance: f64,
    most: usize,
) -> Result<bool, PointError> {
    for iteration in 0..most {
        if iteration % ITERATIONS_A_DERIVATIVE == ITERATIONS_A_DERIVATIVE - 1 && iteration < LAST_DERIVATIVE {
            learn_derivatives(setup, grid, disk.as_ref())?;
        }
        for (g, group) in grid.groups.iter_mut().enumerate() {
            // Annuli know nothing of each other but through the disk's first harmonic.
            if disk.is_none() && group.done() {
                continue;
            }
            if iteration >= ITERATIONS_A_DERIVATIVE {
                group.draw_closely();
            }
            if iteration > 0 {
                group.evaluate(setup, g, &mut grid.ring, disk.as_ref().map(|d| &d.harmonic))?;
            }
            group.step(tolerance);
        }
        let settled = grid.groups.iter().all(|g| g.done());
        if let Some(disk) = disk {
            disk.take(&Asked::new(setup, &grid.groups), tolerance);
        }
        if settled && disk.as_ref().is_none_or(|d| d.done) {
            return Ok(true);
        }
    }
    Ok(false)
}
