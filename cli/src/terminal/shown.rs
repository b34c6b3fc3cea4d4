//! Where results go: streams that show every text and obey none.
//!
//! Commands get nothing but a [`Shown`], and writing to one tames what is written: whatever a record, a method or a table
//! says, no control character, escape or change of direction leaves the program as such, piped or not. Styles of our own
//! are [`Drawn`], a type that only those make who have tamed what they draw.

use std::io::{self, Write};

use scoring::text::hidden::hides;

/// A stream of the command: plain writing is tamed.
pub(crate) trait Shown: Write {
    /// Writes what was drawn with styles of our own.
    fn drawn(&mut self, drawn: &Drawn) -> io::Result<()>;
}

/// Bytes in which everything foreign has been tamed; styles in them are ours.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Drawn(Vec<u8>);

impl Drawn {
    /// A text that may hold styles (`ESC [ ... m`), the work of a library that draws. Every other hidden character in it
    /// is tamed.
    pub(crate) fn styled(text: &str) -> Self {
        let mut out = String::with_capacity(text.len());
        let mut rest = text;
        while let Some(at) = rest.find('\u{1b}') {
            put(&rest[..at], &mut out);
            let style = style(&rest[at..]);
            match style {
                0 => out.push(INSTEAD),
                end => out.push_str(&rest[at..at + end]),
            }
            rest = &rest[at + style.max(1)..];
        }
        put(rest, &mut out);
        Self(out.into_bytes())
    }

    /// Bytes in it.
    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    /// A line of progress: written over the last one.
    pub(crate) fn over(text: &str) -> Self {
        let mut out = "\r".to_owned();
        put(text, &mut out);
        Self(out.into_bytes())
    }
}

/// Stands for a character that would be obeyed.
const INSTEAD: char = '\u{fffd}';

/// Bytes of the style a text begins with, 0 if it is none.
fn style(text: &str) -> usize {
    let Some(inner) = text.strip_prefix("\u{1b}[") else { return 0 };
    let length = inner.bytes().take_while(|b| b.is_ascii_digit() || *b == b';').count();
    if inner.as_bytes().get(length) == Some(&b'm') { length + 3 } else { 0 }
}

fn put(text: &str, out: &mut String) {
    out.extend(text.chars().map(|c| if hides(c) || c == '\r' { INSTEAD } else { c }));
}

/// A stream that shows and doesn't obey.
pub(crate) struct Tamed<W> {
    to: W,
    /// The beginning of a character whose other bytes are still to come, or a carriage return that may belong to a line
    /// break.
    begun: Vec<u8>,
}

impl<W: Write> Tamed<W> {
    pub(crate) fn new(to: W) -> Self {
        Self { to, begun: Vec::new() }
    }

    /// Writes what was begun and never ended.
    fn end(&mut self) -> io::Result<()> {
        if self.begun.is_empty() {
            return Ok(());
        }
        self.begun.clear();
        let mut buffer = [0; 4];
        self.to.write_all(INSTEAD.encode_utf8(&mut buffer).as_bytes())
    }

    fn text(&mut self, text: &str) -> io::Result<()> {
        let plain = |b: u8| (b' '..=b'~').contains(&b) || b == b'\n' || b == b'\t';
        if text.bytes().all(plain) {
            return self.to.write_all(text.as_bytes());
        }
        let mut out = String::with_capacity(text.len());
        let mut chars = text.chars().peekable();
        while let Some(c) = chars.next() {
            let kept = if c == '\r' { chars.peek() == Some(&'\n') } else { !hides(c) };
            out.push(if kept { c } else { INSTEAD });
        }
        self.to.write_all(out.as_bytes())
    }
}

impl Tamed<Vec<u8>> {
    /// The bytes that were written.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.into_drawn().0
    }

    /// What was written.
    pub(crate) fn into_drawn(mut self) -> Drawn {
        // Writing to memory can't fail.
        let _ = self.end();
        Drawn(self.to)
    }
}

