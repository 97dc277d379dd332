//! Bars of made-up packs, for an outside reader: `cargo run -p checks --example bars`. Each line: what is to be read, then the widths in modules.

use books::gs1::{Ai, Element, SEPARATOR, string};
use chance::{Purpose, Stream};
use units::Day;

/// Draws of this example alone.
const PACKS: Purpose = Purpose(0xBA25_0001);

fn main() {
    for pack in 0..300 {
        let mut stream = Stream::new(7, pack, PACKS);
        let mut whole = |most: u64| (stream.uniform() * most as f64) as u64;
        let day = Day::new(2011, 9, 1).map_or(Day(0), |day| day.plus(whole(60) as i32));
        let ponds = ["QUARRY", "W", "Lower-2", "heron/a", "77", "P3_x"];
        let lot = format!("{}-{}-{}", ponds[whole(6) as usize], whole(1_000_000), (b'A' + whole(26) as u8) as char);
        let mut all = vec![Element::lot(&lot).expect("a lot")];
        if whole(2) == 0 {
            all.push(Element::gtin("10614141073464").expect("a number"));
        }
        if whole(2) == 0 {
            all.push(Element::day(Ai::Packed, day).expect("a day"));
        }
        all.push(Element::net(whole(30_000) as f64, whole(2) == 0).expect("a weight"));
        if whole(2) == 0 {
            all.push(Element::count(whole(5000)).expect("pieces"));
        }
        let text = string(&all);
        let widths = books::code128::widths(&text).expect("drawn");
        let widths: String = widths.iter().map(|width| char::from(b'0' + width)).collect();
        println!("{}\t{widths}", text.replace(SEPARATOR, "~"));
    }
}
