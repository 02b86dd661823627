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

    /// When the shaft has turned by `angle_rad` since a time, s; `None` where the schedule ends before.
    ///
    /// The speed runs straight between rows, so that the angle is a parabola in time: within a segment
    /// ωΔt + ω'Δt²/2 = angle, by the root that does not cancel.
    #[must_use]
    pub fn turned_s(&self, from_s: f64, angle_rad: f64) -> Option<f64> {
        let (first, _) = self.place(from_s);
        let (mut now_s, mut left_rad) = (from_s, angle_rad);
        for (a, b) in self.rows.iter().zip(&self.rows[1..]).skip(first) {
            let rise = (b.speed_rad_s - a.speed_rad_s) / (b.time_s - a.time_s);
            let speed = a.speed_rad_s + rise * (now_s - a.time_s);
            let within_rad = 0.5 * (speed + b.speed_rad_s) * (b.time_s - now_s);
            if left_rad <= within_rad {
                let square = (speed * speed + 2.0 * rise * left_rad).max(0.0);
                return Some(now_s + 2.0 * left_rad / (speed + square.sqrt()));
            }
            left_rad -= within_rad;
            now_s = b.time_s;
        }
        // The last azimuth may miss the end by rounding.
        (left_rad <= 1e-9 * angle_rad).then_some(now_s)
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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn schedule(rows: &[(f64, f64)]) -> Schedule {
        let row = |(time_s, speed_rad_s): &(f64, f64)| Row {
            name: "row".into(),
            time_s: *time_s,
            speed_rad_s: *speed_rad_s,
            airspeed_m_s: 10.0,
            angle_of_attack_rad: 0.0,
            flap_change_rad: 0.0,
            record: false,
        };
        Schedule { rows: rows.iter().map(row).collect(), states: 2 }
    }

    #[test]
    fn a_run_up_turns_as_the_area_under_its_speed() {
        // From almost rest: 1 rad/s to 700 rad/s in a second, then steady.
        let up = schedule(&[(0.0, 1.0), (1.0, 700.0), (2.0, 700.0)]);
        let (mut now, mut revolutions) = (0.0, 0);
        while let Some(next) = up.turned_s(now, std::f64::consts::TAU) {
            assert!(next > now);
            now = next;
            revolutions += 1;
        }
        let whole = (0.5 * 701.0 + 700.0) / std::f64::consts::TAU;
        assert_eq!(revolutions, whole as usize);
        // Within the run-up t + 349.5 t² is the angle.
        let first = up.turned_s(0.0, std::f64::consts::TAU).unwrap();
        assert_relative_eq!(first + 349.5 * first * first, std::f64::consts::TAU, max_relative = 1e-12);
        // Across the row: the rest of the run-up and what is left at full speed.
        let across = up.turned_s(0.9, 200.0).unwrap();
        let before = 0.5 * ((1.0 + 699.0 * 0.9) + 700.0) * 0.1;
        assert_relative_eq!(across, 1.0 + (200.0 - before) / 700.0, max_relative = 1e-12);
    }

    #[test]
    fn a_run_down_and_whole_turns_end_with_the_schedule() {
        let down = schedule(&[(0.0, 100.0), (1.0, 0.5)]);
        assert_relative_eq!(down.turned_s(0.0, 50.25).unwrap(), 1.0, max_relative = 1e-9);
        assert_eq!(down.turned_s(0.0, 50.3), None);
        let steady = schedule(&[(0.0, std::f64::consts::TAU), (3.0, std::f64::consts::TAU)]);
        let mut now = 0.0;
        for _ in 0..12 {
            now = steady.turned_s(now, 0.25 * std::f64::consts::TAU).unwrap();
        }
        assert_relative_eq!(now, 3.0, max_relative = 1e-12);
    }
}
