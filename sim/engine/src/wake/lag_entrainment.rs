//! Lag entrainment: how the shape factor of a turbulent layer answers friction and pressure gradient.
//!
//! Green, Weeks and Brooman, R&M 3791 (1977), incompressible, one side, x along the stream, U_e the edge speed.
//! Constants from memory; an independent sign that they are right is the far limit of a wake, where the peak
//! deficit times √(x/θ) is 1.55 at x/θ = 4000 against Sreenivasan and Narasimha's measured 1.63 (from memory).
//!
//! ```text
//! θ d(ln θ)/dx = c_f/2 − (H + 2) g                      g = (θ/U_e) dU_e/dx
//! θ dH/dx  = (dH/dH₁) [C_E − H₁ (c_f/2 − (H + 1) g)]    H₁ = 3.15 + 1.72/(H − 1) − 0.01 (H − 1)²
//! θ dC_E/dx = F {2.8/(H + H₁) [√C_τ0 − λ √C_τ] + g_eq − g}
//! C_τ = 0.024 C_E + 1.2 C_E² + 0.32 c_f0                F = (0.02 C_E + C_E² + 0.8 c_f0/3)/(0.01 + C_E)
//! g_eq0 = (1.25/H)[c_f/2 − ((H − 1)/(6.432 H))²]        C_E0 = H₁ [c_f/2 − (H + 1) g_eq0],  C_τ0 = C_τ(C_E0)
//! C_E,eq = √((C_τ0/λ² − 0.32 c_f0)/1.2 + 0.0001) − 0.01,  g_eq = (c_f/2 − C_E,eq/H₁)/(H + 1)
//! c_f0 = 0.01013/(log₁₀ Re_θ − 1.02) − 0.00075          c_f/c_f0 = 0.9/(H/H₀ − 0.4) − 0.5
//! 1 − 1/H₀ = 6.55 √(c_f0/2)
//! ```
//!
//! λ = 1 on a wall; in a wake there is no friction (c_f = c_f0 = 0) and the dissipation length doubles, λ = ½.
//! Range: attached turbulent layers and wakes, H up to about 2.4, where turbulent layers separate.

/// Shape factors the equations are used for.
pub const SHAPE_FACTOR_RANGE: (f64, f64) = (1.2, 2.4);

/// Least momentum-thickness Reynolds number of the friction law, whose logarithm has no meaning much below it.
const LEAST_REYNOLDS_THETA: f64 = 100.0;

/// Momentum-thickness Reynolds number of the layer assumed ahead of an edge of which nothing else is known.
const PLATE_REYNOLDS_THETA: f64 = 3000.0;

/// Friction and length scale of a layer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayerKind {
    /// c_f0, friction coefficient of the flat plate at the same Re_θ; 0 in a wake.
    plate_friction: f64,
    /// λ.
    length_factor: f64,
}

impl LayerKind {
    /// A wake.
    pub const WAKE: Self = Self { plate_friction: 0.0, length_factor: 0.5 };

    /// A boundary layer on a smooth wall at a momentum-thickness Reynolds number.
    #[must_use]
    pub fn wall(reynolds_theta: f64) -> Self {
        let log = reynolds_theta.max(LEAST_REYNOLDS_THETA).log10();
        Self { plate_friction: 0.01013 / (log - 1.02) - 0.00075, length_factor: 1.0 }
    }

    /// H₀, shape factor of a flat plate's layer at the same Re_θ.
    #[must_use]
    pub fn plate_shape_factor(&self) -> f64 {
        1.0 / (1.0 - 6.55 * (0.5 * self.plate_friction).sqrt())
    }

    /// Half the friction coefficient at a shape factor.
    fn half_friction(&self, shape: f64) -> f64 {
        if self.plate_friction == 0.0 {
            return 0.0;
        }
        0.5 * self.plate_friction * (0.9 / (shape / self.plate_shape_factor() - 0.4) - 0.5)
    }

    /// C_τ, greatest shear stress over twice the dynamic pressure.
    fn shear_stress(&self, entrainment: f64) -> f64 {
        0.024 * entrainment + 1.2 * entrainment * entrainment + 0.32 * self.plate_friction
    }

    /// C_E0, entrainment coefficient of a layer in equilibrium.
    #[must_use]
    pub fn equilibrium_entrainment(&self, shape: f64) -> f64 {
        equilibrium_entrainment(shape, self.half_friction(shape))
    }

