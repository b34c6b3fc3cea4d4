//! Markdown that people wrote: into HTML, and into the Markdown of a report.
//!
//! Raw HTML is shown as text. Links keep to http, https and mailto; any other link is its text. Pictures are their text:
//! a report asks nobody for anything.

use pulldown_cmark::{CowStr, Event, HeadingLevel, LinkType, Options, Parser, Tag, TagEnd};

use crate::svg::escape;

/// HTML of notes. Headings start at the fifth level, below those of the report.
pub fn html(text: &str) -> String {
    let mut out = String::new();
    pulldown_cmark::html::push_html(&mut out, safe(text).into_iter());
    out
}

/// Events without raw HTML, pictures, or links of other schemes.
fn safe(text: &str) -> Vec<Event<'_>> {
    let mut out = Vec::new();
    let mut dropped: Vec<bool> = Vec::new();
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        match event {
            Event::Html(raw) | Event::InlineHtml(raw) => out.push(Event::Text(raw)),
            Event::Start(Tag::HtmlBlock) => out.push(Event::Start(Tag::Paragraph)),
            Event::End(TagEnd::HtmlBlock) => out.push(Event::End(TagEnd::Paragraph)),
            Event::Start(Tag::Link { link_type, dest_url, title, id }) => {
                let keep = allowed(&dest_url) || link_type == LinkType::Email;
                dropped.push(!keep);
                if keep {
                    out.push(Event::Start(Tag::Link { link_type, dest_url, title, id }));
                }
            }
            Event::End(TagEnd::Link) => {
                if dropped.pop() == Some(false) {
                    out.push(Event::End(TagEnd::Link));
                }
            }
            Event::Start(Tag::Image { .. }) | Event::End(TagEnd::Image) => {}
            Event::Start(Tag::Heading { level, .. }) => {
                out.push(Event::Start(Tag::Heading {
                    level: below(level),
                    id: None,
                    classes: Vec::new(),
                    attrs: Vec::new(),
                }));
            }
            Event::End(TagEnd::Heading(level)) => {
                out.push(Event::End(TagEnd::Heading(below(level))));
            }
            // A page scrolls as a whole; long lines of code wrap by style.
            Event::Start(Tag::CodeBlock(_)) => {
                out.push(Event::Start(Tag::CodeBlock(pulldown_cmark::CodeBlockKind::Indented)));
            }
            other => out.push(other),
        }
    }
    out
}

fn below(level: HeadingLevel) -> HeadingLevel {
    if level == HeadingLevel::H1 { HeadingLevel::H5 } else { HeadingLevel::H6 }
}

/// Whether a link may stay: http, https, mailto.
fn allowed(address: &CowStr<'_>) -> bool {
    let lower = address.trim().to_ascii_lowercase();
    ["http://", "https://", "mailto:"].iter().any(|s| lower.starts_with(s))
}

