//! `/f/{farm}/sale/table/{table}`: one phone's sale table. The page carries what the table was handed and which lines the farm knows; the phone's
//! script knows its own lines, so that it can say without signal what is left, and sells no more than that.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use axum::Router;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use axum::routing::get;
use farm::facts::market::{AccountOf, Order, SoldAs, Stand, price};
use farm::facts::newest_form;
use maud::{Markup, html};
use season::promised::buyers;
use season::trace::{AtTable, at_tables};
use units::{Currency, Instant};
use words::page_log as log;
use words::page_sale as say;

use super::sale::{in_address, known};
use super::{missing, sent};
use crate::assets;
use crate::market_read::Known;
use crate::parts::entry::{self, beside};
use crate::parts::frame::{Frame, Here, page as framed};
use crate::parts::held::held;
use crate::parts::on_table;
use crate::record::waiting;
use crate::served::Served;
use crate::site::Site;

/// Longest name of a table.
const NAME_MOST: usize = 60;

/// Its address.
pub fn routes() -> Router<Arc<Site>> {
    Router::new().route("/f/{farm}/sale/table/{table}", get(show))
}

/// What a page shows of one sale.
struct Shown<'a> {
    facts: &'a Served,
    table: &'a str,
    stands: Vec<Stand>,
    /// Live tanks to be looked at first, where this table sells alive.
    held: Markup,
    /// What is left of each lot, with its clock.
    lots: Vec<AtTable>,
    /// The good that is being sold, by its place.
    at: usize,
    /// Mark of the entry to be, without a script.
    id: String,
    receipt: String,
    made_ms: i64,
    /// Marks of the lines the farm knows of this table.
    heads: String,
    /// Orders, each with what of it is still to be fetched, kg or pieces.
    orders: Vec<(&'a Order, f64)>,
    /// Buyers known by name: the farm's standing ones, and who has an order.
    names: BTreeSet<String>,
    /// What is paid beyond what was bought, by order, coins.
    down: BTreeMap<String, i64>,
}

async fn show(
    State(site): State<Arc<Site>>,
    Path((farm, table)): Path<(String, String)>,
    Query(asked): Query<Vec<(String, String)>>,
) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    let table = table.split_whitespace().collect::<Vec<_>>().join(" ");
    if table.is_empty() || table.len() > NAME_MOST {
        return missing();
    }
    let known = match known(record, &facts) {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let of = |name: &str| asked.iter().find(|(key, _)| key == name).map(|(_, text)| text.as_str());
    let stands: Vec<Stand> = known.market.stands().into_iter().filter(|stand| stand.table == table).collect();
    let at = of("good").and_then(|at| at.parse().ok()).filter(|at| *at < stands.len()).unwrap_or(0);
    let Ok(id) = waiting(|| record.store().new_id()) else { return missing() };
    let Ok(fresh) = waiting(|| record.store().new_id()) else { return missing() };
    let receipt = of("receipt").filter(|receipt| farm::facts::is_id(receipt)).map_or(fresh, str::to_owned);
    let now = entry::now(&facts, record.now_ms()).0;
    let mut lots = at_tables(&facts.farm, &known.market, &known.packs, &known.began, now);
    lots.retain(|one| one.table == table);
    let shown = Shown {
        facts: &facts,
        table: &table,
        held: if stands.iter().any(|stand| stand.good.sold_as == SoldAs::Live) {
            held(&facts, &known)
        } else {
            html! {}
        },
        stands,
        lots,
        at,
        id,
        receipt,
        made_ms: record.now_ms(),
        heads: heads(&known, &table),
        orders: open_orders(&facts, &known),
        names: buyers(&facts.farm, &known.market).into_iter().map(|buyer| buyer.name).collect(),
        down: down(&known),
    };
    sent(framed(&Frame::of(&facts, &table, Here::Sale), shown.page()))
}

/// The first letters of the marks of all that the farm has counted for a table: lines, and stock that was handed to it.
fn heads(known: &Known, table: &str) -> String {
    let lines = known.market.sold.iter().filter(|line| line.table == table).map(|line| line.entered.head.as_str());
    let handed = known.market.handed.iter().filter(|one| one.table == table).map(|one| one.entered.head.as_str());
    lines.chain(handed).map(|head| head.get(..10).unwrap_or(head)).collect::<Vec<_>>().join(" ")
}

