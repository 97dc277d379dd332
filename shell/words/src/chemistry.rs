//! Ammonia, pH and nitrite in words.

use season::answer::PondOutlook;
use season::chemistry::{
    AMMONIA_AGE_D, Alarm, ChemistryToday, KILLS_MG_L, LIMIT_MG_L, NITRITE_MG_L, PH_RANGE, Read, Unionized,
};

use crate::figures::{degrees, span};
use crate::page_explain::{Behind, Explained};

/// Row of ammonia and pH.
pub const AMMONIA: &str = "Ammonia, pH";

/// The row; `None` when nothing of it was ever read.
pub fn today(of_day: &ChemistryToday) -> Option<String> {
    if !of_day.is_read() {
        return None;
    }
    let mut said = Vec::new();
    match of_day.ammonia {
        Some(ammonia) => match (ammonia.peak, ammonia.now) {
            (Some(peak), now) => {
                let at_peak = if peak.guessed { "if pH rises as it may" } else { "in the afternoon" };
                let now = now.filter(|now| (now.ph - peak.ph).abs() > 0.05).map(|now| format!("{:.2} now, ", now.mg_l));
                said.push(format!(
                    "un-ionized {}{:.2} mg/L {at_peak}, of {LIMIT_MG_L} borne",
                    now.unwrap_or_default(),
                    peak.mg_l
                ));
            }
            _ => said.push(format!(
                "total {:.1} mg/L; without a pH nobody knows how much of it poisons",
                ammonia.total.value
            )),
        },
        None => said.push("ammonia not read".to_owned()),
    }
    let ph = of_day.afternoon_ph.or(of_day.ph);
    said.extend(ph.map(|read| format!("pH {:.1}", read.value)));
    said.extend(of_day.nitrite.map(|read| format!("nitrite {:.1}", read.value)));
    let oldest = [of_day.ammonia.map(|ammonia| ammonia.total), of_day.ph].into_iter().flatten();
    let age_d = oldest.map(|read| read.age_d).fold(0.0, f64::max);
    if of_day.is_old() {
        said.push(format!("read {} ago: test again", span(24.0 * age_d.floor().max(1.0))));
    } else if of_day.alarm == Alarm::Mind {
        said.push("test again between 3 and 5 this afternoon".to_owned());
    }
    Some(said.join("; "))
}

/// The danger in plain words with what to do; `None` when there is none, or when what was read is too old to say so.
pub fn danger(pond: &PondOutlook) -> Option<String> {
    let of_day = &pond.chemistry;
    if of_day.alarm < Alarm::Act || of_day.is_old() {
        return None;
    }
    let name = &pond.name;
    let peak = of_day.ammonia.and_then(|ammonia| ammonia.peak).filter(|peak| peak.mg_l >= LIMIT_MG_L && !peak.guessed);
    if let Some(peak) = peak {
        let how_bad = match peak.mg_l >= KILLS_MG_L {
            true => format!("{KILLS_MG_L} has killed half in six days"),
            false => format!("{LIMIT_MG_L} should not be passed"),
        };
        return Some(format!(
            "{name}: un-ionized ammonia reaches {:.2} mg/L in the afternoon; {how_bad}. Give no feed today, give it air, let in clean water \
             of like warmth if you can, no lime. Test again this afternoon.",
            peak.mg_l
        ));
    }
    if let Some(ph) =
        [of_day.afternoon_ph, of_day.ph].into_iter().flatten().map(|read| read.value).find(|ph| *ph > PH_RANGE.1)
    {
        return Some(format!(
            "{name}: pH {ph:.1} is above {}. Thin the bloom: let the top foot out and clean water in, and watch the oxygen for three nights. No lime.",
            PH_RANGE.1
        ));
    }
    if let Some(read) = of_day.ph.filter(|read| read.value < PH_RANGE.0) {
        return Some(format!(
            "{name}: pH {:.1} is below {}. Test the alkalinity; farm limestone raises it slowly and does no harm, burnt or slaked lime kills.",
            read.value, PH_RANGE.0
        ));
    }
    let nitrite = of_day.nitrite.filter(|read| read.value >= NITRITE_MG_L)?;
    Some(format!(
        "{name}: nitrite {:.1} mg/L; from {NITRITE_MG_L:.0} on something should be done. Feed less and let in clean water; salt guards fish, for prawns less is known.",
        nitrite.value
    ))
}

/// How it is reckoned.
const HOW: &str = "The part of the last total ammonia that is un-ionized, by pH and warmth: once at the last pH, once at the afternoon's. Where no afternoon of the last three days was read, pH is taken \
    1.0 higher than in the morning and the water 4 °F (2 °C) warmer: a guess that asks for a reading and raises no alarm.";
