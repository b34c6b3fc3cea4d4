//! Writes the tables of fields of the format pages anew: `cargo run -p unfasten-tests --example fields`.

#![allow(clippy::print_stderr, reason = "a tool for developers")]

fn main() {
    for page in outside::fields::PAGES {
        let path = format!("{}/../{page}", env!("CARGO_MANIFEST_DIR"));
        let written =
            std::fs::read_to_string(&path).and_then(|page| std::fs::write(&path, outside::fields::with_tables(&page)));
        if let Err(e) = written {
            eprintln!("{path}: {e}");
            std::process::exit(2);
        }
    }
}
