//! Tables of times of the user's own: every mistake with its place and mend, then merged with the shipped table.

use super::{TimeEntry, Times, shipped};
use crate::text::fields::{Bad, Field, Fields, Item, Reader, Shape, Table, short};
use crate::text::yaml::Tree;
use crate::text::{Diagnostic, FileId, Sources, Span, fold, near};
use crate::vocab::class::Words;
use crate::vocab::{self, Certainty};

static TABLE: Table = Table {
    name: "a table of times",
    fields: &[
        field("unit seconds", true, "Seconds in one TMU, which `indices` are counted in.", &Shape::Number),
        field("spread percent", true, "How far a time may be off either way, 0 to 100.", &Shape::Number),
        field("entries", true, "The times.", &Shape::List(&Shape::Mapping(&ENTRY))),
    ],
};

static ENTRY: Table = Table {
    name: "an entry",
    fields: &[
        field("for", true, "A motion of the table, or a fastener.", &Shape::Text),
        field("seconds", false, "Seconds, measured directly.", &Shape::Number),
        field("indices", false, "Index values; TMU is 10 x their sum.", &Shape::List(&Shape::Number)),
        field("certainty", true, "How sure.", &Shape::Words(certainties)),
        field("source", true, "Where it comes from.", &Shape::Text),
    ],
};

const fn field(name: &'static str, required: bool, doc: &'static str, shape: &'static Shape) -> Field {
    Field { name, doc, left_out: "", shape, required }
}

fn certainties() -> Vec<&'static str> {
    Certainty::ALL.iter().map(|c| c.word()).collect()
}

/// Most index values of an entry, and the highest: their sum stays far below what is counted with.
const MOST: (usize, u32) = (100, 10_000);

pub(super) fn read(sources: &Sources, file: FileId, fasteners: &[&str]) -> Result<Times, Vec<Diagnostic>> {
    let tree = Tree::parse(sources.get(file), file);
    let mut reader = Reader::new(sources);
    tree.diagnostics.into_iter().for_each(|d| reader.complain(d));
    let own = tree.root.as_ref().and_then(|root| table(&Item::root(root), fasteners, &mut reader));
    match own {
        Some(own) if !reader.failed() => Ok(merged(own)),
        _ => Err(reader.finish()),
    }
}

/// What the user's table lacks comes from the shipped one, in seconds: its indices are counted in the shipped unit.
fn merged(mut own: Times) -> Times {
    let shipped = shipped();
    for entry in shipped.entries.iter().filter(|e| own.entry(&e.what).is_none()).collect::<Vec<_>>() {
        own.entries.push(TimeEntry { seconds: Some(entry.nominal(shipped.unit)), ..entry.clone() });
    }
    own
}

fn table(root: &Item<'_>, fasteners: &[&str], reader: &mut Reader<'_>) -> Option<Times> {
    let fields = root.fields(&TABLE, reader)?;
    let unit = number(&fields, "unit seconds", 3_600.0, reader);
    let spread = number(&fields, "spread percent", 100.0, reader);
    let items = fields.get("entries").and_then(|e| e.list("a list of entries", reader))?;
    let mut seen: Vec<(String, Span)> = Vec::new();
    let entries = items.iter().filter_map(|item| entry(item, fasteners, &mut seen, reader)).collect();
    Some(Times { unit: unit?, spread: spread?, entries })
}

fn entry(
    item: &Item<'_>,
    fasteners: &[&str],
    seen: &mut Vec<(String, Span)>,
    reader: &mut Reader<'_>,
) -> Option<TimeEntry> {
    let fields = item.fields(&ENTRY, reader)?;
    let what = fields.get("for").and_then(|f| f.parse("what it is for", |t| name(t, fasteners), reader));
    if let Some(what) = &what {
        match seen.iter().find(|(name, _)| *name == what.value) {
            Some((name, first)) => reader.complain(
                Diagnostic::error("duplicate-field", what.span, format!("`{name}` has two entries"))
                    .also(*first, "first here")
                    .because("Only one of them could count.")
                    .mend("delete one of the two"),
            ),
            None => seen.push((what.value.clone(), what.span)),
        }
    }
    let seconds = number(&fields, "seconds", 86_400.0, reader);
    let indices = fields.get("indices").and_then(|i| i.list("a list of index values: `[3, 1, 10]`", reader));
    let indices = indices.unwrap_or_default();
    if indices.len() > MOST.0 {
        let message = format!("an entry has {} index values at most", MOST.0);
        reader.complain(Diagnostic::error("wrong-value", fields.head, message).mend("write `seconds` instead"));
    }
    if indices.is_empty() && fields.get("seconds").is_none() {
        reader.complain(
            Diagnostic::error("missing-field", fields.head, "the entry has neither `seconds` nor `indices`")
                .because("It would count as no time at all.")
                .mend("add `seconds: 10`, or `indices: [3, 1, 10]`"),
        );
    }
    let index = |t: &str| match t.parse::<u32>() {
        Ok(n) if n <= MOST.1 => Ok(n),
        _ => Err(not_a_number(t, &format!("a whole number from 0 to {}", MOST.1))),
    };
    let indices = indices.iter().take(MOST.0);
    let indices = indices.filter_map(|i| i.parse("an index value", index, reader)).map(|i| i.value).collect();
    let certainty = fields.get("certainty").and_then(|c| c.word("a certainty", &certainties(), reader));
    let source = fields.text("source", reader);
    Some(TimeEntry {
        what: what?.value,
        indices,
        seconds,
        certainty: Certainty::ALL[certainty?.value],
        source: source?.value,
    })
}

/// What an entry is for, in the spelling it is looked up by.
fn name(text: &str, fasteners: &[&str]) -> Result<String, Bad> {
    let motions = || shipped().entries.iter().map(|e| &*e.what);
    if let Some(found) = fasteners.iter().copied().chain(motions()).find(|n| fold(n) == fold(text)) {
        return Ok(found.to_owned());
    }
    if let Some(word) = vocab::fastener(text) {
        return Ok(word.name.clone());
    }
    let words = vocab::words::fasteners().iter().map(|f| &*f.name);
    let mend = match near(text, motions().chain(words).chain(fasteners.iter().copied())) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write one of: {}; or a fastener", motions().collect::<Vec<_>>().join(", ")),
    };
    let message = format!("`{}` is neither a motion of the table nor a fastener", short(text));
    Err(Bad::new(0..text.len(), message).mend(mend))
}

fn number(fields: &Fields<'_>, name: &str, most: f64, reader: &mut Reader<'_>) -> Option<f64> {
    let what = format!("a number from 0 to {most}");
    let parse = |t: &str| match t.parse::<f64>() {
        Ok(n) if (0.0..=most).contains(&n) => Ok(n),
        _ => Err(not_a_number(t, &what)),
    };
    fields.get(name).and_then(|i| i.parse(&what, parse, reader)).map(|n| n.value)
}

fn not_a_number(text: &str, what: &str) -> Bad {
    Bad::new(0..text.len(), format!("`{}` is not {what}", short(text))).mend(format!("write {what}"))
}
