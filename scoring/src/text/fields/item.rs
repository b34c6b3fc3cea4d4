//! Nodes with their data paths, and how values are read from them.

use std::ops::Range;

use serde::de::DeserializeOwned;

use super::{Reader, Table};
use crate::text::yaml::{YamlEntry, YamlKind, YamlNode};
use crate::text::{Diagnostic, Span, Spanned, alike, fold, near};

/// A value in a tree: its node, the key it stands under, its data path.
#[derive(Clone, Debug)]
pub struct Item<'t> {
    /// The node.
    pub node: &'t YamlNode,
    /// Where its key stands, unless it is a list item or the root.
    pub key: Option<Span>,
    /// Data path such as `actions[2].with[0]`; empty for the root.
    pub path: String,
}

/// Why a short form could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bad {
    /// Which bytes of the text are at fault.
    pub range: Range<usize>,
    /// Code; `wrong-value` unless something more special fits.
    pub code: &'static str,
    /// The headline, such as "`4 lightyears` is not a time".
    pub message: String,
    /// What to write instead.
    pub mend: Option<String>,
    /// What the mend offers in its place, where it offers something of its own.
    pub meant: Option<String>,
}

impl Bad {
    /// Every code a short form is complained of with, and why it matters that it can't be read.
    pub(super) const REASONS: [(&'static str, &'static str); 10] = [
        ("wrong-value", NOTHING_READ),
        ("too-many-entries", NOTHING_READ),
        ("measure-unknown", NOTHING_READ),
        ("method-version", NOTHING_READ),
        ("unknown-tool", "Its class is not known, so no method could count it."),
        ("unknown-drive", "The tool it takes is not known."),
        ("unknown-fastener", "Whether it can be used again is not known."),
        ("unknown-role", "No method would find the part."),
        ("unknown-hazard", "There is no caution to show for it."),
        ("no-such-date", "The calendar has no such day."),
    ];

    /// The code spelled so, if short forms are complained of with it.
    pub(super) fn code_called(code: &str) -> Option<&'static str> {
        Self::REASONS.iter().map(|(known, _)| *known).find(|known| *known == code)
    }

    /// A complaint about some bytes of a text.
    pub fn new(range: Range<usize>, message: impl Into<String>) -> Self {
        Self { range, code: "wrong-value", message: message.into(), mend: None, meant: None }
    }

    /// With another code.
    pub fn code(mut self, code: &'static str) -> Self {
        debug_assert!(Self::code_called(code).is_some(), "`{code}` has no reason among those of short forms");
        self.code = code;
        self
    }

    /// Adds the mend.
    pub fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    /// Says what was meant, besides the mend that tells it.
    pub fn meant(mut self, meant: Option<impl Into<String>>) -> Self {
        self.meant = meant.map(Into::into);
        self
    }

    /// Moves the place by some bytes, for a part of a longer text.
    pub fn shifted(mut self, by: usize) -> Self {
        self.range = self.range.start + by..self.range.end + by;
        self
    }
}

impl<'t> Item<'t> {
    /// The whole file.
    pub fn root(node: &'t YamlNode) -> Self {
        Self { node, key: None, path: String::new() }
    }

    /// The value's place; the key's where nothing was written.
    pub fn span(&self) -> Span {
        if self.node.is_nothing() { self.key.unwrap_or(self.node.span) } else { self.node.span }
    }

    /// The place that names this value: its key, else its first key, else the value.
    pub fn head(&self) -> Span {
        let first = match &self.node.kind {
            YamlKind::Map(entries) => entries.first().map(|e| e.key_span),
            _ => None,
        };
        self.key.or(first).unwrap_or(self.node.span)
    }

    /// What the value is called in messages: its field, else "this".
    fn called(&self, reader: &Reader<'_>) -> String {
        match self.key {
            Some(key) => format!("`{}`", short(reader.sources().excerpt(key))),
            None => "this".to_owned(),
        }
    }

    /// Complains that something of another shape is wanted.
    pub fn wrong_shape(&self, wanted: &str, reader: &mut Reader<'_>) {
        let complaint = self.of_shape(wanted, reader);
        reader.complain(complaint);
    }

