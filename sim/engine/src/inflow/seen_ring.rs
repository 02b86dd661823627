//! What the ring of azimuths of eight blade stations sees of a plane wake.

use multiversion::multiversion;

use super::station::StationGrid;
use super::suction::{MOST_OUTWARD, thickened_reach};
use super::{InflowSource, WakePlane};
use crate::base::Vec3;
use crate::base::lagrange::{lagrange4, weighed4};
use crate::base::lanes::{LANES, Lanes};
use crate::base::turn::even_stride;
use crate::wake::{WakeShape, WakeStation};

/// Azimuths between which a wake's place and profile are interpolated, at the least, in a revolution.
const FEWEST_PLACES: usize = 180;

/// Distances from the centre line that differ by less than this share of the wake's reach count as alike: a wake through the shaft is
/// met twice in a revolution, and round-off is not to decide where.
const ALIKE: f64 = 1e-9;

/// The part of a source where no wake is seen.
const NO_PART: f64 = -1.0;

/// What one azimuth of a station sees of a wake.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// Part of the source the wake belongs to.
    part: usize,
    /// Height of the station above the shaft along the wake's normal, m.
    above_shaft_m: f64,
    /// Height of the centre line there, m.
    centre_m: f64,
    /// Distance behind the trailing edge, m.
    pub aft_m: f64,
    /// Chord ahead, m.
    pub chord_m: f64,
    /// Distance from the centre line beyond which no wake of the source is felt, m.
    reach_m: f64,
    /// The wake there.
    pub wake: WakeStation,
}

impl Seen {
    /// What azimuth index `j` of a station sees; `None` where it sees nothing.
    pub(super) fn new(
        grid: &StationGrid,
        source: &dyn InflowSource,
        planes: &[WakePlane],
        j: usize,
    ) -> Option<Self> {
        let arm = grid.arm_m(j);
        let near = planes.is_empty() || planes.iter().any(|plane| may_be_felt(plane, grid.disk.hub_m, &arm));
        let position = near.then(|| source.wake_position(&(grid.disk.hub_m + arm))).flatten()?;
        let wake = source.wake_station(&position)?;
        let above_shaft_m = arm.dot(&position.normal);
        Some(Self {
            part: position.part,
            above_shaft_m,
            centre_m: above_shaft_m - position.offset_m,
            aft_m: position.aft_m,
            chord_m: position.chord_m,
            reach_m: position.reach_m,
            wake,
        })
    }
}

/// What one azimuth of eight stations sees of a wake.
#[derive(Debug, Clone, Copy)]
pub(super) struct RingCell {
    /// Height of the station above the shaft along the wake's normal, m.
    pub above_shaft_m: Lanes,
    /// Height of the centre line there, m.
    pub centre_m: Lanes,
    /// Deficit on the centre line.
    pub peak: Lanes,
    /// Width of the profile, m.
    pub width_m: Lanes,
    /// Part of the source, [`NO_PART`] where nothing is seen.
    part: Lanes,
}

impl RingCell {
    const NOTHING: Self = Self {
        above_shaft_m: Lanes::ZERO,
        centre_m: Lanes::ZERO,
        peak: Lanes::ZERO,
        width_m: Lanes([1.0; LANES]),
        part: Lanes([NO_PART; LANES]),
    };

    fn see(&mut self, lane: usize, seen: &Seen) {
        self.above_shaft_m.0[lane] = seen.above_shaft_m;
        self.centre_m.0[lane] = seen.centre_m;
        self.peak.0[lane] = seen.wake.peak;
        self.width_m.0[lane] = seen.wake.width_m;
        self.part.0[lane] = seen.part as f64;
    }

    /// Distance of the stations from the centre line, m.
    #[inline(always)]
    fn offset_m(&self) -> Lanes {
        self.above_shaft_m - self.centre_m
    }

    /// How far a station is out of the wake's reach wherever it may be drawn to; negative within, m.
    #[inline(always)]
    fn out_of_reach_m(&self, drawn: &Drawn) -> Lanes {
        let furthest = self.centre_m * drawn.outward;
        let (low, high) = (furthest.min(Lanes::ZERO), furthest.max(Lanes::ZERO));
        (low - self.above_shaft_m).max(self.above_shaft_m - high) - Lanes::splat(drawn.reach_m)
    }
}

