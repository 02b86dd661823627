//! Planform of a straight-tapered surface: where its edges and its quarter-chord line run.
//!
//! A surface is one half, or two halves mirrored in the plane y = root y. Along a half, `s` is the distance from
//! the root measured in the half's own plane square to the x axis. The root section has its leading edge where
//! the case puts it and its chord at the root incidence; from its quarter chord the quarter-chord line leaves
//! with x growing by `s tan(sweep)`. Twist turns each section about its quarter chord, linear in `s`.

use crate::base::Vec3;
use crate::point::input::Surface;

/// Below this cosine of the dihedral a half counts as vertical: it has no span station at a given y.
const VERTICAL_COSINE: f64 = 1e-6;

/// One straight-tapered half of a surface, aircraft axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Half {
    /// Quarter chord of the root section, m.
    pub root_quarter_chord_m: Vec3,
    /// Unit vector from root to tip in the plane square to x: (0, ±cos Γ, sin Γ).
    pub span_direction: Vec3,
    /// Unit vector on the upper side, square to x and to the span: (0, ∓sin Γ, cos Γ).
    pub normal: Vec3,
    /// Root to tip along the span direction, m.
    pub length_m: f64,
    /// Chord at the root, m.
    pub root_chord_m: f64,
    /// Chord at the tip, m.
    pub tip_chord_m: f64,
    /// Tangent of the sweep of the quarter-chord line, positive aft.
    pub sweep_tangent: f64,
    /// Incidence of the root chord, rad.
    pub root_incidence_rad: f64,
    /// Tip incidence minus root incidence, rad.
    pub twist_rad: f64,
}

/// A point seen from the trailing edge of a half.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EdgeCoordinates {
    /// Span station, distance from the root along the half, m; may lie outside 0 to the half's length.
    pub s_m: f64,
    /// Distance aft of the trailing edge at that station, along x, m.
    pub aft_m: f64,
    /// Height above the trailing edge at that station, along the half's normal, m.
    pub offset_m: f64,
}

impl Half {
    /// Position along the half as a ratio, root 0, tip 1.
    fn ratio(&self, s_m: f64) -> f64 {
        s_m / self.length_m
    }

    /// Chord at station `s_m`, m.
    #[must_use]
    pub fn chord_m(&self, s_m: f64) -> f64 {
        self.root_chord_m + (self.tip_chord_m - self.root_chord_m) * self.ratio(s_m)
    }

    /// Incidence of the chord at station `s_m` against the x axis, twist included, rad, nose up.
    #[must_use]
    pub fn incidence_rad(&self, s_m: f64) -> f64 {
        self.root_incidence_rad + self.twist_rad * self.ratio(s_m)
    }

    /// Unit vector from leading to trailing edge at station `s_m`.
    #[must_use]
    pub fn chord_direction(&self, s_m: f64) -> Vec3 {
        chord_direction(self.incidence_rad(s_m), &self.normal)
    }

    /// Quarter chord at station `s_m`, aircraft axes, m.
    #[must_use]
    pub fn quarter_chord(&self, s_m: f64) -> Vec3 {
        self.root_quarter_chord_m + s_m * (self.span_direction + self.sweep_tangent * Vec3::x())
    }

    /// Leading edge at station `s_m`, aircraft axes, m.
    #[must_use]
    pub fn leading_edge(&self, s_m: f64) -> Vec3 {
        self.quarter_chord(s_m) - 0.25 * self.chord_m(s_m) * self.chord_direction(s_m)
    }

    /// Trailing edge at station `s_m`, aircraft axes, m.
    #[must_use]
    pub fn trailing_edge(&self, s_m: f64) -> Vec3 {
        self.quarter_chord(s_m) + 0.75 * self.chord_m(s_m) * self.chord_direction(s_m)
    }

