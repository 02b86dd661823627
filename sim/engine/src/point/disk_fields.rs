//! Disk fields from the balanced groups: stations by rows, azimuths by columns.

use multiversion::multiversion;
use ndarray::Array2;

use super::group_state::GroupState;
use super::result::DiskField;
use super::setup::Setup;
use crate::base::lanes::{LANES, Lanes};

/// All fields (S, A) of the first blade, in the order of [`DiskField::ALL`].
pub(super) fn disk_fields(setup: &Setup, groups: &[GroupState]) -> Vec<Array2<f64>> {
    DiskField::ALL.iter().map(|field| disk_field(setup, groups, *field)).collect()
}

fn disk_field(setup: &Setup, groups: &[GroupState], field: DiskField) -> Array2<f64> {
    let (stations, azimuths) = (setup.stations.len(), setup.azimuth_rad.len());
    let mut values = vec![0.0; stations * azimuths];
    for (g, group) in groups.iter().enumerate() {
        let range = setup.group_range(g);
        let rows = &mut values[range.start * azimuths..range.end * azimuths];
        match field {
            DiskField::AxialVelocity => fill(rows, azimuths, &group.flow.axial_m_s),
            DiskField::TangentialVelocity => fill(rows, azimuths, &group.flow.tangential_m_s),
            DiskField::AxialInflow => {
                let positive: Vec<Lanes> =
                    group.inflow.axial_m_s().iter().map(|u| u.max(Lanes::ZERO)).collect();
                fill(rows, azimuths, &positive);
            }
            DiskField::AngleOfAttack => {
                let blade_angle = Lanes::from_fn(|lane| {
                    setup.stations[(range.start + lane).min(range.end - 1)].twist_rad + setup.pitch_rad[0]
                });
                let mut angles = vec![Lanes::ZERO; azimuths];
                angles_of_attack(&group.flow.axial_m_s, &group.flow.tangential_m_s, blade_angle, &mut angles);
                fill(rows, azimuths, &angles);
            }
            DiskField::NormalForce => fill(rows, azimuths, &group.loads[0].normal_n_per_m),
            DiskField::TangentialForce => fill(rows, azimuths, &group.loads[0].tangential_n_per_m),
        }
    }
    Array2::from_shape_vec((stations, azimuths), values)
        .unwrap_or_else(|_| Array2::zeros((stations, azimuths)))
}

/// Turns lanes over azimuth into rows over azimuth, as many as `rows` holds.
fn fill(rows: &mut [f64], azimuths: usize, lanes: &[Lanes]) {
    // Eight azimuths at a time: each of the lanes is then read once.
    for (block, from) in lanes.chunks(LANES).enumerate() {
        for (lane, row) in rows.chunks_exact_mut(azimuths).enumerate().take(LANES) {
            for (value, from) in row[block * LANES..].iter_mut().zip(from) {
                *value = from.0[lane];
            }
        }
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn angles_of_attack(axial: &[Lanes], tangential: &[Lanes], blade_angle: Lanes, angles: &mut [Lanes]) {
    for ((angle, u), t) in angles.iter_mut().zip(axial).zip(tangential) {
        *angle = blade_angle - u.atan2(*t);
    }
}