/// Where a wake may be drawn to: anywhere from the shaft to `outward` times its undrawn distance.
#[derive(Debug, Clone, Copy)]
struct Drawn {
    outward: f64,
    /// Distance from its centre line beyond which it is not felt, m.
    reach_m: f64,
}

impl RingCell {
    /// What the stations feel whose `felt` is not negative; the others nothing.
    #[inline(always)]
    fn felt(&self, azimuth: usize, step_m: Lanes, felt: Lanes) -> WakeCell {
        let held = |value: Lanes, nothing: f64| {
            value.zip(felt, |value, felt| if felt >= 0.0 { value } else { nothing })
        };
        let width_m = held(self.width_m, 1.0);
        WakeCell {
            azimuth,
            above_shaft_m: self.above_shaft_m,
            centre_m: self.centre_m,
            step_m: held(step_m, 0.0),
            peak: held(self.peak, 0.0),
            width_m,
            half_width_m: width_m,
        }
    }
}

/// What the azimuths of up to eight stations see of one source's wake. Lanes beyond the last station repeat it.
///
/// Height and profile of a wake change slowly along a ring: they are found at every so many azimuths, with cubics between. Where a
/// neighbour sees nothing (inside a body, ahead of the edge) or another part, each azimuth is looked at by itself. Cubics over
/// four cells of half a degree leave 3/128 (0.035 n)⁴ of the n-th harmonic: 3e-4 of the tenth.
pub(super) struct SeenRing {
    cells: Vec<RingCell>,
    /// As [`Seen::reach_m`], of any; 0 where nothing is seen.
    reach_m: f64,
    /// Profile of the wake; `None` where nothing is seen.
    pub shape: Option<WakeShape>,
}

/// An azimuth at which a wake may be felt at some of eight stations. Where it is not, the peak is 0.
#[derive(Debug, Clone, Copy)]
pub(super) struct WakeCell {
    /// Azimuth index.
    pub azimuth: usize,
    /// Height of the station above the shaft along the wake's normal, m.
    pub above_shaft_m: Lanes,
    /// Height of the wake's centre line above the shaft along its normal, without suction, m.
    pub centre_m: Lanes,
    /// Change of `above_shaft_m − centre_m` over one azimuth cell, m; 0 where there is no wake.
    pub step_m: Lanes,
    /// Velocity deficit on the centre line.
    pub peak: Lanes,
    /// Width of the profile, m; 1 where there is no wake.
    pub width_m: Lanes,
    /// Half-depth half width, m.
    pub half_width_m: Lanes,
}

/// Where a wake is felt.
pub(super) struct Felt {
    /// The azimuths, rising, at which it may be felt between its undrawn place and the shaft.
    pub cells: Vec<WakeCell>,
    /// Those at which only braking annuli may feel it, which push it off the shaft; at each the stations that `cells` leave out there.
    pub outer: Vec<WakeCell>,
    /// The azimuth index at which each station meets it most closely, the first of those alike; `None` where it feels nothing.
    pub nearest: [Option<usize>; LANES],
}

impl SeenRing {
    pub(super) fn new(grids: &[StationGrid], source: &dyn InflowSource, planes: &[WakePlane]) -> Self {
        let count = grids[0].directions.radial.len();
        let stride = even_stride(count, count / FEWEST_PLACES);
        let mut ring = Self { cells: vec![RingCell::NOTHING; count], reach_m: 0.0, shape: None };
        for k in 0..count / stride {
            ring.look(grids, source, planes, k * stride, &[true; LANES]);
        }
        if stride > 1 {
            let weights: Vec<[f64; 4]> = (1..stride).map(|i| lagrange4(i as f64 / stride as f64)).collect();
            for k in 0..count / stride {
                let between = ring.between(grids, k, stride);
                fill_between(&mut ring.cells, (k, stride), &weights, &between.smooth);
                if between.alone.contains(&true) {
                    for j in k * stride + 1..(k + 1) * stride {
                        ring.look(grids, source, planes, j, &between.alone);
                    }
                }
            }
        }
        ring
    }

