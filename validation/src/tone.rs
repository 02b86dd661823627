//! A tone of velocity over the disk, fixed in space.

use wakebeat_engine::base::Vec3;
use wakebeat_engine::inflow::InflowSource;

/// cos(nψ) times a velocity over the whole disk, ψ from the top of a clockwise disk at the origin, square to x.
#[derive(Debug, Clone, Copy, Default)]
pub struct Tone {
    /// Cycles per revolution n.
    pub order: f64,
    /// Velocity aft, m/s.
    pub axial_m_s: f64,
    /// Velocity along the motion of the blades, m/s; negative meets them.
    pub tangential_m_s: f64,
}

impl InflowSource for Tone {
    fn name(&self) -> &str {
        "tone"
    }

    fn velocity_m_s(&self, p: &Vec3) -> Option<Vec3> {
        let psi = p.y.atan2(p.z);
        // A blade at the top of a clockwise propeller moves to starboard.
        let around = self.tangential_m_s * Vec3::new(0.0, psi.cos(), -psi.sin());
        Some((self.order * psi).cos() * (around + self.axial_m_s * Vec3::x()))
    }
}
