//! What a sweep is judged by: what to keep low, and what may not be exceeded.

/// The load that is to be kept low: its amplitude at blade passage, NP, at the hub of the first propeller or, of all propellers together,
/// at the centre of gravity.
///
/// Propellers of other blade counts pass their blades at other orders, so loads at the airframe are taken at the order of each distinct
/// blade count of the aircraft: the root of the sum of squares over components and orders.
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
    /// Force of all propellers on the airframe: thrust, side and vertical force together, N.
    AirframeForce,
    /// Moment of all propellers about the centre of gravity: rolling, pitching and yawing moment together, N m.
    AirframeMoment,
    /// Both together: √((F/T)² + (M/TR)²), with T the mean forward force of all propellers over the flown conditions and R the tip
    /// radius of the first.
    AirframeIndex,
}

/// The phases between propellers at which loads at the airframe are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Phases {
    /// As the case gives them: propellers that are held in phase.
    #[default]
    AsGiven,
    /// Those at which each component is greatest: propellers that drift. Components need not be greatest at the same phase, so the
    /// figure is a bound: it never exceeds the root of the number of components times the worst phase.
    Any,
}

impl Phases {
    /// As the case names them.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::AsGiven => "as_given",
            Self::Any => "any",
        }
    }
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
            Self::AirframeForce => "airframe_force",
            Self::AirframeMoment => "airframe_moment",
            Self::AirframeIndex => "airframe_index",
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
            Self::AirframeForce => "NP force on the airframe",
            Self::AirframeMoment => "NP moment on the airframe",
            Self::AirframeIndex => "combined NP index of the airframe",
        }
    }

    /// Whether it is a load of all propellers together at the centre of gravity.
    #[must_use]
    pub fn is_of_airframe(self) -> bool {
        matches!(self, Self::AirframeForce | Self::AirframeMoment | Self::AirframeIndex)
    }

    /// Unit of the figure.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Thrust | Self::SideForce | Self::AirframeForce => "N",
            Self::Bending | Self::Torque | Self::AirframeMoment => "N m",
            Self::Index | Self::AirframeIndex => "1",
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
    /// Greatest size of the thrust lines' pitching moment about the centre of gravity, N m.
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
    /// Phases between propellers, for a load at the airframe.
    pub phases: Phases,
    /// How the flown conditions count.
    pub over: Over,
    /// Weights along a flown axis; the other axes count alike.
    pub weights: Option<Weights>,
    /// Keys of the axes that are decided; `None`: those of placement, propellers, surfaces and bodies. The others are flown.
    pub decide: Option<Vec<String>>,
    /// What may not be exceeded.
    pub limits: Limits,
}

impl Default for Choose {
    fn default() -> Self {
        Self {
            keep_low: KeepLow::Thrust,
            phases: Phases::AsGiven,
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
        let operated = [".speed_rpm", ".speed_ratio", ".pitch_offset_deg", ".deflection_deg"];
        let operated = operated.into_iter().any(|name| key.ends_with(name));
        let built = [
            "placement.",
            "propeller.",
            "further_propeller.",
            "surface.",
            "body.",
            "section",
            "trim.more_blades",
        ];
        !operated && built.iter().any(|group| key.starts_with(group))
    }
}
