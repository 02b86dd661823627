//! What one operating point yields. Arrays follow the result file: A azimuths, S stations, K orders.

use ndarray::Array2;
use realfft::num_complex::Complex64;

use super::airframe::AirframeResult;
use super::disk_fields::DiskFields;

/// A load of the propeller on the airframe, shaft-aligned, about the hub.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HubLoad {
    /// Forward positive, N.
    Thrust,
    /// Starboard positive, N.
    SideForce,
    /// Up positive, N.
    VerticalForce,
    /// Aerodynamic shaft torque, positive when the propeller absorbs power, N m.
    Torque,
    /// Starboard side down positive, N m.
    RollingMoment,
    /// Nose up positive, N m.
    PitchingMoment,
    /// Nose to starboard positive, N m.
    YawingMoment,
}

impl HubLoad {
    /// All loads in the order of the result file.
    pub const ALL: [Self; 7] = [
        Self::Thrust,
        Self::SideForce,
        Self::VerticalForce,
        Self::Torque,
        Self::RollingMoment,
        Self::PitchingMoment,
        Self::YawingMoment,
    ];

    /// Name with unit, as in the result file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Thrust => "thrust_n",
            Self::SideForce => "side_force_n",
            Self::VerticalForce => "vertical_force_n",
            Self::Torque => "torque_n_m",
            Self::RollingMoment => "rolling_moment_n_m",
            Self::PitchingMoment => "pitching_moment_n_m",
            Self::YawingMoment => "yawing_moment_n_m",
        }
    }

    /// Name without unit, as used in `{load}_phase_rad`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Thrust => "thrust",
            Self::SideForce => "side_force",
            Self::VerticalForce => "vertical_force",
            Self::Torque => "torque",
            Self::RollingMoment => "rolling_moment",
            Self::PitchingMoment => "pitching_moment",
            Self::YawingMoment => "yawing_moment",
        }
    }

    /// Unit of the load.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Thrust | Self::SideForce | Self::VerticalForce => "N",
            _ => "N m",
        }
    }

    /// Words with the sign convention.
    #[must_use]
    pub fn long_name(self) -> &'static str {
        match self {
            Self::Thrust => "thrust, forward positive",
            Self::SideForce => "side force, starboard positive",
            Self::VerticalForce => "vertical force, up positive",
            Self::Torque => "aerodynamic shaft torque, positive when power is absorbed",
            Self::RollingMoment => "rolling moment, starboard side down positive",
            Self::PitchingMoment => "pitching moment, nose up positive",
            Self::YawingMoment => "yawing moment, nose to starboard positive",
        }
    }
}

/// A load of one blade in the rotating frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BladeLoad {
    /// Forward positive, N.
    Thrust,
    /// Against the rotation positive, N m.
    Torque,
    /// At the root, bending the tip forward positive, N m.
    FlapMoment,
    /// At the root, against the rotation positive, N m.
    LagMoment,
}

impl BladeLoad {
    /// All loads in the order of the result file.
    pub const ALL: [Self; 4] = [Self::Thrust, Self::Torque, Self::FlapMoment, Self::LagMoment];

    /// Name with unit, as in the result file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::Thrust => "thrust_n",
            Self::Torque => "torque_n_m",
            Self::FlapMoment => "flap_moment_n_m",
            Self::LagMoment => "lag_moment_n_m",
        }
    }

    /// Name without unit.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Thrust => "thrust",
            Self::Torque => "torque",
            Self::FlapMoment => "flap_moment",
            Self::LagMoment => "lag_moment",
        }
    }

    /// Unit of the load.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::Thrust => "N",
            _ => "N m",
        }
    }

    /// Words with the sign convention.
    #[must_use]
    pub fn long_name(self) -> &'static str {
        match self {
            Self::Thrust => "thrust of one blade, forward positive",
            Self::Torque => "torque of one blade about the shaft",
            Self::FlapMoment => "flap moment at the root, positive bends the tip forward",
            Self::LagMoment => "lag moment at the root, positive against the rotation",
        }
    }
}

