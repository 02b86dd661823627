//! From forces per unit span to the loads of one blade over its own azimuth.

use multiversion::multiversion;
use realfft::num_complex::Complex64;

use super::hub_signals::HubSignals;
use super::sweep::GroupLoads;
use crate::base::complex_lanes::ComplexLanes;
use crate::base::lanes::{LANES, Lanes};
use crate::blade::BladeStation;
use crate::frames::DiskAxes;

/// Loads of one blade against its own azimuth (A each): what the hub feels of it, in disk axes, and
/// the root moments in the rotating frame.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct BladeSignals {
    /// What the hub feels.
    pub hub: HubSignals<f64>,
    /// Flap moment at the root, N m.
    pub flap_moment_n_m: Vec<f64>,
    /// Lag moment at the root, N m.
    pub lag_moment_n_m: Vec<f64>,
}

/// Sums over the span at one azimuth.
#[derive(Debug, Clone, Copy, Default)]
struct SpanSums<Value = f64> {
    thrust: Value,
    torque: Value,
    // In-plane force on the blade split along −e_t and −e_r of the blade's azimuth (a swept station
    // pushes along its own tangent).
    against_motion: Value,
    inward: Value,
    // Moment of the axial force, split along e_t and e_r.
    about_tangent: Value,
    about_radius: Value,
    flap: Value,
    lag: Value,
}

/// What the axial force per unit span of eight stations counts in the sums over the span, then what the force against the
/// rotation does; 0 for lanes beyond the last station.
#[derive(Debug, Clone, Copy)]
struct SpanWeights {
    thrust: Lanes,
    about_tangent: Lanes,
    about_radius: Lanes,
    flap: Lanes,
    torque: Lanes,
    against_motion: Lanes,
    inward: Lanes,
    lag: Lanes,
}

