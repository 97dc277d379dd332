//! What lies on the sale tables by lot, each with its clock.
//!
//! A line that names no lot is taken from the youngest: a warning stands as long as some of the old may still lie there.

use std::collections::BTreeMap;

use farm::Farm;
use farm::facts::market::{Good, Market};
use farm::facts::{Pack, lot_name, working_day};
use units::{Day, Instant};

use super::{LotName, Mixing, parents};
use crate::freshness::{Clock, Keeps, clock};

/// Less than a scale shows, kg or pieces.
const NOTHING: f64 = 0.005;

/// A lot on a table.
#[derive(Debug, Clone, PartialEq)]
pub struct AtTable {
    /// The table.
    pub table: String,
    /// As what it is sold.
    pub good: Good,
    /// Its lot, in capitals; `None` for what was handed out without one.
    pub lot: Option<String>,
    /// What is left of it, kg or pieces.
    pub left: f64,
    /// Its clock; `None` where nothing tells a day of catch.
    pub clock: Option<Clock>,
}

/// First day of catch of what is in a lot: by its name, by those it was mixed from, or as its packs say.
pub(super) fn caught_on(packs: &[Pack], lot: &str) -> Option<Day> {
    let mixed = parents(&Mixing { packs, tubs: &[], mixed: &[] }, lot);
    let first = mixed.iter().map(String::as_str).chain([lot]).filter_map(LotName::day_of).min();
    first.or_else(|| packs.iter().filter(|pack| pack.lot == lot).filter_map(|pack| pack.caught).min())
}

/// What is left on the tables, by table, good and lot; of one good the lot that ends first in front, what has no clock last.
///
/// `began` are the first baskets of lots: where one is not known its clock begins with the working day.
pub fn at_tables(
    farm: &Farm,
    market: &Market,
    packs: &[Pack],
    began: &BTreeMap<String, Instant>,
    now: Instant,
) -> Vec<AtTable> {
    type Lots = BTreeMap<Option<String>, f64>;
    let mut all: BTreeMap<(&str, &Good), (Lots, f64)> = BTreeMap::new();
    let named = |lot: Option<&str>| lot.map(lot_name).filter(|lot| !lot.is_empty());
    for one in &market.handed {
        let (lots, nameless) = all.entry((&one.table, &one.good)).or_default();
        match (named(one.lot.as_deref()), one.back) {
            (lot, false) => *lots.entry(lot).or_default() += one.amount,
            (Some(lot), true) => *lots.entry(Some(lot)).or_default() -= one.amount,
            (None, true) => *nameless += one.amount,
        }
    }
    for line in &market.sold {
        let Some((lots, nameless)) = all.get_mut(&(line.table.as_str(), &line.good)) else { continue };
        let taken = match (line.takes_back.is_some(), line.again) {
            (false, _) => line.amount,
            (true, true) => -line.amount,
            (true, false) => continue,
        };
        let lot = named(market.lot_of(line));
        match lot.filter(|lot| lots.contains_key(&Some(lot.clone()))) {
            Some(lot) => *lots.entry(Some(lot)).or_default() -= taken,
            None => *nameless += taken,
        }
    }
    let one = |((table, good), (lots, nameless)): ((&str, &Good), (Lots, f64))| {
        let mut here: Vec<AtTable> = lots
            .into_iter()
            .map(|(lot, left)| {
                let clock = lot.as_deref().and_then(|lot| clock_of(farm, packs, began, lot, good, now));
                AtTable { table: table.to_owned(), good: good.clone(), lot, left, clock }
            })
            .collect();
        here.sort_by_key(|one| (one.clock.map_or(i64::MAX, |clock| clock.stops.0), one.lot.clone()));
        take(&mut here, nameless);
        here.retain(|one| one.left > NOTHING);
        here
    };
    all.into_iter().flat_map(one).collect()
}

/// Takes what named no lot: first from what was handed out without one, then from the youngest.
fn take(here: &mut [AtTable], mut much: f64) {
    // What came back without its lot may be of any: it lies with what has none, else with the oldest.
    if much < 0.0 {
        let at = here.iter().position(|one| one.lot.is_none()).unwrap_or(0);
        if let Some(one) = here.get_mut(at) {
            one.left -= much;
        }
        return;
    }
    for one in here.iter_mut().rev() {
        let taken = much.min(one.left.max(0.0));
        one.left -= taken;
        much -= taken;
    }
}

