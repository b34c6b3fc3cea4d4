//! What words mean, and how a question is said.

use crate::record::{Action, Known, Named, Tool, Ways};
use crate::text::words::some;
use crate::vocab::class::Words;
use crate::vocab::{Kind, Place, Skill};

/// What a word of a closed vocabulary means; empty for others.
fn means<W: Words>(word: &str) -> &'static str {
    W::from_word(word).map_or("", Words::means)
}

/// What a working environment is.
pub(super) fn place(word: &str) -> &'static str {
    means::<Place>(word)
}

/// What a skill level is.
pub(super) fn skill(word: &str) -> &'static str {
    means::<Skill>(word)
}

/// How a bench says a kind.
pub(super) fn kind(word: &str) -> &str {
    Kind::from_word(word).map_or(word, |k| k.means())
}

/// What a kind means beside its words.
pub(super) fn kind_means(word: &str) -> &'static str {
    match word {
        "resupplied" => "the old one can't be used again; the spare part brings one",
        "resupplied at cost" => "the old one can't be used again; one costs extra",
        "removable" => "nothing is left behind, but it can't be used again and none comes with the spare",
        "neither" => "it can't be taken off clean",
        _ => "",
    }
}

/// `2 x clip; with spudger`: work as a record has it, shortly.
pub(super) fn work(action: &Action, tools: &[Tool]) -> String {
    let said = action.with.iter().all(|w| !matches!(w.ways.known, Known::Unknown));
    let with = if said {
        let tools = action.with.iter().map(|w| way(&w.ways.known, tools)).collect::<Vec<_>>().join(", then ");
        if tools == "hands" { "by hand".to_owned() } else { format!("with {tools}") }
    } else {
        "with what, was not said".to_owned()
    };
    let held = held(action);
    let held = match (action.loosen.is_empty(), held.is_empty()) {
        (true, _) => "nothing held it".to_owned(),
        (_, true) => "how it was held was not said".to_owned(),
        _ => held,
    };
    format!("{held}; {with}")
}

fn way(known: &Known<Ways>, tools: &[Tool]) -> String {
    let one = |ways: &Ways| {
        let sets = ways.iter().map(|set| {
            let names: Vec<&str> = set.tools.iter().filter_map(|t| tools.get(t.tool)).map(|t| &*t.name).collect();
            if names.is_empty() { "hands".to_owned() } else { names.join(" + ") }
        });
        sets.collect::<Vec<_>>().join(" or ")
    };
    match known {
        Known::Is(ways) => one(ways),
        Known::OneOf(list) => list.iter().map(one).collect::<Vec<_>>().join(" | "),
        Known::Between(..) | Known::Unknown => String::new(),
    }
}

/// What an action loosens, as written with counts.
pub(super) fn held(action: &Action) -> String {
    let said: Vec<String> = action
        .loosen
        .iter()
        .filter(|l| l.named == Named::Fastener)
        .map(|l| match &l.count.known {
            Known::Is(n) if *n == crate::exact::Exact::one() => l.text.clone(),
            Known::Is(n) => format!("{} x {}", n.plain(), l.text),
            _ => format!("some {}", l.text),
        })
        .collect();
    said.join(", ")
}

/// Names in a row, the first few.
pub(super) fn listed(names: &[&str]) -> String {
    const SHOWN: usize = 5;
    let quoted: Vec<String> = names.iter().map(|n| format!("`{n}`")).collect();
    if names.len() > SHOWN + 1 { some(&quoted, SHOWN) } else { quoted.join(", ") }
}

/// More than one of a fastener.
pub(super) fn plural(word: &str) -> String {
    match word {
        "solder" | "foam tape" | "hook and loop" | "potting" | "belt tension" => format!("{word} joints"),
        word => crate::text::words::plural(word),
    }
}
