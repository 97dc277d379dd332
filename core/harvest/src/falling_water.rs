//! The water's level against the clock on a harvest day, as the line needs it.

/// A falling water. Hours are the clock's on the day of the catch: negative before its midnight.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct FallingWater {
    /// Hours, rising.
    pub at_h: Vec<f64>,
    /// Height of the water above the lowest floor at each, m.
    pub stage_m: Vec<f64>,
    /// Share of the floor that is bare at each, 0 to 1.
    pub bare: Vec<f64>,
    /// The net can be pulled from this hour until that: the level is held.
    pub seine_h: (f64, f64),
    /// From this hour the last water can be dipped.
    pub dip_from_h: f64,
    /// At this hour the last water is gone and what was not dipped lies in the mud; infinite where a basin or a closed valve keeps it.
    pub dry_h: f64,
}

impl FallingWater {
    /// Everything shut at an hour: from then on level and bare floor stay as they are.
    pub fn shut_from(&self, hour: f64) -> FallingWater {
        let (stage_m, bare) = (self.stage_at(hour), self.bare_at(hour));
        let stays = |at: &usize| self.at_h[*at] >= hour;
        let mut shut = self.clone();
        for at in (0..self.at_h.len()).filter(stays) {
            (shut.stage_m[at], shut.bare[at]) = (stage_m, bare);
        }
        // The hour itself, so that nothing falls between it and the next.
        let place = self.at_h.partition_point(|at_h| *at_h < hour);
        shut.at_h.insert(place, hour);
        shut.stage_m.insert(place, stage_m);
        shut.bare.insert(place, bare);
        shut
    }

    /// A level that is held for seining for some hours, then falls evenly, laying the floor bare from the shallow end, to catch depth.
    pub fn even(seine_h: (f64, f64), dip_from_h: f64, dry_h: f64, full_m: f64, catch_m: f64) -> FallingWater {
        const STEPS: usize = 12;
        let fall_h = dip_from_h - seine_h.1;
        let of = |step: usize| step as f64 / STEPS as f64;
        let mut course = FallingWater { seine_h, dip_from_h, dry_h, ..FallingWater::default() };
        course.push(seine_h.0, full_m, 0.0);
        for step in 0..=STEPS {
            course.push(seine_h.1 + fall_h * of(step), full_m + (catch_m - full_m) * of(step), 0.9 * of(step));
        }
        if dry_h.is_finite() {
            course.push(dry_h, 0.0, 1.0);
        }
        course
    }

    fn push(&mut self, at_h: f64, stage_m: f64, bare: f64) {
        self.at_h.push(at_h);
        self.stage_m.push(stage_m);
        self.bare.push(bare);
    }

    /// The place before an hour and the share of the way to the next.
    fn place(&self, hour: f64) -> (usize, f64) {
        let next = self.at_h.partition_point(|&at| at <= hour);
        if next == 0 {
            return (0, 0.0);
        }
        if next == self.at_h.len() {
            return (next - 1, 0.0);
        }
        let (from, to) = (self.at_h[next - 1], self.at_h[next]);
        (next - 1, if to > from { (hour - from) / (to - from) } else { 0.0 })
    }

    fn along(&self, of: &[f64], hour: f64) -> f64 {
        let (place, part) = self.place(hour);
        match of.get(place + 1) {
            Some(next) => of[place] + part * (next - of[place]),
            None => of.get(place).copied().unwrap_or(0.0),
        }
    }

    /// Height of the water at an hour, m.
    pub fn stage_at(&self, hour: f64) -> f64 {
        self.along(&self.stage_m, hour)
    }

    /// Share of the floor bare at an hour.
    pub fn bare_at(&self, hour: f64) -> f64 {
        self.along(&self.bare, hour)
    }

    /// The first hour by which a share of the floor is bare; the last one when that never comes.
    pub fn bare_by(&self, share: f64) -> f64 {
        for pair in 1..self.at_h.len() {
            let (before, after) = (self.bare[pair - 1], self.bare[pair]);
            if after >= share && after > before {
                let part = ((share - before) / (after - before)).clamp(0.0, 1.0);
                return self.at_h[pair - 1] + part * (self.at_h[pair] - self.at_h[pair - 1]);
            }
        }
        self.at_h.last().copied().unwrap_or(0.0)
    }

    /// How much later than here a level is read at an hour, h; before it below nothing. Nothing within a stick's width of the course; `None` for a
    /// level that the course never comes to.
    pub fn later_h(&self, at_h: f64, stage_m: f64) -> Option<f64> {
        const STICK_M: f64 = 0.05;
        if (self.stage_at(at_h) - stage_m).abs() <= STICK_M {
            return Some(0.0);
        }
        // The falling course passes the level between two of its points.
        let pair = self.stage_m.windows(2).position(|pair| pair[0] >= stage_m && stage_m > pair[1])?;
        let (from, to) = (self.stage_m[pair], self.stage_m[pair + 1]);
        let passes_h = self.at_h[pair] + (from - stage_m) / (from - to) * (self.at_h[pair + 1] - self.at_h[pair]);
        Some(at_h - passes_h)
    }

