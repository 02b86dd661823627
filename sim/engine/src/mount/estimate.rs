//! Mass and inertia of propeller and motor where the case gives none.
//!
//! The blade is taken as solid, of one material, with the thickness form of the four-digit sections (NACA Report 460, 1933, eq. 2):
//! area A = 0.685 c t, second moment about the chord line 0.0394 c t³, about the axis square to it through the centroid
//! 0.0411 c³ t (by quadrature of the form; under test). Cambered sections differ by a few per cent, hollow blades by much
//! more. All estimates are marked so wherever they are printed.

use crate::base::quadrature::GAUSS4;
use crate::blade::BladeStation;

/// Area of a four-digit section over c t.
pub const SECTION_AREA: f64 = 0.685_08;
/// Second moment about the chord line over c t³.
pub const SECTION_FLAT: f64 = 0.039_407;

/// A material of blades, room temperature. Densities and moduli as in handbooks and data sheets; from memory.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Name in the case.
    pub name: &'static str,
    /// Words.
    pub words: &'static str,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Bending modulus along the blade, Pa.
    pub modulus_pa: f64,
    /// Loss factor, order of magnitude.
    pub loss_factor: f64,
}

/// Materials that can be named.
pub const MATERIALS: [Material; 6] = [
    Material {
        name: "nylon_glass",
        words: "polyamide 66 with 30 % short glass fibre, conditioned",
        density_kg_m3: 1380.0,
        modulus_pa: 6.5e9,
        loss_factor: 0.02,
    },
    Material {
        name: "carbon",
        words: "carbon-epoxy laminate, quasi-isotropic",
        density_kg_m3: 1560.0,
        modulus_pa: 50e9,
        loss_factor: 0.004,
    },
    Material {
        name: "carbon_spanwise",
        words: "carbon-epoxy laminate, fibres mostly along the blade",
        density_kg_m3: 1570.0,
        modulus_pa: 100e9,
        loss_factor: 0.004,
    },
    Material {
        name: "beech",
        words: "beech along the grain",
        density_kg_m3: 720.0,
        modulus_pa: 13e9,
        loss_factor: 0.01,
    },
    Material {
        name: "maple",
        words: "hard maple along the grain",
        density_kg_m3: 700.0,
        modulus_pa: 12.6e9,
        loss_factor: 0.01,
    },
    Material {
        name: "aluminium",
        words: "aluminium alloy 2024-T3",
        density_kg_m3: 2780.0,
        modulus_pa: 73.1e9,
        loss_factor: 0.001,
    },
];

/// Mass properties of one blade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BladeMass {
    /// Mass, kg.
    pub mass_kg: f64,
    /// First moment about the shaft, kg m.
    pub first_kg_m: f64,
    /// Inertia about the shaft, ∫ρA r² dr and the sections' own part, kg m².
    pub polar_kg_m2: f64,
    /// Inertia about the blade's own radial line, kg m².
    pub about_blade_kg_m2: f64,
    /// Part of it from the sections' extent along the shaft, kg m².
    pub axial_extent_kg_m2: f64,
}

/// Mass properties of a solid blade from its stations.
#[must_use]
pub fn blade_mass(stations: &[BladeStation], pitch_rad: f64, density_kg_m3: f64) -> BladeMass {
    let (_, _, _, edgewise) = section_form();
    let mut sum = BladeMass {
        mass_kg: 0.0,
        first_kg_m: 0.0,
        polar_kg_m2: 0.0,
        about_blade_kg_m2: 0.0,
        axial_extent_kg_m2: 0.0,
    };
    for s in stations {
        let thickness = s.thickness_ratio * s.chord_m;
        let per_length = density_kg_m3 * SECTION_AREA * s.chord_m * thickness;
        let element = per_length * s.width_m;
        let flat = density_kg_m3 * SECTION_FLAT * s.chord_m * thickness.powi(3) * s.width_m;
        let edge = density_kg_m3 * edgewise * s.chord_m.powi(3) * thickness * s.width_m;
        let (sin, cos) = (s.twist_rad + pitch_rad).sin_cos();
        // The chord lies at the blade angle from the disk plane: its extent in the plane and along the shaft.
        let (in_plane, along) = (edge * cos * cos + flat * sin * sin, edge * sin * sin + flat * cos * cos);
        sum.mass_kg += element;
        sum.first_kg_m += element * s.radius_m;
        sum.polar_kg_m2 += element * s.radius_m.powi(2) + in_plane;
        sum.about_blade_kg_m2 += in_plane + along;
        sum.axial_extent_kg_m2 += along;
    }
    sum
}

