//! The first harmonic of `dynamic` induction in balance with the hub loads that make it.

use nalgebra::{Matrix4, Vector4};

use super::group_state::GroupState;
use super::setup::Setup;
use crate::induction::dynamic::{DiskFlow, FirstHarmonic, FirstLoads};

/// Change of the harmonic, in tolerances, below which loads are not found anew.
const STANDING: f64 = 0.1;

/// Quasi-Newton iteration (Broyden's first method) on the four numbers of the first harmonic.
#[derive(Debug, Clone)]
pub(super) struct DiskState {
    /// Present trial.
    pub harmonic: FirstHarmonic,
    /// Whether the last trial met the tolerance.
    pub done: bool,
    inverse: Matrix4<f64>,
    last: Option<(Vector4<f64>, Vector4<f64>)>,
    /// What the balance adds to the harmonic the loads ask for, m/s: 0 but on a thinned grid.
    correction: Vector4<f64>,
    /// Speed through the disk, by which tolerances are measured, m/s.
    through_m_s: f64,
}

impl DiskState {
    /// From rest, with the answer of the blades to an induced velocity estimated by strips.
    pub(super) fn new(setup: &Setup, groups: &[GroupState]) -> Self {
        let flow = disk_flow(setup, groups);
        let gain = strip_gain(setup, &flow);
        Self {
            harmonic: FirstHarmonic::default(),
            done: false,
            inverse: Matrix4::identity() * (-1.0 / (1.0 + gain)),
            last: None,
            correction: Vector4::zeros(),
            through_m_s: flow.through_m_s(),
        }
    }

    /// Takes the harmonic that the loads of the last sweep on a grid ask for, and moves on.
    pub(super) fn take(&mut self, asked: &Asked, tolerance: f64) {
        let at = vector(&self.harmonic);
        let residual = asked.harmonic_m_s + self.correction - at;
        self.done = residual.amax() <= 10.0 * tolerance * asked.through_m_s;
        if self.done {
            return;
        }
        if let Some((before, residual_before)) = self.last {
            self.learn(at - before, residual - residual_before);
        }
        self.last = Some((at, residual));
        let next = at - self.inverse * residual;
        self.harmonic =
            FirstHarmonic { cosine_m_s: next[0], sine_m_s: next[1], starboard_m_s: next[2], up_m_s: next[3] };
    }

    /// Whether the harmonic has moved so little since `before` that no load would show it.
    pub(super) fn stands_at(&self, before: Option<&FirstHarmonic>, tolerance: f64) -> bool {
        before.is_some_and(|before| {
            (vector(before) - vector(&self.harmonic)).amax() <= STANDING * tolerance * self.through_m_s
        })
    }

    /// Whether the harmonic that loads ask for is the present one.
    pub(super) fn balanced(&self, asked: &Asked, tolerance: f64) -> bool {
        (asked.harmonic_m_s - vector(&self.harmonic)).amax() <= 10.0 * tolerance * asked.through_m_s
    }

    /// Makes the balance on the thinned grid that of the full grid, as far as what both ask for at the same harmonic tells.
    pub(super) fn correct_by(&mut self, full: &Asked, thinned: &Asked) {
        self.correction = full.harmonic_m_s - thinned.harmonic_m_s;
        self.through_m_s = full.through_m_s;
        self.reopen();
    }

    /// Back to the balance of the full grid itself.
    pub(super) fn uncorrected(&mut self) {
        self.correction = Vector4::zeros();
        self.reopen();
    }

    /// Lets the iteration move again.
    pub(super) fn reopen(&mut self) {
        self.last = None;
        self.done = false;
    }

    fn learn(&mut self, moved: Vector4<f64>, change: Vector4<f64>) {
        let row = moved.transpose() * self.inverse;
        let below = (row * change)[0];
        if below.abs() > 1e-300 && below.is_finite() {
            self.inverse += (moved - self.inverse * change) * row / below;
        }
    }
}