    /// Until when the water stands where it stands at an hour: the hour at which it has fallen by a hair.
    pub fn stands_until(&self, at_h: f64) -> f64 {
        const HAIR_M: f64 = 0.005;
        let stage_m = self.stage_at(at_h) - HAIR_M;
        let after = self.at_h.iter().zip(&self.stage_m).position(|(hour, m)| *hour > at_h && *m < stage_m);
        let Some(next) = after.filter(|next| *next > 0) else { return f64::INFINITY };
        let (from, to) = (self.stage_m[next - 1], self.stage_m[next]);
        let part = if from > to { ((from - stage_m) / (from - to)).clamp(0.0, 1.0) } else { 1.0 };
        (self.at_h[next - 1] + part * (self.at_h[next] - self.at_h[next - 1])).max(at_h)
    }

    /// The same water, all of it so much later.
    pub fn moved(&self, by_h: f64) -> FallingWater {
        FallingWater {
            at_h: self.at_h.iter().map(|hour| hour + by_h).collect(),
            seine_h: (self.seine_h.0 + by_h, self.seine_h.1 + by_h),
            dip_from_h: self.dip_from_h + by_h,
            dry_h: self.dry_h + by_h,
            ..self.clone()
        }
    }

    /// The same water held where it stands at an hour for some hours, and everything after as much later. A hold within the seining
    /// level lengthens it.
    pub fn held(&self, at_h: f64, for_h: f64) -> FallingWater {
        let later = |hour: f64| if hour >= at_h { hour + for_h } else { hour };
        let (stage_m, bare) = (self.stage_at(at_h), self.bare_at(at_h));
        let mut held = FallingWater {
            seine_h: (later(self.seine_h.0), later(self.seine_h.1)),
            dip_from_h: later(self.dip_from_h),
            dry_h: later(self.dry_h),
            ..FallingWater::default()
        };
        let before = self.at_h.partition_point(|&at| at < at_h);
        for place in 0..before {
            held.push(self.at_h[place], self.stage_m[place], self.bare[place]);
        }
        held.push(at_h, stage_m, bare);
        for place in before..self.at_h.len() {
            held.push(self.at_h[place] + for_h, self.stage_m[place], self.bare[place]);
        }
        held
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_held_water_stands_still_and_then_falls_as_before() {
        let course = FallingWater::even((7.0, 8.0), 11.0, 12.0, 0.8, 0.3);
        let held = course.held(9.0, 1.5);
        for hour in [7.0, 7.9, 8.5, 9.0] {
            assert!((held.stage_at(hour) - course.stage_at(hour)).abs() < 1e-12, "{hour}");
        }
        for later in [0.0, 0.7, 1.4, 1.5] {
            assert!((held.bare_at(9.0 + later) - course.bare_at(9.0)).abs() < 1e-12);
        }
        assert!((held.stage_at(12.2) - course.stage_at(10.7)).abs() < 1e-12);
        assert_eq!((held.seine_h, held.dip_from_h, held.dry_h), ((7.0, 8.0), 12.5, 13.5));
        assert_eq!(course.held(8.0, 0.5).seine_h, (7.0, 8.5), "a hold at its end lengthens the seining");
    }

    #[test]
    fn water_that_is_shut_stays_where_it_stands() {
        let course = FallingWater::even((7.0, 8.0), 11.0, 12.0, 0.8, 0.3);
        let shut = course.shut_from(9.5);
        // Half way down, by hand.
        assert!((shut.stage_at(9.5) - 0.55).abs() < 1e-9 && (shut.stage_at(9.0) - course.stage_at(9.0)).abs() < 1e-9);
        for later in [9.6, 10.0, 11.0, 30.0] {
            assert!((shut.stage_at(later) - 0.55).abs() < 1e-9, "{later}");
            assert!((shut.bare_at(later) - course.bare_at(9.5)).abs() < 1e-9, "{later}");
        }
    }

    #[test]
    fn a_level_that_is_read_says_how_late_the_water_is() {
        let course = FallingWater::even((7.0, 8.0), 11.0, 12.0, 0.8, 0.3);
        // Half way down is half past nine.
        assert!((course.later_h(10.0, 0.55).expect("passed") - 0.5).abs() < 1e-9);
        assert!((course.later_h(9.0, 0.55).expect("passed") + 0.5).abs() < 1e-9);
        assert_eq!(course.later_h(7.6, 0.79), Some(0.0), "on the plateau no hour is later than another");
        assert!((course.later_h(9.0, 0.8).expect("still at the net's level") - 1.0).abs() < 1e-9);
        assert_eq!(course.later_h(9.0, 1.4), None);
        assert!((course.stands_until(7.2) - 8.03).abs() < 0.01, "{}", course.stands_until(7.2));
        assert!((course.stands_until(9.0) - 9.03).abs() < 0.01 && course.stands_until(12.5).is_infinite());
        let moved = course.moved(0.5);
        assert!((moved.stage_at(10.0) - 0.55).abs() < 1e-9 && moved.seine_h == (7.5, 8.5) && moved.dry_h == 12.5);
    }

    #[test]
    fn the_floor_is_bare_when_it_says() {
        let course = FallingWater::even((7.0, 8.0), 11.0, f64::INFINITY, 0.8, 0.3);
        for share in [0.1, 0.45, 0.8] {
            assert!((course.bare_at(course.bare_by(share)) - share).abs() < 1e-9);
        }
        assert_eq!(course.bare_by(0.99), 11.0, "a share that never comes is asked at the last hour");
    }
}