impl<W: Write> Write for Tamed<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let joined;
        let mut rest = bytes;
        if !self.begun.is_empty() {
            joined = [std::mem::take(&mut self.begun).as_slice(), bytes].concat();
            rest = &joined;
        }
        loop {
            let (good, bad) = match std::str::from_utf8(rest) {
                Ok(good) => (good, None),
                Err(e) => (std::str::from_utf8(&rest[..e.valid_up_to()]).unwrap_or_default(), Some(e.error_len())),
            };
            let held = good.ends_with('\r') && bad.is_none();
            self.text(if held { &good[..good.len() - 1] } else { good })?;
            match bad {
                None => {
                    if held {
                        self.begun = vec![b'\r'];
                    }
                    return Ok(bytes.len());
                }
                Some(None) => {
                    self.begun = rest[good.len()..].to_vec();
                    return Ok(bytes.len());
                }
                Some(Some(length)) => {
                    self.text("\u{fffd}")?;
                    rest = &rest[good.len() + length..];
                }
            }
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.end()?;
        self.to.flush()
    }
}

impl<W: Write> Shown for Tamed<W> {
    fn drawn(&mut self, drawn: &Drawn) -> io::Result<()> {
        self.end()?;
        self.to.write_all(&drawn.0)
    }
}

/// JSON with every hidden character as an escape: the same value to whoever reads it, and nothing a terminal obeys.
pub(crate) fn escaped_json(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        if hides(c) {
            out.extend(c.encode_utf16(&mut [0; 2]).iter().map(|half| format!("\\u{half:04x}")));
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use rstest::rstest;

    fn tamed(pieces: &[&[u8]]) -> String {
        let mut to = Tamed::new(Vec::new());
        pieces.iter().for_each(|p| to.write_all(p).unwrap());
        String::from_utf8(to.into_drawn().0).unwrap()
    }

    #[rstest]
    #[case("a\u{1b}[2Jb\u{9b}31m\u{202e}c\u{200b}", "a\u{fffd}[2Jb\u{fffd}31m\u{fffd}c\u{fffd}")]
    #[case("a\r\nb\rc\n\td", "a\r\nb\u{fffd}c\n\td")]
    #[case("می\u{200c}خواهم 👩\u{200d}🔧", "می\u{200c}خواهم 👩\u{200d}🔧")]
    #[case("\r", "\u{fffd}")]
    fn nothing_written_is_obeyed(#[case] text: &str, #[case] shown: &str) {
        assert_eq!(tamed(&[text.as_bytes()]), shown);
        // However it is cut.
        let bytes: Vec<&[u8]> = text.as_bytes().chunks(1).collect();
        assert_eq!(tamed(&bytes), shown);
    }

    #[test]
    fn bytes_that_are_no_text_show() {
        assert_eq!(tamed(&[b"a\xffb\xe2\x80", b"c"]), "a\u{fffd}b\u{fffd}c");
    }

    #[test]
    fn of_drawn_text_only_styles_are_kept() {
        let drawn = Drawn::styled("\u{1b}[1;35mred\u{1b}[0m \u{1b}[2J\u{1b}]0;x\u{7}\u{9b}31m");
        assert_eq!(
            String::from_utf8(drawn.0).unwrap(),
            "\u{1b}[1;35mred\u{1b}[0m \u{fffd}[2J\u{fffd}]0;x\u{fffd}\u{fffd}31m"
        );
    }

    proptest! {
        #[test]
        fn no_hidden_character_passes(bytes in prop::collection::vec(any::<u8>(), 0..60), cut in 0_usize..60) {
            let (a, b) = bytes.split_at(cut.min(bytes.len()));
            let shown = tamed(&[a, b]);
            prop_assert!(!shown.chars().any(hides), "{shown:?}");
            prop_assert_eq!(shown.matches('\r').count(), shown.matches("\r\n").count());
        }

        #[test]
        fn escaped_json_is_the_same_value(text in any::<String>()) {
            let json = serde_json::to_string(&text).unwrap();
            let escaped = escaped_json(&json);
            prop_assert!(!escaped.chars().any(hides));
            prop_assert_eq!(serde_json::from_str::<String>(&escaped).unwrap(), text);
        }
    }
}
