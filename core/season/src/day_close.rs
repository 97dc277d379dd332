//! A harvest day's own entries held against the day's balance: everything that left the water is somewhere, or a reason is asked.

use farm::facts::{DayRecord, Moved, Place};
use harvest::balance::{Unclosed, Whereabouts};

/// Where a day's catch is, by what was weighed.
pub fn whereabouts(record: &DayRecord) -> Whereabouts {
    let sum = |of: &dyn Fn(&Moved) -> bool| -> f64 {
        record.moved.iter().filter(|one| of(one)).map(|one| one.weight_kg).sum()
    };
    let whole_into = |place: Place| {
        record.weighed_to_kg(place) + sum(&|one| one.to == place && !one.is_tails)
            - sum(&|one| one.from == place && !one.is_tails)
    };
    let heads_kg = sum(&|one| one.from == Place::Table && one.to == Place::Waste);
    let tails_kg = sum(&|one| one.from == Place::Table && one.is_tails);
    let live_sold_kg = sum(&|one| one.from == Place::Live && one.to == Place::Sold);
    // Heads leave the table too, and are no whole animals.
    let headed_kg = whole_into(Place::Table) + heads_kg;
    let nothing_left_it = tails_kg + heads_kg <= 0.0;
    Whereabouts {
        caught_kg: record.caught_kg(),
        live_sold_kg,
        // A place from which more was taken than came to it holds nothing: the surplus does not close.
        live_held_kg: whole_into(Place::Live).max(0.0),
        whole_kg: whole_into(Place::Chill).max(0.0) + whole_into(Place::Store).max(0.0) + whole_into(Place::Sold)
            - live_sold_kg,
        headed_kg: headed_kg.max(0.0),
        culled_kg: whole_into(Place::Dead) + whole_into(Place::Waste) - heads_kg,
        own_kg: whole_into(Place::Own),
        samples_kg: 0.0,
        tails_kg: (tails_kg > 0.0 || nothing_left_it).then_some(tails_kg),
        heads_kg: (heads_kg > 0.0 || nothing_left_it).then_some(heads_kg),
    }
}

/// What does not add up; none when the day closes.
pub fn unclosed(record: &DayRecord) -> Vec<Unclosed> {
    let found = whereabouts(record).unclosed();
    // As long as animals lie at the table, no share of tails is wrong yet; and while nobody weighed heads, few tails only say that some do.
    let there = whereabouts(record);
    let is_waiting = found.iter().any(|one| matches!(one, Unclosed::Heading(_)));
    let may_wait = |share: f64| is_waiting || (there.heads_kg.is_none() && share < 0.5);
    found.into_iter().filter(|one| !matches!(one, Unclosed::TailShare(share) if may_wait(*share))).collect()
}

#[cfg(test)]
mod tests {
    use farm::facts::{Basket, Written};
    use units::Instant;

    use super::*;

    fn written() -> Written {
        let (id, head, person) = (String::new(), String::new(), String::new());
        Written { id, head, at: Instant(0), typed_ms: 0, person, pond: None, tub: None }
    }

    fn day(baskets: &[(f64, Place)], moves: &[(Place, Place, f64, bool)]) -> DayRecord {
        DayRecord {
            baskets: baskets
                .iter()
                .map(|&(net_kg, to)| Basket { written: written(), net_kg, to, count: None, by_hand: false })
                .collect(),
            moved: moves
                .iter()
                .map(|&(from, to, weight_kg, is_tails)| Moved {
                    written: written(),
                    from,
                    to,
                    weight_kg,
                    is_tails,
                    out_tub: None,
                    out_empty: false,
                    into_tub: None,
                })
                .collect(),
            ..DayRecord::default()
        }
    }

    #[test]
    fn a_day_closes_when_all_that_left_the_water_is_somewhere() {
        use Place::{Chill, Dead, Live, Sold, Store, Table, Waste};
        let baskets = [(60.0, Chill), (20.0, Live), (2.0, Dead)];
        assert!(unclosed(&day(&baskets, &[])).is_empty(), "it lies where it was weighed to");
        let moves = [
            (Chill, Table, 40.0, false),
            (Table, Store, 18.8, true),
            (Table, Waste, 21.0, false),
            (Live, Sold, 15.0, false),
            (Chill, Sold, 20.0, false),
        ];
        assert!(unclosed(&day(&baskets, &moves)).is_empty(), "{:?}", whereabouts(&day(&baskets, &moves)));
        // Nothing has left the table yet; heads that were not weighed ask nothing.
        assert!(
            matches!(unclosed(&day(&baskets, &moves[..1]))[..], [Unclosed::Heading(off)] if (off + 40.0).abs() < 1e-9)
        );
        assert!(unclosed(&day(&baskets, &moves[..2])).is_empty());
        // More came out of the slurry than went in.
        let too_much = [(Chill, Sold, 75.0, false)];
        assert!(matches!(unclosed(&day(&baskets, &too_much))[..], [Unclosed::TooMuch(kg)] if (kg - 15.0).abs() < 1e-9));
        // Tails that no animal gives.
        let odd = [(Chill, Table, 40.0, false), (Table, Store, 35.0, true)];
        assert!(matches!(unclosed(&day(&baskets, &odd))[..], [Unclosed::TailShare(_)]));
    }
}
