//! What a member's own forecaster says on each later morning.
//!
//! It goes on from what today's forecast says: information Y = (1 + u) f of today is a fact, the same for every member; each
//! later morning adds u' - u units drawn about the member's own truth. So the mean of tomorrow's forecasts is today's.

use units::Day;

use super::draw::Table;
use crate::climate::LowHigh;
use crate::forecast::News;

impl Table {
    /// Adds the forecasts of every morning after today for a member with these standard anomalies.
    pub(super) fn later(&self, today: Day, news: &News, standard: &[LowHigh], out: &mut Vec<[f32; 2]>) {
        let n_leads = self.skill.n_leads();
        let mut information = self.information.clone();
        let mut gathered: Vec<LowHigh> =
            self.said.iter().zip(&information).map(|(said, u)| said.times(1.0 + u)).collect();
        for morning in 1..self.n_mornings {
            for lead in 0..n_leads {
                let day = morning + lead;
                let fresh = (self.skill.information(lead) - information[day]).max(0.0);
                let slope = standard[day + 1].minus(standard[day - 1]).times(0.5);
                let noise = self.split.noise(news.word(today.plus(morning as i32), lead), fresh).on(slope);
                gathered[day] = gathered[day].plus(standard[day].times(fresh)).plus(noise);
                information[day] += fresh;
                let said = gathered[day].times(1.0 / (1.0 + information[day]));
                let value = self.mean_c[day].plus(said.with(self.sd_c[day], |z, sd| z * sd));
                out.push([value.low as f32, value.high as f32]);
            }
        }
    }
}
