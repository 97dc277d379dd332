//! The stages of a season, made once and looked up by hour.

use crate::basin::Basin;
use crate::hour::Next;
use crate::level::{Draw, Flows, LevelChange};
use crate::stage::{Conditions, Stage};

/// Stages for a run of hours. A stage is kept as long as it [serves](Stage::serves); members share all of it.
#[derive(Clone, Debug)]
pub struct Schedule {
    stages: Vec<Stage>,
    /// Stage of each hour.
    of_hour: Vec<usize>,
    /// Change at the end of each hour that has one.
    changes: Vec<Option<LevelChange>>,
}

impl Schedule {
    /// From what each hour is given. `flows` are the same in every hour.
    ///
    /// With flows, or where the stage changes, an hour ends with a change of level; in other hours there is none.
    pub fn new(basin: &Basin, hours: &[Conditions], flows: &Flows) -> Schedule {
        let (stages, of_hour) = stages(basin, hours);
        let flowing = *flows != Flows::default();
        // One change serves every hour that stays on a stage with flows, so it is made once for each pair of stages.
        let mut changes = Vec::new();
        for (hour, &own) in of_hour.iter().enumerate() {
            let then = of_hour.get(hour + 1).copied().unwrap_or(own);
            let make = then != own || flowing;
            changes.push(make.then(|| LevelChange::new(basin, &stages[own], &stages[then], flows)));
        }
        Schedule { stages, of_hour, changes }
    }

    /// For a pond that is emptied: in hours with a draw, what the level falls by leaves through the drain. `draws` is as long as `hours`.
    pub fn falling(basin: &Basin, hours: &[Conditions], draws: &[Option<Draw>]) -> Schedule {
        assert!(hours.len() == draws.len(), "a draw or none for each hour");
        let (stages, of_hour) = stages(basin, hours);
        let mut changes = Vec::new();
        for (hour, draw) in draws.iter().enumerate() {
            let own = of_hour[hour];
            let then = of_hour.get(hour + 1).copied().unwrap_or(own);
            let (from, to) = (&stages[own], &stages[then]);
            changes.push(match draw {
                Some(draw) => Some(LevelChange::drawn(basin, from, to, draw)),
                None => (then != own).then(|| LevelChange::new(basin, from, to, &Flows::default())),
            });
        }
        Schedule { stages, of_hour, changes }
    }

    /// How many hours it holds.
    pub fn len(&self) -> usize {
        self.of_hour.len()
    }
    /// Whether it holds none.
    pub fn is_empty(&self) -> bool {
        self.of_hour.is_empty()
    }
    /// Tables of an hour.
    pub fn stage(&self, hour: usize) -> &Stage {
        &self.stages[self.of_hour[hour]]
    }
    /// Tables at the end of an hour: those of the next one.
    pub fn stage_after(&self, hour: usize) -> &Stage {
        &self.stages[self.of_hour[(hour + 1).min(self.of_hour.len() - 1)]]
    }
    /// Change of level at the end of an hour.
    pub fn next(&self, hour: usize) -> Option<Next<'_>> {
        self.changes[hour].as_ref().map(|change| Next { stage: self.stage_after(hour), change })
    }
}

/// Stages of a run of hours, and which serves each hour.
fn stages(basin: &Basin, hours: &[Conditions]) -> (Vec<Stage>, Vec<usize>) {
    let mut stages: Vec<Stage> = Vec::new();
    let mut of_hour = Vec::new();
    for conditions in hours {
        let fresh = stages.last().is_none_or(|last| !last.serves(conditions));
        if fresh {
            stages.push(basin.stage(conditions));
        }
        of_hour.push(stages.len() - 1);
    }
    (stages, of_hour)
}
