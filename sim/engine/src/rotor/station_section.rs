//! The section of one blade station: the blade's rows name sections, stations lie between rows.

use crate::air::Air;
use crate::blade::BladeStation;
use crate::point::input::{AnalyticSection, Compressibility, Propeller, SectionSpec};
use crate::section::shape::HandbookPolar;
use crate::section::{Coefficients, PolarSlice, SectionModel, analytic_coefficients, lift_factor};

/// Section of one station.
#[derive(Debug, Clone)]
pub enum StationSection {
    /// Constants of a straight lift line.
    Analytic(AnalyticSection, Compressibility),
    /// A handbook polar whose lift line is not straight.
    Handbook(HandbookPolar, Compressibility),
    /// A table at the station's Reynolds and Mach number.
    Slice(PolarSlice),
    /// Part of the way from the first section to the second: coefficients go straight from one to the other.
    Between(Box<[StationSection; 2]>, f64),
    /// A section of a swept blade, with the cosine of its sweep.
    Swept(Box<StationSection>, f64),
}

impl StationSection {
    /// A section at a station's mean Reynolds and Mach number and its chord over its radius.
    #[must_use]
    pub fn new(
        spec: &SectionSpec,
        rule: Compressibility,
        reynolds: f64,
        mach: f64,
        chord_over_radius: f64,
    ) -> Self {
        match spec {
            SectionSpec::Analytic(section) => Self::Analytic(section.clone(), rule),
            SectionSpec::Shape(shape) => {
                let polar = HandbookPolar::new(shape, reynolds, chord_over_radius);
                if polar.is_straight() {
                    Self::Analytic(polar.constants, rule)
                } else {
                    Self::Handbook(polar, rule)
                }
            }
            SectionSpec::Table(table) => Self::Slice(PolarSlice::new(table, rule, reynolds, mach)),
        }
    }

    /// The section of a station in air that comes along the shaft at `along_shaft_m_s`, between those that the rows around it name.
    #[must_use]
    pub fn of_station(
        propeller: &Propeller,
        station: &BladeStation,
        air: &Air,
        along_shaft_m_s: f64,
    ) -> Self {
        let speed = along_shaft_m_s.hypot(propeller.speed_rad_s * station.radius_m);
        let of = |section: usize| {
            Self::new(
                &propeller.sections[section],
                propeller.compressibility,
                air.density_kg_m3 * speed * station.chord_m / air.viscosity_pa_s,
                speed / air.speed_of_sound_m_s,
                station.chord_m / station.radius_m,
            )
        };
        let place = station.section;
        let straight = if place.outer_share > 0.0 {
            Self::between(of(place.inner), of(place.outer), place.outer_share)
        } else {
            of(place.inner)
        };
        straight.swept(station.sweep_cosine)
    }

    /// The section of a blade swept by Λ: lift times cos Λ at the same angle, drag as it is.
    ///
    /// Simple sweep theory (A. Betz, 1935; R. T. Jones, NACA Report 863, 1947; from memory): the flow along the swept line changes
    /// nothing, so that the lift of the normal section at its own angle is a α cos Λ on the chord along the flow. Friction follows the whole speed.
    /// Greatest lift, cos² Λ by the theory, goes with the slope here: spanwise flow on a rotating blade works against it. The Mach number
    /// stays that of the flow. Limit under test: lift line times cos Λ.
    fn swept(self, cosine: f64) -> Self {
        if cosine == 1.0 {
            return self;
        }
        match self {
            Self::Analytic(s, rule) => Self::Analytic(
                AnalyticSection {
                    lift_slope_per_rad: s.lift_slope_per_rad * cosine,
                    drag_rise: s.drag_rise / (cosine * cosine),
                    lift_at_drag_min: s.lift_at_drag_min * cosine,
                    lift_max: s.lift_max * cosine,
                    lift_min: s.lift_min * cosine,
                    ..s
                },
                rule,
            ),
            other => Self::Swept(Box::new(other), cosine),
        }
    }

