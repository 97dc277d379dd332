//! What a policy holds of the hidden values.

use ensemble::DayTable;
use stock::Hidden;

use super::score::LEADS;
use super::year::MorningOf;
use crate::hidden::{Known, animals, wind_factor};

/// What a planner holds of the hidden values, by pond of the farm and member.
pub struct Beliefs {
    /// Values of the animals.
    pub hidden: Vec<Vec<Hidden>>,
    /// Logarithm of the wind factor over the middle one.
    pub wind_log: Vec<Vec<f64>>,
}

impl Beliefs {
    /// The priors.
    pub fn priors(of: &MorningOf) -> Beliefs {
        let members = of.members.len() as u32;
        let seed = of.ask.past.seed;
        let hidden = |p: usize| {
            let pond = &of.stage.ponds[p];
            (0..members).map(|m| animals(seed, m, p, pond.hazard_per_d, &Known::default())).collect()
        };
        let wind = |p: usize| {
            let belief = &of.farm.ponds[p].wind_factor;
            (0..members).map(|m| units::ln(wind_factor(seed, m, p, belief) / belief.median)).collect()
        };
        let ponds = 0..of.farm.ponds.len();
        Beliefs { hidden: ponds.clone().map(hidden).collect(), wind_log: ponds.map(wind).collect() }
    }

    /// The truth of one draw.
    pub fn truth(of: &MorningOf, draw: usize) -> Beliefs {
        let members = of.members.len();
        Beliefs {
            hidden: of.of.hidden.iter().map(|draws| vec![draws[draw]; members]).collect(),
            wind_log: of.of.wind_log.iter().map(|draws| vec![draws[draw]; members]).collect(),
        }
    }

    /// Share alive after cold in ponds left full, at each scored lead.
    pub fn alive(&self, left: &[usize], tables: &[DayTable]) -> Vec<Vec<Vec<f64>>> {
        left.iter()
            .zip(tables)
            .map(|(&p, table)| {
                LEADS
                    .iter()
                    .map(|&lead| {
                        let day = lead.min(table.days() - 1);
                        let share = |m: usize| {
                            let factor = stock::cold::dose_factor(self.hidden[p][m].cold_shift_k);
                            stock::cold::alive_fraction(table.at(day, m).dose_max * factor)
                        };
                        (0..table.members()).map(share).collect()
                    })
                    .collect()
            })
            .collect()
    }
}
