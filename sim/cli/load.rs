//! A case from a case file or from a result file, which holds its case and inputs.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use wakebeat_engine::case::{self, Case};
use wakebeat_engine::record;

use crate::args::CaseArgs;
use crate::failure::Failure;

/// Loads the case and applies the changes of `--set`.
///
/// # Errors
/// All problems of the case at once, or what is wrong with the result file.
pub fn load(args: &CaseArgs) -> Result<Case, Failure> {
    if !is_hdf5(&args.case) {
        return Ok(case::load(&args.case, &args.sets)?);
    }
    Ok(record::read_case(&args.case)?.case(&args.case.display().to_string(), &args.sets)?)
}

/// Whether a file begins with the signature of HDF5, ours or not.
fn is_hdf5(file: &Path) -> bool {
    const SIGNATURE: &[u8; 8] = b"\x89HDF\r\n\x1a\n";
    let mut start = [0; SIGNATURE.len()];
    File::open(file).and_then(|mut file| file.read_exact(&mut start)).is_ok_and(|()| start == *SIGNATURE)
}

/// The case a result file of any kind holds.
///
/// # Errors
/// All problems of the case at once, or what is wrong with the file.
pub fn of_result(file: &Path, sets: &[String]) -> Result<Case, Failure> {
    Ok(record::read_case(file)?.case(&file.display().to_string(), sets)?)
}
