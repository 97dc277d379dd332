//! The form an entry is typed into: made from the kinds and fields of `farm::facts`, usable with wet hands.

use std::collections::BTreeMap;

use farm::facts::{ColdOf, Field, Form, WEIGHT_LISTS, newest_form};
use maud::{Markup, html};
use words::page_harvest as harvest;
use words::page_log as say;
use words::page_odd as odd;
use words::page_sale as sale;

use crate::parts::frame::unkept;
use crate::parts::weighing;
use crate::served::Served;
use crate::who::{self, May};

mod choices;
mod kinds;
mod open;
mod when;

use choices::{chips, chips_under, date, many, mark, money_for, of_market, of_packs, places, worded};
pub use kinds::{KINDS, OF_TANKS, is_work, may_enter, may_mend, moves_the_morning};
use open::{first, is_first};
pub use when::{moment, now, written};

/// What a form holds when it is shown.
#[derive(Debug, Clone, Default)]
pub struct Shown {
    /// Kind of entry.
    pub kind: String,
    /// Mark of the entry to be.
    pub id: String,
    /// When the form was made, ms since 1970.
    pub made_ms: i64,
    /// Fields as typed, with `when` and `unit-...`.
    pub typed: BTreeMap<String, String>,
    /// The entry that is mended.
    pub corrects: Option<String>,
    /// What is wrong, by field.
    pub wrong: Vec<(String, String)>,
    /// Why the record could not keep it.
    pub unkept: Option<String>,
    /// What looks odd, and may be kept all the same.
    pub odd: Vec<String>,
    /// It speaks of a moment that was given, not of now: the phone's clock leaves it alone, and it stands in sight.
    pub is_of_then: bool,
    /// The most that can come back, in units of money, pieces or kg, and how that is said.
    pub most: Option<(String, String)>,
    /// Mark of what was shown to be odd: sent back, it says that a person has seen it.
    pub sure: String,
}

impl Shown {
    /// A field as typed; empty when it is not there.
    pub fn text(&self, name: &str) -> &str {
        self.typed.get(name).map_or("", String::as_str)
    }
    pub(super) fn wrong(&self, name: &str) -> Option<&str> {
        self.wrong.iter().find(|(field, _)| field == name).map(|(_, said)| said.as_str())
    }
    /// The fields of the fact: numbers alone get the unit that stood beside them.
    pub fn fields(&self) -> BTreeMap<String, String> {
        let Some(form) = newest_form(&self.kind) else { return BTreeMap::new() };
        let mut fields = BTreeMap::new();
        for field in form.fields {
            let text = self.text(field.name).trim();
            if text.is_empty() {
                continue;
            }
            let unit = self.text(&format!("unit-{}", field.name)).trim();
            let bare = text
                .bytes()
                .all(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',' | b'-') || byte.is_ascii_whitespace());
            // A unit at the end of a list is that of its bare numbers alone.
            let bare = bare || WEIGHT_LISTS.contains(&field.name);
            let text = if bare && !unit.is_empty() { format!("{text} {unit}") } else { text.to_owned() };
            fields.insert(field.name.to_owned(), text);
        }
        fields
    }
}

/// The phone asks the farm whether it can read an entry, while there is signal: what cannot be read, or cannot well be, goes back to be
/// mended. A basket waits for nobody: the scale asks by itself.
fn is_looked_at(kind: &str) -> bool {
    kind != "basket"
}

