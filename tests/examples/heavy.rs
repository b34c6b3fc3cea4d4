//! Writes the records of `tests/performance/heavy.rs` into a folder: `cargo run -p unfasten-tests --example heavy -- DIR`.

#[path = "../performance/heavy.rs"]
mod heavy;

use std::path::PathBuf;

const PHONE: &str = include_str!("../../samples/bar-phone.yaml");

fn main() -> std::io::Result<()> {
    let folder = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| "target/heavy".to_owned()));
    std::fs::create_dir_all(&folder)?;
    heavy::all(PHONE).into_iter().try_for_each(|(name, text)| std::fs::write(folder.join(name), text))
}
