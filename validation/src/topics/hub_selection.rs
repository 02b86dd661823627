//! Which harmonics of the blade load reach the hub, and what a plane wake slab holds, through the whole engine.

use std::f64::consts::{FRAC_PI_2, TAU};

use wakebeat_engine::base::Vec3;
use wakebeat_engine::inflow::InflowSource;
use wakebeat_engine::point::result::{BladeLoad, DiskField, HubLoad, PointResult};
use wakebeat_engine::point::{PointError, solve_with};

use crate::propellers::plain_point;
use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Fineness, Point, Row};
use crate::tone::Tone;

const RULES: &str = "trigonometry of equal spacing, exact; NACA TN 2585 describes the two-blade case";
const SLABS: &str = "Fourier content of a cos² slab by quadrature to 1e-11";

/// A gust of a millionth of the airspeed: what is nonlinear in it sets the band.
const TONE_M_S: f64 = 2.5e-5;
const GUST_BAND: f64 = 2e-6;
const GUST_WORDS: &str = "square of a gust of 1e-6 of the airspeed";

const STATION: usize = 16;
const AIRSPEED_M_S: f64 = 25.0;
const ROOT_M: f64 = 0.1;

pub(super) fn checks() -> Vec<Check> {
    let rules = (2..=6).map(|blades| {
        Check::new("hub_selection", format!("{blades} blades"), RULES, move |fineness| {
            rules(blades, fineness)
        })
    });
    let slabs = Check::new("hub_selection", "wake slab on the disk", SLABS, slab_rows);
    let passed = Check::new("hub_selection", "wake slab to hub thrust", SLABS, proportion_rows);
    rules.chain([slabs, passed]).collect()
}

/// Answer to a tone of n cycles per revolution.
fn toned(blades: usize, n: usize, fineness: Fineness) -> Result<PointResult, PointError> {
    let mut point = plain_point(blades);
    // Not a multiple of 3, 4 or 6.
    fineness.resolve(&mut point, 24, 250);
    let tone = Tone { order: n as f64, axial_m_s: TONE_M_S, tangential_m_s: 0.0 };
    solve_with(&point, vec![Box::new(tone)])
}

/// Hub loads from each order of the blade load over the blade's own, by order at the hub.
fn rules(blades: usize, fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    let table = Table::parse(include_str!("../../data/rotor/hub_harmonic_selection.csv"))?;
    let mut expected = Vec::new();
    for row in table.rows() {
        if row.number("Z")? == blades as f64 {
            let order = row.number("fixed_frame_per_rev")? as usize;
            let at = (row.number("n")? as usize, row.text("quantity")?.to_owned(), order);
            expected.push((at, row.number("amplitude_normalised")?));
        }
    }
    let clean = {
        let mut point = plain_point(blades);
        fineness.resolve(&mut point, 24, 250);
        solve_with(&point, Vec::new())?
    };
    let loads = [
        ("thrust", HubLoad::Thrust, "thrust_or_torque"),
        ("pitching moment", HubLoad::PitchingMoment, "inplane_cos_axis"),
        ("yawing moment", HubLoad::YawingMoment, "inplane_sin_axis"),
    ];
    let mut rows: Vec<Row> =
        loads.map(|(name, ..)| Row::curve(name, name, "order n of the blade load", Vec::new())).into();
    for n in 1..=12 {
        let result = toned(blades, n, fineness)?;
        for (row, (_, load, column)) in rows.iter_mut().zip(loads) {
            // The mean thrust moves with the square of the tone.
            let from = usize::from(load == HubLoad::Thrust);
            for order in from..=8 * blades {
                let published = expected
                    .iter()
                    .find(|((of, quantity, at), _)| (*of, quantity.as_str(), *at) == (n, column, order))
                    .map_or(0.0, |(_, value)| *value);
                let ours = reached(&result, &clean, load, order) / blade_load(&result, load, n);
                row.points.push(Point::new(n as f64, published, ours));
            }
        }
    }
    let mut rows: Vec<Row> =
        rows.into_iter().map(|row| row.within(Band::Absolute(GUST_BAND), GUST_WORDS)).collect();
    rows.push(two_blade_exception(blades, fineness, &clean)?);
    Ok(rows)
}