    fn of_shape(&self, wanted: &str, reader: &Reader<'_>) -> Diagnostic {
        let called = self.called(reader);
        let blank = self.node.text().is_some_and(|t| t.trim().is_empty());
        if blank && !self.node.is_nothing() {
            Diagnostic::error("empty-value", self.span(), format!("{called} is empty; {wanted} is wanted"))
                .because("Between the quotes stands nothing that could be shown or looked up.")
                .mend(format!("write {wanted} between the quotes, or leave the field out if it may be left out"))
        } else if self.node.is_nothing() {
            Diagnostic::error("empty-value", self.span(), format!("{called} has no value; {wanted} is wanted"))
                .because("An empty value could be a slip or mean nothing at all.")
                .mend(format!("write {wanted}, or leave the field out"))
        } else {
            let message = format!("{called} is {}, where {wanted} is wanted", self.node.shape());
            let head = match &self.node.kind {
                YamlKind::Map(entries) => entries.first().map_or(self.node.span, |e| e.key_span),
                _ => self.node.span,
            };
            Diagnostic::error("wrong-shape", head, message)
                .because("Nothing in it can be read this way.")
                .mend(format!("write {wanted}"))
        }
    }

    /// Complains about some bytes of a scalar.
    pub fn bad(&self, bad: Bad, reader: &mut Reader<'_>) {
        let span = if self.node.is_nothing() {
            self.span()
        } else {
            self.node.part(reader.sources().get(self.node.span.file), bad.range)
        };
        let mut diagnostic = Diagnostic::error(bad.code, span, bad.message);
        let reason = Bad::REASONS.iter().find(|(code, _)| *code == bad.code).map_or(NOTHING_READ, |(_, reason)| reason);
        diagnostic.reason = Some(reason.to_owned());
        diagnostic.mend = bad.mend;
        reader.complain(diagnostic);
    }

    /// The place of some bytes of a scalar.
    pub fn part(&self, range: Range<usize>, reader: &Reader<'_>) -> Span {
        self.node.part(reader.sources().get(self.node.span.file), range)
    }

