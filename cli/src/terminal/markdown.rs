//! Text inside Markdown.

use super::tame;

/// Text in a Markdown table or sentence: nothing in it is taken for markup.
pub(crate) fn escaped(text: &str) -> String {
    report::notes::escape_markdown(&tame(text))
}