/// A blade moment at 1P gives a steady hub moment, which pulses in full with two blades and not at all with more.
fn two_blade_exception(blades: usize, fineness: Fineness, clean: &PointResult) -> Result<Row, CheckError> {
    let result = toned(blades, 1, fineness)?;
    let order = if blades == 2 { 2 } else { blades };
    let steady = reached(&result, clean, HubLoad::PitchingMoment, 0);
    let ripple = reached(&result, clean, HubLoad::PitchingMoment, order) / steady;
    let published = if blades == 2 { 1.0 } else { 0.0 };
    let name = format!("{order}P over mean of the hub moment from a 1P blade moment");
    Ok(Row::single(name, "pulsing of the hub moment", published, ripple)
        .within(Band::Absolute(1e-5), GUST_WORDS))
}

/// Amplitude at an order that the tone brings to the hub.
fn reached(result: &PointResult, clean: &PointResult, load: HubLoad, order: usize) -> f64 {
    let at = |r: &PointResult| r.hub(load).harmonics.phasor(order);
    if order == 0 { (at(result) - at(clean)).norm() } else { at(result).norm() }
}

/// Amplitude of order n of the blade's thrust, or of its axial force times the distance from the hub.
fn blade_load(result: &PointResult, load: HubLoad, n: usize) -> f64 {
    let blade = |load: BladeLoad| result.blades[0][load as usize].harmonics.phasor(n);
    let thrust = blade(BladeLoad::Thrust);
    if load == HubLoad::Thrust {
        thrust.norm()
    } else {
        (blade(BladeLoad::FlapMoment) + ROOT_M * thrust).norm()
    }
}

/// d0 cos²(π(z − h)/(2b)) slower for |z − h| < b.
struct Slab {
    depth_m_s: f64,
    height_m: f64,
    half_width_m: f64,
}

impl Slab {
    /// A slab given by the radius of a station over its half width and its height over its half width.
    fn at(radius_m: f64, r_over_b: f64, h_over_b: f64, depth_m_s: f64) -> Self {
        let half_width_m = radius_m / r_over_b;
        Self { depth_m_s, height_m: h_over_b * half_width_m, half_width_m }
    }
}

impl InflowSource for Slab {
    fn name(&self) -> &str {
        "slab"
    }

    fn velocity_m_s(&self, p: &Vec3) -> Option<Vec3> {
        let zeta = (p.z - self.height_m) / self.half_width_m;
        let slow = if zeta.abs() < 1.0 { self.depth_m_s * (FRAC_PI_2 * zeta).cos().powi(2) } else { 0.0 };
        Some(Vec3::new(-slow, 0.0, 0.0))
    }
}

/// A slab of the table: r/b, h/b, and the size of each order.
struct Listed {
    r_over_b: f64,
    h_over_b: f64,
    sizes: Vec<(usize, f64)>,
}

fn listed() -> Result<Vec<Listed>, CheckError> {
    let mut slabs: Vec<Listed> = Vec::new();
    for row in Table::parse(include_str!("../../data/rotor/wake_slab_harmonics.csv"))?.rows() {
        let (r_over_b, h_over_b) = (row.number("r_over_b")?, row.number("h_over_b")?);
        let size = (row.number("n")? as usize, row.number("magnitude")?);
        match slabs.last_mut() {
            Some(last) if (last.r_over_b, last.h_over_b) == (r_over_b, h_over_b) => last.sizes.push(size),
            _ => slabs.push(Listed { r_over_b, h_over_b, sizes: vec![size] }),
        }
    }
    Ok(slabs)
}

