//! Fasteners: `[COUNT x] FASTENER [DRIVE]`.

use std::ops::Range;

use super::known::known_number;
use super::numbers::count;
use crate::exact::Exact;
use crate::record::Known;
use crate::text::fields::Bad;

/// Fasteners as written: how many, and which bytes name fastener and drive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// How many; `None` where the text says nothing.
    pub count: Option<Known<Exact>>,
    /// Bytes of fastener and drive.
    pub name: Range<usize>,
}

/// Reads `5 x screw PH0`: a count, an `x` or `×`, and words.
pub fn counted(text: &str) -> Result<Counted, Bad> {
    let trimmed = text.trim_end();
    let lead = trimmed.len() - trimmed.trim_start().len();
    let starts_number = ["at least ", "at most ", "unknown x", "unknown ×"]
        .iter()
        .any(|w| trimmed[lead..].to_lowercase().starts_with(w));
    if let Some(bad) = about(&trimmed[lead..]) {
        return Err(bad.shifted(lead));
    }
    if !starts_number && !trimmed[lead..].starts_with(|c: char| c.is_ascii_digit() || c == '-') {
        return named(text, lead..trimmed.len(), None);
    }
    let Some((at, sign)) = times(trimmed) else {
        return Err(Bad::new(lead..trimmed.len(), format!("`{}` has a number but no `x`", &trimmed[lead..]))
            .mend("write the count, an x, the fastener: `5 x screw PH0`"));
    };
    let number = trimmed[lead..at].trim_end();
    let count = known_number(number, &count).map_err(|bad| bad.shifted(lead))?;
    let rest = at + sign;
    let space = trimmed[rest..].len() - trimmed[rest..].trim_start().len();
    named(text, rest + space..trimmed.len(), Some(count))
}

/// `about 5 x clip`: a number nobody counted, said as people say it.
fn about(text: &str) -> Option<Bad> {
    let words = [
        "about",
        "around",
        "approximately",
        "approx",
        "approx.",
        "roughly",
        "circa",
        "ca",
        "ca.",
        "some",
        "maybe",
        "nearly",
    ];
    let bare = text.strip_prefix('~');
    let (first, rest) = match bare {
        Some(rest) => ("~", rest.trim_start()),
        None => text.split_once(' ').map(|(first, rest)| (first, rest.trim_start()))?,
    };
    let (at, sign) = times(rest)?;
    let number: u32 = rest[..at].trim().parse().ok().filter(|n| (1..10_000).contains(n))?;
    let name = rest[at + sign..].trim();
    if !(first == "~" || words.iter().any(|w| first.eq_ignore_ascii_case(w))) || name.is_empty() {
        return None;
    }
    let low = (number - 1).max(1);
    let said = text[..text.len() - rest[at..].len()].trim_end();
    Some(
        Bad::new(0..said.len(), format!("`{said}` is no count"))
            .mend(format!("write the span you are sure of, such as `{low}..{}`, or `at least {low}`", number + 1)),
    )
}

fn named(text: &str, name: Range<usize>, count: Option<Known<Exact>>) -> Result<Counted, Bad> {
    if name.is_empty() {
        return Err(Bad::new(0..text.len(), "a fastener is missing here").mend("write the fastener: `5 x screw PH0`"));
    }
    if let Some(at) = text[name.clone()].find('|') {
        let at = name.start + at;
        return Err(Bad::new(at..at + 1, "a fastener can't be one of several")
            .mend("write `{fastener: ..., kind: removable | neither}`, or `unknown`"));
    }
    Ok(Counted { count, name })
}

/// Where the `x` stands that follows a number, and how many bytes it has.
fn times(text: &str) -> Option<(usize, usize)> {
    text.char_indices().find_map(|(i, c)| {
        let before = text[..i].chars().next_back()?;
        let after = text[i + c.len_utf8()..].chars().next();
        let counted = before.is_ascii_digit() || before == ' ';
        let free = after.is_none_or(|a| a == ' ' || c == '×');
        (matches!(c, 'x' | 'X' | '×') && counted && free).then_some((i, c.len_utf8()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    #[allow(clippy::unnecessary_wraps)] // the tables compare with an option
    fn is(n: i64) -> Option<Known<Exact>> {
        Some(Known::Is(Exact::from(n)))
    }

    #[rstest]
    #[case("clip", None, "clip")]
    #[case("5 x screw PH0", is(5), "screw PH0")]
    #[case("5x screw", is(5), "screw")]
    #[case("5 × screw", is(5), "screw")]
    #[case("12×clip", is(12), "clip")]
    #[case("3..5 x clip", Some(Known::Between(Some(Exact::from(3)), Some(Exact::from(5)))), "clip")]
    #[case("3 | 5 x clip", Some(Known::OneOf(vec![Exact::from(3), Exact::from(5)])), "clip")]
    #[case("at least 3 x clip", Some(Known::Between(Some(Exact::from(3)), None)), "clip")]
    #[case("unknown x screw", Some(Known::Unknown), "screw")]
    #[case("hex bolt", None, "hex bolt")]
    fn reads(#[case] text: &str, #[case] count: Option<Known<Exact>>, #[case] name: &str) {
        let read = counted(text).unwrap();
        assert_eq!((read.count, &text[read.name]), (count, name));
    }

    #[rstest]
    #[case("5 screws", 0..8)]
    #[case("0 x screw", 0..1)]
    #[case("-3 x screw", 0..2)]
    #[case("5 x", 0..3)]
    #[case("", 0..0)]
    #[case("1.5 x clip", 0..3)]
    #[case("clip | screw", 5..6)]
    fn refuses(#[case] text: &str, #[case] range: std::ops::Range<usize>) {
        assert_eq!(counted(text).unwrap_err().range, range);
    }

    proptest! {
        #[test]
        fn any_text_is_safe(text in "([a-z ]|é|x|×|[0-9]|\\.\\.|\\||at least ){0,12}") {
            if let Ok(read) = counted(&text) {
                prop_assert!(!text[read.name].trim().is_empty());
            }
        }
    }
}