/// Sums the stations of a blade. `groups` holds the loads of eight stations each, in station order;
/// `root_m` is the radius of the blade root.
#[must_use]
pub fn blade_signals(
    stations: &[BladeStation],
    groups: &[&GroupLoads],
    disk: &DiskAxes,
    azimuth_rad: &[f64],
    root_m: f64,
) -> BladeSignals {
    let weights: Vec<SpanWeights> =
        stations.chunks(LANES).map(|stations| SpanWeights::new(stations, root_m)).collect();
    let mut sums = vec![SpanSums::default(); azimuth_rad.len()];
    sum_over_span(&weights, groups, &mut sums);
    let mut signals = BladeSignals::with_room_for(azimuth_rad.len());
    for (sums, azimuth) in sums.iter().zip(azimuth_rad) {
        signals.push(sums, disk.sigma, azimuth.sin_cos());
    }
    signals
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn sum_over_span(weights: &[SpanWeights], groups: &[&GroupLoads], sums: &mut [SpanSums]) {
    for (j, sums) in sums.iter_mut().enumerate() {
        let mut eight = [Lanes::ZERO; 8];
        for (w, loads) in weights.iter().zip(groups) {
            w.add(loads.normal_n_per_m[j], loads.tangential_n_per_m[j], &mut eight);
        }
        *sums = SpanSums::of(&eight.map(Lanes::sum));
    }
}

/// Sums the stations of a blade order by order: `groups` holds the coefficients of axial force and force against the rotation per
/// unit span, N/m, of eight stations each, from order 1 to `orders`; their mean is 0. Coefficients of orders 0 to `orders` come out,
/// c₀ the mean, then cₙ of Re Σ cₙ e^{inψ}; the highest of in-plane loads lacks what the order above would give.
#[must_use]
pub fn blade_spectra(
    stations: &[BladeStation],
    groups: &[Vec<(ComplexLanes, ComplexLanes)>],
    disk: &DiskAxes,
    root_m: f64,
    orders: usize,
) -> HubSignals<Complex64> {
    let weights: Vec<SpanWeights> =
        stations.chunks(LANES).map(|stations| SpanWeights::new(stations, root_m)).collect();
    let mut sums = vec![SpanSums::default()];
    sums.extend((0..orders).map(|n| {
        let (mut re, mut im) = ([Lanes::ZERO; 8], [Lanes::ZERO; 8]);
        for (w, forces) in weights.iter().zip(groups) {
            let (axial, against) = forces[n];
            w.add(axial.re, against.re, &mut re);
            w.add(axial.im, against.im, &mut im);
        }
        SpanSums::of(&std::array::from_fn(|i| Complex64::new(re[i].sum(), im[i].sum())))
    }));
    spectra_in_disk_axes(&sums, disk.sigma)
}

impl<Value: Copy> SpanSums<Value> {
    /// From eight in the order of [`SpanWeights::add`].
    fn of(eight: &[Value; 8]) -> Self {
        let [thrust, about_tangent, about_radius, flap, torque, against_motion, inward, lag] = *eight;
        Self { thrust, torque, against_motion, inward, about_tangent, about_radius, flap, lag }
    }
}

impl SpanWeights {
    /// Of one to eight stations.
    fn new(stations: &[BladeStation], root_m: f64) -> Self {
        let over = |value: &dyn Fn(&BladeStation) -> f64| {
            Lanes::from_fn(|lane| stations.get(lane).map_or(0.0, |s| s.width_m * value(s)))
        };
        Self {
            thrust: over(&|_| 1.0),
            about_tangent: over(&|s| s.radius_m * s.lag_rad.cos()),
            about_radius: over(&|s| s.radius_m * s.lag_rad.sin()),
            flap: over(&|s| s.radius_m - root_m),
            torque: over(&|s| s.radius_m),
            against_motion: over(&|s| s.lag_rad.cos()),
            inward: over(&|s| s.lag_rad.sin()),
            lag: over(&|s| s.radius_m - root_m),
        }
    }

    /// Adds what an axial force and one against the rotation per unit span count: thrust, moments about the tangent and the radius,
    /// flap, torque, forces against the motion and inward, lag.
    #[inline(always)]
    fn add(&self, axial: Lanes, against: Lanes, eight: &mut [Lanes; 8]) {
        eight[0] = eight[0] + self.thrust * axial;
        eight[1] = eight[1] + self.about_tangent * axial;
        eight[2] = eight[2] + self.about_radius * axial;
        eight[3] = eight[3] + self.flap * axial;
        eight[4] = eight[4] + self.torque * against;
        eight[5] = eight[5] + self.against_motion * against;
        eight[6] = eight[6] + self.inward * against;
        eight[7] = eight[7] + self.lag * against;
    }
}

/// Turns the span sums of each order into disk axes, as [`BladeSignals::push`] does at an azimuth.
fn spectra_in_disk_axes(sums: &[SpanSums<Complex64>], sigma: f64) -> HubSignals<Complex64> {
    let each =
        |value: fn(&SpanSums<Complex64>) -> Complex64| -> Vec<Complex64> { sums.iter().map(value).collect() };
    let (against, inward) = (each(|s| s.against_motion), each(|s| s.inward));
    let (about_tangent, about_radius) = (each(|s| s.about_tangent), each(|s| s.about_radius));
    HubSignals {
        side_force_n: turned(&against, &inward, (-sigma, -sigma)),
        vertical_force_n: turned(&inward, &against, (-1.0, 1.0)),
        pitching_moment_n_m: turned(&about_tangent, &about_radius, (-1.0, -1.0)),
        yawing_moment_n_m: turned(&about_radius, &about_tangent, (sigma, -sigma)),
        thrust_n: each(|s| s.thrust),
        torque_n_m: each(|s| s.torque),
    }
}

impl BladeSignals {
    fn with_room_for(azimuths: usize) -> Self {
        let room = || Vec::with_capacity(azimuths);
        let hub = HubSignals {
            thrust_n: room(),
            side_force_n: room(),
            vertical_force_n: room(),
            torque_n_m: room(),
            pitching_moment_n_m: room(),
            yawing_moment_n_m: room(),
        };
        Self { hub, flap_moment_n_m: room(), lag_moment_n_m: room() }
    }

    /// Turns the span sums into disk axes.
    ///
    /// With e_r, e_t of [`DiskAxes`]: force F = −against e_t − inward e_r; a forward force P at r e_r has the
    /// right-handed moment r e_r × (−P aft) = −σ r P e_t, and one at r e_t the moment +σ r P e_r. The yawing
    /// moment is minus the right-handed moment about `up`.
    fn push(&mut self, s: &SpanSums, sigma: f64, (sin, cos): (f64, f64)) {
        let hub = &mut self.hub;
        hub.thrust_n.push(s.thrust);
        hub.torque_n_m.push(s.torque);
        hub.side_force_n.push(-sigma * (s.against_motion * cos + s.inward * sin));
        hub.vertical_force_n.push(s.against_motion * sin - s.inward * cos);
        hub.pitching_moment_n_m.push(-s.about_tangent * cos - s.about_radius * sin);
        hub.yawing_moment_n_m.push(sigma * (s.about_radius * cos - s.about_tangent * sin));
        self.flap_moment_n_m.push(s.flap);
        self.lag_moment_n_m.push(s.lag);
    }
}

/// Coefficients of p cos ψ · `by_cosine` + q sin ψ · `by_sine` from those of p and q.
///
/// With x = Σ ξₙ e^{inψ} over all n, 2ξₙ = cₙ from n = 1 on and ξ₋ₙ the conjugate of ξₙ, the products have (ξₙ₋₁ + ξₙ₊₁)/2 and
/// (ξₙ₋₁ − ξₙ₊₁)/2i.
fn turned(p: &[Complex64], q: &[Complex64], (by_cosine, by_sine): (f64, f64)) -> Vec<Complex64> {
    let two_xi = |c: &[Complex64], n: Option<usize>| match n {
        None => c.get(1).map_or(Complex64::ZERO, Complex64::conj),
        Some(0) => c[0] * 2.0,
        Some(n) => c.get(n).copied().unwrap_or_default(),
    };
    (0..p.len())
        .map(|n| {
            let beside = |c| (two_xi(c, n.checked_sub(1)), two_xi(c, Some(n + 1)));
            let ((below_p, above_p), (below_q, above_q)) = (beside(p), beside(q));
            let sum = (below_p + above_p) * by_cosine - Complex64::I * (below_q - above_q) * by_sine;
            // The mean is ξ₀ itself.
            sum * if n == 0 { 0.25 } else { 0.5 }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::complex_lanes::signal_orders;
    use crate::base::fourier::Fourier;
    use crate::base::turn::turn;
    use crate::frames::DiskAxes;
    use crate::point::input::{Placement, Rotation};
    use crate::point::result::HubLoad;
    use approx::assert_relative_eq;

    /// The same blade summed azimuth by azimuth and order by order.
    #[test]
    fn spectra_are_those_of_the_signals() {
        let azimuths = 60;
        let (turn, orders) = (turn(azimuths), 29);
        let station = |i: u32| BladeStation {
            width_m: 0.05 + 0.01 * f64::from(i),
            chord_m: 0.1,
            lag_rad: 0.04 * f64::from(i),
            ..BladeStation::plain(0.2 + 0.1 * f64::from(i))
        };
        let stations: Vec<BladeStation> = (0..5).map(station).collect();
        let mut loads = GroupLoads::new(azimuths);
        for (j, (cos, sin)) in turn.iter().enumerate() {
            let sharp = (4.0 * (cos - 1.0)).exp();
            // Orders to a few, without a mean.
            loads.normal_n_per_m[j] = Lanes::from_fn(|lane| 3.0 * cos - sin + lane as f64 * (cos * sin));
            loads.tangential_n_per_m[j] = Lanes::from_fn(|lane| cos + 0.2 * lane as f64 * sin) + sharp;
        }
        let mean = loads.tangential_n_per_m.iter().fold(Lanes::ZERO, |sum, v| sum + *v) * (1.0 / 60.0);
        loads.tangential_n_per_m.iter_mut().for_each(|v| *v = *v - mean);
        let coefficients = |values: &[Lanes]| signal_orders(values, &turn, orders);
        let forces = coefficients(&loads.normal_n_per_m)
            .into_iter()
            .zip(coefficients(&loads.tangential_n_per_m))
            .collect::<Vec<_>>();
        let azimuth_rad: Vec<f64> =
            (0..azimuths).map(|j| std::f64::consts::TAU * j as f64 / azimuths as f64).collect();
        let placement = Placement { hub_m: crate::base::Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 };
        for rotation in [Rotation::Clockwise, Rotation::Counterclockwise] {
            let disk = DiskAxes::new(&placement, rotation);
            let signals = blade_signals(&stations, &[&loads], &disk, &azimuth_rad, 0.1);
            let spectra = blade_spectra(&stations, std::slice::from_ref(&forces), &disk, 0.1, orders);
            let fourier = Fourier::new(azimuths);
            for load in HubLoad::ALL {
                let exact = fourier.coefficients(signals.hub.of(load));
                // The highest order lacks its neighbour above.
                for (exact, own) in exact.iter().zip(spectra.of(load)).take(orders - 1) {
                    assert_relative_eq!(exact.re, own.re, epsilon = 1e-12);
                    assert_relative_eq!(exact.im, own.im, epsilon = 1e-12);
                }
            }
        }
    }
}
