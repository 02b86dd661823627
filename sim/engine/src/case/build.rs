//! The typed operating point from checked values and input files.
//!
//! Every function returns `None` where a value it needs has a problem that is already reported.

use super::consistency::at_key;
use super::inputs::Inputs;
use super::problem::Problem;
use super::values::Values;
use crate::base::Vec3;
use crate::blade::generic_blade;
use crate::point::input::{
    AircraftLift, Airframe, AnalyticSection, BladeTable, Body, Compressibility, Flap, Flight, Gear,
    Induction, Placement, Propeller, Rotation, SectionLift, SectionSpec, Solver, Streamwise, Suction,
    Surface, SurfaceWake, Survey, TipLoss,
};
use crate::surface::geometry::trailing_edge_at_y;
use crate::trim::{By, ThrustTarget, Trim};
use std::f64::consts::TAU;

pub(super) fn flight(v: &Values) -> Option<Flight> {
    Some(Flight {
        airspeed_m_s: v.number("flight.airspeed_m_s")?,
        altitude_m: v.number("flight.altitude_m")?,
        temperature_offset_k: v.number("flight.temperature_offset_k")?,
        angle_of_attack_rad: v.radians("flight.angle_of_attack_deg")?,
        sideslip_rad: v.radians("flight.sideslip_deg")?,
    })
}

/// Shaft speed, rad/s.
pub(super) fn speed_rad_s(v: &Values) -> Option<f64> {
    v.number("propeller.speed_rpm").map(|rpm| rpm * TAU / 60.0)
}

pub(super) fn propeller(
    v: &Values,
    blade: Option<BladeTable>,
    sections: Option<Vec<SectionSpec>>,
) -> Option<Propeller> {
    let errors = |path| v.numbers(path).map(|list| list.iter().map(|e| e.to_radians()).collect::<Vec<f64>>());
    let factor = chord_factor(v)?;
    let mut blade = blade?;
    if factor != 1.0 {
        blade.rows.iter_mut().for_each(|row| row.chord_ratio *= factor);
    }
    Some(Propeller {
        blade_count: v.count("propeller.blade_count")?,
        diameter_m: v.number("propeller.diameter_m")?,
        speed_rad_s: speed_rad_s(v)?,
        rotation: rotation(v, "propeller")?,
        pitch_offset_rad: v.radians("propeller.pitch_offset_deg")?,
        blade,
        sections: sections?,
        compressibility: match v.text("section.compressibility")? {
            "none" => Compressibility::None,
            _ => Compressibility::PrandtlGlauert,
        },
        pitch_error_rad: errors("propeller.pitch_error_deg")?,
        spacing_error_rad: errors("propeller.spacing_error_deg")?,
    })
}

/// Sense of rotation of a propeller.
pub(super) fn rotation(v: &Values, group: &str) -> Option<Rotation> {
    Some(match v.text(&format!("{group}.rotation"))? {
        "counterclockwise" => Rotation::Counterclockwise,
        _ => Rotation::Clockwise,
    })
}

/// Groups of the section models in the order of their indices, the default section first if there is one.
pub(super) fn section_groups(v: &Values) -> Vec<String> {
    let default = !v.names("section").is_empty();
    let named = v.names("sections.NAME").iter().map(|name| format!("sections.{name}"));
    default.then(|| "section".to_owned()).into_iter().chain(named).collect()
}

/// The names blade rows may use, in the same order; the default section's is empty.
fn section_names(v: &Values) -> Vec<String> {
    section_groups(v)
        .iter()
        .map(|group| group.strip_prefix("sections.").unwrap_or_default().to_owned())
        .collect()
}

