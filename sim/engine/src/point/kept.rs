//! What points computed before leave to those that come next.
//!
//! A search for the shaft speed that meets a thrust, a sweep over pitch or blade count, the loads of a mount at many shaft speeds: all
//! solve many points behind the same airframe. What lies ahead ([`super::ahead`]) is found for the first of them, and a point that was
//! balanced last is not balanced again. Neither depends on anything but the point itself, so that every answer is the same, bit for
//! bit, whatever was computed before.

use std::sync::Arc;

use super::ahead::Ahead;
use super::balance::{Balanced, balance};
use super::error::PointError;
use super::input::{OperatingPoint, Propeller, Solver};
use super::setup::Setup;

/// Most propellers' points kept: those of one aircraft, as a rule.
const MOST: usize = 4;

/// What lies ahead of the propellers of the last points, and how they were balanced.
#[derive(Default)]
pub struct Kept {
    /// The newest last.
    entries: Vec<Entry>,
    /// Whether the point that a search ends at will be asked for the shares of its sources.
    shares: bool,
}

struct Entry {
    ahead: Arc<Ahead>,
    balanced: Option<(Propeller, Solver, Balanced)>,
}

impl Kept {
    /// Nothing yet, for searches that end at points solved with the shares of their sources.
    #[must_use]
    pub fn for_shares() -> Self {
        Self { shares: true, ..Self::default() }
    }

    /// Prepares a point for a search.
    ///
    /// # Errors
    /// As [`Self::setup`].
    pub(super) fn setup_searching<'a>(
        &mut self,
        point: &'a OperatingPoint,
        orders: usize,
    ) -> Result<Setup<'a>, PointError> {
        self.setup(point, orders, self.shares)
    }

    /// Prepares a point, `orders` harmonics kept, with or without the shares of its sources.
    ///
    /// # Errors
    /// As [`Ahead::new`].
    pub(super) fn setup<'a>(
        &mut self,
        point: &'a OperatingPoint,
        orders: usize,
        shares: bool,
    ) -> Result<Setup<'a>, PointError> {
        let share_orders = shares.then(|| Setup::share_orders_of(point, orders));
        let known = self.entries.iter().position(|entry| entry.ahead.serves(point, share_orders));
        let entry = match known {
            Some(place) => self.entries.remove(place),
            None => {
                let ahead = Ahead::new(point, Vec::new(), share_orders)?;
                Entry { ahead: Arc::new(ahead), balanced: None }
            }
        };
        let ahead = Arc::clone(&entry.ahead);
        if self.entries.len() == MOST {
            self.entries.remove(0);
        }
        self.entries.push(entry);
        Ok(Setup::behind(point, ahead, orders))
    }

    /// The balance of a point prepared by [`Self::setup`]: the one kept for it, which is handed out, or a new one.
    ///
    /// # Errors
    /// [`PointError`] naming the radius that does not settle.
    pub(super) fn balance(&mut self, setup: &Setup) -> Result<Balanced, PointError> {
        let kept = self.entry(setup).and_then(|entry| entry.balanced.take());
        match kept {
            Some((propeller, solver, balanced))
                if propeller == setup.point.propeller && solver == setup.point.solver =>
            {
                Ok(balanced)
            }
            _ => balance(setup),
        }
    }

    /// Keeps a balance for the same point to come.
    pub(super) fn keep(&mut self, setup: &Setup, balanced: Balanced) {
        if let Some(entry) = self.entry(setup) {
            let point = setup.point;
            entry.balanced = Some((point.propeller.clone(), point.solver.clone(), balanced));
        }
    }

    fn entry(&mut self, setup: &Setup) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|entry| Arc::ptr_eq(&entry.ahead, &setup.ahead))
    }
}