/// Solves two blades, or more, behind a slab seen by one station.
fn behind(
    slab: &Listed,
    depth_ratio: f64,
    blades: usize,
    azimuths: usize,
) -> Result<PointResult, PointError> {
    let mut point = plain_point(blades);
    point.solver.azimuths = azimuths;
    let radius = solve_with(&point, Vec::new())?.radius_m[STATION];
    let source = Slab::at(radius, slab.r_over_b, slab.h_over_b, depth_ratio * AIRSPEED_M_S);
    solve_with(&point, vec![Box::new(source)])
}

fn slab_rows(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    const DEPTH: f64 = 1e-4;
    let mut rows = Vec::new();
    for slab in listed()? {
        let result = behind(&slab, DEPTH, 2, 2880 * fineness.0)?;
        let inflow = result.disk(DiskField::AxialInflow).row(STATION).to_vec();
        let deficit: Vec<f64> = inflow.iter().map(|u| (AIRSPEED_M_S - u) / (DEPTH * AIRSPEED_M_S)).collect();
        let points = slab
            .sizes
            .iter()
            .map(|(n, size)| Point::new(*n as f64, *size, order_size(&deficit, *n)))
            .collect();
        let name = format!("harmonics, r/b {}, h/b {}", slab.r_over_b, slab.h_over_b);
        rows.push(
            Row::curve(name, "harmonics over depth", "order n", points)
                .within(Band::Absolute(3e-6), "2880 points over a kink in the second derivative"),
        );
    }
    Ok(rows)
}

/// For a shallow slab each order of a station's force is in the proportion of the slab's, and hub thrust at NP is N times the
/// blade's.
fn proportion_rows(fineness: Fineness) -> Result<Vec<Row>, CheckError> {
    const DEPTH: f64 = 1e-5;
    let slabs = listed()?;
    let found = slabs.iter().find(|s| (s.r_over_b, s.h_over_b) == (5.0, 0.5));
    let slab = found.ok_or_else(|| CheckError::refused("no slab of r/b 5, h/b 0.5 in the table"))?;
    let mut rows = Vec::new();
    for blades in 2..=6 {
        let result = behind(slab, DEPTH, blades, 1440 * fineness.0)?;
        let force = result.disk(DiskField::NormalForce).row(STATION).to_vec();
        let sizes = slab.sizes.iter().filter(|(n, size)| (1..=12).contains(n) && *size > 1e-3);
        let second = slab.sizes.iter().find(|(n, _)| *n == 2).map_or(f64::NAN, |(_, size)| *size);
        let unit = order_size(&force, 2) / second;
        let points =
            sizes.map(|(n, size)| Point::new(*n as f64, *size, order_size(&force, *n) / unit)).collect();
        let name = format!("force of a station over that at 2P, {blades} blades");
        rows.push(
            Row::curve(name, "station force", "order n", points)
                .within(Band::Relative(1e-3), "square of a slab of 1e-5, 1440 points"),
        );
        let own = result.blades[0][BladeLoad::Thrust as usize].harmonics.phasor(blades).norm();
        let hub = result.hub(HubLoad::Thrust).harmonics.phasor(blades).norm();
        let name = format!("hub thrust at NP over the blade's, {blades} blades");
        rows.push(
            Row::single(name, "hub over blade", blades as f64, hub / own)
                .within(Band::Relative(1e-8), "round-off"),
        );
    }
    Ok(rows)
}

/// Size of order n of values over a revolution; the mean at order 0.
fn order_size(values: &[f64], n: usize) -> f64 {
    let count = values.len();
    let sum = values.iter().enumerate().fold((0.0, 0.0), |sum, (j, value)| {
        let (sin, cos) = (TAU * ((n * j) % count) as f64 / count as f64).sin_cos();
        (sum.0 + value * cos, sum.1 + value * sin)
    });
    let share = if n == 0 { 1.0 } else { 2.0 };
    share * sum.0.hypot(sum.1) / count as f64
}
