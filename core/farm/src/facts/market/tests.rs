use std::collections::BTreeMap;

use proptest::prelude::*;
use units::{Currency, Instant, Money};

use super::*;
use crate::facts::{Basket, DayRecord, Fact, Happened, Kept, Moved, Place, Written};

const NOON: i64 = 1_600_000_000;

fn dollars() -> Currency {
    Currency::parse("USD").expect("a currency")
}

fn kept(seq: i64, kind: &str, id: &str, corrects: Option<&str>, typed: &str) -> Kept {
    let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
    let mut fact = Fact {
        id: id.to_owned(),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at: Instant(NOON + 60 * seq), offset_s: 0 },
        typed_ms: 1000 * (NOON + 60 * seq),
        corrects: corrects.map(str::to_owned),
        typed: pairs.map(|(key, text)| (key.to_owned(), text.to_owned())).collect(),
        values: BTreeMap::new(),
    };
    fact.read();
    Kept { seq, received_ms: 0, clock_off_ms: 0, fact }
}

fn of(entries: &[(&str, &str, &str)]) -> Market {
    let facts: Vec<Kept> = entries
        .iter()
        .enumerate()
        .map(|(at, (kind, id, typed))| {
            let (id, corrects) = id.split_once('<').map_or((*id, None), |(id, of)| (id, Some(of)));
            kept(at as i64, kind, id, corrects, typed)
        })
        .collect();
    market(&facts, &dollars())
}

fn written(at: i64) -> Written {
    let (id, head, person) = (String::new(), String::new(), String::new());
    Written { id, head, at: Instant(NOON + at), typed_ms: 0, person, pond: None, tub: None }
}

fn day(baskets: &[(f64, Place)], moves: &[(Place, Place, f64, bool)]) -> DayRecord {
    let basket =
        |&(net_kg, to): &(f64, Place)| Basket { written: written(-3600), net_kg, to, count: None, by_hand: false };
    let moved = |&(from, to, weight_kg, is_tails): &(Place, Place, f64, bool)| Moved {
        written: written(-1800),
        from,
        to,
        weight_kg,
        is_tails,
        out_tub: None,
        out_empty: false,
        into_tub: None,
    };
    DayRecord {
        baskets: baskets.iter().map(basket).collect(),
        moved: moves.iter().map(moved).collect(),
        ..DayRecord::default()
    }
}

fn plenty() -> Supply {
    supply(&[day(&[(1000.0, Place::Chill), (1000.0, Place::Live)], &[])], &[])
}

#[test]
fn a_table_sells_from_what_it_was_handed_and_no_line_is_lost_when_it_sold_more() {
    let market = of(&[
        ("handed", "h", "table=Gate;sold_as=whole;amount=10 kg;price=$26/kg"),
        ("sale", "a", "table=Gate;receipt=r;sold_as=whole;amount=6.2 kg;tare=0.2 kg;price=$26/kg"),
        ("sale", "b", "table=Gate;receipt=r;sold_as=whole;amount=3 kg;price=$26/kg"),
        ("handed", "i", "table=Gate;sold_as=whole;amount=0.5 kg;handed_back=yes"),
    ]);
    let stands = market.stands();
    assert_eq!(stands.len(), 1);
    assert!((stands[0].left() - 0.5).abs() < 1e-9, "{stands:?}");
    assert_eq!(market.clashes(&plenty()), []);
    let over = of(&[
        ("handed", "h", "table=Gate;sold_as=whole;amount=5 kg"),
        ("sale", "a", "table=Gate;sold_as=whole;amount=3 kg;price=$26/kg"),
        ("sale", "b", "table=Gate;sold_as=whole;amount=3 kg;price=$26/kg"),
        ("sale", "c", "table=Shed;sold_as=tails;amount=1 kg;price=$40/kg"),
    ]);
    assert_eq!(over.sold.len(), 3);
    let clashes = over.clashes(&Supply { tails_kg: 1.0, ..plenty() });
    let whole = Good { sold_as: SoldAs::Whole, size: String::new() };
    let tails = Good { sold_as: SoldAs::Tails, size: String::new() };
    let table = |name: &str, good, over, alike: &[&str]| Clash::TableOver {
        table: name.to_owned(),
        good,
        over,
        alike: alike.iter().map(|id| (*id).to_owned()).collect(),
    };
    // The second line of three kilograms came a minute after the first: it may have been typed twice.
    assert_eq!(clashes, [table("Gate", whole, 1.0, &["b"]), table("Shed", tails, 1.0, &[])]);
}

