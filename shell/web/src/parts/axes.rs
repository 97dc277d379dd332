//! Where days and temperatures stand in a chart of water, and what all such charts draw: the coming dawns, the marks.

use maud::{Markup, html};
use season::answer::{Dawn, Outlook, PondOutlook};
use units::Day;
use words::figures::{Manner, bare};

/// Edges of the part that is drawn in, and what it spans.
pub struct Axes {
    /// Left and right edge.
    pub across: (f64, f64),
    /// Top and foot.
    pub down: (f64, f64),
    /// The day at the left edge.
    pub first: Day,
    /// Days from there to the right edge.
    pub days: f64,
    /// °C at the foot and at the top.
    pub temps_c: (f64, f64),
}

impl Axes {
    /// From this morning over the dawns that come, with both marks in sight and `above_k` of air over the warmest.
    pub fn coming(
        outlook: &Outlook,
        pond: &PondOutlook,
        dawns: &[Dawn],
        across: (f64, f64),
        down: (f64, f64),
        above_k: f64,
    ) -> Axes {
        let now = pond.measured.map_or(pond.modelled_c, |(_, _, temp_c)| temp_c.max(pond.modelled_c));
        let low_c = dawns.iter().map(|dawn| dawn.water_c.low).fold(outlook.cold_mark_c, f64::min);
        let high_c = dawns.iter().map(|dawn| dawn.water_c.high).fold(now.max(outlook.follow_mark_c), f64::max);
        let days = dawns.len().max(1) as f64 + 0.35;
        Axes { across, down, first: outlook.on, days, temps_c: (low_c - 1.5, high_c + above_k) }
    }
    /// Days from the first one, as a place across; held at the edges.
    pub fn x(&self, days: f64) -> f64 {
        let (left, right) = self.across;
        left + (right - left) * (days / self.days).clamp(0.0, 1.0)
    }
    /// A temperature as a place down; held at the edges.
    pub fn y(&self, temp_c: f64) -> f64 {
        let ((top, foot), (low_c, high_c)) = (self.down, self.temps_c);
        foot - (foot - top) * ((temp_c - low_c) / (high_c - low_c)).clamp(0.0, 1.0)
    }
    /// Days from the first one to a day's dawn.
    pub fn since(&self, day: Day) -> f64 {
        f64::from(day.0 - self.first.0)
    }
    /// A dawn's place in a path.
    pub fn point(&self, day: Day, temp_c: f64) -> String {
        format!("{:.1} {:.1}", self.x(self.since(day)), self.y(temp_c))
    }

    /// Paths of the likely line and of the band that holds 8 of 10, both from the water of `today`.
    pub fn fan(&self, today: Day, now_c: f64, dawns: &[Dawn]) -> [String; 2] {
        let now = std::iter::once(self.point(today, now_c));
        let of = |get: fn(&Dawn) -> f64| dawns.iter().map(move |dawn| self.point(dawn.day, get(dawn)));
        let likely: Vec<String> = now.clone().chain(of(|dawn| dawn.water_c.middle)).collect();
        let band: Vec<String> =
            now.chain(of(|dawn| dawn.water_c.high)).chain(of(|dawn| dawn.water_c.low).rev()).collect();
        [format!("M{}", likely.join(" L")), format!("M{} Z", band.join(" L"))]
    }

    /// What lies under the water's lines: the hatching below the cold mark, and the mark of following.
    pub fn under(&self, outlook: &Outlook) -> Markup {
        let ((left, right), (_, foot)) = (self.across, self.down);
        html! {
            path.hatch d=(hatched_below(self.y(outlook.cold_mark_c), left, right, foot)) {}
            (self.level("follow", outlook.follow_mark_c))
        }
    }

    /// What lies over them: the cold mark, and the figures of both marks at the side.
    pub fn over(&self, outlook: &Outlook, manner: Manner) -> Markup {
        html! {
            (self.level("cold", outlook.cold_mark_c))
            (self.scale(outlook.follow_mark_c, manner))
            (self.scale(outlook.cold_mark_c, manner))
        }
    }

    fn level(&self, class: &str, temp_c: f64) -> Markup {
        let ((left, right), y) = (self.across, format!("{:.1}", self.y(temp_c)));
        html! { line class=(class) x1=(left) y1=(y) x2=(right) y2=(y) {} }
    }

    /// A temperature's figure at the side.
    pub fn scale(&self, temp_c: f64, manner: Manner) -> Markup {
        html! {
            text.scale x=(self.across.0 - 5.0) y=(format!("{:.1}", self.y(temp_c) + 4.0)) { (bare(temp_c, manner)) "°" }
        }
    }

    /// A reading, `days` from the first day.
    pub fn reading(&self, days: f64, temp_c: f64, radius: f64) -> Markup {
        html! {
            circle.reading cx=(format!("{:.1}", self.x(days))) cy=(format!("{:.1}", self.y(temp_c))) r=(radius) {}
        }
    }
}

/// Slanting lines from a chart's foot up to the cold mark, between two sides: readable without colour.
pub fn hatched_below(cold: f64, left: f64, right: f64, foot_y: f64) -> String {
    let deep = foot_y - cold;
    if deep < 1.0 {
        return format!("M{left} {foot_y}");
    }
    let mut lines = String::new();
    let mut foot = left - deep;
    while foot < right {
        // Each runs up to the right from the foot to the mark, cut off at both sides.
        let (from, to) = (foot.max(left), (foot + deep).min(right));
        if to > from {
            lines.push_str(&format!("M{from:.1} {:.1}L{to:.1} {:.1}", foot_y - (from - foot), foot_y - (to - foot)));
        }
        foot += 7.0;
    }
    lines
}
