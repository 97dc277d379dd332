use super::*;

fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The text of each page as an outside reader finds it.
fn read_back(pdf: &[u8]) -> Vec<String> {
    let document = lopdf::Document::load_mem(pdf).expect("an outside reader opens it");
    document.get_pages().keys().map(|page| words(&document.extract_text(&[*page]).expect("its text"))).collect()
}

fn paper(blocks: Vec<Block>) -> Paper {
    Paper {
        title: "Tubs and packs".to_owned(),
        language: "en".to_owned(),
        sheet: Sheet::Letter,
        foot: "Hazel Bend".to_owned(),
        blocks,
    }
}

fn photo(says: &str) -> Photo {
    let said = |text: &str| text.to_owned();
    Photo {
        bytes: Vec::new(),
        way_up: 1,
        says: said(says),
        unread: said("not read"),
        too_large: said("too many pixels"),
    }
}

/// Pictures in a document, as an outside reader finds them: how wide and high.
fn pictures(pdf: &[u8]) -> Vec<(i64, i64)> {
    let document = lopdf::Document::load_mem(pdf).expect("an outside reader opens it");
    let number = |of: &lopdf::Dictionary, key: &[u8]| of.get(key).and_then(lopdf::Object::as_i64).unwrap_or(0);
    let streams = document.objects.values().filter_map(|object| object.as_stream().ok());
    let images = streams
        .filter(|stream| stream.dict.get(b"Subtype").is_ok_and(|of| of.as_name().is_ok_and(|name| name == b"Image")));
    // What a picture lets through is a picture of its own, of one colour.
    let whole = images.filter(|stream| stream.dict.get(b"Width").is_ok());
    whole.map(|stream| (number(&stream.dict, b"Width"), number(&stream.dict, b"Height"))).collect()
}

#[test]
fn photos_of_every_kind_stand_on_paper_and_what_cannot_be_shown_says_why_and_costs_nothing_else() {
    let cases: [(&str, &[u8], usize, &str); 7] = [
        ("a JPEG", include_bytes!("../pictures/held-sideways.jpg"), 1, ""),
        ("a JPEG of four inks", include_bytes!("../pictures/four-inks.jpg"), 1, ""),
        ("a PNG", include_bytes!("../pictures/upright.png"), 1, ""),
        ("a PNG with its own see-through", include_bytes!("../pictures/see-through.png"), 1, ""),
        ("a WebP", include_bytes!("../pictures/upright.webp"), 1, ""),
        ("a damaged PNG", include_bytes!("../pictures/damaged.png"), 0, "not read"),
        ("a PNG of 36 million pixels", include_bytes!("../pictures/many-pixels.png"), 0, "too many pixels"),
    ];
    let mut blocks = Vec::new();
    for (name, bytes, shown, why) in cases {
        let one = Block::Photo(Photo { bytes: bytes.to_vec(), ..photo(name) });
        let pdf = paper(vec![one.clone()]).pdf().unwrap_or_else(|error| panic!("{name}: {error:?}"));
        let found = pictures(&pdf);
        assert_eq!(found.len(), shown, "{name}");
        assert!(found.iter().all(|size| *size == (48, 32)), "{name}: {found:?}");
        let text = read_back(&pdf).concat();
        assert!(text.contains(name) && text.contains(why), "{name}: {text}");
        for said in ["not read", "too many pixels"] {
            assert_eq!(text.contains(said), why == said, "{name}: {text}");
        }
        blocks.push(one);
    }
    let all = paper(blocks).pdf().expect("one bad picture does not cost the others");
    assert_eq!(pictures(&all).len(), 5);
}

