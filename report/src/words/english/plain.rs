//! English: names of things, numbers in words, singular and plural.

use super::many;
use scoring::exact::Exact;
use scoring::record::complete::open_count;

/// Numbers that are written out.
const NUMBERS: [&str; 13] =
    ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// A count: in words up to twelve.
pub fn number(n: usize) -> String {
    NUMBERS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// `one step`, `seven steps`, `23 steps`.
pub fn steps(n: u32) -> String {
    let (known, open) = open_count(n);
    let least = if open { "at least " } else { "" };
    format!("{least}{} {}", number(known as usize), if known == 1 { "step" } else { "steps" })
}

/// Steps at both ends of a verdict: `two steps at the high end and six at the low`; `low`: `None` where there is no way to take it
/// out. Where an end is a bound the steps are those of what was tried there, and are said to be.
pub fn steps_at_ends(low: Option<u32>, high: u32, attained: bool, open: bool) -> String {
    let [at_high, at_low] =
        if attained { ["at the high end", "at the low"] } else { ["in one completion tried", "in the other"] };
    match low {
        // What is open may still make it longer or shorter, without moving an end.
        Some(low) if low == high && attained && open => at_both_ends(high),
        Some(low) if low == high && attained => steps(high),
        Some(low) if low == high => format!("{} in both completions tried", steps(high)),
        Some(low) => {
            let (known, open) = open_count(low);
            let least = if open { "at least " } else { "" };
            format!("{} {at_high} and {least}{} {at_low}", steps(high), number(known as usize))
        }
        None => format!("{} {at_high} and can't be taken out {at_low}", steps(high)),
    }
}

/// Steps that are as many at both ends of a verdict, and may be others between.
pub fn at_both_ends(n: u32) -> String {
    format!("{} at both ends", steps(n))
}

/// `5.3` as it is read aloud: `five point three`.
pub fn aloud(shown: &str) -> String {
    let digit = |c: char| c.to_digit(10).map(|d| if d == 0 { "zero".to_owned() } else { number(d as usize) });
    match shown.split_once('.') {
        Some((whole, rest)) => {
            let whole = whole
                .parse::<usize>()
                .map_or_else(|_| whole.to_owned(), |n| if n == 0 { "zero".to_owned() } else { number(n) });
            if rest.chars().all(|c| c == '0') {
                return whole;
            }
            format!("{whole} point {}", rest.chars().filter_map(digit).collect::<Vec<_>>().join(" "))
        }
        None => shown
            .parse::<usize>()
            .map_or_else(|_| shown.to_owned(), |n| if n == 0 { "zero".to_owned() } else { number(n) }),
    }
}

/// What a part is called in a sentence: a plain word where its role has one, else its name in the record.
pub fn name(role: &str, part: &str) -> String {
    let plain = match role {
        "battery" => "battery",
        "display assembly" => "display",
        "back cover" => "back",
        _ => part,
    };
    let plain = if plain.is_empty() { role.split('|').next().unwrap_or(role).trim() } else { plain };
    plain.to_owned()
}

/// `one year`, `ten years`, `2.5 years`.
pub fn counted(n: &Exact, one: &str, more: &str) -> String {
    let plain = n.plain();
    let said = plain.parse::<usize>().map_or_else(|_| plain.clone(), number);
    format!("{said} {}", if plain == "1" { one } else { more })
}

/// `a heat gun`, `an opening pick`; several things have no article.
pub fn a(name: &str) -> String {
    if many(name) {
        return name.to_owned();
    }
    let vowel = name.starts_with(['a', 'e', 'i', 'o', 'u', 'A', 'E', 'I', 'O', 'U']);
    format!("{} {name}", if vowel { "an" } else { "a" })
}

/// `5.0 to 6.0`.
pub fn to(low: &str, high: &str) -> String {
    format!("{low} to {high}")
}

/// `of 10`.
pub fn out_of(top: &str) -> String {
    format!("of {top}")
}

/// `class B`, `class D to B`.
pub fn class(low: &str, high: &str) -> String {
    if low == high { format!("class {low}") } else { format!("class {low} to {high}") }
}

/// With a small first letter, unless the word is in capitals.
pub fn lower(text: &str) -> String {
    let mut chars = text.chars();
    match (chars.next(), chars.clone().next()) {
        (Some(first), Some(second)) if !second.is_uppercase() => first.to_lowercase().chain(chars).collect(),
        _ => text.to_owned(),
    }
}

/// `a, b or c`.
pub fn or(items: &[String]) -> String {
    match items {
        [rest @ .., last] if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
        items => items.concat(),
    }
}

/// `weight 4`.
pub fn weight(weight: &str) -> String {
    format!("weight {weight}")
}

/// `3 parts`, where their names don't fit.
pub fn parts(n: usize) -> String {
    format!("{n} parts")
}

/// `3 tools`, where their names don't fit.
pub fn tools(n: usize) -> String {
    format!("{n} tools")
}

/// `the back`.
pub fn the(name: &str) -> String {
    if name.starts_with("the ") { name.to_owned() } else { format!("the {name}") }
}

/// The plural of a word: `cameras`, `memories`, `switches`.
pub fn plural(word: &str) -> String {
    if many(word) { word.to_owned() } else { scoring::text::words::plural(word) }
}

/// A part that came off before, by another way: `keyboard (another way)`.
pub fn another_way(name: &str) -> String {
    format!("{name} (another way)")
}

/// A verb for one or many: `verb("the bearings", "comes", "come")`.
pub fn verb(name: &str, one: &'static str, more: &'static str) -> &'static str {
    if many(name) { more } else { one }
}