    /// Area in its own plane, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        0.5 * (self.root_chord_m + self.tip_chord_m) * self.length_m
    }

    /// Cosine of the sweep of the quarter-chord line.
    #[must_use]
    pub fn sweep_cosine(&self) -> f64 {
        1.0 / 1.0_f64.hypot(self.sweep_tangent)
    }

    /// Whether a station lies on the half.
    #[must_use]
    pub fn spans(&self, s_m: f64) -> bool {
        (0.0..=self.length_m).contains(&s_m)
    }

    /// A point seen from the trailing edge.
    #[must_use]
    pub fn edge_coordinates(&self, point_m: &Vec3) -> EdgeCoordinates {
        // Sections turn about the span direction, so the span coordinate of the edge is the station itself.
        let s_m = (point_m - self.root_quarter_chord_m).dot(&self.span_direction);
        let from_edge = point_m - self.trailing_edge(s_m);
        EdgeCoordinates { s_m, aft_m: from_edge.x, offset_m: from_edge.dot(&self.normal) }
    }

    /// The point with given edge coordinates, aircraft axes, m.
    #[must_use]
    pub fn point(&self, at: &EdgeCoordinates) -> Vec3 {
        self.trailing_edge(at.s_m) + at.aft_m * Vec3::x() + at.offset_m * self.normal
    }

    /// Angle of attack of the chord at station `s_m` in a uniform stream `velocity`, any speed unit, rad.
    #[must_use]
    pub fn geometric_angle_rad(&self, s_m: f64, velocity: &Vec3) -> f64 {
        velocity.dot(&self.normal).atan2(velocity.x) + self.incidence_rad(s_m)
    }
}

/// Chord direction of a section turned nose up by `incidence_rad` about the span.
fn chord_direction(incidence_rad: f64, normal: &Vec3) -> Vec3 {
    incidence_rad.cos() * Vec3::x() - incidence_rad.sin() * normal
}

/// The halves of a surface: starboard (or the only one) first, then its mirror image if it has one.
#[must_use]
pub fn halves(surface: &Surface) -> Vec<Half> {
    if surface.mirror {
        vec![half(surface, 1.0, 0.5 * surface.span_m), half(surface, -1.0, 0.5 * surface.span_m)]
    } else {
        vec![half(surface, 1.0, surface.span_m)]
    }
}

/// Position along y of the plane of symmetry of a pair of halves, m; of a single half that of its root.
///
/// With both incidence and dihedral the quarter chords of the two roots lie aside of it, each on its own side.
pub(super) fn symmetry_y_m(halves: &[Half]) -> f64 {
    let y_m = |half: Option<&Half>| half.map_or(0.0, |half| half.root_quarter_chord_m.y);
    0.5 * (y_m(halves.first()) + y_m(halves.last()))
}

fn half(surface: &Surface, side: f64, length_m: f64) -> Half {
    let (sin, cos) = surface.dihedral_rad.sin_cos();
    let normal = Vec3::new(0.0, -side * sin, cos);
    let root_chord = chord_direction(surface.incidence_rad, &normal) * surface.root_chord_m;
    Half {
        root_quarter_chord_m: surface.root_leading_edge_m + 0.25 * root_chord,
        span_direction: Vec3::new(0.0, side * cos, sin),
        normal,
        length_m,
        root_chord_m: surface.root_chord_m,
        tip_chord_m: surface.tip_chord_m,
        sweep_tangent: surface.sweep_rad.tan(),
        root_incidence_rad: surface.incidence_rad,
        twist_rad: surface.twist_rad,
    }
}

