//! Exact values of Markov ponds by dynamic programming on a grid of the water's anomaly.
//!
//! Without forecasts and with nothing hidden the anomaly is the whole state: growth and losses multiply, so the value per
//! unit of what is alive depends on the day and the anomaly alone, as long as all ponds have the same water.

use super::Autumn;

const POINTS: usize = 321;
const NODES: usize = 61;

pub struct Grid<'a> {
    autumn: &'a Autumn,
    x: Vec<f64>,
    nodes: Vec<(f64, f64)>,
}

impl<'a> Grid<'a> {
    pub fn new(autumn: &'a Autumn) -> Grid<'a> {
        let half = 5.0 * autumn.sd_c;
        let x = (0..POINTS).map(|i| -half + 2.0 * half * i as f64 / (POINTS - 1) as f64).collect();
        // The trapezoid rule converges faster than any power on a bell curve.
        let mut nodes: Vec<(f64, f64)> = (0..NODES)
            .map(|i| {
                let z = -5.0 + 10.0 * i as f64 / (NODES - 1) as f64;
                (z * autumn.shock_sd(), units::exp(-0.5 * z * z))
            })
            .collect();
        let total: f64 = nodes.iter().map(|node| node.1).sum();
        nodes.iter_mut().for_each(|node| node.1 /= total);
        Grid { autumn, x, nodes }
    }

    fn at(&self, values: &[f64], x: f64) -> f64 {
        let step = self.x[1] - self.x[0];
        let place = ((x - self.x[0]) / step).clamp(0.0, (POINTS - 1) as f64 - 1e-9);
        let i = place.floor() as usize;
        values[i] + (place - i as f64) * (values[i + 1] - values[i])
    }

    /// Expectation, from each anomaly on `day`, of what one more day leaves of a crop times `next` at the anomaly then.
    fn over_a_day(&self, day: usize, next: &[f64]) -> Vec<f64> {
        let a = self.autumn;
        let grown = 1.0 + a.growth(day);
        let of = |x: &f64| {
            let sum: f64 = self
                .nodes
                .iter()
                .map(|&(shock, weight)| {
                    let then = a.memory * x + shock;
                    weight * (1.0 - a.taken(a.climate_c(day + 1) + then)) * self.at(next, then)
                })
                .sum();
            grown * sum
        };
        self.x.iter().map(of).collect()
    }

    /// Worth per unit alive of a start on `day` with a lead of `lead` days.
    fn started(&self, day: usize, lead: usize) -> Vec<f64> {
        (day..day + lead).rev().fold(vec![1.0; POINTS], |next, day| self.over_a_day(day, &next))
    }

    /// One pond; the value at the anomaly `x` on day 0.
    pub fn one(&self, x: f64) -> f64 {
        let lead = self.autumn.ponds[0].lead;
        let last = self.autumn.days - 1 - lead;
        let mut value = self.started(last, lead);
        for day in (0..last).rev() {
            let wait = self.over_a_day(day, &value);
            value = self.started(day, lead).iter().zip(&wait).map(|(a, b)| a.max(*b)).collect();
        }
        self.at(&value, x) * self.autumn.ponds[0].worth
    }

    /// Two ponds of leads 1 and 2 with one catch a day. The longer lead blocks the shorter on the morning after its start.
    pub fn two(&self, x: f64) -> f64 {
        let (short, long) = (&self.autumn.ponds[0], &self.autumn.ponds[1]);
        assert!(short.lead == 1 && long.lead == 2, "made for leads 1 and 2");
        let days = self.autumn.days;
        let worst = vec![-1e9; POINTS];
        // Values with: the short pond left; the short pond left and tomorrow's catch taken; the long one left; both left.
        let (mut a, mut a_blocked, mut b, mut both) = (worst.clone(), worst.clone(), worst.clone(), worst.clone());
        for day in (0..days).rev() {
            let can = |lead: usize| day + lead < days;
            let start = |pond: &super::ToyPond| match can(pond.lead) {
                true => self.started(day, pond.lead).iter().map(|v| v * pond.worth).collect(),
                false => worst.clone(),
            };
            let (start_a, start_b) = (start(short), start(long));
            let wait = |next: &[f64]| self.over_a_day(day, next);
            let (wait_a, wait_b, wait_both, wait_blocked) = (wait(&a), wait(&b), wait(&both), wait(&a_blocked));
            let pick = |options: &[&dyn Fn(usize) -> f64]| -> Vec<f64> {
                (0..POINTS).map(|i| options.iter().map(|option| option(i)).fold(f64::NEG_INFINITY, f64::max)).collect()
            };
            let next_both =
                pick(&[&|i| wait_both[i], &|i| start_a[i] + wait_b[i], &|i| start_b[i] + wait_blocked[i], &|i| {
                    start_a[i] + start_b[i]
                }]);
            // A blocked morning can only wait; the morning after it is free again.
            a_blocked = wait_a.clone();
            a = pick(&[&|i| wait_a[i], &|i| start_a[i]]);
            b = pick(&[&|i| wait_b[i], &|i| start_b[i]]);
            both = next_both;
        }
        self.at(&both, x)
    }
}