    /// Looks at azimuth index `j` of some stations.
    fn look(
        &mut self,
        grids: &[StationGrid],
        source: &dyn InflowSource,
        planes: &[WakePlane],
        j: usize,
        some: &[bool; LANES],
    ) {
        for (lane, grid) in grids.iter().enumerate().filter(|(lane, _)| some[*lane]) {
            let Some(seen) = Seen::new(grid, source, planes, j) else { continue };
            self.reach_m = seen.reach_m;
            self.shape = Some(seen.wake.shape);
            let last = if lane + 1 == grids.len() { LANES } else { lane + 1 };
            (lane..last).for_each(|lane| self.cells[j].see(lane, &seen));
        }
    }

    /// How the azimuths between place `k` and the next are found.
    fn between(&self, grids: &[StationGrid], k: usize, stride: usize) -> Between {
        let places = self.cells.len() / stride;
        let near: [&RingCell; 4] =
            std::array::from_fn(|i| &self.cells[(k + places + i - 1) % places * stride]);
        let mut found = Between { smooth: [false; LANES], alone: [false; LANES] };
        let pushed = self.shape.map_or_else(|| self.drawn_in(), |shape| self.pushed_out(shape));
        let out: [Lanes; 2] = [near[1].out_of_reach_m(&pushed), near[2].out_of_reach_m(&pushed)];
        let moved = (near[2].offset_m() - near[1].offset_m()).abs();
        for lane in 0..LANES {
            let part = near[1].part.0[lane];
            if part == NO_PART || near.iter().any(|n| n.part.0[lane] != part) {
                found.alone[lane] = true;
                continue;
            }
            // No azimuth between the places, nor the next one to either, feels the wake: between the places the height bends
            // by at most r (2°)²/8; the other slack is for the steps of cells nearby.
            let radius_m = grids[lane.min(grids.len() - 1)].station.radius_m;
            let slack_m = 2.0 * moved.0[lane] + 1e-3 * radius_m;
            found.smooth[lane] = !(out[0].0[lane] > slack_m && out[1].0[lane] > slack_m);
        }
        found
    }

    /// As far as suction draws the wake.
    fn drawn_in(&self) -> Drawn {
        Drawn { outward: 1.0, reach_m: self.reach_m }
    }

    /// As far as a braking annulus pushes it.
    fn pushed_out(&self, shape: WakeShape) -> Drawn {
        Drawn { outward: MOST_OUTWARD, reach_m: self.reach_m * thickened_reach(shape) }
    }

    /// The azimuths at which the wake may be felt, wherever it is drawn to.
    pub(super) fn felt(&self, shape: WakeShape) -> Felt {
        let mut felt =
            Felt { cells: Vec::with_capacity(self.cells.len()), outer: Vec::new(), nearest: [None; LANES] };
        gather_felt(&self.cells, (self.drawn_in(), self.pushed_out(shape)), &mut felt);
        felt.leave_out_unmet();
        if shape != WakeShape::Gaussian {
            felt.cells.iter_mut().chain(&mut felt.outer).for_each(|cell| cell.find_half_width(shape));
        }
        felt
    }
}

impl Felt {
    /// Takes stations that no undrawn wake meets off the outer azimuths: nobody knows how it is drawn there.
    fn leave_out_unmet(&mut self) {
        let nearest = self.nearest;
        self.outer.retain_mut(|cell| {
            let peak = cell.peak.0;
            cell.peak = Lanes::from_fn(|lane| if nearest[lane].is_some() { peak[lane] } else { 0.0 });
            !cell.peak.all(Lanes::ZERO, |peak, zero| peak <= zero)
        });
    }
}

impl WakeCell {
    /// The half-depth half width of a profile whose width is another one.
    fn find_half_width(&mut self, shape: WakeShape) {
        for lane in (0..LANES).filter(|lane| self.peak.0[*lane] > 0.0) {
            let wake = WakeStation { peak: self.peak.0[lane], width_m: self.width_m.0[lane], shape };
            self.half_width_m.0[lane] = wake.half_width_m();
        }
    }
}

/// How the azimuths between two places are found, station by station; not at all where no wake is felt.
struct Between {
    /// By a cubic through four places.
    smooth: [bool; LANES],
    /// Each by itself.
    alone: [bool; LANES],
}