fn clock_of(
    farm: &Farm,
    packs: &[Pack],
    began: &BTreeMap<String, Instant>,
    lot: &str,
    good: &Good,
    now: Instant,
) -> Option<Clock> {
    let as_sold = Keeps::of_sale(good.sold_as);
    let own = || packs.iter().filter(|pack| pack.lot == lot && Keeps::of_pack(pack.form, false) == as_sold);
    // Frozen where every pack of it is: a chilled one among them is the one that spoils.
    let is_frozen = own().next().is_some() && own().all(|pack| pack.is_frozen);
    let keeps = if is_frozen { Keeps::Frozen } else { as_sold };
    let of_day = || Some(working_day(caught_on(packs, lot)?, &farm.place.zone).0);
    Some(clock(keeps, began.get(lot).copied().or_else(of_day)?, now))
}

#[cfg(test)]
mod tests {
    use farm::facts::market::market;
    use farm::facts::{Kept, packs};
    use farm::read_farm;

    use super::super::tests::{MORNING, SAMPLE, kept};
    use super::*;
    use crate::freshness::Fresh;

    /// What lies on the tables so many hours after the morning of 4 October 2011: table, lot, what is left, how fresh.
    fn at(facts: &[Kept], hours: i64) -> Vec<(String, String, f64, Option<Fresh>)> {
        let farm = read_farm(SAMPLE).expect("the sample");
        let market = market(facts, &farm.currency);
        let packs = packs(facts, &farm.place.zone);
        let all = at_tables(&farm, &market, &packs, &BTreeMap::new(), Instant(MORNING + 3600 * hours));
        let row = |one: AtTable| (one.table, one.lot.unwrap_or_default(), one.left, one.clock.map(|clock| clock.fresh));
        all.into_iter().map(row).collect()
    }

    fn handed(seq: i64, rest: &str) -> Kept {
        kept(seq, "handed", 1, None, &format!("table=Gate;price=12 USD per lb;{rest}"))
    }

    fn sale(seq: i64, rest: &str) -> Kept {
        kept(seq, "sale", 2, None, &format!("table=Gate;price=12 USD per lb;{rest}"))
    }

    #[test]
    fn each_lot_of_a_table_has_its_own_clock_and_the_oldest_stands_first() {
        let facts = [
            handed(1, "sold_as=whole;amount=10 kg;lot=quarry-111004-b"),
            handed(2, "sold_as=whole;amount=6 kg;lot=QUARRY-111002-A"),
            handed(3, "sold_as=tails;amount=5 kg;lot=QUARRY-111002-A"),
            sale(4, "sold_as=whole;amount=2 kg;lot=QUARRY-111002-A"),
            handed(5, "sold_as=whole;amount=1 kg;lot=QUARRY-111004-B;handed_back=yes"),
        ];
        let gate = "Gate".to_owned();
        let row = |lot: &str, left: f64, fresh| (gate.clone(), lot.to_owned(), left, Some(fresh));
        // Whole of two days ago is to be sold first, its tails are still at their best.
        assert_eq!(
            at(&facts, 2),
            [
                row("QUARRY-111002-A", 4.0, Fresh::First),
                row("QUARRY-111004-B", 9.0, Fresh::Good),
                row("QUARRY-111002-A", 5.0, Fresh::Good),
            ]
        );
        let later: Vec<_> = at(&facts, 45).into_iter().map(|(.., fresh)| fresh).collect();
        assert_eq!(later, [Some(Fresh::Over), Some(Fresh::First), Some(Fresh::Late)]);
    }

