use farm::logger::{Choices, decode, layout, take};
use farm::observed::{Place, Spot};
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook};
use units::{Instant, Watch, Zone};

use crate::{Cell, SheetError, Table, is_workbook, read, write};

/// A workbook as a logger's program or a person would save it.
fn book(fill: impl FnOnce(&mut Workbook)) -> Vec<u8> {
    let mut book = Workbook::new();
    fill(&mut book);
    book.save_to_buffer().expect("a workbook")
}

fn readings(text: &str) -> Vec<String> {
    let layout = layout(text, &Choices::default()).unwrap_or_else(|error| panic!("{error:?}: {text}"));
    let spot = Spot { place: Place::Deep, depth_m: 0.5 };
    let zone = Zone::parse("America/New_York").expect("in the table");
    let taken = take(text, &layout, (&zone, spot, Instant(2_000_000_000)), &Watch::new()).expect("not stopped");
    taken
        .series
        .iter()
        .flat_map(|series| &series.rows)
        .map(|(at, value)| format!("{} {value}", zone.stamp(*at)))
        .collect()
}

#[test]
fn a_sheet_of_dates_is_read_as_a_logger() {
    let bytes = book(|book| {
        let clock = Format::new().set_num_format("m/d/yy h:mm");
        let sheet = book.add_worksheet();
        sheet.write_string(0, 0, "A pond\tof ours").expect("written");
        sheet.write_string(2, 0, "Date Time").expect("written");
        sheet.write_string(2, 1, "Temp °F").expect("written");
        for (row, minute) in [(3, 0), (4, 5), (5, 10)] {
            let at = ExcelDateTime::from_ymd(2020, 7, 13).and_then(|day| day.and_hms(0, minute, 0.0)).expect("a time");
            sheet.write_datetime_with_format(row, 0, &at, &clock).expect("written");
            sheet.write_number(row, 1, 65.3).expect("written");
        }
        book.add_worksheet();
    });
    assert!(is_workbook(&bytes));
    let sheets = read(&bytes).expect("a workbook");
    assert_eq!(sheets.len(), 1, "the empty sheet is left out");
    assert_eq!(
        readings(&sheets[0].text),
        ["2020-07-13T00:00-04:00 18.5", "2020-07-13T00:05-04:00 18.5", "2020-07-13T00:10-04:00 18.5"]
    );
}

#[test]
fn days_and_clock_times_in_two_columns_are_joined() {
    let bytes = book(|book| {
        let (day, clock) = (Format::new().set_num_format("yyyy-mm-dd"), Format::new().set_num_format("hh:mm"));
        let sheet = book.add_worksheet();
        for (column, head) in ["Date", "Time", "Temp C"].into_iter().enumerate() {
            sheet.write_string(0, column as u16, head).expect("written");
        }
        let date = ExcelDateTime::from_ymd(2020, 7, 13).expect("a day");
        sheet.write_datetime_with_format(1, 0, &date, &day).expect("written");
        sheet
            .write_datetime_with_format(1, 1, ExcelDateTime::from_hms(18, 5, 0.0).expect("a time"), &clock)
            .expect("written");
        sheet.write_number(1, 2, 18.5).expect("written");
    });
    let sheets = read(&bytes).expect("a workbook");
    assert_eq!(readings(&sheets[0].text), ["2020-07-13T18:05-04:00 18.5"], "{}", sheets[0].text);
}

#[test]
fn what_is_no_workbook_is_refused() {
    let good = book(|book| {
        book.add_worksheet().write_number(0, 0, 1).expect("written");
    });
    for bytes in
        [&b""[..], b"time,temp\n", b"PK\x03\x04 and nothing", &good[..good.len() / 2], &good[..good.len() - 10]]
    {
        assert_eq!(read(bytes), Err(SheetError::NotAWorkbook));
    }
    let empty = book(|book| {
        book.add_worksheet();
    });
    assert_eq!(read(&empty), Err(SheetError::NotAWorkbook));
}

#[test]
fn a_workbook_that_unpacks_to_too_much_is_refused_before_it_is_read() {
    // 500 MB of zeros pack to half a megabyte.
    let mut pack = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    pack.start_file("xl/worksheets/sheet1.xml", zip::write::SimpleFileOptions::default()).expect("a part");
    let zeros = vec![0u8; 1 << 20];
    for _ in 0..420 {
        std::io::Write::write_all(&mut pack, &zeros).expect("written");
    }
    let bytes = pack.finish().expect("a pack").into_inner();
    assert!(bytes.len() < 2 << 20, "{}", bytes.len());
    assert_eq!(read(&bytes), Err(SheetError::TooLarge));
}

#[test]
fn a_cell_far_out_costs_nothing() {
    let bytes = book(|book| {
        let sheet = book.add_worksheet();
        sheet.write_string(0, 0, "here").expect("written");
        sheet.write_number(1_048_575, 16_383, 1).expect("written");
    });
    let sheets = read(&bytes).expect("a workbook");
    assert!(sheets[0].text.len() < 2_000_000, "{}", sheets[0].text.len());
}

#[test]
fn what_goes_out_comes_in_and_holds_no_formula() {
    let face = "2020-07-13T18:05:30".parse().expect("a time");
    let rows = vec![
        vec![Cell::Clock(face), Cell::Text("=1+1".to_owned()), Cell::Number(18.5)],
        vec![Cell::Empty, Cell::Text("+cmd|' /C calc'!A0".to_owned()), Cell::Number(-0.25)],
    ];
    let heads = ["Time", "Said", "Water (°C)"].map(str::to_owned).into();
    let bytes = write(&[Table { name: "Readings".to_owned(), heads, rows }]).expect("written");
    let sheets = read(&bytes).expect("a workbook");
    assert_eq!(sheets[0].name, "Readings");
    let text = "Time\tSaid\tWater (°C)\n2020-07-13 18:05:30\t=1+1\t18.5\n\t+cmd|' /C calc'!A0\t-0.25";
    assert_eq!(sheets[0].text, text);
    let part = |bytes: &[u8]| {
        let mut pack = zip::ZipArchive::new(std::io::Cursor::new(bytes.to_vec())).expect("a pack");
        std::io::read_to_string(pack.by_name("xl/worksheets/sheet1.xml").expect("the sheet")).expect("text")
    };
    assert!(!part(&bytes).contains("<f>"));
    // The same look at a book that does hold one, so that the line above can fail.
    let formula = book(|book| {
        book.add_worksheet().write_formula(0, 0, Formula::new("=1+1")).expect("written");
    });
    assert!(part(&formula).contains("<f>"));
    assert_eq!(decode(text.as_bytes()), text);
}
