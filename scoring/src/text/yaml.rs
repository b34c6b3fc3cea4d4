//! A YAML text as a tree of nodes that know their places.
//!
//! One pass over the events of `saphyr-parser` with an explicit stack and budgets. Anchors, aliases, tags and
//! second documents are refused: nothing in a record or method needs them, and they are how small files grow
//! into gigabytes. Duplicate keys are reported with both places.

use std::collections::BTreeMap;

use saphyr_parser::{Event, Parser, ScalarStyle};

use super::check::START;
use super::fields::short;
use super::limits::{DEEPEST, LONGEST_TEXT, MOST_DIAGNOSTICS, MOST_ITEMS, MOST_NODES};
use super::syntax::{Mistake, Repaired, mistakes};
use super::{Diagnostic, FileId, Source, Span, alike, fold};

/// One value and its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YamlNode {
    /// The value, without trailing space or comments.
    pub span: Span,
    /// What it is.
    pub kind: YamlKind,
}

/// What a node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum YamlKind {
    /// A single value.
    Scalar(Scalar),
    /// A list.
    List(Vec<YamlNode>),
    /// A mapping, in the order written, without the second of two duplicate keys.
    Map(Vec<YamlEntry>),
}

/// A single value as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scalar {
    /// The text after unquoting and folding.
    pub text: String,
    /// Written without quotes, so `1`, `true` and nothing have their YAML meaning.
    pub plain: bool,
}

/// One entry of a mapping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct YamlEntry {
    /// The key's text.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// The value.
    pub value: YamlNode,
}

impl YamlNode {
    /// The text of a scalar.
    pub fn text(&self) -> Option<&str> {
        match &self.kind {
            YamlKind::Scalar(scalar) => Some(&scalar.text),
            _ => None,
        }
    }

    /// Whether nothing was written (an empty plain value, `~` or `null`).
    pub fn is_nothing(&self) -> bool {
        matches!(&self.kind, YamlKind::Scalar(s) if s.plain && matches!(&*s.text, "" | "~" | "null" | "Null" | "NULL"))
    }

    /// What it is, in words for messages.
    pub fn shape(&self) -> &'static str {
        match &self.kind {
            YamlKind::Scalar(_) if self.is_nothing() => "nothing",
            YamlKind::Scalar(_) => "a single value",
            YamlKind::List(_) => "a list",
            YamlKind::Map(_) => "a mapping",
        }
    }

    /// The value of a key, compared by [`fold`].
    pub fn get(&self, key: &str) -> Option<&YamlEntry> {
        match &self.kind {
            YamlKind::Map(entries) => entries.iter().find(|e| alike(&e.key, key)),
            _ => None,
        }
    }

    /// How many scalars are in it, keys not counted.
    pub fn leaves(&self) -> usize {
        match &self.kind {
            YamlKind::Scalar(_) => 1,
            YamlKind::List(items) => items.iter().map(Self::leaves).sum(),
            YamlKind::Map(entries) => entries.iter().map(|e| e.value.leaves()).sum(),
        }
    }

    /// The place of some bytes of a scalar's text: exact where the text stands in the source as it is, else the
    /// whole scalar.
    pub fn part(&self, source: &Source, range: std::ops::Range<usize>) -> Span {
        let (Some(text), written) = (self.text(), source.excerpt(self.span)) else { return self.span };
        let lead = if written == text {
            0
        } else if written.len() == text.len() + 2 && written.get(1..=text.len()) == Some(text) {
            1
        } else {
            return self.span;
        };
        if range.start > range.end || range.end > text.len() {
            return self.span;
        }
        let byte = |n: usize| self.span.start + u32::try_from(n + lead).unwrap_or(0);
        Span { file: self.span.file, start: byte(range.start), end: byte(range.end) }
    }

    /// The value as `serde_yaml` sees it, for reading typed values from this node alone.
    ///
    /// Plain scalars get their YAML 1.2 core meaning (numbers, `true`, nothing); all else is text.
    pub fn value(&self) -> serde_yaml::Value {
        use serde_yaml::Value;
        match &self.kind {
            YamlKind::Scalar(s) if s.plain => {
                let simple =
                    s.text.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'+' | b'-' | b'~'));
                let read = if simple { serde_yaml::from_str(&s.text).ok() } else { None };
                match read {
                    Some(v @ (Value::Null | Value::Bool(_) | Value::Number(_))) => v,
                    _ => Value::String(s.text.clone()),
                }
            }
            YamlKind::Scalar(s) => Value::String(s.text.clone()),
            YamlKind::List(items) => Value::Sequence(items.iter().map(Self::value).collect()),
            YamlKind::Map(entries) => {
                Value::Mapping(entries.iter().map(|e| (Value::String(e.key.clone()), e.value.value())).collect())
            }
        }
    }
}

