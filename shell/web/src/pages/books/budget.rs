//! The budget filled from the winter plan: one pond after the other lives through its past years as it was stocked last, and what that
//! costs and brings by month becomes lines of the budget.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use farm::facts::Fact;
use maud::{Markup, html};
use season::winter::{Variant, WinterAsk, understand, winter};
use store::StoreError;
use units::{Money, Watch};
use words::page_money as say;

use super::Open;
use crate::pages::{missing, onward};
use crate::parts::frame::plain;
use crate::record::{Record, waiting};
use crate::served::Served;
use crate::site::Site;

/// The way to it.
pub(super) fn offer(open: &Open) -> Markup {
    html! {
        details {
            summary { (say::FROM_WINTER) }
            p { (say::FROM_WINTER_SAYS) }
            form method="post" action=(format!("/f/{}/books/budget", open.facts().id)) {
                button type="submit" { (say::FROM_WINTER_NOW) }
            }
        }
    }
}

pub async fn fill(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (Some(desk), Some(record)) = (site.desk(&farm), site.record()) else { return missing() };
    let facts = desk.facts();
    match waiting(|| lines(record, &facts)) {
        Ok((all, first)) => match waiting(|| record.keep_all(all)) {
            Ok(()) => onward(&format!("/f/{farm}/books?year={first}#h-meant")),
            Err(error) => refused(&words::store::error(record.store().path(), &error)),
        },
        Err(said) => refused(&said),
    }
}

fn refused(said: &str) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, plain(say::FROM_WINTER, said)).into_response()
}

/// The lines of every pond, and the first month they are of.
fn lines(record: &Record, facts: &Served) -> Result<(Vec<Fact>, String), String> {
    let mut all = Vec::new();
    let mut first = None;
    for place in 0..facts.farm.ponds.len() {
        let understood = understand(&facts.farm, &facts.past, place, facts.on, &[])
            .map_err(|slips| slips.iter().map(words::sums::slip).collect::<Vec<_>>().join(" "))?;
        let middle = |count: usize| count / 2;
        let ask = WinterAsk {
            dates: vec![understood.ask.dates[middle(understood.ask.dates.len())]],
            per_ha: vec![understood.ask.per_ha[middle(understood.ask.per_ha.len())]],
            ..understood.ask
        };
        let found = winter(&ask, &Watch::new()).map_err(|error| words::trouble::outlook(&error))?;
        let variant = &found.variants[0];
        first = first.or(Some(variant.on));
        all.extend(
            of_pond(record, facts, place, variant)
                .map_err(|error| words::store::error(record.store().path(), &error))?,
        );
    }
    Ok((all, first.map(|day| day.to_string()).unwrap_or_default()))
}

fn of_pond(record: &Record, facts: &Served, place: usize, one: &Variant) -> Result<Vec<Fact>, StoreError> {
    let (farm, kg) = (&facts.farm, one.caught_kg.middle);
    let mut all = Vec::new();
    for flow in &one.months {
        // What a catch costs is hands, ice and packing: the last two go by its weight.
        let (ice, packing) = match flow.catch > 0.0 {
            true => (kg * farm.cold.ice_per_kg * farm.costs.ice_kg, kg * farm.costs.packing_kg),
            false => (0.0, 0.0),
        };
        let hands = (flow.catch - ice - packing).max(0.0);
        let accounts = [
            ("postlarvae", flow.animals),
            ("feed", flow.feed),
            ("hands", hands),
            ("ice", ice),
            ("packing", packing),
            ("sales", flow.sold),
        ];
        for (account, coins) in accounts.into_iter().filter(|(_, coins)| *coins >= 1.0) {
            let mut typed = BTreeMap::from([
                ("account".to_owned(), account.to_owned()),
                ("meant".to_owned(), say::plain(Money::from_computed(coins), farm.currency)),
                ("pond".to_owned(), farm.ponds[place].id.clone()),
                ("in_month".to_owned(), format!("{:04}-{:02}-01", flow.month.0, flow.month.1)),
                ("note".to_owned(), say::FROM_WINTER_NOTE.to_owned()),
            ]);
            if account == "sales" {
                typed.insert("meant_weight".to_owned(), format!("{kg:.1} kg"));
                typed.insert("meant_survival".to_owned(), format!("{:.0} %", 100.0 * one.survival.middle));
            }
            let mut fact = record.begun(facts, &record.store().new_id()?, "budget");
            fact.typed = typed;
            all.push(fact);
        }
    }
    Ok(all)
}
