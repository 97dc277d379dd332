//! What buyers may be promised as plain text, for the command line.

use season::farm::Farm;
use season::promised::{Buyer, Lot, Promised, Share};

use super::{
    FREE, FREE_SAYS, LEFT, ORDERS, catch, caught_on, free_row, headline, left_rows, may_get_less, order_row, short,
    today_left, today_row,
};
use crate::figures::Manner;

/// Something of a lot can still be promised, or is.
pub fn left_or_given(lot: &Lot) -> bool {
    super::left_kg(&lot.caught) > 0.005 || !lot.comes.buyers.is_empty()
}

/// The whole answer for the command line.
pub fn page(found: &Promised, buyers: &[Buyer], farm: &Farm, manner: Manner) -> String {
    let mut lines = vec![headline(found, buyers, manner), String::new()];
    let (ice, over): (Vec<&Lot>, Vec<&Lot>) = found.ice.lots.iter().partition(|lot| left_or_given(lot));
    for lot in ice {
        lines.push(format!(
            "{}, weighed and in store. {}",
            caught_on(lot.on),
            today_left(&lot.caught, manner, found.currency)
        ));
        lines.extend(lot.shares.iter().map(|share| {
            let buyer = &lot.buyers[share.buyer];
            let [name, what, wants, gets] = today_row(buyer, (share.wanted, share.gets.middle), manner);
            format!("    {name}, {what}: wants {wants}, gets {gets}")
        }));
        lines.push(String::new());
    }
    if !over.is_empty() {
        let of: Vec<_> = over.iter().map(|lot| (lot.on, lot.over_kg)).collect();
        lines.extend([super::over(&of, manner), String::new()]);
    }
    for (at, one) in found.catches.iter().enumerate() {
        lines.push(catch(one, farm, manner, found.currency));
        let left = left_rows(one, manner);
        lines.push(format!("  {LEFT}:"));
        lines.extend(left.iter().map(|[size, likely, least, there]| {
            format!("    {size:<18} {there:>12} there, {likely:>12} left, {least:>12} at least")
        }));
        lines.push(format!("  {ORDERS}:"));
        let mut here: Vec<&Share> = found.shares.iter().filter(|share| share.catch == at).collect();
        here.sort_by_key(|share| buyers[share.buyer].rank);
        lines.extend(here.into_iter().map(|share| {
            let [name, likely, sure, wants, chance, rank, what] = order_row(share, buyers, manner, found.currency);
            format!(
                "    {name} ({}), {what}: wants {wants}, likely {likely}, sure of {sure}; all of it {chance}",
                rank.to_lowercase()
            )
        }));
        lines.push(format!("  {FREE}:"));
        let free = found.free.iter().filter(|free| free.catch == at);
        lines.extend(free.map(|free| {
            let [what, low, middle, price] = free_row(free, manner, found.currency);
            format!("    {what:<26} {low:>12}, likely {middle:>12}, at {price}")
        }));
        lines.push(String::new());
    }
    for share in short(found, buyers) {
        lines.push(may_get_less(found, share, buyers, manner));
    }
    for at in &found.without {
        lines.push(format!("{}: no planned day suits them.", buyers[*at].name));
    }
    lines.push(format!("{FREE_SAYS} ({} futures)", found.members));
    lines.push(String::new());
    lines.join("\n")
}
