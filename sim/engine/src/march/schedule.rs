//! States against time, straight between the rows of a schedule.

use crate::point::input::OperatingPoint;

/// The state at a time.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Name.
    pub name: String,
    /// Time, s.
    pub time_s: f64,
    /// Shaft speed, rad/s.
    pub speed_rad_s: f64,
    /// Airspeed, m/s.
    pub airspeed_m_s: f64,
    /// Angle of attack, rad.
    pub angle_of_attack_rad: f64,
    /// Added to every flap's deflection, rad.
    pub flap_change_rad: f64,
    /// Whether full histories are kept from here to the next row.
    pub record: bool,
}

/// Rows by increasing time, two or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Schedule {
    /// The rows.
    pub rows: Vec<Row>,
    /// Airload states computed within a segment in which something changes, its ends included.
    pub states: usize,
}

impl Schedule {
    /// From first to last row, s.
    #[must_use]
    pub fn span_s(&self) -> (f64, f64) {
        let at = |row: Option<&Row>| row.map_or(0.0, |row| row.time_s);
        (at(self.rows.first()), at(self.rows.last()))
    }

    /// The segment that holds a time, and how far into it, 0 to 1.
    #[must_use]
    pub fn place(&self, time_s: f64) -> (usize, f64) {
        let last = self.rows.len() - 2;
        let i = self.rows.partition_point(|row| row.time_s <= time_s).clamp(1, last + 1) - 1;
        let (a, b) = (self.rows[i].time_s, self.rows[i + 1].time_s);
        (i, ((time_s - a) / (b - a)).clamp(0.0, 1.0))
    }

    /// The state at a time.
    #[must_use]
    pub fn at(&self, time_s: f64) -> Row {
        let (i, t) = self.place(time_s);
        self.within(i, t)
    }

    /// The state in a segment, 0 to 1 of it.
    #[must_use]
    pub fn within(&self, segment: usize, t: f64) -> Row {
        let (a, b) = (&self.rows[segment], &self.rows[segment + 1]);
        let mix = |x: f64, y: f64| x + t * (y - x);
        Row {
            name: a.name.clone(),
            time_s: mix(a.time_s, b.time_s),
            speed_rad_s: mix(a.speed_rad_s, b.speed_rad_s),
            airspeed_m_s: mix(a.airspeed_m_s, b.airspeed_m_s),
            angle_of_attack_rad: mix(a.angle_of_attack_rad, b.angle_of_attack_rad),
            flap_change_rad: mix(a.flap_change_rad, b.flap_change_rad),
            record: a.record,
        }
    }

    /// Whether anything but time changes in a segment.
    #[must_use]
    pub fn changes(&self, segment: usize) -> bool {
        let (a, b) = (&self.rows[segment], &self.rows[segment + 1]);
        let key = |r: &Row| (r.speed_rad_s, r.airspeed_m_s, r.angle_of_attack_rad, r.flap_change_rad);
        key(a) != key(b)
    }
}

/// The operating point in a state.
#[must_use]
pub fn point_at(point: &OperatingPoint, row: &Row) -> OperatingPoint {
    let mut at = point.clone();
    at.propeller.speed_rad_s = row.speed_rad_s;
    at.flight.airspeed_m_s = row.airspeed_m_s;
    at.flight.angle_of_attack_rad = row.angle_of_attack_rad;
    for flap in at.surfaces.iter_mut().flat_map(|surface| &mut surface.flaps) {
        flap.deflection_rad += row.flap_change_rad;
    }
    at
}
