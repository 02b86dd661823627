//! `wakebeat plot`: the pictures of a result file.

use std::path::{Path, PathBuf};

use serde_json::json;
use wakebeat_engine::record;
use wakebeat_postproc::{
    Folder, PictureFormat, draw_march, draw_mount, draw_run, draw_sizing, draw_sweep, sizing,
};

use crate::args::{Format, PlotArgs};
use crate::failure::Failure;
use crate::interrupt;
use crate::load::of_result;
use crate::output::Output;

/// Draws the pictures and lists them.
///
/// # Errors
/// When the file is no result file, a picture would replace a file that is not ours, or the folder cannot be written.
pub fn plot(args: &PlotArgs, output: Output) -> Result<(), Failure> {
    let dir = args.dir.clone().unwrap_or_else(|| default_dir(&args.file));
    let folder = Folder { path: &dir, force: args.force };
    let format = match args.format {
        Format::Png => PictureFormat::Png,
        Format::Svg => PictureFormat::Svg,
    };
    interrupt::install()?;
    let pictures = match record::read_case(&args.file)?.kind.as_str() {
        "sweep" => {
            let sweep = record::read_sweep(&args.file)?;
            let _writing = interrupt::writing();
            draw_sweep(&sweep, &args.file.display().to_string(), folder, format)?
        }
        "mount" => {
            let mount = record::read_mount(&args.file)?;
            let case = of_result(&args.file, &[])?;
            let _writing = interrupt::writing();
            let mut all = Vec::new();
            if case.mount.is_some() {
                all.extend(draw_mount(&mount, &case.point, folder, format)?);
            }
            all.extend(draw_sizing(&sizing::read(&mount), &mount.program_version, folder, format)?);
            all
        }
        "march" => {
            let march = record::read_march(&args.file)?;
            let case = of_result(&args.file, &[])?;
            let _writing = interrupt::writing();
            draw_march(&march, &case.point, folder, format)?
        }
        _ => {
            let run = record::read_run(&args.file)?;
            let case = of_result(&args.file, &[])?;
            let _writing = interrupt::writing();
            draw_run(&run, &case.point, folder, format)?
        }
    };
    let names = || pictures.iter().map(|p| p.display().to_string()).collect::<Vec<_>>();
    output.answer(|| names().join("\n"), || json!({ "pictures": names() }))
}

/// `my-pusher.h5` → `my-pusher-pictures`, in the current folder.
fn default_dir(file: &Path) -> PathBuf {
    let mut name = file.file_stem().unwrap_or_default().to_os_string();
    name.push("-pictures");
    PathBuf::from(name)
}
