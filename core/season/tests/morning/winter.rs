//! The winter plan of a sample pond: what it says must follow from the past years, and its money must close.

use season::farm::{Form, Pays, Price, Prices};
use season::winter::{Understood, Variant, WARM_DAWN_C, Winter, understand, winter};

use super::*;

fn asked<'a>(sample: &'a Sample, past: &'a FarmPast, typed: &[(&str, &str)]) -> Understood<'a> {
    let today = Day::new(2011, 12, 1).expect("a day");
    understand(&sample.farm, past, 1, today, typed).expect("understood")
}

fn answered(sample: &Sample, typed: &[(&str, &str)]) -> Winter {
    let past = sample.past().expect("a past");
    winter(&asked(sample, &past, typed).ask, &Watch::new()).expect("answered")
}

const FEW: [(&str, &str); 4] =
    [("first", "2012-05-20"), ("last", "2012-06-03"), ("thinnest", "12,000/ac"), ("densest", "28,000/ac")];

#[test]
fn later_is_warmer_and_closer_is_smaller() {
    let sample = hazel_bend();
    let found = answered(&sample, &FEW);
    assert_eq!(found.variants.len(), 25);
    assert_eq!(found.years.0, 60);
    let first = found.warm.first().expect("days");
    let last = found.warm.last().expect("days");
    assert!(first.chance < 0.2 && last.chance > 0.9, "{first:?} {last:?}");
    // A day whose week is warm from the next morning on is only then counted: the share never leaps down by much.
    assert!(found.warm.windows(2).all(|pair| pair[1].chance > pair[0].chance - 0.15), "{:?}", found.warm);
    let thin_and_close = |date: usize| (&found.variants[5 * date], &found.variants[5 * date + 4]);
    for date in 0..5 {
        let (thin, close) = thin_and_close(date);
        assert!(close.mean_weight_g.middle < 0.85 * thin.mean_weight_g.middle, "{thin:?} {close:?}");
        assert!(close.caught_kg.middle > thin.caught_kg.middle);
        assert!((close.count / thin.count - 28.0 / 12.0).abs() < 1e-6);
    }
    assert!(found.variants.iter().all(|one| one.catch_on >= one.on.plus(60) && one.cold_chance <= 0.5));
}

#[test]
fn the_water_of_a_year_does_not_hang_on_how_many_are_asked() {
    let sample = hazel_bend();
    let past = sample.past().expect("a past");
    let all = asked(&sample, &past, &FEW).ask;
    let few = season::winter::WinterAsk { years_most: 20, ..all.clone() };
    let chance = |ask| winter(ask, &Watch::new()).expect("answered").warm[30].chance;
    let (sixty, twenty) = (chance(&all) * 60.0, chance(&few) * 20.0);
    assert!((sixty - sixty.round()).abs() < 1e-9 && (twenty - twenty.round()).abs() < 1e-9);
    assert!(twenty <= sixty, "the last twenty years are among the sixty");
}

#[test]
fn money_by_month_closes_and_sales_are_weight_times_price() {
    let mut sample = hazel_bend();
    // One price for all sizes, no buyer's ceiling: what is sold can be worked out by hand.
    let coins_kg = 2000.0;
    let row = Price {
        form: Form::Whole,
        from_g: 0.0,
        to_g: f64::INFINITY,
        pays: Pays::PerKg(coins_kg),
        class: String::new(),
    };
    sample.farm.prices = Prices { rows: vec![row], tail_yield: None };
    sample.farm.orders.ceilings.clear();
    let mut typed = FEW.to_vec();
    typed.push(("juvenile_cost", "0.12"));
    typed.push(("other_costs", "250"));
    let found = answered(&sample, &typed);
    for one in &found.variants {
        let net: f64 = one.months.iter().map(|flow| flow.net()).sum();
        assert!(
            (net - one.net_mean_coins).abs() < 1e-6 * one.net_mean_coins.abs().max(1.0),
            "{net} {}",
            one.net_mean_coins
        );
        let animals: f64 = one.months.iter().map(|flow| flow.animals).sum();
        assert!((animals - (one.count * 12.0 + 25_000.0)).abs() < 1e-6 * animals);
        let sold: f64 = one.months.iter().map(|flow| flow.sold).sum();
        let by_hand = mean_kg(one) * coins_kg;
        assert!((sold / by_hand - 1.0).abs() < 0.1, "{sold} {by_hand}");
        let out: f64 = one.months.iter().map(|flow| flow.animals + flow.feed + flow.catch).sum();
        assert!((one.laid_out_coins - out).abs() < 1e-6 * out, "all is laid out before the sale in its own month");
    }
}