/// Transverse inertias of a whole propeller about its hub: mean, and half the difference (J₂ − J₁)/2.
///
/// A blade at azimuth ψ has about the transverse axis at angle χ the inertia I_r sin²(ψ−χ) + I_b cos²(ψ−χ) with I_r of the radial
/// extent. Summed over blades: half of each for three and more even blades; for one or two the difference stays.
#[must_use]
pub fn transverse(blade: &BladeMass, blades: usize) -> (f64, f64) {
    let count = blades as f64;
    let across =
        blade.polar_kg_m2 - (blade.about_blade_kg_m2 - blade.axial_extent_kg_m2) + blade.axial_extent_kg_m2;
    let mean = 0.5 * count * (across + blade.about_blade_kg_m2);
    let half_difference = 0.5 * count * (across - blade.about_blade_kg_m2);
    (mean, if blades <= 2 { half_difference } else { 0.0 })
}

/// Area, centroid over chord, second moment about the chord line, and about the axis square to it through the centroid, of
/// the thickness form, over c t, 1, c t³ and c³ t.
#[must_use]
pub fn section_form() -> (f64, f64, f64, f64) {
    // Half thickness over the whole thickness; x = s² takes the root at the nose away.
    let half = |x: f64| {
        5.0 * (0.2969 * x.sqrt() - 0.126 * x - 0.3516 * x * x + 0.2843 * x.powi(3) - 0.1015 * x.powi(4))
    };
    let mut sums = [0.0; 4];
    let cells = 40;
    for cell in 0..cells {
        for (at, weight) in GAUSS4 {
            let s = (f64::from(cell) + at) / f64::from(cells);
            let (x, dx) = (s * s, 2.0 * s * weight / f64::from(cells));
            let y = half(x);
            sums[0] += 2.0 * y * dx;
            sums[1] += 2.0 * y * x * dx;
            sums[2] += 2.0 / 3.0 * y.powi(3) * dx;
            sums[3] += 2.0 * y * x * x * dx;
        }
    }
    let centroid = sums[1] / sums[0];
    (sums[0], centroid, sums[2], sums[3] - sums[0] * centroid * centroid)
}

/// Rotating part of a motor: an outer rotor of 0.4 of its mass at 0.45 of its diameter (common practice for outrunners).
#[must_use]
pub fn motor_rotor_kg_m2(mass_kg: f64, diameter_m: f64) -> f64 {
    0.4 * mass_kg * (0.45 * diameter_m).powi(2)
}

/// A motor as a solid cylinder along the shaft: its inertia about its own axes.
#[must_use]
pub fn motor_inertia_kg_m2(mass_kg: f64, diameter_m: f64, length_m: f64) -> [f64; 3] {
    let across = mass_kg * (0.0625 * diameter_m.powi(2) + length_m.powi(2) / 12.0);
    [0.125 * mass_kg * diameter_m.powi(2), across, across]
}

/// Diameter of a motor of given mass: a cylinder 0.7 diameters long of 4000 kg/m³ (common practice, electric motors).
#[must_use]
pub fn motor_diameter_m(mass_kg: f64) -> f64 {
    (mass_kg / (4000.0 * 0.7 * std::f64::consts::FRAC_PI_4)).cbrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn the_section_constants_are_those_of_the_thickness_form() {
        let (area, centroid, flat, edge) = section_form();
        assert_relative_eq!(area, SECTION_AREA, max_relative = 2e-5);
        assert_relative_eq!(flat, SECTION_FLAT, max_relative = 2e-5);
        assert!((0.41..0.43).contains(&centroid) && (0.035..0.045).contains(&edge), "{centroid} {edge}");
    }

    /// A flat blade in the disk plane: perpendicular axes, J₁ + J₂ = I_p, whatever the blade count.
    #[test]
    fn a_thin_propeller_obeys_perpendicular_axes() {
        let station =
            BladeStation { width_m: 0.1, twist_rad: 0.0, thickness_ratio: 1e-6, ..BladeStation::plain(0.1) };
        let blade = blade_mass(&[station], 0.0, 1000.0);
        for blades in [1, 2, 3] {
            let (mean, difference) = transverse(&blade, blades);
            assert_relative_eq!(2.0 * mean, blades as f64 * blade.polar_kg_m2, max_relative = 1e-9);
            assert_eq!(difference == 0.0, blades == 3);
        }
        let (mean, difference) = transverse(&blade, 2);
        assert_relative_eq!(mean - difference, 2.0 * blade.about_blade_kg_m2, max_relative = 1e-9);
    }
}
