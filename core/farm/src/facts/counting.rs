//! How many came, from a few weighed and counted samples.
//!
//! Model     number = mean count / weight of a sample x weight of all, with Student's interval of the mean
//! Units     sample and all in one unit, of weight or of volume; animals
//! Range     two samples and more, drained alike
//! Source    arithmetic; that dipping a volume counts short: Hardin and others (1985), Aquacultural Engineering 4, 85-92
//! Left out  water that clings to small samples more than to all

use std::collections::BTreeMap;

use units::t_95;

use super::typed::{FactRead, Slip};
use crate::inputs::{input, read_list};
use crate::reasons::Wrong;

/// A count from samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counted {
    /// Animals in all.
    pub number: f64,
    /// More or less by this, 95 times in 100; infinite for one sample.
    pub either_way: f64,
}

/// Counts animals from samples of one weight, or one volume.
pub fn counted(counts: &[f64], sample: f64, all: f64) -> Option<Counted> {
    if counts.is_empty() || sample <= 0.0 {
        return None;
    }
    let n = counts.len() as f64;
    let mean = counts.iter().sum::<f64>() / n;
    let scale = all / sample;
    let either_way = if counts.len() < 2 {
        f64::INFINITY
    } else {
        let square = counts.iter().map(|count| (count - mean) * (count - mean)).sum::<f64>() / (n - 1.0);
        t_95(counts.len() - 1) * square.sqrt() / n.sqrt() * scale
    };
    Some(Counted { number: mean * scale, either_way })
}

/// What an entry of animals counted out of a tank comes to: `number`, `either_way` where it can be told, and `mean_weight` where samples
/// were weighed and nobody wrote it. What is missing is added to what is wrong.
pub(super) fn count_out(read: &mut FactRead, typed: &BTreeMap<String, String>) {
    let said = |name: &str| typed.get(name).is_some_and(|text| !text.trim().is_empty());
    let value = |read: &FactRead, name: &str| read.values.get(name).copied();
    let slip = |read: &mut FactRead, field: &str, key: &'static str, what: Wrong| {
        let typed = typed.get(field).cloned().unwrap_or_default();
        read.slips.push(Slip { field: field.to_owned(), input: key, typed, what });
    };
    if said("pond") && said("to_tank") {
        slip(read, "to_tank", "log.to_tank", Wrong::Both { other: "log.pond" });
    }
    if said("counts") && said("each") {
        slip(read, "each", "log.each", Wrong::Both { other: "log.counts" });
    }
    let counts = typed.get("counts").and_then(|text| read_list(input("log.counts"), text).ok()).unwrap_or_default();
    let by_volume = said("sample_volume") || said("all_volume");
    let (part, whole, keys) = match by_volume && !said("sample_weight") {
        true => ("sample_volume", "all_volume", ["log.sample_volume", "log.all_volume"]),
        false => ("sample_weight", "all_weight", ["log.sample_weight", "log.all_weight"]),
    };
    if !counts.is_empty() {
        for (name, key) in [part, whole].into_iter().zip(keys) {
            if !said(name) {
                slip(read, name, key, Wrong::Missing);
            }
        }
        if let (Some(sample), Some(all)) = (value(read, part), value(read, whole))
            && let Some(count) = counted(&counts, sample, all)
        {
            read.values.insert("number".to_owned(), count.number.round());
            if count.either_way.is_finite() {
                read.values.insert("either_way".to_owned(), count.either_way);
            }
            let in_samples: f64 = counts.iter().sum();
            if part == "sample_weight" && in_samples > 0.0 {
                let mean_g = sample * counts.len() as f64 / in_samples;
                read.values.entry("mean_weight".to_owned()).or_insert(mean_g);
            }
        }
    } else if let Some(each) = value(read, "each") {
        read.values.insert("number".to_owned(), each);
        read.values.insert("either_way".to_owned(), 0.0);
    }
    let weighed = said("counts") && part == "sample_weight";
    if said("pond") && !said("mean_weight") && !weighed && (said("counts") || said("each")) {
        slip(read, "mean_weight", "log.young_weight", Wrong::Missing);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::read_typed;

    fn read(typed: &str) -> FactRead {
        let pairs = typed.split(';').filter_map(|pair| pair.split_once('='));
        read_typed("counted_out", 1, &pairs.map(|(key, text)| (key.to_owned(), text.to_owned())).collect())
    }

    /// The worked example of the reference: 412, 398, 431, 405, 419 in samples of 10 g, 1,450 g in all: 59,885 ± 2,295.
    #[test]
    fn a_count_is_read_from_samples_of_weight_or_of_volume_or_one_by_one() {
        let by_weight = read("tank=North;pond=willow;counts=412,398,431,405,419;sample_weight=10 g;all_weight=1450 g");
        assert!(by_weight.slips.is_empty(), "{:?}", by_weight.slips);
        assert_eq!(by_weight.values["number"], 59_885.0);
        assert!((by_weight.values["either_way"] - 2295.0).abs() < 2.0, "{:?}", by_weight.values);
        assert!(
            (by_weight.values["mean_weight"] - 50.0 / 2065.0).abs() < 1e-12,
            "weight of the samples over their animals"
        );
        let by_volume = read("tank=North;counts=40 44;sample_volume=0.5 l;all_volume=100 l");
        assert!(by_volume.slips.is_empty() && by_volume.values["number"] == 8400.0, "{by_volume:?}");
        let each = read("tank=North;to_tank=West;each=812;grade=upper;dead=4");
        assert!(each.slips.is_empty() && each.values["number"] == 812.0 && each.values["either_way"] == 0.0);
        let one_sample = read("tank=North;counts=40;sample_weight=10 g;all_weight=1 kg");
        assert_eq!((one_sample.values["number"], one_sample.values.get("either_way")), (4000.0, None));
    }

    #[test]
    fn what_is_missing_or_said_twice_is_named_at_its_field() {
        let fields = |typed: &str| read(typed).slips.into_iter().map(|slip| slip.field).collect::<Vec<_>>();
        assert_eq!(fields("tank=North"), ["counts"]);
        assert_eq!(fields("tank=North;counts=40 44;sample_weight=10 g"), ["all_weight"]);
        assert_eq!(fields("tank=North;counts=40 44;all_volume=10 l"), ["sample_volume"]);
        assert_eq!(fields("tank=North;pond=willow;to_tank=West;each=90;mean_weight=0.3 g"), ["to_tank"]);
        assert_eq!(fields("tank=North;each=90;counts=4;sample_weight=1 g;all_weight=2 g"), ["each"]);
        assert_eq!(
            fields("tank=North;pond=willow;each=90"),
            ["mean_weight"],
            "a pond is stocked with animals of a weight"
        );
        assert_eq!(fields("tank=North;counts=40, many;sample_weight=1 g;all_weight=2 g"), ["counts"]);
        assert!(fields("struck=yes").is_empty());
    }
}
