//! The command line: commands, options and the help texts that teach units and frames.

use std::path::PathBuf;

use clap::builder::PossibleValue;
use clap::builder::PossibleValuesParser;
use clap::{Args, Parser, Subcommand, ValueEnum};
use wakebeat_engine::case::scenarios;
use wakebeat_engine::study::Shard;

/// Unsteady loads of a propeller that turns in the wake of the aircraft ahead of it
#[derive(Debug, Parser)]
#[command(
    name = "wakebeat",
    version,
    about,
    long_about = LONG_ABOUT,
    after_help = "Start with\n  wakebeat new my-pusher && wakebeat run my-pusher/case.toml",
    after_long_help = AFTER_LONG_HELP,
    subcommand_required = true,
    arg_required_else_help = true
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,

    /// How to say it.
    #[command(flatten)]
    pub output: OutputArgs,
}

const LONG_ABOUT: &str = "\
Unsteady loads of a propeller that turns in the wake of the aircraft ahead of it.

For one operating point wakebeat computes, over a revolution, what each blade meets behind wings, tails, \
struts and bodies, the loads of the blades and of the hub, and their harmonics: how much thrust, bending moment and side \
force shakes the mount at 1P, NP and 2NP (N: number of blades, nP: n cycles per shaft revolution).";

// Lines of the tails stay below 80 columns, so that no terminal breaks them.
const AFTER_LONG_HELP: &str = "\
Units and frames
  SI. Degrees and rpm only where people type and read, and always in the key's
  name: tilt_deg, speed_rpm.
  Aircraft axes: x aft, y starboard, z up, in metres, any origin.
  Angle of attack is positive when air comes from below, sideslip when it comes
  from starboard.
  Hub loads are those of the propeller on the airframe, shaft-aligned, about the
  hub: thrust forward, side force starboard, vertical force up, rolling moment
  starboard side down, pitching moment nose up, yawing moment nose to starboard;
  torque is positive when the propeller absorbs power.
  Amplitudes are single-sided peaks: half of peak-to-peak for a single tone.

Exit codes
  0 good, 1 a check failed, 2 bad input or failure, 130 ended by Ctrl-C.
  Data goes to stdout, the rest to stderr. With --json an error is an object on
  stderr: error (the text) and problems, a list with file, line, key, value,
  what, allowed and hint, null where there is none. Exit codes stay.

Example
  wakebeat new my-pusher
  wakebeat check my-pusher/case.toml
  wakebeat run my-pusher/case.toml --set propeller.blade_count=3
  wakebeat plot my-pusher.h5
  wakebeat report my-pusher.h5";

/// Options of every command.
#[derive(Debug, Clone, Copy, Args)]
pub struct OutputArgs {
    /// Print the answer as JSON on stdout, units in the keys; errors as JSON on stderr
    #[arg(long, global = true)]
    pub json: bool,

    /// Print errors only, and what --json asks for
    #[arg(long, short, global = true)]
    pub quiet: bool,
}

/// The commands of this version.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Write a commented starter case that runs as it is
    New(NewArgs),
    /// Show every value and its origin, and what the geometry implies; compute nothing
    Check(CheckArgs),
    /// Compute one operating point, write a result file, print a summary
    Run(RunArgs),
    /// Compute the grid of [[sweep.axis]], in parts that can be continued
    Sweep(SweepArgs),
    /// Put the shards of a sweep together
    Merge(MergeArgs),
    /// Rank the candidates of a sweep without computing anything anew
    Choose(ChooseArgs),
    /// March a schedule of speed, airspeed and attitude in time, mount in the loop
    March(MarchArgs),
    /// Compute what shakes on the motor mount, its spectra over a duty cycle, its limit loads
    Mount(MountArgs),
    /// Draw the pictures of a result file
    Plot(PlotArgs),
    /// Make one page to mail from result files: geometry, loads, why, how sure, cautions
    Report(ReportArgs),
    /// Compare the engine with published results and print the table
    Validate(ValidateArgs),
    /// Tell what a key of the case file means: unit, type, default, range, model
    Explain(ExplainArgs),
    /// Print every key of a case file with unit, default and range, as a JSON schema
    #[command(after_help = SCHEMA_HELP)]
    Schema,
    /// Print what a shell needs to complete commands and options
    Completions(CompletionsArgs),
    /// Print the manual page of wakebeat or of a command, or write all pages into a folder
    Man(ManArgs),
}

const SCHEMA_HELP: &str = "\
Editors with a TOML language server complete and check a case whose first line
is
  #:schema ./case.schema.json
`wakebeat new DIR --schema` writes a case with that line and the schema.