#[test]
fn nothing_is_sold_that_the_balance_cannot_supply_nor_before_the_harvest() {
    let harvest = [day(
        &[(60.0, Place::Chill), (20.0, Place::Live)],
        &[
            (Place::Chill, Place::Table, 40.0, false),
            (Place::Table, Place::Store, 18.8, true),
            (Place::Table, Place::Waste, 21.0, false),
            (Place::Live, Place::Sold, 15.0, false),
            (Place::Chill, Place::Sold, 10.0, false),
        ],
    )];
    let known = supply(&harvest, &[]);
    assert!((known.live_kg - 20.0).abs() < 1e-9, "{known:?}");
    assert!((known.whole_kg - 20.0).abs() < 1e-9 && (known.tails_kg - 18.8).abs() < 1e-9, "{known:?}");
    let market = of(&[
        ("handed", "h", "table=Gate;sold_as=whole;amount=30 kg"),
        ("handed", "i", "table=Gate;sold_as=tails;amount=18 kg"),
        ("sale", "a", "table=Gate;sold_as=whole;amount=21 kg;price=$26/kg"),
        ("sale", "b", "table=Gate;sold_as=tails;amount=18 kg;price=$40/kg"),
    ]);
    let clashes = market.clashes(&known);
    assert_eq!(clashes, [Clash::HandedOver(Pool::Whole, 10.0), Clash::SoldOver(Pool::Whole, 1.0)]);
    // A catch entered by its weight alone may be sold as anything; tails at what no animal exceeds.
    let unsorted = supply(&[], &[(Instant(NOON - 60), 80.0)]);
    assert_eq!(market.clashes(&unsorted), []);
    let late = supply(&harvest, &[]);
    let early = market.clashes(&Supply { first: Some(Instant(NOON + 150)), ..late });
    assert!(
        early.contains(&Clash::BeforeHarvest("a".to_owned())) && !early.contains(&Clash::BeforeHarvest("b".to_owned()))
    );
    assert!(market.clashes(&Supply::default()).contains(&Clash::BeforeHarvest("a".to_owned())));
}

#[test]
fn what_comes_back_is_an_entry_of_its_own_and_never_more_than_was_sold() {
    let market = of(&[
        ("handed", "h", "table=Gate;sold_as=whole;amount=10 kg"),
        ("sale", "a", "table=Gate;receipt=r;sold_as=whole;amount=4 kg;price=$26/kg"),
        ("paid", "p", "paid=104;receipt=r"),
        ("sale", "b", "table=Gate;receipt=r;sold_as=whole;amount=1 kg;price=$26/kg;takes_back=a"),
        ("paid", "q", "paid=26;receipt=r;given_back=yes"),
        ("sale", "c", "table=Gate;receipt=r;sold_as=whole;amount=2 kg;price=$26/kg;takes_back=a;sell_again=yes"),
        ("sale", "d", "table=Gate;receipt=r;sold_as=whole;amount=2 kg;price=$26/kg;takes_back=a"),
    ]);
    // What cannot be sold again does not come back to the table.
    assert!((market.stands()[0].left() - 8.0).abs() < 1e-9);
    // It is told of, so that the pounds are somewhere: by hand 1 and 2 kg.
    assert!((market.stands()[0].spoilt_amount - 3.0).abs() < 1e-9);
    assert_eq!(market.clashes(&plenty()), [Clash::BackOver("d".to_owned())]);
    let accounts = market.accounts();
    let account = &accounts[&AccountOf::Receipt("r".to_owned())];
    assert_eq!((account.due.coins, account.paid.coins), (-2600, 7800));
}

#[test]
fn a_deposit_and_its_order_are_one_account() {
    let market = of(&[
        ("asked", "o", "buyer=Tern  Street;rank=standing;sold_as=live;amount=20 lb;price=$14/lb;deposit_asked=50"),
        ("paid", "p", "paid=50;paid_for=deposit;of_order=o"),
        ("told", "t", "of_order=o;day=2020-09-15;slot=9:00;answer=yes"),
        ("sale", "a", "table=Gate;receipt=r;of_order=o;sold_as=live;amount=18 lb;price=$14/lb"),
        ("paid", "q", "paid=100;receipt=r"),
        ("paid", "x", "paid=5"),
    ]);
    let accounts = market.accounts();
    let account = &accounts[&AccountOf::Order("o".to_owned())];
    assert_eq!((account.due.coins, account.paid.coins, account.deposit.coins), (25_200, 15_000, 5_000));
    assert_eq!(account.owing(), Money { coins: 10_200 });
    assert_eq!(account.buyer.as_deref(), Some("Tern Street"));
    assert!(accounts.contains_key(&AccountOf::Loose("x".to_owned())));
    assert!((market.sold_on("o") - 18.0 * 0.453_592_37).abs() < 1e-9);
    assert_eq!(market.last_told("o").map(|told| (told.reply, told.slot_h)), Some((Reply::Yes, Some(9.0))));
}

