//! Reads method files: every mistake collected, with its place and mend.

mod head;
mod node;
mod points;
mod switches;

use super::{Cited, Method, Rule, check, load, switch};
use crate::exact::Exact;
use crate::text::fields::{Bad, Fields, Item, Reader};
use crate::text::{Diagnostic, FileId, Source, Sources, Span, Spanned};
use crate::vocab::Certainty;
use crate::vocab::class::Words;

/// Reads a method file; `find` gives the text of a shipped id or a file named in `extends`.
///
/// All mistakes are reported, in file order; there is a method only if none is an error. The texts of bases are
/// added to `sources`.
pub fn read(
    sources: &mut Sources,
    file: FileId,
    find: &mut dyn FnMut(&str) -> Option<Source>,
) -> (Option<Method>, Vec<Diagnostic>) {
    let loaded = load::load(sources, file, find);
    let mut reader = Reader::new(sources);
    for diagnostic in loaded.diagnostics {
        reader.complain(diagnostic);
    }
    let mut method = None;
    if let Some(root) = &loaded.root {
        let mut job = Job { reader: &mut reader, broken: Vec::new(), uncited: false };
        let read = head::method(&Item::root(root), &mut job);
        let broken = job.broken;
        if let Some(found) = &read {
            check::check(found, &broken, &mut reader);
        }
        method = read;
    }
    let method = method.filter(|_| !reader.failed()).map(switch::settled);
    (method, reader.finish())
}

/// One file being read.
struct Job<'r, 's> {
    reader: &'r mut Reader<'s>,
    /// Places something of which could not be read: checks that need the whole stay silent there.
    broken: Vec<Span>,
    /// A missing source or certainty was reported already; the rest follows from it.
    uncited: bool,
}

/// Source and certainty in force.
#[derive(Clone, Debug, Default)]
struct Cite {
    source: Option<String>,
    clause: Option<String>,
    certainty: Option<Certainty>,
}

impl Job<'_, '_> {
    fn complain(&mut self, diagnostic: Diagnostic) {
        self.reader.complain(diagnostic);
    }

    /// A word of a vocabulary.
    fn word<W: Words>(&mut self, item: &Item<'_>) -> Option<Spanned<W>> {
        let words: Vec<_> = W::ALL.iter().map(|w| w.word()).collect();
        let found = item.word(&format!("a {}", W::WHAT), &words, self.reader)?;
        Some(Spanned::new(W::ALL[found.value], found.span))
    }

    /// One or many words of a vocabulary.
    fn vocabulary<W: Words>(&mut self, fields: &Fields<'_>, name: &str) -> Vec<W> {
        let items = fields.get(name).map(|i| i.one_or_many()).unwrap_or_default();
        items.iter().filter_map(|i| self.word::<W>(i)).map(|w| w.value).collect()
    }

    /// Text of a field; empty when left out.
    fn text(&mut self, fields: &Fields<'_>, name: &str) -> String {
        fields.text(name, self.reader).map(|t| t.value).unwrap_or_default()
    }

    /// A yes or no with a value for left out.
    fn yes(&mut self, fields: &Fields<'_>, name: &str, left_out: bool) -> bool {
        fields.yes_no(name, self.reader).map_or(left_out, |y| y.value)
    }

    /// Source and certainty of a block, inheriting what it leaves out.
    fn cite(&mut self, fields: &Fields<'_>, around: &Cite) -> Cite {
        let source = fields.text("source", self.reader).map(|t| t.value);
        let certainty = fields.get("certainty").and_then(|i| self.word::<Certainty>(&i)).map(|c| c.value);
        let clause = fields.text("clause", self.reader).map(|t| t.value);
        // A clause is one of a source: a block with a source of its own does not inherit it.
        let clause = clause.or_else(|| if source.is_some() { None } else { around.clause.clone() });
        Cite { source: source.or_else(|| around.source.clone()), clause, certainty: certainty.or(around.certainty) }
    }

    /// The rule of a block. Complains, once a file, when nothing gives source or certainty.
    fn rule(&mut self, fields: &Fields<'_>, text: String, cite: &Cite) -> Rule {
        for (field, missing) in [("source", cite.source.is_none()), ("certainty", cite.certainty.is_none())] {
            if missing && !self.uncited {
                let code = if field == "source" { "missing-source" } else { "missing-certainty" };
                self.complain(
                    Diagnostic::error(
                        code,
                        fields.head,
                        format!("this rule has no {field}, nor has anything around it"),
                    )
                    .because("Every number in a verdict says where it comes from and how sure we are.")
                    .mend(format!("add `{field}:` here, or at the top of the file for all that says nothing else")),
                );
            }
        }
        self.uncited |= cite.source.is_none() || cite.certainty.is_none();
        Rule {
            text,
            clause: cite.clause.clone().unwrap_or_default(),
            source: cite.source.clone().unwrap_or_default(),
            certainty: cite.certainty.unwrap_or(Certainty::Own),
            switch: fields.text("switch", self.reader).map(|t| t.value),
        }
    }

    /// A number: plain, or `{is, source, certainty, note}`.
    fn number(&mut self, item: &Item<'_>) -> Option<Cited<Exact>> {
        if item.node.get("is").is_none() {
            let number = self.plain(item)?;
            return Some(Cited { value: number.value, certainty: None, source: None, note: None, span: number.span });
        }
        let fields = item.fields(&super::tables::NUMBER, self.reader)?;
        let number = fields.get("is").and_then(|i| self.plain(&i))?;
        let source = fields.text("source", self.reader).map(|t| t.value);
        let certainty = fields.get("certainty").and_then(|i| self.word::<Certainty>(&i)).map(|c| c.value);
        let note = fields.text("note", self.reader).map(|t| t.value);
        Some(Cited { value: number.value, certainty, source, note, span: item.node.span })
    }

    /// A number without anything beside it.
    fn plain(&mut self, item: &Item<'_>) -> Option<Spanned<Exact>> {
        item.parse("a number", |text| exact(text, 0), self.reader)
    }
}

/// Reads an exact number that stands at a byte of a longer text.
fn exact(text: &str, at: usize) -> Result<Exact, Bad> {
    Exact::parse(text).ok_or_else(|| {
        Bad::new(at..at + text.len(), format!("`{text}` is not a number"))
            .mend("write a decimal such as 0.30, or a fraction such as 1/3")
    })
}

/// From the start of a name to the end of its value.
fn joined(name: Span, value: Span) -> Span {
    Span { start: name.start.min(value.start), ..value }
}

/// Fills in the certainty and source of a number from the rule it belongs to.
fn under(mut number: Cited<Exact>, cite: &Cite) -> Cited<Exact> {
    number.certainty = number.certainty.or(cite.certainty);
    number.source = number.source.or_else(|| cite.source.clone());
    number
}

/// Whether any of some places lies in another.
fn within(broken: &[Span], span: Span) -> bool {
    broken.iter().any(|b| b.file == span.file && span.start <= b.start && b.end <= span.end)
}
