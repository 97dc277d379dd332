//! What is not known of the day: how much is in the pond, how much of it strands, how long it must lie in ice.
//!
//! Model     the plan's own cells for the day of the catch; stranding that grows as the water falls below the mark at which animals follow
//! Units     kg, g, °C, h; shares
//! Range     14 to 30 °C
//! Source    mark of 20 °C: Mississippi State University, harvesting of prawns (page); how much strands is our guess: 5 % on a floor
//!           with a basin, 8 % without, up to half at the cold mark
//! Left out  a floor's holes and ruts, which only a first emptying shows

use chance::{Purpose, Stream};
use farm::{Farm, PondCard};
use harvest::{DWELL_FROM_C, Future, Strands, chill};
use rayon::prelude::*;

use crate::drawn::Drawn;
use crate::worth::{Cell, Streams, Valuer};

/// Draws of the day beside the line's own.
const DAY: Purpose = Purpose(0x5EA5_0DA1);
/// Share that strands where animals follow the water: with a catch basin, without, and with silt before the drain on top.
const STRANDS: [f64; 3] = [0.05, 0.08, 0.04];
/// Share that strands at the cold mark.
const STRANDS_COLD: f64 = 0.5;
/// Spread of that share between farms and days, as a standard deviation of the logarithm: our guess, half or double for two in three.
const STRANDS_UNEVEN: f64 = 0.5;
/// Share sorted out as soft, dead or too small: our guess.
const CULLED: f64 = 0.03;
/// The thickest animals that must be cold against the mean by weight.
const THICKEST: f64 = 1.8;
/// Where the core should be, °C.
const CORE_C: f64 = 2.0;

/// What strands in a pond where its floor falls bare.
pub(crate) fn strands(farm: &Farm, card: &PondCard) -> Strands {
    let silt = if card.shape.silt_m > 0.05 { STRANDS[2] } else { 0.0 };
    Strands {
        warm_share: STRANDS[usize::from(!card.emptying.catch_basin)] + silt,
        cold_share: STRANDS_COLD,
        follow_c: farm.choices.follow_mark_c,
        cold_c: farm.choices.cold_mark_c,
    }
}

/// Each member's pond on the morning of the catch, and its water at first light, °C.
pub(crate) fn of_day(farm: &Farm, drawn: &Drawn, at: usize, day: usize) -> (Vec<Future>, Vec<f64>) {
    let standing = &drawn.ponds[at];
    let today = standing.today(drawn.members.today());
    let valuer = Valuer::new(farm, &standing.card, &today, &Streams::of(farm, 1.0));
    let (table, hidden) = (&drawn.tables_by_pond[at], &drawn.hidden[at]);
    (0..hidden.len())
        .into_par_iter()
        .map(|member| {
            let mut cells = vec![Cell::default(); drawn.days];
            valuer.member(table, member, &hidden[member], &mut cells);
            let cell = &cells[day];
            let mut stream = Stream::new(drawn.basis_seed(), member as u32, DAY);
            let uneven = units::exp(STRANDS_UNEVEN * stream.normal());
            let thick_m = chill::thickness_m(THICKEST * cell.mean_weight_g);
            let future = Future {
                mass_kg: cell.caught_kg,
                weight_g: cell.mean_weight_g,
                member,
                strands_uneven: uneven,
                culled_share: CULLED,
                dwell_h: DWELL_FROM_C
                    .map(|from_c| chill::dwell_h(thick_m, chill::SKIN_W_M2_K[1], from_c, CORE_C, chill::SLURRY_C)),
            };
            (future, cell.catch_dawn_c)
        })
        .unzip()
}