fn everything() -> Vec<Block> {
    let long: Vec<Vec<String>> =
        (0..90).map(|row| vec![format!("row {row}"), format!("{}.5 kg", 7 * row), "said of it".to_owned()]).collect();
    vec![
        Block::Answer("Likely done by half past two.".to_owned()),
        Block::Heading(1, "What is due".to_owned()),
        Block::Text("Río Manso — 15.6 °C, ½ lb, “quoted”, 100 € and Łódź: it\u{202f}is set.".to_owned()),
        Block::Caution("Mud holds: keep moving.".to_owned()),
        Block::Points(vec!["one".to_owned(), "two".to_owned()]),
        Block::Checks(vec!["baskets, wet".to_owned(), "ice ".repeat(60)]),
        Block::Pairs(vec![("Lot".to_owned(), "QUARRY-111004-B".to_owned())]),
        Block::Steps(vec![
            Step { at: "8 p.m.".to_owned(), what: "Open the drain.".to_owned(), cares: vec!["Vests on.".to_owned()] },
            Step { at: "Thu 29 Sep, 8 p.m.".to_owned(), what: "Fill the tubs. ".repeat(20), cares: Vec::new() },
        ]),
        Block::Table(Table {
            columns: vec![Column::words("Line", 2.0), Column::figures("Weight", 1.0), Column::words("Said", 3.0)],
            rows: long,
            totals: 1,
            by_hand_mm: None,
        }),
        Block::Figure(Figure {
            says: "Water falls through the night.".to_owned(),
            below: vec![(0.0, "18:00".to_owned()), (6.0, "24:00".to_owned())],
            beside: vec![(0.0, "0 m".to_owned()), (2.0, "2 m".to_owned())],
            lines: vec![
                Line { name: "thought".to_owned(), strokes: vec![vec![(0.0, 2.0), (6.0, 0.3)]], is_marks: false },
                Line { name: "read".to_owned(), strokes: vec![vec![(1.0, 1.8), (5.0, 0.5)]], is_marks: true },
            ],
            bars: vec![(2.0, 1.0), (3.0, 1.5)],
        }),
        Block::Lines(2),
        Block::NewPage,
        Block::Labels(vec![a_label(), a_label(), a_label()]),
    ]
}

fn a_label() -> Label {
    Label {
        lines: vec![
            (Weight::Name, "Freshwater prawns, whole, chilled".to_owned()),
            (Weight::Strong, "Lot QUARRY-111004-B".to_owned()),
            (Weight::Plain, "Keep at 40 °F (4 °C) or below.".to_owned()),
        ],
        bars: [2, 1, 1, 2, 3, 2].repeat(12),
        readable: "(13)111004(10)QUARRY-111004-B".to_owned(),
        squares: Some(Squares { side: 21, is_dark: (0..441).map(|at| at % 3 == 0).collect() }),
    }
}

#[test]
fn the_same_document_gives_the_same_bytes_and_keeps_to_the_rules_of_being_read_aloud() {
    let one = paper(everything()).pdf().expect("inked");
    assert_eq!(one, paper(everything()).pdf().expect("inked"));
    // The mark of PDF/UA-1, set only when the writer's own rules all held.
    let text = String::from_utf8_lossy(&one);
    assert!(text.contains("pdfuaid:part"), "the mark of PDF/UA");
    if let Some(folder) = std::env::var_os("WARMSPELL_PAPER") {
        std::fs::write(std::path::Path::new(&folder).join("everything.pdf"), &one).expect("written");
    }
}

#[test]
fn what_was_put_in_can_be_searched_for() {
    let pages = read_back(&paper(everything()).pdf().expect("inked"));
    let all = pages.join(" ");
    for meant in [
        "Tubs and packs",
        "Likely done by half past two.",
        "Río Manso — 15.6 °C, ½ lb, “quoted”, 100 € and Łódź:",
        "Mud holds: keep moving.",
        "baskets, wet",
        "QUARRY-111004-B",
        "Open the drain.",
        "Vests on.",
        "row 0",
        "row 89",
        "623.5 kg",
        "thought",
        "Freshwater prawns, whole, chilled",
    ] {
        assert!(all.contains(meant), "{meant} in {all}");
    }
}

#[test]
fn a_long_table_bears_its_head_on_every_page_and_loses_no_row() {
    let table = everything().into_iter().filter(|block| matches!(block, Block::Table(_))).collect();
    let pages = read_back(&paper(table).pdf().expect("inked"));
    assert!(pages.len() >= 2, "{pages:?}");
    for (at, page) in pages.iter().enumerate() {
        assert!(page.contains("Line Weight Said"), "page {at}: {page}");
        assert!(page.contains("Hazel Bend") && page.contains(&format!("{} / {}", at + 1, pages.len())), "{page}");
    }
    let all = pages.join(" ");
    (0..90).for_each(|row| assert_eq!(all.matches(&format!("row {row} ")).count(), 1, "row {row}"));
}

