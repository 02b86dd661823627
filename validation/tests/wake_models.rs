//! Wakes of sections against exact solutions of their equations, the published correlation and a measured wake.

// Helpers of tests, and the comparison with the measured wake is printed for the reader.
#![allow(clippy::unwrap_used, clippy::print_stdout)]

use approx::assert_relative_eq;
use wakebeat_engine::wake::momentum::gaussian;
use wakebeat_engine::wake::shape_factor_table::ShapeFactorTable;
use wakebeat_engine::wake::{MomentumWake, Naca651Wake, WakeModel, WakeSection, WakeStation};
use wakebeat_validation::reference::Table;

fn parse(text: &str) -> Table {
    Table::parse(text).unwrap()
}

fn measured() -> Table {
    parse(include_str!("../data/wake/wake_correlation_vs_measured.csv"))
}

/// Section drag coefficient of the measured section: Nakayama, J. Fluid Mech. 160 (1985), from the momentum
/// thickness of the last three stations.
const MEASURED_DRAG: f64 = 0.01048;

/// Unit chord, so distances are in chords.
fn section(drag_coefficient: f64, edge_speed_ratio: f64) -> WakeSection {
    WakeSection { chord_m: 1.0, drag_coefficient, edge_speed_ratio }
}

/// The wake of the measured section as the engine has it: 10 % thick, chord Reynolds number 1.2e6.
fn wake() -> MomentumWake {
    MomentumWake::of_section(0.10, 1.2e6, true, 25.0)
}

/// Integrals of δ and δ(1 − δ) over the profile: displacement and momentum thickness, by the trapezoid rule, which
/// converges faster than any power of the step for a profile that has died out at both ends.
fn thicknesses(wake: &WakeStation) -> (f64, f64) {
    let cells = 4000;
    let step = 2.0 * wake.support_m() / f64::from(cells);
    (0..=cells).fold((0.0, 0.0), |(displacement, momentum), i| {
        let deficit = wake.deficit(f64::from(i) * step - wake.support_m());
        (displacement + deficit * step, momentum + deficit * (1.0 - deficit) * step)
    })
}

/// Green, Weeks and Brooman, R&M 3791 (1977), solved by an independent integrator to 1e-6.
#[test]
fn val_lag_entrainment_equations() {
    for row in parse(include_str!("../data/wake/wake_lag_entrainment.csv")).rows() {
        let value = |column| row.number(column).unwrap();
        let (edge, distance) = (value("H_TE"), value("x_over_theta"));
        let table = ShapeFactorTable::new(edge).unwrap();
        // H is printed to five digits, so half a unit of its fourth decimal.
        assert_relative_eq!(table.shape_factor(distance), value("H"), epsilon = 5.1e-5);
        // Depth and width, printed to five digits: half a unit of the last, at worst 5e-5 relative. θ = cd c/2 = 1.
        let station = gaussian(table.shape_factor(distance), 1.0);
        assert_relative_eq!(station.peak, value("us_over_Ue"), max_relative = 5.1e-5);
        assert_relative_eq!(station.half_width_m(), value("b_half_over_theta"), max_relative = 5.1e-5);
    }
}

/// Squire and Young, R&M 1838 (1938): the profile's own momentum thickness gives the drag back.
#[test]
fn val_momentum_wake_carries_the_drag() {
    for drag in [0.006, 0.01, 0.03, 0.2, 2.0] {
        for edge_speed in [0.94, 1.0, 1.03] {
            for aft in [0.0, 0.01, 0.05, 0.3, 2.0, 20.0] {
                let section = section(drag, edge_speed);
                let (displacement, momentum) = thicknesses(&wake().station(&section, aft));
                let shape_factor = displacement / momentum;
                let recovered = 2.0 * momentum * edge_speed.powf(0.5 * (shape_factor + 5.0));
                // The profile is cut where it has fallen to 1e-12 of its peak.
                assert_relative_eq!(recovered, drag, max_relative = 1e-9);
                assert_relative_eq!(shape_factor, wake().shape_factor(&section, aft), max_relative = 1e-9);
            }
        }
    }
}

/// Sreenivasan and Narasimha, J. Fluids Eng. 104 (1982): u_s √(x/θ) = 1.63 ± 0.02 far behind (from memory). The
/// equations, none of whose constants come from far wakes, are known to end 5 % below; generators differ by 10 to
/// 15 % (Wygnanski, Champagne, Marasli, J. Fluid Mech. 168, 1986), which is the tolerance.
#[test]
fn val_momentum_wake_far_behind() {
    let constants = parse(include_str!("../data/wake/wake_constants.csv"));
    let measured = constants
        .rows()
        .find(|row| row.text("quantity").unwrap() == "W0 = us/U sqrt(x/theta)")
        .and_then(|row| row.number("value").ok())
        .unwrap();
    for edge in [1.3, 1.4, 1.5, 1.6, 1.8, 2.0] {
        let table = ShapeFactorTable::new(edge).unwrap();
        let distance: f64 = 4000.0;
        let peak = std::f64::consts::SQRT_2 * (1.0 - 1.0 / table.shape_factor(distance));
        assert_relative_eq!(peak * distance.sqrt(), measured, max_relative = 0.10);
    }
}

