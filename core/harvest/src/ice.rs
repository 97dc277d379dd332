//! Ice: what a slurry takes, batch by batch, where it settles with too little, what holding and packing take, what to order.
//!
//! Model     heat balance of prawns, water, tub and what leaks in against ice that melts and warms
//! Units     kg, °C, kJ, W/K, hours
//! Range     ends from 0 °C up; ice at or below its melting point
//! Source    Graham, Johnston & Nicholson (1992), FAO Fisheries Technical Paper 331, chapter 3 (balance, latent heat 80 kcal/kg);
//!           Shawyer & Medina Pizzali (2003), FAO Fisheries Technical Paper 436, chapter 7 (melting in a container: K = UA / L).
//!           Whole animal 3.5 kJ/kg/K from Siebel's and Choi & Okos's equations
//! Left out  heat of killing and of rigor; slush that is lifted out with the prawns unless it is told

/// Heat that a kilogram of melting ice takes, kJ.
pub const MELTING_KJ_KG: f64 = 334.0;
/// Heat of a kilogram of water, of whole prawns, of tails, of ice for one degree, kJ.
pub const WATER_KJ_KG_K: f64 = 4.19;
/// See [`WATER_KJ_KG_K`].
pub const PRAWN_KJ_KG_K: f64 = 3.5;
/// See [`WATER_KJ_KG_K`].
pub const ICE_KJ_KG_K: f64 = 2.09;
/// Warmest slurry at which another batch may go in, °C. Common practice.
pub const NEXT_BATCH_C: f64 = 1.5;
/// Warmest end that is still cold, °C: 40 °F.
pub const COLD_C: f64 = 4.4;

/// One filling of a tub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slurry {
    /// Prawns that go in, kg.
    pub prawns_kg: f64,
    /// How warm they are, °C.
    pub prawns_c: f64,
    /// Water, kg.
    pub water_kg: f64,
    /// How warm it is before ice, °C.
    pub water_c: f64,
    /// Heat of the tub itself for one degree, kJ/K; it begins as warm as the water.
    pub tub_kj_k: f64,
    /// What the tub lets in, W/K.
    pub leak_w_k: f64,
    /// Air, °C.
    pub air_c: f64,
    /// How long it stands, h.
    pub hours: f64,
    /// The ice, °C: 0 or colder.
    pub ice_c: f64,
    /// Where it should end, °C.
    pub wanted_c: f64,
}

impl Slurry {
    /// Heat of the prawns down to where it should end, kJ.
    pub fn of_prawns_kj(&self) -> f64 {
        (self.prawns_kg * PRAWN_KJ_KG_K * (self.prawns_c - self.wanted_c)).max(0.0)
    }

    /// Heat of the water and the tub, kJ.
    pub fn of_water_kj(&self) -> f64 {
        ((self.water_kg * WATER_KJ_KG_K + self.tub_kj_k) * (self.water_c - self.wanted_c)).max(0.0)
    }

    /// Heat let in, kJ.
    pub fn let_in_kj(&self) -> f64 {
        (self.leak_w_k * (self.air_c - self.wanted_c) * self.hours * 3.6).max(0.0)
    }

    /// Ice that melts until it is where it should be, kg.
    pub fn ice_kg(&self) -> f64 {
        let taken = MELTING_KJ_KG + WATER_KJ_KG_K * self.wanted_c + ICE_KJ_KG_K * (0.0 - self.ice_c);
        (self.of_prawns_kj() + self.of_water_kj() + self.let_in_kj()) / taken
    }

    /// Where it settles with so much ice, °C: 0 where ice is left over.
    pub fn settles_c(&self, ice_kg: f64) -> f64 {
        let held = self.prawns_kg * PRAWN_KJ_KG_K + self.water_kg * WATER_KJ_KG_K + self.tub_kj_k;
        let heat = self.prawns_kg * PRAWN_KJ_KG_K * self.prawns_c
            + (self.water_kg * WATER_KJ_KG_K + self.tub_kj_k) * self.water_c
            - ice_kg * (MELTING_KJ_KG - ICE_KJ_KG_K * self.ice_c);
        // What leaks in is reckoned against the end: with a warm end there is less of it.
        let leak = self.leak_w_k * self.hours * 3.6;
        ((heat + leak * self.air_c) / (held + ice_kg * WATER_KJ_KG_K + leak)).max(0.0)
    }
}

/// FAO's short rule for lean fish: ice for the catch alone, kg.
pub fn short_rule_kg(prawns_kg: f64, prawns_c: f64) -> f64 {
    prawns_kg * prawns_c / 100.0
}

/// Ice that a closed container melts in some hours, kg.
pub fn melts_kg(leak_w_k: f64, air_c: f64, hours: f64) -> f64 {
    leak_w_k * air_c.max(0.0) * 3.6 * hours / MELTING_KJ_KG
}

/// A day's chilling.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IceDay {
    /// Prawns to be chilled, kg.
    pub prawns_kg: f64,
    /// Fillings of all tubs together.
    pub batches: f64,
    /// A tub as filled first: its water and what it lets in; prawns and hours are set by the day.
    pub first: Slurry,
    /// Tubs in use.
    pub tubs: f64,
    /// Kilograms of slush lifted out with a kilogram of prawns, to be made up.
    pub lifted_kg_kg: f64,
    /// Hours from the first batch to the last.
    pub hours: f64,
    /// Hours the chilled prawns are held on ice, and ice to a kilogram for bedding and packing them.
    pub hold_h: f64,
    /// See `hold_h`.
    pub pack_kg_kg: f64,
    /// Share that melts before it is used, and is ordered on top.
    pub margin: f64,
}