/// The form. `to` is where it is posted.
pub fn form(facts: &Served, shown: &Shown, to: &str, live: bool) -> Markup {
    let Some(asked) = newest_form(&shown.kind) else { return html! {} };
    let later = later(asked, shown) || shown.is_of_then;
    let offset_s = facts.farm.place.zone.offset_s(now(facts, shown.made_ms).0);
    html! {
        @if let Some(why) = &shown.unkept { (unkept(why)) }
        @if !shown.wrong.is_empty() {
            div.trouble role="alert" {
                p { (say::LOOK_AGAIN) }
                ul { @for (field, said) in &shown.wrong { li { a href=(format!("#e-{field}")) { (said) } } } }
            }
        }
        @if !shown.odd.is_empty() {
            div.trouble role="alert" {
                p { (odd::LOOK_ODD) }
                ul { @for said in &shown.odd { li { (said) } } }
                @if !shown.sure.is_empty() { p.hint { (odd::SURE_HINT) } }
            }
        }
        form.entry method="post" action=(to) data-entry=(shown.kind) data-form=(asked.version) data-offset=(offset_s)
            data-clock=(if live && !shown.is_of_then { "live" } else { "kept" }) data-corrects=[shown.corrects.as_ref()] data-after=[after(shown)] data-looked-at[is_looked_at(&shown.kind)] data-most=[shown.most.as_ref().map(|(most, _)| most)] {
            input type="hidden" name="id" value=(shown.id);
            input type="hidden" name="kind" value=(shown.kind);
            input type="hidden" name="made_ms" value=(shown.made_ms);
            @if !shown.text("then").is_empty() { input type="hidden" name="then" value=(shown.text("then")); }
            @if !shown.sure.is_empty() { input type="hidden" name="sure" value=(shown.sure); }
            @match shown.kind.as_str() {
                "sample" => (weighing::fields(facts, shown, asked)),
                _ => @for field in first(asked) { (one(facts, shown, field)) },
            }
            @if let Some((_, said)) = &shown.most { p.hint { (said) } p.stopped hidden data-say="back-over" role="alert" { (sale::BACK_OVER) " " (said) } }
            @if asked.fields.iter().any(|field| MONEY_TYPED.contains(&field.name)) { p.stopped hidden data-say="money" role="alert" { (say::MONEY_TYPED) } }
            @if shown.corrects.is_some() {
                label.chip.alone { input type="checkbox" name="struck" value="yes" checked[shown.text("struck") == "yes"]; span { (say::STRIKE) } }
            }
            button.main type="submit" { @if shown.sure.is_empty() { (say::KEEP) } @else { (odd::KEEP_ALL_THE_SAME) } }
            (beside())
            details open[later] {
                summary { (say::MORE) }
                @for field in asked.fields.iter().filter(|field| is_later(asked, field.name)) {
                    (one(facts, shown, field))
                }
                (row(shown, "when", say::WHEN, None, html! {
                    input #e-when type="datetime-local" name="when" value=(shown.text("when"))
                        aria-describedby=[shown.wrong("when").map(|_| "w-when")];
                }))
            }
            p.hint { (odd::reckoned(&shown.kind)) }
        }
    }
}

/// Where to once it is sent: an entry of the sale is looked at there, any other in the log.
fn after(shown: &Shown) -> Option<String> {
    match (shown.kind.as_str(), shown.text("receipt")) {
        ("asked" | "told", _) if who::now().may == May::All => Some("buyers".to_owned()),
        ("sale" | "paid", receipt) if farm::facts::is_id(receipt) => Some(format!("sale/receipt/{receipt}")),
        ("paid", _) if !shown.text("of_order").is_empty() && who::now().may == May::All => Some("buyers".to_owned()),
        ("handed" | "sale" | "paid", _) => Some("sale".to_owned()),
        ("due", _) => Some("due".to_owned()),
        ("loss", _) => Some("losses".to_owned()),
        (kind, _) if farm::facts::MONEY_KINDS.contains(&kind) && who::now().may == May::All => Some("books".to_owned()),
        _ => None,
    }
}

/// Beside the button that keeps: what became of it. The phone's script says it here, where the hand is.
pub fn beside() -> Markup {
    let said = [
        ("kept", say::JUST_KEPT),
        ("sent", say::JUST_SENT),
        ("not-kept", say::NOT_PUT_BY),
        ("nothing", say::NOTHING_TYPED),
    ];
    html! {
        div.beside role="status" {
            @for (key, text) in said { p hidden data-say=(key) { (text) } }
            p hidden data-say="look" { a.mend href="#outbox" { (say::LOOK_BELOW) } }
        }
    }
}

/// Whether something within the further fields must be seen.
fn later(asked: &Form, shown: &Shown) -> bool {
    let inside = |name: &str| !is_first(asked, name) && !weighing::HERE.contains(&name);
    shown.wrong.iter().any(|(field, _)| inside(field))
        || asked
            .fields
            .iter()
            .any(|field| inside(field.name) && field.name != "struck" && !shown.text(field.name).is_empty())
}

/// Whether a field stands among the further ones.
fn is_later(asked: &Form, name: &str) -> bool {
    !is_first(asked, name) && !weighing::HERE.contains(&name) && name != "struck"
}

