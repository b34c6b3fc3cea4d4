//! How well something is known: `use`, `unknown`, `a | b`, `3..5`, `at least 3`, `at most 5`.

use super::{countable, pieces};
use crate::record::{Known, Money};
use crate::text::fields::{Bad, find_word};
use crate::text::fold;

/// A value, `unknown`, or alternatives `a | b`; each value is read by `leaf`.
pub fn known<T: PartialEq>(text: &str, leaf: &dyn Fn(&str) -> Result<T, Bad>) -> Result<Known<T>, Bad> {
    alternatives(text, &|piece| leaf(piece).map(Known::Is))
}

/// A number, `unknown`, alternatives, a span `3..5` (ends included), `at least 3` or `at most 5`. In a span the unit may
/// stand once, behind the second number.
pub fn known_number<T: PartialOrd>(text: &str, leaf: &dyn Fn(&str) -> Result<T, Bad>) -> Result<Known<T>, Bad> {
    alternatives(text, &|piece| one_number(piece, leaf))
}

/// Yes or no, as well as it is known.
pub fn yes_no(text: &str) -> Result<Known<bool>, Bad> {
    known(text, &|t| find_word(t, "yes or no", &["yes", "no", "true", "false"]).map(|i| i % 2 == 0))
}

/// A price, as well as it is known, all in one currency.
pub fn money(text: &str) -> Result<Known<Money>, Bad> {
    let read = known_number(text, &super::numbers::money)?;
    let all: Vec<&Money> = match &read {
        Known::OneOf(values) => values.iter().collect(),
        Known::Between(low, high) => low.iter().chain(high).collect(),
        Known::Is(_) | Known::Unknown => Vec::new(),
    };
    if all.windows(2).all(|w| w[0].currency == w[1].currency) {
        return Ok(read);
    }
    Err(Bad::new(0..text.len(), "the amounts are in different currencies").mend("write all amounts in one currency"))
}

fn alternatives<T: PartialEq>(text: &str, one: &dyn Fn(&str) -> Result<Known<T>, Bad>) -> Result<Known<T>, Bad> {
    if fold(text) == "unknown" {
        return Ok(Known::Unknown);
    }
    if !text.contains('|') {
        let lead = text.len() - text.trim_start().len();
        return one(text.trim()).map_err(|bad| bad.shifted(lead));
    }
    let mut values: Vec<T> = Vec::new();
    let pieces = pieces(text, "|");
    countable(text, pieces.iter().map(|p| p.0))?;
    for (at, piece) in pieces {
        if fold(piece) == "unknown" {
            return Err(Bad::new(at..at + piece.len(), "`unknown` can't be one of several alternatives")
                .mend("write `unknown` alone, or name the alternatives only"));
        }
        match one(piece).map_err(|bad| bad.shifted(at))? {
            Known::Is(value) if values.contains(&value) => {
                return Err(Bad::new(at..at + piece.len(), format!("the alternative `{piece}` stands twice"))
                    .mend("delete one of the two"));
            }
            Known::Is(value) => values.push(value),
            _ => {
                return Err(Bad::new(at..at + piece.len(), "a span can't be one of several alternatives")
                    .mend("write one span, or the values one by one: `3 | 5`"));
            }
        }
    }
    Ok(Known::OneOf(values))
}

fn one_number<T: PartialOrd>(text: &str, leaf: &dyn Fn(&str) -> Result<T, Bad>) -> Result<Known<T>, Bad> {
    for (word, least) in [("at least ", true), ("at most ", false)] {
        if let Some(head) = text.get(..word.len())
            && head.eq_ignore_ascii_case(word)
        {
            let value = leaf(text[word.len()..].trim()).map_err(|bad| bad.shifted(word.len()))?;
            return Ok(if least { Known::Between(Some(value), None) } else { Known::Between(None, Some(value)) });
        }
    }
    let Some((low, high)) = text.split_once("..") else { return leaf(text).map(Known::Is) };
    let second = low.len() + 2;
    let (low, high) = (low.trim(), high.trim());
    let whole = |message: String| {
        Bad::new(0..text.len(), message).mend("write the lower value, `..`, the higher value: `3..5`")
    };
    if low.is_empty() || high.is_empty() {
        return Err(whole(format!("`{text}` lacks one end")).mend("write `at least 3` or `at most 5` for an open end"));
    }
    let top = leaf(high).map_err(|bad| bad.shifted(second))?;
    let unit = high.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    let bottom = match leaf(low) {
        Ok(value) if unit.is_empty() => value,
        first => match leaf(&format!("{low}{unit}")) {
            Ok(value) => value,
            Err(_) => first?,
        },
    };
    match bottom.partial_cmp(&top) {
        Some(std::cmp::Ordering::Less) => Ok(Known::Between(Some(bottom), Some(top))),
        Some(std::cmp::Ordering::Equal) => Ok(Known::Is(top)),
        _ => Err(whole(format!("`{text}` goes from high to low"))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::Exact;
    use crate::record::forms::numbers::{number, years};
    use rstest::rstest;

    fn n(v: i64) -> Exact {
        Exact::from(v)
    }

    #[rstest]
    #[case("3", Known::Is(n(3)))]
    #[case("unknown", Known::Unknown)]
    #[case("3 | 5", Known::OneOf(vec![n(3), n(5)]))]
    #[case("3..5", Known::Between(Some(n(3)), Some(n(5))))]
    #[case("4 .. 4", Known::Is(n(4)))]
    #[case("At least 3", Known::Between(Some(n(3)), None))]
    #[case("at most 5", Known::Between(None, Some(n(5))))]
    fn reads_numbers(#[case] text: &str, #[case] value: Known<Exact>) {
        assert_eq!(known_number(text, &number), Ok(value));
    }

    #[rstest]
    #[case("3..5 years")]
    #[case("3 years..5 years")]
    fn a_unit_may_stand_once(#[case] text: &str) {
        assert_eq!(known_number(text, &years), Ok(Known::Between(Some(n(3)), Some(n(5)))));
    }

    #[rstest]
    #[case("5..3", 0..4)]
    #[case("3..", 0..3)]
    #[case("3 | 3", 4..5)]
    #[case("3 | x", 4..5)]
    #[case("3 |", 3..3)]
    #[case("unknown | 3", 0..7)]
    #[case("1..2 | 3", 0..4)]
    #[case("at least lots", 9..13)]
    #[case("1..x", 3..4)]
    #[case("é..3", 0..2)]
    fn refuses(#[case] text: &str, #[case] range: std::ops::Range<usize>) {
        assert_eq!(known_number(text, &number).unwrap_err().range, range);
    }
}
