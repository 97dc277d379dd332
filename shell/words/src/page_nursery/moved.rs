//! Animals counted out of tanks, in words.

use season::tanks::{Moved, MovedTo};

use crate::figures::{day_short, grouped};

/// One count. `pond` gives a pond's name.
pub fn moved(one: &Moved, pond: &dyn Fn(&str) -> String) -> (String, String) {
    let to = match &one.to {
        MovedTo::Pond(id) => format!("{} into {}", one.tank, pond(id)),
        MovedTo::Tank(name) => format!("{} into {name}", one.tank),
        MovedTo::Stays => format!("{}, where they stay", one.tank),
        MovedTo::Away => format!("{}, nobody said where to", one.tank),
    };
    let number = grouped(one.count.round());
    let either = match one.either_way {
        Some(0.0) => ", one by one".to_owned(),
        Some(either) => format!(", more or less by {}", grouped(either.round())),
        None => ", from one sample: how sure it is nobody can say".to_owned(),
    };
    let weight = one.mean_weight_g.map_or(String::new(), |g| format!("; {g:.2} g each"));
    let grade = one.grade.as_deref().map_or(String::new(), |grade| format!("; {grade} grade"));
    let dead = if one.dead > 0.0 { format!("; {} died at it", grouped(one.dead)) } else { String::new() };
    (format!("{}, {to}", day_short(one.on)), format!("{number}{either}{weight}{grade}{dead}"))
}
