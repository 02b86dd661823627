//! An independent twin: five configurations computed from published formulas, in the frequency domain, annuli by bracketing.
//!
//! `validation/twin/twin.py` makes the table and tells its formulas; it shares nothing with the engine. Both are given the same
//! blades (straight from root to tip) and the same inflow. Induction is `momentum` on both sides.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::{
    AnalyticSection, BladeRow, BladeTable, OperatingPoint, Rotation, SectionLift, SectionSpec, SurfaceWake,
    Survey, SurveyData,
};
use wakebeat_engine::point::result::{HubLoad, PointResult};
use wakebeat_engine::point::solve_once;

use crate::propellers::plain_point;
use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Row};
use crate::thin_wing::thin_wing;

const SOURCE: &str =
    "validation/twin: Sears' function in the frequency domain, annuli by bracketing, NACA Report 651";

/// Loads below this share of thrust, of thrust times tip radius for moments, are not compared.
const LEAST_SHARE: f64 = 0.01;

/// A blade of the twin.
struct Blade {
    root_m: f64,
    tip_m: f64,
    chord_m: [f64; 2],
    twist_deg: [f64; 2],
    lift_slope_per_rad: f64,
    zero_lift_deg: f64,
    drag_min: f64,
    drag_rise: f64,
}

const SLENDER: Blade = Blade {
    root_m: 0.05,
    tip_m: 0.25,
    chord_m: [0.035, 0.025],
    twist_deg: [40.0, 16.0],
    lift_slope_per_rad: 5.9,
    zero_lift_deg: -2.0,
    drag_min: 0.012,
    drag_rise: 0.010,
};

const BROAD: Blade = Blade {
    root_m: 0.10,
    tip_m: 0.60,
    chord_m: [0.10, 0.07],
    twist_deg: [46.0, 20.0],
    lift_slope_per_rad: 5.7,
    zero_lift_deg: -3.0,
    drag_min: 0.010,
    drag_rise: 0.008,
};

/// What the blades meet.
enum Inflow {
    Incidence(f64),
    Survey,
    /// Wing by chord, drag coefficient, distance of its trailing edge ahead of the disk, and height above the hub, m.
    Wing {
        chord_m: f64,
        drag: f64,
        aft_m: f64,
        height_m: f64,
    },
}

struct Configuration {
    name: &'static str,
    blades: usize,
    blade: &'static Blade,
    airspeed_m_s: f64,
    speed_rad_s: f64,
    rotation: Rotation,
    inflow: Inflow,
}

static CONFIGURATIONS: [Configuration; 5] = [
    Configuration {
        name: "survey, 3 blades",
        blades: 3,
        blade: &SLENDER,
        airspeed_m_s: 20.0,
        speed_rad_s: 500.0,
        rotation: Rotation::Clockwise,
        inflow: Inflow::Survey,
    },
    Configuration {
        name: "incidence 6 deg, 2 blades",
        blades: 2,
        blade: &BROAD,
        airspeed_m_s: 30.0,
        speed_rad_s: 230.0,
        rotation: Rotation::Clockwise,
        inflow: Inflow::Incidence(6.0),
    },
    Configuration {
        name: "wing wake, shaft 0.02 m above, 4 blades",
        blades: 4,
        blade: &SLENDER,
        airspeed_m_s: 20.0,
        speed_rad_s: 480.0,
        rotation: Rotation::Clockwise,
        inflow: Inflow::Wing { chord_m: 0.30, drag: 0.02, aft_m: 0.10, height_m: -0.02 },
    },
    Configuration {
        name: "wing wake, shaft in its plane, 5 blades",
        blades: 5,
        blade: &BROAD,
        airspeed_m_s: 32.0,
        speed_rad_s: 220.0,
        rotation: Rotation::Clockwise,
        inflow: Inflow::Wing { chord_m: 0.80, drag: 0.02, aft_m: 0.20, height_m: 0.0 },
    },
    Configuration {
        name: "wing wake, shaft 0.06 m above, 2 blades counterclockwise",
        blades: 2,
        blade: &BROAD,
        airspeed_m_s: 28.0,
        speed_rad_s: 240.0,
        rotation: Rotation::Counterclockwise,
        inflow: Inflow::Wing { chord_m: 0.80, drag: 0.025, aft_m: 0.15, height_m: -0.06 },
    },
];

/// Names of the loads in the twin's table.
const LOADS: [(&str, HubLoad, &str); 6] = [
    ("thrust", HubLoad::Thrust, "N"),
    ("torque", HubLoad::Torque, "N m"),
    ("side_force", HubLoad::SideForce, "N"),
    ("vertical_force", HubLoad::VerticalForce, "N"),
    ("pitching_moment", HubLoad::PitchingMoment, "N m"),
    ("yawing_moment", HubLoad::YawingMoment, "N m"),
];

pub(super) fn checks() -> Vec<Check> {
    let check =
        |c: &'static Configuration| Check::new("twin", c.name, SOURCE, move |fineness| rows(c, fineness));
    CONFIGURATIONS.iter().map(check).collect()
}

