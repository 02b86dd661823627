//! Standard atmosphere from geopotential altitude and a temperature offset.
//!
//! ISO 2533:1975 (equal to ICAO Doc 7488 and US 1976 here), two layers: temperature falls 6.5 K/km up to 11 km,
//! then stays constant. Valid from −2 to 20 km geopotential; outside the two layers are simply carried on.
//! On a hot or cold day the altitude is a pressure altitude: pressure stays standard, density follows the
//! temperature by the gas law. Viscosity is Sutherland's law with the constants of ISO 2533.

/// Sea-level temperature, K.
const SEA_LEVEL_TEMPERATURE_K: f64 = 288.15;
/// Sea-level pressure, Pa.
const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Standard gravity, m/s².
pub const GRAVITY_M_S2: f64 = 9.806_65;
/// Specific gas constant of air, J/(kg K).
const GAS_CONSTANT_J_KG_K: f64 = 287.052_87;
/// Fall of temperature with altitude in the troposphere, K/m.
const LAPSE_K_M: f64 = 6.5e-3;
/// Top of the troposphere, m geopotential.
const TROPOPAUSE_M: f64 = 11_000.0;
/// Ratio of specific heats.
const HEAT_RATIO: f64 = 1.4;
/// Sutherland's coefficient, kg/(m s √K).
const SUTHERLAND_COEFFICIENT: f64 = 1.458e-6;
/// Sutherland's temperature, K.
const SUTHERLAND_TEMPERATURE_K: f64 = 110.4;

/// State of the undisturbed air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Static pressure, Pa.
    pub pressure_pa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Speed of sound, m/s.
    pub speed_of_sound_m_s: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
}

/// Air at a geopotential altitude, m (−2 to 20 km), warmer than standard by `temperature_offset_k`, K.
///
/// ```
/// let air = wakebeat_engine::air::standard_air(0.0, 0.0);
/// assert!((air.density_kg_m3 - 1.225).abs() < 1e-6);
/// ```
#[must_use]
pub fn standard_air(altitude_m: f64, temperature_offset_k: f64) -> Air {
    let (standard_temperature_k, pressure_pa) = standard_layer(altitude_m);
    let temperature_k = standard_temperature_k + temperature_offset_k;
    Air {
        temperature_k,
        pressure_pa,
        density_kg_m3: pressure_pa / (GAS_CONSTANT_J_KG_K * temperature_k),
        speed_of_sound_m_s: (HEAT_RATIO * GAS_CONSTANT_J_KG_K * temperature_k).sqrt(),
        viscosity_pa_s: SUTHERLAND_COEFFICIENT * temperature_k.powf(1.5)
            / (temperature_k + SUTHERLAND_TEMPERATURE_K),
    }
}

/// Standard temperature, K, and pressure, Pa: hydrostatic balance of an ideal gas in each layer.
fn standard_layer(altitude_m: f64) -> (f64, f64) {
    let troposphere_m = altitude_m.min(TROPOPAUSE_M);
    let temperature_k = SEA_LEVEL_TEMPERATURE_K - LAPSE_K_M * troposphere_m;
    let exponent = GRAVITY_M_S2 / (GAS_CONSTANT_J_KG_K * LAPSE_K_M);
    let pressure_pa = SEA_LEVEL_PRESSURE_PA * (temperature_k / SEA_LEVEL_TEMPERATURE_K).powf(exponent);
    let above_m = altitude_m - troposphere_m;
    (temperature_k, pressure_pa * (-GRAVITY_M_S2 * above_m / (GAS_CONSTANT_J_KG_K * temperature_k)).exp())
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn layers_meet_at_the_tropopause() {
        let below = standard_air(TROPOPAUSE_M - 1e-6, 0.0);
        let above = standard_air(TROPOPAUSE_M + 1e-6, 0.0);
        assert_relative_eq!(below.pressure_pa, above.pressure_pa, max_relative = 1e-9);
        assert_relative_eq!(below.temperature_k, above.temperature_k, max_relative = 1e-9);
    }

    #[test]
    fn a_hot_day_keeps_pressure_and_thins_the_air() {
        let (standard, hot) = (standard_air(1500.0, 0.0), standard_air(1500.0, 25.0));
        assert_eq!(standard.pressure_pa, hot.pressure_pa);
        let ratio = standard.temperature_k / hot.temperature_k;
        assert_relative_eq!(hot.density_kg_m3 / standard.density_kg_m3, ratio, max_relative = 1e-14);
    }

    #[test]
    fn pressure_gradient_carries_the_weight_of_the_air() {
        for altitude_m in [-1500.0, 3000.0, 15_000.0] {
            let (low, high) = (standard_air(altitude_m - 0.5, 0.0), standard_air(altitude_m + 0.5, 0.0));
            let weight = standard_air(altitude_m, 0.0).density_kg_m3 * GRAVITY_M_S2;
            assert_relative_eq!(low.pressure_pa - high.pressure_pa, weight, max_relative = 1e-6);
        }
    }
}
