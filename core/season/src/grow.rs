//! What would a stocking grow to in given water?
//!
//! Model     growth, survival, cold and sizes of `stock`; the band from members that draw what nobody knows of the animals
//! Units     g, kg/ha, °C, days; shares 0 to 1
//! Range     wider values than the models were fitted to are answered with a remark; absurd ones are refused
//! Source    `docs/model/growth.md`, `survival.md`, `cold.md`, `sizes.md`
//! Left out  harvest before the last day, oxygen, disease; luck of the water (it is given)

use chance::{Purpose, Stream};
use farm::observed::Observed;
use stock::sizes::{G_PER_LB, USUAL_GRADES, tail_fraction};
use stock::{
    Crop, DayTally, GrowthParams, HIDDEN_DRAWS, Hidden, Mixture, StockParams, Stocking, SurvivalParams,
    crowding_per_ha, warmth,
};

mod answer;
mod question;
mod water;

pub use answer::{FormShare, GradeShare, GrowAnswer, GrowRemark, Spread};
pub use question::{GROW_RANGES, GrowError, GrowInput, GrowQuestion, GrowRange, GrowWater, PondKind};
pub use stock::Form;
pub use water::Bottom;
use water::{Course, course};

/// Members drawn for the band.
const MEMBERS: u32 = 2000;
const ANIMALS: Purpose = Purpose(0x5EA5_0600);

/// Answers [`GrowQuestion`].
///
/// # Errors
/// Says which value is absurd or what the water lacks.
pub fn grow(question: &GrowQuestion) -> Result<GrowAnswer, GrowError> {
    let mut remarks = Vec::new();
    judge(question, &mut remarks)?;
    let water = match question.water {
        GrowWater::Steady(temp_c) => steady(temp_c, question.days.ok_or(GrowError::NoDays)?),
        GrowWater::Read(observed) => read_water(observed, question.days, &mut remarks)?,
    };
    if !(90.0..=130.0).contains(&water.days) {
        remarks.push(GrowRemark::SizesOutOfSeason);
    }
    let params = params_for(question.pond);
    let stocking = Stocking {
        count: question.stocked_per_ha,
        weight_g: question.weight_g,
        per_ha: question.stocked_per_ha,
        substrate_fraction: question.substrate_fraction,
    };
    let crop = Crop::new(&stocking, &params);
    let standing = |hidden: &Hidden| {
        let animals = crop.standing(water.warm_days, water.days, water.dose_max, hidden);
        [animals.mean_weight_g, animals.count / stocking.count, animals.cold_alive_fraction, animals.mass_kg]
    };
    let likely = standing(&Hidden::MIDDLE);
    let mut drawn: [Vec<f64>; 4] = Default::default();
    for member in 0..MEMBERS {
        let mut stream = Stream::new(question.seed, member, ANIMALS);
        let normals: [f64; HIDDEN_DRAWS] = std::array::from_fn(|_| stream.normal());
        for (list, value) in drawn.iter_mut().zip(standing(&Hidden::from_normals(normals))) {
            list.push(value);
        }
    }
    let mut spreads = drawn.into_iter().zip(likely).map(|(values, likely)| spread(values, likely));
    let mut next = || spreads.next().expect("four values make four spreads");
    let (mean_weight_g, survival, cold_survival, yield_kg_ha) = (next(), next(), next(), next());
    let crowding = crowding_per_ha(&params.growth, question.stocked_per_ha, question.substrate_fraction);
    let mixture = Mixture::new(crowding, 0.0);
    let mean_g = mean_weight_g.likely;
    Ok(GrowAnswer {
        days: water.days,
        warm_days: water.warm_days,
        water_mean_c: water.mean_c,
        water_low_c: water.low_c,
        mean_weight_g,
        survival,
        cold_survival,
        yield_kg_ha,
        animal_range_g: (mixture.weight_at_fraction(mean_g, 0.1), mixture.weight_at_fraction(mean_g, 0.9)),
        count_per_lb: G_PER_LB / mean_g,
        tail_fraction: mixture.tail_fraction(),
        forms: forms(&mixture, mean_g),
        grades: grades(&mixture, mean_g),
        remarks,
    })
}

