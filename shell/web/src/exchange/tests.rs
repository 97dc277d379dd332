use super::*;

#[test]
fn a_body_saved_from_version_1_is_read_for_ever() {
    let sent = read("hazel-bend", include_bytes!("saved_1.json")).expect("a body");
    assert_eq!((sent.device.as_str(), sent.clock_ms), ("phone-0a1b2c3d", Some(1_317_813_000_000)));
    let [first, mended, later, strange, short] = sent.facts.as_slice() else { panic!("five: {sent:?}") };
    let first = first.as_ref().expect("a reading");
    assert!((first.values["temperature"] - 160.0 / 9.0).abs() < 1e-9, "64 F: {:?}", first.values);
    assert!((first.values["depth"] - 1.0668).abs() < 1e-9, "3 ft 6 in: {:?}", first.values);
    let mended = mended.as_ref().expect("a correction");
    assert_eq!(mended.corrects.as_deref(), Some(first.id.as_str()));
    assert!((mended.values["temperature"] - 18.0).abs() < 1e-9, "a device's own numbers are not taken");
    assert!(later.as_ref().expect("kept as typed").values.is_empty());
    let wrong = |fact: &Result<Fact, (Value, String)>| fact.as_ref().err().map(|(_, field)| field.clone());
    assert_eq!(wrong(strange).as_deref(), Some("farm"));
    assert!(wrong(short).is_some());
}

#[test]
fn a_body_that_cannot_be_read_names_the_field() {
    let many = format!(
        r#"{{"schema":"warmspell.sync","version":1,"device":"d","facts":[{}]}}"#,
        vec!["{}"; MOST_FACTS + 1].join(",")
    );
    for (body, field) in [
        ("", "body"),
        ("[]", "schema"),
        (r#"{"schema":"warmspell.sync","version":2}"#, "version"),
        (r#"{"schema":"warmspell.sync","version":0}"#, "version"),
        (r#"{"schema":"warmspell.sync","version":1,"facts":[]}"#, "device"),
        (r#"{"schema":"warmspell.sync","version":1,"device":"d"}"#, "facts"),
        (many.as_str(), "facts"),
    ] {
        assert_eq!(read("f", body.as_bytes()), Err(field), "{field}");
    }
}

fn a_reading() -> Fact {
    let sent = read("hazel-bend", include_bytes!("saved_1.json")).expect("a body");
    sent.facts[0].clone().expect("a reading")
}

#[test]
fn what_is_described_is_what_is_answered() {
    let described: Value = serde_json::from_str(include_str!("../../openapi.json")).expect("json");
    let sent = &described["components"]["schemas"]["Sent"]["properties"];
    assert_eq!(sent["version"]["const"], json!(VERSION));
    assert_eq!(sent["schema"]["const"], json!(SCHEMA));
    assert_eq!(sent["facts"]["maxItems"], json!(MOST_FACTS));
    let answers = &described["components"]["schemas"]["Answered"]["properties"]["answers"]["items"]["properties"];
    let known = answers["answer"]["enum"].as_array().expect("a list");
    for answer in [Some(Insert::Made { seq: 1 }), Some(Insert::AlreadyHad { seq: 1 }), None] {
        let said = answered(&Ok(a_reading()), &answer);
        assert!(known.contains(&said["answer"]), "{said}");
    }
}
