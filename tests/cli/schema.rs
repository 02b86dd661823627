//! `wakebeat schema`.

use crate::support::Place;

#[test]
fn schema_is_json_that_names_keys_with_units() {
    let text = Place::empty().run(["schema"]).good();
    let _: serde_json::Value = serde_json::from_str(&text).unwrap();
    for key in ["airspeed_m_s", "blade_count", "shaft_offset_m", "section_lift"] {
        assert!(text.contains(key), "{key}");
    }
}