pub(super) fn row(shown: &Shown, name: &str, label: &str, hint: Option<&str>, control: Markup) -> Markup {
    html! {
        div.field {
            label for=(format!("e-{name}")) { (label) }
            (control)
            @if let Some(hint) = hint { p.hint id=(format!("h-{name}")) { (as_typed(hint)) } }
            @if let Some(said) = shown.wrong(name) { p.wrong id=(format!("w-{name}")) { (said) } }
        }
    }
}

/// A hint, with what is typed letter for letter set apart: it stands between backticks.
fn as_typed(hint: &str) -> Markup {
    html! { @for (at, part) in hint.split('`').enumerate() { @if at % 2 == 1 { code { (part) } } @else { (part) } } }
}

/// Fields answered by yes or no.
const YES_OR_NO: &[&str] = &[
    "by_hand",
    "ice_seen",
    "all_out",
    "none_left",
    "gear_back",
    "served_first",
    "handed_back",
    "drained",
    "sell_again",
    "given_back",
    "frozen",
    "tank_empty",
    "out_empty",
    "empty",
];
/// Fields that take an amount of money: the phone looks at them without signal too.
const MONEY_TYPED: &[&str] = &["cost", "salvage", "gone_for", "meant", "deposit_asked", "paid", "price"];
/// Fields that take words: the phone shows letters, not digits.
const OF_WORDS: &[&str] = &[
    "text",
    "note",
    "feed_kind",
    "predators",
    "counts",
    "papers",
    "name",
    "last_catch",
    "hatchery",
    "promised",
    "how_much",
    "to_whom",
    "thing",
    "paid_on",
    "gone_on",
    "in_month",
    "comes",
    "deposit_by",
    "buyer",
    "contact",
    "size",
    "price",
    "slot",
    "table",
    "lot",
    "tub",
    "out_tub",
    "into_tub",
    "of_lots",
    "kept_at",
    "product",
    "dose",
    "batch",
    "against",
    "advised_by",
    "due_name",
    "office",
    "reported",
    "policy",
];

/// One field with its question.
pub fn one(facts: &Served, shown: &Shown, field: &Field) -> Markup {
    match field.name {
        "pond" => {
            let ponds = facts.farm.ponds.iter().map(|pond| (pond.id.as_str(), pond.name.as_str()));
            let whole = if shown.kind == "counted_out" { say::NO_POND_HERE } else { say::WHOLE_FARM };
            let whole = (!field.needed).then_some(("", whole));
            let legend = if shown.kind == "counted_out" { say::INTO_POND } else { say::field("pond") };
            chips_under(shown, ("pond", legend), ponds.chain(whole).collect(), field.needed)
        }
        "chore" => chips(
            shown,
            "chore",
            farm::Chore::ENTERED.map(|(word, chore)| (word, words::chores::short(chore))).into(),
            field.needed,
        ),
        "end" => chips(shown, "end", ["deep", "middle", "shallow"].map(|word| (word, say::end(word))).into(), false),
        "caught_by" => {
            let ways = ["seine", "cast net", "trap", "hand"];
            chips(shown, "caught_by", ways.map(|word| (word, say::caught_by(word))).into(), false)
        }
        "to" | "out_of" | "into" => chips(shown, field.name, places(field.name), field.needed),
        "place" => {
            chips(shown, "place", ColdOf::ALL.map(|(word, of)| (word, harvest::cold_of(of))).into(), field.needed)
        }
        name if YES_OR_NO.contains(&name) => {
            chips(shown, name, ["yes", "no"].map(|word| (word, say::yes_no(word))).into(), field.needed)
        }
        "sold_as" | "rank" | "answer" | "hauls" | "bears" | "paid_by" | "paid_for" => of_market(shown, field),
        "pack_form" | "due_kind" | "again" | "cause" => of_packs(shown, field),
        "packed" | "use_by" | "caught_on" | "due_on" | "done_on" | "began" | "ended" | "day_from" | "day_until"
        | "day" => date(shown, field),
        "of_order" | "receipt" | "takes_back" | "photo" => mark(shown, field),
        "form_of" => worded(shown, field, &["whole", "tails"]),
        "stranded" | "seen_leaving" => worded(shown, field, &["none", "some", "many"]),
        "over" => worded(shown, field, &["bank", "screens", "both"]),
        "opened" => worded(shown, field, &["opened", "held", "shut"]),
        "screen" => worded(shown, field, &["clear", "blocked", "cleared"]),
        "pump" => worded(shown, field, &["runs", "stopped", "none"]),
        "said" => {
            chips(shown, "said", ["asked", "confirmed", "lost"].map(|word| (word, say::said(word))).into(), false)
        }
        "left" => chips(shown, "left", ["none", "some", "most"].map(|word| (word, say::left(word))).into(), false),
        "tank" => chips(
            shown,
            "tank",
            facts.farm.tanks.iter().map(|tank| (tank.name.as_str(), tank.name.as_str())).collect(),
            true,
        ),
        "grade" => {
            chips(shown, "grade", ["upper", "lower", "ungraded"].map(|word| (word, say::grade(word))).into(), false)
        }
        "to_tank" => {
            let tanks = facts.farm.tanks.iter().map(|tank| (tank.name.as_str(), tank.name.as_str()));
            chips(shown, "to_tank", tanks.chain([("", say::NO_TANK_HERE)]).collect(), false)
        }
        "from_tanks" if facts.farm.tanks.is_empty() => html! {},
        "from_tanks" => many(shown, "from_tanks", facts.farm.tanks.iter().map(|tank| tank.name.as_str())),
        "cost_for" | "account" => money_for(shown, field),
        "paid_or_owed" => {
            let ways = ["paid", "owed", "back"].map(|word| (word, say::paid_or_owed(word)));
            chips(shown, "paid_or_owed", ways.into(), false)
        }
        name => typed(shown, field, say::units(name, facts.manner)),
    }
}