/// A text as a tree, with what is wrong with its YAML.
#[derive(Clone, Debug)]
pub struct Tree {
    /// The tree; `None` when the text is not YAML of the kind accepted.
    pub root: Option<YamlNode>,
    /// What is wrong, in file order; never empty without a root.
    pub diagnostics: Vec<Diagnostic>,
}

impl Tree {
    /// Parses a text that [`Source::checked`] let through (any other text is safe too). Where it is no YAML there is no root.
    pub fn parse(source: &Source, file: FileId) -> Self {
        let tree = Self::past_mistakes(source, file);
        let root = tree.root.filter(|_| tree.diagnostics.iter().all(|d| d.code != "yaml-syntax"));
        Self { root, ..tree }
    }

    /// As [`Tree::parse`], with a root of what the text says once its mistakes of syntax are put right as well as can be
    /// guessed: for telling what else is wrong with it, and for nothing else. Places are those of the text as it stands.
    pub fn past_mistakes(source: &Source, file: FileId) -> Self {
        let mut builder = Builder::new(&source.text, file);
        match builder.run() {
            Ok(()) if builder.root.is_none() && builder.diagnostics.is_empty() => {
                let start = Span { file, start: 0, end: 0 };
                let nothing = Diagnostic::error("empty-file", start, "there is nothing in this file but comments")
                    .because("There is nothing to read in it.")
                    .mend(START);
                Self { root: None, diagnostics: vec![nothing] }
            }
            Ok(()) => Self { root: builder.root, diagnostics: builder.diagnostics },
            Err(fatal) if fatal.code == "yaml-syntax" => {
                let found = mistakes(&source.text);
                let copy = found.repaired.as_ref();
                let guessed = copy.and_then(|copy| copy.tree(file));
                let byte = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
                let span = |(from, to): (usize, usize)| Span { file, start: byte(from), end: byte(to) };
                let told = |m: Mistake| *wrong_syntax(span(m.at), m.what, m.mend, guessed.is_some());
                let mut diagnostics: Vec<Diagnostic> = found.mistakes.into_iter().map(told).collect();
                let root = match guessed {
                    Some(tree) => {
                        let doubts = copy.iter().flat_map(|copy| &copy.guessed).map(|at| span(*at));
                        if let Some(first) = diagnostics.first_mut() {
                            first.doubts = doubts.collect();
                        }
                        diagnostics.extend(tree.diagnostics);
                        tree.root
                    }
                    None => {
                        diagnostics.append(&mut builder.diagnostics);
                        None
                    }
                };
                if diagnostics.is_empty() {
                    diagnostics.push(*fatal);
                }
                super::diagnostic::without_guesses(&mut diagnostics);
                super::diagnostic::in_file_order(&mut diagnostics);
                Self { root, diagnostics }
            }
            Err(fatal) => Self { root: None, diagnostics: vec![*fatal] },
        }
    }

    /// Says of an empty text how one is begun: whoever reads it knows, this room doesn't.
    #[must_use]
    pub fn begun_by(mut self, start: &str) -> Self {
        self.diagnostics.iter_mut().for_each(|d| d.begin_with(start));
        self
    }
}

/// Character index to byte offset, converted once.
struct Places<'a> {
    text: &'a str,
    file: FileId,
    /// Empty when every character is one byte.
    bytes: Vec<u32>,
}

impl<'a> Places<'a> {
    fn new(text: &'a str, file: FileId) -> Self {
        let bytes = if text.is_ascii() {
            Vec::new()
        } else {
            text.char_indices().map(|(i, _)| u32::try_from(i).unwrap_or(u32::MAX)).collect()
        };
        Self { text, file, bytes }
    }