/// Nakayama, J. Fluid Mech. 160 (1985): measured near wake of a 10 % section at zero incidence, boundary layers
/// tripped. Nothing in the model comes from it. Bands: peak 12 %, width 20 % to half a chord and 25 % beyond, which is as far as
/// measured wakes of different generators differ among themselves; nearer than 0.05 chord the profile is a pair of boundary
/// layers and only printed.
#[test]
fn val_momentum_wake_against_the_measured_near_wake() {
    println!("aft/c   peak measured model error     half width/c measured model error     H measured model");
    for row in measured().rows() {
        let value = |column| row.number(column).unwrap();
        let section = section(MEASURED_DRAG, value("edge_speed"));
        let aft = value("xi");
        let station = wake().station(&section, aft);
        let (peak, width) = (value("u_deficit_max"), value("u_halfdepth_halfwidth_meas"));
        let (deeper, wider) = (station.peak / peak - 1.0, station.half_width_m() / width - 1.0);
        println!(
            "{aft:5.2}   {peak:.4} {:.4} {:+5.1} %     {width:.5} {:.5} {:+5.1} %     {:.3} {:.3}",
            station.peak,
            100.0 * deeper,
            station.half_width_m(),
            100.0 * wider,
            value("H_meas"),
            wake().shape_factor(&section, aft),
        );
        if aft >= 0.05 {
            assert!(deeper.abs() < 0.12, "peak {deeper} at {aft}");
            assert!(wider.abs() < if aft <= 0.5 { 0.20 } else { 0.25 }, "width {wider} at {aft}");
        }
    }
}

/// The equations without pressure gradient, from the shape factor of a plate, as evaluated independently (errors
/// printed to five digits): what the section's pressure rise adds is the difference to the check above.
#[test]
fn val_plate_wake_as_evaluated_independently() {
    let independent = parse(include_str!("../data/wake/wake_models_vs_measured.csv"));
    let rows: Vec<_> =
        independent.rows().filter(|row| row.text("model").unwrap() == "lag_entrainment_zpg_H1.4").collect();
    assert_eq!(rows.len(), measured().rows().count());
    let table = ShapeFactorTable::new(1.4).unwrap();
    for (measured, independent) in measured().rows().zip(rows) {
        let far_theta = 0.5 * MEASURED_DRAG;
        let shape_factor = table.shape_factor(measured.number("xi").unwrap() / far_theta);
        let edge_speed = measured.number("edge_speed").unwrap();
        let station = gaussian(shape_factor, far_theta * edge_speed.powf(-0.5 * (shape_factor + 5.0)));
        let expected = |column| independent.number(column).unwrap();
        assert_relative_eq!(station.peak, expected("peak_model"), max_relative = 1e-4);
        assert_relative_eq!(station.half_width_m(), expected("halfwidth_model"), max_relative = 1e-4);
    }
}

/// Silverstein, Katzoff and Bullivant, NACA Report 651 (1939), evaluated independently. The drag coefficient is
/// given to four digits, which leaves 2.4e-4 in its root; the columns are printed to four and five decimals.
#[test]
fn val_naca651_peak_and_width() {
    for row in measured().rows() {
        let value = |column| row.number(column).unwrap();
        let section = section(MEASURED_DRAG, value("edge_speed"));
        let station = Naca651Wake.station(&section, value("xi"));
        let loss = Naca651Wake.peak_loss(&section, value("xi"));
        assert!((loss - value("dq_max_corr")).abs() < 5e-5 + 2.4e-4 * loss);
        // Half depth of a cos² profile lies at half its edge.
        let half_depth = 0.5 * station.width_m;
        assert!((half_depth - value("dq_halfdepth_halfwidth_corr")).abs() < 5e-6 + 2.4e-4 * half_depth);
    }
}

/// The same correlation does not conserve momentum: by how much was integrated independently (six decimals).
#[test]
fn val_naca651_drag_it_implies() {
    let table = parse(include_str!("../data/wake/wake_correlation_momentum_check.csv"));
    for row in table.rows().filter(|row| row.number("dq_max").unwrap() < 0.9) {
        let value = |column| row.number(column).unwrap();
        let station = Naca651Wake.station(&section(value("cd"), 1.0), value("xi"));
        assert_relative_eq!(station.peak, value("peak_u_deficit"), epsilon = 5.1e-7);
        assert_relative_eq!(station.width_m, value("halfwidth_over_c"), epsilon = 5.1e-7);
        let (_, momentum) = thicknesses(&station);
        // The trapezoid rule with 4000 cells is good to 1e-6 on a profile that ends with a kink in its slope.
        assert_relative_eq!(2.0 * momentum / value("cd"), value("cd_recovered_over_cd"), max_relative = 1e-5);
    }
}
