use clap::Parser;

use super::*;

#[derive(Debug, Parser)]
enum Line {
    Backup(BackupArgs),
    Restore(RestoreArgs),
    Export(ExportArgs),
    Import(ImportArgs),
}

const NOW_MS: i64 = 1_600_000_000_000;

fn run(words: &[&str]) -> Told {
    match Line::parse_from([&["warmspell"], words].concat()) {
        Line::Backup(args) => backup(&args, NOW_MS),
        Line::Restore(args) => restore(&args, NOW_MS),
        Line::Export(args) => export(&args, NOW_MS),
        Line::Import(args) => import(&args, NOW_MS),
    }
}

#[test]
fn a_record_goes_round_by_command() {
    let folder = std::env::temp_dir().join(format!("warmspell-record-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let at = |name: &str| folder.join(name).display().to_string();
    let (db, copy, json, tables, new) = (at("a.db"), at("copy.db"), at("a.json"), at("tables"), at("new.db"));
    assert!(run(&["backup", "--store", &db]).notes[0].contains("no such file"), "nothing is made by asking");
    let store = Store::open(Path::new(&db), NOW_MS).expect("a record");
    let farm = store::FarmRow { id: "bend".to_owned(), name: "The Bend".to_owned(), made_ms: NOW_MS, is_sample: true };
    store.keep_farm(&farm).expect("a farm");
    for (words, code, wanted) in [
        (vec!["backup", &copy, "--store", &db], 0, "0 entries, looked through and whole"),
        (vec!["backup", &copy, "--store", &db], 2, "not written over"),
        (vec!["backup", "--store", &db, "--json"], 0, "warmspell-202009131226.db"),
        (vec!["restore", &copy, "--store", &db], 0, "What stood there before is kept in"),
        (vec!["restore", &json, "--store", &db], 2, "no such file"),
        (vec!["export", &json, "--store", &db, "--json"], 0, "\"schema\": \"warmspell.export\",\n  \"version\": 1"),
        (vec!["restore", &json, "--store", &db], 2, "no record of warmspell's"),
        (vec!["export", &tables, "--store", &db], 0, "for any spreadsheet"),
        (vec!["import", &json, "--store", &new], 0, "farm 1"),
        (vec!["import", &json, "--store", &new], 2, "holds a farm already"),
        (vec!["import", &copy, "--store", &at("third.db")], 2, "cannot be read"),
    ] {
        let told = run(&words);
        let said = format!("{}{}", told.answer, told.notes.join("\n"));
        assert!(told.code == code && said.contains(wanted), "{words:?}: {} {said}", told.code);
    }
    assert_eq!(Store::open(Path::new(&new), NOW_MS).expect("the new one").farms().expect("farms"), [farm]);
    let _ = std::fs::remove_dir_all(&folder);
}
