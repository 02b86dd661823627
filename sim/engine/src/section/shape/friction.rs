//! Friction of a smooth plate and what thickness adds to it.

/// Mean friction coefficient of one side of a laminar plate: 1.328/√Re.
///
/// Blasius 1908; Schlichting, Boundary-Layer Theory, ch. 7, from memory. Range: Re 1e3 to transition.
#[must_use]
pub fn laminar_friction(reynolds: f64) -> f64 {
    1.328 / reynolds.sqrt()
}

/// Mean friction coefficient of one side of a turbulent plate: 0.455/(log₁₀ Re)^2.58.
///
/// Prandtl and Schlichting; Schlichting, Boundary-Layer Theory, ch. 21, from memory. Range: Re 1e4 to 1e9.
#[must_use]
pub fn turbulent_friction(reynolds: f64) -> f64 {
    0.455 / reynolds.log10().powf(2.58)
}

/// Mean friction coefficient of one side that is laminar to `laminar_to` and turbulent from `turbulent_from`
/// on, both over the chord; between them the layer carries its momentum loss unchanged (dead air).
///
/// Momentum thickness is continuous where turbulence begins: the turbulent part is that of a turbulent plate
/// whose own origin gives the same loss there. Derived from the two plate laws. Prandtl's rounded rule
/// cf = `cf_turb` − A/Re lets the turbulent layer grow from the leading edge instead and lies above it, by a tenth
/// at Re twice that of transition; both agree at high Reynolds number. Limits under test: laminar plate,
/// turbulent plate, order against Prandtl's rule.
#[must_use]
pub fn section_friction(reynolds: f64, laminar_to: f64, turbulent_from: f64) -> f64 {
    let laminar = if laminar_to > 0.0 { laminar_to * laminar_friction(reynolds * laminar_to) } else { 0.0 };
    if turbulent_from >= 1.0 {
        return laminar;
    }
    let total = turbulent_origin(reynolds * laminar) + reynolds * (1.0 - turbulent_from);
    total * turbulent_friction(total) / reynolds
}

/// Least Reynolds number of the turbulent law used: below it the law's drag no longer rises with length.
const LEAST_TURBULENT: f64 = 20.0;

/// Length Reynolds number of a turbulent plate with drag Re·cf = `loss`, by bisection.
fn turbulent_origin(loss: f64) -> f64 {
    let drag = |re: f64| re * turbulent_friction(re);
    if loss <= drag(LEAST_TURBULENT) {
        return 0.0;
    }
    let (mut low, mut high) = (LEAST_TURBULENT, 1e10);
    for _ in 0..60 {
        let middle = (low * high).sqrt();
        if drag(middle) < loss { low = middle } else { high = middle }
    }
    (low * high).sqrt()
}

/// Profile drag over twice the plate friction: 1 + (2 − s) t + 60 t⁴ with s the laminar share of the chord.
///
/// Hoerner, Fluid-Dynamic Drag, ch. 6: 1 + 2t + 60t⁴ for turbulent sections, 1 + t + 60t⁴ for mostly laminar
/// ones with their thickness far aft, both from memory; straight between them by the laminar share (ours).
/// Range: t up to 0.25. Limit: 1 for a plate.
#[must_use]
pub fn form_factor(thickness_ratio: f64, laminar_share: f64) -> f64 {
    1.0 + (2.0 - laminar_share) * thickness_ratio + 60.0 * thickness_ratio.powi(4)
}