/// Cubics between place `k` and the next.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn fill_between(
    cells: &mut [RingCell],
    (k, stride): (usize, usize),
    weights: &[[f64; 4]],
    smooth: &[bool; LANES],
) {
    if !smooth.contains(&true) {
        return;
    }
    let places = cells.len() / stride;
    let at = |i: usize| cells[(k + places + i - 1) % places * stride];
    let (a, b, c, d) = (at(0), at(1), at(2), at(3));
    let part = Lanes::from_fn(|lane| if smooth[lane] { b.part.0[lane] } else { NO_PART });
    for (cell, w) in cells[k * stride + 1..(k + 1) * stride].iter_mut().zip(weights) {
        let cubic = |value: fn(&RingCell) -> Lanes| weighed4([value(&a), value(&b), value(&c), value(&d)], w);
        cell.above_shaft_m = cubic(|cell| cell.above_shaft_m);
        cell.centre_m = cubic(|cell| cell.centre_m);
        // A cubic may pass below zero by its error.
        cell.peak = cubic(|cell| cell.peak).max(Lanes::ZERO);
        cell.width_m = cubic(|cell| cell.width_m);
        cell.part = part;
    }
}

/// The azimuths within reach, and where each station is nearest to the centre line.
#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn gather_felt(ring: &[RingCell], (drawn, pushed): (Drawn, Drawn), found: &mut Felt) {
    let count = ring.len();
    let mut nearest_m = Lanes::splat(f64::INFINITY);
    for (azimuth, here) in ring.iter().enumerate() {
        let before = &ring[if azimuth == 0 { count - 1 } else { azimuth - 1 }];
        let after = &ring[if azimuth + 1 == count { 0 } else { azimuth + 1 }];
        let step_m = step_m(before, here, after);
        // Seen is a part from 0 on; both are wanted, so that the lesser tells.
        let within = |drawn: &Drawn| (step_m.abs() - here.out_of_reach_m(drawn)).min(here.part);
        let pushed = within(&pushed);
        if pushed.all(Lanes::ZERO, |felt, zero| felt < zero) {
            continue;
        }
        let felt = within(&drawn);
        let only_pushed = pushed.zip(felt, |pushed, felt| if felt >= 0.0 { -1.0 } else { pushed });
        if !only_pushed.all(Lanes::ZERO, |felt, zero| felt < zero) {
            found.outer.push(here.felt(azimuth, step_m, only_pushed));
        }
        if felt.all(Lanes::ZERO, |felt, zero| felt < zero) {
            continue;
        }
        found.cells.push(here.felt(azimuth, step_m, felt));
        let off_m =
            here.offset_m().abs().zip(felt, |off, felt| if felt >= 0.0 { off } else { f64::INFINITY });
        let nearer_m = nearest_m - Lanes::splat(ALIKE * drawn.reach_m);
        if !off_m.all(nearer_m, |off, nearer| off >= nearer) {
            for (lane, nearest) in found.nearest.iter_mut().enumerate() {
                if off_m.0[lane] < nearer_m.0[lane] {
                    *nearest = Some(azimuth);
                    nearest_m.0[lane] = off_m.0[lane];
                }
            }
        }
    }
}

/// Change of the distance from the centre line over one azimuth cell, from the neighbours on the same part of the source; 0
/// without any.
#[inline(always)]
fn step_m(before: &RingCell, here: &RingCell, after: &RingCell) -> Lanes {
    let (a, b, c) = (before.offset_m(), here.offset_m(), after.offset_m());
    Lanes::from_fn(|lane| {
        let part = here.part.0[lane];
        let behind = before.part.0[lane] == part;
        let ahead = after.part.0[lane] == part;
        let from = if behind { a.0[lane] } else { b.0[lane] };
        let to = if ahead { c.0[lane] } else { b.0[lane] };
        (to - from) * if behind && ahead { 0.5 } else { 1.0 }
    })
}

/// Whether a wake near `plane` can be felt at `arm` from the hub, wherever it is drawn to; a tenth more slack lets the neighbours of the outermost cells be seen.
fn may_be_felt(plane: &WakePlane, hub_m: Vec3, arm: &Vec3) -> bool {
    let above_shaft = arm.dot(&plane.normal);
    let centre = MOST_OUTWARD * (plane.point_m - hub_m).dot(&plane.normal);
    let slack = 1.1 * plane.slack_m;
    above_shaft >= centre.min(0.0) - slack && above_shaft <= centre.max(0.0) + slack
}
