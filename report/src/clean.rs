//! Record text made safe to show: control and direction characters become visible, whitespace is settled.
//!
//! Escaping for a format (HTML, Markdown, CSV, SVG) is the business of that format; what is done here holds everywhere.

use scoring::record::Moment;
use scoring::text::hidden::hides;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// One line of text: every run of whitespace is one space, invisible controls are shown by name.
pub fn line(text: &str) -> String {
    // Most texts are plain already.
    let mut before = b' ';
    let plain = text.bytes().all(|b| {
        let twice = std::mem::replace(&mut before, b) == b' ' && b == b' ';
        (b' '..=b'~').contains(&b) && !twice
    });
    if plain && (before != b' ' || text.is_empty()) {
        return text.to_owned();
    }
    let mut out = String::with_capacity(text.len());
    let mut space = false;
    for c in text.chars() {
        if c.is_whitespace() && !hides(c) {
            space = true;
            continue;
        }
        if space && !out.is_empty() {
            out.push(' ');
        }
        space = false;
        push(&mut out, c);
    }
    out
}

/// Several lines: line breaks and leading spaces are kept, other controls are shown by name.
pub fn lines(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.replace("\r\n", "\n").chars() {
        if c == '\n' {
            out.push(c);
        } else if c == '\t' {
            out.push_str("    ");
        } else {
            push(&mut out, c);
        }
    }
    out
}

fn push(out: &mut String, c: char) {
    // A carriage return that is no part of a line break would write over what stands before it.
    if hides(c) || c == '\r' {
        out.push_str(&format!("⟨U+{:04X}⟩", u32::from(c)));
    } else {
        out.push(c);
    }
}

/// At most `columns` columns wide; what is cut ends in `…`.
pub fn shorten(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut out = String::new();
    let mut used = 0;
    for c in text.chars() {
        let wide = c.width().unwrap_or(0);
        if used + wide + 1 > columns {
            break;
        }
        used += wide;
        out.push(c);
    }
    // At a word, where one ends not far before.
    if let Some((whole, _)) = out.rsplit_once(' ').filter(|(w, rest)| !rest.is_empty() && 2 * w.len() > out.len()) {
        out.truncate(whole.len());
    }
    let mut out = out.trim_end_matches([' ', ',', ';', ':']).to_owned();
    out.push('…');
    out
}

/// A name for an anchor or a file: lower-case letters, digits and single hyphens; never empty.
pub fn slug(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
        if out.len() >= 60 {
            break;
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "x".to_owned() } else { out.to_owned() }
}

pub use scoring::text::words::clock;

/// A time or a span of footage, or where to look for it.
pub fn footage(at: Moment) -> String {
    crate::words::english::video::footage(at.timing, &clock(at.from), &clock(at.to))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("a\n  b\tc ", "a b c")]
    #[case("x\u{202e}gpj.exe", "x⟨U+202E⟩gpj.exe")]
    #[case("bell\u{7}", "bell⟨U+0007⟩")]
    #[case("\u{feff}bom", "⟨U+FEFF⟩bom")]
    #[case("a\u{2028}b", "a⟨U+2028⟩b")]
    #[case("a\u{ffff}b", "a⟨U+FFFF⟩b")]
    #[case("می\u{200c}خواهم", "می\u{200c}خواهم")]
    fn makes_hidden_characters_visible(#[case] text: &str, #[case] shown: &str) {
        assert_eq!(line(text), shown);
    }

    #[rstest]
    #[case("S_F/rear camera", "s-f-rear-camera")]
    #[case("--", "x")]
    #[case("<script>", "script")]
    fn slugs(#[case] text: &str, #[case] slugged: &str) {
        assert_eq!(slug(text), slugged);
    }

    #[test]
    fn shortens_by_columns_not_bytes() {
        assert_eq!(shorten("schraubendreher", 8), "schraub…");
        assert_eq!(shorten("日本語日本語", 6), "日本…");
        assert_eq!(shorten("short", 8), "short");
        assert_eq!(shorten("the left strip tore", 17), "the left strip…");
    }

    #[rstest]
    #[case(0, "0:00")]
    #[case(80, "1:20")]
    #[case(3723, "1:02:03")]
    fn tells_footage_time(#[case] seconds: u32, #[case] shown: &str) {
        assert_eq!(clock(seconds), shown);
    }
}
