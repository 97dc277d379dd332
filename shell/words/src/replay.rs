//! Past autumns lived again, in words and a table.

use season::replay::{Gap, Replay, ReplayScores, Share};
use units::Currency;

use crate::figures::money;

/// Fewer seasons than this have no worst in twenty, and no share worth stating.
const FEW: usize = 20;

/// The page.
pub fn page(lived: &Replay, scores: &ReplayScores, currency: Currency) -> String {
    let mut out = String::new();
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    let many = scores.seasons;
    let seasons = if many == 1 { "One season".to_owned() } else { format!("{many} seasons") };
    line(format!("{seasons} lived again, each morning with only what was knowable then."));
    if lived.stopped {
        line("Stopped before the end: these are the seasons that were done.".to_owned());
    }
    line(String::new());
    let worst = if many < FEW { "the worst" } else { "1 in 20 below" };
    line(format!("{:<44} {:>10} {worst:>14}   {}", "way of deciding", "a season", "lost a fifth of a pond"));
    for policy in &scores.policies {
        let coins = |amount: f64| money(amount, 5000.0, currency);
        line(format!(
            "{:<44} {:>10} {:>14}   {}",
            name(policy.policy),
            coins(policy.mean),
            coins(policy.p05),
            lost(policy.lost, many)
        ));
    }
    line(String::new());
    gains(lived, scores).into_iter().for_each(&mut line);
    line(String::new());
    line("Chances told that a pond left full will have lost a fifth, and how often it did:".to_owned());
    line(format!("{:>10} {:>12} {:>10} {:>10} {:>10}", "days ahead", "told up to", "told", "happened", "count"));
    for row in &lived.calibration {
        line(format!(
            "{:>10} {:>10.0} % {:>8.1} % {:>8.1} % {:>10}",
            row.lead,
            100.0 * row.up_to,
            100.0 * row.told,
            100.0 * row.happened,
            row.count
        ));
    }
    if !lived.years_left_out.is_empty() {
        let years: Vec<String> = lived.years_left_out.iter().map(ToString::to_string).collect();
        line(String::new());
        line(format!("Left out for missing days: {}.", years.join(", ")));
    }
    out
}

/// Seasons in which a pond lost a fifth, counted.
fn lost(share: f64, of: usize) -> String {
    match (share * of as f64).round() as usize {
        0 => format!("none of {of}"),
        some if of < FEW => format!("{some} of {of}"),
        some => format!("{some} of {of} ({:.1} %)", 100.0 * share),
    }
}

/// What each way of deciding gained.
fn gains(lived: &Replay, scores: &ReplayScores) -> Vec<String> {
    let first = lived.seasons.first().map(|season| season.year);
    // An interval comes from drawing years anew: one year has none.
    let has_interval = lived.seasons.iter().any(|season| Some(season.year) != first);
    let worst = match scores.seasons {
        1 => "In that season it brings",
        few if few < FEW => "Its worst season brings",
        _ => "Its worst season in twenty brings",
    };
    vec![
        format!(
            "Knowing everything is worth {} over the calendar.",
            percent(&scores.clairvoyant_over_calendar, has_interval)
        ),
        gap("This program's advice", &scores.ours, has_interval),
        gap("Fixed dates chosen anew each morning", &scores.fixed, has_interval),
        ahead(&scores.ours_over_fixed, has_interval),
        format!("{worst} {:.0} % of what the one who knows everything has in his.", 100.0 * scores.p05_ratio),
    ]
}

/// When no season could be lived.
pub fn nothing(lived: &Replay) -> String {
    if lived.stopped {
        return "Stopped before the first season was done.".to_owned();
    }
    "No season could be lived again: a year needs whole days from stocking to the season's end, and twenty whole years before it."
        .to_owned()
}

fn name(key: &str) -> &'static str {
    match key {
        "calendar" => "the best calendar of earlier years",
        "fixed_each_morning" => "fixed dates, chosen anew each morning",
        "clairvoyant" => "knows all the weather and all that is hidden",
        "hidden_known" => "knows what is hidden, not the weather",
        _ => "this program's advice",
    }
}

fn percent(share: &Share, has_interval: bool) -> String {
    let value = format!("{:.1} %", 100.0 * share.value);
    if has_interval { format!("{value} ({:.1} to {:.1})", 100.0 * share.low, 100.0 * share.high) } else { value }
}

fn ahead(share: &Share, has_interval: bool) -> String {
    let side = |value: f64| format!("{:.1} % {}", 100.0 * value.abs(), if value < 0.0 { "behind" } else { "ahead" });
    let interval = match has_interval {
        true => format!(" ({} to {})", side(share.low), side(share.high)),
        false => String::new(),
    };
    let chance = match has_interval && share.low <= 0.0 && 0.0 <= share.high {
        true => " That is no more than chance may bring.",
        false => "",
    };
    let of = if share.value < 0.0 { "" } else { "of " };
    format!("Of a season's worth the advice is {} {of}fixed dates chosen anew{interval}.{chance}", side(share.value))
}

fn gap(who: &str, gap: &Gap, has_interval: bool) -> String {
    let part = |share: &Share| match share {
        share if !share.value.is_finite() => "no part".to_owned(),
        share if has_interval => format!("{:.2} ({:.2} to {:.2})", share.value, share.low, share.high),
        share => format!("{:.2}", share.value),
    };
    format!(
        "{who}: {} of the way from the calendar to who knows the hidden values, {} of the way to who knows everything.",
        part(&gap.to_hidden_known),
        part(&gap.to_clairvoyant)
    )
}

#[cfg(test)]
mod tests {
    use season::replay::{Season, scores};

    use super::*;

    fn of(seasons: usize, ours: f64) -> String {
        let season = |n: usize| Season {
            year: 1950 + n as i16,
            draw: 0,
            worth: [3e6, 3.2e6, 3.6e6, 3.4e6, ours],
            lost: [n.is_multiple_of(10), false, false, false, false],
            catch_days: Vec::new(),
            believed: 0.0,
        };
        let seasons = (0..seasons).map(season).collect();
        let lived = Replay { seasons, calibration: Vec::new(), years_left_out: Vec::new(), stopped: false };
        page(&lived, &scores(&lived, 1).expect("seasons"), Currency::parse("USD").expect("a code"))
    }

    #[test]
    fn one_season_tells_no_odds_and_no_interval() {
        let told = of(1, 3.3e6);
        assert!(told.starts_with("One season lived again") && !told.contains("(20.0 to 20.0)"), "{told}");
        assert!(told.contains("the worst") && !told.contains("twenty") && !told.contains("1 in 200"), "{told}");
        assert!(told.contains("none of 1") && told.contains("1 of 1\n"), "{told}");
    }

    #[test]
    fn many_seasons_are_counted_and_their_intervals_told() {
        let told = of(40, 3.1e6);
        assert!(told.contains("4 of 40 (10.0 %)") && told.contains("none of 40"), "{told}");
        assert!(told.contains("1 in 20 below") && told.contains("20.0 % (20.0 to 20.0) over the calendar"), "{told}");
        assert!(told.contains("is 3.3 % behind fixed dates chosen anew (3.3 % behind to 3.3 % behind)"), "{told}");
    }
}
