use super::*;
use approx::assert_relative_eq;
use std::f64::consts::PI;

/// A four-digit section, thickness added square to the chord: upper surface from the trailing edge to the
/// nose, then the lower. `panels` a surface.
fn four_digit(thickness: f64, camber: f64, crest: f64, panels: i32) -> Vec<[f64; 2]> {
    let half = |x: f64| {
        let series = 0.2969 * x.sqrt() - 0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4);
        5.0 * thickness * series
    };
    let mean = |x: f64| {
        let (front, rest) = if x < crest { (0.0, crest) } else { (1.0 - 2.0 * crest, 1.0 - crest) };
        camber / (rest * rest) * (front + 2.0 * crest * x - x * x)
    };
    let x = |i: i32| 0.5 * (1.0 - (PI * f64::from(i) / f64::from(panels)).cos());
    let upper = (0..=panels).rev().map(|i| [x(i), mean(x(i)) + half(x(i))]);
    let lower = (1..=panels).map(|i| [x(i), mean(x(i)) - half(x(i))]);
    upper.chain(lower).collect()
}

fn shape(points: Vec<[f64; 2]>) -> SectionShape {
    SectionShape::new(points).unwrap()
}

/// Sense, starting point, a repeated closing point and the split into two surfaces say nothing about the
/// section.
#[test]
fn order_of_the_points_does_not_matter() {
    let points = four_digit(0.12, 0.03, 0.4, 30);
    let plain = *shape(points.clone()).properties();
    let mut reversed = points.clone();
    reversed.reverse();
    let mut turned = points.clone();
    turned.rotate_left(17);
    let mut closed = points.clone();
    closed.push(points[0]);
    let mut surfaces: Vec<[f64; 2]> = points[..=30].iter().rev().copied().collect();
    surfaces.extend(&points[30..]);
    for (name, list) in
        [("reversed", reversed), ("turned", turned), ("closed", closed), ("two surfaces", surfaces)]
    {
        let other = *shape(list).properties();
        assert_relative_eq!(plain.zero_lift_rad, other.zero_lift_rad, epsilon = 1e-12);
        assert_relative_eq!(plain.thickness_ratio, other.thickness_ratio, epsilon = 1e-12);
        assert_relative_eq!(plain.nose_sharpness, other.nose_sharpness, epsilon = 1e-9);
        let places = (plain.laminar_separation_ratio, other.laminar_separation_ratio);
        assert!((places.0 - places.1).abs() < 1e-9, "{name}");
    }
}

/// A nose between two points of the list, as most printed outlines have it, is found between them.
#[test]
fn nose_between_points_is_found() {
    let whole = four_digit(0.12, 0.02, 0.4, 40);
    let without: Vec<[f64; 2]> = whole.iter().copied().filter(|p| p[0] > 0.0).collect();
    let (a, b) = (*shape(whole).properties(), *shape(without).properties());
    assert_relative_eq!(a.zero_lift_rad, b.zero_lift_rad, epsilon = 2e-4);
    assert_relative_eq!(a.nose_radius_ratio, b.nose_radius_ratio, epsilon = 1e-3);
}

/// Two flat sides with a laminar layer all along: Blasius on both.
#[test]
fn plate_drag_is_blasius() {
    let side = |i: i32| [f64::from(i) / 20.0, 0.0];
    let plate = shape((0..=20).rev().map(side).chain((1..=20).map(side)).collect());
    for reynolds in [3e4, 1e5, 9e5] {
        let drag = profile_drag(&plate, reynolds);
        assert_relative_eq!(drag.friction, 2.656 / f64::sqrt(reynolds), epsilon = 1e-12);
        assert_eq!(drag.separation, 0.0);
        assert_eq!(handbook_section(&plate, reynolds).zero_lift_rad, 0.0);
    }
}

/// A base takes Hoerner's drag where the layer comes to it turbulent, and none where the laminar layer has left for good.
#[test]
fn a_blunt_edge_has_base_drag() {
    let sharp = four_digit(0.12, 0.0, 0.4, 30);
    let blunt = |height: f64| {
        let widened = sharp.iter().enumerate().map(|(i, p)| {
            let side = if i <= 30 { 0.5 } else { -0.5 };
            [p[0], p[1] + side * height * p[0]]
        });
        shape(widened.collect())
    };
    let (reynolds, height) = (3e6, 0.02);
    let drag = profile_drag(&blunt(height), reynolds);
    let own = blunt(height).properties().base_ratio;
    // The four-digit section has a base of its own, 0.0021 of 0.2 times its thickness on each side.
    assert_relative_eq!(own, height + 0.00252, max_relative = 0.01);
    assert_relative_eq!(drag.base, 0.135 * own / (drag.friction / own).cbrt(), max_relative = 1e-12);
    assert!((0.002..0.006).contains(&drag.base), "{}", drag.base);
    assert_eq!(profile_drag(&blunt(height), 2e4).base, 0.0);
}

