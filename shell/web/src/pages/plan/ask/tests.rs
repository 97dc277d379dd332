use super::*;

fn farm() -> Farm {
    farm::read_farm(include_str!("../../../../../../samples/hazel-bend/farm.toml")).expect("the sample farm reads")
}

fn fields(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
}

#[test]
fn forms_are_read_or_refused_field_by_field() {
    let farm = farm();
    let day = Day::parse("2011-10-04").expect("a date");
    for (pairs, asked) in [
        (&[][..], Ok(Ask::default())),
        (&[("hands", ""), ("ice", " ")], Ok(Ask::default())),
        (&[("hands", "-2"), ("price", "90")], Ok(Ask { hands: Some(-2.0), price_pct: Some(90.0), ..Ask::default() })),
        (&[("lock", "heron"), ("lock_on", "2011-10-04")], Ok(Ask { lock: Some((3, day)), ..Ask::default() })),
        (&[("hands", "many")], Err("hands")),
        (&[("ice", "9999")], Err("ice")),
        (&[("ban", "heron")], Err("ban")),
        (&[("lock", "nowhere"), ("lock_on", "2011-10-04")], Err("lock")),
    ] {
        match (Ask::read(&fields(pairs), &farm), asked) {
            (Ok(read), Ok(asked)) => assert_eq!(read, asked, "{pairs:?}"),
            (Err(faults), Err(field)) => assert!(faults.iter().any(|fault| fault.field == field), "{faults:?}"),
            (read, _) => panic!("{pairs:?}: {read:?}"),
        }
    }
}
