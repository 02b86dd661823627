//! The groups of keys, with those this version refuses.

use super::Availability::{self, Available};
use super::{GroupSpec, Shape};

const fn group(path: &'static str, shape: Shape, availability: Availability, doc: &'static str) -> GroupSpec {
    GroupSpec { path, shape, doc, availability }
}

pub(super) const GROUPS: &[GroupSpec] = &[
    group("", Shape::Root, Available, "Title and remarks."),
    group("flight", Shape::Table, Available, "Speed, air and attitude of the undisturbed flow."),
    group("propeller", Shape::Table, Available, "The propeller and its blades."),
    group("section", Shape::Table, Available, "Section model of blade rows that name no section."),
    group("sections.NAME", Shape::Named, Available, "Section models the blade file names."),
    group("placement", Shape::Table, Available, "Where the hub is and how the shaft points."),
    group(
        "further_propeller.NAME",
        Shape::Array,
        Available,
        "Further propellers on the same airframe, like [propeller] but for what is given here.",
    ),
    group("surface.NAME", Shape::Array, Available, "Wings, tailplanes, canards, fins, struts and pylons."),
    group(
        "surface.NAME.flap.NAME",
        Shape::Array,
        Available,
        "Plain flaps of a surface, alike on both halves.",
    ),
    group(
        "body.NAME",
        Shape::Array,
        Available,
        "Fuselages, pods and nacelles: bodies of revolution along x.",
    ),
    group("survey", Shape::Optional, Available, "A measured or computed velocity field over the disk."),
    group("solver", Shape::Table, Available, "Numerical choices and model levels."),
    group("airframe", Shape::Optional, Available, "Mass, drag and ground geometry of the airframe."),
    group("trim", Shape::Optional, Available, "What is adjusted to reach a wanted thrust or level flight."),
    group("sweep", Shape::Optional, Available, "The grid of a sweep."),
    group("sweep.axis", Shape::List, Available, "An axis of the grid: a key and the values it takes."),
    group("choose", Shape::Optional, Available, "What to keep low and what may not be exceeded."),
    group(
        "mount",
        Shape::Optional,
        Available,
        "The powerplant on its isolators: its vibration, and what is looked through.",
    ),
    group("isolator.NAME", Shape::Array, Available, "Isolators between motor and airframe."),
    group("sensor.NAME", Shape::Array, Available, "Sensors that feel acceleration."),
    group(
        "airframe_mode.NAME",
        Shape::Array,
        Available,
        "Elastic modes of the airframe without the powerplant.",
    ),
    group(
        "airframe_mode.NAME.at.NAME",
        Shape::Array,
        Available,
        "Motion of a mode at an isolator or a sensor.",
    ),
    group("schedule.NAME", Shape::Array, Available, "States against time, for a march."),
    group("limit", Shape::Optional, Available, "Limit-load cases of the motor mount."),
    group("duty", Shape::Optional, Available, "A duty cycle: a flight in segments, repeated over a life."),
    group(
        "duty.segment.NAME",
        Shape::Array,
        Available,
        "A part of the flight in one steady state, in the order of the flight.",
    ),
    group("duty.equivalent.NAME", Shape::Array, Available, "Exponent and count of a damage-equivalent load."),
    group("duty.detail.NAME", Shape::Array, Available, "A detail of the mount with its S-N curve."),
    group("duty.density.NAME", Shape::Array, Available, "A broadband load given by its spectral density."),
];
