//! "And if": what was typed, what it means, and the farm it makes.

use farm::{Days, Farm, Pays};
use maud::{Markup, html};
use season::answer::Outlook;
use units::Day;
use words::page_plan as say;

use crate::served::Served;

/// What is asked. Empty fields ask nothing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Ask {
    hands: Option<f64>,
    ice_pct: Option<f64>,
    price_pct: Option<f64>,
    risk: Option<f64>,
    lock: Option<(usize, Day)>,
    ban: Option<(usize, Day)>,
}

/// A field that cannot be taken, and what is said beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    field: &'static str,
    said: String,
}

/// Fields that take a number: name, label, least, most.
const NUMBERS: [(&str, &str, f64, f64); 4] = [
    ("hands", say::HANDS, -20.0, 20.0),
    ("ice", say::ICE, 0.0, 500.0),
    ("price", say::PRICE, 1.0, 500.0),
    ("risk", say::RISK, 0.5, 10.0),
];

fn typed<'a>(fields: &'a [(String, String)], name: &str) -> &'a str {
    fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.trim())
}

impl Ask {
    /// Reads the form.
    ///
    /// # Errors
    /// Every field that cannot be taken.
    pub fn read(fields: &[(String, String)], farm: &Farm) -> Result<Ask, Vec<Fault>> {
        let mut faults = Vec::new();
        let mut numbers = [None; 4];
        for ((name, label, least, most), to) in NUMBERS.into_iter().zip(&mut numbers) {
            let text = typed(fields, name);
            if text.is_empty() {
                continue;
            }
            match text.replace(',', ".").parse::<f64>() {
                Ok(value) if (least..=most).contains(&value) => *to = Some(value),
                Ok(value) if value.is_finite() => {
                    faults.push(Fault { field: name, said: say::out_of_range(label, least, most) });
                }
                _ => faults.push(Fault { field: name, said: say::unreadable(label, text) }),
            }
        }
        let mut pair = |pond: &'static str, day: &str, label: &str| {
            let (id, text) = (typed(fields, pond), typed(fields, day));
            let found = farm.ponds.iter().position(|card| card.id == id).zip(Day::parse(text));
            if found.is_none() && !(id.is_empty() && text.is_empty()) {
                faults.push(Fault { field: pond, said: say::half_said(label) });
            }
            found
        };
        let lock = pair("lock", "lock_on", say::LOCK);
        let ban = pair("ban", "ban_on", say::BAN);
        let [hands, ice_pct, price_pct, risk] = numbers;
        if faults.is_empty() { Ok(Ask { hands, ice_pct, price_pct, risk, lock, ban }) } else { Err(faults) }
    }

    /// Nothing is asked.
    pub fn is_empty(&self) -> bool {
        *self == Ask::default()
    }

    /// A name under which its answer is kept.
    pub fn key(&self) -> String {
        format!("{self:?}")
    }

    /// The farm as it would be.
    pub fn on(&self, facts: &Served) -> Served {
        let mut facts = facts.clone();
        let farm = &mut facts.farm;
        if let Some(hands) = self.hands {
            for helpers in &mut farm.crew.helpers {
                *helpers = helpers.saturating_add_signed(hands as i32);
            }
        }
        if let Some(pct) = self.ice_pct {
            farm.cold.ice_daily_kg *= pct / 100.0;
        }
        if let Some(pct) = self.price_pct {
            for row in &mut farm.prices.rows {
                match &mut row.pays {
                    Pays::PerKg(coins) | Pays::Each(coins) => *coins *= pct / 100.0,
                }
            }
        }
        if let Some(weight) = self.risk {
            farm.choices.risk_weight = weight;
        }
        if let Some((pond, day)) = self.lock {
            farm.ponds[pond].locked = Some(day);
        }
        if let Some((pond, day)) = self.ban {
            farm.ponds[pond].forbidden.push(Days { from: day, to: day });
        }
        facts
    }
}

/// The form, with what was typed still in it.
pub fn form(facts: &Served, outlook: &Outlook, fields: &[(String, String)], faults: &[Fault]) -> Markup {
    let ponds: Vec<_> = outlook.ponds.iter().map(|pond| &facts.farm.ponds[pond.index]).collect();
    let last = outlook.ponds.iter().filter_map(|pond| Some(pond.days.last()?.day)).max().unwrap_or(outlook.on);
    let pairs = [("lock", "lock_on", say::LOCK, say::LOCK_ON), ("ban", "ban_on", say::BAN, say::BAN_ON)];
    html! {
        @if !faults.is_empty() {
            div.trouble role="alert" {
                ul { @for fault in faults { li { a href=(format!("#q-{}", fault.field)) { (fault.said) } } } }
            }
        }
        form method="get" action="#what-if" {
            @for ((name, label, _, _), such) in NUMBERS[..3].iter().zip(say::AS) {
                label for=(format!("q-{name}")) {
                    span { (label) ", " (such) }
                    input id=(format!("q-{name}")) name=(name) inputmode="text" autocomplete="off" value=(typed(fields, name))
                        aria-invalid=[faults.iter().any(|fault| fault.field == *name).then_some("true")];
                }
            }
            label for="q-risk" {
                (say::RISK)
                select id="q-risk" name="risk" {
                    option value="" { (say::AS_IT_IS) }
                    @for (value, said) in say::RISKS { option value=(value) selected[typed(fields, "risk") == value] { (said) } }
                }
            }
            @for (pond, day, label, on) in pairs {
                label for=(format!("q-{pond}")) {
                    (label)
                    select id=(format!("q-{pond}")) name=(pond) {
                        option value="" { (say::NONE) }
                        @for card in &ponds { option value=(card.id) selected[typed(fields, pond) == card.id] { (card.name) } }
                    }
                }
                label for=(format!("q-{day}")) {
                    (on)
                    select id=(format!("q-{day}")) name=(day) aria-label=(format!("{label}, {on}")) {
                        option value="" { (say::NO_DAY) }
                        @for n in 0..=(last.0 - outlook.on.0) {
                            @let this = outlook.on.plus(n);
                            option value=(this) selected[typed(fields, day) == this.to_string()] { (say::pick(this)) }
                        }
                    }
                }
            }
            button type="submit" { (say::ASK) }
        }
    }
}

#[cfg(test)]
mod tests;
