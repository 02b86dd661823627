//! What the physics needs to know of one operating point, in SI units and radians.
//!
//! The case module fills these from a case file; tests and other programs may build them directly.

mod airframe;

pub use airframe::{AircraftLift, Airframe, Gear};

use crate::base::Vec3;
use crate::section::shape::SectionShape;

/// Everything that defines one operating point.
#[derive(Debug, Clone)]
pub struct OperatingPoint {
    /// Speed, air and attitude.
    pub flight: Flight,
    /// The propeller.
    pub propeller: Propeller,
    /// Where the hub is and how the shaft points.
    pub placement: Placement,
    /// Further propellers on the same airframe.
    pub further: Vec<FurtherPropeller>,
    /// Lifting surfaces, in the order of the case file.
    pub surfaces: Vec<Surface>,
    /// Bodies of revolution: fuselages, booms, nacelles.
    pub bodies: Vec<Body>,
    /// Given velocities over the disk.
    pub survey: Option<Survey>,
    /// The airframe as a whole.
    pub airframe: Airframe,
    /// Numerical choices and model levels.
    pub solver: Solver,
}

impl OperatingPoint {
    /// Whether a survey stands in for surfaces and bodies.
    #[must_use]
    pub fn survey_replaces(&self) -> bool {
        self.survey.as_ref().is_some_and(|survey| !survey.add)
    }

    /// Number of harmonic orders kept, order 0 included; the largest blade count sets it for all propellers.
    #[must_use]
    pub fn orders(&self) -> usize {
        let further = self.further.iter().filter_map(|one| one.changes.blade_count);
        let most = further.chain([self.propeller.blade_count]).max().unwrap_or(1);
        self.solver.harmonics * most + 1
    }

    /// The same aircraft with a further propeller in the place of the first, and no other. A survey belongs to the first
    /// propeller's disk and is left out.
    #[must_use]
    pub fn with_only(&self, further: &FurtherPropeller) -> Self {
        Self {
            propeller: further.propeller(&self.propeller),
            placement: further.placement.clone(),
            further: Vec::new(),
            survey: None,
            ..self.clone()
        }
    }
}

/// Undisturbed flow. Aircraft axes: x aft, y starboard, z up.
#[derive(Debug, Clone, PartialEq)]
pub struct Flight {
    /// True airspeed, m/s; 0 is static.
    pub airspeed_m_s: f64,
    /// Geopotential altitude in the standard atmosphere, m.
    pub altitude_m: f64,
    /// Air temperature above standard, K.
    pub temperature_offset_k: f64,
    /// Angle of attack against the x axis, rad; positive when air comes from below.
    pub angle_of_attack_rad: f64,
    /// Sideslip against the x axis, rad; positive when air comes from starboard.
    pub sideslip_rad: f64,
}

/// Sense of rotation seen from behind, looking forward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rotation {
    /// The blade at the top moves to starboard.
    Clockwise,
    /// The blade at the top moves to port.
    Counterclockwise,
}

/// The propeller and its blades.
#[derive(Debug, Clone, PartialEq)]
pub struct Propeller {
    /// Number of blades, 1 or more.
    pub blade_count: usize,
    /// Diameter, m.
    pub diameter_m: f64,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Sense of rotation.
    pub rotation: Rotation,
    /// Added to every blade angle, rad.
    pub pitch_offset_rad: f64,
    /// Blade shape by radius.
    pub blade: BladeTable,
    /// Section models, addressed by [`BladeRow::section`].
    pub sections: Vec<SectionSpec>,
    /// Whether section lift is corrected for Mach number.
    pub compressibility: Compressibility,
    /// Blade angle of each blade above the nominal, rad; empty or one entry a blade.
    pub pitch_error_rad: Vec<f64>,
    /// Azimuth of each blade ahead of its even spacing, rad; empty or one entry a blade.
    pub spacing_error_rad: Vec<f64>,
}

