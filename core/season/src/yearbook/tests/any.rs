//! Any season of entries, typed through the real forms, with mendings, strikes, forks and money given back: the books always balance.

use std::collections::BTreeMap;

use farm::facts::{Fact, Happened, newest_form};
use proptest::prelude::*;

use super::*;

/// One entry to be: its kind, day of the year, pond, what it corrects, and numbers to choose words and amounts by.
type Drawn = (usize, i32, usize, Option<prop::sample::Index>, (u32, u32, u8));

const KINDS: [&str; 7] = ["cost", "gear_bought", "budget", "order", "sale", "paid", "basket"];

/// Fields as a person would type them.
fn typed(kind: &str, pond: Option<&str>, earlier: &[String], (a, b, way): (u32, u32, u8)) -> BTreeMap<String, String> {
    let money = |coins: u32| format!("{}.{:02}", coins / 100, coins % 100);
    let words = farm::facts::MONEY_COSTS;
    let date = |days: u32| day("2010-01-01").plus(days as i32 % 700).to_string();
    let mut fields: Vec<(&str, String)> = match kind {
        "cost" => vec![
            ("cost_for", words[a as usize % words.len()].to_owned()),
            ("cost", money(b)),
            ("paid_or_owed", ["paid", "owed", "back"][way as usize % 3].to_owned()),
        ],
        "gear_bought" => vec![
            ("thing", "pump".to_owned()),
            ("cost", money(a.max(b))),
            ("salvage", money(a.min(b))),
            ("life", format!("{}", 1 + way % 20)),
            ("tied_up", format!("{} %", way % 12)),
        ],
        "budget" => vec![("account", "sales".to_owned()), ("meant", money(b)), ("in_month", date(a))],
        "order" => vec![
            ("hatchery", "h".to_owned()),
            ("ordered", format!("{}", 1000 + a % 90_000)),
            ("per_1000", money(b % 9000)),
            ("deposit", money(b % 40_000)),
            ("comes", date(a)),
            ("said", ["asked", "confirmed", "lost"][way as usize % 3].to_owned()),
        ],
        "sale" => vec![
            ("table", "Gate".to_owned()),
            ("sold_as", ["live", "whole", "tails"][way as usize % 3].to_owned()),
            ("amount", format!("{} lb", f64::from(a % 4000) / 10.0)),
            ("price", format!("${}/lb", money(b % 3000))),
            ("lot", ["WILLOW-1", "HERON-2", "X-3"][a as usize % 3].to_owned()),
        ],
        "paid" => vec![
            ("paid", money(b)),
            ("paid_by", "cash".to_owned()),
            ("paid_for", ["sale", "deposit"][way as usize % 2].to_owned()),
            ("given_back", ["no", "no", "yes"][a as usize % 3].to_owned()),
        ],
        _ => vec![("weight", format!("{} lb", a % 40)), ("to", ["own", "chill"][way as usize % 2].to_owned())],
    };
    // Some costs are paid later, some things are gone again, some lines are taken back, some money is of an earlier line.
    match (kind, way % 5, earlier.last()) {
        ("cost", 0, _) => fields.push(("paid_on", date(a))),
        ("gear_bought", 0, _) => fields.extend([("gone_on", date(b)), ("gone_for", money(a / 3))]),
        ("sale", 0, Some(line)) => fields.push(("takes_back", line.clone())),
        ("paid", 0 | 1, Some(line)) => fields.push(("receipt", line.clone())),
        _ => {}
    }
    let takes_pond = newest_form(kind).is_some_and(|form| form.fields.iter().any(|field| field.name == "pond"));
    if let Some(pond) = pond.filter(|_| takes_pond) {
        fields.push(("pond", pond.to_owned()));
    }
    fields.into_iter().map(|(name, text)| (name.to_owned(), text)).collect()
}

