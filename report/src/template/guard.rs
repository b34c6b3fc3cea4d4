//! What the template engine doesn't count: joining lists. A list joined to itself doubles, unseen by its budget, until
//! nothing is left of the memory; so `+` is for numbers, and one of the two must be seen to be one.

/// The first line, from 1, where `+` may join lists; `None` where every `+` has a number beside it.
pub(super) fn joined_at(text: &str) -> Option<usize> {
    let bytes = text.as_bytes();
    let mut at = 0;
    while at + 1 < bytes.len() {
        let inner = at + 2;
        let end = match &bytes[at..inner] {
            b"{#" => Some(text[inner..].find("#}").map_or(text.len(), |n| inner + n + 2)),
            b"{%" if raw(&text[inner..]) => Some(text[inner..].find("endraw").map_or(text.len(), |n| inner + n)),
            b"{{" | b"{%" => {
                let close = if bytes[at + 1] == b'{' { *b"}}" } else { *b"%}" };
                match expression(text, inner, close) {
                    Ok(end) => Some(end),
                    Err(plus) => return Some(1 + text[..plus].matches('\n').count()),
                }
            }
            _ => None,
        };
        at = end.unwrap_or(at + 1);
    }
    None
}

fn raw(text: &str) -> bool {
    text.trim_start_matches(['-', '+', ' ', '\t', '\n', '\r']).starts_with("raw")
}

/// Where an expression ends, or the `+` in it that has no number beside it.
fn expression(text: &str, start: usize, close: [u8; 2]) -> Result<usize, usize> {
    let bytes = text.as_bytes();
    let mut at = start;
    while at < bytes.len() {
        if bytes[at..].starts_with(&close) {
            return Ok(at + 2);
        }
        match bytes[at] {
            quote @ (b'"' | b'\'') => {
                at += 1;
                while at < bytes.len() && bytes[at] != quote {
                    at += if bytes[at] == b'\\' { 2 } else { 1 };
                }
            }
            // Beside a delimiter it is about white space.
            b'+' if at > start && !bytes[at + 1..].starts_with(&close) && !beside_a_number(text, at) => return Err(at),
            _ => {}
        }
        at += 1;
    }
    Ok(bytes.len())
}

/// Filters whose result is a number.
const NUMBERS: [&str; 6] = ["length", "count", "int", "float", "round", "abs"];

fn beside_a_number(text: &str, plus: usize) -> bool {
    let next = text[plus + 1..].trim_start();
    if next.starts_with(|c: char| c.is_ascii_digit()) {
        return true;
    }
    let before = text[..plus].trim_end();
    let rest = before.trim_end_matches(|c: char| c.is_ascii_alphanumeric() || c == '_' || c == '.');
    let word = &before[rest.len()..];
    let figure =
        word.starts_with(|c: char| c.is_ascii_digit()) && word.bytes().all(|b| b.is_ascii_digit() || b == b'.');
    figure || NUMBERS.contains(&word) && rest.trim_end().ends_with('|')
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("{{ a + b }}", Some(1))]
    #[case("x\n{% set n.s = n.s + n.s %}", Some(2))]
    #[case("{{ [1] + [2] }}", Some(1))]
    #[case("{{ a.0 + b }}", Some(1))]
    #[case("{{ 'it''s + ' ~ a +\n b }}", Some(1))]
    #[case("{{ (a)+(b) }}", Some(1))]
    #[case("{{ loop.index + 1 }}", None)]
    #[case("{{ 1 + a }} + {{ b|length + c|length }}", None)]
    #[case("{%+ if a +%}+{% endif %}", None)]
    #[case("{# a + b #}{% raw %}{{ a + b }}{% endraw %}", None)]
    #[case("{{ 'a + b' }} a + b {{ \"\\\" + \" }}", None)]
    #[case("{{ a +", Some(1))]
    #[case("{{ 'open + ", None)]
    #[case("é {", None)]
    #[case("{{ éa + b }}", Some(1))]
    #[case("{{ é1 + b }}", None)]
    fn a_plus_without_a_number_is_found(#[case] text: &str, #[case] line: Option<usize>) {
        assert_eq!(joined_at(text), line);
    }

    #[test]
    fn the_shipped_templates_have_none() {
        for (name, text) in crate::template::SHIPPED {
            assert_eq!(joined_at(text), None, "{name}");
        }
    }

    proptest::proptest! {
        #[test]
        fn any_text_is_safe(text in "(\\{\\{)?([{}%#+'\" é\n\\\\]|raw|endraw|a|1){0,30}") {
            let _ = joined_at(&text);
        }
    }
}