/// Blade shape by radius, root first, tip last; radius ratios strictly increasing, the last is 1.
#[derive(Debug, Clone, PartialEq)]
pub struct BladeTable {
    /// Whether it is the generic blade and not a given one.
    pub generic: bool,
    /// Rows from root to tip.
    pub rows: Vec<BladeRow>,
}

/// One radius of a blade. Lengths are ratios to the tip radius.
#[derive(Debug, Clone, PartialEq)]
pub struct BladeRow {
    /// Distance from the shaft over tip radius.
    pub radius_ratio: f64,
    /// Chord over tip radius.
    pub chord_ratio: f64,
    /// Blade angle above the disk plane, rad.
    pub twist_rad: f64,
    /// Offset of the mid-chord along the arc, over tip radius, positive against the rotation.
    pub sweep_ratio: f64,
    /// Section thickness over chord.
    pub thickness_ratio: f64,
    /// Index into [`Propeller::sections`].
    pub section: usize,
}

/// A section model of the blade.
#[derive(Debug, Clone, PartialEq)]
pub enum SectionSpec {
    /// Straight lift line, parabolic drag, smooth stall.
    Analytic(AnalyticSection),
    /// Tabulated coefficients.
    Table(SectionTable),
    /// Handbook polar from the section's outline at the station's Reynolds number.
    Shape(SectionShape),
}

/// Constants of the analytic section.
#[derive(Debug, Clone, PartialEq)]
pub struct AnalyticSection {
    /// Lift slope, per rad.
    pub lift_slope_per_rad: f64,
    /// Angle of zero lift, rad.
    pub zero_lift_rad: f64,
    /// Least drag coefficient.
    pub drag_min: f64,
    /// Drag rise with lift squared.
    pub drag_rise: f64,
    /// Lift coefficient of least drag: cd = `drag_min` + `drag_rise` (cl − `lift_at_drag_min`)².
    pub lift_at_drag_min: f64,
    /// Greatest lift coefficient.
    pub lift_max: f64,
    /// Least (most negative) lift coefficient.
    pub lift_min: f64,
}

/// Section coefficients on a full grid of Reynolds number, Mach number and angle.
///
/// `lift`, `drag` and `moment` are indexed `[(reynolds * mach.len() + mach) * angle.len() + angle]`.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionTable {
    /// Chord Reynolds numbers, increasing.
    pub reynolds: Vec<f64>,
    /// Mach numbers, increasing.
    pub mach: Vec<f64>,
    /// Angles of attack, rad, increasing; they cover ±π.
    pub angle_rad: Vec<f64>,
    /// Lift coefficients.
    pub lift: Vec<f64>,
    /// Drag coefficients.
    pub drag: Vec<f64>,
    /// Moment coefficients about the quarter chord, nose up positive.
    pub moment: Vec<f64>,
}

/// Treatment of Mach number in section lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Compressibility {
    /// Lift over √(1 − M²) below the drag rise.
    PrandtlGlauert,
    /// As tabulated.
    None,
}

/// Where the hub is and how the shaft points.
#[derive(Debug, Clone, PartialEq)]
pub struct Placement {
    /// Hub position in aircraft axes, m.
    pub hub_m: Vec3,
    /// Shaft tilt, rad; positive gives thrust an upward part.
    pub tilt_rad: f64,
    /// Shaft toe about the tilted z axis, rad; positive gives thrust a starboard part.
    pub toe_rad: f64,
}

/// A further propeller: like the first but for what is given here.
#[derive(Debug, Clone, PartialEq)]
pub struct FurtherPropeller {
    /// Name, unique over further propellers.
    pub name: String,
    /// Where its hub is and how its shaft points.
    pub placement: Placement,
    /// Sense of rotation.
    pub rotation: Rotation,
    /// Azimuth of its first blade, in its own sense of rotation, while the first propeller's stands at 0, rad.
    pub phase_rad: f64,
    /// Its shaft speed over that of the first propeller.
    pub speed_ratio: f64,
    /// What else it has of its own.
    pub changes: PropellerChanges,
}