/// Middle of the band, good enough for a tenth.
fn mean_kg(one: &Variant) -> f64 {
    (one.caught_kg.low + one.caught_kg.middle + one.caught_kg.high) / 3.0
}

#[test]
fn an_order_is_worked_back_from_the_day_of_stocking() {
    let on = Day::new(2012, 6, 3).expect("a day");
    let back = season::winter::order(60_000.0, on, &season::winter::Nursing::USUAL);
    // Worked apart: 60,000 / (0.78 x 0.97) x 1.05, rounded up.
    assert_eq!(back.postlarvae, 83_268.0);
    assert_eq!((back.arrive, back.filter_from), (on.plus(-60), on.plus(-102)));
    assert!((back.substrate_m2 * 430.0 - back.postlarvae).abs() < 1e-6);
    let days: Vec<i32> = season::winter::PREPARATION.iter().map(|(before, _)| *before).collect();
    assert!(days.windows(2).all(|pair| pair[0] > pair[1]) && days[6] == 0);
    assert_eq!(back.fill_from, on.plus(-18));
}

#[test]
fn limits_of_money_and_chance_leave_out_what_breaks_them() {
    let sample = hazel_bend();
    let free = answered(&sample, &FEW);
    let best = &free.variants[free.best.expect("no limit is broken")];
    let most = best.laid_out_coins / 100.0 - 1.0;
    assert!(best.warm_chance >= 0.5, "{best:?}");
    let mut typed = FEW.to_vec();
    let cash = format!("{most:.2}");
    typed.push(("cash", cash.as_str()));
    let held = answered(&sample, &typed);
    if let Some(at) = held.best {
        assert!(held.variants[at].laid_out_coins <= most * 100.0);
    }
    assert_ne!(held.best, free.best);
    typed.pop();
    typed.push(("prices", "10 %"));
    typed.push(("risk", "1 %"));
    assert_eq!(answered(&sample, &typed).best, None, "at a tenth of the price every season loses money");
    // A date on which past springs were too cold is never advised, however much it would bring.
    let early: Vec<(&str, &str)> =
        FEW.iter().map(|&(key, text)| (key, if key == "last" { "2012-05-27" } else { text })).collect();
    let held = answered(&sample, &early);
    assert!(held.variants.iter().all(|one| one.warm_chance < 0.5) && held.best.is_none());
}

#[test]
fn what_is_typed_wrong_is_said_and_dollars_are_not_taken_for_other_money() {
    let sample = hazel_bend();
    let (today, past) = (Day::new(2011, 12, 1).expect("a day"), sample.past().expect("a past"));
    let wrong = |typed: &[(&str, &str)]| -> Vec<String> {
        let slips = understand(&sample.farm, &past, 0, today, typed).err().unwrap_or_default();
        slips.into_iter().map(|slip| slip.name).collect()
    };
    assert_eq!(wrong(&[("first", "2012-06-20"), ("last", "2012-06-01")]), ["last"]);
    assert_eq!(wrong(&[("last_catch", "2012-06-20")]), ["last_catch"]);
    assert_eq!(wrong(&[("first", "spring")]), ["first"]);
    assert_eq!(wrong(&[("thinnest", "20,000/ac"), ("densest", "10,000/ac")]), ["densest"]);
    assert_eq!(wrong(&[("moon", "full")]), ["moon"]);
    let metric = sample_of_other_money();
    let slips = understand(&metric.farm, &past, 0, today, &[]).expect_err("no price in dollars");
    assert_eq!(slips[0].name, "juvenile_cost");
    assert!(WARM_DAWN_C > metric.farm.choices.cold_mark_c);
}

fn sample_of_other_money() -> Sample {
    sample(RIO_MANSO, RIO_MANSO_SAYS)
}
