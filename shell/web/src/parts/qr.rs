//! A QR code: squares that a phone's camera reads as an address.

use maud::{Markup, html};
use qrcode::{Color, QrCode};

/// The code of a text as a drawing, dark on light in either theme, since many cameras read no other; `None` when the text is too
/// long for one.
pub fn code(text: &str, title: &str) -> Option<Markup> {
    let code = QrCode::new(text).ok()?;
    let width = code.width();
    let mut path = String::new();
    for (at, _) in code.to_colors().iter().enumerate().filter(|(_, color)| **color == Color::Dark) {
        path.push_str(&format!("M{} {}h1v1h-1z", at % width + 4, at / width + 4));
    }
    let side = width + 8;
    Some(html! {
        svg.qr role="img" viewBox=(format!("0 0 {side} {side}")) shape-rendering="crispEdges" {
            title { (title) }
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    })
}