    fn byte(&self, index: usize) -> u32 {
        let end = u32::try_from(self.text.len()).unwrap_or(u32::MAX);
        if self.bytes.is_empty() {
            u32::try_from(index).unwrap_or(u32::MAX).min(end)
        } else {
            self.bytes.get(index).copied().unwrap_or(end)
        }
    }

    fn span(&self, span: saphyr_parser::Span) -> Span {
        let (start, end) = (self.byte(span.start.index()), self.byte(span.end.index()));
        let end = self.quoted_end(start).unwrap_or(end).max(start);
        let written = &self.text[start as usize..end as usize];
        let spare = written.len() - written.trim_end().len();
        Span { file: self.file, start, end: end - u32::try_from(spare).unwrap_or(0) }
    }

    /// Where a quoted text that starts here ends; the parser's own mark stands after the space and comment that follow.
    fn quoted_end(&self, start: u32) -> Option<u32> {
        let bytes = &self.text.as_bytes()[start as usize..];
        let quote = *bytes.first().filter(|b| matches!(b, b'"' | b'\''))?;
        let mut at = 1;
        while at < bytes.len() {
            match bytes[at] {
                b'\\' if quote == b'"' => at += 1,
                b'\'' if quote == b'\'' && bytes.get(at + 1) == Some(&b'\'') => at += 1,
                b if b == quote => return Some(start + u32::try_from(at + 1).unwrap_or(0)),
                _ => {}
            }
            at += 1;
        }
        None
    }

    /// The word that starts here: up to a space or a flow sign.
    fn word(&self, start: u32) -> Span {
        let rest = &self.text[start as usize..];
        let length = rest.find(|c: char| c.is_whitespace() || matches!(c, ',' | ']' | '}')).unwrap_or(rest.len());
        Span { file: self.file, start, end: start + u32::try_from(length).unwrap_or(0) }
    }

    fn flow(&self, start: u32) -> bool {
        matches!(self.text.as_bytes().get(start as usize), Some(b'[' | b'{'))
    }
}

/// The key whose value comes next.
enum Key {
    /// The next node is a key.
    None,
    /// Its text and place.
    Text(String, Span),
    /// It was no text; its value is dropped.
    Refused,
}

/// A list or mapping that is being read, and whether there is more of it than is kept.
enum Open {
    List(Span, Vec<YamlNode>, bool),
    Map { span: Span, entries: Vec<YamlEntry>, seen: BTreeMap<String, Span>, key: Key, more: bool },
}

struct Builder<'a> {
    places: Places<'a>,
    stack: Vec<Open>,
    root: Option<YamlNode>,
    nodes: usize,
    diagnostics: Vec<Diagnostic>,
}

type Fatal = Box<Diagnostic>;

impl Repaired<'_> {
    /// The tree of the copy, each place carried back to the text; none where the copy is no YAML of the kind accepted either.
    fn tree(&self, file: FileId) -> Option<Tree> {
        let mut builder = Builder::new(&self.text, file);
        builder.run().ok()?;
        let mut root = builder.root?;
        let byte = |n: u32| u32::try_from(self.original(n as usize)).unwrap_or(u32::MAX);
        let back = |span: &mut Span| {
            (span.start, span.end) = (byte(span.start), byte(span.end));
            span.end = span.end.max(span.start);
        };
        carried(&mut root, &back);
        for told in &mut builder.diagnostics {
            back(&mut told.at.span);
            told.also.iter_mut().for_each(|l| back(&mut l.span));
        }
        Some(Tree { root: Some(root), diagnostics: builder.diagnostics })
    }
}

/// Every place in a tree, carried elsewhere.
fn carried(node: &mut YamlNode, to: &impl Fn(&mut Span)) {
    to(&mut node.span);
    match &mut node.kind {
        YamlKind::Scalar(_) => {}
        YamlKind::List(items) => items.iter_mut().for_each(|n| carried(n, to)),
        YamlKind::Map(entries) => entries.iter_mut().for_each(|e| {
            to(&mut e.key_span);
            carried(&mut e.value, to);
        }),
    }
}

impl<'a> Builder<'a> {
    fn new(text: &'a str, file: FileId) -> Self {
        Self { places: Places::new(text, file), stack: Vec::new(), root: None, nodes: 0, diagnostics: Vec::new() }
    }

