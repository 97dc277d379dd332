//! What the grower remembers of other years, and the figures it sets.

use crate::clerk::{Clerk, Desk};
use crate::farm::{Choices, Told};
use crate::means::Crew;
use crate::pond_card::PondCard;
use crate::reasons::Wrong;

/// What was read under `[told]`.
pub(super) struct Remembered {
    kg: Option<f64>,
    hands: u32,
    hours: Option<f64>,
    coldest_c: Option<f64>,
    of_water: bool,
    died: Option<usize>,
}

pub(super) fn told(clerk: &mut Clerk, top: &Desk<'_>) -> Remembered {
    let desk = clerk.section(top, "told");
    let remembered = Remembered {
        kg: clerk.quantity(&desk, "pounds"),
        hands: clerk.whole(&desk, "hands"),
        hours: clerk.quantity(&desk, "hours"),
        coldest_c: clerk.quantity(&desk, "coldest"),
        of_water: clerk.word(&desk, "coldest_of") == Some(0),
        died: clerk.word(&desk, "died"),
    };
    if remembered.hands == 0 && desk.has("hands") && !clerk.reasons.iter().any(|reason| reason.key == "told.hands") {
        clerk.refuse(&desk, "hands", Wrong::NoHands);
    }
    clerk.no_other_keys(&desk);
    remembered
}

impl Remembered {
    /// Sets the figures that were left out and that memory can set; says which.
    pub fn lean(
        self,
        clerk: &mut Clerk,
        top: &Desk<'_>,
        ponds: &[PondCard],
        crew: &mut Crew,
        choices: &mut Choices,
    ) -> Vec<Told> {
        let mut told: Vec<Told> = ponds
            .iter()
            .filter_map(|pond| {
                let hours = pond.emptying.told_h?;
                Some(Told { key: "pond.empties_in", of: Some(pond.name.clone()), value: Some(hours) })
            })
            .collect();
        let rate = self
            .kg
            .filter(|_| self.hands > 0)
            .map(|kg| kg / (f64::from(self.hands) * self.hours.unwrap_or(crew.hours_per_day)));
        if let Some(rate) = rate.filter(|_| clerk.take_back("crew.per_hand_hour")) {
            let desk = clerk.section(top, "told");
            // The same bounds as for a rate that is written.
            match clerk.within_table("crew.per_hand_hour", rate) {
                Ok(()) => {
                    crew.kg_per_hand_h = rate;
                    told.push(Told { key: "crew.per_hand_hour", of: None, value: Some(rate) });
                }
                Err(what) => clerk.refuse(&desk, "pounds", what),
            }
        }
        // Only toward caution: water in which some died raises the mark, cold water in which none did never lowers it.
        if let Some(coldest_c) = self.coldest_c {
            let some_died = self.died.is_some_and(|died| died > 0);
            let raises = self.of_water && some_died && coldest_c > choices.cold_mark_c;
            if raises && clerk.take_back("choices.cold_mark") {
                choices.cold_mark_c = coldest_c;
                told.push(Told { key: "choices.cold_mark", of: None, value: Some(coldest_c) });
            } else {
                told.push(Told { key: "told.coldest", of: None, value: None });
            }
        }
        told
    }
}
