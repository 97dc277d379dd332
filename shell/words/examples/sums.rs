//! Writes docs/sums.md.

fn main() {
    print!("{}", words::sums::manual());
}
