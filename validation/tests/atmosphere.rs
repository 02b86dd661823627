//! The standard atmosphere against ISO 2533 / US 1976 / ICAO Doc 7488.

use approx::assert_relative_eq;
use wakebeat_engine::air::standard_air;
use wakebeat_validation::reference::Table;

/// The table is a closed form checked against an independent library of ICAO 1993: they differ by 2e-6 at most.
const TABLE_AGREEMENT: f64 = 2e-6;

#[test]
fn val_iso_2533_from_sea_level_to_15_km() {
    let table = Table::parse(include_str!("../data/air/standard_atmosphere.csv")).unwrap();
    let mut rows = 0;
    for row in table.rows() {
        let value = |column| row.number(column).unwrap();
        let air = standard_air(value("geopotential_m"), 0.0);
        for (computed, published) in [
            (air.temperature_k, value("temperature_K")),
            (air.pressure_pa, value("pressure_Pa")),
            (air.density_kg_m3, value("density_kg_m3")),
            (air.speed_of_sound_m_s, value("speed_of_sound_m_s")),
            (air.viscosity_pa_s, value("dynamic_viscosity_Pa_s")),
            (air.viscosity_pa_s / air.density_kg_m3, value("kinematic_viscosity_m2_s")),
        ] {
            assert_relative_eq!(computed, published, max_relative = TABLE_AGREEMENT);
        }
        rows += 1;
    }
    assert!(rows > 30, "the table has rows at geopotential and geometric altitudes");
}
