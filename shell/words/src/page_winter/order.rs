//! What is to be ordered and begun, day by day, worked back from a stocking.

use season::filling::FillPlan;
use season::winter::{Order, PREPARATION, Work};
use units::Day;

use super::filling::begins_before_d;
use crate::figures::{Manner, count, day_short, grouped};

/// What to order and by when each thing begins: day and what.
pub fn order_rows(order: &Order, stock_on: Day, fill: Option<&FillPlan>, manner: Manner) -> Vec<(String, String)> {
    let cubic = match manner {
        Manner::UsCustomary => format!("{} gallons", count(order.tank_m3 * 264.172)),
        Manner::Metric => format!("{:.1} m³", order.tank_m3),
    };
    let area = match manner {
        Manner::UsCustomary => format!("{} square feet", count(order.substrate_m2 * 10.7639)),
        Manner::Metric => format!("{:.0} m²", order.substrate_m2),
    };
    let date = |on: Day| format!("{} {}", day_short(on), on.ymd().0);
    let is_bought_nursed = order.arrive == stock_on;
    let mut rows = vec![
        (
            order.filter_from,
            format!("Start the biofilter and the heat: {:.0} weeks of warm tanks until stocking.", order.heated_weeks),
        ),
        (order.arrive, format!("The postlarvae come: tanks of {cubic} in all with {area} of netting in them.")),
    ];
    if is_bought_nursed {
        rows.clear();
    }
    let of_pond = PREPARATION.iter().filter(|(_, work)| !is_bought_nursed || *work != Work::CountOut);
    rows.extend(of_pond.map(|&(before, work)| {
        let before = if work == Work::Fill { begins_before_d(fill, before) } else { before };
        (stock_on.plus(-before), pond_work(work).to_owned())
    }));
    // Tanks and pond go on side by side: told as the days come.
    rows.sort_by_key(|(on, _)| *on);
    let now = (
        "Now".to_owned(),
        format!(
            "Order {} {}.",
            grouped((order.postlarvae / 100.0).ceil() * 100.0),
            if is_bought_nursed { "nursed juveniles, to come on the day of stocking" } else { "postlarvae" }
        ),
    );
    std::iter::once(now).chain(rows.into_iter().map(|(on, what)| (date(on), what))).collect()
}

/// Work on the pond, in a sentence or two.
fn pond_work(work: Work) -> &'static str {
    match work {
        Work::Mend => {
            "Pond: let it dry out, mend ruts and silt, take its depths anew for the set-up, test the soil and lime it if it is sour (see the sum)."
        }
        Work::Screens => "Pond: screens and drain tight, netting hung while it is dry, nets against birds.",
        Work::Fill => {
            "Pond: fill it through a fine sock, from water that may be drawn. Wild fish that come in with it eat more prawns than any bird."
        }
        Work::Fertilise => "Pond: fertilize until the disk goes out of sight at 12 to 18 inches (30 to 45 cm).",
        Work::Look => {
            "Pond: seine for fish and large insects; do not stock a pond that has fish. Tanks: weigh a sample."
        }
        Work::CountOut => "Tanks: no feed, count out and pack.",
        Work::Stock => {
            "Stock at dawn, tempered slowly, if the forecast keeps the mornings warm and the pond's pH is below 9.5."
        }
    }
}
