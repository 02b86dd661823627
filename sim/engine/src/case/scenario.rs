//! Starter cases compiled into the program.

/// A complete case with its files.
#[derive(Debug, Clone, Copy)]
pub struct Scenario {
    /// Name, as given to `wakebeat new --scenario`.
    pub name: &'static str,
    /// One sentence.
    pub summary: &'static str,
    /// Relative path and text of each file; `case.toml` comes first.
    pub files: &'static [(&'static str, &'static str)],
}

impl Scenario {
    /// Text of a file of the scenario by its relative path.
    #[must_use]
    pub fn file(&self, path: &str) -> Option<&'static str> {
        self.files.iter().find(|(name, _)| *name == path).map(|(_, text)| *text)
    }

    /// Text of `case.toml`.
    #[must_use]
    pub fn case_text(&self) -> &'static str {
        self.file("case.toml").unwrap_or_default()
    }
}

macro_rules! file {
    ($folder:literal, $name:literal) => {
        ($name, include_str!(concat!("../../../../cases/", $folder, "/", $name)))
    };
}

/// All starter cases; the first is what `wakebeat new` writes unless told otherwise.
#[must_use]
pub fn scenarios() -> &'static [Scenario] {
    SCENARIOS
}

macro_rules! scenario {
    ($folder:literal, $summary:literal, $($file:literal),+) => {
        Scenario { name: $folder, summary: $summary, files: &[$(file!($folder, $file)),+] }
    };
}

const SCENARIOS: &[Scenario] = &[
    scenario!(
        "survey-pusher",
        "twin-boom survey aircraft, wing just ahead of a measured 9 x 6.75 in propeller",
        "case.toml",
        "da4022_9x6.75.csv",
        "sda1075_coordinates.csv",
        "SOURCE.md"
    ),
    scenario!(
        "placement-study",
        "360 placements and blade counts at 7 airspeeds, for `sweep` and `choose`",
        "case.toml",
        "da4022_9x6.75.csv",
        "map.py",
        "SOURCE.md"
    ),
    scenario!(
        "mount-response",
        "three-blade pusher on four isolators with two sensors, for `mount` and `march`",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "mount-sizing",
        "mount of the survey aircraft: six segments of a flight, limit loads, for `mount`",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "tail-pusher",
        "propeller behind fin and stabiliser: what the elevator does to it",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "nacelle-pusher",
        "twin nacelles behind the flaps, two propellers summed at the airframe",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "pod-above-wing",
        "propeller raised clear of the wing's wake, and what its thrust line costs",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "body-only",
        "propeller on the tail of a thick fuselage, no wing ahead, stream off the axis",
        "case.toml",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
    scenario!(
        "wake-survey",
        "velocities over the disk from a table: a wake with four slow sectors",
        "case.toml",
        "wake_orders.csv",
        "da4022_9x6.75.csv",
        "SOURCE.md"
    ),
];
