//! The outline of a section: loop, trailing edge, nose, and two surfaces as smooth curves.

use std::f64::consts::PI;
use thiserror::Error;

/// Fewest and most points of an outline: fewer do not show the nose, more are no hand-made table.
pub const POINTS: std::ops::RangeInclusive<usize> = 20..=2000;

/// How far an outline may stand outside x = 0 to 1, and how far from x = 0 its first point may lie.
const SCALE_ROOM: f64 = 0.02;

/// Widest opening at the trailing edge taken as a blunt base, chords.
const WIDEST_BASE: f64 = 0.1;

/// Points closer than this to the trailing edge give way to the edge itself, chords.
const LAST_CELL: f64 = 1e-3;

/// A leftmost point closer than this to the vertex of the nose is the vertex, chords.
const SAME_POINT: f64 = 1e-8;

/// Why points do not bound a section. Points are counted from 0 in the order given.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OutlineError {
    /// Too few or too many points.
    #[error("has {count} points")]
    PointCount {
        /// Points given.
        count: usize,
    },
    /// A coordinate is no finite number.
    #[error("has a coordinate that is not a finite number")]
    NotFinite {
        /// Index of the point.
        point: usize,
    },
    /// Lengths are not ratios to the chord.
    #[error("runs from x = {least} to {greatest} instead of 0 to 1")]
    Scale {
        /// Least x.
        least: f64,
        /// Greatest x.
        greatest: f64,
    },
    /// No point near x = 0.
    #[error("has no nose: its first point lies at x = {least}")]
    NoNose {
        /// Least x.
        least: f64,
    },
    /// The ends of the list are apart and do not bound a blunt edge.
    #[error("is not closed: its ends are {gap:.3} chord apart")]
    NotClosed {
        /// Distance between the ends, chords.
        gap: f64,
    },
    /// Two sides of the outline cross.
    #[error("crosses itself")]
    Crosses {
        /// Index of the point where the first of the two sides begins.
        first: usize,
        /// The same of the second.
        second: usize,
    },
    /// A surface does not run steadily from trailing edge to nose.
    #[error("runs back along the chord")]
    DoublesBack {
        /// Index of the point.
        point: usize,
    },
}

/// Upper and lower surface: height over chord against θ, x = (1 − cos θ)/2 from nose to trailing edge.
///
/// θ keeps a round nose smooth: the height there grows with θ, not with √x.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outline {
    upper: Curve,
    lower: Curve,
}

/// Height against θ, read by the cubic through four neighbouring points: printed outlines are smooth, and a
/// curve that keeps their extremes flat would cost 1 to 2 % of the zero-lift angle.
#[derive(Debug, Clone, PartialEq)]
struct Curve {
    theta: Vec<f64>,
    height: Vec<f64>,
}

impl Curve {
    fn at(&self, theta: f64) -> f64 {
        let count = self.theta.len();
        let order = count.min(4);
        let next = self.theta.partition_point(|t| *t <= theta);
        let first = next.saturating_sub(2).min(count - order);
        let near = first..first + order;
        let weight = |i: usize| {
            let others = near.clone().filter(|j| *j != i);
            others.map(|j| (theta - self.theta[j]) / (self.theta[i] - self.theta[j])).product::<f64>()
        };
        near.clone().map(|i| weight(i) * self.height[i]).sum()
    }
}

/// A point of the outline with its place in the list.
#[derive(Debug, Clone, Copy)]
struct Node {
    x: f64,
    y: f64,
    index: usize,
}