    /// Angles of attack, rad, between which lift has not passed its least and its greatest, at a Mach number; from a table those next to
    /// zero lift, between two sections those of the nearer.
    #[must_use]
    pub fn unstalled_rad(&self, mach: f64) -> (f64, f64) {
        let of_line = |s: &AnalyticSection, rule: Compressibility| {
            let slope = s.lift_slope_per_rad * lift_factor(rule, mach);
            (s.zero_lift_rad + s.lift_min / slope, s.zero_lift_rad + s.lift_max / slope)
        };
        match self {
            Self::Analytic(section, rule) => of_line(section, *rule),
            Self::Handbook(polar, rule) => of_line(&polar.constants, *rule),
            Self::Slice(slice) => slice.unstalled_rad(mach),
            Self::Between(ends, share) => ends[usize::from(*share > 0.5)].unstalled_rad(mach),
            Self::Swept(section, _) => section.unstalled_rad(mach),
        }
    }

    /// A section part of the way from one to another: constants go straight between constants, coefficients where one has none.
    fn between(from: Self, to: Self, share: f64) -> Self {
        match (from, to) {
            (Self::Analytic(from, rule), Self::Analytic(to, _)) => {
                Self::Analytic(blend(&from, &to, share), rule)
            }
            (from, to) => Self::Between(Box::new([from, to]), share),
        }
    }
}

/// Constants part of the way from one section's to another's.
fn blend(from: &AnalyticSection, to: &AnalyticSection, share: f64) -> AnalyticSection {
    let at = |value: fn(&AnalyticSection) -> f64| value(from) + share * (value(to) - value(from));
    AnalyticSection {
        lift_slope_per_rad: at(|s| s.lift_slope_per_rad),
        zero_lift_rad: at(|s| s.zero_lift_rad),
        drag_min: at(|s| s.drag_min),
        drag_rise: at(|s| s.drag_rise),
        lift_at_drag_min: at(|s| s.lift_at_drag_min),
        lift_max: at(|s| s.lift_max),
        lift_min: at(|s| s.lift_min),
    }
}