#[test]
fn nothing_typed_makes_it_fail() {
    let odd = "\u{0}\u{7}\u{feff}tab\there 漢字 🦐 \u{ad}end\n\nnew ".to_owned() + &"x".repeat(700);
    for sheet in [Sheet::A4, Sheet::Letter] {
        let blocks = vec![
            Block::Heading(1, odd.clone()),
            Block::Heading(2, String::new()),
            Block::Text(odd.clone()),
            Block::Text(String::new()),
            Block::Points(Vec::new()),
            Block::Checks(vec![String::new()]),
            Block::Pairs(vec![(odd.clone(), odd.clone()), (String::new(), String::new())]),
            Block::Table(Table {
                columns: vec![Column::words(&odd, 0.0), Column::figures("", 1.0)],
                rows: vec![vec![odd.repeat(12)], vec![], vec![odd.clone(), odd.clone(), odd.clone()]],
                totals: 9,
                by_hand_mm: Some(8.0),
            }),
            Block::Table(Table::default()),
            Block::Steps(Vec::new()),
            Block::Steps(vec![Step {
                at: odd.clone(),
                what: odd.repeat(9),
                cares: vec![odd.repeat(9), String::new()],
            }]),
            Block::Heading(1, odd.clone()),
            Block::Photo(Photo { bytes: b"no picture".to_vec(), ..photo(&odd) }),
            Block::Figure(Figure {
                says: odd.clone(),
                below: vec![],
                beside: vec![],
                lines: vec![],
                bars: vec![(0.0, 1.0)],
            }),
        ];
        let one = Paper { title: odd.clone(), sheet, ..paper(blocks) };
        let pages = read_back(&one.pdf().expect("inked"));
        assert!(pages.iter().any(|page| page.contains("tab here □□ □ end")), "{pages:?}");
    }
    assert!(paper(Vec::new()).pdf().is_ok());
}

#[test]
fn a_heading_is_not_left_alone_below_what_it_heads() {
    let figure = everything().into_iter().find(|block| matches!(block, Block::Figure(_))).expect("there is one");
    for lines in 0..60 {
        let blocks = vec![Block::Lines(lines), Block::Heading(1, "Falling".to_owned()), figure.clone()];
        let document = paper(blocks);
        let laid = lay::lay(&document);
        let heading = laid.entries.iter().find(|entry| entry.text == "Falling").expect("it is laid");
        let drawn = |page: &Vec<pen::Drawn>| {
            page.iter().flat_map(|drawn| &drawn.strokes).any(|stroke| matches!(stroke, pen::Stroke::Path { .. }))
        };
        assert_eq!(laid.pages.iter().position(drawn), Some(heading.page), "after {lines} lines");
    }
}

#[test]
fn the_narrowest_bar_is_wide_enough_for_a_reader() {
    // Three labels whose bars need the whole width stand one below the other; narrower ones side by side.
    for (times, columns) in [(12, 2), (36, 1)] {
        let label = Label { bars: [2, 1, 1, 2, 3, 2].repeat(times), ..a_label() };
        let document = paper(vec![Block::Labels(vec![label; 3])]);
        let laid = lay::lay(&document);
        let boxes: Vec<&Vec<(f32, f32, f32, f32)>> = laid.pages[0]
            .iter()
            .flat_map(|drawn| &drawn.strokes)
            .filter_map(|stroke| if let pen::Stroke::Boxes(boxes) = stroke { Some(boxes) } else { None })
            .collect();
        // A square code and bars for each.
        let bars: Vec<_> = boxes.iter().skip(1).step_by(2).collect();
        assert_eq!(bars.len(), 3);
        let narrowest_mm = bars[0].iter().map(|one| one.2).fold(f32::MAX, f32::min) / table::MM;
        assert!(narrowest_mm >= 0.249, "{narrowest_mm} mm");
        assert_eq!(bars[0][0].1 == bars[1][0].1, columns == 2, "side by side");
    }
}
