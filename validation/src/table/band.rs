//! How far ours may be from the published value.

/// The band of a row.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Band {
    /// A share of the published value.
    Relative(f64),
    /// An amount in the row's unit.
    Absolute(f64),
    /// The larger of a share of the published value and an amount in the row's unit.
    Larger {
        /// Share of the published value.
        relative: f64,
        /// Amount in the row's unit.
        absolute: f64,
    },
    /// A trend: ours has to lie above the published limit.
    Above,
    /// A trend: ours has to lie below the published limit.
    Below,
}

impl Band {
    /// Distance from the published value over the distance allowed; at most 1 is inside. Infinite where ours is no number.
    #[must_use]
    pub fn used(self, published: f64, ours: f64) -> f64 {
        let apart = ours - published;
        let used = match self {
            Self::Above | Self::Below => {
                let wrong = if self == Self::Above { apart <= 0.0 } else { apart >= 0.0 };
                if wrong { f64::INFINITY } else { 0.0 }
            }
            _ => apart.abs() / self.width(published, ours),
        };
        if ours.is_finite() && !used.is_nan() { used } else { f64::INFINITY }
    }

    /// Distance allowed, in the row's unit. A trend's is the room left to its limit.
    #[must_use]
    pub fn width(self, published: f64, ours: f64) -> f64 {
        match self {
            Self::Relative(share) => share * published.abs(),
            Self::Absolute(amount) => amount,
            Self::Larger { relative, absolute } => absolute.max(relative * published.abs()),
            Self::Above | Self::Below => (ours - published).abs(),
        }
    }

    /// Whether differences are best told in per cent of the published value.
    #[must_use]
    pub fn in_per_cent(self) -> bool {
        matches!(self, Self::Relative(_) | Self::Larger { .. })
    }

    /// The band in words, with the unit of the row.
    #[must_use]
    pub fn words(self, unit: &str) -> String {
        let unit = if unit == "1" { String::new() } else { format!(" {unit}") };
        match self {
            Self::Relative(share) => format!("{} %", short(100.0 * share)),
            Self::Absolute(amount) => format!("±{}{unit}", short(amount)),
            Self::Larger { relative, absolute } => {
                format!("{} % or {}{unit}", short(100.0 * relative), short(absolute))
            }
            Self::Above => "above".to_owned(),
            Self::Below => "below".to_owned(),
        }
    }
}

/// At most two digits: bands are round numbers.
fn short(value: f64) -> String {
    if value != 0.0 && value.abs() < 1e-3 { format!("{value:.0e}") } else { format!("{value}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_of_band_lets_in_what_it_should() {
        assert!(Band::Relative(0.1).used(-2.0, -2.19) < 1.0);
        assert!(Band::Relative(0.1).used(-2.0, -2.21) > 1.0);
        assert!(Band::Absolute(0.1).used(0.0, 0.11) > 1.0);
        let larger = Band::Larger { relative: 0.08, absolute: 0.004 };
        assert!(larger.used(0.01, 0.0139) < 1.0 && larger.used(0.1, 0.1079) < 1.0);
        assert!(larger.used(0.01, 0.0141) > 1.0 && larger.used(0.1, 0.1081) > 1.0);
        assert!(Band::Above.used(1.0, 1.01) < 1.0 && Band::Above.used(1.0, 1.0) > 1.0);
        assert!(Band::Below.used(1.0, 0.99) < 1.0 && Band::Below.used(1.0, 1.0) > 1.0);
    }

    #[test]
    fn no_number_is_outside_every_band() {
        for band in [Band::Relative(0.1), Band::Absolute(1e9), Band::Above, Band::Below] {
            assert!(band.used(1.0, f64::NAN) > 1.0);
        }
        // A published zero has no relative band.
        assert!(Band::Relative(0.1).used(0.0, 0.0) > 1.0);
    }

    #[test]
    fn bands_read_as_people_write_them() {
        assert_eq!(Band::Larger { relative: 0.08, absolute: 0.004 }.words("1"), "8 % or 0.004");
        assert_eq!(Band::Absolute(2e-6).words("N"), "±2e-6 N");
        assert_eq!(Band::Relative(0.005).words("1"), "0.5 %");
    }
}
