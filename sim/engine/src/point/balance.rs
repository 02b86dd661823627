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

/// One grid of azimuths.
pub(super) struct Grid {
    /// The annuli, eight at a time.
    pub groups: Vec<GroupState>,
    ring: Ring,
}

impl Grid {
    /// Of annuli whose full grid is to be balanced to within `tolerance`.
    fn new(setup: &Setup, groups: Vec<GroupState>, tolerance: f64) -> Self {
        let ring = Ring::new(groups[0].azimuths(), setup.point.propeller.blade_count, tolerance);
        Self { groups, ring }
    }

    /// Annuli of a grid with their wakes at a limit of suction, from where they stand.
    pub(super) fn limited(setup: &Setup, groups: &[GroupState], limit: Suction, tolerance: f64) -> Self {
        Self::new(setup, groups.iter().map(|group| group.limited(limit)).collect(), tolerance)
    }

    /// All annuli, and with `dynamic` induction the disk, on every `stride`-th azimuth, no blade having swept them yet.
    fn unswept(setup: &Setup, stride: usize, tolerance: f64) -> (Self, Option<DiskState>) {
        let groups: Vec<GroupState> =
            (0..setup.ahead.groups.len()).map(|g| GroupState::new(setup, g, stride)).collect();
        let disk =
            (setup.point.solver.induction == Induction::Dynamic).then(|| DiskState::new(setup, &groups));
        (Self::new(setup, groups, tolerance), disk)
    }

    /// Starts all annuli in the mean flow with its wakes.
    fn begin_in_wakes(&mut self, setup: &Setup) -> Result<(), PointError> {
        for (g, group) in self.groups.iter_mut().enumerate() {
            group.begin_in_wakes(setup, g, &mut self.ring)?;
        }
        Ok(())
    }

    /// The same annuli on every `stride`-th azimuth.
    fn thinned(&self, setup: &Setup, stride: usize) -> Self {
        let groups = self.groups.iter().map(|group| group.thinned(stride)).collect();
        Self::new(setup, groups, self.ring.tolerance)
    }

    /// Sweeps all annuli where they stand.
    ///
    /// # Errors
    /// [`PointError::NotFinite`] naming the radius.
    fn evaluate(&mut self, setup: &Setup, disk: Option<&DiskState>) -> Result<(), PointError> {
        for (g, group) in self.groups.iter_mut().enumerate() {
            group.evaluate(setup, g, &mut self.ring, disk.map(|d| &d.harmonic))?;
        }
        Ok(())
    }

    /// Settles a thinned grid that was made that of the full one, from where it stands; whether it settles.
    ///
    /// # Errors
    /// As [`balance`].
    pub(super) fn settle_anew(
        &mut self,
        setup: &Setup,
        disk: &mut Option<DiskState>,
    ) -> Result<bool, PointError> {
        self.evaluate(setup, disk.as_ref())?;
        let tolerance = SHARE_OF_TOLERANCE * self.ring.tolerance;
        iterate(setup, self, disk, tolerance, MOST_THINNED)
    }

    /// Sweeps all annuli at the induced velocities of those on another grid.
    ///
    /// # Errors
    /// As [`Self::evaluate`].
    pub(super) fn follow(
        &mut self,
        setup: &Setup,
        other: &Self,
        disk: Option<&DiskState>,
    ) -> Result<(), PointError> {
        self.groups.iter_mut().zip(&other.groups).for_each(|(group, other)| group.follow(other));
        self.evaluate(setup, disk)
    }
}

/// All annuli and the disk in balance.
pub(super) struct Balanced {
    /// The annuli, eight at a time.
    pub groups: Vec<GroupState>,
    /// The first harmonic of `dynamic` induction.
    pub disk: Option<DiskState>,
    /// The thinned grid that led there, made that of the full one; `None` where the full grid was iterated by itself.
    pub thinned: Option<Grid>,
}

/// Balances all annuli, eight at a time, and with `dynamic` induction the disk as a whole.
///
/// # Errors
/// [`PointError`] naming the radius that does not settle.
pub(super) fn balance(setup: &Setup) -> Result<Balanced, PointError> {
    let (mut full, mut disk) = Grid::unswept(setup, 1, setup.point.solver.tolerance);
    if let Some(stride) = stride(setup)
        && let Some(thinned) = by_thinned_grid(setup, &mut full, &mut disk, stride)?
    {
        return Ok(Balanced { groups: full.groups, disk, thinned: Some(thinned) });
    }
    on_full_grid(setup, full, disk)
}