    /// θ times the rates of ln θ, H and C_E along the stream in a gradient g = (θ/U_e) dU_e/dx.
    #[must_use]
    pub fn rates(&self, [shape, entrainment]: [f64; 2], gradient: f64) -> [f64; 3] {
        let half_friction = self.half_friction(shape);
        let mass_shape = mass_flow_shape_factor(shape);
        let stress = self.shear_stress(equilibrium_entrainment(shape, half_friction)).max(0.0);
        let spread = (stress / (self.length_factor * self.length_factor) - 0.32 * self.plate_friction) / 1.2;
        let balance = (spread + 1e-4).max(0.0).sqrt() - 0.01;
        let balanced_gradient = (half_friction - balance / mass_shape) / (shape + 1.0);
        let response = (0.02 * entrainment + entrainment * entrainment + 0.8 / 3.0 * self.plate_friction)
            / (0.01 + entrainment);
        let own_stress = self.shear_stress(entrainment).max(0.0);
        let lag = 2.8 / (shape + mass_shape) * (stress.sqrt() - self.length_factor * own_stress.sqrt());
        [
            half_friction - (shape + 2.0) * gradient,
            shape_by_mass_shape(shape)
                * (entrainment - mass_shape * (half_friction - (shape + 1.0) * gradient)),
            response * (lag + balanced_gradient - gradient),
        ]
    }
}

/// Entrainment coefficient of a layer in equilibrium just ahead of an edge of which only the shape factor is known: friction
/// by Ludwieg and Tillmann, c_f = 0.246·10^(−0.678 H) Re_θ^(−0.268) (from memory) at Re_θ = 3000.
#[must_use]
pub fn edge_entrainment(shape: f64) -> f64 {
    let friction = 0.246 * 10_f64.powf(-0.678 * shape) * PLATE_REYNOLDS_THETA.powf(-0.268);
    equilibrium_entrainment(shape, 0.5 * friction)
}

/// H₁, the flux of the entrained mass over momentum thickness.
fn mass_flow_shape_factor(shape: f64) -> f64 {
    3.15 + 1.72 / (shape - 1.0) - 0.01 * (shape - 1.0) * (shape - 1.0)
}

/// dH/dH₁.
fn shape_by_mass_shape(shape: f64) -> f64 {
    -1.0 / (1.72 / ((shape - 1.0) * (shape - 1.0)) + 0.02 * (shape - 1.0))
}

/// C_E0 at half a friction coefficient.
fn equilibrium_entrainment(shape: f64, half_friction: f64) -> f64 {
    let pressure = (shape - 1.0) / (6.432 * shape);
    let gradient = 1.25 / shape * (half_friction - pressure * pressure);
    mass_flow_shape_factor(shape) * (half_friction - (shape + 1.0) * gradient)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// On a plate without gradient H₀ and its entrainment are at rest, but that H₀ itself falls by 0.05 to 0.1 each time
    /// Re_θ grows by e.
    #[test]
    fn plate_layer_stays_in_equilibrium() {
        for reynolds_theta in [500.0, 3e3, 3e4] {
            let wall = LayerKind::wall(reynolds_theta);
            let shape = wall.plate_shape_factor();
            assert!((1.2..1.6).contains(&shape), "{shape}");
            let [growth, shape_rate, _] = wall.rates([shape, wall.equilibrium_entrainment(shape)], 0.0);
            assert_relative_eq!(growth, wall.half_friction(shape), max_relative = 1e-12);
            assert!(shape_rate < 0.0 && shape_rate > -0.1 * growth, "{shape_rate} {growth}");
        }
    }

    /// Schlichting's and others' measured plate: c_f 0.0033 and H near 1.38 at Re_θ 3000 (common textbook values).
    #[test]
    fn plate_friction_is_the_usual_one() {
        let wall = LayerKind::wall(3000.0);
        assert_relative_eq!(2.0 * wall.half_friction(wall.plate_shape_factor()), 0.0033, max_relative = 0.05);
        assert_relative_eq!(wall.plate_shape_factor(), 1.38, max_relative = 0.03);
    }

    /// Rising pressure makes the layer emptier, falling pressure fuller, and no friction stays at separation.
    #[test]
    fn pressure_rise_raises_the_shape_factor() {
        let wall = LayerKind::wall(2000.0);
        let state = [1.4, wall.equilibrium_entrainment(1.4)];
        assert!(wall.rates(state, -1e-3)[1] > wall.rates(state, 0.0)[1]);
        assert!(wall.rates(state, 1e-3)[1] < wall.rates(state, 0.0)[1]);
        assert!(wall.half_friction(2.6) < 0.15 * wall.half_friction(1.4));
    }
}