/// Notes inside a Markdown report: quoted, so that nothing left open in them reaches the rest.
pub fn markdown(text: &str) -> String {
    let tamed = tame(text);
    let body = if is_tame(&tamed) { tamed } else { escape_lines(text) };
    let mut out = String::new();
    for line in body.trim_end().lines() {
        out.push_str("> ");
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// Rewrites the source where events ask for it: raw HTML is escaped, other links and pictures are their text.
fn tame(text: &str) -> String {
    let mut edits: Vec<(std::ops::Range<usize>, String)> = Vec::new();
    for (event, range) in Parser::new_ext(text, Options::ENABLE_TABLES).into_offset_iter() {
        let replaced = match &event {
            Event::Html(_) | Event::InlineHtml(_) => escape_lines(&text[range.clone()]),
            Event::Start(Tag::Link { dest_url, link_type, .. })
                if !allowed(dest_url) && *link_type != LinkType::Email =>
            {
                escape_lines(&plain(&text[range.clone()]))
            }
            Event::Start(Tag::Image { .. }) => escape_lines(&plain(&text[range.clone()])),
            Event::Start(Tag::Heading { level, .. }) if text[range.clone()].trim_start().starts_with('#') => {
                let marks = if *level == HeadingLevel::H1 { "#####" } else { "######" };
                edits.push((
                    range.start..range.start + text[range.clone()].find(|c| c != '#').unwrap_or(0),
                    marks.to_owned(),
                ));
                continue;
            }
            _ => continue,
        };
        edits.push((range, replaced));
    }
    let mut out = String::new();
    let mut at = 0;
    for (range, replaced) in edits {
        if range.start < at {
            continue;
        }
        out.push_str(&text[at..range.start]);
        out.push_str(&replaced);
        at = range.end;
    }
    out.push_str(&text[at..]);
    out
}

/// The text of some Markdown.
fn plain(text: &str) -> String {
    Parser::new(text)
        .filter_map(|e| match e {
            Event::Text(t) | Event::Code(t) => Some(t.to_string()),
            Event::SoftBreak | Event::HardBreak => Some(" ".to_owned()),
            _ => None,
        })
        .collect()
}

fn is_tame(text: &str) -> bool {
    Parser::new_ext(text, Options::ENABLE_TABLES).all(|e| match e {
        Event::Html(_) | Event::InlineHtml(_) | Event::Start(Tag::Image { .. } | Tag::HtmlBlock) => false,
        Event::Start(Tag::Link { dest_url, link_type, .. }) => allowed(&dest_url) || link_type == LinkType::Email,
        Event::Start(Tag::Heading { level, .. }) => level >= HeadingLevel::H5,
        _ => true,
    })
}

fn escape_lines(text: &str) -> String {
    text.split('\n').map(|l| escape_markdown(l.trim())).collect::<Vec<_>>().join("\n")
}

/// One line of text for Markdown: nothing in it is markup.
pub fn escape_markdown(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    // A list number at the start would start a list.
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    for (i, c) in text.char_indices() {
        let opens = i == 0 && matches!(c, '#' | '+' | '-' | '=' | ':')
            || i == digits
                && digits > 0
                && matches!(c, '.' | ')')
                && !text[i + 1..].starts_with(|c: char| c.is_ascii_digit());
        if opens || matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '&' | '$') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// Text for an attribute or an element, for code that writes HTML itself.
pub fn escape_html(text: &str) -> String {
    escape(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    const HOSTILE: &[&str] = &[
        "<script>alert(1)</script>",
        "a <img src=x onerror=alert(1)> b",
        "[x](javascript:alert(1))",
        "[x](JaVaScRiPt:alert(1))",
        "![x](http://example.org/track.png)",
        "[x](data:text/html,<script>)",
        "<javascript:alert(1)>",
        "[x]: javascript:alert(1)\n\n[x]",
        "<!-- comment --> -->",
        "```\nnever closed",
        "<div>\n\n# head\n</div>",
        "Head\n====",
        "# Head",
        "[a\nb](vbscript:x)",
        "<details open ontoggle=alert(1)>",
        "&lt;script&gt; &#106;avascript:",
    ];

    #[test]
    fn nothing_runs_in_html() {
        for text in HOSTILE {
            let shown = html(text);
            let lower = shown.to_lowercase();
            for bad in
                ["<script", "<img", "<details", "<div", "href=\"javascript", "href=\"data", "href=\"vbscript", "<!--"]
            {
                assert!(!lower.contains(bad), "{text}: {shown}");
            }
        }
    }

    #[test]
    fn nothing_runs_in_markdown() {
        for text in HOSTILE {
            let shown = markdown(text);
            assert!(is_tame(&shown), "{text}: {shown}");
            // What follows the quote is outside it.
            let after = format!("{shown}\nafter\n");
            let mut html = String::new();
            pulldown_cmark::html::push_html(&mut html, Parser::new(&after));
            assert!(html.ends_with("<p>after</p>\n"), "{text}: {html}");
        }
    }

    #[rstest]
    #[case("a*b_c", "a\\*b\\_c")]
    #[case("1. first", "1\\. first")]
    #[case("1.5 mm", "1.5 mm")]
    #[case("# x", "\\# x")]
    #[case("a | b", "a \\| b")]
    #[case("see <b>", "see \\<b\\>")]
    fn escapes(#[case] text: &str, #[case] shown: &str) {
        assert_eq!(escape_markdown(text), shown);
        // The reader sees what was written.
        assert_eq!(plain(&format!("x {shown}")), format!("x {text}"));
    }

    #[test]
    fn keeps_what_is_harmless() {
        let text = "Warm **twice**, see [page](https://example.org/a?b=1).\n\n- one\n- two\n";
        assert_eq!(markdown(text), "> Warm **twice**, see [page](https://example.org/a?b=1).\n> \n> - one\n> - two\n");
        assert!(html(text).contains("<a href=\"https://example.org/a?b=1\">page</a>"));
    }
}
