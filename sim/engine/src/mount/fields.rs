//! A mount's answer as named arrays, units in the names.

use super::avoid::Reason;
use super::flown::Tie;
use super::input::Mount;
use super::scan::ModeLine;
use super::shaking::Channel;
use super::study::MountResult;
use crate::base::field::Field;
use crate::point::result::{HubLoad, Warning};
use std::f64::consts::TAU;

/// Scale of the harmonic orders, shared by all groups.
const ORDER: &str = "order";
const RESPONSE: &str = "mount/response";
const SPEED: &str = "mount/speed";

fn at(group: &str, name: &str) -> String {
    format!("{group}/{name}")
}

/// All fields of a mount's answer.
#[must_use]
pub fn fields(result: &MountResult, mount: &Mount) -> Vec<Field> {
    let orders = (0..result.shaking.orders()).map(|n| n as f64).collect();
    let mut all =
        vec![Field::scale(ORDER, "1", "harmonic order, cycles per shaft revolution; 0 is the mean", orders)];
    all.extend(hub_harmonics(result));
    all.extend(response(result, mount));
    all.extend(modes("mount/modes/rest", &result.at_rest, "at rest in still air"));
    all.extend(modes("mount/modes/running", &result.running, "at the speed of the case, with air"));
    all.extend(speeds(result, mount));
    all.extend(crossings(result));
    all.extend(bands(result, mount));
    all.extend(angles(result, mount));
    all.extend(whirl(result));
    all.extend(transmissibility(result));
    all.extend(blade(result));
    all
}

fn hub_harmonics(result: &MountResult) -> Vec<Field> {
    let mut all = Vec::new();
    for load in HubLoad::ALL {
        let harmonics = &result.point.hub(load).harmonics;
        let words = load.long_name();
        let path = at("hub_harmonics", load.key());
        let told = format!("amplitude, order 0 the signed mean, others single-sided peaks: {words}");
        all.push(Field::numbers(&path, load.unit(), &told, &[ORDER], harmonics.amplitude.clone()));
        let path = at("hub_harmonics", &format!("{}_phase_rad", load.name()));
        let told = format!("phase lag of each order in cos(n psi - phase): {words}");
        all.push(Field::numbers(&path, "rad", &told, &[ORDER], harmonics.phase_rad.clone()));
    }
    all
}

/// Channels that stand side by side in one array.
struct Block<'a> {
    name: &'a str,
    unit: &'a str,
    words: &'a str,
    dimensions: &'a [&'a str],
    channels: Vec<Channel>,
}

