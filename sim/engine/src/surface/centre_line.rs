//! Where the wake runs: height of its centre line above the trailing edge.
//!
//! The wake leaves the trailing edge along the section's mean line there and follows the local flow. In the plane of
//! a section, with ξ = distance aft/chord and X = 1 + 2ξ, the flow on the section's axis is inclined by
//!
//! ```text
//! θ(ξ) = angle of the free stream + ε(ξ) − A₀ [1 − √((X − 1)/(X + 1))] − A₁ [X − √(X² − 1)]
//! ```
//!
//! A₀ and A₁ are the first two coefficients of thin-aerofoil theory (Glauert, Elements, ch. VII), taken against the
//! chord line: vorticity 2V[A₀ (1 + cos t)/sin t + A₁ sin t] with x = c(1 − cos t)/2. The first term is the flat
//! plate, u − iw = V[cos α − i sin α √((ζ − c)/ζ)], the second the elliptic load of a parabolic mean line
//! z = 4h x(1 − x), for which A₁ = 4h = −2α₀: its zero-lift angle is α₀ = −2h, its slope at the trailing edge −4h
//! = 2α₀. Both fields on the axis behind follow by integration of their vorticity. With a section slope a₀ below 2π
//! both are scaled by a₀/2π, with stall the plate part shrinks further: they follow the section's actual lift.
//!
//! ε is the velocity along the half's normal that the span adds, over V: the lifting line with its bound and trailing
//! vortices less the plane vortex of equal circulation at the quarter chord, which the section's own field replaces.
//! It vanishes for an infinite span; far behind, θ becomes the angle of the stream less the downwash.
//!
//! A lifting line misses how its downwash grows from quarter chord to trailing edge. A₀ absorbs that, so that the
//! flow at the edge itself has the direction that belongs to the section: along the mean line for an attached
//! section of slope 2π, and turned towards the stream by the share of lift that viscosity or stall takes away.
//!
//! A flap adds its own part (see [`super::section_field`]), on the axis (2δ/π) atan2(p sin t_h, 1 + p cos t_h) with
//! p = X − √(X² − 1); the wake then leaves along the flap by the deflection as it acts, from the edge as it is turned.
//!
//! Thickness moves the line of a symmetric section at 6 degrees from 0.0045 to between 0.0040 and 0.0049 chord at
//! 0.167 chord; it is left out. In sideslip the wake drifts along the span by the tangent of sideslip; the height is
//! kept at the station where it is asked for.

use std::f64::consts::TAU;

use super::flap::StripSection;
use super::lifting_line::{LiftingLine, Strip};
use super::section_field::flap_sum_on_axis;
use crate::point::input::AnalyticSection;

/// Intervals of the table, equal in the root of the distance.
const INTERVALS: usize = 16;

/// Height of the wake's centre line behind one strip.
///
/// Tabulated against τ = √(distance/chord), in which it is smooth, with its exact slope, and read by cubic Hermite
/// polynomials; beyond the table the last direction is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct CentreLine {
    /// Distance of the strip from the root along the half, m.
    pub s_m: f64,
    chord_m: f64,
    /// The trailing edge against the undeflected one, forward along x and up along the normal, m.
    edge_forward_m: f64,
    edge_rise_m: f64,
    step: f64,
    /// (height, its derivative by τ) at equal steps of τ, m.
    nodes: Vec<(f64, f64)>,
}