    fn run(&mut self) -> Result<(), Fatal> {
        let mut parser = Parser::new_from_str(self.places.text);
        let mut documents = 0;
        while let Some(next) = parser.next_event() {
            let (event, at) = next.map_err(|e| self.syntax(&e))?;
            let span = self.places.span(at);
            match event {
                Event::DocumentStart(_) => {
                    documents += 1;
                    if documents > 1 {
                        return Err(Box::new(
                            Diagnostic::error("yaml-documents", span, "a second document starts here")
                                .because("A file holds one record or one method.")
                                .mend("put it in a file of its own, or delete the `---`"),
                        ));
                    }
                }
                Event::Scalar(text, style, anchor, tag) => {
                    self.admit(span, anchor, tag.is_some())?;
                    let text = self.within(text.into_owned(), span);
                    let scalar = Scalar { text, plain: style == ScalarStyle::Plain };
                    self.done(YamlNode { span, kind: YamlKind::Scalar(scalar) });
                }
                Event::SequenceStart(anchor, tag) => {
                    self.admit(span, anchor, tag.is_some())?;
                    self.stack.push(Open::List(span, Vec::new(), false));
                }
                Event::MappingStart(anchor, tag) => {
                    self.admit(span, anchor, tag.is_some())?;
                    let (entries, seen, key) = (Vec::new(), BTreeMap::new(), Key::None);
                    self.stack.push(Open::Map { span, entries, seen, key, more: false });
                }
                Event::SequenceEnd | Event::MappingEnd => self.close(span),
                Event::Alias(_) => return Err(self.anchored(span)),
                Event::Nothing | Event::StreamStart | Event::StreamEnd | Event::DocumentEnd => {}
            }
        }
        Ok(())
    }

