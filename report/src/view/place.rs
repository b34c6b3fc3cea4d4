//! Places in the record, and facts in words.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use scoring::assess::evidence::Evidence as Found;
use scoring::exact::Exact;
use scoring::record::{Fact, Known, Money, Record};
use scoring::text::{Position, Sources, Span};
use scoring::vocab::Words;

use super::types::{Evidence, RecordLine};
use crate::clean::{footage, line, lines, shorten};
use crate::words::english as en;

/// Looks up places of one record.
pub(crate) struct Places<'a> {
    pub(crate) record: &'a Record,
    pub(crate) sources: &'a Sources,
    /// Looked up before: a page points at the same lines hundreds of times.
    known: RefCell<BTreeMap<Span, Place>>,
}

/// Where a span begins, in words.
#[derive(Clone)]
struct Place {
    place: String,
    at: Position,
    anchor: Option<String>,
    excerpt: String,
}

/// Columns of an excerpt.
const EXCERPT: usize = 56;

impl<'a> Places<'a> {
    pub(crate) fn new(record: &'a Record, sources: &'a Sources) -> Self {
        Self { record, sources, known: RefCell::default() }
    }

    pub(crate) fn place(&self, span: Span) -> String {
        line(&self.sources.place(span))
    }

    pub(super) fn line(&self, span: Span) -> u32 {
        self.sources.position(span).line
    }

    /// Anchor of a line in the listing.
    pub(super) fn anchor(&self, span: Span) -> Option<String> {
        (span.file == self.record.span.file).then(|| format!("L{}", self.line(span)))
    }

    pub(super) fn excerpt(&self, span: Span) -> String {
        shorten(&line(self.sources.get(span.file).line(span)), EXCERPT)
    }

    pub(super) fn evidence(&self, found: &Found) -> Evidence {
        let span = found.span;
        let looked_up = || Place {
            place: self.place(span),
            at: self.sources.position(span),
            anchor: self.anchor(span),
            excerpt: self.excerpt(span),
        };
        let Place { place, at, anchor, excerpt } =
            self.known.borrow_mut().entry(span).or_insert_with(looked_up).clone();
        Evidence {
            path: line(&found.path),
            place,
            line: at.line,
            column: at.column,
            anchor,
            excerpt,
            text: line(&found.text),
            at: found.at.map(footage),
            basis: found.basis.word().to_owned(),
            source: found.source.as_deref().map(line),
        }
    }

    pub(super) fn listing(&self) -> Vec<RecordLine> {
        let source = self.sources.get(self.record.span.file);
        let first = source.first_line() as usize;
        source.text.lines().enumerate().map(|(i, l)| RecordLine { number: i + first, text: lines(l) }).collect()
    }
}

/// A name not yet taken, with a number where needed; it is taken from now on.
pub(super) fn unique(name: String, taken: &mut BTreeSet<String>) -> String {
    if taken.insert(name.clone()) {
        return name;
    }
    let mut n = 2;
    loop {
        let candidate = format!("{name}-{n}");
        if taken.insert(candidate.clone()) {
            return candidate;
        }
        n += 1;
    }
}

/// A fact in words, as well as it is known.
pub(super) fn known<T>(known: &Known<T>, word: impl Fn(&T) -> String) -> String {
    match known {
        Known::Is(value) => word(value),
        Known::OneOf(list) => en::one_of(&list.iter().map(&word).collect::<Vec<_>>()),
        Known::Between(Some(a), Some(b)) => en::from_to(&word(a), &word(b)),
        Known::Between(Some(a), None) => en::at_least(&word(a)),
        Known::Between(None, Some(b)) => en::at_most(&word(b)),
        Known::Between(None, None) | Known::Unknown => en::NOBODY_ESTABLISHED.to_owned(),
    }
}

/// A stated fact in words; `None` where the record leaves it out.
pub(super) fn stated<T>(fact: &Fact<T>, word: impl Fn(&T) -> String) -> Option<String> {
    fact.stated.then(|| {
        let said = known(&fact.known, word);
        match &fact.source {
            Some(source) => line(&format!("{said} ({})", en::from_source(source))),
            None => line(&said),
        }
    })
}

pub(super) fn money(money: &Money) -> String {
    let amount = &money.amount;
    let shown = if amount.round(0, scoring::exact::Rounding::Down) == *amount {
        amount.plain()
    } else {
        amount.display(2, scoring::exact::Rounding::HalfUp)
    };
    format!("{shown} {}", money.currency)
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "stands where words of facts are made from references")]
pub(super) fn yes_no(value: &bool) -> String {
    en::yes_no(*value).to_owned()
}

/// A width in percent, one decimal.
pub(super) fn percent(value: &Exact, low: &Exact, high: &Exact) -> String {
    let share = (value - low).checked_div(&(high - low)).unwrap_or_else(Exact::zero);
    let share = share.max(Exact::zero()).min(Exact::one());
    (&share * &Exact::from(100)).display(1, scoring::exact::Rounding::HalfUp)
}