    /// The fields of a mapping. Complains about another shape, unknown fields (with the nearest known one) and missing
    /// required ones; `None` only for another shape.
    ///
    /// A misspelt field that is missing under its right name is read as that field all the same: one complaint for
    /// one slip, and what stands below it is checked too.
    pub fn fields(&self, table: &'static Table, reader: &mut Reader<'_>) -> Option<Fields<'t>> {
        let fields = self.some_fields(table, reader)?;
        let left_out = table.fields.iter().zip(&fields.stands).filter(|(field, at)| field.required && at.is_none());
        for (field, _) in left_out {
            reader.complain(
                Diagnostic::error(
                    "missing-field",
                    fields.head,
                    format!("`{}` is missing in {}", field.name, table.name),
                )
                .because(field.doc)
                .mend(format!("add `{}:`", field.name)),
            );
        }
        Some(fields)
    }

    /// The fields of a mapping the rest of which stands elsewhere: as [`Item::fields`], but nothing is missing.
    pub fn some_fields(&self, table: &'static Table, reader: &mut Reader<'_>) -> Option<Fields<'t>> {
        let YamlKind::Map(entries) = &self.node.kind else {
            let required: Vec<&str> = table.fields.iter().filter(|f| f.required).map(|f| f.name).collect();
            let first = [table.fields[0].name];
            let names = if required.is_empty() { &first[..] } else { &required[..] };
            let form = names.iter().map(|n| format!("{n}: ...")).collect::<Vec<_>>().join(", ");
            let mut complaint = self.of_shape(
                &format!("{} (a mapping with fields such as `{}:`)", table.name, table.fields[0].name),
                reader,
            );
            let others = if self.node.is_nothing() { ", or leave the field out" } else { "" };
            complaint.mend = Some(format!("write `{{{form}}}`{others}"));
            reader.complain(complaint);
            return None;
        };
        let mut stands: Vec<Option<usize>> = vec![None; table.fields.len()];
        let mut unknown = Vec::new();
        for (i, entry) in entries.iter().enumerate() {
            match table.place(&entry.key) {
                Some(at) => stands[at] = stands[at].or(Some(i)),
                None => unknown.push(i),
            }
        }
        let mut cut = 0;
        for i in unknown {
            let entry = &entries[i];
            if reader.full() {
                break;
            }
            // `{for: light, easy to open}`: what stands behind the comma has become a field.
            if let Some((complaint, last)) = commas(entries, i, table).filter(|_| i >= cut) {
                reader.complain(complaint);
                cut = last;
            }
            if i < cut {
                continue;
            }
            let known: Vec<_> = table.names().collect();
            let mend = match near(&entry.key, known.iter().copied()) {
                Some(name) => {
                    if let Some(at) = table.place(name) {
                        stands[at] = stands[at].or(Some(i));
                    }
                    format!("did you mean `{name}`?")
                }
                None => match colonless(entry, &known) {
                    Some(field) => format!("write `{field}`: no colon stands behind the field's name"),
                    None => format!("fields here: {}", known.join(", ")),
                },
            };
            let message = format!("`{}` is not a field of {}", short(&entry.key), table.name);
            reader.complain(
                Diagnostic::error("unknown-field", entry.key_span, message)
                    .because("It would have no effect.")
                    .mend(mend),
            );
        }
        Some(Fields { entries, stands, table, head: self.head(), path: self.path.clone() })
    }

    /// The items of a list; complains about another shape.
    pub fn list(&self, wanted: &str, reader: &mut Reader<'_>) -> Option<Vec<Item<'t>>> {
        if let YamlKind::List(items) = &self.node.kind {
            return Some(self.numbered(items));
        }
        self.wrong_shape(wanted, reader);
        None
    }

    /// One value or a list of values, as items. Nothing written gives one item, so that its reader complains.
    pub fn one_or_many(&self) -> Vec<Item<'t>> {
        match &self.node.kind {
            YamlKind::List(items) => self.numbered(items),
            _ => vec![self.clone()],
        }
    }

    fn numbered(&self, items: &'t [YamlNode]) -> Vec<Item<'t>> {
        let item = |(i, node)| Item { node, key: None, path: format!("{}[{i}]", self.path) };
        items.iter().enumerate().map(item).collect()
    }

    /// The entries of a mapping whose keys are names; complains about another shape.
    pub fn names(&self, wanted: &str, reader: &mut Reader<'_>) -> Option<Vec<(Spanned<String>, Item<'t>)>> {
        let YamlKind::Map(entries) = &self.node.kind else {
            self.wrong_shape(wanted, reader);
            return None;
        };
        let named = |e: &'t YamlEntry| {
            let name = Spanned::new(e.key.split_whitespace().collect::<Vec<_>>().join(" "), e.key_span);
            (name, entry_item(&self.path, e))
        };
        Some(entries.iter().map(named).collect())
    }

    /// Any single value as text, with runs of space outside line breaks kept; complains about other shapes and nothing.
    pub fn text(&self, wanted: &str, reader: &mut Reader<'_>) -> Option<Spanned<String>> {
        match self.node.text() {
            Some(text) if !self.node.is_nothing() && !text.trim().is_empty() => {
                Some(Spanned::new(text.trim().to_owned(), self.node.span))
            }
            _ => {
                self.wrong_shape(wanted, reader);
                None
            }
        }
    }

    /// A typed value, read by `serde_yaml` from this node alone. `what` says what is wanted: `a whole number`.
    pub fn read<T: DeserializeOwned>(&self, what: &str, reader: &mut Reader<'_>) -> Option<Spanned<T>> {
        if self.node.is_nothing() {
            self.wrong_shape(what, reader);
            return None;
        }
        let mut value = serde_yaml::from_value::<T>(self.node.value());
        // A type that is read from text takes any plain scalar by its letters: 0.10 stays 0.10.
        if let (Err(_), Some(text)) = (&value, self.node.text()) {
            value = serde_yaml::from_value::<T>(serde_yaml::Value::String(text.to_owned())).or(value);
        }
        match value {
            Ok(value) => Some(Spanned::new(value, self.node.span)),
            Err(error) => {
                match self.node.text() {
                    Some(text) => {
                        let message = format!("`{}` is not {what}", short(text));
                        reader.complain(
                            Diagnostic::error("wrong-value", self.node.span, message)
                                .because(format!("Reading it gave: {error}."))
                                .mend(format!("write {what}")),
                        );
                    }
                    None => self.wrong_shape(what, reader),
                }
                None
            }
        }
    }

    /// A short form, read by a parser of its own. `what` says what is wanted where the shape is wrong.
    pub fn parse<T>(
        &self,
        what: &str,
        parser: impl FnOnce(&str) -> Result<T, Bad>,
        reader: &mut Reader<'_>,
    ) -> Option<Spanned<T>> {
        match self.node.text() {
            Some(_) if reader.full() => None,
            Some(text) if !self.node.is_nothing() => match parser(text) {
                Ok(value) => Some(Spanned::new(value, self.node.span)),
                Err(bad) => {
                    self.bad(bad, reader);
                    None
                }
            },
            _ => {
                self.wrong_shape(what, reader);
                None
            }
        }
    }

    /// One of some words, compared by [`fold`](crate::text::fold); the index of the word. `what` names the set with its article: `a category`.
    pub fn word(&self, what: &str, words: &[&str], reader: &mut Reader<'_>) -> Option<Spanned<usize>> {
        self.parse(what, |text| find_word(text, what, words), reader)
    }

    /// `yes`, `no`, `true` or `false`.
    pub fn yes_no(&self, reader: &mut Reader<'_>) -> Option<Spanned<bool>> {
        let word = self.word("yes or no", &["yes", "no", "true", "false"], reader)?;
        Some(Spanned::new(word.value % 2 == 0, word.span))
    }
}

const NOTHING_READ: &str = "As it stands nothing can be read from it.";