/// Every order, with what of it somebody may still fetch: nothing of those that are fetched or called off, which are offered no more.
fn open_orders<'a>(facts: &Served, known: &'a Known) -> Vec<(&'a Order, f64)> {
    let wanted = buyers(&facts.farm, &known.market);
    let open = |order: &Order| wanted.iter().find(|one| one.id == order.entered.id).map_or(0.0, |one| one.amount);
    known.market.orders.iter().map(|order| (order, open(order))).collect()
}

/// What is paid on each order beyond what was bought on it, coins: it goes off what the buyer still pays.
fn down(known: &Known) -> BTreeMap<String, i64> {
    let accounts = known.market.accounts().into_iter();
    let paid = accounts.filter_map(|(of, account)| match of {
        AccountOf::Order(id) => Some((id, -account.owing().coins)),
        _ => None,
    });
    paid.filter(|(_, coins)| *coins > 0).collect()
}

/// How the farm's money may be written in a price, for the phone.
fn signs(currency: &Currency) -> String {
    let code = currency.code().to_lowercase();
    let all =
        ["$", "us$", "r$", "a$", "c$", "dollar", "dollars", "cent", "cents", "¢", "€", "£", "¥", "₹", "฿", "৳", &code];
    let own = all.into_iter().filter(|sign| price(&format!("1 {sign} each"), currency).is_some());
    own.collect::<Vec<_>>().join("|")
}

