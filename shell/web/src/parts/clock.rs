//! Hours of a clock as a place across a chart: nights shaded, noons and midnights named.

use maud::{Markup, html};
use season::drain::Drain;
use words::figures::Manner;
use words::page_drain as say;

/// The hours of a chart and where they stand.
pub struct Hours<'a> {
    /// Whose they are.
    pub of: &'a Drain,
    /// How its clock is read.
    pub manner: Manner,
    /// Left and right edge.
    pub across: (f64, f64),
    /// Top and foot.
    pub down: (f64, f64),
}

impl Hours<'_> {
    fn span(&self) -> (f64, f64) {
        let from_h = self.of.opening.start_h;
        (from_h, from_h + self.of.opening.course.end_hours().max(1.0))
    }

    /// A clock hour as a place across; held at the edges.
    pub fn x(&self, at_h: f64) -> f64 {
        let (from_h, to_h) = self.span();
        self.across.0 + (self.across.1 - self.across.0) * ((at_h - from_h) / (to_h - from_h)).clamp(0.0, 1.0)
    }

    /// The nights, shaded.
    pub fn nights(&self) -> Markup {
        html! {
            @for &(from_h, to_h) in &self.of.nights_h {
                rect.night x=(format!("{:.1}", self.x(from_h))) y=(self.down.0)
                    width=(format!("{:.1}", self.x(to_h) - self.x(from_h))) height=(self.down.1 - self.down.0) {}
            }
        }
    }

    /// Ticks at every sixth hour, and the names of noons and midnights as far as there is room.
    pub fn ticks(&self) -> Markup {
        let (from_h, to_h) = self.span();
        let foot = self.down.1;
        let sixths = |every_h: f64| {
            let first = (from_h / every_h).ceil() as i32;
            (first..=(to_h / every_h).floor() as i32).map(move |k| f64::from(k) * every_h)
        };
        let named_h = if to_h - from_h > 84.0 {
            24.0
        } else if to_h - from_h > 30.0 {
            12.0
        } else {
            6.0
        };
        html! {
            line.floor x1=(self.across.0) y1=(foot) x2=(self.across.1) y2=(foot) {}
            @for at_h in sixths(6.0) {
                line.tick x1=(format!("{:.1}", self.x(at_h))) y1=(foot) x2=(format!("{:.1}", self.x(at_h))) y2=(foot + 4.0) {}
            }
            @for at_h in sixths(named_h) {
                text.day x=(format!("{:.1}", self.x(at_h))) y=(foot + 16.0) { (say::hour_name(self.of, at_h, self.manner)) }
            }
        }
    }
}
