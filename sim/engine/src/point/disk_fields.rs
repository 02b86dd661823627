//! Fields over the disk, stations by rows, azimuths by columns: made from what the sweeps left when first asked for.
//!
//! A study keeps the harmonics of its points and never looks at their fields; turning them round would take it a tenth of its time.

use std::sync::OnceLock;

use multiversion::multiversion;
use ndarray::Array2;

use super::group_state::GroupState;
use super::result::DiskField;
use super::setup::Setup;
use crate::base::lanes::Lanes;
use crate::inflow::square::signed_root;

/// How many fields there are.
const FIELDS: usize = DiskField::ALL.len();

/// All fields (S, A) of the first blade, in the order of [`DiskField::ALL`].
#[derive(Debug, Clone, Default)]
pub struct DiskFields {
    fields: [OnceLock<Array2<f64>>; FIELDS],
    swept: Vec<SweptGroup>,
    azimuths: usize,
}

/// What the sweeps of up to eight stations left, by azimuth.
#[derive(Debug, Clone)]
struct SweptGroup {
    /// Stations in use.
    used: usize,
    /// Blade angle of each, rad.
    blade_angle_rad: Lanes,
    axial_m_s: Vec<Lanes>,
    tangential_m_s: Vec<Lanes>,
    /// Square of the axial velocity without the propeller, with its sign, m²/s².
    inflow_square: Vec<Lanes>,
    normal_n_per_m: Vec<Lanes>,
    tangential_n_per_m: Vec<Lanes>,
}

/// Fields (S, A) in the order of [`DiskField::ALL`]; any that lack are empty.
impl FromIterator<Array2<f64>> for DiskFields {
    fn from_iter<T: IntoIterator<Item = Array2<f64>>>(fields: T) -> Self {
        let mut all = Self::default();
        for (slot, field) in all.fields.iter_mut().zip(fields) {
            *slot = OnceLock::from(field);
        }
        all
    }
}

impl DiskFields {
    /// From balanced groups, which are used up.
    pub(super) fn of_groups(setup: &Setup, groups: Vec<GroupState>) -> Self {
        let swept = groups.into_iter().enumerate().map(|(g, group)| {
            let used = setup.ahead.group_range(g).len();
            let blade_angle_rad = blade_angle_rad(setup, g);
            let inflow_square = group.inflow.into_axial_square();
            // Blades differ in pitch alone: the fields are those of the first.
            let loads = group.loads.into_iter().next();
            let (normal_n_per_m, tangential_n_per_m) =
                loads.map(|loads| (loads.normal_n_per_m, loads.tangential_n_per_m)).unwrap_or_default();
            let (axial_m_s, tangential_m_s) = (group.flow.axial_m_s, group.flow.tangential_m_s);
            SweptGroup {
                used,
                blade_angle_rad,
                axial_m_s,
                tangential_m_s,
                inflow_square,
                normal_n_per_m,
                tangential_n_per_m,
            }
        });
        Self { fields: Default::default(), swept: swept.collect(), azimuths: setup.ahead.azimuth_rad.len() }
    }

    /// One field (S, A).
    #[must_use]
    pub fn field(&self, field: DiskField) -> &Array2<f64> {
        self.fields[field as usize].get_or_init(|| self.made(field))
    }

    /// Puts another array (S, A) in the place of a field.
    pub fn set(&mut self, field: DiskField, values: Array2<f64>) {
        self.fields[field as usize] = OnceLock::from(values);
    }

    fn made(&self, field: DiskField) -> Array2<f64> {
        let stations = self.swept.iter().map(|group| group.used).sum();
        let mut values = Array2::zeros((stations, self.azimuths));
        let mut first = 0;
        for group in &self.swept {
            let from = group.over_azimuth(field);
            for (j, lanes) in from.iter().enumerate() {
                for lane in 0..group.used {
                    values[(first + lane, j)] = lanes.0[lane];
                }
            }
            first += group.used;
        }
        values
    }
}

impl SweptGroup {
    fn over_azimuth(&self, field: DiskField) -> std::borrow::Cow<'_, [Lanes]> {
        match field {
            DiskField::AxialVelocity => (&self.axial_m_s).into(),
            DiskField::TangentialVelocity => (&self.tangential_m_s).into(),
            DiskField::AxialInflow => {
                let positive = self.inflow_square.iter().map(|u| signed_root(*u).max(Lanes::ZERO));
                positive.collect::<Vec<_>>().into()
            }
            DiskField::AngleOfAttack => {
                let mut angles = vec![Lanes::ZERO; self.axial_m_s.len()];
                angles_of_attack(&self.axial_m_s, &self.tangential_m_s, self.blade_angle_rad, &mut angles);
                angles.into()
            }
            DiskField::NormalForce => (&self.normal_n_per_m).into(),
            DiskField::TangentialForce => (&self.tangential_n_per_m).into(),
        }
    }
}

/// Blade angle of the stations of group `g` on the first blade, rad.
fn blade_angle_rad(setup: &Setup, g: usize) -> Lanes {
    let range = setup.ahead.group_range(g);
    Lanes::from_fn(|lane| {
        setup.ahead.stations[(range.start + lane).min(range.end - 1)].twist_rad + setup.pitch_rad[0]
    })
}

/// Least and greatest angle of attack of the stations of group `g` on the first blade over a revolution, rad.
pub(super) fn extreme_angles_rad(setup: &Setup, g: usize, group: &GroupState) -> (Lanes, Lanes) {
    extremes(&group.flow.axial_m_s, &group.flow.tangential_m_s, blade_angle_rad(setup, g))
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn angles_of_attack(axial: &[Lanes], tangential: &[Lanes], blade_angle: Lanes, angles: &mut [Lanes]) {
    for ((angle, u), t) in angles.iter_mut().zip(axial).zip(tangential) {
        *angle = blade_angle - u.atan2(*t);
    }
}

#[multiversion(targets("x86_64+avx512f+avx512dq+avx512vl", "x86_64+avx2"))]
fn extremes(axial: &[Lanes], tangential: &[Lanes], blade_angle: Lanes) -> (Lanes, Lanes) {
    let (mut least, mut greatest) = (Lanes::splat(f64::INFINITY), Lanes::splat(f64::NEG_INFINITY));
    for (u, t) in axial.iter().zip(tangential) {
        let angle = blade_angle - u.atan2(*t);
        (least, greatest) = (least.min(angle), greatest.max(angle));
    }
    (least, greatest)
}
