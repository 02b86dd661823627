//! Standard atmosphere.

use wakebeat_engine::air::{Air, standard_air};

use crate::reference::Table;
use crate::table::{Band, Check, CheckError, Point, Row};

/// A quantity of the air and the column that holds it.
struct Quantity {
    name: &'static str,
    unit: &'static str,
    column: &'static str,
    ours: fn(&Air) -> f64,
}

const QUANTITIES: [Quantity; 6] = [
    Quantity { name: "temperature", unit: "K", column: "temperature_K", ours: |a| a.temperature_k },
    Quantity { name: "pressure", unit: "Pa", column: "pressure_Pa", ours: |a| a.pressure_pa },
    Quantity { name: "density", unit: "kg/m3", column: "density_kg_m3", ours: |a| a.density_kg_m3 },
    Quantity {
        name: "speed of sound",
        unit: "m/s",
        column: "speed_of_sound_m_s",
        ours: |a| a.speed_of_sound_m_s,
    },
    Quantity {
        name: "viscosity",
        unit: "Pa s",
        column: "dynamic_viscosity_Pa_s",
        ours: |a| a.viscosity_pa_s,
    },
    Quantity {
        name: "kinematic viscosity",
        unit: "m2/s",
        column: "kinematic_viscosity_m2_s",
        ours: |a| a.viscosity_pa_s / a.density_kg_m3,
    },
];

pub(super) fn checks() -> Vec<Check> {
    let source = "ISO 2533:1975, ICAO Doc 7488, US Standard Atmosphere 1976";
    vec![Check::new("atmosphere", "−0.5 to 15 km", source, |_| QUANTITIES.iter().map(row).collect())]
}

fn row(quantity: &Quantity) -> Result<Row, CheckError> {
    let table = Table::parse(include_str!("../../data/air/standard_atmosphere.csv"))?;
    let points = table
        .rows()
        .map(|row| {
            let altitude_m = row.number("geopotential_m")?;
            let ours = (quantity.ours)(&standard_air(altitude_m, 0.0));
            Ok(Point::new(1e-3 * altitude_m, row.number(quantity.column)?, ours))
        })
        .collect::<Result<_, CheckError>>()?;
    let band = "the table and an independent library differ by 2e-6";
    Ok(Row::curve(quantity.name, quantity.name, "geopotential altitude, km", points)
        .in_unit(quantity.unit)
        .within(Band::Relative(2e-6), band))
}