impl CentreLine {
    /// Follows the flow behind strip `strip` of a lifting line to `reach_m` behind the trailing edge, m.
    #[must_use]
    pub fn new(line: &LiftingLine, strip: usize, section: &StripSection, reach_m: f64) -> Self {
        let flow = AxisFlow::new(line, strip, section);
        let (edge_forward_m, edge_rise_m) = (section.edge_forward_m, section.edge_rise_m);
        let reach_m = reach_m + edge_forward_m;
        let chord_m = line.strips[strip].chord_m;
        // A reach of nothing still needs a direction at the edge.
        let step = (reach_m.max(0.01 * chord_m) / chord_m).sqrt() / INTERVALS as f64;
        let rate = |tau: f64| 2.0 * tau * chord_m * flow.angle_rad(tau * tau * chord_m).tan();
        let mut node = (0.0, rate(0.0));
        let mut nodes = vec![node];
        for interval in 0..INTERVALS {
            let tau = interval as f64 * step;
            let end = rate(tau + step);
            // Simpson's rule.
            node = (node.0 + step / 6.0 * (node.1 + 4.0 * rate(tau + 0.5 * step) + end), end);
            nodes.push(node);
        }
        Self { s_m: line.strips[strip].s_m, chord_m, edge_forward_m, edge_rise_m, step, nodes }
    }

    /// Height above the undeflected trailing edge along the half's normal, `aft_m` behind it along x, m; ahead of the
    /// edge that of the edge as the flap turns it.
    #[must_use]
    pub fn height_m(&self, aft_m: f64) -> f64 {
        self.edge_rise_m + self.above_edge_m(aft_m + self.edge_forward_m)
    }

    /// Height above the trailing edge as it is, m.
    fn above_edge_m(&self, aft_m: f64) -> f64 {
        if aft_m <= 0.0 {
            return 0.0;
        }
        let position = (aft_m / self.chord_m).sqrt() / self.step;
        let last = self.nodes.len() - 1;
        if position >= last as f64 {
            let (height, rate) = self.nodes[last];
            let end = last as f64 * self.step;
            let slope = rate / (2.0 * end * self.chord_m);
            return height + slope * (aft_m - end * end * self.chord_m);
        }
        let index = position as usize;
        let (t, left, right) = (position - index as f64, self.nodes[index], self.nodes[index + 1]);
        let (t2, t3) = (t * t, t * t * t);
        left.0 * (2.0 * t3 - 3.0 * t2 + 1.0)
            + right.0 * (3.0 * t2 - 2.0 * t3)
            + self.step * (left.1 * (t3 - 2.0 * t2 + t) + right.1 * (t3 - t2))
    }
}

/// Direction of the flow on the axis behind one strip.
struct AxisFlow<'a> {
    line: &'a LiftingLine,
    strip: usize,
    stream_angle_rad: f64,
    speed_m_s: f64,
    /// A₀ of thin-aerofoil theory.
    plate: f64,
    /// A₁ of thin-aerofoil theory.
    camber: f64,
    /// Flap deflection as it acts, rad, and its hinge, t_h.
    flap: f64,
    hinge_rad: f64,
}

impl<'a> AxisFlow<'a> {
    fn new(line: &'a LiftingLine, strip: usize, section: &StripSection) -> Self {
        let normal = line.span.half(&line.span.controls[strip]).normal;
        let (along, up) = (line.velocity_m_s.x, line.velocity_m_s.dot(&normal));
        let mut flow = Self {
            line,
            strip,
            stream_angle_rad: up.atan2(along),
            speed_m_s: along.hypot(up),
            plate: 0.0,
            camber: -2.0 * section.camber_zero_lift_rad * efficiency(&section.analytic),
            flap: section.flap_rad * efficiency(&section.analytic),
            hinge_rad: section.hinge_rad,
        };
        let at = &line.strips[strip];
        let half = line.span.half(&line.span.controls[strip]);
        // At the edge both bracketed terms are 1: A₀ makes up the difference to the direction of the edge.
        let leaving_rad = edge_angle_rad(at, section, half.sweep_cosine()) - half.incidence_rad(at.s_m);
        let loaded = flow.camber + flow.flap * flap_sum_on_axis(1.0, flow.hinge_rad);
        flow.plate = flow.stream_angle_rad + flow.span_angle_rad(0.0) - loaded - leaving_rad;
        flow
    }

