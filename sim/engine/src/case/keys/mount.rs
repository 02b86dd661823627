//! Keys of the mount: powerplant, isolators, elastic modes of the airframe, sensors.

use super::{Choice, Condition, KeySpec, Kind, Range};

const BASES: &[Choice] = &[
    Choice::new("fixed", "an immovable base, as on a test bench"),
    Choice::new("free", "a free rigid airframe with the mass and inertia of [airframe]"),
];

const MATERIALS: &[Choice] = &[
    Choice::new("nylon_glass", "polyamide with 30 % short glass fibre, 1380 kg/m3"),
    Choice::new("carbon", "carbon-epoxy laminate, quasi-isotropic, 1560 kg/m3"),
    Choice::new("carbon_spanwise", "carbon-epoxy laminate, fibres mostly along the blade, 1570 kg/m3"),
    Choice::new("beech", "beech along the grain, 720 kg/m3"),
    Choice::new("maple", "hard maple along the grain, 700 kg/m3"),
    Choice::new("aluminium", "aluminium alloy, 2780 kg/m3"),
];

const CARRIERS: &[Choice] = &[
    Choice::new("airframe", "the airframe side of the isolators"),
    Choice::new("motor", "the motor side of the isolators"),
];

const POSITION: Range = Range::closed(-1000.0, 1000.0);
const INERTIA: Range = Range::above(0.0, 1e6);

fn number(name: &'static str, range: Range, unit: &'static str) -> KeySpec {
    KeySpec::new("mount", name, Kind::Number(range), unit)
}

fn point(name: &'static str, range: Range, unit: &'static str) -> KeySpec {
    KeySpec::new("mount", name, Kind::Point(range), unit)
}

pub(super) fn mount_keys() -> Vec<KeySpec> {
    let mut keys = powerplant();
    keys.extend(drive());
    keys.extend(scan());
    keys
}

fn powerplant() -> Vec<KeySpec> {
    vec![
        KeySpec::text("mount", "base", Kind::Choice(BASES)).or("\"fixed\"").doc(
            "What the isolators stand on. On a free airframe they work against the reduced mass m1 m2/(m1 + m2), at a higher \
             frequency than on a bench. Stability is always judged on an immovable base.",
        ),
        number("motor_mass_kg", Range::above(0.0, 10_000.0), "kg").doc(
            "Everything on the motor side of the isolators but the propeller. A heavier motor lowers the frequencies.",
        ),
        point("motor_centre_of_gravity_m", POSITION, "m").doc(
            "Centre of gravity of what `motor_mass_kg` weighs, from the hub in shaft axes: x aft along the shaft, y starboard, z up. A motor ahead of \
             its propeller has a negative x.",
        ),
        point("motor_inertia_kg_m2", INERTIA, "kg m2").or_absent().doc(
            "Moments of inertia of the motor about its own centre of gravity along shaft axes; without them those of a solid cylinder, \
             marked as estimated. Larger ones lower the frequencies of rolling, pitching and yawing.",
        ),
        number("motor_diameter_m", Range::above(0.0, 100.0), "m").or_absent().doc(
            "Diameter of the cylinder that stands for the motor; without it that of 4000 kg/m3 and 0.7 diameters of length \
             (common practice). A larger one has more inertia.",
        ),
        number("motor_length_m", Range::above(0.0, 100.0), "m")
            .or_absent()
            .doc("Length of the cylinder that stands for the motor; without it 0.7 diameters. A longer motor has more inertia across the shaft."),
        number("motor_rotor_inertia_kg_m2", Range::closed(0.0, 1e6), "kg m2").or_absent().doc(
            "Polar inertia of what turns with the shaft beside the propeller; without it 0.4 of the motor's mass at 0.45 of \
             its diameter (outrunner, common practice). A larger one passes less ripple of torque to the mount.",
        ),
        KeySpec::text("mount", "propeller_material", Kind::Choice(MATERIALS)).or("\"nylon_glass\"").doc(
            "Material of the solid blade that mass and inertia of the propeller are estimated from, where they are not given.",
        ),
        number("propeller_mass_kg", Range::above(0.0, 10_000.0), "kg").or_absent().doc(
            "Mass of the propeller with hub and spinner; without it the mass of solid blades, marked as estimated. A \
             heavier one lowers the frequencies and, at the same balance grade, has more unbalance.",
        ),
        number("propeller_polar_inertia_kg_m2", INERTIA, "kg m2").or_absent().doc(
            "Inertia of the propeller about the shaft; without it that of solid blades, marked as estimated. A larger one splits the \
             frequencies of pitching and yawing further with speed, and with two blades widens the unstable band.",
        ),
        number("balance_grade_mm_s", Range::closed(0.0, 4000.0), "mm/s").or("6.3").doc(
            "Balance grade G of ISO 21940-11: permissible unbalance per mass of what is balanced (balance_mass_kg) times speed. \
             Twice the grade doubles the 1P force. G 6.3 is common practice for propellers.",
        ),
        number("balance_mass_kg", Range::above(0.0, 10_000.0), "kg").or_absent().doc(
            "Mass that the grade is held for; without it the propeller's, the motor's rotor counted as balanced by itself. Where both are \
             left at the grade together, or the bell of an outrunner is no better, give their masses together: it may well be several \
             times the propeller's, and the 1P force with it.",
        ),
        number("balance_speed_rpm", Range::above(0.0, 1e6), "rpm").or_absent().doc(
            "Speed the grade is meant at; without it the speed of the case. A higher one means a smaller unbalance.",
        ),
    ]
}

