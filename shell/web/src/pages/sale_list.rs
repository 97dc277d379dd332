//! `/f/{farm}/sale/list`: who fetches what at which hour, in order of names, made to be printed and ticked off.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::AccountOf;
use maud::html;
use season::promised::{Coming, Ice, buyers, fetched, on_ice};
use units::Money;
use words::page_buyers as say;
use words::page_sale as sale;

use super::buyers::theirs;
use super::sale::known;
use super::{missing, sent};
use crate::parts::blocks::blocks_with;
use crate::parts::frame::{Frame, Here, page as framed};
use crate::record::waiting;
use crate::site::Site;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sale/list", get(show))
}

/// Lines left for walk-ups.
const WALK_UPS: usize = 6;

async fn show(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let wanted = buyers(&facts.farm, &known.market);
    let kept = desk.latest();
    let found = match (&kept.answer, &kept.drawn) {
        (Some(outlook), Some(drawn)) => Some(waiting(|| desk.promised(drawn, outlook, &wanted, &known.stocks))),
        _ => None,
    };
    // What lies on ice is fetched whether or not anything comes.
    let alone = on_ice(&facts.farm, &wanted, &known.stocks, &[], None, facts.on);
    let ice = found.as_ref().map_or(&alone, |found| &found.ice);
    let comes = match &kept.answer {
        Some(outlook) => fetched(&facts.farm, outlook, ice),
        None => ice.lots.iter().map(|lot| lot.comes.clone()).collect(),
    };
    let accounts = known.market.accounts();
    let (manner, currency) = (facts.manner, facts.farm.currency);
    let body = html! {
        article.one-pond.of-sums.sale.pick-up {
            section.answer {
                h1 { (say::LIST) }
                p { (sale::unsold(Some(facts.farm.sale_day.unsold_h), manner)) }
                @if comes.iter().all(|fetched| fetched.buyers.is_empty()) { p { (say::LIST_NONE) } }
            }
            (super::buyers::unread(&facts, &known))
            @for (catch, fetched) in comes.iter().enumerate().filter(|(_, fetched)| !fetched.buyers.is_empty()) {
                section.part {
                    h2 { (say::window(fetched)) }
                    @let rows = by_name(&fetched.buyers, ice, catch).into_iter().map(|one| {
                        let (buyer, share) = theirs(found.as_deref(), ice, catch, one.buyer);
                        let account = accounts.get(&AccountOf::Order(buyer.id.clone()));
                        let paid = account.map_or(Money::default(), |account| account.paid);
                        say::list_row(buyer, (fetched, &one), share, paid, (manner, currency))
                    });
                    (blocks_with(&say::LIST_HEADS, rows, WALK_UPS))
                }
            }
            p { (say::WALK_UPS) }
            p.caution { (sale::VISITORS) }
            p { a.mend href=(format!("/f/{}/sale", facts.id)) { (sale::TO_SALE) } }
        }
    };
    sent(framed(&Frame::of(&facts, say::LIST, Here::Sale), body))
}

/// In order of names, whatever their letters' size.
fn by_name(buyers: &[Coming], ice: &Ice, catch: usize) -> Vec<Coming> {
    let mut sorted = buyers.to_vec();
    sorted.sort_by_key(|one| theirs(None, ice, catch, one.buyer).0.name.to_lowercase());
    sorted
}
