//! Prints `docs/farm-file.md`: run it after a change to the table of inputs.
//!
//! `cargo run -p words --example farm_file > docs/farm-file.md`

fn main() {
    print!("{}", words::farm::manual());
}
