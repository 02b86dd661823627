//! Polygons and lines cut to a window.

use super::outline::Place;

/// A rectangle, right and up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Window {
    pub right: (f64, f64),
    pub up: (f64, f64),
}

impl Window {
    /// Whether a place lies inside.
    pub fn holds(&self, (right, up): Place) -> bool {
        (self.right.0..=self.right.1).contains(&right) && (self.up.0..=self.up.1).contains(&up)
    }

    /// A polygon cut to the window, edge by edge (Sutherland and Hodgman, 1974); empty where it lies outside.
    pub fn polygon(&self, points: &[Place]) -> Vec<Place> {
        let mut left = points.to_vec();
        let limits = [(1.0, self.right.0, self.up.0), (-1.0, self.right.1, self.up.1)];
        for (sign, right, up) in limits {
            left = cut_off(&left, |p| sign * (p.0 - right));
            left = cut_off(&left, |p| sign * (p.1 - up));
        }
        left
    }

    /// Pieces of a line inside the window.
    pub fn line(&self, points: &[Place]) -> Vec<Vec<Place>> {
        let mut pieces: Vec<Vec<Place>> = Vec::new();
        for pair in points.windows(2) {
            let Some((a, b)) = self.segment(pair[0], pair[1]) else { continue };
            match pieces.last_mut() {
                Some(piece) if piece.last() == Some(&a) => piece.push(b),
                _ => pieces.push(vec![a, b]),
            }
        }
        pieces
    }

    /// The part of a segment inside (Liang and Barsky, 1984).
    fn segment(&self, a: Place, b: Place) -> Option<(Place, Place)> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let bounds = [
            (-dx, a.0 - self.right.0),
            (dx, self.right.1 - a.0),
            (-dy, a.1 - self.up.0),
            (dy, self.up.1 - a.1),
        ];
        let (mut from, mut to) = (0.0_f64, 1.0_f64);
        for (rate, room) in bounds {
            if rate == 0.0 {
                if room < 0.0 {
                    return None;
                }
            } else if rate < 0.0 {
                from = from.max(room / rate);
            } else {
                to = to.min(room / rate);
            }
        }
        let at = |t: f64| (a.0 + t * dx, a.1 + t * dy);
        // An end inside is kept as it is, so that pieces join.
        let (start, end) = (if from == 0.0 { a } else { at(from) }, if to == 1.0 { b } else { at(to) });
        (from <= to).then_some((start, end))
    }
}

/// The part of a polygon where `inside` is not negative.
fn cut_off(points: &[Place], inside: impl Fn(&Place) -> f64) -> Vec<Place> {
    let closed = points.iter().zip(points.iter().cycle().skip(1));
    closed.flat_map(|(a, b)| cut(*a, *b, inside(a), inside(b))).collect()
}

/// What an edge of the polygon leaves inside one limit: the crossing, if any, and its end if inside.
fn cut(a: Place, b: Place, a_inside: f64, b_inside: f64) -> Vec<Place> {
    let crossing = || {
        let t = a_inside / (a_inside - b_inside);
        (a.0 + t * (b.0 - a.0), a.1 + t * (b.1 - a.1))
    };
    match (a_inside >= 0.0, b_inside >= 0.0) {
        (true, true) => vec![b],
        (true, false) => vec![crossing()],
        (false, true) => vec![crossing(), b],
        (false, false) => Vec::new(),
    }
}

/// Pieces of a line inside the circle of radius 1 around the origin; ends are set on the circle.
pub(crate) fn in_unit_circle(points: &[Place]) -> Vec<Vec<Place>> {
    let mut pieces: Vec<Vec<Place>> = Vec::new();
    for pair in points.windows(2) {
        let Some((a, b)) = chord(pair[0], pair[1]) else { continue };
        match pieces.last_mut() {
            Some(piece) if piece.last() == Some(&a) => piece.push(b),
            _ => pieces.push(vec![a, b]),
        }
    }
    pieces
}

/// The part of a segment inside the unit circle.
fn chord(a: Place, b: Place) -> Option<(Place, Place)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (square, half, rest) = (dx * dx + dy * dy, a.0 * dx + a.1 * dy, a.0 * a.0 + a.1 * a.1 - 1.0);
    let root = half * half - square * rest;
    if square == 0.0 || root <= 0.0 {
        return None;
    }
    let (from, to) = ((-half - root.sqrt()) / square, (-half + root.sqrt()) / square);
    let at = |t: f64| (a.0 + t * dx, a.1 + t * dy);
    let (start, end) = (if from <= 0.0 { a } else { at(from) }, if to >= 1.0 { b } else { at(to) });
    (from < 1.0 && to > 0.0).then_some((start, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    const WINDOW: Window = Window { right: (0.0, 1.0), up: (0.0, 1.0) };

    #[test]
    fn a_square_around_a_corner_leaves_its_quarter() {
        let square = [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)];
        let area = |p: &[Place]| {
            let pairs = p.iter().zip(p.iter().cycle().skip(1));
            0.5 * pairs.map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>()
        };
        assert!((area(&WINDOW.polygon(&square)) - 0.25).abs() < 1e-12);
        assert!(WINDOW.polygon(&[(2.0, 0.0), (3.0, 0.0), (3.0, 1.0)]).is_empty());
    }

    #[test]
    fn a_line_that_leaves_and_returns_is_two_pieces() {
        let line = [(0.5, 0.5), (0.5, 2.0), (0.7, 2.0), (0.7, 0.5), (0.6, 0.4)];
        let pieces = WINDOW.line(&line);
        assert_eq!(pieces, [vec![(0.5, 0.5), (0.5, 1.0)], vec![(0.7, 1.0), (0.7, 0.5), (0.6, 0.4)]]);
    }

    #[test]
    fn a_line_through_the_circle_ends_on_it() {
        let pieces = in_unit_circle(&[(-2.0, 0.6), (0.0, 0.6), (2.0, 0.6)]);
        assert_eq!(pieces.len(), 1);
        let (first, last) = (pieces[0][0], pieces[0][2]);
        assert!((first.0 + 0.8).abs() < 1e-12 && (last.0 - 0.8).abs() < 1e-12);
        assert!(in_unit_circle(&[(-2.0, 1.2), (2.0, 1.2)]).is_empty());
    }
}