/// A quantity on the disk, over stations and azimuth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DiskField {
    /// Axial velocity the section meets, with induction, m/s.
    AxialVelocity,
    /// Tangential velocity the section meets, with induction, m/s.
    TangentialVelocity,
    /// Axial velocity without induction, m/s.
    AxialInflow,
    /// Geometric angle of attack with induction, rad.
    AngleOfAttack,
    /// Axial force per unit span, forward positive, N/m.
    NormalForce,
    /// Force per unit span against the rotation, N/m.
    TangentialForce,
}

impl DiskField {
    /// All fields in the order of the result file.
    pub const ALL: [Self; 6] = [
        Self::AxialVelocity,
        Self::TangentialVelocity,
        Self::AxialInflow,
        Self::AngleOfAttack,
        Self::NormalForce,
        Self::TangentialForce,
    ];

    /// Name with unit, as in the result file.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::AxialVelocity => "axial_velocity_m_s",
            Self::TangentialVelocity => "tangential_velocity_m_s",
            Self::AxialInflow => "axial_inflow_m_s",
            Self::AngleOfAttack => "angle_of_attack_rad",
            Self::NormalForce => "normal_force_n_per_m",
            Self::TangentialForce => "tangential_force_n_per_m",
        }
    }

    /// Unit of the field.
    #[must_use]
    pub fn unit(self) -> &'static str {
        match self {
            Self::AxialVelocity | Self::TangentialVelocity | Self::AxialInflow => "m/s",
            Self::AngleOfAttack => "rad",
            Self::NormalForce | Self::TangentialForce => "N/m",
        }
    }

    /// Words with the sign convention.
    #[must_use]
    pub fn long_name(self) -> &'static str {
        match self {
            Self::AxialVelocity => "axial velocity at the section, aft positive, with induction",
            Self::TangentialVelocity => {
                "tangential velocity at the section, against its motion positive, with induction"
            }
            Self::AxialInflow => "axial velocity, aft positive, without induction",
            Self::AngleOfAttack => "geometric angle of attack of the section, with induction",
            Self::NormalForce => "axial blade force per unit span, forward positive",
            Self::TangentialForce => "tangential blade force per unit span, against rotation positive",
        }
    }
}

/// Amplitudes and phases of a periodic signal: x(ψ) = a₀ + Σ aₙ cos(nψ − φₙ).
#[derive(Debug, Clone, PartialEq)]
pub struct Harmonics {
    /// Order 0 is the signed mean, the others single-sided peaks.
    pub amplitude: Vec<f64>,
    /// Phase of each order, rad; 0 for order 0.
    pub phase_rad: Vec<f64>,
}

impl Harmonics {
    /// Complex amplitude of an order, a e^(−iφ); 0 beyond the orders kept.
    #[must_use]
    pub fn phasor(&self, order: usize) -> Complex64 {
        match (self.amplitude.get(order), self.phase_rad.get(order)) {
            (Some(amplitude), Some(phase)) => Complex64::from_polar(1.0, -phase) * *amplitude,
            _ => Complex64::ZERO,
        }
    }

    /// The part of an order that acts in phase with `total`, aₛ cos(φₛ − φₜ), in the unit of the load.
    ///
    /// Negative where it takes from the total; these parts of all shares add up to the total's amplitude.
    #[must_use]
    pub fn in_phase_with(&self, total: &Self, order: usize) -> f64 {
        let (own, whole) = (self.phasor(order), total.phasor(order));
        if whole.norm() > 0.0 { (own * whole.conj()).re / whole.norm() } else { 0.0 }
    }
}

/// A load over one revolution and its harmonics.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadHistory {
    /// Values at the azimuths.
    pub history: Vec<f64>,
    /// Harmonics up to the highest order kept.
    pub harmonics: Harmonics,
}

/// Loads of one blade, in the order of [`BladeLoad::ALL`].
pub type BladeLoads = [LoadHistory; 4];

/// A scalar of the summary.
#[derive(Debug, Clone, PartialEq)]
pub struct Scalar {
    /// Name with unit, as in the result file.
    pub name: String,
    /// Unit; "1" when dimensionless.
    pub unit: &'static str,
    /// Words.
    pub long_name: String,
    /// Value.
    pub value: f64,
}

/// A remark on the validity of the answer, with its figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Warning {
    /// Short fixed name, such as `narrow_wake`.
    pub name: &'static str,
    /// One sentence with the figure and what to do.
    pub text: String,
}

