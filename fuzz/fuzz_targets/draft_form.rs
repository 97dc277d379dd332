//! A page of the set-up, as a browser sends it: whatever was typed, the draft is a well formed farm file, which goes into a draft and
//! back unchanged; whatever is wrong with it stands on a line of that file; taking rows out leaves a draft.
#![no_main]

use farm::FarmTyped;
use farm::setup::{Draft, STEPS, asked, input_at};
use fuzz::{fields, reasons_are_sound};
use libfuzzer_sys::fuzz_target;

/// Rows of a list beyond which no page asks.
const ROWS_MOST: usize = 40;

fn is_asked(at: &str) -> bool {
    let rows = at.split('.').filter_map(|part| part.parse::<usize>().ok());
    input_at(at).is_some() && asked(at).is_some() && rows.into_iter().all(|row| row < ROWS_MOST)
}

fuzz_target!(|bytes: &[u8]| {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let mut draft = Draft::default();
    for (at, typed) in fields(text).iter().filter(|(at, _)| is_asked(at)) {
        // As the pages take it: without the space around.
        draft.set(at, typed.trim());
    }
    stands(&draft);
    for step in STEPS {
        for asked in step.asked {
            draft.guess_open(&asked.section.replace('#', "0"), asked.first);
        }
    }
    stands(&draft);
    for list in ["pond", "price", "pump", "pond.0.sample"] {
        if draft.rows(list) > 0 {
            let before = draft.rows(list);
            draft.remove_row(list, 0);
            assert!(draft.rows(list) < before, "{list}: {} of {before}", draft.rows(list));
        }
    }
    stands(&draft);
});

fn stands(draft: &Draft) {
    let written = draft.file();
    let typed = FarmTyped::read(&written.text).unwrap_or_else(|reasons| panic!("{reasons:?}\n{}", written.text));
    let again = Draft::read(&written.text).expect("it was read a moment ago");
    assert_eq!(again.file().text, written.text, "a draft's file makes the same file");
    let examined = typed.examined();
    reasons_are_sound(&examined.reasons, written.text.as_bytes());
    for reason in &examined.reasons {
        // The field that it is shown at, if any, is one that can be asked for.
        if let Some(at) = written.at(reason) {
            assert!(!at.is_empty(), "{reason:?}");
        }
    }
}