fn response(result: &MountResult, mount: &Mount) -> Vec<Field> {
    let (isolator, sensor, axis, direction) =
        (at(RESPONSE, "isolator"), at(RESPONSE, "sensor"), at(RESPONSE, "axis"), at(RESPONSE, "direction"));
    let (isolators, sensors) = (mount.isolators.len(), mount.sensors.len());
    let mut all = vec![
        Field::counted(&isolator, "isolator number, from 1", isolators),
        Field::texts(
            &at(RESPONSE, "isolator_name"),
            "name of the isolator",
            &isolator,
            mount.isolators.iter().map(|i| i.name.clone()).collect(),
        ),
        Field::counted(&axis, "axis number: of an isolator its own first, second, third; else x, y, z", 3),
        Field::counted(
            &direction,
            "1, 2, 3 along or about x, y, z of the shaft axes: x aft, y starboard, z up",
            3,
        ),
    ];
    if sensors > 0 {
        all.push(Field::counted(&sensor, "sensor number, from 1", sensors));
        let names = mount.sensors.iter().map(|s| s.name.clone()).collect();
        all.push(Field::texts(&at(RESPONSE, "sensor_name"), "name of the sensor", &sensor, names));
        let rms = (0..sensors).map(|i| result.shaking.sensor_rms_m_s2(i)).collect();
        let words = "root mean square of the acceleration of a sensor, all axes, without the mean, unbalance in its worst direction";
        all.push(Field::numbers(&at(RESPONSE, "sensor_rms_m_s2"), "m/s2", words, &[&sensor], rms));
        let limits = mount.sensors.iter().map(|s| s.limit_rms_m_s2.unwrap_or(f64::NAN)).collect();
        let words = "greatest root mean square allowed at a sensor; NaN where none is given";
        all.push(Field::numbers(&at(RESPONSE, "sensor_limit_rms_m_s2"), "m/s2", words, &[&sensor], limits));
    }
    let grid = |count: usize, channel: fn(usize, usize) -> Channel| {
        (0..count).flat_map(|i| (0..3).map(move |axis| channel(i, axis))).collect::<Vec<_>>()
    };
    let blocks = [
        Block {
            name: "isolator_force_n",
            unit: "N",
            words: "force on the foot of an isolator along its own axes; the mean is that of the airloads, without weight",
            dimensions: &[&isolator, &axis, ORDER],
            channels: grid(isolators, Channel::Isolator),
        },
        Block {
            name: "transmitted_force_n",
            unit: "N",
            words: "force of all isolators on the airframe, shaft axes",
            dimensions: &[&direction, ORDER],
            channels: (0..3).map(Channel::Transmitted).collect(),
        },
        Block {
            name: "transmitted_moment_n_m",
            unit: "N m",
            words: "right-handed moment of all isolators on the airframe about the hub, shaft axes",
            dimensions: &[&direction, ORDER],
            channels: (3..6).map(Channel::Transmitted).collect(),
        },
        Block {
            name: "hub_motion_m",
            unit: "m",
            words: "motion of the hub against the airframe, shaft axes",
            dimensions: &[&direction, ORDER],
            channels: (0..3).map(Channel::Hub).collect(),
        },
        Block {
            name: "hub_rotation_rad",
            unit: "rad",
            words: "right-handed rotation of the powerplant, shaft axes",
            dimensions: &[&direction, ORDER],
            channels: (3..6).map(Channel::Hub).collect(),
        },
        Block {
            name: "sensor_acceleration_m_s2",
            unit: "m/s2",
            words: "acceleration of a sensor along aircraft axes x, y, z",
            dimensions: &[&sensor, &axis, ORDER],
            channels: grid(sensors, Channel::Sensor),
        },
        Block {
            name: "motor_torque_n_m",
            unit: "N m",
            words: "torque of the motor on its stator; what rotor inertia leaves of the aerodynamic torque",
            dimensions: &[ORDER],
            channels: vec![Channel::MotorTorque],
        },
        Block {
            name: "torque_n_m",
            unit: "N m",
            words: "aerodynamic torque on the propeller",
            dimensions: &[ORDER],
            channels: vec![Channel::Torque],
        },
    ];
    for block in blocks.iter().filter(|b| !b.channels.is_empty()) {
        all.extend(block_fields(result, block));
    }
    let (along, across) = result.tip_motion_m;
    let told = "bound of the motion of a blade tip, sum of the amplitudes of all orders";
    all.push(Field::scalar(
        &at(RESPONSE, "tip_motion_along_m"),
        "m",
        &format!("{told}, along the shaft"),
        along,
    ));
    all.push(Field::scalar(
        &at(RESPONSE, "tip_motion_across_m"),
        "m",
        &format!("{told}, across the shaft"),
        across,
    ));
    all.extend(state_fields(result));
    let rms = result.shaking.transmitted_rms_n();
    let words =
        "root mean square of the force on the airframe without its mean, unbalance in its worst direction";
    all.push(Field::scalar(&at(RESPONSE, "transmitted_rms_n"), "N", words, rms));
    all
}

/// The state that the response belongs to, as trim has found it.
fn state_fields(result: &MountResult) -> Vec<Field> {
    let speed_rpm = result.speed_rad_s * 60.0 / TAU;
    let scalar =
        |name: &str, unit, words: &str, value| Field::scalar(&at(RESPONSE, name), unit, words, value);
    vec![
        scalar("shaft_speed_rpm", "rpm", "shaft speed of the response", speed_rpm),
        scalar("airspeed_m_s", "m/s", "airspeed of the response", result.airspeed_m_s),
        scalar("angle_of_attack_rad", "rad", "angle of attack of the response", result.angle_of_attack_rad),
    ]
}

