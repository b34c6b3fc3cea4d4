//! Text inside Markdown.

use super::tame;

/// Text in a Markdown table or sentence: nothing in it is taken for markup.
pub(crate) fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in tame(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '&' => out.push_str("&amp;"),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '#' | '!' | '~' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out
}