/// Where that comes from.
const METHOD: &str = "Emerson and others (1975). 0.1 mg/L, 0.26 that killed half in six days (in one trial, at pH 6.8), and pH 6.5 to 9.5: extension text on prawn ponds (Mississippi State University); nitrite from memory.";

impl Behind<'_> {
    /// Ammonia, pH and nitrite.
    pub fn chemistry(&self, pond: &PondOutlook) -> Explained {
        let of_day = &pond.chemistry;
        let read = |read: Read, unit: &str| format!("{:.1}{unit}, {}", read.value, self.moment(read.at));
        let mut from = Vec::new();
        from.extend(of_day.ammonia.map(|ammonia| ("total ammonia", read(ammonia.total, " mg/L"))));
        from.extend(of_day.ph.map(|ph| ("pH", read(ph, ""))));
        from.extend(of_day.afternoon_ph.map(|ph| ("pH of an afternoon", read(ph, ""))));
        let warm = |part: Unionized| degrees(part.temp_c, self.manner);
        from.extend(of_day.ammonia.and_then(|ammonia| ammonia.peak).map(|peak| ("water then", warm(peak))));
        from.extend(of_day.nitrite.map(|nitrite| ("nitrite", read(nitrite, " mg/L"))));
        Explained {
            how: HOW.to_owned(),
            from,
            method: METHOD,
            off: format!(
                "Not measured here: kits are good to a fifth at best, and a pH 0.3 off doubles the answer. Ammonia counts for {AMMONIA_AGE_D:.0} days."
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use season::chemistry::AmmoniaToday;
    use units::Instant;

    use super::*;

    const fn read(value: f64, age_d: f64) -> Read {
        Read { value, at: Instant(0), age_d }
    }

    fn ammonia(mg_l: f64, guessed: bool, age_d: f64, alarm: Alarm) -> ChemistryToday {
        let part = |ph: f64, mg_l: f64, guessed: bool| Some(Unionized { mg_l, ph, temp_c: 28.0, guessed });
        let of = AmmoniaToday { total: read(0.8, age_d), now: part(7.8, 0.03, false), peak: part(9.0, mg_l, guessed) };
        ChemistryToday { ammonia: Some(of), ph: Some(read(7.8, 0.1)), alarm, ..ChemistryToday::default() }
    }

    fn pond(chemistry: ChemistryToday) -> PondOutlook {
        PondOutlook { chemistry, ..crate::morning::tests::pond("Heron", 1.0, 1.0, 1.0) }
    }

    #[test]
    fn the_row_says_now_and_the_afternoon_and_its_age() {
        assert_eq!(today(&ChemistryToday::default()), None);
        let fresh = today(&ammonia(0.07, true, 1.0, Alarm::Mind)).expect("read");
        assert_eq!(
            fresh,
            "un-ionized 0.03 now, 0.07 mg/L if pH rises as it may, of 0.1 borne; pH 7.8; test again between 3 and 5 this afternoon"
        );
        assert!(today(&ammonia(0.07, false, 9.2, Alarm::Mind)).expect("read").ends_with("read 9 days ago: test again"));
    }

    #[test]
    fn danger_is_said_with_what_to_do_and_only_from_fresh_readings() {
        let said = |of_day: ChemistryToday| danger(&pond(of_day));
        let act = said(ammonia(0.15, false, 1.0, Alarm::Act)).expect("danger");
        assert!(act.starts_with(
            "Heron: un-ionized ammonia reaches 0.15 mg/L in the afternoon; 0.1 should not be passed. Give no feed"
        ));
        assert!(
            said(ammonia(0.4, false, 1.0, Alarm::Kills)).expect("danger").contains("0.26 has killed half in six days")
        );
        assert_eq!(said(ammonia(0.4, true, 1.0, Alarm::Mind)), None);
        assert_eq!(said(ammonia(0.4, false, 9.0, Alarm::Kills)), None);
        let ph =
            |value: f64| ChemistryToday { ph: Some(read(value, 0.1)), alarm: Alarm::Act, ..ChemistryToday::default() };
        assert!(
            said(ph(9.8)).expect("danger").contains("Thin the bloom")
                && said(ph(6.1)).expect("danger").contains("burnt or slaked lime kills")
        );
        let nitrite = ChemistryToday { nitrite: Some(read(1.4, 0.2)), alarm: Alarm::Act, ..ChemistryToday::default() };
        assert!(said(nitrite).expect("danger").starts_with("Heron: nitrite 1.4 mg/L"));
    }
}
