//! Propellers and points the checks share.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::point::input::{
    AnalyticSection, BladeRow, BladeTable, Compressibility, Flight, Induction, OperatingPoint, Placement,
    Propeller, Rotation, SectionLift, SectionSpec, Solver, Streamwise, Suction, TipLoss,
};

/// A thin frictionless section that never stalls within reach.
#[must_use]
pub fn ideal_section() -> SectionSpec {
    SectionSpec::Analytic(AnalyticSection {
        lift_slope_per_rad: std::f64::consts::TAU,
        zero_lift_rad: 0.0,
        drag_min: 0.0,
        drag_rise: 0.0,
        lift_at_drag_min: 0.0,
        lift_max: 3.0,
        lift_min: -3.0,
    })
}

/// A plain moderately loaded propeller of 1 m diameter in clean axial flow at sea level: 25 m/s, 1800 rpm, constant
/// pitch 1.1 m, frictionless, quasi-steady, without suction. Checks change what they need.
#[must_use]
pub fn plain_point(blade_count: usize) -> OperatingPoint {
    let row = |x: f64| BladeRow {
        radius_ratio: x,
        chord_ratio: 0.12,
        twist_rad: (1.1 / (std::f64::consts::PI * x)).atan(),
        sweep_ratio: 0.0,
        thickness_ratio: 0.1,
        section: 0,
    };
    let rows = (0..=16).map(|i| row(0.2 + 0.05 * f64::from(i))).collect();
    OperatingPoint {
        flight: Flight {
            airspeed_m_s: 25.0,
            altitude_m: 0.0,
            temperature_offset_k: 0.0,
            angle_of_attack_rad: 0.0,
            sideslip_rad: 0.0,
        },
        propeller: Propeller {
            blade_count,
            diameter_m: 1.0,
            speed_rad_s: std::f64::consts::TAU * 30.0,
            rotation: Rotation::Clockwise,
            pitch_offset_rad: 0.0,
            blade: BladeTable { generic: false, rows },
            sections: vec![ideal_section()],
            compressibility: Compressibility::None,
            pitch_error_rad: Vec::new(),
            spacing_error_rad: Vec::new(),
        },
        placement: Placement { hub_m: Vec3::zeros(), tilt_rad: 0.0, toe_rad: 0.0 },
        further: Vec::new(),
        surfaces: Vec::new(),
        bodies: Vec::new(),
        survey: None,
        airframe: wakebeat_engine::point::input::Airframe::default(),
        solver: Solver {
            stations: 24,
            azimuths: 360,
            induction: Induction::Momentum,
            tip_loss: TipLoss::Prandtl,
            section_lift: SectionLift::QuasiSteady,
            streamwise: Streamwise::QuasiSteady,
            suction: Suction::None,
            tolerance: 1e-12,
            harmonics: 8,
        },
    }
}

/// A frictionless propeller of least energy loss at its design point: helical wake moving aft as a rigid screw at
/// `displacement_ratio` times the airspeed (Betz 1919, circulation by Prandtl's factor).
///
/// With w the displacement speed, tan φ = (V + w/2)/(Ωr); the blade meets w/2 square to the helix, so that
/// v = (w/2) cos²φ, swirl (w/2) sin φ cos φ, NΓ = 4πrF·swirl, and the chord follows from Γ = ½ W c cl at cl = 0.5.
#[must_use]
pub fn least_loss_point(blade_count: usize, advance_ratio: f64, displacement_ratio: f64) -> OperatingPoint {
    least_loss_point_by(TipLoss::Prandtl, blade_count, advance_ratio, displacement_ratio)
}

/// As [`least_loss_point`] with a choice of the factor, for the circulation and in the solver.
#[must_use]
pub fn least_loss_point_by(
    tip_loss: TipLoss,
    blade_count: usize,
    advance_ratio: f64,
    displacement_ratio: f64,
) -> OperatingPoint {
    const LIFT: f64 = 0.5;
    let mut point = plain_point(blade_count);
    let (tip, root) = (0.5, 0.05);
    let speed = advance_ratio * 30.0;
    let omega = std::f64::consts::TAU * 30.0;
    let half_w = 0.5 * displacement_ratio * speed;
    let row = |x: f64| {
        let r = x * tip;
        let phi = ((speed + half_w) / (omega * r)).atan();
        let swirl = half_w * phi.sin() * phi.cos();
        let factor = tip_loss.factor(blade_count as f64, r, root, tip, phi.sin());
        let circulation = 4.0 * std::f64::consts::PI * r * factor * swirl / blade_count as f64;
        let relative = (omega * r - swirl) / phi.cos();
        BladeRow {
            radius_ratio: x,
            chord_ratio: 2.0 * circulation / (relative * LIFT) / tip,
            twist_rad: phi + LIFT / std::f64::consts::TAU,
            sweep_ratio: 0.0,
            thickness_ratio: 0.1,
            section: 0,
        }
    };
    // Rows closer towards the tip, where chord falls as the root of the distance.
    let steps = 240;
    let rows = (0..=steps)
        .map(|i| {
            let angle = std::f64::consts::FRAC_PI_2 * f64::from(i) / f64::from(steps);
            row((0.1 + 0.9 * angle.sin()).min(1.0))
        })
        .collect();
    point.flight.airspeed_m_s = speed;
    point.propeller.blade = BladeTable { generic: false, rows };
    point.solver.tip_loss = tip_loss;
    point.solver.stations = 64;
    point.solver.azimuths = 8 * blade_count * 2 + 8;
    point
}
