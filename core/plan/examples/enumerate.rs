//! Random small farms, each solved by the search and by trying every combination: `enumerate [COUNT]`.

// A bench or tool stands outside the core: it may read the clock and files.
#![allow(clippy::disallowed_methods)]

#[path = "../tests/farms/mod.rs"]
mod farms;

fn main() {
    let count: u32 = std::env::args().nth(1).and_then(|text| text.parse().ok()).unwrap_or(2000);
    let (mut tried, mut searched, mut left, mut wrong) = (0, 0, 0, 0);
    for number in 0..count {
        match farms::fault_of(&farms::farm(number)) {
            Ok(count) => {
                tried += count.tried;
                searched += u32::from(count.searched);
                left += u32::from(count.left);
            }
            Err(fault) => {
                wrong += 1;
                println!("farm {number}: {fault}");
            }
        }
    }
    println!(
        "{count} farms ({searched} where ponds are in each other's way, {left} where one must be left), {tried} combinations \
         tried, {wrong} differences"
    );
    if wrong > 0 {
        std::process::exit(1);
    }
}
