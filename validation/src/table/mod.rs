//! The table: rows that compare published values with ours, verdicts, and statistics by set.

mod band;
mod check;
mod known;
mod markdown;
mod printed;
mod row;
mod run;
mod select;
mod summary;

pub use band::Band;
pub use check::{Check, CheckError, Fineness};
pub use known::{KNOWN, Known, MOST_KNOWN_SHARE};
pub use markdown::{README_BEGIN, README_END, markdown, same_table};
pub use printed::printed;
pub use row::{Point, Row, Text};
pub use run::{Judged, Moved, Table, Verdict, convergence, held_against, run};
pub use select::Pattern;
pub use summary::{Summary, summaries};
