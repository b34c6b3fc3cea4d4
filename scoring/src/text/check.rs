//! From bytes to a text that is safe to read: size, encoding, and characters two YAML readers disagree on.

use super::{Diagnostic, FileId, Source, Span};

pub use super::limits::LARGEST;

/// What is said of an empty text as long as nobody knows what it should be.
pub(super) const START: &str = "write what it should hold, or name another file";

/// Why a text was refused before anything in it was read.
#[derive(Clone, Debug)]
pub struct Refusal {
    /// What can be shown of the text: all of it up to the bad place, empty when it is too large.
    pub source: Source,
    diagnostic: Diagnostic,
}

impl Refusal {
    /// The complaint, once [`Refusal::source`] has been given an id.
    pub fn diagnostic(&self, file: FileId) -> Diagnostic {
        let mut diagnostic = self.diagnostic.clone();
        diagnostic.at.span.file = file;
        diagnostic
    }

    /// Says of an empty text how one is begun: whoever wants it knows, this room doesn't.
    #[must_use]
    pub fn begun_by(mut self: Box<Self>, start: &str) -> Box<Self> {
        self.diagnostic.begin_with(start);
        self
    }

    fn at(name: &str, shown: &str, start: usize, end: usize, make: impl FnOnce(Span) -> Diagnostic) -> Box<Self> {
        let source = Source::new(name, shown);
        // `Source` drops a leading byte-order mark; places move with it.
        let mark = shown.len() - source.text.len();
        let byte = |n: usize| u32::try_from(n.saturating_sub(mark)).unwrap_or(u32::MAX);
        Box::new(Self { source, diagnostic: make(Span { file: 0, start: byte(start), end: byte(end) }) })
    }
}

impl Source {
    /// A text from bytes as they come from a file or standard input.
    ///
    /// # Errors
    /// Refused with a complaint: more than [`LARGEST`] bytes, not UTF-8, nothing but space in it, a NUL, or one of
    /// U+0085, U+2028, U+2029 (line breaks to some YAML readers and not to others).
    pub fn checked(name: &str, bytes: &[u8]) -> Result<Self, Box<Refusal>> {
        if bytes.len() > LARGEST {
            return Err(Refusal::at(name, "", 0, 0, |span| {
                Diagnostic::error(
                    "file-too-large",
                    span,
                    format!("`{name}` has {} bytes; at most {LARGEST} are read", bytes.len()),
                )
                .because("A file this large is not a text somebody wrote by hand.")
                .mend("check that this is the file you mean; keep footage and pictures in files of their own")
            }));
        }
        let text = match std::str::from_utf8(bytes) {
            Ok(text) => text,
            Err(error) => {
                let good = error.valid_up_to();
                let shown = format!("{}\u{fffd}", String::from_utf8_lossy(&bytes[..good]));
                return Err(Refusal::at(name, &shown, good, shown.len(), |span| {
                    Diagnostic::error(
                        "not-utf8",
                        span,
                        format!("`{name}` is not UTF-8 text: byte {} is {:#04x}", good + 1, bytes[good]),
                    )
                    .because("Places in the text can't be named before its encoding is known.")
                    .mend("save the file as UTF-8 in your editor")
                }));
            }
        };
        let odd = text.char_indices().find(|(_, c)| matches!(c, '\0' | '\u{85}' | '\u{2028}' | '\u{2029}'));
        if let Some((at, c)) = odd {
            return Err(Refusal::at(name, text, at, at + c.len_utf8(), |span| {
                Diagnostic::error(
                    "odd-character",
                    span,
                    format!("the character U+{:04X} is not accepted", u32::from(c)),
                )
                .because("It is a line break to some YAML readers and not to others, or ends the text early.")
                .mend("delete it, or write an ordinary line break")
            }));
        }
        let source = Self::new(name, text);
        if source.text.trim().is_empty() {
            return Err(Refusal::at(name, text, 0, 0, |span| {
                Diagnostic::error("empty-file", span, format!("`{name}` is empty"))
                    .because("There is nothing to read in it.")
                    .mend(START)
            }));
        }
        Ok(source)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(b"", "empty-file", (1, 1))]
    #[case(b"\xef\xbb\xbf \n", "empty-file", (1, 1))]
    #[case(b"a: 1\nb: \xff\n", "not-utf8", (2, 4))]
    #[case(b"\x7fELF\x02\x01\x01\x00", "odd-character", (1, 8))]
    #[case("\u{feff}a: x\u{85}y\n".as_bytes(), "odd-character", (1, 5))]
    #[case("a\n\u{2028}".as_bytes(), "odd-character", (2, 1))]
    fn refuses(#[case] bytes: &[u8], #[case] code: &str, #[case] place: (u32, u32)) {
        let refusal = Source::checked("x.yaml", bytes).unwrap_err();
        let complaint = refusal.diagnostic(0);
        let at = refusal.source.position(complaint.at.span.start);
        assert_eq!((complaint.code, (at.line, at.column)), (code, place));
    }

    #[test]
    fn size_is_refused_before_anything_else() {
        let bytes = vec![0xff; LARGEST + 1];
        assert_eq!(Source::checked("x", &bytes).unwrap_err().diagnostic(0).code, "file-too-large");
    }

    #[test]
    fn a_byte_order_mark_is_dropped() {
        assert_eq!(&*Source::checked("x", "\u{feff}a: 1".as_bytes()).unwrap().text, "a: 1");
    }
}