/// Refuses the absurd and remarks on what lies outside the fit.
fn judge(question: &GrowQuestion, remarks: &mut Vec<GrowRemark>) -> Result<(), GrowError> {
    for GrowRange { input, answered, fitted } in GROW_RANGES {
        let value = match (input, question.water) {
            (GrowInput::StockedPerHa, _) => Some(question.stocked_per_ha),
            (GrowInput::Weight, _) => Some(question.weight_g),
            (GrowInput::Substrate, _) => Some(question.substrate_fraction),
            (GrowInput::Days, _) => question.days,
            (GrowInput::Water, GrowWater::Steady(temp_c)) => Some(temp_c),
            (GrowInput::Water, GrowWater::Read(_)) => None,
        };
        let Some(value) = value else { continue };
        if !(answered.0..=answered.1).contains(&value) {
            return Err(GrowError::Absurd { input, value, answered });
        }
        if !(fitted.0..=fitted.1).contains(&value) {
            remarks.push(GrowRemark::OutsideFit { input, value, fitted });
        }
    }
    Ok(())
}

/// What the water did to any animals in it.
struct Lived {
    days: f64,
    warm_days: f64,
    dose_max: f64,
    mean_c: f64,
    low_c: f64,
}

/// Steady water in closed form for growth, by the hour for cold.
fn steady(temp_c: f64, days: f64) -> Lived {
    let mut tally = DayTally::new(temp_c);
    for _ in 0..((24.0 * days).round() as u32).max(1) {
        tally.hour(temp_c, temp_c, false);
    }
    Lived { days, warm_days: days * warmth(temp_c), dose_max: tally.end_day().dose_max, mean_c: temp_c, low_c: temp_c }
}

fn read_water(observed: &Observed, days: Option<f64>, remarks: &mut Vec<GrowRemark>) -> Result<Lived, GrowError> {
    let Course { hours_c, columns, daily } = course(observed)?;
    remarks.push(GrowRemark::Columns(columns));
    if daily {
        remarks.push(GrowRemark::DailyMeans);
    }
    let held = hours_c.len() / 24;
    let asked = days.unwrap_or(held as f64);
    let hours = (24.0 * asked).round() as usize;
    if held == 0 || hours > hours_c.len() {
        return Err(GrowError::WaterEndsAfter { asked, held: held as f64 });
    }
    let hours_c = &hours_c[..hours];
    let mut tally = DayTally::new(hours_c[0]);
    let mut lived = Lived { days: asked, warm_days: 0.0, dose_max: 0.0, mean_c: 0.0, low_c: f64::INFINITY };
    for day in hours_c.chunks(24) {
        for temp_c in day {
            tally.hour(*temp_c, *temp_c, false);
        }
        let row = tally.end_day();
        lived.warm_days += row.warm_days;
        lived.dose_max = row.dose_max;
        lived.low_c = lived.low_c.min(row.low_c);
    }
    lived.mean_c = hours_c.iter().sum::<f64>() / hours as f64;
    Ok(lived)
}

fn params_for(pond: PondKind) -> StockParams {
    let survival = match pond {
        PondKind::Usual => SurvivalParams::USUAL,
        PondKind::Research => SurvivalParams::RESEARCH,
        PondKind::FirstYear => SurvivalParams::FIRST_YEAR,
    };
    StockParams { growth: GrowthParams::FITTED, survival, ..StockParams::default() }
}

fn spread(mut values: Vec<f64>, likely: f64) -> Spread {
    values.sort_by(f64::total_cmp);
    let at = |fraction: f64| values[(fraction * (values.len() - 1) as f64).round() as usize];
    Spread { likely, low: at(0.1), high: at(0.9) }
}

fn forms(mixture: &Mixture, mean_g: f64) -> Vec<FormShare> {
    let share = |class: &stock::SizeClass| FormShare {
        form: class.form,
        number_fraction: class.number_fraction,
        mass_fraction: class.number_fraction * class.weight_ratio,
        mean_weight_g: class.weight_ratio * mean_g,
        tail_fraction: tail_fraction(class.form),
    };
    mixture.classes().iter().map(share).collect()
}

fn grades(mixture: &Mixture, mean_g: f64) -> Vec<GradeShare> {
    let mut heavier = (0.0, 0.0);
    let mut count_from_per_lb = 0.0;
    let mut list = Vec::with_capacity(USUAL_GRADES.len());
    for grade in USUAL_GRADES {
        let limit_g = grade.weight_min_g;
        let above = (mixture.number_above(mean_g, limit_g), mixture.weight_above(mean_g, limit_g));
        let count_to_per_lb = (limit_g > 0.0).then(|| G_PER_LB / limit_g);
        list.push(GradeShare {
            key: grade.key,
            count_from_per_lb,
            count_to_per_lb,
            number_fraction: above.0 - heavier.0,
            mass_fraction: above.1 - heavier.1,
        });
        heavier = above;
        count_from_per_lb = count_to_per_lb.unwrap_or(count_from_per_lb);
    }
    list
}

#[cfg(test)]
mod tests;
