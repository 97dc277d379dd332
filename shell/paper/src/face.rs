//! The two faces that all is set in, and how wide a text is in them.

use std::sync::LazyLock;

use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};

/// DejaVu Sans Condensed; its licence lies beside it.
pub(crate) const PLAIN: &[u8] = include_bytes!("../fonts/DejaVuSansCondensed.ttf");
/// The same, bold.
pub(crate) const BOLD: &[u8] = include_bytes!("../fonts/DejaVuSansCondensed-Bold.ttf");
/// Stands for a letter that the font lacks.
const LACKING: char = '\u{25a1}';

/// A face: letters to glyphs, glyphs to widths.
pub(crate) struct Face {
    font: FontRef<'static>,
    metrics: GlyphMetrics<'static>,
    units: f32,
}

static FACES: LazyLock<[Face; 2]> = LazyLock::new(|| [Face::read(PLAIN), Face::read(BOLD)]);

/// The plain or the bold face.
pub(crate) fn face(is_bold: bool) -> &'static Face {
    &FACES[usize::from(is_bold)]
}

impl Face {
    fn read(bytes: &'static [u8]) -> Face {
        let font = FontRef::new(bytes).expect("the font was shipped with the program");
        let metrics = font.glyph_metrics(Size::unscaled(), LocationRef::default());
        let units = f32::from(font.metrics(Size::unscaled(), LocationRef::default()).units_per_em);
        Face { font, metrics, units }
    }
    /// Glyph of a letter and its width as a share of the size.
    pub fn glyph(&self, letter: char) -> (u32, f32) {
        let glyph = self.font.charmap().map(letter).unwrap_or_default();
        (glyph.to_u32(), self.metrics.advance_width(glyph).unwrap_or(0.0) / self.units)
    }
    fn has(&self, letter: char) -> bool {
        self.font.charmap().map(letter).is_some_and(|glyph| glyph.to_u32() != 0)
    }
    /// Width of a text at a size, points.
    pub fn width(&self, text: &str, size: f32) -> f32 {
        text.chars().map(|letter| self.glyph(letter).1).sum::<f32>() * size
    }
}

/// A text as it can be set: other blanks are blanks, what is not printed is left out, and what the font lacks is marked.
pub(crate) fn settable(text: &str) -> String {
    text.chars()
        .filter_map(|letter| match letter {
            '\n' => Some('\n'),
            // Thin and no-break blanks keep words together on a screen; here a line is broken at plain blanks only.
            '\u{a0}' | '\u{202f}' | '\u{2009}' => Some('\u{a0}'),
            letter if letter.is_whitespace() => Some(' '),
            letter
                if letter.is_control()
                    || matches!(letter, '\u{feff}' | '\u{fffe}' | '\u{ad}' | '\u{200b}'..='\u{200f}') =>
            {
                None
            }
            letter if face(false).has(letter) && face(true).has(letter) => Some(letter),
            _ => Some(LACKING),
        })
        .collect()
}

/// A text broken into lines of at most a width, points. A word that is too long is cut.
pub(crate) fn broken(text: &str, is_bold: bool, size: f32, width: f32) -> Vec<String> {
    let face = face(is_bold);
    let mut lines = Vec::new();
    for part in settable(text).split('\n') {
        let (mut line, mut used) = (String::new(), 0.0);
        for word in part.split(' ').filter(|word| !word.is_empty()) {
            let wide = face.width(word, size);
            let gap = if line.is_empty() { 0.0 } else { face.width(" ", size) };
            if used + gap + wide <= width {
                if !line.is_empty() {
                    line.push(' ');
                }
                line.push_str(word);
                used += gap + wide;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
                used = 0.0;
            }
            for letter in word.chars() {
                let wide = face.glyph(letter).1 * size;
                if used + wide > width && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                    used = 0.0;
                }
                line.push(letter);
                used += wide;
            }
        }
        lines.push(line);
    }
    lines
}