Example
  wakebeat schema > my-pusher/case.schema.json";

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(after_help = "\
Files that exist are never overwritten.

Examples
  wakebeat new my-pusher && wakebeat run my-pusher/case.toml
  wakebeat new --list
  wakebeat new my-mount --scenario mount-response")]
pub struct NewArgs {
    /// Folder to write the case into; made if it does not exist
    #[arg(required_unless_present = "list")]
    pub dir: Option<PathBuf>,

    /// Which starter case [default: survey-pusher]
    #[arg(long, value_name = "NAME", value_parser = scenario_names())]
    pub scenario: Option<String>,

    /// Write case.schema.json too and name it in the first line of the case, so that editors complete and check keys
    #[arg(long)]
    pub schema: bool,

    /// List the starter cases, one line each, and write nothing
    #[arg(long, conflicts_with_all = ["dir", "scenario", "schema"])]
    pub list: bool,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
#[command(after_help = "\
KEY is the path of a key, the name of a group or the beginning of either. The
name of a surface or body may be given, left open or left out:
surface.wing.span_m, surface.NAME.span_m and surface.span_m are the same key.
Without KEY the groups are listed.

Examples
  wakebeat explain placement.shaft_offset_m
  wakebeat explain propeller
  wakebeat explain stiffness
  wakebeat explain --all --markdown > KEYS.md")]
pub struct ExplainArgs {
    /// Key, group of keys, or the beginning of one
    #[arg(conflicts_with = "all")]
    pub key: Option<String>,

    /// Every key
    #[arg(long)]
    pub all: bool,

    /// Print all keys as the reference page, in Markdown
    #[arg(long, requires = "all", conflicts_with = "json")]
    pub markdown: bool,
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
#[command(after_help = "\
Examples
  wakebeat completions bash > ~/.local/share/bash-completion/completions/wakebeat
  wakebeat completions zsh > ~/.zfunc/_wakebeat
  wakebeat completions fish > ~/.config/fish/completions/wakebeat.fish")]
pub struct CompletionsArgs {
    /// Which shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// Arguments of `man`.
#[derive(Debug, Args)]
#[command(after_help = "\
Pages that exist in DIR are replaced.

Examples
  wakebeat man run > wakebeat-run.1 && man -l wakebeat-run.1
  wakebeat man -o ~/.local/share/man/man1 && man wakebeat")]
pub struct ManArgs {
    /// Command whose page to print [default: the page of wakebeat]
    #[arg(conflicts_with = "output")]
    pub command: Option<String>,

    /// Folder to write all pages into, one a command; made if it does not exist
    #[arg(long, short, value_name = "DIR")]
    pub output: Option<PathBuf>,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
#[command(after_help = "\
All problems of a case are listed at once, with file, key path, value and
allowed range.

Example
  wakebeat check my-pusher/case.toml --set placement.shaft_offset_m=0.03")]
pub struct CheckArgs {
    /// The case and its changes.
    #[command(flatten)]
    pub case: CaseArgs,
}

/// Arguments of every command that reads a case.
#[derive(Debug, Args)]
pub struct CaseArgs {
    /// Case file (TOML), or a result file, which holds its case and inputs
    pub case: PathBuf,

    /// Replace a value of the case, for instance propeller.speed_rpm=6000; may be repeated
    ///
    /// VALUE is read as TOML, or as text where it is not TOML. The key path addresses surfaces, flaps and
    /// bodies by name: surface.wing.incidence_deg=2, body.fuselage.drag_coefficient=0.15. Units are those in the key's name.
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true)]
    pub sets: Vec<String>,
}

/// Arguments of `run`.
#[derive(Debug, Args)]
#[command(after_help = "\
Forces in N, moments in N m, of the propeller on the airframe, shaft-aligned,
about the hub. Amplitudes are single-sided peaks at nP, n cycles per shaft
revolution. An earlier result file is replaced, another file is not.

Examples
  wakebeat run my-pusher/case.toml
  wakebeat run my-pusher/case.toml --set placement.shaft_offset_m=0.06
  wakebeat run my-pusher.h5 --set solver.suction=far -o far.h5")]
pub struct RunArgs {
    /// The case and its changes.
    #[command(flatten)]
    pub case: CaseArgs,

    /// Result file to write [default: name of the case's folder + .h5, in the current folder]
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Overwrite the output even if it is not a result file of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `march`.
#[derive(Debug, Args)]
#[command(after_help = "\
The case needs [mount], [[isolator]] and two or more [[schedule]] rows with
name, time_s, and what changes: speed_rpm, airspeed_m_s, angle_of_attack_deg,
flap_change_deg; between rows everything follows a straight line. Harmonics are
kept for every revolution, full histories where a row says record = true.
Ctrl-C finishes the revolution in hand and keeps what is marched so far.

Example
  wakebeat march my-pusher/case.toml -o run-up.h5")]
pub struct MarchArgs {
    /// The case and its changes.
    #[command(flatten)]
    pub case: CaseArgs,

    /// Result file to write [default: name of the case's folder + .h5, in the current folder]
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Overwrite the output even if it is not a result file of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `mount`.
#[derive(Debug, Args)]
#[command(after_help = "\
The case needs [mount] and [[isolator]], or [duty]. Positions of motor and
isolators are from the hub in shaft axes (x aft along the shaft, y starboard,
z up), those of sensors in aircraft axes. Speeds to avoid are told in rpm; whirl
is judged on an immovable base. With [duty] the loads of every segment are
counted over the life, with [limit] the limit-load cases are worked out; both go
into FILE and into CSV tables. Earlier tables of wakebeat are replaced, other files
are not.

Examples
  wakebeat mount my-pusher/case.toml
  wakebeat mount my-pusher/case.toml --set duty.segment.loiter.duration_s=3000
  wakebeat mount my-pusher/case.toml --set isolator.top.stiffness_n_per_m=[4e4,2e4,2e4]")]
pub struct MountArgs {
    /// The case and its changes.
    #[command(flatten)]
    pub case: CaseArgs,

    /// Result file to write [default: name of the case's folder + .h5, in the current folder]
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Folder for the tables of spectra and limit loads, CSV; made if it does not exist [default: name of FILE + -tables, beside it]
    #[arg(long, value_name = "DIR")]
    pub tables: Option<PathBuf>,

    /// Overwrite the output even if it is not a result file of wakebeat, and tables that are not ours
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `sweep`.
#[derive(Debug, Args)]
#[command(after_help = "\
Each axis of the grid is a key and its values:
  [[sweep.axis]]
  key = \"placement.shaft_offset_m\"
  from = 0.0
  to = 0.08
  count = 9
The first axis varies slowest. Points that have no answer are marked and do not
stop the others. Ctrl-C finishes the points in hand; --resume computes the rest.
The file keeps harmonics, shares and summary of each point; a point with its
histories and disk maps is
  wakebeat run FILE --set KEY=VALUE

Examples
  wakebeat sweep my-pusher/case.toml
  wakebeat sweep my-pusher/case.toml --resume
  wakebeat sweep my-pusher/case.toml --shard 1/2 -o a.h5    on one machine
  wakebeat sweep my-pusher/case.toml --shard 2/2 -o b.h5    on another
  wakebeat merge a.h5 b.h5 -o my-pusher.h5")]
pub struct SweepArgs {
    /// The case and its changes.
    #[command(flatten)]
    pub case: CaseArgs,

    /// Result file to write [default: name of the case's folder + .h5, in the current folder]
    ///
    /// A shard adds its number to the default name. What is done so far is kept in FILE.parts.
    #[arg(long, short, value_name = "FILE")]
    pub output: Option<PathBuf>,

    /// Continue a sweep that was interrupted: compute only what is missing
    #[arg(long, conflicts_with = "restart")]
    pub resume: bool,

    /// Throw away what an interrupted sweep has done and start over
    #[arg(long)]
    pub restart: bool,

    /// Compute only the I-th of N shares of the grid, for `merge`
    #[arg(long, value_name = "I/N")]
    pub shard: Option<Shard>,

    /// Threads to compute with; the numbers do not depend on it [default: all cores]
    #[arg(long, value_name = "N", value_parser = threads)]
    pub threads: Option<std::num::NonZeroUsize>,

    /// Overwrite the output even if it is not a result file of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `merge`.
#[derive(Debug, Args)]
#[command(after_help = "\
The shards have to come from the same case, inputs and version, and together
hold each point once; the result is the file that one sweep would have written.

Example
  wakebeat merge a.h5 b.h5 -o my-pusher.h5")]
pub struct MergeArgs {
    /// Result files of `sweep --shard`, in any order
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,

    /// Result file to write
    #[arg(long, short, value_name = "FILE")]
    pub output: PathBuf,

    /// Overwrite the output even if it is not a result file of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `choose`.
#[derive(Debug, Args)]
#[command(after_help = "\
[choose] in the case says what to keep low and what may not be exceeded; --set
asks another question of the same file, at once. Loss is that of thrust for
power against the best candidate at the same condition, worst over those flown.

Loads kept low, choose.keep_low, all at blade passage, NP:
  thrust, side_force, bending, torque, index
      at the hub of [propeller]
  airframe_force, airframe_moment, airframe_index
      of all propellers together at the centre of gravity, in the phase of the
      case or, with choose.phases=any, at the worst
`wakebeat explain choose.keep_low` gives their definitions.

Examples
  wakebeat choose study.h5
  wakebeat choose study.h5 --set choose.keep_low=index --rows 30
  wakebeat choose twin.h5 --set choose.keep_low=airframe_force
  wakebeat choose study.h5 --rank 2 --write chosen/case.toml")]
pub struct ChooseArgs {
    /// Result file of `sweep`
    pub study: PathBuf,

    /// Replace a value of the case, for instance choose.keep_low=bending; may be repeated
    #[arg(long = "set", value_name = "KEY=VALUE", allow_hyphen_values = true)]
    pub sets: Vec<String>,

    /// Which candidate to hand on, from 1
    #[arg(long, value_name = "K", default_value_t = 1, value_parser = from_one)]
    pub rank: usize,

    /// Write that candidate as a case of its own, with the files it reads; nothing is overwritten
    #[arg(long, value_name = "CASE")]
    pub write: Option<PathBuf>,

    /// How many candidates to show
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = from_one)]
    pub rows: usize,
}

/// A whole number from 1 on.
fn from_one(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(number) if number > 0 => Ok(number),
        _ => Err("allowed: a whole number from 1 on".to_owned()),
    }
}

/// A number of threads.
fn threads(text: &str) -> Result<std::num::NonZeroUsize, String> {
    text.parse().map_err(|_| "allowed: a whole number from 1 on".to_owned())
}

/// Arguments of `plot`.
#[derive(Debug, Args)]
#[command(after_help = "\
Earlier pictures of wakebeat are replaced, other files are not.

Example
  wakebeat plot my-pusher.h5 -d pictures --format svg")]
pub struct PlotArgs {
    /// Result file of `run`, `sweep`, `mount` or `march`
    pub file: PathBuf,

    /// Folder for the pictures; made if it does not exist [default: name of FILE + -pictures, in the current folder]
    #[arg(long, short, value_name = "DIR")]
    pub dir: Option<PathBuf>,

    /// Picture format
    #[arg(long, value_enum, default_value_t = Format::Png)]
    pub format: Format,

    /// Overwrite files in DIR even if they are not pictures of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `report`.
#[derive(Debug, Args)]
#[command(after_help = "\
The page stands alone: charts, style and data are in the one file, nothing is
fetched from a network, and it prints on A4. Each FILE is a section: what was
asked, the answer, why, how sure, what to avoid, what it costs, inputs in full.
An earlier page is replaced, another file is not.

Examples
  wakebeat report my-pusher.h5
  wakebeat report run.h5 study.h5 mount.h5 -o for-review.html")]
pub struct ReportArgs {
    /// Result files of `run`, `sweep`, `mount` or `march`, in the order of the page
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,

    /// Page to write [default: name of the first FILE + .html, in the current folder]
    #[arg(long, short, value_name = "PAGE")]
    pub output: Option<PathBuf>,

    /// Overwrite the output even if it is not a page of wakebeat
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `validate`.
#[derive(Debug, Args)]
#[command(after_help = "\
Each row: quantity, published value, ours, difference, band and what sets it,
verdict. A row along a curve shows the point that uses most of its band.
  PASS   inside the band
  KNOWN  outside, and on the list of known failures with the physics that is
         missing, a figure and a date
  FAIL   outside

Exit code 1: a row fails, or a row that is listed as known passes.

Examples
  wakebeat validate
  wakebeat validate --only propellers --plot pictures
  wakebeat validate --only 'DA4022*CT' --json")]
pub struct ValidateArgs {
    /// Only checks, or rows, whose topic/set/quantity holds PATTERN; * for any letters, case does not matter
    #[arg(long, value_name = "PATTERN")]
    pub only: Option<String>,

    /// Draw our curves over the published points into DIR, which is made if it does not exist
    #[arg(long, value_name = "DIR")]
    pub plot: Option<PathBuf>,

    /// Overwrite files in DIR even if they are not pictures of wakebeat
    #[arg(long, requires = "plot")]
    pub force: bool,

    /// Take known failures as failures
    #[arg(long)]
    pub strict: bool,

    /// Compute again with twice the stations and azimuths, and tell which rows move by more than a tenth of their band
    #[arg(long)]
    pub convergence: bool,

    /// Print the statistics by set as the table of the README
    #[arg(long, conflicts_with = "json")]
    pub markdown: bool,
}

/// Picture formats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// Pixels, for documents
    Png,
    /// Vectors, for print and for editing
    Svg,
}

/// The compiled-in scenarios, so that help lists them and a typing error names them.
fn scenario_names() -> PossibleValuesParser {
    PossibleValuesParser::new(scenarios().iter().map(|s| PossibleValue::new(s.name).help(s.summary)))
}