impl Outline {
    /// Surfaces of a loop that may begin anywhere and run in either sense, or of an upper and a lower
    /// surface that both run from nose to trailing edge.
    ///
    /// # Errors
    /// [`OutlineError`] where the points do not bound a section.
    pub(super) fn new(points: &[[f64; 2]]) -> Result<Self, OutlineError> {
        check_values(points)?;
        let nodes = as_loop(points)?;
        check_crossing(&nodes)?;
        let (start, end) = trailing_edge(&nodes);
        let nose = least_x(&nodes);
        let (nose_x, nose_y) = nose_vertex(&nodes, nose);
        let edge_x = 0.5 * (nodes[start].x + nodes[end].x);
        let count = nodes.len();
        // The leftmost point belongs to the side of the vertex on which it lies, unless it is the vertex.
        let apart = nodes[nose].x - nose_x > SAME_POINT;
        let beside = |other: usize| (nodes[nose].y - nose_y) * (nodes[other].y - nose_y) > 0.0;
        let with_forward = apart && beside((nose + count - 1) % count);
        let with_backward = apart && !with_forward && beside((nose + 1) % count);
        let forward = branch(&nodes, start, nose, 1, with_forward);
        let backward = branch(&nodes, end, nose, count - 1, with_backward);
        let chord = edge_x - nose_x;
        let curve = |side: &[Node]| curve(side, nose_x, nose_y, chord);
        let (one, other) = (curve(&forward)?, curve(&backward)?);
        let area = |c: &Curve| (1..60).map(|i| c.at(PI * f64::from(i) / 60.0)).sum::<f64>();
        let (upper, lower) = if area(&one) >= area(&other) { (one, other) } else { (other, one) };
        Ok(Self { upper, lower })
    }

    /// Height of the mean line over chord at θ.
    pub(super) fn mean(&self, theta: f64) -> f64 {
        0.5 * (self.upper.at(theta) + self.lower.at(theta))
    }

    /// Half the thickness over chord at θ.
    pub(super) fn half_thickness(&self, theta: f64) -> f64 {
        0.5 * (self.upper.at(theta) - self.lower.at(theta))
    }
}

/// θ of a distance from the nose, chords.
pub(super) fn theta_of(x: f64) -> f64 {
    (1.0 - 2.0 * x.clamp(0.0, 1.0)).acos()
}

fn check_values(points: &[[f64; 2]]) -> Result<(), OutlineError> {
    if !POINTS.contains(&points.len()) {
        return Err(OutlineError::PointCount { count: points.len() });
    }
    if let Some(point) = points.iter().position(|p| !(p[0].is_finite() && p[1].is_finite())) {
        return Err(OutlineError::NotFinite { point });
    }
    let least = points.iter().map(|p| p[0]).fold(f64::INFINITY, f64::min);
    let greatest = points.iter().map(|p| p[0]).fold(f64::NEG_INFINITY, f64::max);
    if least < -SCALE_ROOM || (greatest - 1.0).abs() > SCALE_ROOM {
        return Err(OutlineError::Scale { least, greatest });
    }
    if least > SCALE_ROOM {
        return Err(OutlineError::NoNose { least });
    }
    Ok(())
}

/// The points as one loop without repeated neighbours.
fn as_loop(points: &[[f64; 2]]) -> Result<Vec<Node>, OutlineError> {
    let mut nodes: Vec<Node> =
        points.iter().enumerate().map(|(index, p)| Node { x: p[0], y: p[1], index }).collect();
    // Two surfaces listed one after the other: the list jumps from the trailing edge back to the nose.
    let jump = nodes.windows(2).position(|w| w[0].x - w[1].x > 0.8);
    if let Some(last) = jump.filter(|_| nodes[0].x < 0.2) {
        nodes[..=last].reverse();
    }
    nodes.dedup_by(|b, a| distance(a, b) < 1e-9);
    let (first, last) = (nodes[0], nodes[nodes.len() - 1]);
    let gap = distance(&first, &last);
    if gap > WIDEST_BASE {
        return Err(OutlineError::NotClosed { gap });
    }
    if gap < 1e-9 {
        nodes.pop();
    }
    Ok(nodes)
}

fn distance(a: &Node, b: &Node) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