fn rows(configuration: &Configuration, fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/twin/twin.csv"))?;
    let mut point = configuration.point();
    fineness.resolve(&mut point, 40, 720);
    let result = solve_once(&point)?;
    let thrust = result.hub(HubLoad::Thrust).harmonics.amplitude[0];
    let mut rows = Vec::new();
    for row in table.rows() {
        if row.text("case")? != configuration.name {
            continue;
        }
        let name = row.text("load")?;
        let Some((_, load, unit)) = LOADS.iter().find(|(known, ..)| *known == name) else {
            return Err(CheckError::refused(format!("no load {name}")));
        };
        let (order, twin) = (row.number("order")? as usize, row.number("amplitude")?);
        let arm = if *unit == "N" { 1.0 } else { configuration.blade.tip_m };
        if twin.abs() >= LEAST_SHARE * thrust * arm {
            rows.push(compared(&result, name, (*load, unit), order, twin));
        }
    }
    Ok(rows)
}

fn compared(
    result: &PointResult,
    name: &str,
    (load, unit): (HubLoad, &'static str),
    order: usize,
    twin: f64,
) -> Row {
    let ours = result.hub(load).harmonics.amplitude[order];
    let name = name.replace('_', " ");
    if order == 0 {
        Row::single(format!("mean {name}"), "mean", twin, ours)
            .in_unit(unit)
            .within(Band::Relative(0.01), "annuli and azimuths of both")
    } else {
        Row::single(format!("{name} at {order}P"), "NP and its multiples", twin, ours)
            .in_unit(unit)
            .within(Band::Relative(0.03), "lag by the local against the mean speed")
    }
}

impl Configuration {
    fn point(&self) -> OperatingPoint {
        let mut point = plain_point(self.blades);
        point.flight.airspeed_m_s = self.airspeed_m_s;
        point.propeller.speed_rad_s = self.speed_rad_s;
        point.propeller.rotation = self.rotation;
        point.propeller.diameter_m = 2.0 * self.blade.tip_m;
        point.propeller.blade = self.blade.table();
        point.propeller.sections = vec![self.blade.section()];
        point.solver.section_lift = SectionLift::Unsteady;
        point.solver.tolerance = 1e-10;
        match self.inflow {
            Inflow::Incidence(degrees) => point.flight.angle_of_attack_rad = f64::to_radians(degrees),
            Inflow::Survey => point.survey = Some(survey(self.blade)),
            Inflow::Wing { chord_m, drag, aft_m, height_m } => {
                let mut wing = thin_wing(200.0, 1.0);
                (wing.root_chord_m, wing.tip_chord_m) = (chord_m, chord_m);
                wing.root_leading_edge_m = Vec3::new(-aft_m - chord_m, 0.0, height_m);
                wing.section.drag_min = drag;
                wing.wake = SurfaceWake::Naca651;
                point.surfaces = vec![wing];
            }
        }
        point
    }
}

impl Blade {
    fn table(&self) -> BladeTable {
        let row = |share: f64| {
            let between = |ends: [f64; 2]| ends[0] + share * (ends[1] - ends[0]);
            BladeRow {
                radius_ratio: between([self.root_m / self.tip_m, 1.0]),
                chord_ratio: between(self.chord_m) / self.tip_m,
                twist_rad: between(self.twist_deg).to_radians(),
                sweep_ratio: 0.0,
                thickness_ratio: 0.1,
                section: 0,
            }
        };
        BladeTable { generic: false, rows: (0..=10).map(|i| row(0.1 * f64::from(i))).collect() }
    }

    /// Linear far beyond any incidence of these cases.
    fn section(&self) -> SectionSpec {
        SectionSpec::Analytic(AnalyticSection {
            lift_slope_per_rad: self.lift_slope_per_rad,
            zero_lift_rad: self.zero_lift_deg.to_radians(),
            drag_min: self.drag_min,
            drag_rise: self.drag_rise,
            lift_at_drag_min: 0.0,
            lift_max: 3.0,
            lift_min: -3.0,
        })
    }
}

/// The survey of the twin: the same Fourier coefficients at all radii.
fn survey(blade: &Blade) -> Survey {
    let cosine = [
        Vec3::new(1.0 - 0.04, 0.0, 0.05),
        Vec3::new(0.03, 0.02, 0.0),
        Vec3::new(-0.06, 0.0, 0.0),
        Vec3::new(0.02, 0.0, -0.01),
        Vec3::new(-0.03, 0.0, 0.0),
        Vec3::zeros(),
        Vec3::new(0.015, 0.0, 0.0),
    ];
    let sine = [
        Vec3::zeros(),
        Vec3::new(-0.02, 0.0, 0.0),
        Vec3::new(0.01, 0.01, 0.0),
        Vec3::new(0.03, 0.0, 0.0),
        Vec3::zeros(),
        Vec3::zeros(),
        Vec3::new(0.01, 0.0, 0.0),
    ];
    let radius_ratio = vec![0.5 * blade.root_m / blade.tip_m, 1.0];
    let at_both = |orders: &[Vec3]| orders.iter().flat_map(|v| [*v, *v]).collect();
    Survey {
        add: false,
        data: SurveyData::Fourier { radius_ratio, cosine: at_both(&cosine), sine: at_both(&sine) },
    }
}