fn drive() -> Vec<KeySpec> {
    vec![
        number("motor_torque_slope_n_m_s", Range::closed(0.0, 1e6), "N m s").or("0.0").doc(
            "Fall of motor torque with shaft speed, N m per rad/s; 0 where torque is controlled. A steeper fall passes more \
             ripple of the aerodynamic torque to the mount.",
        ),
        number("motor_angle_gain_n_m", Range::closed(0.0, 1e6), "N m").or("0.0").doc(
            "Torque per rad of angle lost, of a governor that integrates the error of speed; 0 without. A larger one makes a \
             resonance of the rotor.",
        ),
        number("shaft_stiffness_n_m_per_rad", Range::above(0.0, 1e9), "N m/rad").or_absent().doc(
            "Stiffness in twist between motor and propeller; without it the shaft is rigid. A softer one lowers its \
             resonance, which can lift the ripple of motor torque.",
        ),
        number("shaft_damping_n_m_s", Range::closed(0.0, 1e6), "N m s")
            .or("0.0")
            .when(Condition::With("shaft_stiffness_n_m_per_rad"))
            .doc("Damping in twist. More of it lowers the shaft's resonance."),
    ]
}

fn scan() -> Vec<KeySpec> {
    let count =
        |name, low: f64, high| KeySpec::new("mount", name, Kind::Integer(Range::closed(low, high)), "1");
    vec![
        number("speed_from_rpm", Range::above(0.0, 1e6), "rpm").or_absent().doc(
            "Lowest shaft speed looked through for speeds to avoid; without it 0.4 of the speed of the case. A lower one \
             looks further down.",
        ),
        number("speed_to_rpm", Range::above(0.0, 1e6), "rpm").or_absent().doc(
            "Highest shaft speed looked through; without it 1.2 of the speed of the case, or less where the tips would pass the speed \
             of sound. A higher one looks further up.",
        ),
        count("speeds", 3.0, 20_000.0)
            .or("200")
            .doc("Number of shaft speeds looked through. More of them find the edges of bands more closely."),
        count("load_speeds", 2.0, 200.0).or("7").doc(
            "Number of shaft speeds, evenly spaced, at which the airloads are computed, at the airspeed of the case; between \
             them each harmonic follows a smooth curve. More of them follow the loads more closely and take longer.",
        ),
        number("angle_span_deg", Range::closed(0.0, 20.0), "deg").or("6.0").doc(
            "How far above and below the angle of attack of the case, in trimmed flight of that, the worst one is looked for. A larger span looks \
             further.",
        ),
        count("angles", 1.0, 100.0)
            .or("5")
            .doc("Number of angles of attack in the span. More of them find the worst one more closely."),
        number("avoid_ratio", Range::above(1.0, 1000.0), "1").or("2.0").doc(
            "A speed is one to avoid where the vibration is more than this times its median over the speeds looked through. \
             A larger ratio names fewer speeds.",
        ),
    ]
}

