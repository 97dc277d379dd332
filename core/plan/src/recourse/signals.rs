//! What could be known each morning in each member's world, and the features the rule reads from it.
//!
//! A rule sees these and nothing else of a member. Each signal may carry marks: the rule bends at them, because what cold
//! takes bends there (nothing above the mark, more with every degree below).

/// One thing that can be known of a morning.
#[derive(Debug, Clone, PartialEq)]
pub struct SignalKind {
    /// Short key, for reports ("low_1_3").
    pub key: String,
    /// The pond it belongs to; `None` for what all ponds share, as the weather.
    pub pond: Option<usize>,
    /// Values at which what follows bends; may be empty.
    pub marks: Vec<f64>,
}

/// Signals by morning, kind and member, members innermost.
#[derive(Debug, Clone, PartialEq)]
pub struct Signals {
    kinds: Vec<SignalKind>,
    days: usize,
    members: usize,
    values: Vec<f64>,
}

impl Signals {
    /// A table of zeros, to be filled by [`Signals::of_mut`].
    pub fn new(kinds: Vec<SignalKind>, days: usize, members: usize) -> Signals {
        let values = vec![0.0; kinds.len() * days * members];
        Signals { kinds, days, members, values }
    }
    /// The kinds, in the order of the table.
    pub fn kinds(&self) -> &[SignalKind] {
        &self.kinds
    }
    /// Number of mornings.
    pub fn days(&self) -> usize {
        self.days
    }
    /// Number of members.
    pub fn members(&self) -> usize {
        self.members
    }
    /// All members of one signal on one morning.
    pub fn of(&self, day: usize, kind: usize) -> &[f64] {
        let from = (day * self.kinds.len() + kind) * self.members;
        &self.values[from..from + self.members]
    }
    /// All members of one signal on one morning, to be written.
    pub fn of_mut(&mut self, day: usize, kind: usize) -> &mut [f64] {
        let from = (day * self.kinds.len() + kind) * self.members;
        &mut self.values[from..from + self.members]
    }
    /// Whether every value is a number.
    pub fn all_finite(&self) -> bool {
        self.values.iter().all(|value| value.is_finite())
    }
}

/// One feature: a signal as it stands, or how far it is below a mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Feature {
    pub kind: usize,
    /// `Some(mark)`: the feature is mark - signal, or zero above the mark.
    pub below: Option<f64>,
    pub centre: f64,
    pub scale: f64,
}

impl Feature {
    fn raw(&self, signal: f64) -> f64 {
        self.below.map_or(signal, |mark| (mark - signal).max(0.0))
    }
    /// The feature's value for one value of its signal, brought to a common scale.
    pub fn value(&self, signal: f64) -> f64 {
        (self.raw(signal) - self.centre) * self.scale
    }
}

/// Which features each pond's question reads, with their scales.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shape {
    pub features: Vec<Feature>,
    /// For each pond, the indices of its features: what all share and its own.
    pub of_pond: Vec<Vec<usize>>,
}

impl Shape {
    /// Features of these signals for `ponds` ponds. A feature that hardly varies, or a hinge that is hardly ever touched, is
    /// left out: its slope would be all noise.
    pub fn new(signals: &Signals, ponds: usize) -> Shape {
        let mut shape = Shape { features: Vec::new(), of_pond: vec![Vec::new(); ponds] };
        for (kind, what) in signals.kinds.iter().enumerate() {
            let hinges = what.marks.iter().map(|&mark| Some(mark));
            for below in std::iter::once(None).chain(hinges) {
                let mut feature = Feature { kind, below, centre: 0.0, scale: 1.0 };
                let (mut n, mut sum, mut square, mut touched) = (0.0, 0.0, 0.0, 0usize);
                for day in 0..signals.days {
                    for &signal in signals.of(day, kind) {
                        let x = feature.raw(signal);
                        touched += usize::from(below.is_none_or(|mark| signal < mark));
                        n += 1.0;
                        sum += x;
                        square += x * x;
                    }
                }
                let mean = sum / n;
                let sd = (square / n - mean * mean).max(0.0).sqrt();
                if sd <= 1e-9 * (1.0 + mean.abs()) || touched < 5 {
                    continue;
                }
                feature.centre = if below.is_some() { 0.0 } else { mean };
                feature.scale = 1.0 / sd;
                let index = shape.features.len();
                shape.features.push(feature);
                for (pond, list) in shape.of_pond.iter_mut().enumerate() {
                    if what.pond.is_none_or(|own| own == pond) {
                        list.push(index);
                    }
                }
            }
        }
        shape
    }
}

/// One morning's features, feature outermost and members innermost.
pub(crate) fn morning_features(shape: &Shape, signals: &Signals, day: usize, into: &mut Vec<f64>) {
    into.clear();
    for feature in &shape.features {
        into.extend(signals.of(day, feature.kind).iter().map(|&signal| feature.value(signal)));
    }
}
