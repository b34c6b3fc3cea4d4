//! How a draft fares against its gold list: `cargo run -p unfasten-tests --example drafted -- h.vtt` prints what was
//! drafted of a source under `tests/data/narrations`, and what of it is found, missed and wrong; with `--clauses` before
//! the names, how the talk was cut as well, and what each clause is about.

#![allow(clippy::print_stdout, clippy::print_stderr, reason = "a tool for developers")]

use outside::narration::marks;
use outside::walked::walked;
use scoring::draft::Draft;
use scoring::text::Source;

fn main() {
    let folder = format!("{}/data/narrations", env!("CARGO_MANIFEST_DIR"));
    let read = |name: &str| std::fs::read_to_string(format!("{folder}/{name}"));
    let clauses = std::env::args().any(|a| a == "--clauses");
    for name in std::env::args().skip(1).filter(|a| !a.starts_with("--")) {
        let case = name.split('.').next().unwrap_or(&name);
        let (text, gold) = match (read(&name), read(&format!("{case}.gold.json"))) {
            (Ok(text), Ok(gold)) => (text, gold),
            (Err(e), _) | (_, Err(e)) => {
                eprintln!("{name}, or its gold list, is not in {folder}: {e}");
                std::process::exit(2);
            }
        };
        let gold = match serde_json::from_str(&gold) {
            Ok(gold) => gold,
            Err(e) => {
                eprintln!("the gold list of {name} is no JSON: {e}");
                std::process::exit(2);
            }
        };
        let draft = Draft::of(&Source::new(&name, &text));
        for c in draft.clauses.iter().filter(|_| clauses) {
            let words: Vec<&str> = c.tokens.iter().map(|t| &*t.text).collect();
            println!(
                "{} {} | topic {:?} holder {:?} off {:?}",
                if c.opens { "-" } else { " " },
                words.join(" "),
                c.topic,
                c.holder,
                c.off
            );
            for s in &c.spots {
                println!("      {:?}{}", s.what, if s.denied { " denied" } else { "" });
            }
        }
        for e in &draft.sorted.entries {
            let at = draft.at(e).map_or(0, |(from, _)| from / 1000);
            let held: Vec<String> = e
                .fasteners
                .iter()
                .flatten()
                .map(|f| format!("{:?} {} {}", f.count, f.name, f.drive.as_deref().unwrap_or("")))
                .collect();
            println!(
                "{:>3}:{:02} {} {:?} with {:?} held {:?}{}",
                at / 60,
                at % 60,
                if e.frees { "free" } else { "do" },
                e.name,
                e.tools,
                held,
                if e.status == scoring::draft::segment::Status::Done {
                    String::new()
                } else {
                    format!(" {:?}", e.status)
                }
            );
        }
        let m = marks(&draft, &gold);
        println!(
            "{name}: found {} of {}, wrong {:.0} %, fields {:.2}, times {:.0} %, kept changed deleted added {:?}",
            m.found,
            m.found + m.missed.len(),
            m.wrong_share() * 100.0,
            m.field_precision(),
            m.timely() * 100.0,
            m.edits
        );
        println!("  missed {:?}\n  wrong {:?}", m.missed, m.wrong);
        let (w, _) = walked(&draft, &gold);
        println!(
            "  walked: {} places, answers none, offered, written {:?}; then {} found, {} wrong, missed {:?}",
            w.places, w.answers, w.found, w.wrong, w.missed
        );
    }
}