pub(super) fn isolator_keys() -> Vec<KeySpec> {
    let point = |name, range, unit| KeySpec::new("isolator.NAME", name, Kind::Point(range), unit);
    let direction = Range::closed(-1e6, 1e6);
    vec![
        KeySpec::text("isolator.NAME", "name", Kind::Name).doc("Name, unique over isolators."),
        point("position_m", POSITION, "m").doc(
            "Elastic centre from the hub in shaft axes: x aft along the shaft, y starboard, z up. A wider spacing stiffens \
             pitching and yawing.",
        ),
        point("axis", direction, "1")
            .or("[1.0, 0.0, 0.0]")
            .doc("Direction of its first axis in shaft axes, of any length; the default lies along the shaft."),
        point("second_axis", direction, "1").or("[0.0, 1.0, 0.0]").doc(
            "Direction of its second axis, made square to the first; the third is square to both. Matters where \
             stiffness differs between them.",
        ),
        point("stiffness_n_per_m", Range::closed(0.0, 1e12), "N/m").doc(
            "Dynamic stiffness along its three axes. A softer one isolates better above its resonance and nears whirl \
             instability.",
        ),
        point("damping_n_s_per_m", Range::closed(0.0, 1e9), "N s/m").or("[0.0, 0.0, 0.0]").doc(
            "Viscous damping along its three axes. More of it lowers the resonance and passes more of what is far above it.",
        ),
        point("loss_factor", Range::closed(0.0, 2.0), "1").or("[0.1, 0.1, 0.1]").doc(
            "Part of the stiffness that acts a quarter of a cycle early, as in rubber: twice the damping ratio at resonance. \
             0.05 to 0.1 natural rubber, 0.2 to 0.4 damped elastomers (common practice).",
        ),
    ]
}

pub(super) fn sensor_keys() -> Vec<KeySpec> {
    vec![
        KeySpec::text("sensor.NAME", "name", Kind::Name).doc("Name, unique over sensors."),
        KeySpec::new("sensor.NAME", "position_m", Kind::Point(POSITION), "m")
            .doc("Where the sensor is, aircraft axes: x aft, y starboard, z up. A larger distance from the mount feels more of its turning."),
        KeySpec::text("sensor.NAME", "on", Kind::Choice(CARRIERS))
            .or("\"airframe\"")
            .doc("What the sensor is fixed to; on the airframe it needs `mount.base = \"free\"` or an [[airframe_mode]]."),
        KeySpec::new("sensor.NAME", "limit_rms_m_s2", Kind::Number(Range::above(0.0, 1e6)), "m/s2").or_absent().doc(
            "Greatest root mean square of acceleration allowed, without the mean; flight controllers are documented as \
             normal below 15, in trouble above 60. A lower limit is passed sooner.",
        ),
    ]
}

pub(super) fn airframe_mode_keys() -> Vec<KeySpec> {
    let number = |name, range, unit| KeySpec::new("airframe_mode.NAME", name, Kind::Number(range), unit);
    vec![
        KeySpec::text("airframe_mode.NAME", "name", Kind::Name).doc("Name, unique over modes."),
        number("frequency_hz", Range::above(0.0, 1e6), "Hz")
            .doc("Natural frequency with the powerplant taken off. A higher one is a stiffer airframe."),
        number("damping_ratio", Range::closed(0.0, 1.0), "1")
            .or("0.01")
            .doc("Damping over critical. More of it lowers the mode's resonance."),
        number("modal_mass_kg", Range::above(0.0, 1e6), "kg")
            .doc("Modal mass for the motions given; a larger one moves less."),
    ]
}

pub(super) fn airframe_mode_at_keys() -> Vec<KeySpec> {
    let group = "airframe_mode.NAME.at.NAME";
    vec![
        KeySpec::text(group, "name", Kind::Name).doc("Name of an isolator or of a sensor."),
        KeySpec::new(group, "motion", Kind::Point(Range::closed(-1e6, 1e6)), "1").doc(
            "Motion there for a unit of the mode, aircraft axes; points not named do not move. Larger motion at a sensor \
             shows more of the mode.",
        ),
    ]
}
