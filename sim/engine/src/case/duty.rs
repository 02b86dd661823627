//! The duty cycle from its keys: every segment is the case's operating point with what the segment changes.

use super::consistency::at_key;
use super::csv::{Column, read};
use super::inputs::Inputs;
use super::keys::Range;
use super::problem::Problem;
use super::values::Values;
use crate::air::standard_air;
use crate::duty::input::{Density, Detail, DutyCycle, Equivalent, MeanRule, Segment};
use crate::point::input::OperatingPoint;
use crate::point::result::HubLoad;
use crate::trim::{By, ThrustTarget, Trim};
use std::f64::consts::TAU;

/// Exponents of the equivalent loads a case does not choose, each told for [`DEFAULT_CYCLES`].
const DEFAULT_EXPONENTS: [f64; 3] = [3.0, 5.0, 10.0];
const DEFAULT_CYCLES: f64 = 1e6;

const FREQUENCY: Column =
    Column { name: "frequency_hz", required: true, number: Some((Range::closed(0.0, 1e6), "Hz")) };
const DENSITY: Column =
    Column { name: "density", required: true, number: Some((Range::closed(0.0, 1e12), "unit2/Hz")) };

/// Names of the loads that are counted: those at the hub, and with a mount the motor's torque and the forces on every isolator.
pub(super) fn load_names(v: &Values) -> Vec<String> {
    let mut names: Vec<String> = HubLoad::ALL.iter().map(|load| load.name().to_owned()).collect();
    let isolators = v.names("isolator.NAME");
    if !isolators.is_empty() {
        names.push("motor_torque".to_owned());
        names.extend(isolators.iter().flat_map(|name| ["x", "y", "z"].map(|axis| format!("{name}_{axis}"))));
    }
    names
}

/// The duty cycle, if the case has one and nothing in it is wrong. Without `base`, an operating point that could not be built, its
/// segments are left alone.
pub(super) fn duty(
    label: &str,
    v: &Values,
    base: Option<&OperatingPoint>,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<DutyCycle> {
    let flights_per_life = v.number("duty.flights_per_life")?;
    let names = v.names("duty.segment.NAME");
    if names.is_empty() && !v.some_unnamed {
        let problem = at_key(label, v, "duty.flights_per_life", "counts flights without a segment");
        problems.push(
            problem
                .allowed("one [[duty.segment]] or more")
                .hint("add [[duty.segment]] with name and duration_s"),
        );
    }
    let trim = super::build::trim(v);
    let segments: Option<Vec<Option<Segment>>> = base.map(|base| {
        let maker = SegmentMaker { label, v, base, trim: trim.as_ref() };
        names.iter().map(|name| maker.segment(name, problems)).collect()
    });
    let details: Vec<Option<Detail>> =
        v.names("duty.detail.NAME").iter().map(|name| detail(label, v, name, problems)).collect();
    let densities: Vec<Option<Density>> =
        v.names("duty.density.NAME").iter().map(|name| density(label, v, name, inputs, problems)).collect();
    let segments: Vec<Segment> = segments?.into_iter().collect::<Option<_>>()?;
    if segments.is_empty() {
        return None;
    }
    Some(DutyCycle {
        segments,
        flights_per_life,
        samples: v.count("duty.samples_per_revolution")?,
        equivalents: equivalents(v)?,
        details: details.into_iter().collect::<Option<_>>()?,
        densities: densities.into_iter().collect::<Option<_>>()?,
    })
}

struct SegmentMaker<'a> {
    label: &'a str,
    v: &'a Values,
    base: &'a OperatingPoint,
    trim: Option<&'a Trim>,
}