/// One source's share of the hub harmonics.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Name of the source; `incidence`, `induced_inflow` and `remainder` beside surfaces, bodies and survey.
    pub name: String,
    /// Harmonics of each hub load, in the order of [`HubLoad::ALL`].
    pub loads: Vec<Harmonics>,
}

/// The answer of one operating point.
#[derive(Debug, Clone)]
pub struct PointResult {
    /// Blade count, for reading the harmonics.
    pub blade_count: usize,
    /// Azimuth grid, rad (A); leaves out 2π.
    pub azimuth_rad: Vec<f64>,
    /// Stations, m (S).
    pub radius_m: Vec<f64>,
    /// Hub loads in the order of [`HubLoad::ALL`].
    pub hub: Vec<LoadHistory>,
    /// One entry where blades are alike, else one a blade.
    pub blades: Vec<BladeLoads>,
    /// Fields over the disk (S, A), of the first blade.
    pub disk: DiskFields,
    /// Shares of the hub harmonics: what each source makes by the model linearised about the azimuth mean, and the
    /// remainder; for each order the shares add up to the hub's harmonic. Empty where it was not asked for.
    pub attribution: Vec<Share>,
    /// Further propellers and the sum of all at the airframe; `None` where neither was asked for.
    pub airframe: Option<AirframeResult>,
    /// Summary scalars.
    pub summary: Vec<Scalar>,
    /// Remarks on validity.
    pub warnings: Vec<Warning>,
}

impl PointResult {
    /// The history and harmonics of a hub load.
    #[must_use]
    pub fn hub(&self, load: HubLoad) -> &LoadHistory {
        &self.hub[load as usize]
    }

    /// Thrust, the larger force in the disk plane, the larger bending moment, and torque, by their amplitudes at an order.
    #[must_use]
    pub fn leading_loads(&self, order: usize) -> [HubLoad; 4] {
        let amplitude = |load| self.hub(load).harmonics.phasor(order).norm();
        let larger = |a, b| if amplitude(b) > amplitude(a) { b } else { a };
        [
            HubLoad::Thrust,
            larger(HubLoad::VerticalForce, HubLoad::SideForce),
            larger(HubLoad::PitchingMoment, HubLoad::YawingMoment),
            HubLoad::Torque,
        ]
    }

    /// A disk field.
    #[must_use]
    pub fn disk(&self, field: DiskField) -> &Array2<f64> {
        self.disk.field(field)
    }

    /// A summary scalar by name, if it exists.
    #[must_use]
    pub fn scalar(&self, name: &str) -> Option<f64> {
        self.summary.iter().find(|s| s.name == name).map(|s| s.value)
    }

    /// Moment of the mean thrusts of all propellers about the centre of gravity, N m, nose up positive; `None` where one is not known.
    #[must_use]
    pub fn thrust_lines_moment_n_m(&self) -> Option<f64> {
        let further = self.airframe.iter().flat_map(|airframe| &airframe.further).map(|one| &one.result);
        std::iter::once(self).chain(further).map(|result| result.scalar("thrust_line_moment_n_m")).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn first(amplitude: f64, phase_rad: f64) -> Harmonics {
        Harmonics { amplitude: vec![0.0, amplitude], phase_rad: vec![0.0, phase_rad] }
    }

    #[test]
    fn parts_in_phase_add_up_and_a_part_square_to_the_total_adds_nothing() {
        // 3 cos ψ + 4 sin ψ = 5 cos(ψ − 0.927).
        let total = first(5.0, 4.0_f64.atan2(3.0));
        let (cosine, sine) = (first(3.0, 0.0), first(4.0, std::f64::consts::FRAC_PI_2));
        assert_relative_eq!(cosine.in_phase_with(&total, 1), 9.0 / 5.0, max_relative = 1e-14);
        assert_relative_eq!(sine.in_phase_with(&total, 1), 16.0 / 5.0, max_relative = 1e-14);
        assert_relative_eq!(cosine.in_phase_with(&sine, 1), 0.0, epsilon = 1e-14);
        assert_eq!(cosine.in_phase_with(&first(0.0, 0.0), 1), 0.0);
        assert_eq!(cosine.in_phase_with(&total, 7), 0.0);
    }
}