impl SectionModel for StationSection {
    fn coefficients(&self, angle_rad: f64, mach: f64) -> Coefficients {
        match self {
            Self::Analytic(section, rule) => {
                analytic_coefficients(section, angle_rad, lift_factor(*rule, mach))
            }
            Self::Handbook(polar, rule) => polar.coefficients(angle_rad, lift_factor(*rule, mach)),
            Self::Slice(slice) => slice.coefficients(angle_rad, mach),
            Self::Between(ends, share) => {
                let [from, to] = [0, 1].map(|i: usize| ends[i].coefficients(angle_rad, mach));
                Coefficients {
                    lift: from.lift + share * (to.lift - from.lift),
                    drag: from.drag + share * (to.drag - from.drag),
                }
            }
            Self::Swept(section, cosine) => {
                let straight = section.coefficients(angle_rad, mach);
                Coefficients { lift: cosine * straight.lift, drag: straight.drag }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::air::standard_air;
    use crate::blade::SectionPlace;
    use crate::point::input::{BladeTable, Rotation, SectionTable};
    use approx::assert_relative_eq;

    fn analytic(zero_lift_rad: f64, drag_min: f64) -> SectionSpec {
        SectionSpec::Analytic(AnalyticSection {
            lift_slope_per_rad: 5.7,
            zero_lift_rad,
            drag_min,
            drag_rise: 0.01,
            lift_at_drag_min: 0.1,
            lift_max: 1.2,
            lift_min: -0.8,
        })
    }

    /// Lift 2 α and drag 0.05 at any angle.
    fn table() -> SectionSpec {
        let angle_rad: Vec<f64> = (-4..=4).map(|i| f64::from(i) * std::f64::consts::FRAC_PI_4).collect();
        SectionSpec::Table(SectionTable {
            reynolds: vec![1e5],
            mach: vec![0.0],
            lift: angle_rad.iter().map(|angle| 2.0 * angle).collect(),
            drag: vec![0.05; angle_rad.len()],
            moment: vec![0.0; angle_rad.len()],
            angle_rad,
        })
    }

    fn at(inner: SectionSpec, outer: SectionSpec, outer_share: f64, angle_rad: f64) -> Coefficients {
        section(inner, outer, outer_share, 1.0).coefficients(angle_rad, 0.1)
    }

    fn section(
        inner: SectionSpec,
        outer: SectionSpec,
        outer_share: f64,
        sweep_cosine: f64,
    ) -> StationSection {
        let propeller = Propeller {
            blade_count: 2,
            diameter_m: 1.0,
            speed_rad_s: 100.0,
            rotation: Rotation::Clockwise,
            pitch_offset_rad: 0.0,
            blade: BladeTable { generic: false, rows: Vec::new() },
            sections: vec![inner, outer],
            compressibility: Compressibility::None,
            pitch_error_rad: Vec::new(),
            spacing_error_rad: Vec::new(),
        };
        let section = SectionPlace { inner: 0, outer: 1, outer_share };
        let station = BladeStation { chord_m: 0.05, sweep_cosine, section, ..BladeStation::plain(0.3) };
        StationSection::of_station(&propeller, &station, &standard_air(0.0, 0.0), 10.0)
    }

    #[test]
    fn sweep_takes_its_cosine_off_lift_and_nothing_off_drag() {
        for (spec, angle_rad) in [(analytic(-0.02, 0.01), 0.06), (table(), 0.3), (table(), -0.4)] {
            let of =
                |cosine: f64| section(spec.clone(), spec.clone(), 0.0, cosine).coefficients(angle_rad, 0.1);
            let (straight, swept) = (of(1.0), of(0.8));
            assert_relative_eq!(swept.lift, 0.8 * straight.lift, max_relative = 1e-12);
            assert_relative_eq!(swept.drag, straight.drag, max_relative = 1e-12);
        }
    }

    #[test]
    fn stall_begins_at_the_greatest_lift() {
        let line = section(analytic(-0.02, 0.01), table(), 0.0, 1.0);
        assert_relative_eq!(line.unstalled_rad(0.0).1, 1.2 / 5.7 - 0.02, max_relative = 1e-12);
        assert_relative_eq!(line.unstalled_rad(0.0).0, -0.8 / 5.7 - 0.02, max_relative = 1e-12);
        let rising = section(table(), table(), 0.0, 1.0).unstalled_rad(0.0);
        assert_eq!(rising, (-std::f64::consts::PI, std::f64::consts::PI));
    }

    #[test]
    fn lift_and_drag_go_from_one_section_to_the_next() {
        for share in [0.0, 0.3, 1.0] {
            let found = at(analytic(-0.02, 0.01), analytic(-0.08, 0.03), share, 0.05);
            let lift = 5.7 * (0.05 + 0.02 + 0.06 * share);
            assert_relative_eq!(found.lift, lift, max_relative = 1e-13);
            let drag = 0.01 + 0.02 * share + 0.01 * (lift - 0.1).powi(2);
            assert_relative_eq!(found.drag, drag, max_relative = 1e-13);
            // A table has no constants: its coefficients themselves are blended.
            let mixed = at(analytic(-0.02, 0.01), table(), share, 0.05);
            let of_line = at(analytic(-0.02, 0.01), table(), 0.0, 0.05);
            assert_relative_eq!(
                mixed.lift,
                of_line.lift + share * (0.1 - of_line.lift),
                max_relative = 1e-12
            );
            assert_relative_eq!(
                mixed.drag,
                of_line.drag + share * (0.05 - of_line.drag),
                max_relative = 1e-12
            );
        }
    }
}
