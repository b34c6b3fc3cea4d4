//! Verdicts in one line, and lines no wider than some columns.

use crate::view::types::Assessed;

/// The score that stands first: `5.3 to 6.6 of 10, product-related`, or the total.
pub fn headline(a: &Assessed) -> String {
    match &a.headline {
        Some(h) => {
            let judged = crate::words::english::judged(&h.title.to_lowercase(), a.sheet.as_deref());
            format!("{} {}, {judged}", h.range, h.out_of)
        }
        None => total(a),
    }
}

/// The total with its scale and class: `1.69 to 1.99 of 5, class E to D`.
pub fn total(a: &Assessed) -> String {
    let mut out = a.range.clone();
    for (between, more) in [(" ", &a.out_of), (", ", &a.class)] {
        if !more.is_empty() {
            out.push_str(between);
            out.push_str(more);
        }
    }
    out
}

/// Breaks text into lines of at most `columns` columns: at spaces, and within a word that is longer than a line.
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
    let plain = Options::new(columns)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    textwrap::wrap(text.trim_start_matches(' '), plain).into_iter().map(std::borrow::Cow::into_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use unicode_width::UnicodeWidthStr;

    proptest! {
        #[test]
        fn wrapped_lines_fit_and_lose_nothing(text in "[a-z日 ]{0,200}", columns in 2_usize..40) {
            let lines = wrap(&text, columns);
            prop_assert!(lines.iter().all(|l| l.width() <= columns), "{lines:?}");
            let letters = |t: &str| t.chars().filter(|c| *c != ' ').collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }
    }
}
