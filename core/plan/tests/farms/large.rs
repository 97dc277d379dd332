//! Made-up farms of full size, shaped like a real autumn: ponds gain for weeks and then lose to the cold, on a different day in
//! every member; two pumps, a few hands, little ice.
#![allow(missing_docs, dead_code)]

use chance::{Purpose, Stream};
use plan::*;

pub struct Large {
    pub tables: Tables,
    pub limits: Limits,
    pub members: Vec<usize>,
}

/// A farm of `ponds` ponds over `days` days. `summary` gives one figure of pounds for all members.
pub fn large(number: u32, ponds: usize, days: usize, members: usize, summary: bool) -> Large {
    let mut draw = Stream::new(11, number, Purpose(8));
    let size: Vec<f64> = (0..ponds).map(|_| 0.4 + draw.uniform()).collect();
    let front: Vec<f64> = (0..members).map(|_| days as f64 * (0.75 + 0.1 * draw.normal())).collect();
    let lag: Vec<f64> = (0..ponds).map(|_| 4.0 * draw.normal()).collect();
    let pounds_acre: Vec<f64> = (0..members).map(|_| 900.0 + 120.0 * draw.normal()).collect();
    let price: Vec<f64> = (0..ponds).map(|_| 700.0 + 200.0 * draw.uniform()).collect();
    let pounds = |pond: usize, day: usize, member: usize| {
        let grown = 0.75 + 0.25 * (day as f64 / (0.6 * days as f64)).min(1.0);
        (size[pond] * pounds_acre[member] * grown).max(50.0).round()
    };
    let lost = |pond: usize, day: usize, member: usize| {
        let late = day as f64 - front[member] - lag[pond];
        if late <= 0.0 { 0.0 } else { (late / 8.0).min(1.0) }
    };
    let worth = |pond: usize, day: usize, member: usize| {
        (pounds(pond, day, member) * price[pond] * (1.0 - lost(pond, day, member)) - 900.0 * size[pond] * day as f64)
            .round()
    };
    let loss = |pond: usize, day: usize, member: usize| {
        (pounds(pond, day, member) * price[pond] * lost(pond, day, member)).round()
    };
    let by = if summary { 1 } else { members };
    let stream = |share: f64| {
        Grid::from_fn(ponds, days, by, |pond, day, member| {
            let mean = if summary {
                (0..members).map(|member| pounds(pond, day, member)).sum::<f64>() / members as f64
            } else {
                pounds(pond, day, member)
            };
            (share * mean).round()
        })
    };
    let tables = Tables {
        ponds,
        parts: vec![None; ponds],
        worth: Grid::from_fn(ponds, days, members, worth),
        cold_loss: Grid::from_fn(ponds, days, members, loss),
        loss_fraction: Grid::from_fn(ponds, days, members, lost),
        crossing: Grid::from_fn(ponds, days, members, |pond, day, member| lost(pond, day, member) > 0.0),
        pounds_lb: [stream(0.15), stream(0.6), stream(0.25)],
        extra_hand_hours: None,
    };
    let pond_limits = (0..ponds).map(|pond| pond_with(&mut draw, pond, size[pond], days)).collect();
    let mut limits = Limits::open(days, pond_limits);
    fill(&mut limits, ponds);
    Large { tables, limits, members: (0..members).collect() }
}

fn pond_with(draw: &mut Stream, pond: usize, size: f64, days: usize) -> PondLimits {
    let hours = |per_acre: f64| (per_acre * size).round() as i32;
    let pump = |count: f64| vec![(0, count), (1, 1.0 + count)];
    let mut ways = vec![
        Way { lead_hours: hours(60.0), gear: pump(2.0), fuel_per_hour: 2.0, cost_coins: 0.0 },
        Way { lead_hours: hours(100.0), gear: pump(1.0), fuel_per_hour: 1.0, cost_coins: 0.0 },
    ];
    if pond % 3 == 1 {
        ways.insert(0, Way { lead_hours: hours(70.0), ..Way::default() });
    }
    PondLimits {
        ways,
        catch_hours: (2.0 + 3.0 * size).round(),
        closed: (0..days).map(|_| draw.uniform() < 0.03).collect(),
        first_day_shares: if size > 0.9 { vec![0.5] } else { Vec::new() },
        ..PondLimits::default()
    }
}

fn fill(limits: &mut Limits, ponds: usize) {
    let days = limits.days;
    // Twelve ponds have the gear, hands and room of three farms of four.
    let farms = (ponds as f64 / 4.0).max(1.0);
    limits.now_hour = 6;
    limits.workday = (0..days).map(|day| day % 7 != 6).collect();
    limits.start_hours = (0..24).map(|hour| (5..21).contains(&hour)).collect();
    limits.daylight_hours = (0..days).map(|day| farms * (13.0 - (5.0 * day as f64 / 100.0).round())).collect();
    let gear = |amount: f64| Gear { amount, from_hour: i32::MIN, away: Vec::new() };
    limits.gear = vec![gear((2.0 * farms).floor()), gear((4.0 * farms).floor())];
    limits.fuel = Some(Fuel { in_store: 200.0 * farms, per_day: 40.0 * farms });
    limits.catches_per_day = Some((2.0 * farms) as u32);
    let day = |kind, per_lb, per_catch: f64, amount: Vec<f64>| DayLimit {
        kind,
        per_lb,
        per_catch,
        takes_extra_hours: false,
        amount: amount.into_iter().map(|amount| amount * farms).collect(),
    };
    let weekend = |day: usize| day % 7 >= 4;
    limits.day_limits = vec![
        day(DayKind::Pounds, [1.0, 1.0, 1.0], 0.0, vec![1500.0]),
        day(
            DayKind::Hands,
            [0.04, 0.04, 0.08],
            4.0,
            (0..days).map(|day| if weekend(day) { 72.0 } else { 48.0 }).collect(),
        ),
        day(DayKind::Ice, [0.0, 1.0, 1.0], 0.0, vec![1200.0]),
    ];
    limits.stores = vec![Store {
        kind: StoreKind::ColdStore,
        per_lb: [0.0, 0.0, 1.0],
        at_start_lb: 100.0,
        room_lb: vec![600.0 * farms],
        offtake_lb: vec![60.0 * farms],
    }];
    limits.orders =
        vec![Order { per_lb: [1.0, 0.0, 0.0], from_day: 0, to_day: days / 2, ceiling_lb: 60.0 * ponds as f64 }];
    limits.notices = vec![Notice { kind: NoticeKind::Ice, hours: 48, gear: None }];
}