/// Trailing edge at the span station that lies abreast of `y_m`, aircraft axes, m.
///
/// The station is `|y − root y| / cos Γ`; with both incidence and dihedral the edge itself lies aside of `y_m` by
/// the small share of its turn about the quarter chord. `None` beyond the tips and for vertical surfaces.
#[must_use]
pub fn trailing_edge_at_y(surface: &Surface, y_m: f64) -> Option<Vec3> {
    halves(surface).iter().find_map(|half| {
        let cosine = half.span_direction.y;
        if cosine.abs() < VERTICAL_COSINE {
            return None;
        }
        let s_m = (y_m - surface.root_leading_edge_m.y) / cosine;
        half.spans(s_m).then(|| half.trailing_edge(s_m))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::surface::test_surfaces::wing;
    use approx::assert_relative_eq;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn root_leading_edge_is_where_the_case_puts_it() {
        let surface = Surface { incidence_rad: 0.07, dihedral_rad: 0.1, sweep_rad: 0.3, ..wing() };
        for half in halves(&surface) {
            assert_relative_eq!(half.leading_edge(0.0), surface.root_leading_edge_m, epsilon = 1e-15);
        }
    }

    #[test]
    fn plane_wing_has_its_edges_by_hand() {
        let surface = Surface { sweep_rad: 0.25_f64.atan(), ..wing() };
        let halves = halves(&surface);
        assert_eq!(halves.len(), 2);
        // Root chord 0.4 from x = 1, tip chord 0.2, half span 1: the quarter chord runs from 1.1 to 1.35.
        assert_relative_eq!(halves[0].quarter_chord(1.0), Vec3::new(1.35, 1.0, 0.2), epsilon = 1e-15);
        assert_relative_eq!(halves[1].trailing_edge(1.0), Vec3::new(1.5, -1.0, 0.2), epsilon = 1e-15);
        assert_relative_eq!(halves[1].leading_edge(0.5), Vec3::new(1.15, -0.5, 0.2), epsilon = 1e-15);
    }

    #[test]
    fn twist_turns_the_tip_about_its_quarter_chord_nose_up() {
        let (plain, twisted) = (wing(), Surface { twist_rad: 0.1, ..wing() });
        let (a, b) = (&halves(&plain)[0], &halves(&twisted)[0]);
        assert_relative_eq!(a.quarter_chord(1.0), b.quarter_chord(1.0), epsilon = 1e-15);
        assert!(b.leading_edge(1.0).z > a.leading_edge(1.0).z);
        assert!(b.trailing_edge(1.0).z < a.trailing_edge(1.0).z);
        assert_relative_eq!((b.trailing_edge(1.0) - b.leading_edge(1.0)).norm(), 0.2, epsilon = 1e-15);
    }

    #[test]
    fn fin_points_up_and_meets_sideslip_on_its_upper_side() {
        let fin = Surface { mirror: false, dihedral_rad: FRAC_PI_2, ..wing() };
        let half = &halves(&fin)[0];
        assert_relative_eq!(half.span_direction, Vec3::z(), epsilon = 1e-15);
        // Air from starboard blows to port: on the fin that is an angle of attack of the same size.
        let sideslip = 0.05_f64;
        let velocity = Vec3::new(sideslip.cos(), -sideslip.sin(), 0.0);
        assert_relative_eq!(half.geometric_angle_rad(0.3, &velocity), sideslip, epsilon = 1e-15);
        assert_eq!(trailing_edge_at_y(&fin, 0.0), None);
    }

    #[test]
    fn edge_coordinates_and_points_are_inverse() {
        let surface =
            Surface { incidence_rad: 0.05, twist_rad: -0.04, dihedral_rad: 0.12, sweep_rad: 0.3, ..wing() };
        for half in halves(&surface) {
            let at = EdgeCoordinates { s_m: 0.37, aft_m: 0.11, offset_m: -0.02 };
            let back = half.edge_coordinates(&half.point(&at));
            assert_relative_eq!(back.s_m, at.s_m, epsilon = 1e-14);
            assert_relative_eq!(back.aft_m, at.aft_m, epsilon = 1e-14);
            assert_relative_eq!(back.offset_m, at.offset_m, epsilon = 1e-14);
        }
    }

    #[test]
    fn station_at_y_exists_only_between_the_tips() {
        let surface = Surface { dihedral_rad: 0.2, incidence_rad: 0.05, ..wing() };
        let tip_y = 0.2_f64.cos();
        assert!(trailing_edge_at_y(&surface, tip_y * 0.999).is_some());
        assert_eq!(trailing_edge_at_y(&surface, tip_y * 1.001), None);
        let (port, starboard) = (trailing_edge_at_y(&surface, -0.4), trailing_edge_at_y(&surface, 0.4));
        assert_relative_eq!(port.unwrap().z, starboard.unwrap().z, epsilon = 1e-15);
        assert!(trailing_edge_at_y(&Surface { mirror: false, ..surface }, -0.4).is_none());
    }
}