/// Amplitude, phase and the part of the unbalance of a block.
fn block_fields(result: &MountResult, block: &Block) -> [Field; 3] {
    let shaking = &result.shaking;
    let rows: Vec<usize> =
        block.channels.iter().filter_map(|c| shaking.channels.iter().position(|other| other == c)).collect();
    let air = |value: &dyn Fn(usize, super::Complex64) -> f64| -> Vec<f64> {
        rows.iter()
            .flat_map(|row| {
                shaking.air[*row].iter().enumerate().map(|(n, a)| value(n, *a)).collect::<Vec<_>>()
            })
            .collect()
    };
    let amplitude = air(&|n, a| if n == 0 { a.re } else { a.norm() });
    let phase = air(&|n, a| if n == 0 { 0.0 } else { -a.arg() });
    let unbalance = rows.iter().flat_map(|row| shaking.unbalance[*row].clone()).collect();
    let (stem, suffix) = block.name.split_at(block.name.len() - unit_suffix(block.unit).len());
    let words = block.words;
    [
        Field::numbers(
            &at(RESPONSE, block.name),
            block.unit,
            &format!("amplitude under the airloads, order 0 the signed mean: {words}"),
            block.dimensions,
            amplitude,
        ),
        Field::numbers(
            &at(RESPONSE, &format!("{stem}_phase_rad")),
            "rad",
            &format!("phase lag in cos(n psi - phase) under the airloads: {words}"),
            block.dimensions,
            phase,
        ),
        Field::numbers(
            &at(RESPONSE, &format!("{stem}_unbalance{suffix}")),
            block.unit,
            &format!("amplitude under the unbalance alone, in its worst direction: {words}"),
            block.dimensions,
            unbalance,
        ),
    ]
}

fn unit_suffix(unit: &str) -> &'static str {
    match unit {
        "N m" => "_n_m",
        "m/s2" => "_m_s2",
        "rad" => "_rad",
        "m" => "_m",
        _ => "_n",
    }
}

fn modes(group: &str, lines: &[ModeLine], when: &str) -> Vec<Field> {
    let mode = at(group, "mode");
    let column = |name: &str, unit: &str, words: &str, value: fn(&ModeLine) -> f64| {
        let told = format!("{words}, {when}");
        Field::numbers(&at(group, name), unit, &told, &[&mode], lines.iter().map(value).collect())
    };
    vec![
        Field::counted(&mode, "mode number, by frequency", lines.len()),
        column("frequency_hz", "Hz", "frequency", |m| m.frequency_hz),
        column("damping_ratio", "1", "damping ratio, negative grows", |m| m.damping_ratio),
        column("whirl", "1", "sense of circling: 1 with the shaft, -1 against it, 0 along a line", |m| {
            m.whirl
        }),
        Field::texts(
            &at(group, "motion"),
            "what moves most",
            &mode,
            lines.iter().map(|m| m.words.clone()).collect(),
        ),
    ]
}

fn speeds(result: &MountResult, mount: &Mount) -> Vec<Field> {
    let states = &result.speeds;
    let (speed, mode) = (at(SPEED, "shaft_speed_rad_s"), at(SPEED, "mode"));
    let count = states.iter().map(|s| s.modes.len()).max().unwrap_or(0);
    let grid = |value: fn(&ModeLine) -> f64| -> Vec<f64> {
        states
            .iter()
            .flat_map(|s| (0..count).map(|i| s.modes.get(i).map_or(f64::NAN, value)).collect::<Vec<_>>())
            .collect()
    };
    let mut all = vec![
        Field::scale(
            &speed,
            "rad/s",
            "shaft speed looked through, airspeed and attitude of the case held",
            states.iter().map(|s| s.speed_rad_s).collect(),
        ),
        Field::numbers(
            &at(SPEED, "shaft_speed_rpm"),
            "rpm",
            "the same in revolutions per minute",
            &[&speed],
            states.iter().map(|s| s.speed_rad_s * 60.0 / TAU).collect(),
        ),
        Field::counted(&mode, "mode number, by frequency", count),
        Field::numbers(
            &at(SPEED, "frequency_hz"),
            "Hz",
            "frequency of each mode, with air",
            &[&speed, &mode],
            grid(|m| m.frequency_hz),
        ),
        Field::numbers(
            &at(SPEED, "damping_ratio"),
            "1",
            "damping ratio of each mode, with air",
            &[&speed, &mode],
            grid(|m| m.damping_ratio),
        ),
        Field::numbers(
            &at(SPEED, "transmitted_rms_n"),
            "N",
            "root mean square of the force on the airframe without its mean",
            &[&speed],
            states.iter().map(|s| s.shaking.transmitted_rms_n()).collect(),
        ),
    ];
    if !mount.sensors.is_empty() {
        let sensor = at(SPEED, "sensor");
        all.push(Field::counted(&sensor, "sensor number, from 1", mount.sensors.len()));
        let values = states
            .iter()
            .flat_map(|s| (0..mount.sensors.len()).map(|i| s.shaking.sensor_rms_m_s2(i)))
            .collect();
        let words = "root mean square of the acceleration of a sensor, all axes, without the mean";
        all.push(Field::numbers(&at(SPEED, "sensor_rms_m_s2"), "m/s2", words, &[&speed, &sensor], values));
    }
    if states.iter().any(|s| s.turning_growth_per_s.is_some()) {
        let values = states.iter().map(|s| s.turning_growth_per_s.unwrap_or(f64::NAN)).collect();
        let words = "one and two blades: growth of the fastest growing motion on an immovable base by Floquet multipliers, positive is unstable; not a number where it grows as fast without turning inertia";
        all.push(Field::numbers(&at(SPEED, "growth_per_s"), "1/s", words, &[&speed], values));
    }
    all
}