    /// Angle of the flow above the x axis, in the plane of x and the half's normal, rad.
    fn angle_rad(&self, aft_m: f64) -> f64 {
        let xi = aft_m / self.line.strips[self.strip].chord_m;
        let x = 1.0 + 2.0 * xi;
        let plate = 1.0 - (xi / (1.0 + xi)).sqrt();
        // X − √(X² − 1) without cancellation far behind.
        let camber = 1.0 / (x + (x * x - 1.0).sqrt());
        let flap = if self.flap == 0.0 { 0.0 } else { flap_sum_on_axis(camber, self.hinge_rad) };
        self.stream_angle_rad + self.span_angle_rad(aft_m)
            - self.plate * plate
            - self.camber * camber
            - self.flap * flap
    }

    /// ε: what the finite span adds to the section's own field, as an angle, rad.
    fn span_angle_rad(&self, aft_m: f64) -> f64 {
        if self.speed_m_s == 0.0 {
            return 0.0;
        }
        let control = &self.line.span.controls[self.strip];
        // On the straight sheet of the trailing vortices, abreast of the point on the axis.
        let distance_m = 0.75 * control.chord_m + aft_m;
        let stream = self.line.velocity_m_s / self.speed_m_s;
        let point_m = control.quarter_chord_m + distance_m * stream;
        let induced = self.line.induced_velocity(&point_m).dot(&self.line.span.half(control).normal);
        let plane_vortex = self.line.strips[self.strip].circulation_m2_s / (TAU * distance_m);
        (induced + plane_vortex) / self.speed_m_s
    }
}

/// Direction in which the flow leaves the section, against its chord line, rad.
///
/// Along the mean line, 2α₀ less the flap's acting deflection, where the section has the lift of thin-aerofoil theory; the lift it lacks, as an angle
/// of attack, turns it up towards the stream. The share that sweep takes (cos Λ) is no such lack.
fn edge_angle_rad(strip: &Strip, section: &StripSection, sweep_cosine: f64) -> f64 {
    let (slope, zero) = (section.analytic.lift_slope_per_rad, section.analytic.zero_lift_rad);
    let efficiency = efficiency(&section.analytic);
    // Lift less its camber part, in the angle of attack that makes as much of it on a flat plate.
    let plate_rad = (strip.lift_coefficient / sweep_cosine + slope * zero) / slope.max(TAU);
    strip.effective_angle_rad - plate_rad
        + (2.0 * section.camber_zero_lift_rad - section.flap_rad) * efficiency
}

/// Section slope over that of thin-aerofoil theory, at most 1: a slope that thickness raises above 2π does not turn
/// the flow at the edge.
pub(super) fn efficiency(section: &AnalyticSection) -> f64 {
    (section.lift_slope_per_rad / TAU).min(1.0)
}

/// A₁ of a section's own camber.
pub(super) fn camber_strength(section: &AnalyticSection) -> f64 {
    -2.0 * section.zero_lift_rad * efficiency(section)
}

/// Centre lines along a stretch of one half.
#[derive(Debug, Clone, PartialEq)]
pub struct CentreLines {
    /// In order of distance from the root.
    lines: Vec<CentreLine>,
    /// The strip of each line.
    strips: Vec<usize>,
}

impl CentreLines {
    /// Follows the wake of half `half` between two stations, m from its root, to `reach_m` behind the trailing edge, m.
    #[must_use]
    pub fn new(
        line: &LiftingLine,
        half: usize,
        sections: &[StripSection],
        (from_s_m, to_s_m): (f64, f64),
        reach_m: f64,
    ) -> Self {
        let mut strips: Vec<usize> =
            (0..line.strips.len()).filter(|&i| line.strips[i].half == half).collect();
        strips.sort_by(|&a, &b| line.strips[a].s_m.total_cmp(&line.strips[b].s_m));
        let s_m = |i: usize| line.strips[strips[i]].s_m;
        // One strip more at each end, so that the stretch lies between centre lines where the half allows it.
        let first = (0..strips.len()).take_while(|&i| s_m(i) <= from_s_m).count().saturating_sub(1);
        let beyond = (0..strips.len()).take_while(|&i| s_m(i) < to_s_m).count();
        let last = beyond.min(strips.len() - 1).max(first);
        let lines =
            strips[first..=last].iter().map(|&i| CentreLine::new(line, i, &sections[i], reach_m)).collect();
        Self { lines, strips: strips[first..=last].to_vec() }
    }

