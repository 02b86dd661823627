//! Computes the table: checks side by side, rows in a fixed order, verdicts.

use rayon::prelude::*;

use super::band::Band;
use super::check::{Check, Fineness};
use super::known::{KNOWN, Known, MOST_KNOWN_SHARE};
use super::row::{Row, Text};
use super::select::Pattern;

/// What becomes of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Inside its band.
    Pass,
    /// Outside, and on the list of known failures.
    Known,
    /// Outside, and not on the list.
    Fail,
}

impl Verdict {
    /// As printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "PASS",
            Self::Known => "KNOWN",
            Self::Fail => "FAIL",
        }
    }
}

/// A row with its check, its verdict and what is known of it.
#[derive(Debug, Clone)]
pub struct Judged {
    /// Topic of the check.
    pub topic: &'static str,
    /// Set of the check.
    pub set: Text,
    /// Source of the check.
    pub source: &'static str,
    /// The row.
    pub row: Row,
    /// What becomes of it.
    pub verdict: Verdict,
    /// Its entry in the list of known failures.
    pub known: Option<&'static Known>,
    /// Why there is no number.
    pub no_answer: Option<String>,
}

/// Whether the rows of a check are held against something nobody published: a limit that a trend has to keep, a rule of the trade.
#[must_use]
pub fn held_against(check: &[Judged]) -> bool {
    let trend = |judged: &Judged| matches!(judged.row.band, Band::Above | Band::Below);
    check.iter().all(trend) || check.iter().all(|judged| judged.source.ends_with("no source"))
}

impl Judged {
    /// `topic/set/quantity`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}/{}/{}", self.topic, self.set, self.row.quantity)
    }

    /// Listed as known, yet inside its band: the list is out of date.
    #[must_use]
    pub fn passes_though_known(&self) -> bool {
        self.verdict == Verdict::Pass && self.known.is_some()
    }

    fn new(check: &Check, row: Row, no_answer: Option<String>) -> Self {
        let mut judged = Self {
            topic: check.topic,
            set: check.set.clone(),
            source: check.source,
            row,
            verdict: Verdict::Pass,
            known: None,
            no_answer,
        };
        let name = judged.name();
        judged.known = KNOWN.iter().find(|known| known.fits(&name));
        judged.verdict = match (judged.row.used() <= 1.0, judged.known) {
            (true, _) => Verdict::Pass,
            (false, Some(_)) => Verdict::Known,
            (false, None) => Verdict::Fail,
        };
        judged
    }
}

/// The table, or the part of it that was asked for.
#[derive(Debug, Clone)]
pub struct Table {
    /// Rows in the order of the topics.
    pub rows: Vec<Judged>,
    /// Whether every check was run.
    pub whole: bool,
}

impl Table {
    /// Rows with a verdict.
    #[must_use]
    pub fn count(&self, verdict: Verdict) -> usize {
        self.rows.iter().filter(|row| row.verdict == verdict).count()
    }

    /// Whether more rows are known failures than the list may hold; told of the whole table only.
    #[must_use]
    pub fn too_many_known(&self) -> bool {
        self.whole && self.count(Verdict::Known) as f64 > MOST_KNOWN_SHARE * self.rows.len() as f64
    }

    /// Whether the check of the engine failed: a row fails, a known failure passes, or too many are known. `strict` takes
    /// known failures as failures.
    #[must_use]
    pub fn failed(&self, strict: bool) -> bool {
        self.count(Verdict::Fail) > 0
            || self.rows.iter().any(Judged::passes_though_known)
            || self.too_many_known()
            || strict && self.count(Verdict::Known) > 0
    }
}

/// Runs the checks that a pattern means; where it names rows and not checks, all are run and those rows kept.
///
/// `progress` is called with the number of checks done, of all, and the name of the one that ended.
pub fn run(
    checks: &[Check],
    only: Option<&Pattern>,
    fineness: Fineness,
    progress: &(dyn Fn(usize, usize, &str) + Sync),
) -> Table {
    let fits = |check: &&Check| only.is_none_or(|pattern| pattern.fits(&check.name()));
    let mut chosen: Vec<&Check> = checks.iter().filter(fits).collect();
    let by_row = chosen.is_empty();
    if by_row {
        chosen = checks.iter().collect();
    }
    let whole = chosen.len() == checks.len() && !by_row;
    let done = std::sync::atomic::AtomicUsize::new(0);
    let per_check: Vec<Vec<Judged>> = chosen
        .par_iter()
        .map(|check| {
            let rows = judge(check, fineness);
            let now = 1 + done.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
            progress(now, chosen.len(), &check.name());
            rows
        })
        .collect();
    let mut rows: Vec<Judged> = per_check.into_iter().flatten().collect();
    if let (true, Some(pattern)) = (by_row, only) {
        rows.retain(|row| pattern.fits(&row.name()));
    }
    Table { rows, whole }
}