/// What a further propeller has of its own; what is not given is as on the first.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PropellerChanges {
    /// Number of blades.
    pub blade_count: Option<usize>,
    /// Diameter, m.
    pub diameter_m: Option<f64>,
    /// Added to every blade angle, rad.
    pub pitch_offset_rad: Option<f64>,
    /// Blade shape; its rows address the sections of the first propeller.
    pub blade: Option<BladeTable>,
    /// Blade angle of each blade above the nominal, rad.
    pub pitch_error_rad: Option<Vec<f64>>,
    /// Azimuth of each blade ahead of its even spacing, rad.
    pub spacing_error_rad: Option<Vec<f64>>,
}

impl FurtherPropeller {
    /// The propeller in full, beside the first one.
    #[must_use]
    pub fn propeller(&self, first: &Propeller) -> Propeller {
        let changes = &self.changes;
        let blade_count = changes.blade_count.unwrap_or(first.blade_count);
        // Errors of single blades are not handed on to another number of blades.
        let errors = |own: &Option<Vec<f64>>, of_first: &Vec<f64>| match own {
            Some(own) => own.clone(),
            None if blade_count == first.blade_count => of_first.clone(),
            None => Vec::new(),
        };
        Propeller {
            blade_count,
            diameter_m: changes.diameter_m.unwrap_or(first.diameter_m),
            speed_rad_s: self.speed_ratio * first.speed_rad_s,
            rotation: self.rotation,
            pitch_offset_rad: changes.pitch_offset_rad.unwrap_or(first.pitch_offset_rad),
            blade: changes.blade.clone().unwrap_or_else(|| first.blade.clone()),
            sections: first.sections.clone(),
            compressibility: first.compressibility,
            pitch_error_rad: errors(&changes.pitch_error_rad, &first.pitch_error_rad),
            spacing_error_rad: errors(&changes.spacing_error_rad, &first.spacing_error_rad),
        }
    }
}

/// Which viscous wake a surface sheds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurfaceWake {
    /// Momentum thickness with a relaxing shape factor.
    Momentum,
    /// The correlation of NACA Report 651.
    Naca651,
    /// No wake.
    None,
}

/// A lifting surface: a straight-tapered wing, tailplane, fin, strut or pylon.
#[derive(Debug, Clone, PartialEq)]
pub struct Surface {
    /// Name, unique over surfaces and bodies.
    pub name: String,
    /// Leading edge of the root section, aircraft axes, m.
    pub root_leading_edge_m: Vec3,
    /// Whether a mirror image in the plane y = root y exists.
    pub mirror: bool,
    /// Tip to tip if mirrored, else root to tip, along the surface, m.
    pub span_m: f64,
    /// Root chord, m.
    pub root_chord_m: f64,
    /// Tip chord, m.
    pub tip_chord_m: f64,
    /// Sweep of the quarter-chord line, rad, positive aft.
    pub sweep_rad: f64,
    /// Dihedral, rad; π/2 is a fin pointing up.
    pub dihedral_rad: f64,
    /// Incidence of the root chord against the x axis, rad, nose up.
    pub incidence_rad: f64,
    /// Tip incidence minus root incidence, rad, about the quarter chord.
    pub twist_rad: f64,
    /// Section thickness over chord.
    pub thickness_ratio: f64,
    /// Section lift and drag.
    pub section: AnalyticSection,
    /// Plain flaps, root to tip on each half.
    pub flaps: Vec<Flap>,
    /// The wake it sheds.
    pub wake: SurfaceWake,
    /// Whether its lift and thickness fields act on the disk.
    pub potential: bool,
}

/// A plain flap; on a mirrored surface both halves have it, deflected alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Flap {
    /// Name, unique on its surface.
    pub name: String,
    /// Inner end over the length of the half, 0 at the root.
    pub span_from: f64,
    /// Outer end over the length of the half, 1 at the tip.
    pub span_to: f64,
    /// Flap chord over local chord.
    pub chord_ratio: f64,
    /// Deflection, rad, trailing edge down (against the half's normal) positive.
    pub deflection_rad: f64,
}

