//! The day's feed in words.

use season::answer::{FeedToday, FeedWhy};

use crate::figures::{Manner, degrees, mass};

/// How it is reckoned.
pub(crate) const FEED_HOW: &str = "What may be in the pond, times the rate for its mean weight (7 %, 5 % from 15 g, 3 % from 25 g; recalled), times the appetite \
    at this day's warmth. Not more than 40 kg to the hectare (35 lb to the acre) without more air (recalled). None in the day before the water goes \
    down, nor when oxygen at dawn was below 3 mg/L (common practice). What lies on the tray says more.";
/// Where that comes from.
pub(crate) const OF_FEED: &str = "Rates recalled from a low-density scheme (D'Abramo and others 1995), the ceiling from shrimp-pond practice; appetite by our own \
    curve of growth and warmth.";

/// How much today, or why none.
pub fn today(feed: &FeedToday, manner: Manner) -> String {
    let kg = |kg: f64| mass(kg, manner);
    match feed.why {
        FeedWhy::Usual => {
            format!("about {} today ({} to {})", kg(feed.kg.middle), kg(feed.kg.low), kg(feed.kg.high))
        }
        FeedWhy::Ceiling => format!(
            "{} today, the most this pond takes without more air; by their weight it would be {}",
            kg(feed.ceiling_kg),
            kg(feed.kg.middle)
        ),
        FeedWhy::Small => "none: as small as this they live on what grows in the pond".to_owned(),
        FeedWhy::Cold => format!("none: at {} they do not eat", degrees(feed.water_c, manner)),
        FeedWhy::BeforeCatch => "none: the water goes down within a day, and they keep better empty".to_owned(),
        FeedWhy::LowOxygen { mg_l } => {
            format!("none: oxygen at dawn was {mg_l:.1} mg/L; feed again when it is back above 4")
        }
    }
}

#[cfg(test)]
pub(crate) mod tests {
    use season::answer::Band;

    use super::*;

    /// An August day.
    pub(crate) const FED: FeedToday = FeedToday {
        kg: Band { low: 8.0, middle: 10.0, high: 12.0 },
        why: FeedWhy::Usual,
        mass_kg: 330.0,
        rate: 0.03,
        appetite: 1.0,
        water_c: 26.0,
        ceiling_kg: 16.0,
        low_dawn_mg_l: None,
    };

    #[test]
    fn feed_is_told_with_what_speaks_against_it() {
        let said = |why: FeedWhy| today(&FeedToday { why, ..FED }, Manner::UsCustomary);
        assert_eq!(said(FeedWhy::Usual), "about 22 lb today (18 lb to 26 lb)");
        let ceiling = said(FeedWhy::Ceiling);
        assert!(ceiling.starts_with("35 lb today, the most this pond takes without more air"), "{ceiling}");
        assert!(said(FeedWhy::BeforeCatch).starts_with("none: the water goes down within a day"));
        assert!(said(FeedWhy::LowOxygen { mg_l: 2.4 }).starts_with("none: oxygen at dawn was 2.4 mg/L"));
        assert!(said(FeedWhy::Cold).contains("at 79 °F") && said(FeedWhy::Small).starts_with("none"));
    }
}
