//! Observed orders of convergence, and limits that have no published number.

// Helpers of tests.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use approx::assert_relative_eq;
use wakebeat_engine::point::result::HubLoad;
use wakebeat_engine::point::{solve_once, solve_with};
use wakebeat_validation::propellers::plain_point;
use wakebeat_validation::topics::unsteady_section::gust_response;
use wakebeat_validation::topics::wings::{ANGLE_RAD, line, plane_wing};

/// The error of the straight line between steps of a gust falls with the square of the step.
#[test]
fn val_gust_response_converges_to_second_order() {
    let at = |steps| gust_response(0.5, 4, steps).unwrap();
    let fine = at(4096);
    let error = |steps| {
        let coarse = at(steps);
        (coarse.0 - fine.0).hypot(coarse.1 - fine.1)
    };
    assert_relative_eq!((error(32) / error(64)).log2(), 2.0, epsilon = 0.2);
}

/// Observed order over stations on a smooth blade: the annuli shrink towards the tip as the load does.
#[test]
fn val_mean_thrust_converges_over_stations() {
    let thrust = |stations: usize| {
        let mut point = plain_point(3);
        point.solver.stations = stations;
        point.solver.azimuths = 64;
        solve_once(&point).unwrap().scalar("thrust_n").unwrap()
    };
    let values = [20, 40, 80, 160].map(thrust);
    for w in values.windows(3) {
        assert_relative_eq!(((w[0] - w[1]) / (w[1] - w[2])).abs().log2(), 2.0, epsilon = 0.2);
    }
}

/// Halving the strips' width divides the error of a tapered wing by at least four: the chord's kink at the root
/// limits the series to second order.
#[test]
fn val_lifting_line_converges_over_strips() {
    for taper in [0.4, 1.0] {
        let slope = |strips| line(&plane_wing(8.0, taper, 0.0), strips).unwrap().lift_coefficient / ANGLE_RAD;
        let values = [20, 40, 80, 160].map(slope);
        let changes: Vec<f64> = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).collect();
        let orders: Vec<f64> = changes.windows(2).map(|pair| (pair[0] / pair[1]).log2()).collect();
        println!("taper {taper}: slope {values:?} order {orders:?}");
        assert!(orders.iter().all(|order| *order > 1.8), "{orders:?}");
    }
}

/// Clean axial inflow has no ripple: below 1e-9 of the mean in every load that has a mean.
#[test]
fn val_clean_axial_inflow_has_no_ripple() {
    for blades in 1..=6 {
        let result = solve_with(&plain_point(blades), Vec::new()).unwrap();
        let scale = result.hub(HubLoad::Thrust).harmonics.amplitude[0];
        for load in HubLoad::ALL {
            // A single blade turns its own in-plane load and moment about the hub: that is no ripple of the inflow.
            if blades == 1 && !matches!(load, HubLoad::Thrust | HubLoad::Torque | HubLoad::RollingMoment) {
                continue;
            }
            let ripple = result.hub(load).harmonics.amplitude[1..].iter().fold(0.0_f64, |a, b| a.max(*b));
            assert!(ripple < 1e-9 * scale, "{blades} blades, {}: {ripple:e} of {scale}", load.name());
        }
    }
}