fn kept(drawn: &[Drawn], zone: &units::Zone) -> Vec<Kept> {
    let ponds = [Some("willow"), Some("quarry"), Some("lower"), Some("heron"), None];
    let mut facts: Vec<Fact> = Vec::new();
    for (number, (kind, days, pond, corrects, (a, b, way))) in drawn.iter().enumerate() {
        let kind = KINDS[kind % KINDS.len()];
        let pond = ponds[pond % ponds.len()].or(Some("heron").filter(|_| kind == "basket"));
        let earlier: Vec<String> =
            facts.iter().filter(|fact| fact.kind == "sale").map(|fact| fact.id.clone()).collect();
        let same: Vec<String> = facts.iter().filter(|fact| fact.kind == kind).map(|fact| fact.id.clone()).collect();
        let corrects = corrects.as_ref().filter(|_| !same.is_empty()).map(|at| at.get(&same).clone());
        let at = zone.instant(day("2010-01-01").plus(*days), 12 * 3600);
        let mut fact = Fact {
            id: format!("{:032x}", number + 1),
            farm: "hazel-bend".to_owned(),
            device: "phone".to_owned(),
            person: "ann".to_owned(),
            kind: kind.to_owned(),
            form: newest_form(kind).expect("a form").version,
            happened: Happened { at, offset_s: 0 },
            typed_ms: number as i64,
            typed: if corrects.is_some() && way % 4 == 0 {
                BTreeMap::from([("struck".to_owned(), "yes".to_owned())])
            } else {
                typed(kind, pond, &earlier, (*a, *b, *way))
            },
            corrects,
            values: BTreeMap::new(),
        };
        let read = fact.read();
        assert!(read.slips.is_empty(), "{kind} {:?}: {:?}", fact.typed, read.slips);
        facts.push(fact);
    }
    let kept = |(at, fact): (usize, Fact)| Kept { seq: at as i64 + 1, received_ms: 0, clock_off_ms: 0, fact };
    facts.into_iter().enumerate().map(kept).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]
    #[test]
    fn whatever_is_entered_the_books_balance_and_no_coin_is_lost(
        drawn in prop::collection::vec(
            (0_usize..7, 0_i32..650, 0_usize..5, prop::option::weighted(0.25, any::<prop::sample::Index>()), (0_u32..2_000_000, 0_u32..2_000_000, any::<u8>())), 0..60),
        by in 0_usize..4,
    ) {
        let farm = read_farm(FARM).expect("the sample is right");
        let facts = kept(&drawn, &farm.place.zone);
        let lots = lots(&[FileSaid { seq: 0, farm: &farm }], &[], &farm.place.zone);
        let share_by = ShareBy::ALL[by].1;
        let ask = YearAsk { farm: &farm, facts: &facts, lots: &lots, today: day("2011-09-28"), of: day("2010-07-01"), share_by };
        for of in [day("2010-07-01"), day("2011-07-01")] {
            let book = yearbook(&YearAsk { of, ..ask }).expect("within any sum of money");
            for posted in &book.posted {
                prop_assert_eq!(posted.entry.lines().iter().map(|line| line.money.coins).sum::<i64>(), 0);
            }
            prop_assert_eq!(book.holds.values().map(|money| money.coins).sum::<i64>(), 0);
            let made = &book.made;
            for account in Account::ALL {
                let of = |all: &[Made]| all.iter().map(|pond| pond.of(account).coins).sum::<i64>();
                prop_assert_eq!(of(&made.ponds), made.whole.of(account).coins, "{:?}", account);
                prop_assert_eq!(of(&made.own) + made.common.of(account).coins, made.whole.of(account).coins);
            }
            let net: i64 = made.ponds.iter().map(|pond| pond.net().coins).sum();
            prop_assert_eq!(net, made.whole.net().coins);
            // Every coin that buyers owe or paid ahead is a line sold less money that came.
            let sales = sales_of(&ask);
            let until = |at| farm.place.zone.day_and_second(at).0 <= book.year.1.min(ask.today);
            let sold: i64 = sales.sold.iter().filter(|line| until(line.entered.at)).map(|line| line.money.coins).sum();
            let paid: i64 = sales.paid.iter().filter(|paid| until(paid.entered.at)).map(|paid| paid.money.coins).sum();
            let owed = book.holds[&Account::Owed].coins + book.holds[&Account::Deposits].coins;
            prop_assert_eq!(owed, sold - paid);
        }
    }
}