impl SegmentMaker<'_> {
    fn segment(&self, name: &str, problems: &mut Vec<Problem>) -> Option<Segment> {
        let key = |key: &str| format!("duty.segment.{name}.{key}");
        let number = |k: &str| self.v.number(&key(k));
        let radians = |k: &str| self.v.radians(&key(k));
        let mut point = self.base.clone();
        let flight = &mut point.flight;
        flight.airspeed_m_s = number("airspeed_m_s").unwrap_or(flight.airspeed_m_s);
        flight.altitude_m = number("altitude_m").unwrap_or(flight.altitude_m);
        flight.angle_of_attack_rad = radians("angle_of_attack_deg").unwrap_or(flight.angle_of_attack_rad);
        flight.sideslip_rad = radians("sideslip_deg").unwrap_or(flight.sideslip_rad);
        let propeller = &mut point.propeller;
        propeller.speed_rad_s = number("speed_rpm").map_or(propeller.speed_rad_s, |rpm| rpm * TAU / 60.0);
        propeller.pitch_offset_rad = radians("pitch_offset_deg").unwrap_or(propeller.pitch_offset_rad);
        if let Some(mass_kg) = number("mass_kg") {
            point.airframe.mass_kg = Some(mass_kg);
        }
        let found = [
            self.flap(name, &mut point),
            self.level_at_rest(name, &point),
            self.nothing_lifts(name, &point),
            self.tip_mach(name, &point),
        ];
        let before = problems.len();
        problems.extend(found.into_iter().flatten());
        if problems.len() > before {
            return None;
        }
        Some(Segment {
            name: name.to_owned(),
            duration_s: number("duration_s")?,
            repeats: self.v.count(&key("repeats"))?,
            trim: self.trim_of(name),
            point,
        })
    }

    /// The case's trim with what the segment gives itself taken out of it.
    fn trim_of(&self, name: &str) -> Option<Trim> {
        let number = |k: &str| self.v.number(&format!("duty.segment.{name}.{k}"));
        let free = Trim {
            thrust: None,
            level: false,
            by: By::Speed { min_rad_s: None, max_rad_s: None },
            power_max_w: None,
            chord_factor: 1.0,
            keeps_solidity: false,
        };
        let mut trim = self.trim.copied().unwrap_or(free);
        if number("speed_rpm").is_some() {
            trim.thrust = None;
        }
        if let Some(thrust_n) = number("thrust_n") {
            trim.thrust = Some(ThrustTarget::Given(thrust_n));
        }
        if number("angle_of_attack_deg").is_some() {
            trim.level = false;
        }
        if number("mass_kg").is_some() {
            trim.level = true;
        }
        (trim.level || trim.thrust.is_some()).then_some(trim)
    }

    /// Sets the flap; a problem where it is not clear which.
    fn flap(&self, name: &str, point: &mut OperatingPoint) -> Option<Problem> {
        let key = |key: &str| format!("duty.segment.{name}.{key}");
        let deflection_rad = self.v.radians(&key("flap_deflection_deg"))?;
        let wanted = self.v.text(&key("flap"));
        let mut known = Vec::new();
        let mut found = Vec::new();
        for surface in &mut point.surfaces {
            for flap in &mut surface.flaps {
                let full = format!("{}.{}", surface.name, flap.name);
                if wanted.is_none_or(|text| text == full) {
                    found.push(flap);
                }
                known.push(full);
            }
        }
        if let [flap] = found.as_mut_slice() {
            flap.deflection_rad = deflection_rad;
            return None;
        }
        let problem = |path: &str, what: &str| at_key(self.label, self.v, &key(path), what);
        let names = known.join(", ");
        Some(match (found.is_empty(), wanted) {
            (true, Some(_)) => {
                let allowed = if known.is_empty() { "no name: the case has no flap".into() } else { names };
                problem("flap", "is not the name of a flap").allowed(allowed)
            }
            (true, None) => problem("flap_deflection_deg", "deflects a flap, and the case has none")
                .allowed("a case with [[surface.flap]]")
                .hint("add the flap, or remove the key"),
            (false, _) => problem("flap_deflection_deg", "does not say which flap it deflects")
                .allowed(format!("with `flap`, one of {names}"))
                .hint("add `flap`"),
        })
    }

    /// Level flight needs an airspeed.
    fn level_at_rest(&self, name: &str, point: &OperatingPoint) -> Option<Problem> {
        let path = format!("duty.segment.{name}.mass_kg");
        (self.v.number(&path).is_some() && point.flight.airspeed_m_s == 0.0).then(|| {
            at_key(self.label, self.v, &path, "asks for level flight without an airspeed")
                .allowed("a mass with an airspeed above 0 m/s")
                .hint("on the ground give angle_of_attack_deg instead")
        })
    }

    /// Level flight needs something that lifts.
    fn nothing_lifts(&self, name: &str, point: &OperatingPoint) -> Option<Problem> {
        let path = format!("duty.segment.{name}.mass_kg");
        let lifts = point.airframe.lift.is_some() || !point.surfaces.is_empty();
        (self.v.number(&path).is_some() && !lifts).then(|| {
            at_key(self.label, self.v, &path, "finds nothing that lifts")
                .allowed("a case with [[surface]], or with airframe.reference_area_m2 and airframe.lift_slope_per_rad")
                .hint("describe the wing, or give angle_of_attack_deg")
        })
    }

    /// As for the case itself: section models and wake know no supersonic flow.
    fn tip_mach(&self, name: &str, point: &OperatingPoint) -> Option<Problem> {
        let path = format!("duty.segment.{name}.speed_rpm");
        self.v.number(&path)?;
        let air = standard_air(point.flight.altitude_m, point.flight.temperature_offset_k);
        let tip = 0.5 * point.propeller.diameter_m * point.propeller.speed_rad_s;
        let mach = tip.hypot(point.flight.airspeed_m_s) / air.speed_of_sound_m_s;
        (mach > 1.0).then(|| {
            let what = format!("gives a helical tip Mach number of {mach:.3}, above 1");
            at_key(self.label, self.v, &path, what)
                .allowed("a helical tip Mach number up to 1")
                .hint("lower speed_rpm")
        })
    }
}

