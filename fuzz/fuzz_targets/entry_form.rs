//! A form's body, as a browser sends it and as a phone's exchange does: read into an entry, its numbers are finite, what is wrong is
//! said, and the entry goes through its JSON unchanged.
#![no_main]

use std::collections::BTreeMap;

use farm::facts::{FORMS, Fact, Happened, read_typed};
use fuzz::fields;
use libfuzzer_sys::fuzz_target;
use units::Instant;

fuzz_target!(|bytes: &[u8]| {
    let Some((&first, rest)) = bytes.split_first() else { return };
    let Ok(text) = std::str::from_utf8(rest) else { return };
    if let Ok(value) = serde_json::from_str(text)
        && let Ok(fact) = store::fact_from_json(&value)
    {
        goes_round(&fact);
    }
    let form = &FORMS[usize::from(first) % FORMS.len()];
    let typed = fields(text);
    let read = read_typed(form.kind, form.version, &typed);
    assert!(read.values.values().all(|value| value.is_finite()), "{:?}", read.values);
    assert!(read.values.keys().all(|key| typed.contains_key(key)));
    assert!(read.slips.len() <= typed.len() + form.fields.len() + 1);
    let mut fact = Fact {
        id: "0123456789abcdef0123456789abcdef".to_owned(),
        farm: "bend".to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: form.kind.to_owned(),
        form: form.version,
        happened: Happened { at: Instant(1_600_000_000), offset_s: -14_400 },
        typed_ms: 0,
        corrects: None,
        typed,
        values: BTreeMap::new(),
    };
    fact.read();
    goes_round(&fact);
});

fn goes_round(fact: &Fact) {
    let text = store::fact_to_json(fact).to_string();
    let again = store::fact_from_json(&serde_json::from_str(&text).expect("JSON")).expect("a fact");
    assert_eq!((&again.typed, &again.id, again.happened), (&fact.typed, &fact.id, fact.happened));
}