/// The blade a group names by file or by pitch; `diameter_m` serves where the group gives none.
pub(super) fn blade(
    v: &Values,
    group: &str,
    diameter_m: Option<f64>,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<BladeTable> {
    let key = |key: &str| format!("{group}.{key}");
    let Some(entry) = v.entry(&key("blade_file")) else {
        let (diameter_m, pitch_m) =
            (v.number(&key("diameter_m")).or(diameter_m)?, v.number(&key("pitch_m"))?);
        if v.names("section").is_empty() {
            let what = "needs the default section, which the case does not have";
            let problem = at_key(inputs.label, v, &key("pitch_m"), what);
            problems.push(problem.allowed("a case with [section]").hint("add [section] to the case"));
            return None;
        }
        return Some(generic_blade(diameter_m, pitch_m));
    };
    let path = v.text(&key("blade_file"))?;
    inputs.blade(entry, path, &section_names(v)).map_err(|found| problems.extend(found)).ok()
}

/// All section models, so that every file with a problem is reported.
pub(super) fn sections(
    v: &Values,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<Vec<SectionSpec>> {
    let built: Vec<Option<SectionSpec>> =
        section_groups(v).iter().map(|group| section(v, group, inputs, problems)).collect();
    built.into_iter().collect()
}

fn section(v: &Values, group: &str, inputs: &mut Inputs, problems: &mut Vec<Problem>) -> Option<SectionSpec> {
    if v.text(&format!("{group}.kind"))? == "analytic" {
        let constant = |key: &str| format!("{group}.{key}");
        return Some(SectionSpec::Analytic(AnalyticSection {
            lift_slope_per_rad: v.number(&constant("lift_slope_per_rad"))?,
            zero_lift_rad: v.radians(&constant("zero_lift_deg"))?,
            drag_min: v.number(&constant("drag_min"))?,
            drag_rise: v.number(&constant("drag_rise"))?,
            lift_at_drag_min: 0.0,
            lift_max: v.number(&constant("lift_max"))?,
            lift_min: v.number(&constant("lift_min"))?,
        }));
    }
    let key = format!("{group}.file");
    let path = v.text(&key)?;
    let entry = v.entry(&key)?;
    if v.text(&format!("{group}.kind"))? == "shape" {
        let shape = inputs.section_shape(entry, path).map_err(|found| problems.extend(found)).ok()?;
        return Some(SectionSpec::Shape(shape));
    }
    inputs.section_table(entry, path).map_err(|found| problems.extend(found)).ok().map(SectionSpec::Table)
}

/// All surfaces whose values are right.
pub(super) fn surfaces(v: &Values) -> Vec<Option<Surface>> {
    v.names("surface.NAME").iter().map(|name| surface(v, name)).collect()
}

fn surface(v: &Values, name: &str) -> Option<Surface> {
    let key = |key: &str| format!("surface.{name}.{key}");
    let number = |k: &str| v.number(&key(k));
    let radians = |k: &str| v.radians(&key(k));
    let lift_max = number("lift_max")?;
    Some(Surface {
        name: name.to_owned(),
        root_leading_edge_m: Vec3::from_column_slice(v.numbers(&key("root_leading_edge_m"))?),
        mirror: v.boolean(&key("mirror"))?,
        span_m: number("span_m")?,
        root_chord_m: number("root_chord_m")?,
        tip_chord_m: number("tip_chord_m")?,
        sweep_rad: radians("sweep_deg")?,
        dihedral_rad: radians("dihedral_deg")?,
        incidence_rad: radians("incidence_deg")?,
        twist_rad: radians("twist_deg")?,
        thickness_ratio: number("thickness_ratio")?,
        section: AnalyticSection {
            lift_slope_per_rad: number("lift_slope_per_rad")?,
            zero_lift_rad: radians("zero_lift_deg")?,
            drag_min: number("drag_min")?,
            drag_rise: number("drag_rise")?,
            lift_at_drag_min: 0.0,
            lift_max,
            lift_min: -lift_max,
        },
        wake: match v.text(&key("wake"))? {
            "naca651" => SurfaceWake::Naca651,
            "none" => SurfaceWake::None,
            _ => SurfaceWake::Momentum,
        },
        flaps: flaps(v, name)?,
        potential: v.boolean(&key("potential"))?,
    })
}

/// All bodies whose values are right.
pub(super) fn bodies(v: &Values) -> Vec<Option<Body>> {
    v.names("body.NAME").iter().map(|name| body(v, name)).collect()
}

fn body(v: &Values, name: &str) -> Option<Body> {
    let key = |key: &str| format!("body.{name}.{key}");
    let number = |k: &str| v.number(&key(k));
    Some(Body {
        name: name.to_owned(),
        nose_m: Vec3::from_column_slice(v.numbers(&key("nose_m"))?),
        length_m: number("length_m")?,
        diameter_m: number("diameter_m")?,
        closing_length_m: number("closing_length_m")?,
        drag_coefficient: number("drag_coefficient")?,
        wake: v.text(&key("wake"))? != "none",
        potential: v.boolean(&key("potential"))?,
    })
}

/// The survey, if the case has one; `None` outside where its file has a problem.
pub(super) fn survey(v: &Values, inputs: &mut Inputs, problems: &mut Vec<Problem>) -> Option<Option<Survey>> {
    let Some(path) = v.text("survey.file") else { return Some(None) };
    let data = inputs.survey(v.entry("survey.file")?, path).map_err(|found| problems.extend(found)).ok()?;
    Some(Some(Survey { add: v.boolean("survey.add")?, data }))
}

/// The flaps of a surface.
fn flaps(v: &Values, surface: &str) -> Option<Vec<Flap>> {
    let path = format!("surface.{surface}.flap");
    let flap = |name: &String| {
        let key = |key: &str| format!("{path}.{name}.{key}");
        Some(Flap {
            name: name.clone(),
            span_from: v.number(&key("span_from"))?,
            span_to: v.number(&key("span_to"))?,
            chord_ratio: v.number(&key("chord_ratio"))?,
            deflection_rad: v.radians(&key("deflection_deg"))?,
        })
    };
    v.names(&format!("{path}.NAME")).iter().map(flap).collect()
}

/// Hub position and shaft angles of a group of placement keys; a problem where the hub is behind nothing.
pub(super) fn placement(
    v: &Values,
    group: &str,
    surfaces: &[Option<Surface>],
    behind: impl Fn(&str) -> Problem,
) -> Option<Result<Placement, Problem>> {
    let key = |key: &str| format!("{group}.{key}");
    let hub_m = match v.text(&key("behind")) {
        Some(name) => match hub_behind(v, group, name, surfaces, behind)? {
            Ok(hub_m) => hub_m,
            Err(problem) => return Some(Err(problem)),
        },
        None => Vec3::new(v.number(&key("hub_x_m"))?, v.number(&key("hub_y_m"))?, v.number(&key("hub_z_m"))?),
    };
    let (tilt_rad, toe_rad) = (v.radians(&key("tilt_deg"))?, v.radians(&key("toe_deg"))?);
    Some(Ok(Placement { hub_m, tilt_rad, toe_rad }))
}

/// Hub from height above and distance aft of the trailing edge at its span station.
fn hub_behind(
    v: &Values,
    group: &str,
    name: &str,
    surfaces: &[Option<Surface>],
    behind: impl Fn(&str) -> Problem,
) -> Option<Result<Vec3, Problem>> {
    let Some(index) = v.names("surface.NAME").iter().position(|known| known == name) else {
        if v.some_unnamed {
            return None;
        }
        let names = v.names("surface.NAME").join(", ");
        let allowed = if names.is_empty() { "no name: the case has no [[surface]]".into() } else { names };
        return Some(Err(behind("is not the name of a surface").allowed(allowed)));
    };
    let surface = surfaces.get(index)?.as_ref()?;
    let number = |key: &str| v.number(&format!("{group}.{key}"));
    let y = number("lateral_m")?;
    let (offset, gap) = (number("shaft_offset_m")?, number("axial_gap_m")?);
    let Some(edge) = trailing_edge_at_y(surface, y) else {
        let what = format!("has no trailing edge at y = {y} m, the hub's span station");
        let hint = format!("change `{group}.lateral_m`, or place the hub by hub_x_m, hub_y_m, hub_z_m");
        return Some(Err(behind(&what).allowed("a surface that spans the hub's y").hint(hint)));
    };
    Some(Ok(Vec3::new(edge.x + gap, y, edge.z + offset)))
}

pub(super) fn solver(v: &Values) -> Option<Solver> {
    Some(Solver {
        stations: v.count("solver.stations")?,
        azimuths: v.count("solver.azimuths")?,
        induction: match v.text("solver.induction")? {
            "momentum" => Induction::Momentum,
            _ => Induction::Dynamic,
        },
        tip_loss: match v.text("solver.tip_loss")? {
            "goldstein" => TipLoss::Goldstein,
            _ => TipLoss::Prandtl,
        },
        section_lift: match v.text("solver.section_lift")? {
            "quasi_steady" => SectionLift::QuasiSteady,
            _ => SectionLift::Unsteady,
        },
        streamwise: match v.text("solver.streamwise")? {
            "horlock" => Streamwise::Horlock,
            _ => Streamwise::QuasiSteady,
        },
        suction: match v.text("solver.suction")? {
            "trailing_edge" => Suction::TrailingEdge,
            "far" => Suction::Far,
            "none" => Suction::None,
            _ => Suction::ChordMean,
        },
        tolerance: v.number("solver.tolerance")?,
        harmonics: v.count("solver.harmonics")?,
    })
}

/// The airframe, as far as the case describes it.
pub(super) fn airframe(v: &Values) -> Airframe {
    let number = |key: &str| v.number(&format!("airframe.{key}"));
    let point = |key: &str| v.numbers(&format!("airframe.{key}")).map(Vec3::from_column_slice);
    let lift = || {
        Some(AircraftLift {
            reference_area_m2: number("reference_area_m2")?,
            lift_slope_per_rad: number("lift_slope_per_rad")?,
            zero_lift_rad: v.radians("airframe.zero_lift_deg")?,
            lift_max: number("lift_max")?,
            induced_drag_factor: number("induced_drag_factor")?,
        })
    };
    let gear = || {
        Some(Gear {
            tail_wheel: v.text("airframe.gear")? == "tail_wheel",
            main_m: point("main_wheel_m")?,
            third_m: point("third_wheel_m")?,
            tyre_drop_m: number("tyre_drop_m")?,
            strut_drop_m: number("strut_drop_m")?,
            rotation_rad: v.radians("airframe.rotation_deg"),
        })
    };
    Airframe {
        mass_kg: number("mass_kg"),
        centre_of_gravity_m: point("centre_of_gravity_m"),
        inertia_kg_m2: point("inertia_kg_m2"),
        inertia_xz_kg_m2: number("inertia_xz_kg_m2").unwrap_or_default(),
        drag_area_m2: number("drag_area_m2"),
        reference_area_m2: number("reference_area_m2"),
        lift: lift(),
        gear: gear(),
        waterline_z_m: number("waterline_z_m"),
    }
}

/// What is adjusted, if the case says so.
pub(super) fn trim(v: &Values) -> Option<Trim> {
    let rad_s = |key: &str| v.number(&format!("trim.{key}")).map(|rpm| rpm * TAU / 60.0);
    let thrust = match (v.boolean("trim.drag")?, v.number("trim.thrust_n")) {
        (true, _) => Some(ThrustTarget::Drag),
        (false, given) => given.map(ThrustTarget::Given),
    };
    let by = match v.text("trim.by")? {
        "pitch_offset_deg" => By::Pitch {
            min_rad: v.radians("trim.pitch_offset_min_deg")?,
            max_rad: v.radians("trim.pitch_offset_max_deg")?,
        },
        _ => By::Speed { min_rad_s: rad_s("speed_min_rpm"), max_rad_s: rad_s("speed_max_rpm") },
    };
    Some(Trim {
        thrust,
        level: v.boolean("trim.level")?,
        by,
        power_max_w: v.number("trim.power_max_w"),
        keeps_solidity: v.text("trim.more_blades")? == "equal_solidity",
        chord_factor: chord_factor(v)?,
    })
}

/// Factor on the chords of the blade that keeps its solidity at another blade count.
fn chord_factor(v: &Values) -> Option<f64> {
    match v.text("trim.more_blades") {
        Some("equal_solidity") => {
            let counts = (v.count("trim.solidity_blade_count")?, v.count("propeller.blade_count")?);
            Some(counts.0 as f64 / counts.1 as f64)
        }
        _ => Some(1.0),
    }
}