#[test]
fn what_cannot_be_read_counts_for_nothing_and_is_shown() {
    let market = of(&[
        ("sale", "a", "table=Gate;sold_as=whole;amount=4 kg;price=26"),
        ("sale", "b", "table=Gate;sold_as=whole;amount=4 kg;price=60 BRL/kg"),
        ("sale", "c", "table=Gate;sold_as=whole;amount=4 kg;price=$26/kg"),
        ("sale", "d<c", "table=Gate;sold_as=whole;amount=5 kg;price=$26/kg"),
        ("sale", "e<c", "table=Gate;sold_as=whole;amount=6 kg;price=$26/kg"),
        ("sale", "f", "table=Gate;sold_as=whole;amount=1 kg;price=$26/kg"),
        ("sale", "g<f", "struck=yes"),
    ]);
    assert!(market.sold.is_empty());
    let why: Vec<(&str, Unread)> = market.unread.iter().map(|(_, id, why)| (id.as_str(), *why)).collect();
    assert_eq!(why, [("a", Unread::Slip), ("b", Unread::OtherMoney), ("c", Unread::Fork)]);
}

#[test]
fn a_line_comes_to_the_same_coin_by_pounds_and_by_kilograms() {
    let of_text = |text: &str| price(text, &dollars()).expect("a price");
    let lb = 0.453_592_37;
    assert_eq!(line_money(2.35 * lb, of_text("$12/lb")), Money { coins: 2820 });
    assert_eq!(line_money(0.125 * lb, of_text("$12.20/lb")), Money { coins: 153 }, "half a coin goes up: 152.5");
    assert_eq!(line_money(12.0, of_text("90 cents each")), Money { coins: 1080 });
    assert_eq!(price("60 BRL/kg", &dollars()), None);
    assert_eq!(price("$12", &dollars()), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    /// Whatever a market day brings, in whatever order it arrives: each line and each coin stands once, a table below nothing is shown,
    /// and the accounts' sums are the sums of all lines and all money.
    #[test]
    fn no_line_and_no_coin_is_lost_in_any_order(
        lines in prop::collection::vec((0_usize..3, 1_u32..600, 1_u32..4000, 0_usize..5, any::<bool>(), 0_u32..10), 1..40),
        handed in prop::collection::vec((0_usize..3, 1_u32..4000), 0..5),
        order in any::<u64>(),
    ) {
        let tables = ["Gate", "Shed", "Truck"];
        let mut facts = Vec::new();
        for (at, (table, amount)) in handed.iter().enumerate() {
            let typed = format!("table={};sold_as=whole;amount={}.{:02} lb", tables[*table], amount / 100, amount % 100);
            facts.push(kept(0, "handed", &format!("h{at}"), None, &typed));
        }
        for (at, (table, amount, cents, receipt, pays, back)) in lines.iter().enumerate() {
            let back = if *back == 0 && at > 0 { format!("takes_back=s{};", at - 1) } else { String::new() };
            let typed = format!(
                "table={};{back}receipt=r{receipt};sold_as=whole;amount={}.{:02} lb;price=${}.{:02}/lb",
                tables[*table], amount / 100, amount % 100, cents / 100, cents % 100
            );
            facts.push(kept(0, "sale", &format!("s{at}"), None, &typed));
            if *pays {
                facts.push(kept(0, "paid", &format!("p{at}"), None, &format!("paid={}.{:02};receipt=r{receipt}", cents / 100, cents % 100)));
            }
        }
        let number = facts.len();
        // Any order of arrival, from a draw of its own.
        let mut turn = order;
        for at in (1..number).rev() {
            turn = turn.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            facts.swap(at, (turn >> 33) as usize % (at + 1));
        }
        facts.iter_mut().enumerate().for_each(|(at, kept)| kept.seq = at as i64);
        let market = market(&facts, &dollars());
        prop_assert_eq!(market.unread.len(), 0);
        prop_assert_eq!(market.sold.len(), lines.len());
        let accounts = market.accounts();
        let sum = |of: fn(&Account) -> i64| accounts.values().map(of).sum::<i64>();
        prop_assert_eq!(sum(|one| one.due.coins), market.sold.iter().map(|line| line.money.coins).sum::<i64>());
        let by_hand: i64 = lines.iter().filter(|line| line.4).map(|line| i64::from(line.2)).sum();
        prop_assert_eq!(sum(|one| one.paid.coins), by_hand);
        // In hundredths of a pound times cents, rounded as a person rounds.
        let due: i64 = lines.iter().enumerate().map(|(at, line)| {
            let worth = (i64::from(line.1) * i64::from(line.2) + 50) / 100;
            if line.5 == 0 && at > 0 { -worth } else { worth }
        }).sum();
        prop_assert_eq!(sum(|one| one.due.coins), due);
        let clashes = market.clashes(&plenty());
        for stand in market.stands() {
            let shown = clashes.iter().any(|clash| matches!(clash, Clash::TableOver { table, over, .. } if *table == stand.table && (over + stand.left()).abs() < 1e-9));
            prop_assert_eq!(shown, stand.left() < -1e-6, "{:?}", stand);
        }
    }
}

#[test]
fn a_name_given_once_on_a_receipt_is_the_name_on_all_of_it() {
    let line = "table=Gate;sold_as=whole;amount=1 kg;price=10 USD per kg;receipt=";
    let market = of(&[
        ("sale", "a", &format!("{line}r1")),
        ("sale", "b", &format!("{line}r1;buyer=Zoe")),
        ("sale", "c", &format!("{line}r2")),
        ("paid", "d", "paid=5;receipt=r2;buyer=Ann"),
        ("sale", "e", &format!("{line}r3")),
        ("sale", "f", "table=Gate;sold_as=whole;amount=1 kg;price=10 USD per kg"),
    ]);
    let names: Vec<Option<&str>> = market.sold.iter().map(|line| line.buyer.as_deref()).collect();
    assert_eq!(names, [Some("Zoe"), Some("Zoe"), Some("Ann"), None, None], "{:?}", market.unread);
}

#[test]
fn more_given_back_than_was_paid_is_a_clash_with_what_was_given_back() {
    let over = |entries: &[(&str, &str, &str)]| {
        let known = Supply { whole_kg: 1e6, first: Some(Instant(0)), ..Supply::default() };
        let all = of(entries).clashes(&known).into_iter();
        all.filter(|clash| matches!(clash, Clash::GivenBackOver { .. })).collect::<Vec<_>>()
    };
    let sold = ("sale", "a", "table=Gate;sold_as=whole;amount=2 kg;price=10 USD per kg;receipt=r1");
    let paid = ("paid", "b", "paid=20;receipt=r1");
    assert_eq!(over(&[sold, paid, ("paid", "c", "paid=20;receipt=r1;given_back=yes")]), []);
    let found = over(&[sold, paid, ("paid", "c", "paid=5000;receipt=r1;given_back=yes")]);
    assert_eq!(found, [Clash::GivenBackOver { over: Money { coins: 498_000 }, payments: vec!["c".to_owned()] }]);
    // A deposit that was never paid.
    let asked = ("asked", "o", "buyer=Ann;sold_as=whole;amount=9 kg");
    let found = over(&[asked, ("paid", "d", "paid=5;paid_for=deposit;of_order=o;given_back=yes")]);
    assert_eq!(found, [Clash::GivenBackOver { over: Money { coins: 500 }, payments: vec!["d".to_owned()] }]);
}

#[test]
fn a_line_keeps_its_own_name_beside_another_on_the_receipt() {
    let line = "table=Gate;sold_as=whole;amount=1 kg;price=10 USD per kg;receipt=r1;buyer=";
    let market = of(&[("sale", "a", &format!("{line}Zoe")), ("sale", "b", &format!("{line}Ann"))]);
    let names: Vec<Option<&str>> = market.sold.iter().map(|line| line.buyer.as_deref()).collect();
    assert_eq!(names, [Some("Zoe"), Some("Ann")]);
}

#[test]
fn a_table_that_two_phones_sell_for_is_shown_and_two_tables_with_one_each_are_not() {
    let by = |seq: i64, id: &str, table: &str, device: &str| {
        let typed = format!("table={table};sold_as=whole;amount=1 kg;price=10 USD per kg");
        let mut one = kept(seq, "sale", id, None, &typed);
        one.fact.device = device.to_owned();
        one
    };
    let phones = |facts: &[Kept]| {
        let all = market(facts, &dollars()).clashes(&plenty()).into_iter();
        all.filter(|clash| matches!(clash, Clash::TwoPhones { .. })).collect::<Vec<_>>()
    };
    let apart = [by(1, "a", "Gate", "one"), by(2, "b", "Gate", "one"), by(3, "c", "Shed", "two")];
    assert_eq!(phones(&apart), []);
    let mut both = apart.to_vec();
    both.push(by(4, "d", "Gate", "two"));
    assert_eq!(phones(&both), [Clash::TwoPhones { table: "Gate".to_owned(), phones: 2 }]);
}
