//! Operations: `heat pad 70 °C 4 min`, `spudger + tweezers`, `PH0 or PH1`, `PH0 | PH1`, `hands`.

use std::ops::Range;

use super::numbers::plain;
use super::{countable, pieces};
use crate::exact::Exact;
use crate::text::fields::Bad;
use crate::text::fold;

/// A tool as written: which bytes name it, and its settings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Named {
    /// Bytes of the name.
    pub name: Range<usize>,
    /// Temperature, °C.
    pub celsius: Option<u32>,
    /// Minutes.
    pub minutes: Option<Exact>,
}

/// Alternatives (not established which), each ways any of which suffices, each tools used at once; no tool is hands.
pub type Operation = Vec<Vec<Vec<Named>>>;

/// Reads an operation; `|` binds loosest, then `or`, then `+`.
pub fn operation(text: &str) -> Result<Operation, Bad> {
    let mut alternatives = Vec::new();
    countable(text, text.match_indices(['|', '+']).map(|(at, _)| at))?;
    for (at, alternative) in pieces(text, "|") {
        let mut ways = Vec::new();
        let either = either(alternative);
        countable(text, either.iter().map(|w| at + w.0))?;
        for (or, way) in either {
            ways.push(at_once(way).map_err(|bad| bad.shifted(at + or))?);
            let (first, last) = (at + or, ways.len() - 1);
            for set in &mut ways[last] {
                set.name = set.name.start + first..set.name.end + first;
            }
        }
        alternatives.push(ways);
    }
    Ok(alternatives)
}