fn typed(shown: &Shown, field: &Field, units: &[(&str, &str)]) -> Markup {
    let name = field.name;
    let words = OF_WORDS.contains(&name);
    let (unit_name, hint) = (format!("unit-{name}"), say::hint(field.input).replace('`', ""));
    let chosen = shown.text(&unit_name);
    let hint = Some(hint).filter(|hint| !hint.is_empty() && units.len() < 2);
    let described = [hint.as_ref().map(|_| format!("h-{name}")), shown.wrong(name).map(|_| format!("w-{name}"))];
    let described = described.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let first = match shown.kind.as_str() {
        "stocked" => name == "stocked",
        "catch" => name == "caught",
        "delivery" => name == "claimed",
        "order" => name == "hatchery",
        "asked" => name == "buyer",
        "pack" => name == "lot",
        "treatment" => name == "product",
        "due" => name == "due_name",
        "loss" => false,
        "counted_out" => false,
        _ => matches!(name, "temperature" | "feed" | "deaths" | "aerator_hours" | "mean_weight"),
    };
    let control = html! {
        span.typed {
            input id=(format!("e-{name}")) type="text" name=(name) value=(shown.text(name)) autocomplete="off"
                inputmode=(if words { "text" } else { "decimal" }) autofocus[first && shown.wrong.is_empty()]
                maxlength="2000" data-money[MONEY_TYPED.contains(&name)] aria-invalid=[shown.wrong(name).map(|_| "true")]
                aria-describedby=[Some(described).filter(|ids| !ids.is_empty())];
            @match units {
                [] => {},
                [(label, unit)] => { span.unit { (label) } input type="hidden" name=(unit_name) value=(unit); }
                several => select name=(unit_name) aria-label=(format!("{}: {}", say::UNIT, say::field(name))) {
                    @for (label, unit) in several { option value=(unit) selected[chosen == *unit] { (label) } }
                }
            }
        }
    };
    let label = if (shown.kind.as_str(), name) == ("counted_out", "dead") { say::DEAD_AT_IT } else { say::field(name) };
    row(shown, name, label, hint.as_deref(), control)
}

/// A form as it is first shown.
pub fn fresh(facts: &Served, kind: &str, pond: &str, id: String, now_ms: i64) -> Shown {
    let (at, _) = now(facts, now_ms);
    let mut typed = BTreeMap::from([("when".to_owned(), written(at, &facts.farm.place.zone))]);
    typed.insert("pond".to_owned(), pond.to_owned());
    typed.insert("end".to_owned(), "deep".to_owned());
    Shown { kind: kind.to_owned(), id, made_ms: now_ms, typed, corrects: None, ..Shown::default() }
}