impl Shown<'_> {
    fn page(&self) -> Markup {
        let facts = self.facts;
        let made = log::made(Instant(self.made_ms.div_euclid(1000)), &facts.farm.place.zone, facts.manner);
        html! {
            section.logbook.station.till {
                h1 { (say::TABLE) ": " (self.table) }
                @if self.stands.is_empty() { p.trouble { (say::NOTHING_HERE) } }
                (self.held)
                (self.form())
                (self.this_buyer())
                (self.more_here())
                p.caution { (say::SCALE) }
                p { a.mend href=(format!("/f/{}/sale", facts.id)) { (say::TO_SALE) } }
                (super::log::phone(&facts.id, Some((self.made_ms, made))))
            }
            script type="module" src=(assets::till()) {}
        }
    }

    fn good(&self) -> Option<&Stand> {
        self.stands.get(self.at)
    }

    /// The goods of this table: links without a script, chips with it.
    fn goods(&self) -> Markup {
        let (manner, currency) = (self.facts.manner, self.facts.farm.currency);
        html! {
            nav.goods aria-label=(say::GOODS) {
                ul {
                    @for (at, stand) in self.stands.iter().enumerate() {
                        li {
                            a.good href=(format!("?good={at}&receipt={}", self.receipt)) aria-current=[(at == self.at).then_some("true")]
                                data-good data-sold_as=(stand.good.sold_as.word()) data-size=(stand.good.size)
                                data-price=(stand.pays.map_or(String::new(), |pays| say::price(pays, manner, currency)))
                                data-lot=(stand.lot.as_deref().unwrap_or_default()) data-left=(stand.left()) {
                                b { (say::good(&stand.good)) }
                                @let aged = say::on_good(on_table::worst(&self.lots, &stand.good));
                                span.aged data-aged hidden[aged.is_empty()] { (aged) }
                                span { span data-of-left { (say::amount(stand.good.sold_as, stand.left(), manner)) } " " (say::LEFT) }
                            }
                        }
                    }
                }
            }
        }
    }

    fn form(&self) -> Markup {
        let facts = self.facts;
        let Some(asked) = newest_form("sale") else { return html! {} };
        let (_, live) = entry::now(facts, self.made_ms);
        let offset_s = facts.farm.place.zone.offset_s(entry::now(facts, self.made_ms).0);
        let unit = say::unit(facts.manner);
        let good = self.good();
        let by_piece = good.is_some_and(|stand| stand.good.sold_as.by_piece());
        let price = good
            .and_then(|stand| stand.pays)
            .map_or(String::new(), |pays| say::price(pays, facts.manner, facts.farm.currency));
        html! {
            form.entry.scale method="post" action=(format!("/f/{}/log/new", facts.id)) data-entry="sale" data-form=(asked.version) data-till
                data-offset=(offset_s) data-clock=(if live { "live" } else { "kept" }) data-station data-table=(self.table) data-known=(self.heads)
                data-coins=(facts.farm.currency.coins_per_unit()) data-currency=(facts.farm.currency.code()) data-unit=(unit) data-no-lot=(say::NO_LOT) data-signs=(signs(&facts.farm.currency)) {
                input type="hidden" name="id" value=(self.id);
                input type="hidden" name="kind" value="sale";
                input type="hidden" name="made_ms" value=(self.made_ms);
                input type="hidden" name="then" value=(format!("sale/table/{}?receipt={}&good={}", in_address(self.table), self.receipt, self.at));
                input type="hidden" name="when" value=(entry::written(entry::now(facts, self.made_ms).0, &facts.farm.place.zone));
                input type="hidden" name="table" value=(self.table);
                input type="hidden" name="receipt" value=(self.receipt);
                input type="hidden" name="sold_as" value=(good.map_or("", |stand| stand.good.sold_as.word()));
                input type="hidden" name="size" value=(good.map_or("", |stand| stand.good.size.as_str()));
                (self.goods())
                (on_table::clocks(&self.lots, &self.stands, self.at, entry::now(facts, self.made_ms).0, &facts.farm.place.zone, facts.manner))
                (self.lot())
                p.odd hidden data-say="mending" role="status" { (say::MENDING) }
                div.field data-weighed hidden[by_piece] {
                    label for="e-amount" { (say::WEIGHT) }
                    span.typed.big {
                        input #e-amount type="text" name="amount" inputmode="decimal" autocomplete="off" maxlength="12" autofocus[!by_piece];
                        span.unit { (unit) }
                        input type="hidden" name="unit-amount" value=(unit);
                    }
                }
                div.field data-counted hidden[!by_piece] {
                    label for="e-pieces" { (say::PIECES) }
                    span.typed.big { input #e-pieces type="text" name="pieces" inputmode="numeric" autocomplete="off" maxlength="8"; }
                }
                @for (key, said) in [("no-amount", say::NO_AMOUNT), ("tare-over", say::TARE_OVER), ("over", say::OVER)] { p.wrong hidden data-say=(key) role="alert" { (said) } }
                p.comes role="status" { span data-comes {} }
                div.pair {
                    div.field {
                        label for="e-price" { (say::PRICE) }
                        span.typed { input #e-price type="text" name="price" value=(price) autocomplete="off" maxlength="40" data-stays; }
                    }
                    div.field data-weighed hidden[by_piece] {
                        label for="e-tare" { (say::TARE) }
                        span.typed {
                            input #e-tare type="text" name="tare" inputmode="decimal" autocomplete="off" maxlength="12" data-stays;
                            span.unit { (unit) }
                            input type="hidden" name="unit-tare" value=(unit);
                        }
                    }
                }
                @for (key, said) in [("no-price", say::NO_PRICE), ("other-money", say::OTHER_MONEY)] { p.wrong hidden data-say=(key) role="alert" { (said) } }
                button.main type="submit" { (say::NEXT) }
                (beside())
                label.chip.alone hidden data-strike { input type="checkbox" name="struck" value="yes"; span { (say::STRIKE) } }
                label.chip.alone { input type="checkbox" name="drained" value="yes" checked data-keeps; span { (say::DRAINED) } }
                (self.named_buyer())
                (self.orders())
            }
        }
    }

    /// Who buys; who is known by name is offered, since standing buyers have no order of their own.
    fn named_buyer(&self) -> Markup {
        html! {
            div.field {
                label for="e-buyer" { (say::BUYER) }
                span.typed { input #e-buyer type="text" name="buyer" autocomplete="off" maxlength="60" data-stays list=[(!self.names.is_empty()).then_some("e-names")]; }
                datalist id="e-names" { @for name in &self.names { option value=(name) {} } }
            }
        }
    }

    /// Which lot a line is of: asked only where a table has several of one good.
    fn lot(&self) -> Markup {
        let Some(stand) = self.good() else { return html! {} };
        let here: Vec<&AtTable> = self.lots.iter().filter(|one| one.good == stand.good).collect();
        html! {
            div.field data-of-lot hidden[here.len() < 2] {
                label for="e-lot" { (say::LOT) }
                select #e-lot name="lot" {
                    @if here.is_empty() { option value=(stand.lot.as_deref().unwrap_or_default()) {} }
                    @for one in here { option value=(one.lot.as_deref().unwrap_or_default()) { (say::lot_choice(one, self.facts.manner)) } }
                }
            }
        }
    }

    fn orders(&self) -> Markup {
        let manner = self.facts.manner;
        html! {
            @if !self.orders.is_empty() {
                div.field {
                    label for="e-order" { (say::ORDER) }
                    select #e-order name="of_order" {
                        option value="" { (say::NO_ORDER) }
                        @for (order, open) in &self.orders {
                            option value=(order.entered.id) data-open=(open) hidden[*open <= 1e-6] data-buyer=(order.buyer) data-down=[self.down.get(&order.entered.id)] data-sold_as=(order.good.sold_as.word()) data-price=[order.pays.map(|pays| say::price(pays, manner, self.facts.farm.currency))] {
                                (order.buyer) ": " (say::good(&order.good)) ", " (say::amount(order.good.sold_as, *open, manner))
                            }
                        }
                    }
                }
            }
        }
    }

    /// The lines of this buyer so far, what they pay, and the receipt as text.
    fn this_buyer(&self) -> Markup {
        let facts = self.facts;
        let version = newest_form("paid").map_or(1, |form| form.version);
        let ways = ["cash", "card", "transfer", "other"];
        html! {
            section.part aria-labelledby="h-this" data-receipt data-mend=(say::MEND) data-none=(say::NO_LINE) {
                h2 id="h-this" { (say::THIS_RECEIPT) }
                ul.log.last data-lines { li { (say::NO_LINE) } }
                p.comes.change hidden data-change-was role="status" { (say::CHANGE_WAS) ": " b {} }
                p.down hidden data-down { (say::DOWN) ": " b {} }
                p.due { (say::DUE) ": " b data-due { "-" } }
                form.entry method="post" action=(format!("/f/{}/log/new", facts.id)) data-pay data-form=(version) {
                    input type="hidden" name="id" value=(sure_other(&self.id));
                    input type="hidden" name="kind" value="paid";
                    input type="hidden" name="made_ms" value=(self.made_ms);
                    input type="hidden" name="then" value=(format!("sale/receipt/{}", self.receipt));
                    input type="hidden" name="receipt" value=(self.receipt);
                    input type="hidden" name="table" value=(self.table);
                    div.field {
                        label for="e-paid" { (say::PAYS) }
                        span.typed.big {
                            input #e-paid type="text" name="paid" inputmode="decimal" autocomplete="off" maxlength="12";
                            span.unit { (facts.farm.currency.code()) }
                        }
                    }
                    p.comes.change hidden data-change role="status" { (say::CHANGE) ": " b {} }
                    p.comes hidden data-short role="status" { (say::SHORT) ": " b {} }
                    p.wrong hidden data-say="card-more" role="alert" { (say::CARD_MORE) }
                    p.wrong hidden data-say="no-money" role="alert" { (say::NO_MONEY) }
                    fieldset.chips {
                        legend { (say::BY) }
                        @for way in ways {
                            label.chip { input type="radio" name="paid_by" value=(way) checked[way == "cash"]; span { (say::word("paid_by", way)) } }
                        }
                    }
                    button.main type="submit" { (say::PAID) }
                    button type="button" hidden data-later { (say::LATER) }
                }
                details hidden data-text {
                    summary { (say::AS_TEXT) }
                    textarea rows="8" readonly aria-label=(say::AS_TEXT) data-farm=(facts.farm.name) data-title=(say::RECEIPT) data-total=(say::TOTAL)
                        data-food=(food()) {}
                    button type="button" data-copy { (say::COPY) }
                    p hidden data-say="copied" role="status" { (say::COPIED) }
                }
                div hidden data-others { h3 { (say::OTHERS) } ul.log {} }
            }
        }
    }

    /// What was handed to this table and nobody wrote down: kept on the phone like any other entry.
    fn more_here(&self) -> Markup {
        let version = newest_form("handed").map_or(1, |form| form.version);
        html! {
            details.more-here hidden data-more data-form=(version) {
                summary { (say::MORE_HERE) }
                p { (say::MORE_HERE_SAYS) }
                div.field {
                    label for="e-more" { (say::WEIGHT) " / " (say::PIECES) }
                    input #e-more type="text" inputmode="decimal" autocomplete="off" maxlength="12";
                }
                button type="button" data-more-keep { (say::MORE_HERE_KEEP) }
            }
        }
    }
}

/// What stands below a receipt, live and chilled.
fn food() -> String {
    [say::COMMON_NAME, say::ALLERGEN, say::KEEP, say::KEEP_LIVE, say::SPINES, say::RULES].join("\n")
}

/// Another mark made from one: two forms of a page without a script must not share it.
fn sure_other(id: &str) -> String {
    store::sha256_hex(id.as_bytes())[..32].to_owned()
}
