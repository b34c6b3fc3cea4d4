//! Text for the terminal, at most 80 columns wide, meaning never by colour.

use unicode_width::UnicodeWidthStr;

use crate::clean::shorten;
use crate::view::View;
use crate::view::types::{Assessed, LedgerRow, RouteLedger};

/// Columns of a terminal nobody has widened.
pub const WIDTH: usize = 80;

/// The verdict of one method as a block of lines: range, class, reason, sub-scores, effects, questions, notice.
pub fn verdict(a: &Assessed) -> String {
    let mut out = String::new();
    push(&mut out, "", &format!("{}: {}", a.title, headline(a)));
    if a.headline.is_some() {
        push(&mut out, "  ", &format!("With what the maker promises: {}", total(a)));
    }
    if let Some(bar) = a.headline.as_ref().map_or(a.bar.as_ref(), |h| h.bar.as_ref()) {
        push(&mut out, "  ", &gauge(&bar.from, &bar.to, &bar.scale));
    }
    push(&mut out, "  ", &a.reason);
    for s in &a.sub_scores {
        let said = if s.left_out.is_empty() { s.out_of.clone() } else { format!("({})", s.left_out) };
        push(&mut out, "  ", format!("{}: {} {said}", s.title, s.range).trim_end());
    }
    for (title, effects) in [("Drags it down", &a.drags), ("Holds it up", &a.holds), ("Open", &a.open)] {
        if effects.is_empty() {
            continue;
        }
        push(&mut out, "  ", &format!("{title}:"));
        for e in effects.iter().take(4) {
            let said = if e.said.is_empty() { String::new() } else { format!(" ({})", e.said) };
            push(&mut out, "    ", &format!("{} {}{said}", e.points, e.what));
        }
    }
    if !a.unknowns.is_empty() {
        push(&mut out, "  ", "Open questions, in the order of the record:");
        for u in &a.unknowns {
            push(&mut out, "    ", &format!("{}. {} ({})", u.number, u.question, u.place));
        }
    }
    if !a.attained {
        push(&mut out, "  ", &format!("Outer bounds: {}.", a.bounds));
    }
    if !a.proved && !a.certificate.is_empty() {
        push(&mut out, "  ", &a.certificate);
    }
    push(&mut out, "  ", &format!("{}. Weakest rule: {}.", a.edition, a.weakest_said));
    out
}

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

/// The notice below verdicts.
pub fn notice(view: &View) -> String {
    let mut out = String::new();
    push(&mut out, "", &view.status);
    out
}

/// A range on a scale, in characters: `0 ----[====]------ 10`.
fn gauge(from: &str, to: &str, scale: &[String; 2]) -> String {
    const CELLS: usize = 40; // the last one is number 39
    let cell = |percent: &str| {
        let percent: f64 = percent.parse().unwrap_or(0.0);
        // Rounded to a cell for drawing only.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 100 percent of 40 cells")]
        let cell = (percent / 100.0 * 39.0).round() as usize;
        cell.min(CELLS - 1)
    };
    let (a, b) = (cell(from), cell(to));
    let row: String = (0..CELLS)
        .map(|i| match i {
            _ if a == b && i == a => '|',
            _ if i == a => '[',
            _ if i == b => ']',
            _ if i > a && i < b => '=',
            _ => '-',
        })
        .collect();
    format!("{} {row} {}", scale[0], scale[1])
}

/// A route as a ledger: left what is done, right what the rule counts.
pub fn ledger(route: &RouteLedger) -> String {
    let mut out = String::new();
    push(&mut out, "", &format!("{}: {} ({}; {})", route.target, route.steps, route.certificate, route.reach));
    out.push_str(&table(&route.lines));
    out
}

/// Columns: on the bench, why it counts, steps, total.
pub fn table(lines: &[LedgerRow]) -> String {
    const BENCH: usize = 44;
    const WHY: usize = 22;
    let mut out = String::new();
    if lines.is_empty() {
        return out;
    }
    out.push_str(&row("on the bench", "why it counts", "step", "sum", BENCH, WHY));
    for l in lines {
        let what = if l.what.is_empty() { "  then".to_owned() } else { l.what.clone() };
        let safe = if l.makes_safe { " (makes safe)" } else { "" };
        let tools = if l.tools.is_empty() { String::new() } else { format!(", {}", l.tools) };
        let bench = format!("{what}{tools}{safe}");
        let counted = if l.counted > 0 { format!("+{}", l.counted) } else { String::new() };
        let mut bench_lines = wrap(&bench, BENCH).into_iter();
        let mut why_lines = wrap(&l.why, WHY).into_iter();
        let (first, why) = (bench_lines.next().unwrap_or_default(), why_lines.next().unwrap_or_default());
        out.push_str(&row(&first, &why, &counted, &l.total.to_string(), BENCH, WHY));
        loop {
            let (more, why) = (bench_lines.next(), why_lines.next());
            if more.is_none() && why.is_none() {
                break;
            }
            let more = more.map_or_else(String::new, |m| format!("    {m}"));
            out.push_str(&row(&shorten(&more, BENCH), &why.unwrap_or_default(), "", "", BENCH, WHY));
        }
    }
    out
}

fn row(bench: &str, why: &str, counted: &str, total: &str, wide: usize, narrow: usize) -> String {
    let pad = |t: &str, n: usize| format!("{t}{}", " ".repeat(n.saturating_sub(t.width())));
    let line = format!("{} {} {:>4} {:>4}", pad(bench, wide), pad(why, narrow), counted, total);
    format!("{}\n", line.trim_end())
}

fn push(out: &mut String, indent: &str, text: &str) {
    for (i, line) in wrap(text, WIDTH - indent.len() - 2).into_iter().enumerate() {
        out.push_str(indent);
        if i > 0 {
            out.push_str("  ");
        }
        out.push_str(&line);
        out.push('\n');
    }
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

    proptest! {
        #[test]
        fn wrapped_lines_fit_and_lose_nothing(text in "[a-z日 ]{0,200}", columns in 2_usize..40) {
            let lines = wrap(&text, columns);
            prop_assert!(lines.iter().all(|l| l.width() <= columns), "{lines:?}");
            let letters = |t: &str| t.chars().filter(|c| *c != ' ').collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }
    }

    #[test]
    fn gauges() {
        assert_eq!(gauge("0.0", "0.0", &["0".into(), "10".into()]), format!("0 |{} 10", "-".repeat(39)));
        assert!(gauge("50.0", "100.0", &["1".into(), "5".into()]).ends_with("=] 5"));
    }
}