/// A body of revolution with its axis along x.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Name, unique over surfaces and bodies.
    pub name: String,
    /// Nose, aircraft axes, m.
    pub nose_m: Vec3,
    /// Length, m.
    pub length_m: f64,
    /// Greatest diameter, m.
    pub diameter_m: f64,
    /// Length of the closing tail, m.
    pub closing_length_m: f64,
    /// Drag coefficient on frontal area.
    pub drag_coefficient: f64,
    /// Whether it sheds a viscous wake that carries its drag.
    pub wake: bool,
    /// Whether its source field acts on the disk.
    pub potential: bool,
}

/// Velocities over the disk, as ratios to airspeed in aircraft axes, without the propeller.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Whether it adds to surfaces and bodies instead of replacing them.
    pub add: bool,
    /// The values.
    pub data: SurveyData,
}

/// The three forms of a survey.
#[derive(Debug, Clone, PartialEq)]
pub enum SurveyData {
    /// A full grid over y and z: velocity at `[i_y * z_m.len() + i_z]`.
    Cartesian {
        /// Stations along y, aircraft axes, m, increasing.
        y_m: Vec<f64>,
        /// Stations along z, aircraft axes, m, increasing.
        z_m: Vec<f64>,
        /// Velocity over airspeed.
        velocity: Vec<Vec3>,
    },
    /// A full grid over radius and azimuth: velocity at `[i_r * azimuth_rad.len() + i_psi]`.
    Polar {
        /// Radius over tip radius, increasing.
        radius_ratio: Vec<f64>,
        /// Azimuth ψ of the rotation, rad, increasing from 0, below 2π.
        azimuth_rad: Vec<f64>,
        /// Velocity over airspeed.
        velocity: Vec<Vec3>,
    },
    /// Fourier coefficients over azimuth: u = Σ `cosine` cos nψ + `sine` sin nψ at `[order * radius_ratio.len() + i_r]`.
    Fourier {
        /// Radius over tip radius, increasing.
        radius_ratio: Vec<f64>,
        /// Cosine parts, orders 0, 1, 2 …
        cosine: Vec<Vec3>,
        /// Sine parts, orders 0, 1, 2 …
        sine: Vec<Vec3>,
    },
}

/// Level of the induced-velocity model.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Induction {
    /// Annular momentum, constant in azimuth.
    Momentum,
    /// Annuli with their own time constants, first harmonic from hub moment and skew.
    Dynamic,
}

/// How the part of a gust along the chord acts on lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Streamwise {
    /// Through the square of the speed, undelayed.
    QuasiSteady,
    /// By Horlock's function.
    Horlock,
}

/// Which factor stands for the finite number of blades at the tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TipLoss {
    /// Prandtl's: plane sheets in place of helices.
    Prandtl,
    /// Goldstein's: the exact flow of a rigid helicoidal wake.
    Goldstein,
}

/// Section lift against time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SectionLift {
    /// Lift follows the local flow at once.
    QuasiSteady,
    /// Indicial (Küssner) lag on the normal velocity.
    Unsteady,
}

/// How the propeller draws the wakes in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suction {
    /// Deficit made at the chord-mean edge speed under suction.
    ChordMean,
    /// Deficit made at the trailing edge's edge speed under suction.
    TrailingEdge,
    /// Deficit made at the undisturbed edge speed.
    Far,
    /// No effect of the propeller on the wake.
    None,
}

/// Numerical choices and model levels.
#[derive(Debug, Clone, PartialEq)]
pub struct Solver {
    /// Blade stations.
    pub stations: usize,
    /// Azimuths in one revolution.
    pub azimuths: usize,
    /// Induced-velocity level.
    pub induction: Induction,
    /// Factor for the finite blade count.
    pub tip_loss: TipLoss,
    /// Section-lift level.
    pub section_lift: SectionLift,
    /// Chordwise part of a gust.
    pub streamwise: Streamwise,
    /// Wake suction.
    pub suction: Suction,
    /// Relative tolerance on the induced velocity.
    pub tolerance: f64,
    /// Highest harmonic kept, in multiples of the blade count.
    pub harmonics: usize,
}
