//! Segments of a duty cycle in bands of shaft speeds to avoid.

use std::f64::consts::TAU;

use super::result::SegmentState;
use crate::mount::avoid::Band;
use crate::point::result::Warning;

/// A warning for each segment whose shaft speed lies in a band to avoid.
#[must_use]
pub fn in_bands(segments: &[SegmentState], bands: &[Band]) -> Vec<Warning> {
    let rpm = |speed_rad_s: f64| speed_rad_s * 60.0 / TAU;
    let met = |segment: &SegmentState| {
        let speed_rad_s = segment.speed_rad_s;
        let band =
            bands.iter().find(|band| band.from_rad_s <= speed_rad_s && speed_rad_s <= band.to_rad_s)?;
        let text = format!(
            "segment `{}`, {:.0} s of a flight, runs at {:.0} rpm, in a band to avoid, {:.0} to {:.0} rpm: {}",
            segment.name,
            segment.duration_s * segment.repeats as f64,
            rpm(speed_rad_s),
            rpm(band.from_rad_s),
            rpm(band.to_rad_s),
            band.cause
        );
        Some(Warning { name: "segment_in_band", text })
    };
    segments.iter().filter_map(met).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mount::avoid::Reason;

    #[test]
    fn only_segments_within_a_band_are_told() {
        let segment = |name: &str, speed_rpm: f64| SegmentState {
            name: name.to_owned(),
            duration_s: 120.0,
            repeats: 2,
            airspeed_m_s: 20.0,
            altitude_m: 0.0,
            angle_of_attack_rad: 0.0,
            speed_rad_s: speed_rpm * TAU / 60.0,
            pitch_offset_rad: 0.0,
            thrust_n: 1.0,
            torque_n_m: 0.1,
        };
        let band = Band {
            from_rad_s: 1000.0 * TAU / 60.0,
            to_rad_s: 1200.0 * TAU / 60.0,
            worst_rad_s: 1100.0 * TAU / 60.0,
            worst: 5.0,
            against: 2.0,
            reason: Reason::Force,
            cause: "1P meets roll".to_owned(),
        };
        let found = in_bands(&[segment("taxi", 1100.0), segment("cruise", 5000.0)], &[band]);
        let [warning] = found.as_slice() else { panic!("{found:?}") };
        for part in ["`taxi`", "240 s", "1100 rpm", "1000 to 1200 rpm", "1P meets roll"] {
            assert!(warning.text.contains(part), "{}", warning.text);
        }
    }
}
