//! What is said beside the work: the closing judgement, and which parts the speaker came for.

use std::collections::BTreeMap;

use super::clause::Clause;
use super::count::Count;
use super::segment::{DraftedAction, same};
use super::spot::What;
use super::tokens::{Stop, Token};

/// The closing judgement: `6.5/10`, and the cue it is said in. What would be, and other marks named before, don't count.
pub fn verdict(clauses: &[Clause]) -> Option<(String, usize)> {
    clauses
        .iter()
        .rev()
        .filter(|c| !c.says.would && !c.says.question)
        .find_map(|c| mark(&c.tokens).map(|m| (m, c.cues.0)))
}

/// Clauses that lead up to the closing judgement and tell of no work: "not bad, it's all screws, I'd say six out of ten".
pub fn closing(clauses: &[Clause]) -> std::ops::Range<usize> {
    let judges = |c: &Clause| !c.says.would && !c.says.question && mark(&c.tokens).is_some();
    let Some(last) = clauses.iter().rposition(judges) else { return 0..0 };
    let works = |c: &Clause| {
        c.off.is_some()
            || c.says.not_attempted
            || c.says.failed
            || c.spots.iter().any(|s| match &s.what {
                What::Tool(_) | What::Drive(_) => !s.denied,
                What::Fastener { count, verb, .. } => {
                    !s.denied && (*verb || matches!(count, Count::Is(2..) | Count::Between(..)))
                }
                What::Part(_) => false,
            })
    };
    let mut from = last;
    while from > 0 && !clauses[from].opens && !works(&clauses[from - 1]) {
        from -= 1;
    }
    from..last
}

/// "Six and a half out of ten", "6.5/10": the last one.
fn mark(tokens: &[Token]) -> Option<String> {
    let word = |i: usize| tokens.get(i).map_or("", |t| &*t.text);
    (0..tokens.len()).rev().find_map(|at| {
        let ten = |i: usize| tokens.get(i).is_some_and(|t| t.number == Some(10));
        let number = tokens[at].number.filter(|n| *n <= 10);
        let decimal = word(at).split_once('.').is_some_and(|(a, b)| a.len() == 1 && b.len() == 1);
        if number.is_none() && !decimal {
            return None;
        }
        let half = word(at + 1) == "and" && word(at + 2) == "a" && word(at + 3) == "half";
        let next = if half { at + 4 } else { at + 1 };
        let out_of = word(next) == "out" && word(next + 1) == "of" && ten(next + 2);
        let slash = tokens[at].stop == Stop::Pause && ten(at + 1) && !half;
        let value = number.map_or_else(|| word(at).to_owned(), |n| n.to_string());
        (out_of || slash).then(|| format!("{value}{}/10", if half { ".5" } else { "" }))
    })
}

/// What the device cost: "about eighty euros", "a hundred and nine dollars". As a record writes it.
pub fn price(tokens: &[Token]) -> Option<String> {
    let other =
        ["spare", "spares", "part", "parts", "replacement", "repair", "shipping", "postage", "cheaper", "saved"];
    if tokens.iter().any(|t| other.contains(&&*t.text)) {
        return None;
    }
    tokens.iter().enumerate().find_map(|(at, token)| {
        let currency = match &*token.text {
            "euro" | "euros" | "eur" => "EUR",
            "dollar" | "dollars" | "bucks" | "usd" => "USD",
            "quid" | "gbp" => "GBP",
            _ => return None,
        };
        // The words of the number, back to its first.
        let of_number =
            |i: usize| tokens[i].number.is_some() || matches!(&*tokens[i].text, "hundred" | "thousand" | "and" | "a");
        let mut from = at;
        while from > 0 && of_number(from - 1) {
            from -= 1;
        }
        let (mut all, mut now) = (0_u32, 0_u32);
        for token in &tokens[from..at] {
            match (&*token.text, token.number) {
                ("hundred", _) => now = now.max(1).checked_mul(100)?,
                ("thousand", _) => {
                    all = all.checked_add(now.max(1).checked_mul(1000)?)?;
                    now = 0;
                }
                (_, Some(n)) => now = now.checked_add(n)?,
                _ => {}
            }
        }
        let sum = all.checked_add(now)?;
        (sum > 0).then(|| format!("{sum} {currency}"))
    })
}

/// A part that may count, and why it is proposed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Proposed {
    /// The part.
    pub part: String,
    /// Why, in words.
    pub why: String,
}

/// Most parts proposed.
const MOST: usize = 6;
/// How often a part must be named to be proposed for that alone.
const OFTEN: usize = 4;

/// Parts that may count: those the speaker came for, called worn, or named most, among those some action frees.
pub fn proposed(
    entries: &[DraftedAction],
    wanted: impl Iterator<Item = String> + Clone,
    worn: impl Iterator<Item = String> + Clone,
    named: &BTreeMap<String, usize>,
) -> Vec<Proposed> {
    let mut out: Vec<(usize, usize, Proposed)> = Vec::new();
    for (place, entry) in entries.iter().enumerate().filter(|(_, e)| e.frees) {
        if out.iter().any(|(.., p)| p.part == entry.name) {
            continue;
        }
        let is = |n: &String| std::iter::once(&entry.name).chain(&entry.also).any(|own| same(own, n));
        // "Board" alone may be any of several.
        let times: usize =
            named.iter().filter(|(n, _)| is(n) && (n.contains(' ') || !entry.name.contains(' '))).map(|(_, t)| t).sum();
        let mut why = Vec::new();
        if wanted.clone().any(|w| is(&w)) {
            why.push("what the speaker came for".to_owned());
        }
        if worn.clone().any(|w| is(&w)) {
            why.push("called worn or faulty".to_owned());
        }
        let weight = why.len();
        if times >= OFTEN {
            why.push(format!("named {times} times"));
        }
        if !why.is_empty() {
            out.push((weight * 1000 + times, place, Proposed { part: entry.name.clone(), why: why.join(", ") }));
        }
    }
    out.sort_by_key(|(weight, place, _)| (std::cmp::Reverse(*weight), *place));
    out.truncate(MOST);
    out.sort_by_key(|(_, place, _)| *place);
    out.into_iter().map(|(.., p)| p).collect()
}

#[cfg(test)]
mod tests {
    use super::super::clean::Cue;
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("it's about eighty euros", Some("80 EUR"))]
    #[case("a hundred and nine dollars", Some("109 USD"))]
    #[case("1 thousand two hundred euros", Some("1200 EUR"))]
    #[case("149 euros", Some("149 EUR"))]
    #[case("a spare part is ten euros", None)]
    #[case("some euros", None)]
    fn reads_prices(#[case] text: &str, #[case] wanted: Option<&str>) {
        let cues = [Cue { start: None, end: None, text: text.to_owned(), line: 1, turn: false }];
        assert_eq!(price(&super::super::tokens::tokens(&cues, 0..1)).as_deref(), wanted);
    }

    #[rstest]
    #[case("i'd give it a six out of ten", Some("6/10"))]
    #[case("Six and a half out of ten.", Some("6.5/10"))]
    #[case("so 7/10", Some("7/10"))]
    #[case("6.5 out of 10", Some("6.5/10"))]
    #[case("eight of ten screws", None)]
    #[case("ten minutes", None)]
    fn reads_judgements(#[case] text: &str, #[case] wanted: Option<&str>) {
        let cues = [Cue { start: None, end: None, text: text.to_owned(), line: 1, turn: false }];
        assert_eq!(mark(&super::super::tokens::tokens(&cues, 0..1)).as_deref(), wanted);
    }
}
