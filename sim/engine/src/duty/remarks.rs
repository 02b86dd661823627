//! Segments of a duty cycle where mount or model had better not be.

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

/// What the operating points of the segments say of the limits of the model, but what `told` says of the case in the same words: each once,
/// with all segments it is true of and the words of the first.
#[must_use]
pub fn past_limits(segments: &[SegmentState], told: &[Warning]) -> Vec<Warning> {
    let mut found: Vec<(&Warning, Vec<String>)> = Vec::new();
    for segment in segments {
        let name = format!("`{}`", segment.name);
        for warning in segment.warnings.iter().filter(|w| told.iter().all(|known| known.text != w.text)) {
            match found.iter_mut().find(|(first, _)| first.name == warning.name) {
                Some((_, names)) if names.contains(&name) => {}
                Some((_, names)) => names.push(name.clone()),
                None => found.push((warning, vec![name.clone()])),
            }
        }
    }
    let words = |(first, names): (&Warning, Vec<String>)| {
        let others = match names.get(1..) {
            None | Some([]) => String::new(),
            Some(others) => format!(" (likewise {})", others.join(", ")),
        };
        Warning { name: first.name, text: format!("segment {}: {}{others}", names[0], first.text) }
    };
    found.into_iter().map(words).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mount::avoid::Reason;

    fn segment(name: &str, speed_rpm: f64, warnings: &[&'static str]) -> SegmentState {
        SegmentState {
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
            warnings: warnings
                .iter()
                .map(|of| Warning {
                    name: of,
                    text: if *of == "generic_blade" { (*of).into() } else { format!("{of} at {speed_rpm}") },
                })
                .collect(),
        }
    }

    #[test]
    fn a_limit_is_told_once_with_its_segments() {
        let segments = [
            segment("taxi", 1100.0, &["generic_blade", "low_advance_ratio"]),
            segment("climb", 7000.0, &["stalled_stations", "generic_blade"]),
            segment("loiter", 4000.0, &["stalled_stations"]),
        ];
        let told = [
            Warning { name: "generic_blade", text: "generic_blade".into() },
            Warning { name: "stalled_stations", text: "stalled_stations at 2000".into() },
        ];
        let texts: Vec<String> = past_limits(&segments, &told).into_iter().map(|w| w.text).collect();
        assert_eq!(
            texts,
            [
                "segment `taxi`: low_advance_ratio at 1100",
                "segment `climb`: stalled_stations at 7000 (likewise `loiter`)"
            ]
        );
    }

    #[test]
    fn only_segments_within_a_band_are_told() {
        let band = Band {
            from_rad_s: 1000.0 * TAU / 60.0,
            to_rad_s: 1200.0 * TAU / 60.0,
            worst_rad_s: 1100.0 * TAU / 60.0,
            worst: 5.0,
            against: 2.0,
            reason: Reason::Force,
            cause: "1P meets roll".to_owned(),
        };
        let found = in_bands(&[segment("taxi", 1100.0, &[]), segment("cruise", 5000.0, &[])], &[band]);
        let [warning] = found.as_slice() else { panic!("{found:?}") };
        for part in ["`taxi`", "240 s", "1100 rpm", "1000 to 1200 rpm", "1P meets roll"] {
            assert!(warning.text.contains(part), "{}", warning.text);
        }
    }
}
