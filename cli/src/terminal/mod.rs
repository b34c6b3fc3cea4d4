//! Text for a terminal: 80 columns, readable without colour.

pub(crate) mod markdown;
pub(crate) mod player;
pub(crate) mod shown;
pub(crate) mod verdict;
pub(crate) mod waiting;

use scoring::text::hidden::hides;
pub(crate) use scoring::text::words::clock;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Text from a file made harmless for a terminal: control and direction-changing characters are shown, not obeyed.
pub(crate) fn tame(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\n' | '\t' => out.push(' '),
            c if c == '\r' || hides(c) => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// Wraps words to a number of columns, one space between them. A word longer than a line is cut.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    report::text::wrap(&text.split_whitespace().collect::<Vec<_>>().join(" "), width)
}

/// Words after a lead, wrapped and hanging below its end: `lead` is printed as it is, once.
pub(crate) fn hang(lead: &str, text: &str, width: usize) -> String {
    let indent = lead.width();
    let room = width.saturating_sub(indent).max(20);
    let mut out = String::new();
    for (i, line) in wrap(text, room).into_iter().enumerate() {
        if i == 0 {
            out.push_str(lead);
        } else {
            out.push('\n');
            out.push_str(&" ".repeat(indent));
        }
        out.push_str(&line);
    }
    out.push('\n');
    out
}

/// A text in a column: padded, or cut with `…`.
pub(crate) fn column(text: &str, width: usize) -> String {
    let mut out = String::new();
    let whole = text.width() <= width;
    let room = if whole { width } else { width.saturating_sub(1) };
    for c in text.chars() {
        if out.width() + c.width().unwrap_or(0) > room {
            break;
        }
        out.push(c);
    }
    if !whole {
        out.push('…');
    }
    let used = out.width();
    out.push_str(&" ".repeat(width.saturating_sub(used)));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn wrapped_lines_fit_and_keep_every_letter(text in "[a-zé漢 ]{0,200}", width in 4_usize..40) {
            let lines = wrap(&text, width);
            prop_assert!(lines.iter().all(|l| l.width() <= width), "{lines:?}");
            let letters = |s: &str| s.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }

        #[test]
        fn columns_are_as_wide_as_asked(text in "\\PC{0,40}", width in 1_usize..30) {
            prop_assert_eq!(column(&text, width).width(), width);
        }
    }

    #[test]
    fn tame_lets_nothing_reach_the_terminal() {
        assert_eq!(tame("a\u{1b}[2Jb\u{202e}c\nd"), "a\u{fffd}[2Jb\u{fffd}c d");
    }

    #[test]
    fn hanging_words_stand_below_each_other() {
        assert_eq!(
            hang("  1. ", "one two three four five six seven", 28),
            "  1. one two three four five\n     six seven\n"
        );
    }
}