fn equivalents(v: &Values) -> Option<Vec<Equivalent>> {
    let names = v.names("duty.equivalent.NAME");
    if names.is_empty() {
        let default =
            |exponent: f64| Equivalent { name: format!("m{exponent}"), exponent, cycles: DEFAULT_CYCLES };
        return Some(DEFAULT_EXPONENTS.map(default).into());
    }
    let equivalent = |name: &String| {
        Some(Equivalent {
            name: name.clone(),
            exponent: v.number(&format!("duty.equivalent.{name}.exponent"))?,
            cycles: v.number(&format!("duty.equivalent.{name}.cycles"))?,
        })
    };
    names.iter().map(equivalent).collect()
}

/// A problem where a load is none of those counted.
fn unknown_load(label: &str, v: &Values, path: &str) -> Option<Problem> {
    let names = load_names(v);
    let given = v.text(path)?;
    (!names.iter().any(|name| name == given)).then(|| {
        let problem = at_key(label, v, path, "is not the name of a load").allowed(names.join(", "));
        match super::nearest::nearest(given, names.iter().map(String::as_str)) {
            Some(best) => problem.hint(format!("did you mean {best:?}?")),
            None => problem,
        }
    })
}

fn detail(label: &str, v: &Values, name: &str, problems: &mut Vec<Problem>) -> Option<Detail> {
    let key = |key: &str| format!("duty.detail.{name}.{key}");
    let number = |k: &str| v.number(&key(k));
    let unknown = unknown_load(label, v, &key("load"));
    let stressless = (number("stress_mpa_per_load") == Some(0.0)).then(|| {
        at_key(label, v, &key("stress_mpa_per_load"), "leaves the detail without stress")
            .allowed("a number other than 0")
    });
    if unknown.is_some() || stressless.is_some() {
        problems.extend([unknown, stressless].into_iter().flatten());
        return None;
    }
    Some(Detail {
        name: name.to_owned(),
        load: v.text(&key("load"))?.to_owned(),
        stress_per_load: number("stress_mpa_per_load")?,
        range_mpa: number("range_mpa")?,
        cycles: number("cycles")?,
        slope: number("slope")?,
        endurance_range_mpa: number("endurance_range_mpa")?,
        mean: match v.text(&key("mean_stress"))? {
            "none" => MeanRule::Ignored,
            "gerber" => MeanRule::Gerber { ultimate_mpa: number("ultimate_mpa")? },
            "soderberg" => MeanRule::Soderberg { yield_mpa: number("yield_mpa")? },
            "smith_watson_topper" => MeanRule::SmithWatsonTopper,
            "walker" => MeanRule::Walker { exponent: number("walker_exponent")? },
            _ => MeanRule::Goodman { ultimate_mpa: number("ultimate_mpa")? },
        },
    })
}

fn density(
    label: &str,
    v: &Values,
    name: &str,
    inputs: &mut Inputs,
    problems: &mut Vec<Problem>,
) -> Option<Density> {
    let key = |key: &str| format!("duty.density.{name}.{key}");
    let before = problems.len();
    problems.extend(unknown_load(label, v, &key("load")));
    let segments = v.names("duty.segment.NAME");
    let segment = match v.text(&key("segment")) {
        None => None,
        Some(wanted) => match segments.iter().position(|known| known == wanted) {
            None => {
                let problem = at_key(label, v, &key("segment"), "is not the name of a segment");
                problems.push(problem.allowed(segments.join(", ")));
                None
            }
            index => index,
        },
    };
    let path = v.text(&key("file"))?;
    let text = inputs.text(v.entry(&key("file"))?, path).map_err(|problem| problems.push(*problem)).ok()?;
    let (frequency_hz, density) = density_table(path, &text).map_err(|found| problems.extend(found)).ok()?;
    (problems.len() == before).then(|| Density {
        name: name.to_owned(),
        load: v.text(&key("load")).unwrap_or_default().to_owned(),
        segment,
        frequency_hz,
        density,
    })
}

/// Frequency and density, two rows or more, frequencies rising, some power above 0 Hz.
fn density_table(file: &str, text: &str) -> Result<(Vec<f64>, Vec<f64>), Vec<Problem>> {
    let table = read(file, text, &[FREQUENCY, DENSITY])?;
    let mut problems = Vec::new();
    let frequency_hz = table.numbers(&FREQUENCY, &mut problems);
    let density = table.numbers(&DENSITY, &mut problems);
    if problems.is_empty() {
        let last = table.rows.len() - 1;
        if let Some(row) = (1..=last).find(|&row| frequency_hz[row] <= frequency_hz[row - 1]) {
            let problem = table.problem(row, FREQUENCY.name, "does not rise from the row before");
            problems.push(problem.allowed("frequencies that rise from row to row"));
        } else if last == 0 || !density.iter().zip(&frequency_hz).any(|(g, f)| *g > 0.0 && *f > 0.0) {
            let problem = table.problem(last, DENSITY.name, "leaves the density without power");
            problems.push(problem.allowed("two rows or more, one of them above 0 at a frequency above 0 Hz"));
        }
    }
    if problems.is_empty() { Ok((frequency_hz, density)) } else { Err(problems) }
}
