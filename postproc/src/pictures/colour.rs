//! Colours that readers with colour-vision deficiency can tell apart, on white.
//!
//! Categories: Okabe and Ito, "Color Universal Design" (2002, revised 2008). Map: from dark blue to pale yellow
//! with lightness growing evenly, so that equal steps of the quantity look equal and the map reads in grey; its
//! hue runs along the blue–yellow axis, which the common red–green deficiencies leave intact. Mixing is done in
//! the Oklab space (B. Ottosson, "A perceptual color space for image processing", 2020).

use plotters::style::RGBColor;

/// Text and axes.
pub(crate) const INK: RGBColor = RGBColor(30, 30, 30);
/// Small print and secondary text.
pub(crate) const FAINT_INK: RGBColor = RGBColor(95, 95, 95);
/// Grid lines.
pub(crate) const GRID: RGBColor = RGBColor(221, 221, 221);
/// Areas without data.
pub(crate) const NO_DATA: RGBColor = RGBColor(238, 238, 238);
/// Okabe–Ito blue.
pub(crate) const BLUE: RGBColor = RGBColor(0, 114, 178);
/// Okabe–Ito vermilion.
pub(crate) const VERMILION: RGBColor = RGBColor(213, 94, 0);
/// Okabe–Ito reddish purple.
pub(crate) const PURPLE: RGBColor = RGBColor(204, 121, 167);
/// Okabe–Ito bluish green.
pub(crate) const GREEN: RGBColor = RGBColor(0, 158, 115);

/// Okabe–Ito orange.
pub(crate) const ORANGE: RGBColor = RGBColor(230, 159, 0);
/// Okabe–Ito sky blue.
pub(crate) const SKY: RGBColor = RGBColor(86, 180, 233);
/// Okabe–Ito yellow.
pub(crate) const YELLOW: RGBColor = RGBColor(240, 228, 66);

/// Ends and middle of the map in Oklab: lightness, green–red, blue–yellow.
const MAP: [[f64; 3]; 4] =
    [[0.26, -0.005, -0.115], [0.48, -0.03, -0.105], [0.70, -0.05, 0.015], [0.92, -0.02, 0.12]];

/// Colour at a fraction of the map, 0 dark to 1 light; outside it the nearest end.
pub(crate) fn map(fraction: f64) -> RGBColor {
    let place = fraction.clamp(0.0, 1.0) * (MAP.len() - 1) as f64;
    let index = (place as usize).min(MAP.len() - 2);
    let share = place - index as f64;
    let mix = |k: usize| MAP[index][k] * (1.0 - share) + MAP[index + 1][k] * share;
    from_oklab([mix(0), mix(1), mix(2)])
}

fn from_oklab([lightness, a, b]: [f64; 3]) -> RGBColor {
    let l = (lightness + 0.396_337_777_4 * a + 0.215_803_757_3 * b).powi(3);
    let m = (lightness - 0.105_561_345_8 * a - 0.063_854_172_8 * b).powi(3);
    let s = (lightness - 0.089_484_177_5 * a - 1.291_485_548_0 * b).powi(3);
    RGBColor(
        srgb(4.076_741_662_1 * l - 3.307_711_591_3 * m + 0.230_969_929_2 * s),
        srgb(-1.268_438_004_6 * l + 2.609_757_401_1 * m - 0.341_319_396_5 * s),
        srgb(-0.004_196_086_3 * l - 0.703_418_614_7 * m + 1.707_614_701_0 * s),
    )
}

/// Linear light to an sRGB byte (IEC 61966-2-1).
fn srgb(linear: f64) -> u8 {
    let value = if linear <= 0.003_130_8 { 12.92 * linear } else { 1.055 * linear.powf(1.0 / 2.4) - 0.055 };
    (255.0 * value.clamp(0.0, 1.0)).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CIE lightness L* of a colour, from relative luminance (CIE 15).
    fn lightness(RGBColor(r, g, b): RGBColor) -> f64 {
        let linear = |byte: u8| {
            let value = f64::from(byte) / 255.0;
            if value <= 0.040_45 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        };
        let y = 0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b);
        116.0 * y.cbrt() - 16.0
    }

    /// Equal steps of the quantity are equal steps of lightness, within a quarter.
    #[test]
    fn lightness_of_the_map_grows_evenly() {
        let steps = 16;
        let levels: Vec<f64> = (0..=steps).map(|k| lightness(map(f64::from(k) / f64::from(steps)))).collect();
        let mean = (levels[16] - levels[0]) / f64::from(steps);
        assert!(mean > 3.5, "contrast over the map: {mean} a step");
        for pair in levels.windows(2) {
            let step = pair[1] - pair[0];
            assert!((step / mean - 1.0).abs() < 0.25, "{step} against {mean}");
        }
    }

    #[test]
    fn white_and_black_come_back_from_oklab() {
        assert_eq!(from_oklab([1.0, 0.0, 0.0]), RGBColor(255, 255, 255));
        assert_eq!(from_oklab([0.0, 0.0, 0.0]), RGBColor(0, 0, 0));
    }
}
