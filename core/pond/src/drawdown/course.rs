//! The falling water of one pond against the clock: plain values that anything later in the day can stand on.
//!
//! Model     none of its own: a record of steps and marks, linear between steps
//! Units     hours from the first opening, m above the lowest floor, m³; shares of the ground that is under water when full
//! Range     steps a quarter of an hour apart, closer at marks
//! Source    none
//! Left out  nothing

/// A pond's water from the first opening to the end of what was asked.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Course {
    /// In order of time: every quarter of an hour, and at every mark.
    pub steps: Vec<Step>,
    /// What happens when, in order of time.
    pub marks: Vec<Mark>,
}

/// The pond at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Hours from the first opening.
    pub at_h: f64,
    /// Water surface at the drain above the lowest floor, m.
    pub stage_m: f64,
    /// Share of the ground that has fallen bare, 0 to 1 (of what is under water when full, banks with it).
    pub bare_fraction: f64,
    /// Share of the ground under less than 5 cm of water: a film that follows the air.
    pub film_fraction: f64,
    /// All water, pools with it, m³.
    pub volume_m3: f64,
    /// Of it in pools that are cut off from the drain, m³.
    pub pools_m3: f64,
    /// What leaves, m³/h; negative when the ditch runs into the pond.
    pub discharge_m3_h: f64,
    /// Which of the ways out are open, in the order of the works.
    pub open: Vec<bool>,
}

/// Something that happens at an hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Hours from the first opening.
    pub at_h: f64,
    /// What.
    pub what: What,
}

/// What can happen on the way down. Columns count from the shallow end, ways in the order of the works.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The first way is opened.
    Opened,
    /// The water stands at seining depth, and is held from here on.
    SeiningDepth,
    /// The net is through: the water goes down again.
    HoldEnds,
    /// The water stands at catch depth.
    CatchDepth,
    /// A part of the floor is cut off from the drain by a sill and holds a pool.
    CutOff {
        /// Which.
        column: usize,
    },
    /// A part of the floor lies bare but for a film.
    Dry {
        /// Which.
        column: usize,
    },
    /// Nothing more leaves: the outlet water stands as high as the pond.
    Stalls,
    /// The outlet water stands higher and runs into the pond.
    RunsBackward,
    /// Water leaves again.
    RunsAgain,
    /// A pump draws air.
    LosesPrime {
        /// Which.
        way: usize,
    },
    /// A pump's fuel is burnt.
    FuelOut {
        /// Which.
        way: usize,
    },
}

impl Course {
    /// Hours of the first such mark.
    pub fn hours_of(&self, what: What) -> Option<f64> {
        self.marks.iter().find(|mark| mark.what == what).map(|mark| mark.at_h)
    }

    /// From when to when the water is held at seining depth, hours.
    pub fn held(&self) -> Option<(f64, f64)> {
        Some((self.hours_of(What::SeiningDepth)?, self.hours_of(What::HoldEnds)?))
    }

    /// Hours of the last step.
    pub fn end_hours(&self) -> f64 {
        self.steps.last().map_or(0.0, |step| step.at_h)
    }

    /// Stage at an hour, m.
    pub fn stage_m(&self, hours: f64) -> f64 {
        self.at(hours, |step| step.stage_m)
    }

    /// Share of the ground bare at an hour.
    pub fn bare_fraction(&self, hours: f64) -> f64 {
        self.at(hours, |step| step.bare_fraction)
    }

    /// All water at an hour, m³.
    pub fn volume_m3(&self, hours: f64) -> f64 {
        self.at(hours, |step| step.volume_m3)
    }

    /// What leaves at an hour, m³/h.
    pub fn discharge_m3_h(&self, hours: f64) -> f64 {
        self.at(hours, |step| step.discharge_m3_h)
    }

    /// A figure of the steps at an hour, linear between them, held before the first and after the last.
    pub fn at(&self, hours: f64, of: impl Fn(&Step) -> f64) -> f64 {
        let after = self.steps.partition_point(|step| step.at_h <= hours);
        match (after.checked_sub(1).and_then(|before| self.steps.get(before)), self.steps.get(after)) {
            (Some(before), Some(next)) => {
                let part = (hours - before.at_h) / (next.at_h - before.at_h);
                of(before) + part * (of(next) - of(before))
            }
            (Some(step), None) | (None, Some(step)) => of(step),
            (None, None) => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_between_steps_lie_on_a_line() {
        let step = |at_h: f64, stage_m: f64| Step {
            at_h,
            stage_m,
            bare_fraction: 1.0 - stage_m,
            film_fraction: 0.0,
            volume_m3: 100.0 * stage_m,
            pools_m3: 0.0,
            discharge_m3_h: 50.0,
            open: vec![true],
        };
        let mark = |at_h: f64, what: What| Mark { at_h, what };
        let course = Course {
            steps: vec![step(0.0, 1.0), step(1.0, 0.5), step(3.0, 0.5)],
            marks: vec![mark(0.0, What::Opened), mark(1.0, What::SeiningDepth), mark(3.0, What::HoldEnds)],
        };
        assert_eq!(course.stage_m(0.5), 0.75);
        assert_eq!(course.bare_fraction(-1.0), 0.0, "before the first step its figures hold");
        assert_eq!(course.volume_m3(9.0), 50.0, "and after the last one its own");
        assert_eq!(course.held(), Some((1.0, 3.0)));
        assert_eq!(course.hours_of(What::CatchDepth), None);
    }
}