/// The first harmonic that loads ask for, m/s, and the speed through the disk.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked {
    harmonic_m_s: Vector4<f64>,
    through_m_s: f64,
}

impl Asked {
    /// By the loads of the last sweep.
    pub(super) fn new(setup: &Setup, groups: &[GroupState]) -> Self {
        let flow = disk_flow(setup, groups);
        let asked = flow.first_harmonic(&first_loads(setup, groups));
        Self { harmonic_m_s: vector(&asked), through_m_s: flow.through_m_s() }
    }
}

fn vector(h: &FirstHarmonic) -> Vector4<f64> {
    Vector4::new(h.cosine_m_s, h.sine_m_s, h.starboard_m_s, h.up_m_s)
}

/// Flow through the disk: area means of the annuli.
pub(super) fn disk_flow(setup: &Setup, groups: &[GroupState]) -> DiskFlow {
    let (mut area, mut axial, mut induced) = (0.0, 0.0, 0.0);
    for (g, group) in groups.iter().enumerate() {
        for (station, lane) in setup.ahead.stations[setup.ahead.group_range(g)].iter().zip(0..) {
            let ring = station.radius_m * station.width_m;
            area += ring;
            axial += ring * group.inflow.mean_m_s.0[lane];
            induced += ring * group.induced.axial_m_s.0[lane];
        }
    }
    let stream = &setup.ahead.free_stream_m_s;
    let (starboard, up) = (stream.dot(&setup.ahead.disk.starboard), stream.dot(&setup.ahead.disk.up));
    DiskFlow {
        density_kg_m3: setup.ahead.air.density_kg_m3,
        tip_m: setup.ahead.tip_m,
        axial_m_s: axial / area,
        induced_m_s: induced / area,
        in_plane_m_s: starboard.hypot(up),
        skew_azimuth_rad: (setup.ahead.disk.sigma * starboard).atan2(up),
    }
}

/// Mean thrust, first moments and normal force of all blades.
fn first_loads(setup: &Setup, groups: &[GroupState]) -> FirstLoads {
    let mut sum = FirstLoads::default();
    for (g, group) in groups.iter().enumerate() {
        let share = setup.blades() / group.loads.len() as f64;
        for parts in &group.tones {
            for (station, lane) in setup.ahead.stations[setup.ahead.group_range(g)].iter().zip(0..) {
                let width = share * station.width_m;
                // The tones are amplitudes: a mean of x cos ψ is half of one.
                let half = 0.5 * width;
                let (sin, cos) = station.lag_rad.sin_cos();
                // The station stands at ψ − lag: turn the parts about the blade's azimuth to its own.
                let turned = |c: f64, s: f64| (c * cos + s * sin, s * cos - c * sin);
                let axial = turned(parts.normal.0.0[lane], parts.normal.1.0[lane]);
                let against = turned(parts.tangential.0.0[lane], parts.tangential.1.0[lane]);
                sum.thrust_n += width * parts.mean_normal.0[lane];
                sum.cosine_moment_n_m += half * station.radius_m * axial.0;
                sum.sine_moment_n_m += half * station.radius_m * axial.1;
                sum.vertical_force_n += half * against.1;
                sum.side_force_n -= setup.ahead.disk.sigma * half * against.0;
            }
        }
    }
    sum
}

/// Answer of the axial first harmonic to itself through the blades, by strips of slope 2π: how much of an
/// induced velocity the loads it takes away would have asked for.
fn strip_gain(setup: &Setup, flow: &DiskFlow) -> f64 {
    let tip = setup.ahead.tip_m;
    let moment: f64 = setup
        .ahead
        .stations
        .iter()
        .map(|s| {
            let speed = setup.point.propeller.speed_rad_s * s.radius_m;
            s.radius_m * s.width_m * 0.25 * std::f64::consts::TAU * speed * s.chord_m * s.radius_m / tip
        })
        .sum();
    2.0 * setup.blades() * moment / (std::f64::consts::PI * tip.powi(3) * flow.mass_flow_m_s())
}
