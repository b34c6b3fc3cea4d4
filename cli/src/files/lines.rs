//! Files of many records: JSON Lines, one record a line.

use std::fs::{self, File};
use std::io::{self, BufRead, BufReader};

use scoring::text::Diagnostic;
use scoring::text::check::LARGEST;

use super::read::{no_file, unreadable};

/// The lines of a file, one at a time; blank ones are passed over.
pub(super) struct Lines<'r> {
    reader: Box<dyn BufRead + Send + 'r>,
    number: u32,
}

/// A line as it stands.
enum Raw {
    Whole(Vec<u8>),
    /// Passed over without being kept.
    TooLong,
}

/// One line: its number, from 1, and its bytes; no bytes where it is too long to be read.
pub(super) type NumberedLine = (u32, Option<Vec<u8>>);

impl<'r> Lines<'r> {
    /// The lines of a stream.
    pub(super) fn of(reader: Box<dyn BufRead + Send + 'r>) -> Self {
        Self { reader, number: 0 }
    }

    /// Opens a file; what kind of file it is is asked first, since opening a pipe waits for its other end.
    pub(super) fn open(path: &str) -> Result<Self, Box<Diagnostic>> {
        super::seen::note(std::path::Path::new(path));
        let failed = |e: io::Error| unreadable(path, &e);
        let metadata = fs::metadata(path).map_err(failed)?;
        if metadata.is_dir() {
            return Err(unreadable(path, &io::ErrorKind::IsADirectory.into()));
        }
        if !metadata.is_file() {
            return Err(no_file(path));
        }
        let file = File::open(path).map_err(failed)?;
        Ok(Self::of(Box::new(BufReader::with_capacity(1 << 16, file))))
    }

    /// The next line that is not blank.
    pub(super) fn next(&mut self) -> io::Result<Option<NumberedLine>> {
        loop {
            let Some(line) = self.line()? else { return Ok(None) };
            self.number = self.number.saturating_add(1);
            let Raw::Whole(mut bytes) = line else { return Ok(Some((self.number, None))) };
            if self.number == 1 && bytes.starts_with("\u{feff}".as_bytes()) {
                bytes.drain(..3);
            }
            if !bytes.trim_ascii().is_empty() {
                return Ok(Some((self.number, Some(as_yaml(bytes)))));
            }
        }
    }

    /// One line without its break.
    fn line(&mut self) -> io::Result<Option<Raw>> {
        let mut line = Vec::new();
        let (mut any, mut long) = (false, false);
        loop {
            let chunk = self.reader.fill_buf()?;
            if chunk.is_empty() {
                break;
            }
            any = true;
            let end = chunk.iter().position(|b| *b == b'\n');
            let part = &chunk[..end.unwrap_or(chunk.len())];
            long |= line.len() + part.len() > LARGEST;
            if long {
                line = Vec::new();
            } else {
                line.extend_from_slice(part);
            }
            let used = end.map_or(chunk.len(), |e| e + 1);
            self.reader.consume(used);
            if end.is_some() {
                break;
            }
        }
        if line.last() == Some(&b'\r') {
            line.pop();
        }
        Ok(any.then_some(if long { Raw::TooLong } else { Raw::Whole(line) }))
    }
}

/// How many lines of a file hold something; `None` where looking would use them up, as of a pipe.
pub(super) fn count(path: &str) -> Option<usize> {
    if !fs::metadata(path).is_ok_and(|m| m.is_file()) {
        return None;
    }
    let Ok(mut lines) = Lines::open(path) else { return Some(1) };
    let mut found = 0;
    while let Ok(Some(line)) = lines.line() {
        let blank = matches!(line, Raw::Whole(bytes) if bytes.trim_ascii().is_empty());
        found += usize::from(!blank);
    }
    Some(found.max(1))
}

/// JSON as YAML where the two differ, every other character in its column: a pair of `\u` escapes for one character
/// (`\ud83d\ude00`) becomes `\U0001f600` with two spaces behind the closing quote; tabs between values become spaces.
fn as_yaml(bytes: Vec<u8>) -> Vec<u8> {
    if !bytes.contains(&b'\\') && !bytes.contains(&b'\t') {
        return bytes;
    }
    let mut out = Vec::with_capacity(bytes.len());
    let (mut quoted, mut owed, mut at) = (false, 0, 0);
    while at < bytes.len() {
        let byte = bytes[at];
        if quoted && byte == b'\\' {
            if let Some(c) = paired(&bytes[at..]) {
                out.extend(format!("\\U{:08x}", u32::from(c)).bytes());
                (at, owed) = (at + 12, owed + 2);
                continue;
            }
            out.extend(&bytes[at..bytes.len().min(at + 2)]);
            at += 2;
            continue;
        }
        out.push(if byte == b'\t' && !quoted { b' ' } else { byte });
        if byte == b'"' {
            quoted = !quoted;
            if !quoted {
                out.extend(std::iter::repeat_n(b' ', owed));
                owed = 0;
            }
        }
        at += 1;
    }
    out
}

/// The character two escapes at the start of some bytes stand for together.
fn paired(bytes: &[u8]) -> Option<char> {
    let half = |from: usize| {
        let digits = bytes.get(from..from + 6)?.strip_prefix(b"\\u")?;
        u16::from_str_radix(std::str::from_utf8(digits).ok()?, 16).ok()
    };
    char::decode_utf16([half(0)?, half(6)?]).next()?.ok().filter(|c| u32::from(*c) > 0xffff)
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(r#"{"a": "\ud83d\ude00", "b": 1}"#, r#"{"a": "\U0001f600"  , "b": 1}"#)]
    #[case("{\"a\":\t\"b\tc\\\"\\\\\"}", "{\"a\": \"b\tc\\\"\\\\\"}")]
    #[case(r#"{"a": "\ud83d", "b": "\\ud83d\\ude00"}"#, r#"{"a": "\ud83d", "b": "\\ud83d\\ude00"}"#)]
    #[case(r#"{"a": "\"#, r#"{"a": "\"#)]
    fn json_becomes_yaml_in_place(#[case] json: &str, #[case] yaml: &str) {
        assert_eq!(String::from_utf8(as_yaml(json.as_bytes().to_vec())).unwrap(), yaml);
    }
}