    #[test]
    fn a_line_without_a_lot_leaves_the_warning_standing() {
        let two = [
            handed(1, "sold_as=whole;amount=10 kg;lot=QUARRY-111002-A"),
            handed(2, "sold_as=whole;amount=6 kg;lot=QUARRY-111004-B"),
        ];
        let mut facts = two.to_vec();
        facts.push(sale(3, "sold_as=whole;amount=8 kg"));
        let left = |facts: &[Kept]| at(facts, 2).into_iter().map(|(_, lot, left, _)| (lot, left)).collect::<Vec<_>>();
        assert_eq!(left(&facts), [("QUARRY-111002-A".to_owned(), 8.0)], "the youngest is gone, two of the old");
        // Taken back to be sold again: it is of the lot of its line.
        facts.push(sale(4, "sold_as=whole;amount=1 kg;lot=QUARRY-111002-A"));
        facts.push(sale(5, &format!("sold_as=whole;amount=1 kg;takes_back={:032x};sell_again=yes", 4)));
        assert_eq!(left(&facts), [("QUARRY-111002-A".to_owned(), 8.0)]);
        facts.push(sale(6, "sold_as=whole;amount=8 kg;lot=QUARRY-111002-A"));
        assert_eq!(left(&facts), [], "all is sold");
    }

    #[test]
    fn frozen_packs_have_the_freezers_clock_and_a_lot_without_a_day_has_none() {
        let facts = [
            kept(1, "pack", 3, None, "lot=QUARRY-110801-A;pack_form=tails;packs=9;net=1 kg;frozen=yes"),
            handed(2, "sold_as=tails;amount=3 kg;lot=QUARRY-110801-A"),
            kept(
                3,
                "pack",
                3,
                None,
                "lot=MIX-7;pack_form=tails;packs=9;net=1 kg;of_lots=QUARRY-111004-A,QUARRY-111001-B",
            ),
            handed(4, "sold_as=tails;size=under 36 per lb;amount=3 kg;lot=MIX-7"),
            handed(5, "sold_as=whole;amount=3 kg"),
            handed(6, "sold_as=whole;amount=3 kg;lot=SOME"),
        ];
        let fresh = |hours| at(&facts, hours).into_iter().map(|(_, lot, _, fresh)| (lot, fresh)).collect::<Vec<_>>();
        let of = |lot: &str, fresh| (lot.to_owned(), fresh);
        assert_eq!(
            fresh(2),
            [
                of("", None),
                of("SOME", None),
                of("QUARRY-110801-A", Some(Fresh::Good)),
                // A mix is as old as the oldest in it.
                of("MIX-7", Some(Fresh::First)),
            ]
        );
    }

    #[test]
    fn what_is_taken_back_lies_with_its_own_lot_and_else_with_the_oldest() {
        let facts = [
            handed(1, "sold_as=whole;amount=10 kg;lot=QUARRY-111002-A"),
            handed(2, "sold_as=whole;amount=6 kg;lot=QUARRY-111004-B"),
            sale(3, "sold_as=whole;amount=2 kg;lot=QUARRY-111004-B"),
            sale(4, &format!("sold_as=whole;amount=1 kg;takes_back={:032x};sell_again=yes", 3)),
        ];
        let left = |facts: &[Kept]| at(facts, 2).into_iter().map(|(_, _, left, _)| left).collect::<Vec<_>>();
        assert_eq!(left(&facts), [10.0, 5.0]);
        // Sold at another table, of no lot: nobody knows how old it is.
        let mut facts = facts.to_vec();
        facts.push(kept(5, "sale", 2, None, "table=Shed;price=12 USD per lb;sold_as=whole;amount=1 kg"));
        facts.push(sale(6, &format!("sold_as=whole;amount=1 kg;takes_back={:032x};sell_again=yes", 5)));
        assert_eq!(left(&facts), [11.0, 5.0]);
    }

    #[test]
    fn a_lot_of_which_some_is_not_frozen_has_the_clock_of_the_chilled() {
        let pack = |seq, frozen: &str| {
            kept(seq, "pack", 3, None, &format!("lot=QUARRY-111001-A;pack_form=tails;packs=9;net=1 kg{frozen}"))
        };
        let lies = handed(3, "sold_as=tails;amount=3 kg;lot=QUARRY-111001-A");
        let fresh = |facts: &[Kept]| at(facts, 2).into_iter().map(|(.., fresh)| fresh).collect::<Vec<_>>();
        assert_eq!(fresh(&[pack(1, ";frozen=yes"), pack(2, ";frozen=yes"), lies.clone()]), [Some(Fresh::Good)]);
        assert_eq!(fresh(&[pack(1, ";frozen=yes"), pack(2, ""), lies]), [Some(Fresh::First)]);
    }
}
