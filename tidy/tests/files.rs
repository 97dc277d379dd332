//! Headers, lengths, and words that may not stand where they stand.

use tidy::{
    File, file, files, header_faults, length_faults, long_functions, name_faults, suffixes, test_word_faults,
    value_faults, world_faults,
};

const FILE_LINES: usize = 400;
const FUNCTION_LINES: usize = 70;

/// Longer files, each with its reason.
const LONG_FILES: &[(&str, &str)] = &[
    ("core/plan/src/dates/fit.rs", "what fits beside what: one idea, and the search's inner loop"),
    ("core/pond/src/shape.rs", "a pond's shape with its faults; the table form is already parted"),
];

/// Longer functions as (file, name, reason).
const LONG_FUNCTIONS: &[(&str, &str, &str)] = &[
    ("core/season/src/replay/tests.rs", "kept_water_stands_for_the_whole_run", "one experiment from end to end"),
    ("core/pond/src/stage.rs", "new", "fills every table of an hour in one pass over the cells"),
    ("shell/words/src/basin.rs", "wrong", "a catalogue: one arm for each thing that can be wrong"),
];

/// Modules of the rooms of models that hold none.
const NO_MODEL: &[&str] = &[
    "core/pond/src/basin.rs",
    "core/pond/src/budget.rs",
    "core/pond/src/lib.rs",
    "core/pond/src/schedule.rs",
    "core/pond/src/shape/table.rs",
    "core/pond/src/water.rs",
    "core/stock/src/lib.rs",
];

/// Rooms in which every module holds a model unless named above.
const ROOMS_OF_MODELS: [&str; 2] = ["core/pond/src/", "core/stock/src/"];

/// Modules elsewhere that hold one.
const MODELS: &[&str] = &[
    "core/chance/src/lib.rs",
    "core/harvest/src/balance.rs",
    "core/harvest/src/chill.rs",
    "core/harvest/src/hands.rs",
    "core/harvest/src/ice.rs",
    "core/harvest/src/learn.rs",
    "core/harvest/src/line.rs",
    "core/harvest/src/live.rs",
    "core/harvest/src/moves.rs",
    "core/harvest/src/rates.rs",
    "core/season/src/grow.rs",
    "core/weather/src/climate.rs",
    "core/weather/src/forecast.rs",
    "core/weather/src/longwave.rs",
    "core/weather/src/members.rs",
    "core/weather/src/moist.rs",
    "core/weather/src/season_curve.rs",
    "core/weather/src/sun.rs",
];

fn sources() -> Vec<File> {
    files("", ".rs")
}

