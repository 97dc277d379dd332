use clap::Parser;

use super::*;

#[derive(Parser)]
struct Line {
    #[command(flatten)]
    args: GrowArgs,
}

fn told(line: &str) -> Told {
    let words = std::iter::once("grow").chain(line.split('|').map(str::trim));
    run(&Line::try_parse_from(words).unwrap_or_else(|error| panic!("{error}")).args)
}

const USUAL: &str = "--stocked-per-ha|59300|--weight-g|0.3|--days|106|--temp-c|26";

fn number(text: &str, key: &str) -> f64 {
    let value: Value = serde_json::from_str(text).expect("well formed");
    value[key].as_f64().unwrap_or_else(|| panic!("no number {key} in {text}"))
}

#[test]
fn a_program_reads_the_answer() {
    let told = told(&format!("{USUAL}|--json"));
    assert_eq!(told.code, 0);
    assert!(
        told.answer.starts_with("{\n  \"schema\": \"warmspell.grow\",\n  \"version\": 1,\n  \"seed\": 1,"),
        "{}",
        told.answer
    );
    for (key, expected, tolerance) in [
        ("mean_weight_g", 33.5, 0.1),
        ("survival", 0.751, 0.002),
        ("count_per_lb", 13.5, 0.1),
        ("yield_kg_ha", 1492.0, 8.0),
    ] {
        let ours = number(&told.answer, key);
        assert!((ours - expected).abs() < tolerance, "{key}: {ours}");
    }
}

#[test]
fn units_are_understood_as_typed() {
    let metric = told(&format!("{USUAL}|--json")).answer;
    for line in [
        "--stocked-per-ha|59300/ha|--weight-g|0.3 g|--days|106 days|--temp-c|26C|--json",
        "--stocked-per-ha|5.93/m2|--weight-g|300 mg|--days|106|--temp-c|78.8F|--json",
        "--stocked-per-ha|23997.86/ac|--weight-g|0.3|--days|106|--temp-c|26|--substrate-pct|0 %|--json",
    ] {
        let Told { answer, code, notes } = told(line);
        assert_eq!(code, 0, "{notes:?}");
        for key in ["mean_weight_g", "survival", "yield_kg_ha"] {
            let (a, b) = (number(&metric, key), number(&answer, key));
            assert!((a / b - 1.0).abs() < 1e-5, "{line}: {key} {a} {b}");
        }
    }
    let half =
        |typed: &str| number(&told(&format!("{USUAL}|--json|--substrate-pct|{typed}")).answer, "substrate_fraction");
    assert_eq!((half("50"), half("50 %"), half("half")), (0.5, 0.5, 0.5));
    assert!(told(&format!("{USUAL}|--substrate-pct|0.5")).notes[0].contains("50"), "half a per cent is asked about");
}

#[test]
fn what_cannot_be_answered_is_said_plainly() {
    for (line, part) in [
        ("--stocked-per-ha|many|--weight-g|0.3|--days|106|--temp-c|26", "--stocked-per-ha: \"many\""),
        ("--stocked-per-ha|-5|--weight-g|0.3|--days|106|--temp-c|26", "lies outside"),
        ("--stocked-per-ha|59300|--weight-g|nan|--days|106|--temp-c|26", "--weight-g: \"nan\""),
        ("--stocked-per-ha|59300|--weight-g|0.3|--days|106|--temp-c|79", "79F is also understood"),
        ("--stocked-per-ha|59300|--weight-g|0.3|--temp-c|26", "--days is needed"),
        ("--stocked-per-ha|59300|--weight-g|0.3|--days|3 acres|--temp-c|26", "--days: \"3 acres\""),
        ("--stocked-per-ha|59300|--weight-g|0.3|--water|no-such-file.csv", "no-such-file.csv: cannot be read"),
    ] {
        let told = told(line);
        assert_eq!((told.code, told.answer.as_str()), (2, ""), "{line}");
        assert!(told.notes[0].contains(part), "{line}: {}", told.notes[0]);
    }
}

/// The water is read in the form `warmspell water` writes it.
#[test]
fn a_run_of_the_water_is_read() {
    let path = std::env::temp_dir().join(format!("warmspell-grow-{}.csv", std::process::id()));
    let mut text = String::from("# remarks are skipped\ntime,deep@0.25,deep@1.5,shallow@0.5\n");
    for hour in 0..48 {
        text += &format!("2020-07-{:02}T{:02}:00-05:00,30.1,25.5,26.5\n", 6 + hour / 24, hour % 24);
    }
    std::fs::write(&path, text).expect("a folder for passing files");
    let told = told(&format!("--stocked-per-ha|59300|--weight-g|0.3|--json|--water|{}", path.display()));
    std::fs::remove_file(&path).expect("it was just written");
    assert_eq!(told.code, 0, "{:?}", told.notes);
    assert_eq!((number(&told.answer, "days"), number(&told.answer, "water_mean_c")), (2.0, 26.0));
    assert!(told.notes.iter().any(|note| note.contains("deep@1.5, shallow@0.5")), "{:?}", told.notes);
}