/// The index of a word in a set, or a complaint with the nearest or all.
pub fn find_word(text: &str, what: &str, words: &[&str]) -> Result<usize, Bad> {
    words.iter().position(|w| alike(w, text)).ok_or_else(|| {
        let meant = near(text, words.iter().copied());
        let mend = match meant {
            Some(word) => format!("did you mean `{word}`?"),
            None => format!("write one of: {}", words.join(", ")),
        };
        Bad::new(0..text.len(), format!("`{}` is not {what}", short(text))).mend(mend).meant(meant)
    })
}

/// `{role tank}`: a field of this name and its value, where only the colon is missing.
fn colonless(entry: &YamlEntry, known: &[&str]) -> Option<String> {
    let behind = |name: &str| {
        entry.key.get(name.len()..)?.strip_prefix(' ').filter(|_| fold(&entry.key[..name.len()]) == fold(name))
    };
    let (name, value) = known.iter().filter_map(|n| Some((n, behind(n)?))).max_by_key(|(n, _)| n.len())?;
    entry.value.is_nothing().then(|| format!("{name}: {}", value.trim()))
}

/// Pieces of a text that a comma between brackets has cut off, where they stand as fields without a value; and one past the last.
fn commas(entries: &[YamlEntry], at: usize, table: &Table) -> Option<(Diagnostic, usize)> {
    let piece = |e: &YamlEntry| e.value.is_nothing() && table.field(&e.key).is_none();
    let before = entries.get(at.checked_sub(1)?)?;
    let text = before.value.text().filter(|_| !before.value.is_nothing())?;
    let count = entries[at..].iter().take_while(|e| piece(e)).count();
    if count == 0 {
        return None;
    }
    let pieces: Vec<&str> = std::iter::once(text).chain(entries[at..at + count].iter().map(|e| &*e.key)).collect();
    let whole = pieces.join(", ").replace('\\', "\\\\").replace('"', "\\\"");
    let span = Span { end: entries[at + count - 1].key_span.end, ..entries[at].key_span };
    let diagnostic =
        Diagnostic::error("unknown-field", span, format!("the comma ends the text of `{}` here", short(&before.key)))
            .because("Between brackets a comma stands between fields, so what follows it was taken for one.")
            .mend(format!("put the text in quotes: `{}: \"{}\"`", before.key, short(&whole)));
    Some((diagnostic, at + count))
}

/// Text cut for a message.
pub(crate) fn short(text: &str) -> String {
    let line: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= 60 {
        return line;
    }
    line.chars().take(57).chain("...".chars()).collect()
}

fn entry_item<'t>(path: &str, entry: &'t YamlEntry) -> Item<'t> {
    let plain = !entry.key.is_empty() && !entry.key.contains(['.', '[', ']', '"', '\n']);
    let key = if plain { entry.key.trim().to_owned() } else { format!("{:?}", entry.key) };
    let path = if path.is_empty() { key } else { format!("{path}.{key}") };
    Item { node: &entry.value, key: Some(entry.key_span), path }
}

/// The fields of one mapping.
#[derive(Clone, Debug)]
pub struct Fields<'t> {
    entries: &'t [YamlEntry],
    /// Which entry is which field of the table; a misspelt one is the field its name is near to.
    stands: Vec<Option<usize>>,
    table: &'static Table,
    /// The place that names the mapping, for complaints about what is missing.
    pub head: Span,
    /// Data path of the mapping.
    pub path: String,
}

impl<'t> Fields<'t> {
    /// The value of a field, if it is there. The name must be one of the table's.
    pub fn get(&self, name: &str) -> Option<Item<'t>> {
        let place = self.table.place(name);
        debug_assert!(place.is_some(), "`{name}` is not in the table of {}", self.table.name);
        self.at(place?)
    }

    /// The value of a field by its place in the table, if it is there.
    pub(super) fn at(&self, place: usize) -> Option<Item<'t>> {
        self.stands[place].map(|i| entry_item(&self.path, &self.entries[i]))
    }

    /// The node of a field by its place in the table, if it is there.
    pub(super) fn node(&self, place: usize) -> Option<&'t YamlNode> {
        self.stands[place].map(|i| &self.entries[i].value)
    }

    /// Text of a field, if it is there and is text.
    pub fn text(&self, name: &str, reader: &mut Reader<'_>) -> Option<Spanned<String>> {
        self.get(name)?.text("text", reader)
    }

    /// Yes or no of a field, if it is there and is one of the two.
    pub fn yes_no(&self, name: &str, reader: &mut Reader<'_>) -> Option<Spanned<bool>> {
        self.get(name)?.yes_no(reader)
    }

    /// Data path a field has or would have.
    pub fn path_of(&self, name: &str) -> String {
        if self.path.is_empty() { name.to_owned() } else { format!("{}.{name}", self.path) }
    }
}
