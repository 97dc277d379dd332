//! Past autumns lived again, in words and a table.

use season::replay::{Gap, Replay, ReplayScores, Share};
use units::Currency;

use crate::figures::{money, odds};

/// The page.
pub fn page(lived: &Replay, scores: &ReplayScores, currency: Currency) -> String {
    let mut out = String::new();
    let mut line = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    let many = scores.seasons;
    line(format!("{many} seasons lived again, each morning with only what was knowable then."));
    if lived.stopped {
        line("Stopped before the end: these are the seasons that were done.".to_owned());
    }
    line(String::new());
    line(format!(
        "{:<44} {:>10} {:>14}   {}",
        "way of deciding", "a season", "1 in 20 below", "lost a fifth of a pond"
    ));
    for policy in &scores.policies {
        let coins = |amount: f64| money(amount, 5000.0, currency);
        line(format!(
            "{:<44} {:>10} {:>14}   {}",
            name(policy.policy),
            coins(policy.mean),
            coins(policy.p05),
            odds(policy.lost)
        ));
    }
    line(String::new());
    line(format!("Knowing everything is worth {} over the calendar.", percent(&scores.clairvoyant_over_calendar)));
    line(gap("This program's advice", &scores.ours));
    line(gap("Fixed dates chosen anew each morning", &scores.fixed));
    line(format!("The advice is {} of a season's worth ahead of those fixed dates.", percent(&scores.ours_over_fixed)));
    line(format!(
        "Its worst season in twenty brings {:.0} % of what the one who knows everything has in his.",
        100.0 * scores.p05_ratio
    ));
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

fn percent(share: &Share) -> String {
    format!("{:.1} % ({:.1} to {:.1})", 100.0 * share.value, 100.0 * share.low, 100.0 * share.high)
}

fn gap(who: &str, gap: &Gap) -> String {
    let part = |share: &Share| format!("{:.2} ({:.2} to {:.2})", share.value, share.low, share.high);
    format!(
        "{who}: {} of the way from the calendar to who knows the hidden values, {} of the way to who knows everything.",
        part(&gap.to_hidden_known),
        part(&gap.to_clairvoyant)
    )
}
