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
    &[
        Scenario {
            name: "survey-pusher",
            summary: "twin-boom survey aircraft, wing just ahead of a measured 9 x 6.75 in propeller",
            files: &[
                file!("survey-pusher", "case.toml"),
                file!("survey-pusher", "da4022_9x6.75.csv"),
                file!("survey-pusher", "sda1075_coordinates.csv"),
                file!("survey-pusher", "SOURCE.md"),
            ],
        },
        Scenario {
            name: "mount-response",
            summary: "three-blade pusher on four isolators with two sensors, for `wakebeat mount`",
            files: &[
                file!("mount-response", "case.toml"),
                file!("mount-response", "da4022_9x6.75.csv"),
                file!("mount-response", "SOURCE.md"),
            ],
        },
        Scenario {
            name: "mount-sizing",
            summary: "the survey aircraft's mount over six segments of a flight, with limit loads, for `wakebeat mount`",
            files: &[
                file!("mount-sizing", "case.toml"),
                file!("mount-sizing", "da4022_9x6.75.csv"),
                file!("mount-sizing", "SOURCE.md"),
            ],
        },
    ]
}