fn judge(check: &Check, fineness: Fineness) -> Vec<Judged> {
    match check.rows(fineness) {
        Ok(rows) => rows.into_iter().map(|row| Judged::new(check, row, None)).collect(),
        Err(error) => {
            let row = Row::single("no answer", "no answer", f64::NAN, f64::NAN)
                .within(Band::Absolute(0.0), "an answer is expected");
            vec![Judged::new(check, row, Some(error.to_string()))]
        }
    }
}

/// A row that moves by more than a tenth of its band when stations and azimuths double.
#[derive(Debug, Clone)]
pub struct Moved {
    /// `topic/set/quantity`.
    pub name: String,
    /// Largest movement over the band.
    pub share_of_band: f64,
    /// Where it is largest.
    pub at: f64,
}

/// Compares a table with the one of twice the stations and azimuths: every row with its largest movement over the band.
#[must_use]
pub fn convergence(coarse: &Table, fine: &Table) -> Vec<Moved> {
    coarse
        .rows
        .iter()
        .map(|a| {
            let same = |b: &&Judged| (b.topic, &b.set, &b.row.quantity) == (a.topic, &a.set, &a.row.quantity);
            // A row that the finer grid does not yield has moved out of sight.
            let lost = Moved { name: a.name(), share_of_band: f64::INFINITY, at: 0.0 };
            fine.rows.iter().find(same).map_or(lost, |b| moved(a, b))
        })
        .collect()
}

fn moved(a: &Judged, b: &Judged) -> Moved {
    let band = a.row.band;
    let moves = a.row.judged().zip(b.row.judged()).map(|(p, q)| {
        let moved = (p.ours - q.ours).abs() / band.width(p.published, p.ours);
        (p.at, if moved.is_nan() { f64::INFINITY } else { moved })
    });
    let (at, share_of_band) = moves.fold((0.0, 0.0), |most, next| if next.1 > most.1 { next } else { most });
    Moved { name: a.name(), share_of_band, at }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::Point;

    fn check(ours: f64) -> Check {
        Check::new("topic", "set", "nobody", move |fineness| {
            let ours = ours + 0.01 * (fineness.0 as f64 - 1.0);
            Ok(vec![Row::single("x", "x", 1.0, ours).within(Band::Relative(0.05), "test")])
        })
    }

    fn table(ours: f64, fineness: usize) -> Table {
        run(&[check(ours)], None, Fineness(fineness), &|_, _, _| ())
    }

    #[test]
    fn verdicts_follow_the_band() {
        assert_eq!(table(1.04, 1).rows[0].verdict, Verdict::Pass);
        assert!(!table(1.04, 1).failed(true));
        assert_eq!(table(1.06, 1).rows[0].verdict, Verdict::Fail);
        assert!(table(1.06, 1).failed(false));
    }

    #[test]
    fn a_check_without_an_answer_fails_and_says_why() {
        let broken = Check::new("topic", "set", "nobody", |_| Err(CheckError::refused("no wind")));
        let table = run(&[broken], None, Fineness(1), &|_, _, _| ());
        assert_eq!(table.rows[0].verdict, Verdict::Fail);
        assert_eq!(table.rows[0].no_answer.as_deref(), Some("no wind"));
    }

    #[test]
    fn movement_is_told_as_a_share_of_the_band() {
        let moved = convergence(&table(1.0, 1), &table(1.0, 2));
        assert!((moved[0].share_of_band - 0.2).abs() < 1e-9);
    }

    #[test]
    fn a_pattern_of_rows_keeps_those_rows() {
        let two = Check::new("topic", "set", "nobody", |_| {
            let row = |name| Row::curve(name, "x", "", vec![Point::new(0.0, 1.0, 1.0)]);
            Ok(vec![row("one").within(Band::Absolute(1.0), ""), row("two").within(Band::Absolute(1.0), "")])
        });
        let kept = run(&[two], Some(&Pattern::new("two")), Fineness(1), &|_, _, _| ());
        assert_eq!(kept.rows.len(), 1);
        assert_eq!(kept.rows[0].row.quantity, "two");
        assert!(!kept.whole);
    }

    use super::super::check::CheckError;
}
