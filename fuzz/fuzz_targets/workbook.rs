//! A packed workbook: it is read or refused, and what it unpacks to is bounded. Bytes that are no pack are put into one as its first
//! sheet, so that the parts within are reached too.
#![no_main]

use std::io::{Cursor, Write};

use libfuzzer_sys::fuzz_target;

/// A pack with these bytes as its sheet.
fn packed(sheet: &[u8]) -> Vec<u8> {
    let mut pack = zip::ZipWriter::new(Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    let parts: [(&str, &[u8]); 3] = [
        ("xl/workbook.xml", b"<workbook xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\"><sheets><sheet name=\"A\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"),
        ("xl/_rels/workbook.xml.rels", b"<Relationships><Relationship Id=\"r1\" Type=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet\" Target=\"worksheets/sheet1.xml\"/></Relationships>"),
        ("xl/worksheets/sheet1.xml", sheet),
    ];
    for (name, body) in parts {
        pack.start_file(name, options).expect("a part");
        pack.write_all(body).expect("written");
    }
    pack.finish().expect("a pack").into_inner()
}

fuzz_target!(|bytes: &[u8]| {
    let made;
    let whole = if sheets::is_workbook(bytes) {
        bytes
    } else {
        made = packed(bytes);
        &made
    };
    let Ok(sheets) = sheets::read(whole) else { return };
    assert!(sheets.len() <= 50);
    for sheet in sheets {
        assert!(sheet.text.lines().all(|line| line.split('\t').count() <= 64), "{}", sheet.text);
    }
});