fn crossings(result: &MountResult) -> Vec<Field> {
    let (group, list) = ("mount/crossings", &result.crossings);
    let number = at(group, "crossing");
    let column = |name: &str, unit: &str, words: &str, values: Vec<f64>| {
        Field::numbers(&at(group, name), unit, words, &[&number], values)
    };
    vec![
        Field::counted(&number, "crossing number, by shaft speed", list.len()),
        column(
            "cycles_per_revolution",
            "1",
            "order n of the nP line",
            list.iter().map(|c| c.order as f64).collect(),
        ),
        column(
            "shaft_speed_rpm",
            "rpm",
            "shaft speed of the crossing",
            list.iter().map(|c| c.speed_rad_s * 60.0 / TAU).collect(),
        ),
        column(
            "frequency_hz",
            "Hz",
            "frequency of the crossing",
            list.iter().map(|c| c.frequency_hz).collect(),
        ),
        column(
            "damping_ratio",
            "1",
            "damping ratio of the mode there",
            list.iter().map(|c| c.damping_ratio).collect(),
        ),
        column(
            "transmitted_rms_n",
            "N",
            "root mean square of the force on the airframe there",
            list.iter().map(|c| c.transmitted_rms_n).collect(),
        ),
        Field::texts(
            &at(group, "motion"),
            "what moves",
            &number,
            list.iter().map(|c| c.words.clone()).collect(),
        ),
    ]
}

/// What ties airspeed to shaft speed, in words.
#[must_use]
pub fn tie_words(tie: Tie) -> &'static str {
    match tie {
        Tie::Trim => "trimmed flight",
        Tie::AdvanceRatio => "equal advance ratio",
    }
}

fn bands(result: &MountResult, mount: &Mount) -> Vec<Field> {
    let (group, list) = ("mount/bands", &result.bands);
    let number = at(group, "band");
    let rpm = 60.0 / TAU;
    let flown: Vec<Vec<(f64, f64)>> =
        list.iter().map(|b| result.flown.within(b.from_rad_s, b.to_rad_s)).collect();
    let tie = tie_words(result.flown.tie);
    let column = |name: &str, unit: &str, words: &str, values: Vec<f64>| {
        Field::numbers(&at(group, name), unit, words, &[&number], values)
    };
    let measure = |reason: Reason| match reason {
        Reason::Force => "force on the airframe, rms, N".to_owned(),
        Reason::Sensor(i) => {
            format!("acceleration of {}, rms, m/s2", mount.sensors.get(i).map_or("a sensor", |s| &s.name))
        }
        Reason::Instability => "growth rate, 1/s".to_owned(),
    };
    vec![
        Field::counted(&number, "number of the band of speeds to avoid, by shaft speed", list.len()),
        column("from_rpm", "rpm", "lowest shaft speed", list.iter().map(|b| b.from_rad_s * rpm).collect()),
        column("to_rpm", "rpm", "highest shaft speed", list.iter().map(|b| b.to_rad_s * rpm).collect()),
        column(
            "worst_rpm",
            "rpm",
            "shaft speed of the largest value",
            list.iter().map(|b| b.worst_rad_s * rpm).collect(),
        ),
        column(
            "from_m_s",
            "m/s",
            &format!("lowest airspeed within the band, {tie}; NaN: none"),
            flown.iter().map(|all| all.first().map_or(f64::NAN, |range| range.0)).collect(),
        ),
        column(
            "to_m_s",
            "m/s",
            &format!("highest airspeed within the band, {tie}; NaN: none"),
            flown.iter().map(|all| all.last().map_or(f64::NAN, |range| range.1)).collect(),
        ),
        Field::texts(
            &at(group, "airspeeds_by"),
            "what ties airspeed to shaft speed",
            &number,
            list.iter().map(|_| tie.to_owned()).collect(),
        ),
        column(
            "worst",
            "1",
            "largest value, in the unit `measure` names",
            list.iter().map(|b| b.worst).collect(),
        ),
        column(
            "against",
            "1",
            "what it is held against, in the unit `measure` names",
            list.iter().map(|b| b.against).collect(),
        ),
        Field::texts(
            &at(group, "measure"),
            "what is large there",
            &number,
            list.iter().map(|b| measure(b.reason)).collect(),
        ),
        Field::texts(
            &at(group, "cause"),
            "what meets there",
            &number,
            list.iter().map(|b| b.cause.clone()).collect(),
        ),
    ]
}