/// Parts between the word `or`.
fn either(text: &str) -> Vec<(usize, &str)> {
    let mut out = Vec::new();
    let mut start = 0;
    let lower = text.to_ascii_lowercase();
    for (at, or) in lower.match_indices("or") {
        let end = at + or.len();
        let free = |c: Option<char>| c.is_none_or(char::is_whitespace);
        if free(text[..at].chars().next_back()) && free(text[end..].chars().next()) {
            out.push((start, &text[start..at]));
            start = end;
        }
    }
    out.push((start, &text[start..]));
    let trimmed = |(at, piece): (usize, &'_ str)| (at + piece.len() - piece.trim_start().len(), piece.len());
    let places: Vec<_> = out.iter().map(|p| trimmed(*p)).collect();
    out.into_iter().zip(places).map(|((_, piece), (at, _))| (at, piece.trim())).collect()
}

fn at_once(text: &str) -> Result<Vec<Named>, Bad> {
    let tools = pieces(text, "+");
    let several = tools.len() > 1;
    let mut out: Vec<Named> = Vec::new();
    for (at, tool) in tools {
        if is_hands(tool) {
            if several {
                return Err(Bad::new(at..at + tool.len(), "hands are not a tool to be used at once with another")
                    .mend("leave `hands` out: tools are held in hands anyway"));
            }
            return Ok(Vec::new());
        }
        if matches!(&*fold(tool), "unknown" | "one unknown") {
            return Err(Bad::new(at..at + tool.len(), "`unknown` can't be one of several tools")
                .mend("write `unknown` alone, for the whole operation"));
        }
        let named = settings(tool).map_err(|bad| bad.shifted(at))?;
        out.push(Named { name: named.name.start + at..named.name.end + at, ..named });
    }
    Ok(out)
}

/// Whether a word means no tool.
pub fn is_hands(word: &str) -> bool {
    matches!(&*fold(word), "hands" | "hand" | "bare hands" | "by hand" | "fingers")
}

/// Splits settings off the end of a tool: a temperature and a time, in any order.
fn settings(text: &str) -> Result<Named, Bad> {
    let mut named = Named { name: 0..text.len(), celsius: None, minutes: None };
    loop {
        let rest = &text[..named.name.end];
        let words: Vec<(usize, &str)> = pieces(rest, " ").into_iter().filter(|(_, w)| !w.is_empty()).collect();
        let Some(&(at, last)) = words.last() else {
            return Err(Bad::new(
                0..text.len(),
                if text.is_empty() { "a tool is missing here".to_owned() } else { format!("`{text}` names no tool") },
            )
            .mend("write a tool such as `PH0`, `opening pick`, or `hands`"));
        };
        let unit_start = last.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')).unwrap_or(last.len());
        let unit = &last[unit_start..];
        let (start, value) = if unit_start > 0 && !unit.is_empty() {
            (at, &last[..unit_start])
        } else if unit_start == 0 && words.len() > 1 {
            words[words.len() - 2]
        } else {
            named.name = 0..rest.trim_end().len();
            return Ok(named);
        };
        let numeric = value.starts_with(|c: char| c.is_ascii_digit() || c == '-' || c == '.');
        let whole = start..at + last.len();
        let wrong = |what: &str, mend: &str| {
            Err(Bad::new(whole.clone(), format!("`{}` is not {what}", &text[whole.clone()])).mend(mend))
        };
        match &*unit.to_lowercase() {
            "°c" | "c" | "℃" if numeric => {
                let Some(celsius) = value.parse::<u32>().ok().filter(|c| *c <= 2000) else {
                    return wrong("a temperature", "write whole degrees Celsius: `70 °C`");
                };
                if named.celsius.replace(celsius).is_some() {
                    return wrong("the only temperature of this tool", "write one temperature");
                }
            }
            "°f" | "f" | "k" if numeric => {
                return wrong("a temperature in °C", "write whole degrees Celsius: `70 °C`");
            }
            unit @ ("min" | "mins" | "minutes" | "minute" | "s" | "sec" | "seconds" | "h") if numeric => {
                let scale = match unit {
                    "s" | "sec" | "seconds" => Exact::ratio(1, 60),
                    "h" => Some(Exact::from(60)),
                    _ => Some(Exact::one()),
                };
                let (Some(value), Some(scale)) = (plain(value), scale) else {
                    return wrong("a time", "write minutes: `4 min`");
                };
                if named.minutes.replace(&value * &scale).is_some() {
                    return wrong("the only time of this tool", "write one time");
                }
            }
            _ => {
                named.name = 0..rest.trim_end().len();
                return Ok(named);
            }
        }
        named.name = 0..text[..start].trim_end().len();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    /// Writes an operation out again, names in brackets.
    fn shown(text: &str) -> String {
        let tool = |t: &Named| {
            let celsius = t.celsius.map_or(String::new(), |c| format!("@{c}"));
            let minutes = t.minutes.as_ref().map_or(String::new(), |m| format!("~{}", m.plain()));
            format!("[{}]{celsius}{minutes}", &text[t.name.clone()])
        };
        let set = |s: &Vec<Named>| {
            if s.is_empty() { "hands".to_owned() } else { s.iter().map(tool).collect::<Vec<_>>().join("+") }
        };
        let ways = |w: &Vec<Vec<Named>>| w.iter().map(set).collect::<Vec<_>>().join(" or ");
        match operation(text) {
            Ok(o) => o.iter().map(ways).collect::<Vec<_>>().join(" | "),
            Err(bad) => format!("{:?} {}", bad.range, bad.message),
        }
    }

    #[rstest]
    #[case("hands", "hands")]
    #[case("PH0", "[PH0]")]
    #[case("heat pad 70 °C 4 min", "[heat pad]@70~4")]
    #[case("heat pad 4min 70°C", "[heat pad]@70~4")]
    #[case("heat gun 30 s", "[heat gun]~0.5")]
    #[case("hex 2 mm", "[hex 2 mm]")]
    #[case("spudger + tweezers", "[spudger]+[tweezers]")]
    #[case("PH0 or PH1", "[PH0] or [PH1]")]
    #[case("PH0 | PH1", "[PH0] | [PH1]")]
    #[case("a + b or c | hands", "[a]+[b] or [c] | hands")]
    #[case("doctor orange or motor", "[doctor orange] or [motor]")]
    #[case("five-lobe 2", "[five-lobe 2]")]
    #[case("heat pad 70 °C + opening pick", "[heat pad]@70+[opening pick]")]
    #[case("tool X 1", "[tool X 1]")]
    fn reads(#[case] text: &str, #[case] wanted: &str) {
        assert_eq!(shown(text), wanted);
    }

    #[rstest]
    #[case("hands + PH0", "0..5 hands are not a tool to be used at once with another")]
    #[case("heat pad -70 °C", "9..16 `-70 °C` is not a temperature")]
    #[case("heat pad 160 F", "9..14 `160 F` is not a temperature in °C")]
    #[case("heat pad 70 °C 80 °C", "9..15 `70 °C` is not the only temperature of this tool")]
    #[case("PH0 |", "5..5 a tool is missing here")]
    #[case("PH0 or", "6..6 a tool is missing here")]
    #[case("70 °C", "0..6 `70 °C` names no tool")]
    #[case("PH0 or unknown", "7..14 `unknown` can't be one of several tools")]
    #[case("heat pad 99999999999 °C", "9..24 `99999999999 °C` is not a temperature")]
    fn refuses(#[case] text: &str, #[case] wanted: &str) {
        assert_eq!(shown(text), wanted);
    }

    proptest! {
        #[test]
        fn any_text_is_safe(text in "([a-zé ]|or|\\+|\\||[0-9]| °C| min|-|\\.){0,20}") {
            if let Ok(operation) = operation(&text) {
                for named in operation.iter().flatten().flatten() {
                    prop_assert!(!text[named.name.clone()].trim().is_empty());
                }
            }
        }
    }
}
