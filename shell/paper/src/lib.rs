//! Paper: a document of plain values becomes a PDF that prints black on white, can be searched, and is read aloud in order.
//!
//! Blocks are laid out on pages first (`lay`), as strokes and lines of text with a place in the document's tree, and put to ink
//! afterwards (`ink`). The font lies within the program. The same document gives the same bytes: no clock and no chance.

mod face;
mod figure;
mod ink;
mod labels;
mod lay;
mod pen;
mod table;

#[cfg(test)]
mod tests;

pub use ink::NotInked;

/// The sheet it is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl Sheet {
    /// Width and height in points of 1/72 in.
    fn points(self) -> (f32, f32) {
        match self {
            Sheet::A4 => (595.276, 841.89),
            Sheet::Letter => (612.0, 792.0),
        }
    }
}

/// A document.
#[derive(Debug, Clone)]
pub struct Paper {
    /// Its title: it stands at the top of the first page and in the window of a reader.
    pub title: String,
    /// Language of its words, as `en`.
    pub language: String,
    /// The sheet.
    pub sheet: Sheet,
    /// What stands at the foot of every page, before the page's number.
    pub foot: String,
    /// What it holds, in order.
    pub blocks: Vec<Block>,
}

/// One part of a document.
#[derive(Debug, Clone)]
pub enum Block {
    /// A heading; 1 is a part, 2 a part of one.
    Heading(u8, String),
    /// A paragraph. A line break in it breaks the line.
    Text(String),
    /// A paragraph set large: the answer.
    Answer(String),
    /// What a person must heed.
    Caution(String),
    /// Points of a list.
    Points(Vec<String>),
    /// Boxes to tick by hand.
    Checks(Vec<String>),
    /// What is said of one thing: name and value.
    Pairs(Vec<(String, String)>),
    /// A day's steps by the clock, each with its cautions.
    Steps(Vec<Step>),
    /// Rows and columns.
    Table(Table),
    /// Labels, as many on a page as fit.
    Labels(Vec<Label>),
    /// Lines and bars over an axis.
    Figure(Figure),
    /// A photograph.
    Photo(Photo),
    /// So many lines to write on.
    Lines(usize),
    /// The next part begins on a new page.
    NewPage,
}

/// A step by the clock.
#[derive(Debug, Clone)]
pub struct Step {
    /// When.
    pub at: String,
    /// What.
    pub what: String,
    /// What a person must heed at it.
    pub cares: Vec<String>,
}

/// A column of a table.
#[derive(Debug, Clone)]
pub struct Column {
    /// Its head.
    pub head: String,
    /// Share of the width; only its ratio to the others counts.
    pub share: f32,
    /// Figures: set to the right.
    pub is_figures: bool,
}

impl Column {
    /// A column of words.
    pub fn words(head: impl Into<String>, share: f32) -> Column {
        Column { head: head.into(), share, is_figures: false }
    }
    /// A column of figures.
    pub fn figures(head: impl Into<String>, share: f32) -> Column {
        Column { head: head.into(), share, is_figures: true }
    }
}

/// A table. Its head stands again on every page it runs to.
#[derive(Debug, Clone, Default)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows; a row that is too short ends in empty cells.
    pub rows: Vec<Vec<String>>,
    /// So many of the last rows are totals.
    pub totals: usize,
    /// Written on by hand: ruled cells of at least this height, mm.
    pub by_hand_mm: Option<f32>,
}

/// How a line of a label is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// The name of what is in it.
    Name,
    /// What must not be overlooked.
    Strong,
    /// Else.
    Plain,
}

/// A label of a tub or pack.
#[derive(Debug, Clone)]
pub struct Label {
    /// Its lines.
    pub lines: Vec<(Weight, String)>,
    /// Widths of bars and spaces in modules, a bar first; the quiet zones are left free here.
    pub bars: Vec<u8>,
    /// What the bars say, for people.
    pub readable: String,
    /// A square code.
    pub squares: Option<Squares>,
}

/// A square code: dark and light squares, row by row, without its margin.
#[derive(Debug, Clone)]
pub struct Squares {
    /// Squares on a side.
    pub side: usize,
    /// Dark ones.
    pub is_dark: Vec<bool>,
}

/// Values over an axis. Nothing rests on colour: lines differ by their dashes and bear their names.
#[derive(Debug, Clone)]
pub struct Figure {
    /// What it shows, in a sentence: stands below it and is read aloud for it.
    pub says: String,
    /// Marks of the axis below, with their words.
    pub below: Vec<(f64, String)>,
    /// Marks of the axis to the left, with their words; its first and last are the ends of the axis.
    pub beside: Vec<(f64, String)>,
    /// Lines.
    pub lines: Vec<Line>,
    /// Bars from the lowest mark to a value: place, value.
    pub bars: Vec<(f64, f64)>,
}

/// A line of a figure.
#[derive(Debug, Clone)]
pub struct Line {
    /// Its name.
    pub name: String,
    /// Points; a break stands between the strokes.
    pub strokes: Vec<Vec<(f64, f64)>>,
    /// Readings: a mark for each point and no line between them.
    pub is_marks: bool,
}

/// A photograph with what is said of it.
#[derive(Debug, Clone)]
pub struct Photo {
    /// The file: JPEG, PNG or WebP.
    pub bytes: Vec<u8>,
    /// Which way up the camera was held, 1 to 8 as cameras count (Exif, tag 274); anything else is upright.
    pub way_up: u8,
    /// What it shows; stands below it and is read aloud for it.
    pub says: String,
    /// What is said beside that where the picture cannot be read.
    pub unread: String,
    /// What is said beside that where it has more pixels than are put on paper.
    pub too_large: String,
}

impl Paper {
    /// The document as a PDF, marked for being read aloud (PDF/UA-1). A letter that the font lacks is printed as a mark for it; a photo
    /// that cannot be read leaves its words, and why it is not there.
    ///
    /// # Errors
    /// When the document breaks a rule of the format: a fault of ours.
    pub fn pdf(&self) -> Result<Vec<u8>, NotInked> {
        ink::ink(self, lay::lay(self))
    }
}