fn angles(result: &MountResult, mount: &Mount) -> Vec<Field> {
    let group = "mount/angle";
    let angle = at(group, "angle_of_attack_rad");
    let list = &result.angles;
    let value = |f: &dyn Fn(&super::shaking::Shaking) -> f64| -> Vec<f64> {
        list.iter().map(|a| a.shaking.as_ref().map_or(f64::NAN, f)).collect()
    };
    let mut all = vec![
        Field::scale(
            &angle,
            "rad",
            "angle of attack looked at, shaft speed and airspeed of the case held",
            list.iter().map(|a| a.angle_rad).collect(),
        ),
        Field::numbers(
            &at(group, "transmitted_rms_n"),
            "N",
            "root mean square of the force on the airframe without its mean",
            &[&angle],
            value(&super::shaking::Shaking::transmitted_rms_n),
        ),
    ];
    if !mount.sensors.is_empty() {
        let sensor = at(group, "sensor");
        all.push(Field::counted(&sensor, "sensor number, from 1", mount.sensors.len()));
        let values = list
            .iter()
            .flat_map(|a| {
                (0..mount.sensors.len())
                    .map(|i| a.shaking.as_ref().map_or(f64::NAN, |s| s.sensor_rms_m_s2(i)))
                    .collect::<Vec<_>>()
            })
            .collect();
        let words = "root mean square of the acceleration of a sensor, all axes, without the mean";
        all.push(Field::numbers(&at(group, "sensor_rms_m_s2"), "m/s2", words, &[&angle, &sensor], values));
    }
    all
}

fn whirl(result: &MountResult) -> Vec<Field> {
    let (group, whirl) = ("mount/whirl", &result.whirl);
    let (airspeed, speed) = (at(group, "axial_wind_m_s"), at(group, "shaft_speed_rad_s"));
    let mut all = vec![
        Field::scale(&airspeed, "m/s", "axial wind of the map", whirl.airspeed_m_s.clone()),
        Field::scale(&speed, "rad/s", "shaft speed of the map", whirl.speed_rad_s.clone()),
        Field::numbers(
            &at(group, "critical_stiffness_ratio"),
            "1",
            "stiffness over the given one below which the mount whirls, zero-lift blades, immovable base; 0: never",
            &[&airspeed, &speed],
            whirl.map.clone(),
        ),
        Field::scalar(
            &at(group, "critical_stiffness_ratio_loaded"),
            "1",
            "the same at the case with the slopes of the loaded propeller",
            whirl.critical_loaded,
        ),
        Field::scalar(
            &at(group, "critical_stiffness_ratio_classical"),
            "1",
            "the same at the case with zero-lift blades",
            whirl.critical_classical,
        ),
    ];
    for (name, d) in [("loaded", &whirl.loaded), ("classical", &whirl.classical)] {
        let told = |words: &str| format!("{words}, {name} propeller at the case");
        let list = [
            (
                "force_by_wind_n_s_per_m",
                "N s/m",
                "force in the disk plane by the wind along it, A1",
                d.force_by_wind_n_s_m,
            ),
            (
                "force_by_rate_n_s",
                "N s",
                "force in the disk plane by the rate about its own axis, A2",
                d.force_by_rate_n_s,
            ),
            ("moment_by_wind_n_s", "N s", "moment by the wind along its own axis", d.moment_by_wind_n_s),
            (
                "moment_by_rate_n_m_s",
                "N m s",
                "moment against the rate about its own axis, A3",
                d.moment_by_rate_n_m_s,
            ),
            (
                "normal_force_n_per_rad",
                "N/rad",
                "normal force by incidence",
                d.normal_force_slope_n_per_rad(),
            ),
        ];
        all.extend(list.iter().map(|(key, unit, words, value)| {
            Field::scalar(&at(group, &format!("{name}_{key}")), unit, &told(words), *value)
        }));
    }
    all
}

