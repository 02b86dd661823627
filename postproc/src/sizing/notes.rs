//! What a reader of spectra and limit loads has to know of densities, in the words of screen and page.

use wakebeat_engine::duty::result::DutyResult;

/// Densities and the loads they act on; empty without any.
fn densities(duty: &DutyResult) -> String {
    let one = |(name, load): &(String, String)| format!("{name} on {}", load.replace('_', " "));
    duty.densities.iter().map(one).collect::<Vec<_>>().join(", ")
}

/// Where the cycles of densities are, and where not; nothing without any.
#[must_use]
pub fn of_spectra(duty: &DutyResult) -> Option<String> {
    (!duty.densities.is_empty()).then(|| {
        format!(
            "Densities ({}) are in the equivalent ranges and in the damage. The largest range is that of the cycles counted in the \
             periodic loads; a Gaussian load has none.",
            densities(duty)
        )
    })
}

/// What of the duty cycle the limit loads leave out; nothing without densities.
#[must_use]
pub fn of_limit_loads(duty: &DutyResult) -> Option<String> {
    (!duty.densities.is_empty()).then(|| {
        format!(
            "Alternating, together and ultimate leave out the densities ({}): add their peaks to what an isolator has to carry.",
            densities(duty)
        )
    })
}
