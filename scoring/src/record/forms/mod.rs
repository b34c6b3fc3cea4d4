//! Short forms: `5 x screw PH0`, `heat pad 70 °C 4 min`, `1:10..1:18`, `79 EUR`, `removable | neither`, `at least 3`.
//!
//! Each parser takes the text of one value and gives the value or a [`Bad`] with the bytes
//! at fault. None knows a vocabulary; words are looked up by their readers.

pub mod fasteners;
pub mod known;
pub mod numbers;
pub mod times;
pub mod tools;

use crate::text::fields::Bad;
use crate::text::limits::MOST_CHOICES;
/// The byte at which the rest of a text begins that starts with the word `perhaps`.
pub(crate) fn perhaps(text: &str) -> Option<usize> {
    const WORD: &str = "perhaps";
    let head = text.get(..WORD.len()).filter(|h| h.eq_ignore_ascii_case(WORD))?;
    let rest = &text[head.len()..];
    rest.starts_with(char::is_whitespace).then(|| text.len() - rest.trim_start().len())
}

/// Parts of a text between separators, trimmed, with the byte each begins at.
pub(crate) fn pieces<'t>(text: &'t str, separator: &str) -> Vec<(usize, &'t str)> {
    let mut at = 0;
    let mut out = Vec::new();
    for piece in text.split(separator) {
        let lead = piece.len() - piece.trim_start().len();
        out.push((at + lead, piece.trim()));
        at += piece.len() + separator.len();
    }
    out
}

/// Refuses a value of more choices than anybody could have meant; `choices` gives where each begins.
pub(crate) fn countable(text: &str, choices: impl Iterator<Item = usize>) -> Result<(), Bad> {
    let Some(at) = choices.into_iter().nth(MOST_CHOICES) else { return Ok(()) };
    Err(Bad::new(at..text.len(), format!("more than {MOST_CHOICES} choices in one value"))
        .code("too-many-entries")
        .mend("write `unknown`, or the few that come into question"))
}
