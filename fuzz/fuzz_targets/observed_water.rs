//! Readings of thermometers in the water; what was read is written out and must read as the same.
#![no_main]

use farm::observed::{BELIEVED_C, Observed, When, read};
use fuzz::{faults_are_sound, line_is_inside, text, zones};
use libfuzzer_sys::fuzz_target;
use units::Zone;

/// The same readings as a plain file, a row on each line below the header.
fn written(observed: &Observed) -> String {
    let mut text = "time".to_owned();
    observed.spots.iter().for_each(|spot| text += &format!(",{}", spot.name()));
    for row in &observed.rows {
        let time = match row.when {
            When::At(at) => format!("{}Z", Zone::utc().local(at)),
            When::MeanOf(day) => day.to_string(),
        };
        text += &format!("\n{time}");
        row.temps_c.iter().for_each(|temp| text += &temp.map_or(",".to_owned(), |temp| format!(",{temp}")));
    }
    text
}

fuzz_target!(|bytes: &[u8]| {
    let Some(text) = text(bytes) else { return };
    for zone in zones() {
        let observed = match read(text, &zone) {
            Ok(observed) => observed,
            Err(faults) => return faults_are_sound(&faults, bytes),
        };
        assert!(observed.rows.windows(2).all(|pair| pair[0].when < pair[1].when), "times do not rise");
        for row in &observed.rows {
            line_is_inside(row.line, 1, bytes, row);
            assert_eq!(row.temps_c.len(), observed.spots.len());
            let believed = |temp: &f64| (BELIEVED_C.0..=BELIEVED_C.1).contains(temp);
            assert!(row.temps_c.iter().flatten().all(believed), "{row:?}");
        }
        observed.oddities.iter().for_each(|oddity| line_is_inside(oddity.line, 1, bytes, oddity));
        let again = read(&written(&observed), &zone).unwrap_or_else(|faults| panic!("{faults:?}"));
        assert!(again.oddities.is_empty(), "{:?}", again.oddities);
        assert_eq!(again.spots, observed.spots);
        let plain = |observed: &Observed| -> Vec<_> {
            observed.rows.iter().map(|row| (row.when, row.temps_c.clone())).collect()
        };
        assert_eq!(plain(&again), plain(&observed));
    }
});
