//! Live tanks and hauling: load, oxygen, ammonia and warmth over the hours.
//!
//! Model     oxygen use doubling with ten degrees; ammonia that adds up in the water; a tank that warms toward the air
//! Units     kg, litres of water, °C, mg/L, hours
//! Range     market animals unfed for half a day and more, 18 to 26 °C, to 48 h
//! Source    loads: Coyle and others, transport of market-size prawns (abstract: 25 to 100 g/L lived 24 h, at 100 g/L 97 % at
//!           21 °C, 24 % at 26 °C); 12 to 15 g/L for 42 h: Smith & Wannamaker (1983), Aquacult. Eng. 2, 287-300. Oxygen 125 mg and
//!           ammonia 8 mg N a kilogram and hour at 20 °C: from memory. Load for warmth (5.6 % a degree Fahrenheit): Piper and
//!           others (1982), of fish: taken for the warmth alone
//! Left out  carbon dioxide, foam, what sick animals add

use pond::chemistry::unionized_fraction;

/// Ammonia nitrogen from a kilogram in an hour, g; oxygen likewise, at 20 °C.
pub const NITROGEN_G_KG_H: f64 = 0.008;
/// See [`NITROGEN_G_KG_H`].
pub const OXYGEN_G_KG_H: f64 = 0.125;
/// At and above this nothing is loaded, °C.
pub const TOO_WARM_C: f64 = 25.0;
/// More than this to a litre is not loaded at all, g.
pub const LOAD_MOST_G_L: f64 = 100.0;
/// Un-ionized ammonia that is too much, mg/L.
pub const FREE_AMMONIA_MOST_MG_L: f64 = 0.1;
/// Fastest cooling and warming, K/h. Common practice.
pub const TEMPER_DOWN_K_H: f64 = 3.0;
/// See [`TEMPER_DOWN_K_H`].
pub const TEMPER_UP_K_H: f64 = 2.0;

/// A load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveLoad {
    /// Animals, kg.
    pub prawns_kg: f64,
    /// Water, not tank, litres.
    pub water_l: f64,
    /// Water at the beginning, °C.
    pub water_c: f64,
    /// Air, °C.
    pub air_c: f64,
    /// What the tank lets in, W/K; 0 where a chiller holds it.
    pub leak_w_k: f64,
    /// Its pH.
    pub ph: f64,
    /// Share of the water that is changed in an hour.
    pub changed_per_h: f64,
    /// Pure oxygen, not air alone.
    pub has_oxygen: bool,
}

/// The tank at some hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiveHour {
    /// Hours since loading.
    pub hour: f64,
    /// Water, °C.
    pub water_c: f64,
    /// Oxygen the animals use, g/h.
    pub oxygen_g_h: f64,
    /// Ammonia nitrogen, mg/L.
    pub ammonia_mg_l: f64,
    /// Of that un-ionized, mg/L.
    pub free_ammonia_mg_l: f64,
}

impl LiveLoad {
    /// Grams to a litre of water.
    pub fn load_g_l(&self) -> f64 {
        1000.0 * self.prawns_kg / self.water_l
    }

    /// The usual most for so many hours, g/L: with pure oxygen 100 to 24 h, with air 50 to 12 h, beyond these 25; lower in warmer
    /// water than 21 °C.
    pub fn most_g_l(&self, hours: f64) -> f64 {
        let at_21 = usual_most_g_l(self.has_oxygen, hours);
        // The rule's size holds about its reference; it never raises a load above what was shown to work.
        let warmer_f = 1.8 * (self.water_c - 21.0);
        (at_21 * (1.0 - 0.056 * warmer_f)).clamp(0.0, at_21)
    }

    /// The tank at an hour.
    pub fn at(&self, hour: f64) -> LiveHour {
        let pull = 3.6 * self.leak_w_k / (4.19 * (self.water_l + 0.8 * self.prawns_kg));
        let water_c = self.air_c + (self.water_c - self.air_c) * units::exp(-pull * hour);
        let gain_mg_l_h = 1000.0 * NITROGEN_G_KG_H * self.prawns_kg / self.water_l;
        let ammonia_mg_l = if self.changed_per_h > 0.0 {
            gain_mg_l_h / self.changed_per_h * (1.0 - units::exp(-self.changed_per_h * hour))
        } else {
            gain_mg_l_h * hour
        };
        LiveHour {
            hour,
            water_c,
            oxygen_g_h: oxygen_g_h(self.prawns_kg, water_c),
            ammonia_mg_l,
            free_ammonia_mg_l: unionized_fraction(water_c, self.ph) * ammonia_mg_l,
        }
    }

    /// The first hour at which ammonia or warmth is too much, looked at every quarter hour; `None` within `hours`.
    pub fn good_until(&self, hours: f64) -> Option<f64> {
        let steps = (4.0 * hours).ceil() as u32;
        (0..=steps).map(|step| 0.25 * f64::from(step)).find(|&hour| {
            let at = self.at(hour);
            at.free_ammonia_mg_l > FREE_AMMONIA_MOST_MG_L || at.water_c >= TOO_WARM_C
        })
    }
}

/// The usual most at 21 °C, g/L.
pub fn usual_most_g_l(has_oxygen: bool, hours: f64) -> f64 {
    match (has_oxygen, hours) {
        (true, hours) if hours <= 24.0 => 100.0,
        (false, hours) if hours <= 12.0 => 50.0,
        _ => 25.0,
    }
}

/// Oxygen that animals use, g/h.
pub fn oxygen_g_h(prawns_kg: f64, water_c: f64) -> f64 {
    OXYGEN_G_KG_H * prawns_kg * units::pow(2.0, (water_c - 20.0) / 10.0)
}

/// Hours to bring animals from one water to another without harm.
pub fn temper_h(from_c: f64, to_c: f64) -> f64 {
    if to_c < from_c { (from_c - to_c) / TEMPER_DOWN_K_H } else { (to_c - from_c) / TEMPER_UP_K_H }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load() -> LiveLoad {
        LiveLoad {
            prawns_kg: 40.0,
            water_l: 800.0,
            water_c: 21.0,
            air_c: 21.0,
            leak_w_k: 20.0,
            ph: 7.2,
            changed_per_h: 0.0,
            has_oxygen: true,
        }
    }

    #[test]
    fn a_load_that_worked_is_let_through_and_one_that_killed_is_not() {
        // Coyle and others: at 100 g/L 97 % lived 24 h at 21 °C, 24 % at 26 °C.
        let full = LiveLoad { prawns_kg: 80.0, ..load() };
        assert!(full.load_g_l() <= full.most_g_l(24.0));
        let warm = LiveLoad { water_c: 26.0, ..full };
        assert!(warm.load_g_l() > warm.most_g_l(24.0) && warm.good_until(24.0) == Some(0.0));
    }

    #[test]
    fn changing_water_holds_ammonia_and_without_it_it_adds_up() {
        assert!((load().at(12.0).ammonia_mg_l - 4.8).abs() < 1e-9);
        let changed = LiveLoad { changed_per_h: 0.5, ..load() };
        assert!((changed.at(100.0).ammonia_mg_l - 0.8).abs() < 1e-9, "0.4 mg/L an hour over half the water");
        assert!((changed.at(1e-6).ammonia_mg_l / load().at(1e-6).ammonia_mg_l - 1.0).abs() < 1e-5);
    }

    #[test]
    fn warming_takes_longer_than_cooling() {
        assert_eq!((temper_h(26.0, 20.0), temper_h(20.0, 26.0)), (2.0, 3.0));
    }
}
