//! Tables of times of the user's own: every mistake with its place and mend, then merged with the shipped table.

use std::sync::LazyLock;

use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Deserialize, Deserializer};

use super::{TimeEntry, Times, shipped};
use crate::text::fields::{
    Bad, Described, Item, ListOf, Needed, Reader, Shape, Stated, Unread, form, leaf, short, written,
};
use crate::text::yaml::Tree;
use crate::text::{Diagnostic, FileId, Sources, Span, fold, near};
use crate::vocab::{self, Certainty};

/// A table of times.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "a table of times")]
struct TimesFields {
    /// Seconds in one TMU, which `indices` are counted in.
    #[serde(rename = "unit seconds")]
    unit: Needed<UpTo<3_600>>,
    /// How far a time may be off either way, 0 to 100.
    #[serde(rename = "spread percent")]
    spread: Needed<UpTo<100>>,
    /// The times.
    entries: Needed<Unread<ListOf<TimeFields>>>,
}

/// An entry of `entries`.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(rename = "an entry")]
struct TimeFields {
    /// A motion of the table, or a fastener.
    r#for: Needed<Unread<String>>,
    /// Seconds, measured directly.
    seconds: Stated<UpTo<86_400>>,
    /// Index values; TMU is 10 x their sum.
    indices: Option<Unread<ListOf<Index>>>,
    /// How sure.
    certainty: Needed<Certainty>,
    /// Where it comes from.
    source: Needed<String>,
}

static DESCRIBED: LazyLock<Described> = LazyLock::new(|| Described::new().with::<TimesFields>().with::<TimeFields>());

/// A number from 0 to so many.
#[derive(Clone, Copy, Debug)]
struct UpTo<const MOST: u32>(f64);

impl<'de, const MOST: u32> Deserialize<'de> for UpTo<MOST> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let what = format!("a number from 0 to {MOST}");
        form(deserializer, &what, |text| match text.parse::<f64>() {
            Ok(n) if (0.0..=f64::from(MOST)).contains(&n) => Ok(Self(n)),
            _ => Err(not_a_number(text, &what)),
        })
    }
}

impl<const MOST: u32> JsonSchema for UpTo<MOST> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("up to {MOST}").into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        leaf(&Shape::Number)
    }
}

/// An index value.
#[derive(Clone, Copy, Debug)]
struct Index(u32);

written! {
    Index: "an index value", index, &Shape::Number;
}

fn index(text: &str) -> Result<Index, Bad> {
    match text.parse::<u32>() {
        Ok(n) if n <= MOST.1 => Ok(Index(n)),
        _ => Err(not_a_number(text, &format!("a whole number from 0 to {}", MOST.1))),
    }
}

/// Most index values of an entry, and the highest: their sum stays far below what is counted with.
const MOST: (usize, u32) = (100, 10_000);

pub(super) fn read(sources: &Sources, file: FileId, fasteners: &[&str]) -> Result<Times, Vec<Diagnostic>> {
    let tree = Tree::past_mistakes(sources.get(file), file);
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
    let (fields, items) = root.typed::<TimesFields>(&DESCRIBED, reader)?;
    let list = items.get(&fields.entries.0).and_then(|e| e.list("a list of entries", reader))?;
    let mut seen: Vec<(String, Span)> = Vec::new();
    let entries = list.iter().filter_map(|item| entry(item, fasteners, &mut seen, reader)).collect();
    Some(Times { unit: fields.unit.0?.0, spread: fields.spread.0?.0, entries })
}

fn entry(
    item: &Item<'_>,
    fasteners: &[&str],
    seen: &mut Vec<(String, Span)>,
    reader: &mut Reader<'_>,
) -> Option<TimeEntry> {
    let (fields, items) = item.typed::<TimeFields>(&DESCRIBED, reader)?;
    let what = items.get(&fields.r#for.0).and_then(|f| f.parse("what it is for", |t| name(t, fasteners), reader));
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
    let indices = items.get(&fields.indices).and_then(|i| i.list("a list of index values: `[3, 1, 10]`", reader));
    let indices = indices.unwrap_or_default();
    if indices.len() > MOST.0 {
        let message = format!("an entry has {} index values at most", MOST.0);
        reader.complain(Diagnostic::error("wrong-value", item.head(), message).mend("write `seconds` instead"));
    }
    if indices.is_empty() && matches!(fields.seconds, Stated::LeftOut) {
        reader.complain(
            Diagnostic::error("missing-field", item.head(), "the entry has neither `seconds` nor `indices`")
                .because("It would count as no time at all.")
                .mend("add `seconds: 10`, or `indices: [3, 1, 10]`"),
        );
    }
    let indices = indices.iter().take(MOST.0).filter_map(|i| i.typed::<Index>(&DESCRIBED, reader));
    let indices = indices.map(|(Index(n), _)| n).collect();
    Some(TimeEntry {
        what: what?.value,
        indices,
        seconds: fields.seconds.read().map(|UpTo(seconds)| seconds),
        certainty: fields.certainty.0?,
        source: fields.source.0?,
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

fn not_a_number(text: &str, what: &str) -> Bad {
    Bad::new(0..text.len(), format!("`{}` is not {what}", short(text))).mend(format!("write {what}"))
}