/// Nothing jumps with Reynolds number, and every constant stays physical.
#[test]
fn polar_is_continuous_in_reynolds_number() {
    for points in
        [four_digit(0.12, 0.02, 0.4, 30), four_digit(0.06, 0.06, 0.5, 30), four_digit(0.21, 0.0, 0.4, 30)]
    {
        let section = shape(points);
        let mut before = handbook_section(&section, 1e3);
        for i in 1..=4000 {
            let reynolds = 1e3 * 1e5_f64.powf(f64::from(i) / 4000.0);
            let now = handbook_section(&section, reynolds);
            for (a, b) in [
                (before.drag_min, now.drag_min),
                (before.lift_slope_per_rad, now.lift_slope_per_rad),
                (before.drag_rise, now.drag_rise),
                (before.lift_max, now.lift_max),
            ] {
                assert!(b > 0.0 && (b / a - 1.0).abs() < 0.03, "{a} to {b} at Re {reynolds}");
            }
            assert!(now.lift_min < 0.0 && now.lift_at_drag_min < now.lift_max);
            before = now;
        }
    }
}

/// Lift at fixed angles neither jumps nor falls by more than 0.001 as the separated layer comes back, from all of it lost to none.
#[test]
fn lift_comes_back_smoothly_with_reynolds_number() {
    let section = shape(four_digit(0.12, 0.02, 0.4, 30));
    for angle_deg in [0.0_f64, 2.0, 4.0] {
        let lift = |reynolds: f64| {
            HandbookPolar::new(&section, reynolds, 0.0).coefficients(angle_deg.to_radians(), 1.0).lift
        };
        let mut before = lift(1e4);
        for i in 1..=400 {
            let now = lift(1e4 * 50_f64.powf(f64::from(i) / 400.0));
            assert!(
                (-1e-3..0.02).contains(&(now - before)),
                "{before} to {now} at {angle_deg} deg, step {i}"
            );
            before = now;
        }
        assert!(HandbookPolar::new(&section, 5e5, 0.0).is_straight());
    }
}

/// Form drag of a laminar layer goes as its thickness: half the drag rise at four times the Reynolds number.
#[test]
fn drag_rise_goes_as_the_thickness_of_the_layer() {
    let section = shape(four_digit(0.12, 0.0, 0.4, 30));
    let rise = |reynolds: f64| handbook_section(&section, reynolds).drag_rise;
    for reynolds in [2e4, 1e5, 2.5e5] {
        assert_relative_eq!(rise(reynolds) / rise(4.0 * reynolds), 2.0, max_relative = 0.02);
    }
    assert_eq!(rise(5e3), rise(2e4));
}

#[test]
fn points_that_bound_no_section_are_refused() {
    let good = four_digit(0.12, 0.02, 0.4, 20);
    let refusal = |points: Vec<[f64; 2]>| SectionShape::new(points).unwrap_err();
    assert_eq!(refusal(good[..10].to_vec()), OutlineError::PointCount { count: 10 });
    let mut list = good.clone();
    list[3][1] = f64::NAN;
    assert_eq!(refusal(list), OutlineError::NotFinite { point: 3 });
    let per_cent = good.iter().map(|p| [100.0 * p[0], 100.0 * p[1]]).collect();
    assert_eq!(refusal(per_cent), OutlineError::Scale { least: 0.0, greatest: 100.0 });
    let headless: Vec<[f64; 2]> = good.iter().copied().filter(|p| p[0] > 0.03).collect();
    assert!(matches!(refusal(headless), OutlineError::NoNose { .. }));
    assert!(matches!(refusal(good[..30].to_vec()), OutlineError::NotClosed { .. }));
    let mut list = good.clone();
    list.swap(12, 28);
    assert!(matches!(refusal(list), OutlineError::Crosses { .. }));
    // All points at one place in x, all equal, or on a line: refused, never a panic.
    for list in
        [vec![[0.0, 0.0]; 30], vec![[1.0, 0.0]; 30], good.iter().map(|p| [p[0].round(), 0.0]).collect()]
    {
        let _ = refusal(list);
    }
}
