//! What a sweep is judged by: what to keep low, and what may not be exceeded.

/// The load that is to be kept low: its amplitude at blade passage, NP.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeepLow {
    /// Thrust, N.
    Thrust,
    /// Force in the disk plane: root of the sum of squares of side and vertical force, N.
    SideForce,
    /// Bending moment at the hub: root of the sum of squares of pitching and yawing moment, N m.
    Bending,
    /// Torque, N m.
    Torque,
    /// All four together: √((F_T/T)² + (F_S/T)² + (M_B/TR)² + (M_Q/TR)²), with T the mean thrust of the candidate over the flown
    /// conditions and R the tip radius.
    Index,
}

impl KeepLow {
    /// As the case names it.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Thrust => "thrust",
            Self::SideForce => "side_force",
            Self::Bending => "bending",
            Self::Torque => "torque",
            Self::Index => "index",
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Thrust => "NP thrust",
            Self::SideForce => "NP force in the disk plane",
            Self::Bending => "NP bending moment",
            Self::Torque => "NP torque",
            Self::Index => "combined NP index",
        }
    }

    /// Unit of the figure.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Thrust | Self::SideForce => "N",
            Self::Bending | Self::Torque => "N m",
            Self::Index => "1",
        }
    }
}

/// How the flown conditions make one figure.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Over {
    /// The greatest of them.
    WorstCase,
    /// Their mean by weight.
    WeightedMean,
}

/// Weights of the values of one flown axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Weights {
    /// Key of the axis.
    pub axis: String,
    /// One weight a value.
    pub weights: Vec<f64>,
}

/// What may not be exceeded or undercut; `None` is no limit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// Greatest loss of thrust for power against the best candidate at the same condition.
    pub efficiency_loss_max: Option<f64>,
    /// Greatest size of the thrust line's pitching moment about the centre of gravity, N m.
    pub pitching_moment_max_n_m: Option<f64>,
    /// Greatest helical tip Mach number.
    pub tip_mach_max: Option<f64>,
    /// Least clearances, m, in the order of [`Limits::CLEARANCES`].
    pub clearance_min_m: [Option<f64>; 6],
}

impl Limits {
    /// Names of the summary's clearances that may be limited.
    pub const CLEARANCES: [&str; 6] = [
        "clearance_axial_m",
        "clearance_tip_m",
        "clearance_ground_m",
        "clearance_ground_deflected_m",
        "clearance_ground_rotated_m",
        "clearance_water_m",
    ];
}

/// How the candidates of a sweep are ranked.
#[derive(Debug, Clone, PartialEq)]
pub struct Choose {
    /// What is to be kept low.
    pub keep_low: KeepLow,
    /// How the flown conditions count.
    pub over: Over,
    /// Weights along a flown axis; the other axes count alike.
    pub weights: Option<Weights>,
    /// Keys of the axes that are decided; `None`: those of placement, propeller, surfaces and bodies. The others are flown.
    pub decide: Option<Vec<String>>,
    /// What may not be exceeded.
    pub limits: Limits,
}

impl Default for Choose {
    fn default() -> Self {
        Self {
            keep_low: KeepLow::Thrust,
            over: Over::WorstCase,
            weights: None,
            decide: None,
            limits: Limits::default(),
        }
    }
}

impl Choose {
    /// Whether an axis is decided, not flown.
    #[must_use]
    pub fn decides(&self, key: &str) -> bool {
        if let Some(decided) = &self.decide {
            return decided.iter().any(|other| other == key);
        }
        // A shaft speed, a pitch or a flap setting is flown, whatever it stands with.
        let operated = ["propeller.speed_rpm", "propeller.pitch_offset_deg"].contains(&key)
            || key.ends_with(".deflection_deg");
        let built = ["placement.", "propeller.", "surface.", "body.", "section", "trim.more_blades"];
        !operated && built.iter().any(|group| key.starts_with(group))
    }
}
