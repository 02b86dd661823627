//! Threads that compute the points of a sweep.

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;

use super::{PointRow, PointStatus};
use crate::case::{Case, PointCase, SweepPoints};
use crate::point::Kept;
use crate::point::result::PointResult;
use crate::trim::{self, TrimError};

/// Finished points that may wait to be written.
const WAITING: usize = 64;

/// Computes the pending points on some threads and hands each to `receive` as it is done, in no order; ends when all are done
/// or `stop` is set, whatever is in hand finished.
pub(super) fn compute<R>(
    case: &Case,
    pending: &[usize],
    threads: usize,
    stop: &AtomicBool,
    receive: impl FnOnce(Receiver<PointRow>) -> R,
) -> R {
    let texts = case.input_texts();
    let next = AtomicUsize::new(0);
    thread::scope(|scope| {
        let (sender, receiver) = sync_channel(WAITING);
        for _ in 0..threads.clamp(1, pending.len().max(1)) {
            let (sender, texts, next) = (sender.clone(), &texts, &next);
            scope.spawn(move || work(case, texts, pending, next, stop, &sender));
        }
        drop(sender);
        receive(receiver)
    })
}

fn work(
    case: &Case,
    texts: &BTreeMap<String, String>,
    pending: &[usize],
    next: &AtomicUsize,
    stop: &AtomicBool,
    sender: &SyncSender<PointRow>,
) {
    let Some(mut points) = SweepPoints::new(case, texts) else { return };
    let mut kept = Kept::for_shares();
    while !stop.load(Ordering::Relaxed) {
        let Some(&index) = pending.get(next.fetch_add(1, Ordering::Relaxed)) else { return };
        // The receiver hangs up where it cannot write; then there is nothing left to do.
        if sender.send(row(&mut points, index, &mut kept)).is_err() {
            return;
        }
    }
}

/// One point, which alone decides about its row.
fn row(points: &mut SweepPoints, index: usize, kept: &mut Kept) -> PointRow {
    let answer = match points.point(index) {
        Ok(point) => solved(&point, kept).map(Into::into),
        Err(problems) => Err((PointStatus::Refused, problems.to_string())),
    };
    PointRow { index, answer }
}

/// A fault of the program at one point must not cost the other points.
fn solved(point: &PointCase, kept: &mut Kept) -> Result<PointResult, (PointStatus, String)> {
    match catch_unwind(AssertUnwindSafe(|| trim::solve_keeping(&point.point, point.trim.as_ref(), kept))) {
        Ok(Ok(flown)) => Ok(flown.result),
        Ok(Err(TrimError::Point(error))) => Err((PointStatus::NotSolved, error.to_string())),
        Ok(Err(error)) => Err((PointStatus::NotTrimmed, error.to_string())),
        Err(_) => {
            *kept = Kept::for_shares();
            let words = "the program failed at this point, which is a fault of the program: please report it with \
                         the case";
            Err((PointStatus::NotSolved, words.to_owned()))
        }
    }
}
