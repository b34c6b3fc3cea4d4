//! Texts and places in them.

use std::sync::Arc;

/// Which text a [`Span`] is in: an index into [`Sources`].
pub type FileId = u16;

/// A run of bytes in one text; `start == end` marks a point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Span {
    /// Which text.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

/// A value and where it stands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spanned<T> {
    /// The value.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Spanned<T> {
    /// A value at a place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }
}

/// A place as people count it: line and column from 1, columns in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, serde::Serialize, schemars::JsonSchema)]
pub struct Position {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1.
    pub column: u32,
}

/// One text with its name and its line starts.
#[derive(Clone, Debug)]
pub struct Source {
    /// The name people know it by: a path, or `-` for standard input.
    pub name: Arc<str>,
    /// The text, without a leading byte-order mark.
    pub text: Arc<str>,
    lines: Arc<[u32]>,
    /// Where this text is one line of a file with many records: which, from 1.
    alone: Option<u32>,
    /// Whether its text may be shown.
    quoted: bool,
}

impl Source {
    /// A text under a name. A leading byte-order mark is dropped.
    pub fn new(name: &str, text: &str) -> Self {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let starts =
            std::iter::once(0).chain(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1));
        // Texts are limited to a few megabytes before they get here.
        let lines = starts.map(|i| u32::try_from(i).unwrap_or(u32::MAX)).collect();
        Self { name: name.into(), text: text.into(), lines, alone: None, quoted: true }
    }

    /// As one line of a larger file of this name; lines are counted from 1, and places are places in that file.
    pub fn as_line(mut self, line: u32) -> Self {
        self.alone = Some(line.max(1));
        self
    }

    /// The same text, of which nothing is shown: a file somebody named that is of another kind may hold secrets.
    pub fn unquoted(mut self) -> Self {
        self.quoted = false;
        self
    }

    /// Whether its text may be shown beside complaints about it.
    pub fn is_quoted(&self) -> bool {
        self.quoted
    }

    /// The same text under another name.
    pub fn renamed(&self, name: &str) -> Self {
        Self { name: name.into(), ..self.clone() }
    }

    /// The name, with the line where this is one line of a larger file (`fleet.jsonl:3`).
    pub fn label(&self) -> String {
        match self.alone {
            Some(line) => format!("{}:{line}", self.name),
            None => self.name.to_string(),
        }
    }

    /// The number of the first line: 1, unless this is one line of a larger file.
    pub fn first_line(&self) -> u32 {
        self.alone.unwrap_or(1)
    }

    /// Line and column of a byte offset; offsets past the end give the end.
    pub fn position(&self, byte: u32) -> Position {
        let byte = (byte as usize).min(self.text.len());
        let line = self.lines.partition_point(|&s| s as usize <= byte).max(1) - 1;
        let start = self.lines[line] as usize;
        let column = self.text.get(start..byte).map_or(byte - start, |s| s.chars().count());
        Position { line: as_u32(line) + self.first_line(), column: as_u32(column) + 1 }
    }

    /// The text a span marks; nothing of a text that may not be shown.
    pub fn excerpt(&self, span: Span) -> &str {
        if !self.quoted {
            return "";
        }
        self.text.get(span.start as usize..span.end as usize).unwrap_or("")
    }

    /// The whole line a span starts on, without its line break.
    pub fn line(&self, span: Span) -> &str {
        let line = (self.position(span.start).line - self.first_line()) as usize;
        let start = self.lines[line] as usize;
        let end = self.lines.get(line + 1).map_or(self.text.len(), |&e| e as usize);
        self.text[start..end].trim_end_matches(['\n', '\r'])
    }
}

fn as_u32(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// All texts of one job, so that a span can say where it is.
#[derive(Clone, Debug, Default)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// No texts yet.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a text and says under which id.
    ///
    /// # Panics
    /// With more than 65 536 texts.
    pub fn add(&mut self, source: Source) -> FileId {
        self.0.push(source);
        FileId::try_from(self.0.len() - 1).expect("fewer than 65 536 texts in one job")
    }

    /// The text with this id.
    pub fn get(&self, id: FileId) -> &Source {
        &self.0[usize::from(id)]
    }

    /// The last text of a name.
    pub fn named(&self, name: &str) -> Option<FileId> {
        let at = self.0.iter().rposition(|source| &*source.name == name)?;
        FileId::try_from(at).ok()
    }

    /// Name, line and column of the start of a span, as `name:line:column`.
    pub fn place(&self, span: Span) -> String {
        let source = self.get(span.file);
        let at = source.position(span.start);
        format!("{}:{}:{}", source.name, at.line, at.column)
    }

    /// The text a span marks.
    pub fn excerpt(&self, span: Span) -> &str {
        self.get(span.file).excerpt(span)
    }

    /// Line and column of the start of a span.
    pub fn position(&self, span: Span) -> Position {
        self.get(span.file).position(span.start)
    }
}
