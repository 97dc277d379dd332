//! `/f/{farm}/sale/list`: who fetches what at which hour, in order of names, made to be printed and ticked off.

use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::AccountOf;
use maud::html;
use season::promised::{Coming, buyers, fetched};
use units::Money;
use words::page_buyers as say;
use words::page_sale as sale;

use super::sale::known;
use super::{missing, sent};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::misses::row;
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
    let comes = kept.answer.as_ref().map_or(Vec::new(), |outlook| fetched(&facts.farm, outlook, &wanted));
    let found = match (&kept.answer, &kept.drawn) {
        (Some(outlook), Some(drawn)) => Some(waiting(|| desk.promised(drawn, outlook, &wanted))),
        _ => None,
    };
    let share_of = |catch: usize, buyer: usize| {
        found.as_ref().and_then(|found| found.shares.iter().find(|share| share.catch == catch && share.buyer == buyer))
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
                    div.wide tabindex="0" role="group" aria-label=(say::LIST) {
                        table {
                            thead { tr { @for head in say::LIST_HEADS { th scope="col" { (head) } } } }
                            tbody {
                                @for one in by_name(&fetched.buyers, &wanted) {
                                    @let buyer = &wanted[one.buyer];
                                    @let paid = accounts.get(&AccountOf::Order(buyer.id.clone())).map_or(Money::default(), |account| account.paid);
                                    (row(&say::list_row(buyer, (fetched, &one), share_of(catch, one.buyer), paid, (manner, currency))))
                                }
                                @for _ in 0..WALK_UPS { tr.blank { td colspan="5" { "\u{a0}" } } }
                            }
                        }
                    }
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
fn by_name(buyers: &[Coming], wanted: &[season::promised::Buyer]) -> Vec<Coming> {
    let mut sorted = buyers.to_vec();
    sorted.sort_by_key(|one| wanted[one.buyer].name.to_lowercase());
    sorted
}
