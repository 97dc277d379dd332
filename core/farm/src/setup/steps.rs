//! In which order a farm is described: what is asked first, and what stands one tap away.

/// One page of the set-up.
#[derive(Debug, Clone, Copy)]
pub struct Step {
    /// Its name in addresses.
    pub id: &'static str,
    /// What it asks for.
    pub asked: &'static [Asked],
}

/// Questions of one section.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// Where the answers stand in a draft; `#` is the row on the page's address, `*` each row of a list on the page.
    pub section: &'static str,
    /// Keys that are asked at once.
    pub first: &'static [&'static str],
    /// Keys that can wait.
    pub later: &'static [&'static str],
}

/// Every page, in order.
pub static STEPS: &[Step] = &[
    Step {
        id: "place",
        asked: &[
            Asked { section: "farm", first: &["name"], later: &["currency"] },
            Asked { section: "place", first: &["latitude", "longitude"], later: &["elevation", "time_zone"] },
            Asked { section: "season", first: &["last_catch"], later: &["survival"] },
        ],
    },
    Step {
        id: "pond",
        asked: &[
            Asked {
                section: "pond.#",
                first: &["name", "paces_long", "paces_wide", "shallow_depth", "deep_depth"],
                later: &["area", "length", "width", "side_slope", "area_by_depth", "silt"],
            },
            Asked { section: "farm", first: &[], later: &["pace"] },
            Asked {
                section: "pond.#",
                first: &["outlet", "outlet_across", "empties_in"],
                later: &["pumps", "catch_depth", "catch_basin", "catch_time"],
            },
            Asked { section: "pond.#.stocked", first: &["on", "density", "mean_weight"], later: &["count"] },
            Asked {
                section: "pond.#",
                first: &[],
                later: &[
                    "wind_factor",
                    "secchi",
                    "plants",
                    "substrate",
                    "aerator",
                    "aerator_kind",
                    "aerator_hours",
                    "bank_closed_by_rain",
                    "bank_closed_for",
                    "outlet_drowned_by_rain",
                    "outlet_drowned_for",
                    "two_days",
                    "early_seining",
                    "forbidden",
                    "locked",
                    "harvested",
                    "draining_since",
                ],
            },
        ],
    },
    Step {
        id: "memory",
        asked: &[Asked {
            section: "told",
            first: &["pounds", "hands", "hours", "coldest", "coldest_of", "died"],
            later: &[],
        }],
    },
    Step { id: "weather", asked: &[Asked { section: "weather", first: &["history"], later: &["history_moved"] }] },
    Step {
        id: "work",
        asked: &[
            Asked {
                section: "crew",
                first: &["owners", "helpers_weekday", "helpers_weekend"],
                later: &[
                    "helpers_sure",
                    "notice",
                    "hours",
                    "start",
                    "per_hand_hour",
                    "opens_from",
                    "opens_until",
                    "ponds_a_day",
                ],
            },
            Asked {
                section: "cold",
                first: &["ice_daily"],
                later: &[
                    "ice",
                    "ice_notice",
                    "ice_per_prawn",
                    "live_tanks",
                    "live_tank_holds",
                    "live_density",
                    "live_nights",
                ],
            },
            Asked { section: "pump.*", first: &[], later: &["name", "rate", "drive", "fuel", "notice", "cost"] },
            Asked {
                section: "gear",
                first: &[],
                later: &[
                    "baskets",
                    "basket_holds",
                    "basket_round",
                    "generators",
                    "pumps_per_generator",
                    "generator_fuel",
                    "fuel",
                    "fuel_daily",
                ],
            },
            Asked {
                section: "line",
                first: &[],
                later: &[
                    "haul",
                    "haul_hands",
                    "hauls",
                    "haul_takes",
                    "gather",
                    "dip",
                    "carry",
                    "rinse",
                    "sort",
                    "weigh",
                    "scales",
                    "tubs",
                    "tub_holds",
                    "load",
                    "head",
                    "wash",
                    "pack",
                ],
            },
            Asked {
                section: "helper.*",
                first: &[],
                later: &["name", "count", "kind", "from", "until", "sure", "days"],
            },
            Asked {
                section: "tank.*",
                first: &[],
                later: &["name", "water", "bottom", "netting", "filter", "changed", "kept_at"],
            },
            Asked { section: "source.*", first: &[], later: &["name", "kind", "rate", "hours", "may_be_drawn"] },
            Asked { section: "store", first: &[], later: &["holds", "taken", "notice", "nights", "cost"] },
            Asked { section: "calendar", first: &[], later: &["workdays", "holidays"] },
            Asked {
                section: "rhythm",
                first: &[],
                later: &["tray", "screens", "nets", "tests", "secchi", "sample", "mow"],
            },
        ],
    },
    Step {
        id: "sale",
        asked: &[
            Asked { section: "price.*", first: &["form", "price"], later: &["size"] },
            Asked {
                section: "selling",
                first: &["handled_daily"],
                later: &["tail_yield", "weekdays", "days", "opens", "slot", "slot_buyers", "unsold_at"],
            },
            Asked { section: "order.*", first: &[], later: &["form", "daily", "in_all", "sold", "notice"] },
            Asked {
                section: "buyer.*",
                first: &[],
                later: &["name", "form", "size", "takes", "pieces", "price", "contact", "weekdays"],
            },
            Asked { section: "costs", first: &[], later: &["feed", "power", "hand_hour", "fuel", "ice", "packing"] },
            Asked {
                section: "choices",
                first: &[],
                later: &["cold_mark", "follow_mark", "guard", "guard_chance", "keep_level", "risk_weight"],
            },
        ],
    },
];

/// The page with this name.
pub fn step(id: &str) -> Option<&'static Step> {
    STEPS.iter().find(|step| step.id == id)
}

/// The page on which an address is asked for.
pub fn asked(at: &str) -> Option<&'static Step> {
    let (section, name) = at.rsplit_once('.')?;
    let as_listed: Vec<&str> = section.split('.').collect();
    let fits = |listed: &str| {
        let listed: Vec<&str> = listed.split('.').collect();
        listed.len() == as_listed.len()
            && listed
                .iter()
                .zip(&as_listed)
                .all(|(one, other)| one == other || (matches!(*one, "#" | "*") && other.parse::<usize>().is_ok()))
    };
    let asks = |asked: &Asked| fits(asked.section) && (asked.first.contains(&name) || asked.later.contains(&name));
    STEPS.iter().find(|step| step.asked.iter().any(asks))
}
