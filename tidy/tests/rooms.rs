//! Which room may lean on which; and every room is on the map and under the lints.

use std::process::Command;

use tidy::{File, Room, file, files, lints_missing, map_faults, rooms_of, tree_faults};

/// One line a room. A new edge is argued in the commit that adds it here.
const ROOMS: &[Room] = &[
    Room { name: "units", rooms: &[], others: &["jiff", "libm"] },
    // The elementary functions that a normal draw needs live in `units`.
    Room { name: "chance", rooms: &["units"], others: &["rand_chacha"] },
    Room { name: "farm", rooms: &["units"], others: &["csv", "serde", "toml"] },
    Room { name: "weather", rooms: &["units", "chance"], others: &["csv", "serde", "serde_json"] },
    Room { name: "pond", rooms: &["units", "weather"], others: &[] },
    Room { name: "stock", rooms: &["units"], others: &[] },
    // Tanks: warmth as the animals feel it, and what is dissolved in water.
    Room { name: "nursery", rooms: &["units", "pond", "stock"], others: &[] },
    // One day by minutes: the pond's shape and its chemistry, the animals' sizes, luck; no records, no weather, no money.
    Room { name: "harvest", rooms: &["units", "chance", "pond", "stock"], others: &[] },
    // What is promised, sold and packed: days and coins alone.
    Room { name: "books", rooms: &["units"], others: &[] },
    Room { name: "ensemble", rooms: &["units", "chance", "weather", "pond", "stock"], others: &["rayon"] },
    Room { name: "plan", rooms: &["units", "chance"], others: &[] },
    Room {
        name: "season",
        rooms: &[
            "units", "chance", "farm", "weather", "pond", "stock", "ensemble", "plan", "harvest", "sums", "nursery",
            "books",
        ],
        others: &["rayon"],
    },
    // A sum reads what was typed by a row of the table of inputs, as every other question is read; its formulas stand with the physics.
    Room { name: "sums", rooms: &["units", "farm", "weather", "pond", "stock", "nursery", "harvest"], others: &[] },
    // The record alone speaks SQL, and knows nothing of the engine.
    Room { name: "store", rooms: &["units", "farm"], others: &["rusqlite", "serde", "serde_json", "sha2"] },
    // It also says why the record could not be used.
    Room { name: "words", rooms: &["units", "farm", "season", "store"], others: &[] },
    // Workbooks come from outside and go out: the crates that pack and unpack them live here alone.
    Room {
        name: "sheets",
        // The books' sums go out as formulas that come to what `season` made of them.
        rooms: &["units", "farm", "season", "store", "words"],
        others: &["calamine", "rust_xlsxwriter", "zip"],
    },
    // Plain values become a PDF; it knows nothing of farms.
    Room { name: "paper", rooms: &[], others: &["krilla", "skrifa"] },
    // The pages' server and their markup live here alone; facts come by `store`.
    Room {
        name: "web",
        rooms: &["units", "farm", "season", "store", "sheets", "paper", "words"],
        others: &[
            "axum",
            "http-body",
            "hyper",
            "hyper-util",
            "maud",
            "qrcode",
            "rcgen",
            "ring",
            "rustls",
            "tokio",
            "tokio-rustls",
            "tower-http",
            "serde_json",
        ],
    },
    Room {
        name: "app",
        rooms: &["units", "farm", "season", "store", "sheets", "words", "web"],
        others: &["clap", "ctrlc", "indicatif", "serde_json"],
    },
    // Checks may use any room of the core.
    Room {
        name: "checks",
        rooms: &[
            "units", "chance", "farm", "weather", "pond", "stock", "ensemble", "plan", "harvest", "sums", "nursery",
            "books", "season",
        ],
        others: &["csv"],
    },
    // Phones and the farm's end by chance: the real record and the real exchange, and an engine for the phones' own script.
    Room { name: "sim", rooms: &["units", "chance", "farm", "store", "web"], others: &["rquickjs", "serde_json"] },
    Room { name: "tidy", rooms: &[], others: &[] },
    Room { name: "testkit", rooms: &[], others: &[] },
];

fn manifests() -> Vec<File> {
    files("", "Cargo.toml")
        .into_iter()
        .filter(|file| file.text.contains("[package]") && !file.path.starts_with("fuzz/"))
        .collect()
}

#[test]
fn rooms_lean_only_on_what_the_table_allows() {
    let output = Command::new(env!("CARGO"))
        .args(["tree", "--workspace", "--edges", "normal,build", "--depth", "1"])
        // Without --no-dedupe a repeated crate is printed bare, and a forbidden edge passes unseen.
        .args(["--no-dedupe", "--prefix", "depth", "--format", " {p}", "--offline"])
        .current_dir(tidy::root())
        .output()
        .expect("cargo runs, since it runs this test");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let found = tree_faults(ROOMS, &String::from_utf8_lossy(&output.stdout));
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_rule_of_rooms_bites() {
    let toy =
        &[Room { name: "pond", rooms: &["units"], others: &["libm"] }, Room { name: "units", rooms: &[], others: &[] }];
    let found = tree_faults(toy, "0 pond v0.0.0\n1 store v0.0.0\n1 units v0.0.0\n1 libm v0.2.0\n\n0 attic v0.0.0\n");
    assert_eq!(
        found,
        ["pond may not lean on store", "attic is not in ROOMS", "units is in ROOMS but not in the workspace"]
    );
}

#[test]
fn every_room_takes_the_lints() {
    let found = lints_missing(&manifests());
    assert!(found.is_empty(), "{}", found.join("\n"));
    let bad = [File::made_up("core/attic/Cargo.toml", "[package]\nname = \"attic\"\n")];
    assert_eq!(lints_missing(&bad), ["core/attic/Cargo.toml does not take the workspace's lints"]);
}

#[test]
fn the_map_agrees_with_the_ground() {
    let rooms = rooms_of(&manifests());
    assert!(ROOMS.iter().all(|room| rooms.iter().any(|name| name == room.name)), "{rooms:?}");
    let found = map_faults(&file("ARCHITECTURE.md").text, &rooms);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn the_rule_of_the_map_bites() {
    let rooms = ["pond".to_owned(), "plan".to_owned()];
    let map =
        "# Map\n\n## The rooms\n\n**pond** is water.\n\n**attic** is dust.\n\n## Walks\n\n**plan** is elsewhere.\n";
    assert_eq!(
        map_faults(map, &rooms),
        ["plan has no paragraph in the map", "the map describes attic, which is no room"]
    );
    assert_eq!(map_faults("# Map\n", &rooms), ["the map has no chapter on the rooms"]);
}

#[test]
fn the_gate_runs_the_whole_workspace() {
    // The app is the only default member, so a bare `cargo test` would pass over every other room.
    assert!(file("check").text.contains("cargo test --workspace"), "./check tests the whole workspace");
    assert!(file("README.md").text.contains("./check"), "the README names the gate");
    assert!(file(".ci/run").text.contains("./check"), "what runs on every change calls the gate");
}
