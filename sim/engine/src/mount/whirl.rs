//! Propeller whirl: how soft the isolators may be before the air drives the nodding and yawing of the powerplant.
//!
//! Judged on an immovable base with the rotor at constant speed: on a free airframe without the airloads of wing and tail the normal
//! force alone makes slow growing roots, which are flight dynamics and not whirl.
//!
//! Two angles about a pivot on the shaft, hub l aft of it (pusher l > 0), equal axes: with A₁, A₂, A₃ of [`super::aero`],
//! D = C + A₃ + l² A₁, the boundary is K = I ω² + I_p Ω ω − l V A₁ with ω = V A₂/D against the shaft's rotation, stable above
//! (Reed and Bland, NASA TN D-659, 1961, for the model; derived here). The normal force of a pusher restores: K falls by l V A₁, and no
//! single axis diverges.

use super::aero::HubDerivatives;
use super::error::MountError;
use super::input::{Base, Mount};
use super::response::Ready;
use super::system::{ShaftRotation, System};

/// Growth below this part of the fastest root is round-off.
const GROWTH: f64 = 1e-10;
/// Stiffness over the given one at which the search begins and ends.
const RANGE: (f64, f64) = (1e-6, 1e4);
/// Steps of the search: the boundary is then closed in by halving.
const STEPS: usize = 46;

/// Two angles about a pivot on the shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoAngles {
    /// Inertia about the pivot, kg m².
    pub inertia_kg_m2: f64,
    /// Polar inertia times shaft speed, N m s.
    pub angular_momentum_n_m_s: f64,
    /// Hub aft of the pivot, m.
    pub hub_aft_m: f64,
    /// Axial wind, m/s.
    pub axial_m_s: f64,
    /// A₁, N s/m.
    pub a1: f64,
    /// A₂, N s.
    pub a2: f64,
    /// A₃, N m s.
    pub a3: f64,
}

impl TwoAngles {
    /// Critical stiffness, N m/rad, and whirl frequency, rad/s, for viscous damping C.
    #[must_use]
    pub fn critical(&self, damping_n_m_s: f64) -> (f64, f64) {
        let d = damping_n_m_s + self.a3 + self.hub_aft_m.powi(2) * self.a1;
        let omega = self.axial_m_s * self.a2 / d;
        let k = self.inertia_kg_m2 * omega * omega + self.angular_momentum_n_m_s * omega
            - self.hub_aft_m * self.axial_m_s * self.a1;
        (k, omega)
    }

    /// The same for a damping ratio ζ of the mount, C = 2ζ√(KI): settled by repetition.
    #[must_use]
    pub fn critical_at_ratio(&self, zeta: f64) -> (f64, f64) {
        let mut at = self.critical(0.0);
        for _ in 0..200 {
            let damping = 2.0 * zeta * (at.0.max(0.0) * self.inertia_kg_m2).sqrt();
            let next = self.critical(damping);
            // Half steps: the damping falls as the stiffness rises.
            let mixed = 0.5 * (at.0 + next.0);
            if (mixed - at.0).abs() <= 1e-14 * at.0.abs() {
                return (mixed, next.1);
            }
            at = (mixed, next.1);
        }
        at
    }
}

/// The mount as it is judged: immovable base, rotor at constant speed.
#[must_use]
pub fn bench(mount: &Mount) -> Mount {
    Mount { base: Base::Fixed, ..mount.clone() }
}

/// Isolators with their stiffness scaled; loss factors and damping ratios stay.
#[must_use]
pub fn scaled(mount: &Mount, scale: f64) -> Mount {
    let mut scaled = mount.clone();
    for isolator in &mut scaled.isolators {
        isolator.stiffness_n_m *= scale;
        isolator.damping_n_s_m *= scale.sqrt();
    }
    scaled
}

/// Largest growth rate of any vibration or drift over the fastest root.
///
/// # Errors
/// [`MountError`] when a mass is not positive or the iterations do not suffice.
pub fn growth(mount: &Mount, speed_rad_s: f64, air: &HubDerivatives) -> Result<f64, MountError> {
    let ready = Ready::new(mount, System::new(mount, ShaftRotation::Locked));
    let dynamics = ready.dynamics(speed_rad_s, Some(air));
    let roots = dynamics.roots()?;
    let largest = roots.iter().map(|root| root.norm()).fold(0.0, f64::max);
    // Below the real axis stand the roots of the conjugate stiffness.
    let own = roots.iter().filter(|root| root.im >= -1e-9 * largest);
    Ok(own.map(|root| root.re).fold(f64::NEG_INFINITY, f64::max) / largest.max(f64::MIN_POSITIVE))
}

/// Stiffness over the given one below which the mount whirls; 0 where it is stable down to a millionth.
///
/// # Errors
/// As [`growth`].
pub fn critical_scale(mount: &Mount, speed_rad_s: f64, air: &HubDerivatives) -> Result<f64, MountError> {
    let mount = bench(mount);
    let unstable = |scale: f64| growth(&scaled(&mount, scale), speed_rad_s, air).map(|g| g > GROWTH);
    let ratio = (RANGE.1 / RANGE.0).powf(1.0 / STEPS as f64);
    let mut stable = RANGE.1;
    for step in 1..=STEPS {
        let scale = RANGE.1 / ratio.powi(i32::try_from(step).unwrap_or(i32::MAX));
        if unstable(scale)? {
            let mut low = scale;
            for _ in 0..24 {
                let middle = (low * stable).sqrt();
                if unstable(middle)? { low = middle } else { stable = middle }
            }
            return Ok((low * stable).sqrt());
        }
        stable = scale;
    }
    Ok(0.0)
}