/// Balances all annuli and the disk on the thinned grid alone, to within [`FIRST_TOLERANCE`]: where the answer lies, for a tenth of its
/// cost.
///
/// # Errors
/// As [`balance`].
pub(super) fn balance_roughly(setup: &Setup) -> Result<Vec<GroupState>, PointError> {
    let tolerance = setup.point.solver.tolerance.max(FIRST_TOLERANCE);
    let (mut thinned, mut disk) = Grid::unswept(setup, stride(setup).unwrap_or(1), tolerance);
    thinned.begin_in_wakes(setup)?;
    if settle_first(setup, &mut thinned, &mut disk)? {
        return Ok(thinned.groups);
    }
    Ok(on_full_grid(setup, thinned, disk)?.groups)
}

/// Iterates the full grid by itself.
///
/// # Errors
/// As [`balance`].
pub(super) fn on_full_grid(
    setup: &Setup,
    mut full: Grid,
    mut disk: Option<DiskState>,
) -> Result<Balanced, PointError> {
    disk.iter_mut().for_each(DiskState::uncorrected);
    full.groups.iter_mut().for_each(GroupState::reopen);
    full.evaluate(setup, disk.as_ref())?;
    let tolerance = full.ring.tolerance;
    if iterate(setup, &mut full, &mut disk, tolerance, MOST_ITERATIONS)? {
        return Ok(Balanced { groups: full.groups, disk, thinned: None });
    }
    let late = full.groups.iter().find(|g| !g.done());
    Err(late
        .map_or(PointError::DiskNotSettled { iterations: MOST_ITERATIONS }, |g| g.complaint(MOST_ITERATIONS)))
}

/// Most azimuths to a thinned one that divide the ring and leave the carried multiples of NP four points a cycle.
fn stride(setup: &Setup) -> Option<usize> {
    let azimuths = setup.ahead.azimuth_rad.len();
    let fewest = FEWEST_AZIMUTHS.max(4 * MULTIPLES * setup.point.propeller.blade_count);
    Some(even_stride(azimuths, azimuths / fewest)).filter(|stride| *stride > 1)
}

/// Balances the full grid by the thinned one, which is returned; `None` where that did not lead to the end.
fn by_thinned_grid(
    setup: &Setup,
    full: &mut Grid,
    disk: &mut Option<DiskState>,
    stride: usize,
) -> Result<Option<Grid>, PointError> {
    let tolerance = full.ring.tolerance;
    let mut thinned = full.thinned(setup, stride);
    thinned.begin_in_wakes(setup)?;
    if !settle_first(setup, &mut thinned, disk)? {
        return Ok(None);
    }
    // Near the answer the derivative serves to the end.
    learn_derivatives(setup, &mut thinned, disk.as_ref())?;
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
            return Ok(Some(thinned));
        }
        let told = full.groups.iter().zip(swept).map(|(group, swept)| swept.then_some(group));
        if !settle_corrected(setup, &mut thinned, told, (disk, asked))? {
            return Ok(None);
        }
    }
    Ok(None)
}

/// Settles a thinned grid before the full one is swept; whether it settles.
fn settle_first(setup: &Setup, thinned: &mut Grid, disk: &mut Option<DiskState>) -> Result<bool, PointError> {
    let tolerance = thinned.ring.tolerance.max(FIRST_TOLERANCE);
    iterate(setup, thinned, disk, tolerance, MOST_THINNED)
}

/// Settles a thinned grid made that of the full one by what the annuli of that, where they were swept, and the harmonic asked for
/// there tell; whether it settles.
fn settle_corrected<'a>(
    setup: &Setup,
    thinned: &mut Grid,
    full: impl Iterator<Item = Option<&'a GroupState>>,
    (disk, asked): (&mut Option<DiskState>, Option<Asked>),
) -> Result<bool, PointError> {
    for (group, full) in thinned.groups.iter_mut().zip(full) {
        if let Some(full) = full {
            group.correct_by(full);
        }
    }
    if let Some((disk, asked)) = disk.as_mut().zip(asked) {
        disk.correct_by(&asked, &Asked::new(setup, &thinned.groups));
    }
    let tolerance = SHARE_OF_TOLERANCE * thinned.ring.tolerance;
    iterate(setup, thinned, disk, tolerance, MOST_THINNED)
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