fn transmissibility(result: &MountResult) -> Vec<Field> {
    let (group, curve) = ("mount/transmissibility", &result.transmissibility);
    let (frequency, direction) = (at(group, "frequency_hz"), at(group, "direction"));
    vec![
        Field::scale(&frequency, "Hz", "frequency of a load at the hub", curve.frequency_hz.clone()),
        Field::counted(
            &direction,
            "1 to 3: force along x, y, z of the shaft axes; 4 to 6: moment about them",
            6,
        ),
        Field::numbers(
            &at(group, "ratio"),
            "1",
            "load on the airframe over load at the hub in the same direction, moments about the hub, no air, shaft turning",
            &[&direction, &frequency],
            curve.ratio.concat(),
        ),
    ]
}

fn blade(result: &MountResult) -> Vec<Field> {
    let (group, flap) = ("mount/blade", &result.flapping);
    let (mode, speed) = (at(group, "mode"), at(group, "shaft_speed_rad_s"));
    let told = |words: &str| format!("{words}: solid blade bending along the shaft, clamped at its root");
    let by_mode = |name: &str,
                   unit: &str,
                   words: &str,
                   value: &dyn Fn(&crate::flex::flap::FlapMode) -> f64| {
        Field::numbers(&at(group, name), unit, &told(words), &[&mode], flap.modes.iter().map(value).collect())
    };
    let mut all = vec![
        Field::counted(&mode, "flap mode of a blade, by frequency", flap.modes.len()),
        by_mode("frequency_hz", "Hz", "frequency at the speed of the case", &|m| {
            m.beam.frequency_rad_s / TAU
        }),
        by_mode(
            "damping_ratio",
            "1",
            "damping ratio by air and material",
            &crate::flex::flap::FlapMode::damping_ratio,
        ),
        Field::scale(
            &speed,
            "rad/s",
            "shaft speed",
            result.blade_frequency_hz.iter().map(|(speed, _)| *speed).collect(),
        ),
        Field::numbers(
            &at(group, "frequency_against_speed_hz"),
            "Hz",
            &told("frequency of each mode"),
            &[&speed, &mode],
            result.blade_frequency_hz.iter().flat_map(|(_, hz)| hz.clone()).collect(),
        ),
    ];
    let series = [
        ("stiff_thrust_n", "N", "thrust of one blade on the hub, stiff blade", &flap.stiff_thrust_n),
        ("flapping_thrust_n", "N", "thrust of one blade on the hub, flapping blade", &flap.thrust_n),
        (
            "stiff_moment_n_m",
            "N m",
            "flap moment of one blade about the axis, stiff blade",
            &flap.stiff_moment_n_m,
        ),
        (
            "flapping_moment_n_m",
            "N m",
            "flap moment of one blade about the axis, flapping blade",
            &flap.moment_n_m,
        ),
    ];
    for (name, unit, words, values) in series {
        let sizes = values.iter().enumerate().map(|(n, a)| if n == 0 { a.re } else { a.norm() }).collect();
        let words = format!("amplitude in the rotating frame, order 0 the signed mean: {words}");
        all.push(Field::numbers(&at(group, name), unit, &told(&words), &[ORDER], sizes));
    }
    all
}

/// Limits of the model that are passed, as texts.
#[must_use]
pub fn warnings(list: &[Warning]) -> Vec<Field> {
    let number = "warnings/warning";
    vec![
        Field::counted(number, "warning number, from 1", list.len()),
        Field::texts(
            "warnings/name",
            "short name of the warning",
            number,
            list.iter().map(|w| w.name.to_owned()).collect(),
        ),
        Field::texts(
            "warnings/text",
            "the warning in words",
            number,
            list.iter().map(|w| w.text.clone()).collect(),
        ),
    ]
}
