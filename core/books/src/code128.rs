//! Bars that a reader at a till or a dock takes: the symbology behind the element strings of [`crate::gs1`].
//!
//! Model     each symbol is three bars and three spaces in eleven modules; pairs of digits in set C, the rest in set B; a check symbol weighted by
//!           place, modulo 103; FNC1 after the start says that elements follow
//! Units     modules
//! Range     ASCII 32 to 126 and FNC1
//! Source    ISO/IEC 15417 (memory); every symbol is read back by an outside reader: checks/peers/labels
//! Left out  set A: no control character stands in an element

use crate::gs1::SEPARATOR;

/// Widths of bars and spaces of each symbol value, bar first; the stop has seven.
const WIDTHS: [&str; 107] = [
    "212222", "222122", "222221", "121223", "121322", "131222", "122213", "122312", "132212", "221213", "221312",
    "231212", "112232", "122132", "122231", "113222", "123122", "123221", "223211", "221132", "221231", "213212",
    "223112", "312131", "311222", "321122", "321221", "312212", "322112", "322211", "212123", "212321", "232121",
    "111323", "131123", "131321", "112313", "132113", "132311", "211313", "231113", "231311", "112133", "112331",
    "132131", "113123", "113321", "133121", "313121", "211331", "231131", "213113", "213311", "213131", "311123",
    "311321", "331121", "312113", "312311", "332111", "314111", "221411", "431111", "111224", "111422", "121124",
    "121421", "141122", "141221", "112214", "112412", "122114", "122411", "142112", "142211", "241211", "221114",
    "413111", "241112", "134111", "111242", "121142", "121241", "114212", "124112", "124211", "411212", "421112",
    "421211", "212141", "214121", "412121", "111143", "111341", "131141", "114113", "114311", "411113", "411311",
    "113141", "114131", "311141", "411131", "211412", "211214", "211232", "2331112",
];
const CODE_C: u8 = 99;
const CODE_B: u8 = 100;
const FNC1: u8 = 102;
const START_B: u8 = 104;
const START_C: u8 = 105;
const STOP: u8 = 106;

/// A character that cannot be drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotDrawn(pub char);

/// Symbol values of an element string, from start to stop; [`SEPARATOR`] stands for FNC1, and one is put in front.
///
/// # Errors
/// A character outside ASCII 32 to 126.
pub fn symbols(text: &str) -> Result<Vec<u8>, NotDrawn> {
    let letters: Vec<char> = text.chars().collect();
    if let Some(letter) = letters.iter().find(|letter| **letter != SEPARATOR && !(' '..='~').contains(*letter)) {
        return Err(NotDrawn(*letter));
    }
    let digits_from = |at: usize| letters[at..].iter().take_while(|letter| letter.is_ascii_digit()).count();
    let mut in_c = digits_from(0) >= 2;
    let mut values = vec![if in_c { START_C } else { START_B }, FNC1];
    let mut at = 0;
    while at < letters.len() {
        if letters[at] == SEPARATOR {
            values.push(FNC1);
            at += 1;
            continue;
        }
        let run = digits_from(at);
        // A change of set costs a symbol: pairs pay for it from four digits on (an odd one is left to set B first).
        if in_c && run < 2 {
            values.push(CODE_B);
            in_c = false;
        } else if !in_c && run >= 4 && run % 2 == 0 {
            values.push(CODE_C);
            in_c = true;
        }
        if in_c {
            let pair: String = letters[at..at + 2].iter().collect();
            values.push(pair.parse().unwrap_or(0));
            at += 2;
        } else {
            values.push(letters[at] as u8 - 32);
            at += 1;
        }
    }
    let sum: u32 = values.iter().enumerate().map(|(place, value)| u32::from(*value) * place.max(1) as u32).sum();
    values.push((sum % 103) as u8);
    values.push(STOP);
    Ok(values)
}

/// Widths of bars and spaces in modules, a bar first; without the quiet zones of ten modules on each side.
///
/// # Errors
/// A character that cannot be drawn.
pub fn widths(text: &str) -> Result<Vec<u8>, NotDrawn> {
    let values = symbols(text)?;
    Ok(values.iter().flat_map(|value| WIDTHS[usize::from(*value)].bytes().map(|width| width - b'0')).collect())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn every_symbol_is_eleven_modules_and_stands_once() {
        for (value, widths) in WIDTHS.iter().enumerate() {
            let modules: u32 = widths.bytes().map(|width| u32::from(width - b'0')).sum();
            assert_eq!(modules, if value == 106 { 13 } else { 11 }, "{value}");
            assert_eq!(WIDTHS.iter().filter(|other| *other == widths).count(), 1, "{value}");
            // Bars of a symbol together are an even number of modules: what the standard says guards against misreading.
            let bars: u32 = widths.bytes().step_by(2).map(|width| u32::from(width - b'0')).sum();
            assert!(value == 106 || bars.is_multiple_of(2), "{value}");
        }
    }

    #[test]
    fn pairs_of_digits_take_half_the_room() {
        assert_eq!(symbols("0104006381333931").expect("drawn").len(), 2 + 8 + 2);
        // Weighted by place modulo 103: worked by hand for start C, FNC1, 01.
        assert_eq!(symbols("01").expect("drawn"), [105, 102, 1, (105 + 102 + 2) as u8 % 103, 106]);
        assert_eq!(symbols("Å"), Err(NotDrawn('Å')));
    }

    /// Reads symbol values back by the standard's sets: independent of how the sets were chosen.
    fn read_back(values: &[u8]) -> String {
        let mut in_c = values[0] == START_C;
        let mut out = String::new();
        for &value in &values[2..values.len() - 2] {
            match value {
                FNC1 => out.push(SEPARATOR),
                CODE_B if in_c => in_c = false,
                CODE_C if !in_c => in_c = true,
                value if in_c => out.push_str(&format!("{value:02}")),
                value => out.push(char::from(value + 32)),
            }
        }
        out
    }

    proptest! {
        #[test]
        fn what_is_drawn_is_read_back(text in "([0-9]{1,9}|[ -~]{1,4}|\u{1d}){1,8}") {
            prop_assert_eq!(read_back(&symbols(&text).expect("drawn")), text);
        }
    }
}
