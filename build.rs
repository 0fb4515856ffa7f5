//! Lists the voices that the program carries.

#[path = "build/voices.rs"]
mod voices;

fn main() {
    voices::write_table();
}
