//! How deep each member's water is mixed through the coming night, and what an overturn would bring up.

use ensemble::HourTable;
use pond::Stage;

/// A pond's mixing by hour and member, at the drain end.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mixing {
    /// Depth to which the water is mixed, m, by hour from midnight and member.
    mixed_m: Vec<Vec<f64>>,
    /// Depth of the drain end, m.
    depth_m: f64,
    /// Lower edges of slices of the whole pond from the surface down, m, with the water above each, m³.
    above_m_m3: Vec<(f64, f64)>,
}

/// A night that turns a layered water over.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overturn {
    /// Share of futures in which it does.
    pub chance: f64,
    /// Part of the pond's water that lies above the layer in the evening, the mean over those futures.
    pub upper_fraction: f64,
    /// Depth to which the water is warm in the evening in those futures, m.
    pub warm_m: f64,
}

/// Mixed less deep than this part of the drain end's depth, a water lies in layers.
const LAYERED_PART: f64 = 0.85;
/// Mixed deeper than this, it is turned over.
const OVERTURNED_PART: f64 = 0.97;

impl Mixing {
    /// From the members' run and the tables of its first hour.
    pub fn new(hours: &HourTable, stage: &Stage) -> Mixing {
        let members = hours.members();
        let at = |hour: usize| (0..members).map(|member| hours.mixed_m(member, hour)).collect::<Option<Vec<f64>>>();
        let mixed_m = (0..hours.hours()).map_while(at).collect();
        let drain = stage.columns() - 1;
        let mut cells: Vec<(f64, f64)> = Vec::new();
        let mut depth_m = 0.0;
        for column in 0..stage.columns() {
            let mut top_m = 0.0;
            for cell in 0..stage.cells(column) {
                let bottom_m = 2.0 * stage.middle_m(column, cell) - top_m;
                cells.push((bottom_m, stage.volume_m3(column, cell)));
                top_m = bottom_m;
            }
            if column == drain {
                depth_m = top_m;
            }
        }
        cells.sort_by(|a, b| a.0.total_cmp(&b.0));
        let above_m_m3 = cells
            .iter()
            .scan(0.0, |sum, cell| {
                *sum += cell.1;
                Some((cell.0, *sum))
            })
            .collect();
        Mixing { mixed_m, depth_m, above_m_m3 }
    }

    /// Depth of the drain end, m.
    pub fn depth_m(&self) -> f64 {
        self.depth_m
    }

    /// All the water, m³.
    pub fn volume_m3(&self) -> f64 {
        self.above_m_m3.last().map_or(0.0, |last| last.1)
    }

    /// Water above a depth, m³.
    fn above_m3(&self, depth_m: f64) -> f64 {
        let within = self.above_m_m3.partition_point(|slice| slice.0 <= depth_m + 1e-9);
        within.checked_sub(1).map_or(0.0, |last| self.above_m_m3[last].1)
    }

    /// What the night between two hours does; `None` when it turns nothing over, or when those hours were not run.
    pub fn overturn(&self, dusk_hour: usize, dawn_hour: usize) -> Option<Overturn> {
        let (dusk, night) = (self.mixed_m.get(dusk_hour)?, self.mixed_m.get(dusk_hour..=dawn_hour)?);
        let turned = |member: usize| night.iter().any(|hour| hour[member] >= OVERTURNED_PART * self.depth_m);
        let over: Vec<f64> = (0..dusk.len())
            .filter(|&member| dusk[member] < LAYERED_PART * self.depth_m && turned(member))
            .map(|member| dusk[member])
            .collect();
        if over.is_empty() || self.volume_m3() <= 0.0 {
            return None;
        }
        let n = over.len() as f64;
        let upper: f64 = over.iter().map(|&warm_m| self.above_m3(warm_m)).sum();
        Some(Overturn {
            chance: n / dusk.len() as f64,
            upper_fraction: upper / n / self.volume_m3(),
            warm_m: over.iter().sum::<f64>() / n,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mixing(by_hour: &[[f64; 4]]) -> Mixing {
        Mixing {
            mixed_m: by_hour.iter().map(|hour| hour.to_vec()).collect(),
            depth_m: 2.0,
            above_m_m3: vec![(0.5, 400.0), (1.0, 700.0), (1.5, 900.0), (2.0, 1000.0)],
        }
    }

    #[test]
    fn a_night_turns_over_what_lies_in_layers_and_is_mixed_by_dawn() {
        // Turned over; layered to the end; mixed all along; turned over from deeper down.
        let of = mixing(&[[0.5, 0.5, 2.0, 1.0], [1.0, 0.5, 2.0, 1.5], [2.0, 1.0, 2.0, 2.0]]);
        let over = of.overturn(0, 2).expect("two of four");
        assert_eq!((over.chance, over.warm_m), (0.5, 0.75));
        assert!((over.upper_fraction - 0.55).abs() < 1e-12, "{over:?}");
        assert_eq!(of.overturn(0, 1), None, "not yet");
        assert_eq!(of.overturn(0, 3), None, "that hour was not run");
    }
}
