//! Bytes to lines and cells.

use std::borrow::Cow;

/// The text of a file: UTF-8 with or without its mark, the UTF-16 of some spreadsheets, else Latin letters of one byte (a degree
/// sign is then still a degree sign).
pub fn decode(bytes: &[u8]) -> Cow<'_, str> {
    let wide = |rest: &[u8], unit: fn([u8; 2]) -> u16| {
        let units = rest.chunks_exact(2).map(|pair| unit([pair[0], pair[1]]));
        char::decode_utf16(units).map(|c| c.unwrap_or(char::REPLACEMENT_CHARACTER)).collect::<String>()
    };
    let latin = |rest: &[u8]| rest.iter().map(|&byte| char::from(byte)).collect::<String>();
    match bytes {
        [0xFF, 0xFE, rest @ ..] => Cow::Owned(wide(rest, u16::from_le_bytes)),
        [0xFE, 0xFF, rest @ ..] => Cow::Owned(wide(rest, u16::from_be_bytes)),
        [0xEF, 0xBB, 0xBF, rest @ ..] | rest => match std::str::from_utf8(rest) {
            Ok(text) => Cow::Borrowed(text),
            Err(_) => Cow::Owned(latin(rest)),
        },
    }
}

/// One sheet of a spreadsheet, as text that [`super::layout`] reads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Its name.
    pub name: String,
    /// Cells parted by tabs, rows by line ends.
    pub text: String,
}

/// Lines with their numbers; empty ones and remarks are passed over.
pub(super) fn lines(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines().enumerate().map(|(at, line)| (at + 1, line)).filter(|(_, line)| {
        let bare = line.trim();
        // A head that is `#` alone counts the rows and begins no remark.
        !bare.is_empty() && (!bare.starts_with('#') || bare[1..].starts_with(['\t', ';', ',', '|']))
    })
}

/// What parts the cells: the sign that makes the most of the lines have the same number of cells, more than one.
pub(super) fn separator(text: &str) -> char {
    let some: Vec<&str> = lines(text).take(200).map(|(_, line)| line).collect();
    // A tab or a semicolon never stands in a number; a comma may.
    let score = |sign: char| {
        let counts: Vec<usize> = some.iter().map(|line| cells_of(line, sign).len()).collect();
        let mut sorted: Vec<usize> = counts.iter().copied().filter(|&count| count > 1).collect();
        sorted.sort_unstable();
        let mut best = (0, 0);
        for run in sorted.chunk_by(|a, b| a == b) {
            best = best.max((run.len(), run[0]));
        }
        best.0
    };
    let most = ['\t', ';', ',', '|'].into_iter().map(|sign| (score(sign), sign));
    let best = most.fold((0, ','), |best, one| if one.0 > best.0 { one } else { best });
    best.1
}

/// The cells of a line.
pub(super) fn cells_of(line: &str, separator: char) -> Vec<Cow<'_, str>> {
    let mut cells = Vec::new();
    split(line, separator, &mut cells);
    cells
}

/// The cells of a line into a list that is used again. A stray quote may spoil its own line but never those after it.
pub(super) fn split<'t>(line: &'t str, separator: char, cells: &mut Vec<Cow<'t, str>>) {
    cells.clear();
    if !line.contains('"') {
        cells.extend(line.split(separator).map(|cell| Cow::Borrowed(cell.trim())));
        return;
    }
    let mut cell = String::new();
    let mut quoted = false;
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                cell.push('"');
                letters.next();
            }
            '"' => quoted = !quoted,
            _ if letter == separator && !quoted => cells.push(Cow::Owned(std::mem::take(&mut cell).trim().to_owned())),
            _ => cell.push(letter),
        }
    }
    cells.push(Cow::Owned(cell.trim().to_owned()));
}

/// What people and loggers write where there is no value.
pub(super) fn is_blank(text: &str) -> bool {
    let text = text.trim();
    text.is_empty()
        || ["-", "--", "---", "na", "n/a", "nan", "null", "none", "missing", "err", "error", "no data"]
            .iter()
            .any(|word| text.eq_ignore_ascii_case(word))
}

/// A number with what follows it: `18.5`, `18,5`, `64.2 °F`, `1,234.5` (only where the comma does not stand for the point).
pub(super) fn number(text: &str, decimal_comma: bool) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|&(at, letter)| {
            !(letter.is_ascii_digit() || matches!(letter, '.' | ',') || (at == 0 && matches!(letter, '-' | '+' | '−')))
        })
        .map_or(text.len(), |(at, _)| at);
    let (digits, rest) = text.split_at(end);
    let rest = rest.trim();
    // An exponent belongs to the number; nothing else that begins with a letter e does.
    if rest.starts_with(['e', 'E']) && rest[1..].starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '+') {
        let whole = text.replace(',', if decimal_comma { "." } else { "" });
        return whole.parse().ok().filter(|value: &f64| value.is_finite()).map(|value| (value, ""));
    }
    let (commas, points) = (digits.matches(',').count(), digits.matches('.').count());
    if points > 1 || (decimal_comma && commas > 1) || (decimal_comma && commas == 1 && points == 1) {
        return None;
    }
    let plain = match (commas, decimal_comma) {
        (0, _) => Cow::Borrowed(digits),
        (_, true) => Cow::Owned(digits.replace(',', ".")),
        (_, false) => Cow::Owned(grouped(digits)?),
    };
    let plain = plain.replace('−', "-");
    plain.parse().ok().filter(|value: &f64| value.is_finite()).map(|value| (value, rest))
}

/// Digits without the commas that part thousands; `None` when they part anything else.
fn grouped(digits: &str) -> Option<String> {
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let mut groups = whole.trim_start_matches(['-', '+', '−']).split(',');
    let first = groups.next()?;
    let fits = (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3) && !part.contains(',');
    fits.then(|| digits.replace(',', ""))
}
