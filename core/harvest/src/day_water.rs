//! The water's warmth on the day, by place, hour and member, and what it does to those that should follow it down.
//!
//! Model     warmth as given, the hour's own until the next one begins, the nearest hour's outside. What strands where the floor falls bare is
//!           a share that grows evenly from the mark at which animals follow to the cold mark
//! Units     °C, h of the clock on the day of the catch, shares
//! Range     0 to 40 °C
//! Source    mark of 20 °C: Mississippi State University, harvesting of prawns (page); how much strands is our guess (`season`)
//! Left out  animals that seek the warmer end before the water falls

/// Water by hour, place and member. Places count from the shallow end; a dry one has no water.
#[derive(Debug, Clone, PartialEq)]
pub struct DayWater {
    /// Clock hour at which the first row begins.
    from_h: f64,
    places: usize,
    members: usize,
    /// `[hour][place]`.
    is_wet: Vec<bool>,
    /// `[hour][place][member]`, °C.
    water_c: Vec<f32>,
}

impl DayWater {
    /// A table whose rows are an hour each from `from_h` on: `[hour][place]` whether there is water, and `[hour][place][member]`, °C.
    pub fn new(from_h: f64, members: usize, is_wet: Vec<bool>, water_c: Vec<f32>, places: usize) -> DayWater {
        assert!(places > 0 && members > 0 && !is_wet.is_empty(), "a place, a member and an hour");
        assert!(is_wet.len().is_multiple_of(places) && water_c.len() == is_wet.len() * members, "whole rows");
        let is_number = |at: usize| water_c[at * members..(at + 1) * members].iter().all(|water_c| water_c.is_finite());
        debug_assert!(is_wet.iter().enumerate().all(|(at, &is_wet)| !is_wet || is_number(at)), "wet and no number");
        DayWater { from_h, places, members, is_wet, water_c }
    }

    /// One place of the same warmth all day, for each member, °C.
    pub fn even(water_c: &[f64]) -> DayWater {
        let water_c: Vec<f32> = water_c.iter().map(|&water_c| water_c as f32).collect();
        DayWater::new(0.0, water_c.len(), vec![true], water_c, 1)
    }

    fn row(&self, hour: f64) -> usize {
        let rows = self.is_wet.len() / self.places;
        ((hour - self.from_h).floor().max(0.0) as usize).min(rows - 1)
    }

    fn at(&self, place: usize, member: usize) -> f64 {
        f64::from(self.water_c[place * self.members + member.min(self.members - 1)])
    }

    /// Where the floor falls bare: the shallowest place that has water, of one member, °C. In a pond that is dry all over, what it was before.
    pub fn edge_c(&self, hour: f64, member: usize) -> f64 {
        self.found(hour, |mut places| places.find(|&place| self.is_wet[place]))
            .map_or(0.0, |place| self.at(place, member))
    }

    /// By the drain, where the last water stands, °C. In a pond that is dry all over, what it was before.
    pub fn by_drain_c(&self, hour: f64, member: usize) -> f64 {
        let last = self.found(hour, |places| places.rev().find(|&place| self.is_wet[place]));
        last.map_or(0.0, |place| self.at(place, member))
    }

    /// A place of the hour's row, else of the nearest row before it that has one, else of the first after.
    fn found(&self, hour: f64, of: impl Fn(std::ops::Range<usize>) -> Option<usize>) -> Option<usize> {
        let (row, rows) = (self.row(hour), self.is_wet.len() / self.places);
        let places = |row: usize| row * self.places..(row + 1) * self.places;
        (0..=row).rev().chain(row + 1..rows).find_map(|row| of(places(row)))
    }
}

/// What strands of those that are in the water while the floor falls bare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strands {
    /// Share where animals follow the water.
    pub warm_share: f64,
    /// Share at the cold mark.
    pub cold_share: f64,
    /// Below this warmth they begin to stay behind, °C.
    pub follow_c: f64,
    /// The cold mark, °C.
    pub cold_c: f64,
}

impl Strands {
    /// Share that strands at a warmth; `uneven` is the day's own factor.
    pub fn share(&self, water_c: f64, uneven: f64) -> f64 {
        let below = ((self.follow_c - water_c) / (self.follow_c - self.cold_c).max(0.1)).clamp(0.0, 1.0);
        ((self.warm_share + below * (self.cold_share - self.warm_share)) * uneven).clamp(0.0, 0.9)
    }
}

impl Default for Strands {
    /// With a catch basin: our guess.
    fn default() -> Strands {
        Strands { warm_share: 0.05, cold_share: 0.5, follow_c: 20.0, cold_c: 15.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_that_fell_dry_gives_way_to_the_next_and_a_dry_pond_tells_its_last_water() {
        let is_wet = vec![true, true, false, true, false, false];
        let water_c = vec![18.0, 17.0, 21.0, 20.0, 0.0, 0.0, 22.0, 21.0, 0.0, 0.0, 0.0, 0.0];
        let water = DayWater::new(7.0, 2, is_wet, water_c, 2);
        let of = |hour: f64| (water.edge_c(hour, 0), water.by_drain_c(hour, 1));
        assert_eq!(of(3.0), (18.0, 20.0), "before the first hour it is as in it");
        assert_eq!(of(7.9), (18.0, 20.0));
        assert_eq!(of(8.0), (22.0, 21.0));
        assert_eq!(of(30.0), (22.0, 21.0), "dry: the last it had");
        assert_eq!(DayWater::even(&[19.5, 16.0]).edge_c(12.0, 1), 16.0);
    }

    #[test]
    fn colder_water_leaves_more_behind_up_to_the_cold_mark() {
        let strands = Strands::default();
        assert_eq!((strands.share(25.0, 1.0), strands.share(20.0, 1.0)), (0.05, 0.05));
        assert!((strands.share(17.5, 1.0) - 0.275).abs() < 1e-12);
        assert_eq!((strands.share(15.0, 1.0), strands.share(3.0, 1.0), strands.share(3.0, 4.0)), (0.5, 0.5, 0.9));
    }
}