/// Refuses sides that cross; sides that touch, as those of a plate do, are let through.
fn check_crossing(nodes: &[Node]) -> Result<(), OutlineError> {
    let count = nodes.len();
    let turn = |a: &Node, b: &Node, c: &Node| (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
    let side = |i: usize| (&nodes[i], &nodes[(i + 1) % count]);
    for i in 0..count {
        for j in i + 2..count {
            let ((a, b), (c, d)) = (side(i), side(j));
            if turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0 {
                return Err(OutlineError::Crosses { first: a.index, second: c.index });
            }
        }
    }
    Ok(())
}

/// Ends of the base: the point furthest aft, and on both sides of it every point reached by a side that is
/// steeper than 45°. A sharp edge gives the same point twice.
fn trailing_edge(nodes: &[Node]) -> (usize, usize) {
    let count = nodes.len();
    let aft = (0..count).max_by(|a, b| nodes[*a].x.total_cmp(&nodes[*b].x)).unwrap_or(0);
    let walk = |step: usize| {
        let mut at = aft;
        for _ in 0..count / 4 {
            let next = (at + step) % count;
            if (nodes[next].y - nodes[at].y).abs() <= (nodes[next].x - nodes[at].x).abs() {
                break;
            }
            at = next;
        }
        at
    };
    (walk(1), walk(count - 1))
}

fn least_x(nodes: &[Node]) -> usize {
    (0..nodes.len()).min_by(|a, b| nodes[*a].x.total_cmp(&nodes[*b].x)).unwrap_or(0)
}

/// The foremost point of the parabola x(y) through the leftmost point and its neighbours; that point itself
/// where the three do not bend round a nose.
fn nose_vertex(nodes: &[Node], at: usize) -> (f64, f64) {
    let count = nodes.len();
    let (a, b, c) = (&nodes[(at + count - 1) % count], &nodes[at], &nodes[(at + 1) % count]);
    if (a.y - b.y) * (b.y - c.y) <= 0.0 {
        return (b.x, b.y);
    }
    let (left, right) = ((b.x - a.x) / (b.y - a.y), (c.x - b.x) / (c.y - b.y));
    let bend = (right - left) / (c.y - a.y);
    // x = b.x + slope (y − b.y) + bend (y − b.y)²
    let slope = left + bend * (b.y - a.y);
    let shift = -0.5 * slope / bend;
    if !shift.is_finite() || bend <= 0.0 {
        return (b.x, b.y);
    }
    (b.x - 0.25 * slope * slope / bend, b.y + shift)
}

/// Points from a trailing-edge end to the nose, the leftmost point itself only if asked for.
fn branch(nodes: &[Node], from: usize, nose: usize, step: usize, with_nose: bool) -> Vec<Node> {
    let mut list = Vec::new();
    let mut at = from;
    while at != nose {
        list.push(nodes[at]);
        at = (at + step) % nodes.len();
    }
    if with_nose {
        list.push(nodes[nose]);
    }
    list
}

/// Height against θ from the nose to the trailing edge, `side` listed from the edge.
fn curve(side: &[Node], nose_x: f64, nose_y: f64, chord: f64) -> Result<Curve, OutlineError> {
    let along = |node: &Node| (node.x - nose_x) / chord;
    let mut theta = vec![0.0];
    let mut height = vec![nose_y / chord];
    for node in side.iter().rev().filter(|node| along(node) < 1.0 - LAST_CELL) {
        let here = theta_of(along(node));
        if here < theta[theta.len() - 1] + 1e-6 {
            return Err(OutlineError::DoublesBack { point: node.index });
        }
        theta.push(here);
        height.push(node.y / chord);
    }
    if theta.len() < 4 {
        return Err(OutlineError::DoublesBack { point: side.first().map_or(0, |node| node.index) });
    }
    theta.push(PI);
    height.push(edge_height(side, nose_x + chord) / chord);
    // A surface with a finite slope is even in θ about the edge; without this the slope there has no bound.
    let last = theta.len() - 1;
    for i in [last - 1, last - 2] {
        theta.push(2.0 * PI - theta[i]);
        height.push(height[i]);
    }
    Ok(Curve { theta, height })
}

/// Height of a surface at the middle of the base, on the line through its two last points: the ends of a base
/// that stands square to the mean line do not have equal x.
fn edge_height(side: &[Node], edge_x: f64) -> f64 {
    let (end, before) = (&side[0], &side[1]);
    end.y + (edge_x - end.x) * (end.y - before.y) / (end.x - before.x)
}