/// Where a day's ice goes, kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct IceNeed {
    /// Cooling the water the tubs are filled with.
    pub water_kg: f64,
    /// Cooling the prawns.
    pub prawns_kg: f64,
    /// Warmth that the tubs let in over the day.
    pub let_in_kg: f64,
    /// Slush lifted out with each batch.
    pub lifted_kg: f64,
    /// Bedding, holding, packing.
    pub pack_kg: f64,
    /// What melts on the way.
    pub margin_kg: f64,
}

impl IceNeed {
    /// All of it, kg.
    pub fn all_kg(&self) -> f64 {
        self.water_kg + self.prawns_kg + self.let_in_kg + self.lifted_kg + self.pack_kg + self.margin_kg
    }
}

/// Where a day's ice goes.
pub fn day(of: &IceDay) -> IceNeed {
    let one = Slurry { prawns_kg: of.prawns_kg, hours: of.hours, ..of.first };
    let taken = MELTING_KJ_KG + WATER_KJ_KG_K * one.wanted_c - ICE_KJ_KG_K * one.ice_c;
    let mut need = IceNeed {
        water_kg: of.tubs * one.of_water_kj() / taken,
        prawns_kg: one.of_prawns_kj() / taken,
        let_in_kg: of.tubs * one.let_in_kj() / taken + melts_kg(one.leak_w_k, of.first.air_c, of.hold_h) * of.tubs,
        // What is lifted is water and ice half and half; the water is made up from the cold tap and must be chilled as well.
        lifted_kg: of.prawns_kg
            * of.lifted_kg_kg
            * 0.5
            * (1.0 + WATER_KJ_KG_K * (one.water_c - one.wanted_c).max(0.0) / taken),
        pack_kg: of.prawns_kg * of.pack_kg_kg,
        margin_kg: 0.0,
    };
    need.margin_kg = of.margin * need.all_kg();
    need
}

/// What to order for a day among several, kg: what it needs and is not there, when no more can be had than so much a day.
///
/// Ice bought ahead melts; the latest days are therefore served first from their own day's ice.
pub fn orders(needs_kg: &[f64], on_hand_kg: f64, daily_most_kg: f64, melts_daily: f64) -> Vec<f64> {
    let mut orders = vec![0.0; needs_kg.len()];
    let mut carry_kg = on_hand_kg;
    for (day, &need_kg) in needs_kg.iter().enumerate() {
        let mut short_kg = (need_kg - carry_kg).max(0.0);
        carry_kg = (carry_kg - need_kg).max(0.0) * (1.0 - melts_daily);
        for back in (0..=day).rev() {
            let keeps = units::pow(1.0 - melts_daily, (day - back) as f64);
            let more_kg = (daily_most_kg - orders[back]).min(short_kg / keeps).max(0.0);
            orders[back] += more_kg;
            short_kg -= more_kg * keeps;
        }
    }
    orders
}

/// Room taken in a cold store by prawns on ice, m³: a kilogram of either in about two litres, and half as much again to walk.
/// Common practice.
pub fn store_m3(prawns_kg: f64, ice_kg: f64) -> f64 {
    0.002 * (prawns_kg + ice_kg) * 1.5
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plain(prawns_kg: f64) -> Slurry {
        Slurry {
            prawns_kg,
            prawns_c: 20.0,
            water_kg: 300.0,
            water_c: 16.0,
            tub_kj_k: 0.0,
            leak_w_k: 3.0,
            air_c: 25.0,
            hours: 3.0,
            ice_c: 0.0,
            wanted_c: 1.0,
        }
    }

    #[test]
    fn what_is_settled_at_with_the_ice_reckoned_is_what_was_wanted() {
        for slurry in [plain(300.0), Slurry { tub_kj_k: 80.0, ice_c: -6.0, ..plain(120.0) }] {
            let settles = slurry.settles_c(slurry.ice_kg());
            assert!((settles - slurry.wanted_c).abs() < 1e-9, "{settles}");
        }
    }

    #[test]
    fn a_day_is_the_sum_of_where_it_goes_and_cold_water_saves() {
        let of = IceDay {
            prawns_kg: 300.0,
            batches: 5.0,
            first: plain(0.0),
            tubs: 1.0,
            lifted_kg_kg: 0.0,
            hours: 3.0,
            hold_h: 0.0,
            pack_kg_kg: 0.0,
            margin: 0.25,
        };
        assert!(
            (day(&of).all_kg() - 1.25 * plain(300.0).ice_kg()).abs() < 1e-9,
            "one tub, nothing lifted: the plain balance"
        );
        let cold = IceDay { first: Slurry { water_c: 2.0, ..of.first }, ..of };
        assert!(day(&cold).all_kg() < 0.6 * day(&of).all_kg());
    }

    #[test]
    fn orders_fill_each_day_and_go_back_a_day_where_too_little_can_be_had() {
        assert_eq!(orders(&[100.0, 100.0], 50.0, 500.0, 0.1), [50.0, 100.0]);
        let got = orders(&[0.0, 300.0], 0.0, 200.0, 0.1);
        assert!((got[1] - 200.0).abs() < 1e-9 && (got[0] - 100.0 / 0.9).abs() < 1e-9, "{got:?}");
    }
}