    fn admit(&mut self, span: Span, anchor: usize, tag: bool) -> Result<(), Fatal> {
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            return Err(Box::new(
                Diagnostic::error("yaml-size", span, format!("more than {MOST_NODES} values in one file"))
                    .because("A file this large is not a text somebody wrote by hand.")
                    .mend("check that this is the file you mean"),
            ));
        }
        if self.stack.len() >= DEEPEST {
            return Err(too_deep(span));
        }
        if anchor != 0 {
            return Err(self.anchored(span));
        }
        if tag {
            return Err(Box::new(
                Diagnostic::error("yaml-tag", self.before(span, ['!', '!']), "tags (`!name`) are not accepted")
                    .because("Nothing here has a meaning for a tag, so it would be ignored in silence.")
                    .mend("delete the tag; put text that starts with `!` in quotes"),
            ));
        }
        Ok(())
    }

    /// A text as far as it is read.
    fn within(&mut self, mut text: String, span: Span) -> String {
        if text.len() > LONGEST_TEXT
            && let Some((end, _)) = text.char_indices().nth(LONGEST_TEXT)
        {
            let letters = text.chars().count();
            let message = format!("this text has {letters} characters; {LONGEST_TEXT} are read");
            self.complain(
                Diagnostic::error("yaml-size", Span { end: span.start, ..span }, message)
                    .because("No name and no note is that long.")
                    .mend("shorten it, or check that this is the right file"),
            );
            text.truncate(end);
        }
        text
    }

    /// Whether a list or mapping takes another entry; the first that is too much is complained about.
    fn room(&mut self, taken: usize, what: &str, span: Span) -> bool {
        if taken == MOST_ITEMS {
            self.complain(
                Diagnostic::error("yaml-size", span, format!("this {what} has more than {MOST_ITEMS} entries"))
                    .because("The longest list of a record has a few hundred.")
                    .mend("check that this is the right file, or describe each sub-assembly in a record of its own"),
            );
        }
        taken < MOST_ITEMS
    }

    /// More complaints than are shown anyway are not kept.
    fn complain(&mut self, diagnostic: Diagnostic) {
        if self.diagnostics.len() <= MOST_DIAGNOSTICS {
            self.diagnostics.push(diagnostic);
        }
    }

    /// The word of an anchor or tag: it stands at the node's start or on the same line before it.
    fn before(&self, span: Span, signs: [char; 2]) -> Span {
        let text = self.places.text;
        let start = span.start as usize;
        if text[start..].starts_with(signs) {
            return self.places.word(span.start);
        }
        let line = text[..start].rfind('\n').map_or(0, |n| n + 1);
        match text[line..start].rfind(signs) {
            Some(at) => self.places.word(u32::try_from(line + at).unwrap_or(span.start)),
            None => span,
        }
    }

    fn anchored(&self, span: Span) -> Fatal {
        Box::new(
            Diagnostic::error("yaml-anchor", self.before(span, ['&', '*']), "anchors (`&name`) and aliases (`*name`) are not accepted")
                .because("A reader of the file would have to look elsewhere for what stands here, and small files could grow without limit.")
                .mend("write the value out; put text that starts with `&` or `*` in quotes"),
        )
    }

    fn done(&mut self, node: YamlNode) {
        // Taken out while it is filled, so that complaints can be made.
        let Some(mut open) = self.stack.pop() else {
            self.root = Some(node);
            return;
        };
        match &mut open {
            Open::List(span, items, more) => {
                if *more || !self.room(items.len(), "list", *span) {
                    *more = true;
                } else {
                    items.push(node);
                }
            }
            Open::Map { span, entries, seen, key, more } => match std::mem::replace(key, Key::None) {
                Key::None => {
                    if let YamlKind::Scalar(scalar) = node.kind {
                        *key = Key::Text(scalar.text, node.span);
                    } else {
                        self.complain(
                            Diagnostic::error("yaml-key", node.span, format!("{} can't be a field name", node.shape()))
                                .because("Field names are plain text.")
                                .mend("write a name, a colon, and the value"),
                        );
                        *key = Key::Refused;
                    }
                }
                Key::Refused => {}
                Key::Text(name, key_span) => {
                    let folded = fold(&name);
                    if let Some(first) = seen.get(&folded) {
                        self.complain(
                            Diagnostic::error(
                                "duplicate-field",
                                key_span,
                                format!("`{}` stands twice in one mapping", short(&name)),
                            )
                            .marked("again here")
                            .also(*first, "first here")
                            .because("Only one of the two could count.")
                            .mend("keep one, or give the other another name"),
                        );
                    } else if *more || !self.room(entries.len(), "mapping", *span) {
                        *more = true;
                    } else {
                        seen.insert(folded, key_span);
                        entries.push(YamlEntry { key: name, key_span, value: node });
                    }
                }
            },
        }
        self.stack.push(open);
    }

    fn close(&mut self, end: Span) {
        let Some(open) = self.stack.pop() else { return };
        let (mut span, last) = match &open {
            Open::List(span, items, _) => (*span, items.last().map(|n| n.span.end)),
            Open::Map { span, entries, .. } => (*span, entries.last().map(|e| e.value.span.end.max(e.key_span.end))),
        };
        // A block collection's end mark is the start of whatever comes next; its last child ends it better.
        span.end = if self.places.flow(span.start) { end.end } else { last.unwrap_or(span.end) }.max(span.start);
        let kind = match open {
            Open::List(_, items, _) => YamlKind::List(items),
            Open::Map { entries, .. } => YamlKind::Map(entries),
        };
        self.done(YamlNode { span, kind });
    }

    fn syntax(&self, error: &saphyr_parser::ScanError) -> Fatal {
        let start = self.places.byte(error.marker().index());
        let span = Span { file: self.places.file, start, end: start };
        let info = error.info();
        if info.contains("unknown anchor") {
            return self.anchored(span);
        }
        if info.contains("recursion limit") {
            return too_deep(span);
        }
        // What exactly is wrong, here and behind it, is found out where all of it is: `syntax`.
        wrong_syntax(
            span,
            info.to_owned(),
            "check indentation, brackets and quotes here and on the line above".to_owned(),
            false,
        )
    }
}

/// `past` where the rest was read as if it were mended.
fn wrong_syntax(span: Span, what: String, mend: String, past: bool) -> Fatal {
    let reason = if past {
        "Nothing is computed before this is mended. All other lines were checked as if it were."
    } else {
        "The rest of the file can't be read before this is mended."
    };
    Box::new(Diagnostic::error("yaml-syntax", span, "this is not valid YAML").marked(what).because(reason).mend(mend))
}

fn too_deep(span: Span) -> Fatal {
    Box::new(
        Diagnostic::error("yaml-depth", span, format!("lists and mappings nest more than {DEEPEST} deep here"))
            .because("Nothing in a record or method nests that deep.")
            .mend("check the indentation and the brackets"),
    )
}