    /// The centre lines with their strips, in order of distance from the root.
    pub(crate) fn by_strip(&self) -> impl Iterator<Item = (usize, &CentreLine)> {
        self.strips.iter().copied().zip(&self.lines)
    }

    /// Height above the undeflected trailing edge along the half's normal at station `s_m`, `aft_m` behind it, m.
    ///
    /// Linear between strips; the outermost strips serve beyond them.
    #[must_use]
    pub fn height_m(&self, s_m: f64, aft_m: f64) -> f64 {
        let above = self.lines.partition_point(|line| line.s_m <= s_m);
        if above == 0 {
            return self.lines[0].height_m(aft_m);
        }
        let left = &self.lines[above - 1];
        let Some(right) = self.lines.get(above) else { return left.height_m(aft_m) };
        let share = (s_m - left.s_m) / (right.s_m - left.s_m);
        left.height_m(aft_m) * (1.0 - share) + right.height_m(aft_m) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::Vec3;
    use crate::point::input::Surface;
    use crate::surface::lifting_line::linear_lift;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;

    fn stream(angle_rad: f64) -> Vec3 {
        20.0 * Vec3::new(angle_rad.cos(), 0.0, angle_rad.sin())
    }

    /// A wing of unit chord so long that its middle is plane flow.
    fn plane_wing() -> Surface {
        Surface { span_m: 20_000.0, root_chord_m: 1.0, tip_chord_m: 1.0, ..wing() }
    }

    fn plain(surface: &Surface) -> StripSection {
        StripSection::plain(&surface.section)
    }

    fn line(surface: &Surface, angle_rad: f64) -> LiftingLine {
        LiftingLine::new(surface, &stream(angle_rad), 40, linear_lift(&surface.section)).unwrap()
    }

    fn middle(surface: &Surface, angle_rad: f64, reach_m: f64) -> CentreLine {
        CentreLine::new(&line(surface, angle_rad), 20, &plain(surface), reach_m)
    }

    #[test]
    fn flat_plate_has_the_closed_form() {
        let angle = 6_f64.to_radians();
        let centre = middle(&plane_wing(), angle, 4.0);
        for xi in [0.01, 0.05, 0.167, 0.5, 1.0, 3.0_f64] {
            let exact = angle.tan() * ((xi * (1.0 + xi)).sqrt() - xi.sqrt().asinh());
            // Angle for its tangent: 0.4 %; 0.1 % of downwash is left at this span.
            assert_relative_eq!(centre.height_m(xi), exact, max_relative = 6e-3);
        }
        let height = centre.height_m(0.167);
        assert!((0.0045..0.0046).contains(&height), "{height}");
    }

    #[test]
    fn incidence_of_the_wing_is_not_incidence_of_the_stream() {
        // Set at 6 degrees in a level stream, the wake falls with the chord line and returns to the stream's level.
        let angle = 6_f64.to_radians();
        let surface = Surface { incidence_rad: angle, ..plane_wing() };
        let centre = middle(&surface, 0.0, 1.0);
        let plate = angle.tan() * ((0.167_f64 * 1.167).sqrt() - 0.167_f64.sqrt().asinh());
        assert_relative_eq!(centre.height_m(0.167), plate - 0.167 * angle.tan(), max_relative = 6e-3);
    }

    #[test]
    fn cambered_section_sheds_along_its_mean_line() {
        let mut surface = plane_wing();
        surface.section.zero_lift_rad = -0.07;
        for angle in [-0.07, 0.0, 0.05] {
            let near = middle(&surface, angle, 1e-4);
            // What the plate part adds grows as the root of the distance: 1e-2 of the angle at 1e-4 chord.
            assert_relative_eq!(near.height_m(1e-4) / 1e-4, -0.14_f64.tan(), max_relative = 0.05);
        }
        // At the ideal angle, zero against the chord, only the elliptic load acts:
        // ∫ 2α₀ (X − √(X² − 1)) dξ = (α₀/2) [X² − X√(X² − 1) + arcosh X] from X = 1.
        let (xi, zero) = (0.4_f64, -0.07);
        let x = 1.0 + 2.0 * xi;
        let exact = 0.5 * zero * (x * x - 1.0 - x * (x * x - 1.0).sqrt() + x.acosh());
        assert_relative_eq!(middle(&surface, 0.0, 1.0).height_m(xi), exact, max_relative = 6e-3);
    }

    #[test]
    fn lower_section_slope_leaves_the_wake_nearer_to_the_stream() {
        let full = plane_wing();
        let mut weak = plane_wing();
        weak.section.lift_slope_per_rad = 5.7;
        assert!(middle(&weak, 0.1, 1.0).height_m(0.167) > middle(&full, 0.1, 1.0).height_m(0.167));
    }

    #[test]
    fn section_without_lift_sheds_along_the_stream() {
        let surface = plane_wing();
        let stalled = LiftingLine::new(&surface, &stream(0.5), 40, |_| 0.0).unwrap();
        let centre = CentreLine::new(&stalled, 20, &plain(&surface), 1.0);
        assert_relative_eq!(centre.height_m(0.3), 0.3 * 0.5_f64.tan(), max_relative = 1e-6);
    }

    #[test]
    fn far_behind_it_runs_with_the_stream_less_the_downwash() {
        let angle = 0.1;
        let line = line(&wing(), angle);
        let centre = CentreLine::new(&line, 28, &plain(&wing()), 400.0);
        let slope = (centre.height_m(400.0) - centre.height_m(399.0)).atan();
        let far = line.span.controls[28].quarter_chord_m + 400.0 * stream(angle).normalize();
        let downwash = -line.trailing_velocity(&far).z / 20.0;
        assert!(downwash > 0.02);
        assert_relative_eq!(slope, angle - downwash, max_relative = 1e-3);
    }

    #[test]
    fn finite_wing_still_leaves_along_its_trailing_edge() {
        for surface in [wing(), Surface { sweep_rad: 0.4, incidence_rad: 0.05, ..wing() }] {
            let line = line(&surface, 0.08);
            for strip in [22, 28, 35] {
                let centre = CentreLine::new(&line, strip, &plain(&surface), 1e-4);
                let chord = line.strips[strip].chord_m;
                let slope = centre.height_m(1e-6 * chord) / (1e-6 * chord);
                assert_relative_eq!(slope, -surface.incidence_rad.tan(), epsilon = 1e-4);
            }
        }
    }

    #[test]
    fn table_is_as_good_as_its_integrand() {
        // A table of a short reach has finer steps: both must agree where they overlap.
        let (long, short) = (middle(&plane_wing(), 0.1, 3.0), middle(&plane_wing(), 0.1, 0.2));
        for xi in [0.003, 0.02, 0.1, 0.19] {
            assert_relative_eq!(long.height_m(xi), short.height_m(xi), epsilon = 2e-6);
        }
        assert_eq!(long.height_m(-0.1), 0.0);
    }

    #[test]
    fn heights_join_between_strips() {
        let surface = Surface { incidence_rad: 0.05, ..wing() };
        let line = line(&surface, 0.08);
        let lines = CentreLines::new(&line, 1, &vec![plain(&surface); 40], (0.2, 0.5), 0.5);
        assert!(lines.lines[0].s_m <= 0.2 && lines.lines[lines.lines.len() - 1].s_m >= 0.5);
        let node = &lines.lines[1];
        assert_relative_eq!(lines.height_m(node.s_m, 0.1), node.height_m(0.1), epsilon = 1e-15);
        let nudge = 1e-9;
        let jump = lines.height_m(node.s_m + nudge, 0.1) - lines.height_m(node.s_m - nudge, 0.1);
        assert!(jump.abs() < 1e-9);
    }
}
