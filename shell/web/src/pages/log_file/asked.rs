//! What the preview's address asks for: where the logger hung, and what was chosen over what was found.

use farm::logger::{Choices, DateOrder, FileClock, Holds};
use farm::observed::{Place, Spot};
use units::measure::{Kind, read};

/// The choices, as the address has them.
pub struct Asked {
    pub pond: String,
    pub end: String,
    /// As typed, with its unit.
    pub depth: String,
    pub sheet: usize,
    pub spot: Spot,
    pub choices: Choices,
}

/// A depth as typed, m.
pub fn depth_m(text: &str) -> Option<f64> {
    read(text, Kind::Length, None).ok().filter(|depth_m| (0.0..=30.0).contains(depth_m))
}

/// Address of the preview before anything was chosen.
pub fn address(farm: &str, token: &str, pond: &str, end: &str, depth: &str) -> String {
    let depth: String = depth
        .bytes()
        .map(|byte| match byte {
            b' ' => "+".to_owned(),
            byte if byte.is_ascii_alphanumeric() || byte == b'.' => char::from(byte).to_string(),
            byte => format!("%{byte:02X}"),
        })
        .collect();
    format!("/f/{farm}/log/file/{token}?pond={pond}&end={end}&depth={depth}")
}

impl Asked {
    /// From the fields of the address; `None` when the spot cannot be read.
    pub fn read(fields: &[(String, String)]) -> Option<Asked> {
        let field = |name: &str| fields.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str());
        let place = Place::ALL.into_iter().find(|place| place.name() == field("end"))?;
        let mut choices = Choices {
            order: match field("order") {
                "month" => Some(DateOrder::MonthFirst),
                "day" => Some(DateOrder::DayFirst),
                _ => None,
            },
            clock: FileClock::parse(field("clock")),
            ..Choices::default()
        };
        for (key, value) in fields {
            let column = key.strip_prefix('c').and_then(|at| at.parse::<usize>().ok());
            if let (Some(column), Some(holds)) = (column, Holds::parse(value)) {
                choices.columns.insert(column, holds);
            }
        }
        Some(Asked {
            pond: field("pond").to_owned(),
            end: field("end").to_owned(),
            depth: field("depth").to_owned(),
            sheet: field("sheet").parse().unwrap_or(0),
            spot: Spot { place, depth_m: depth_m(field("depth"))? },
            choices,
        })
    }

    /// A name for all of it: two looks of one name are one look.
    pub fn key(&self) -> String {
        let columns: Vec<String> =
            self.choices.columns.iter().map(|(at, holds)| format!("{at}={}", holds.key())).collect();
        let order = self.choices.order.map_or("", order_key);
        let clock = self.choices.clock.map_or(String::new(), FileClock::key);
        format!("{}|{}|{}|{}|{order}|{clock}|{}", self.pond, self.end, self.spot.depth_m, self.sheet, columns.join(","))
    }
}

/// Word of an order in the address.
pub fn order_key(order: DateOrder) -> &'static str {
    match order {
        DateOrder::MonthFirst => "month",
        DateOrder::DayFirst => "day",
    }
}