fn none(found: Vec<String>) {
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn models_say_what_they_are() {
    let core: Vec<File> =
        files("core", ".rs").into_iter().filter(|file| file.path.contains("/src/") && !file.is_test()).collect();
    let must = |file: &File| {
        let whole_room = ROOMS_OF_MODELS.iter().any(|room| file.path.starts_with(room));
        MODELS.contains(&file.path.as_str()) || (whole_room && !NO_MODEL.contains(&file.path.as_str()))
    };
    none(core.iter().flat_map(|file| header_faults(file, must(file))).collect());
    for path in MODELS.iter().chain(NO_MODEL) {
        assert!(core.iter().any(|file| file.path == *path), "{path} is listed and not there");
    }
}

#[test]
fn the_rule_of_headers_bites() {
    let doc = "//! Heat.\n//!\n//! Model     one\n//! Units     W\n//! Range     all\n//! Source    a book\n//! Left out  rain\n";
    assert_eq!(header_faults(&File::made_up("a.rs", doc), true), Vec::<String>::new());
    for key in ["Model", "Units", "Range", "Source", "Left out"] {
        let bad = doc.replace(key, "Note");
        assert_eq!(header_faults(&File::made_up("a.rs", &bad), true), [format!("a.rs: the header lacks {key}")]);
    }
    let swapped = doc.replace("Units ", "Xnits ").replace("Range ", "Units ").replace("Xnits ", "Range ");
    assert_eq!(header_faults(&File::made_up("a.rs", &swapped), false), ["a.rs: the header's lines are out of order"]);
    assert_eq!(header_faults(&File::made_up("a.rs", "//! No model.\n"), false), Vec::<String>::new());
    assert_eq!(header_faults(&File::made_up("a.rs", "//! No model.\n"), true).len(), 5);
}

#[test]
fn files_are_looked_at_twice_when_long() {
    let excused = |file: &&File| !LONG_FILES.iter().any(|(path, _)| *path == file.path);
    none(sources().iter().filter(excused).filter_map(|file| length_faults(file, FILE_LINES)).collect());
    for (path, reason) in LONG_FILES {
        assert!(length_faults(&file(path), FILE_LINES).is_some(), "{path} is short again ({reason}): strike its line");
    }
}

#[test]
fn functions_fit_on_a_screen() {
    let excused =
        |path: &str, name: &str| LONG_FUNCTIONS.iter().any(|(file, function, _)| *file == path && *function == name);
    let mut found = Vec::new();
    for file in sources() {
        for (name, lines) in long_functions(&file, FUNCTION_LINES) {
            if !excused(&file.path, &name) {
                found.push(format!("{}: {name} has {lines} lines", file.path));
            }
        }
    }
    none(found);
    for (path, name, reason) in LONG_FUNCTIONS {
        let still = long_functions(&file(path), FUNCTION_LINES).iter().any(|(function, _)| function == name);
        assert!(still, "{path}: {name} is short again ({reason}): strike its line");
    }
}

#[test]
fn the_rules_of_length_bite() {
    let long = File::made_up("a.rs", &"x\n".repeat(5));
    assert_eq!(length_faults(&long, 4), Some("a.rs has 5 lines, more than 4".to_owned()));
    assert_eq!(length_faults(&long, 5), None);
    let text = "impl A {\n    pub fn short(&self) -> u8 { 1 }\n    const fn next() {\n        a();\n    }\n}\n\npub(crate) fn long<T>(\n    a: T,\n) {\n    if a {\n        b();\n    }\n}\n";
    assert_eq!(long_functions(&File::made_up("a.rs", text), 3), [("long".to_owned(), 7)]);
    assert_eq!(long_functions(&File::made_up("a.rs", text), 2).len(), 2);
    assert!(long_functions(&File::made_up("a.rs", "trait A {\n    fn f(&self);\n}\n// fn\n"), 1).is_empty());
}

#[test]
fn published_values_say_where_they_come_from() {
    none(files("checks/values", ".csv").iter().flat_map(value_faults).collect());
}

#[test]
fn the_rule_of_values_bites() {
    let good = "# what       heat of water\n# source     a handbook\n# obtained   typed from it\n# tolerance  1e-3: digits given\na,b\n";
    assert_eq!(value_faults(&File::made_up("v.csv", good)), Vec::<String>::new());
    for key in ["what", "source", "obtained", "tolerance"] {
        let bad = good.replace(&format!("# {key} "), "#   ");
        assert!(value_faults(&File::made_up("v.csv", &bad)).contains(&format!("v.csv: no line `# {key}`")), "{key}");
    }
    let unreasoned = good.replace("1e-3: digits given", "one thousandth");
    assert_eq!(value_faults(&File::made_up("v.csv", &unreasoned)), ["v.csv: the tolerance gives no reason"]);
    let empty = good.replace("a handbook", "me");
    assert_eq!(value_faults(&File::made_up("v.csv", &empty)), ["v.csv: `# source` says next to nothing"]);
}

#[test]
fn the_core_does_not_touch_the_world() {
    let core = files("core", ".rs");
    let judged = core.iter().filter(|file| file.path.contains("/src/") && !file.is_test());
    none(judged.flat_map(world_faults).collect());
}

#[test]
fn the_rule_of_the_world_bites() {
    for word in [
        "std::fs::read",
        "std::net::TcpStream",
        "std::env::args",
        "std::process::exit",
        "SystemTime::now",
        "HashMap::new",
    ] {
        let bad = File::made_up("core/a.rs", &format!("fn f() {{\n    {word}();\n}}\n"));
        assert_eq!(world_faults(&bad).len(), 1, "{word}");
    }
    let fine = "// std::fs is for the shell\nfn f() {}\n\n#[cfg(test)]\nmod tests {\n    use std::fs;\n}\n";
    assert_eq!(world_faults(&File::made_up("core/a.rs", fine)), Vec::<String>::new());
}

#[test]
fn tests_neither_wait_nor_skip_nor_ask_the_day() {
    let judged = sources().into_iter().filter(|file| !file.path.starts_with("tidy/"));
    none(judged.flat_map(|file| test_word_faults(&file, file.path.starts_with("shell/app/src/"))).collect());
}

#[test]
fn the_rule_of_tests_bites() {
    for bad in
        ["#[ignore]", "#[should_panic(expected = \"x\")]", "std::thread::sleep(d);", "let now = SystemTime::now();"]
    {
        assert_eq!(test_word_faults(&File::made_up("a.rs", bad), false).len(), 1, "{bad}");
    }
    assert!(test_word_faults(&File::made_up("a.rs", "let now = SystemTime::now();"), true).is_empty());
    assert_eq!(test_word_faults(&File::made_up("a.rs", "#[ignore]"), true).len(), 1);
}

/// At most one module of the workspace may allow what the lints deny.
#[test]
fn unsafe_code_has_one_home_at_most() {
    let homes: Vec<String> = sources()
        .iter()
        .filter(|file| !file.path.starts_with("tidy/") && file.text.contains("allow(unsafe_code)"))
        .map(|file| file.path.clone())
        .collect();
    assert!(homes.len() <= 1, "{homes:?}");
    assert!(file("Cargo.toml").text.contains("unsafe_code = \"deny\""));
}

/// Model types keep their shape when a stored form changes: only forms private to a parser may derive from serde.
#[test]
fn model_types_do_not_derive_a_stored_form() {
    none(files("core", ".rs").iter().flat_map(stored_forms).collect());
    let bad = "#[derive(Debug, Deserialize)]\n#[serde(deny_unknown_fields)]\npub struct Pond {\n    a: u8,\n}\n";
    assert_eq!(stored_forms(&File::made_up("core/a.rs", bad)), ["core/a.rs:3: a public type derives a stored form"]);
    let fine = bad.replace("pub struct", "pub(crate) struct");
    assert!(stored_forms(&File::made_up("core/a.rs", &fine)).is_empty());
}

fn stored_forms(file: &File) -> Vec<String> {
    let mut found = Vec::new();
    let mut derives = false;
    for (number, line) in file.text.lines().enumerate() {
        let line = line.trim();
        if line.starts_with("#[derive(") {
            derives = line.contains("Serialize") || line.contains("Deserialize");
        } else if !line.starts_with("#[") && !line.starts_with("//") {
            if derives && (line.starts_with("pub struct") || line.starts_with("pub enum")) {
                found.push(format!("{}:{}: a public type derives a stored form", file.path, number + 1));
            }
            derives = false;
        }
    }
    found
}

#[test]
fn numbers_carry_their_unit() {
    let listed = suffixes(&file("docs/nomenclature.md").text);
    assert!(listed.len() > 20, "the table of docs/nomenclature.md is read: {listed:?}");
    let rooms = ["weather", "pond", "stock", "ensemble", "farm"];
    let judged = rooms.iter().flat_map(|room| files(&format!("core/{room}/src"), ".rs"));
    none(judged.filter(|file| !file.is_test()).flat_map(|file| name_faults(&file, &listed)).collect());
}

#[test]
fn the_rule_of_names_bites() {
    let listed = suffixes("| name | unit |\n|---|---|\n| `_c` | °C |\n| `share` | none |\n");
    assert_eq!(listed, ["_c", "share"]);
    let text = "pub struct A {\n    pub water_temp_c: f64,\n    pub share: Option<f64>,\n    pub temp: f64,\n    pub many: Vec<f32>,\n    pub name: String,\n}\n";
    let found = name_faults(&File::made_up("core/a.rs", text), &listed);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0].starts_with("core/a.rs:4: temp ends") && found[1].starts_with("core/a.rs:5: many ends"),
        "{found:?}"
    );
}
