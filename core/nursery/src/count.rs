//! How many came, from a few weighed and counted samples.
//!
//! Model     number = mean count / weight of a sample x weight of all, with Student's interval of the mean
//! Units     kg, animals
//! Range     two samples and more, drained alike
//! Source    arithmetic; that dipping a volume counts short: Hardin and others (1985), Aquacultural Engineering 4, 85-92
//! Left out  water that clings to small samples more than to all

use crate::student::t_95;

/// A count from samples.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Counted {
    /// Animals in all.
    pub number: f64,
    /// More or less by this, 95 times in 100; infinite for one sample.
    pub either_way: f64,
}

/// Counts a delivery from samples of one weight.
pub fn counted(counts: &[f64], sample_kg: f64, all_kg: f64) -> Option<Counted> {
    if counts.is_empty() || sample_kg <= 0.0 {
        return None;
    }
    let n = counts.len() as f64;
    let mean = counts.iter().sum::<f64>() / n;
    let scale = all_kg / sample_kg;
    let either_way = if counts.len() < 2 {
        f64::INFINITY
    } else {
        let square = counts.iter().map(|count| (count - mean) * (count - mean)).sum::<f64>() / (n - 1.0);
        t_95(counts.len() - 1) * square.sqrt() / n.sqrt() * scale
    };
    Some(Counted { number: mean * scale, either_way })
}
