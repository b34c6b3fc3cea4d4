//! Unknowns of support: what the maker promises, and facts of battery, keys and ingress.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::build::Builder;
use super::case::{Answer, Touches};
use super::edit::Edit;
use super::numbers::cells;
use super::reads::tables;
use crate::exact::Exact;
use crate::method::Measure;
use crate::record::complete::NOT_SOLD;
use crate::record::forms::numbers::ingress_digit;
use crate::record::promises::numbers;
use crate::record::written::ProtectionCode;
use crate::record::{Fact, Known, Money, Spare, Term};
use crate::text::Span;
use crate::text::number::{a_new, many};
use crate::vocab::Promise;
use crate::vocab::promise::{Holds, Of};

impl Builder<'_> {
    pub(super) fn support(&mut self) {
        self.pairing();
        self.spares();
        self.device_facts();
        self.marks();
    }

    fn pairing(&mut self) {
        // Where remote authorisation costs nothing, pairing is a fact nobody reads.
        let read = self.reads(&Measure::Paired)
            || self.reads(&Measure::Promise(Promise::Pairing))
            || self.method.steps.remote.counts() && self.reads(&Measure::Depth);
        if !read {
            return;
        }
        for fill in 0..self.base.fills.len() {
            let part = self.base.fills[fill].part;
            // One piece is paired or not, whatever roles it fills.
            let same = |f: &usize| *f == fill || part.is_some() && self.base.fills[*f].part == part;
            let fills: Vec<usize> = (0..self.base.fills.len()).filter(same).collect();
            if fills[0] < fill {
                continue;
            }
            let (path, span, known) = match part {
                Some(part) => {
                    let fact = &self.record.parts[part].paired;
                    (fact.path.clone(), fact.span, fact.known.clone())
                }
                None => (format!("parts ({}) paired", self.base.fills[fill].role), self.nowhere(), Known::Unknown),
            };
            let name = self.fill_name(fill);
            let question = || format!("{} {} need software pairing?", does(&name), a_new(&name));
            let answers = yes_no(&known, |is| Edit::Paired(fills.clone(), is));
            self.ask(&path, span, question, Touches::Paired(fills), answers);
        }
    }

    fn nowhere(&self) -> Span {
        self.record.device.name.span
    }

    fn fill_name(&self, fill: usize) -> String {
        let fill = &self.base.fills[fill];
        match fill.part {
            Some(part) => self.record.parts[part].name.value.clone(),
            None => fill.role.clone(),
        }
    }

    /// The entry that speaks for a part: by its name, by its role, or for every part.
    fn spare_entry(&self, fill: usize) -> Option<Cow<'_, Spare>> {
        let (name, role) = (self.fill_name(fill), &self.base.fills[fill].role);
        self.record.support.spare([&*name, role, "every part"])
    }

    fn spares(&mut self) {
        for promise in Promise::of(Of::Part).filter(|p| self.reads_fact(*p)).collect::<Vec<_>>() {
            let settled = if promise == Promise::Price { self.device_price(&self.offered()) } else { Vec::new() };
            let measure = Measure::Promise(promise);
            // One variable per place in the record: `every part` is one place for many parts.
            let mut places: BTreeMap<(String, Span), Vec<usize>> = BTreeMap::new();
            for fill in (0..self.base.fills.len()).filter(|f| !settled.contains(f)) {
                let (path, span) = match self.spare_entry(fill) {
                    Some(entry) => (entry.facts[promise].path.clone(), entry.facts[promise].span),
                    None => {
                        let path = format!("support.spare parts.{} ({})", self.fill_name(fill), measure.word());
                        (path, self.record.support.spares_span)
                    }
                };
                places.entry((path, span)).or_default().push(fill);
            }
            for ((path, span), fills) in places {
                let answers = self.spare_answers(promise, &fills);
                let names: Vec<String> = fills.iter().map(|&f| self.fill_name(f)).collect();
                let question = || spare_question(promise.row().question, &names);
                self.ask(&path, span, question, Touches::Spare(fills, measure.clone()), answers);
            }
        }
    }

    /// Whether the method reads a fact.
    fn reads_fact(&self, promise: Promise) -> bool {
        self.measures.iter().any(|m| m.facts().contains(&promise))
    }

    /// Parts that somebody can have at a settled price.
    fn offered(&self) -> Vec<(usize, Money)> {
        let price = |fill: usize| {
            let entry = self.spare_entry(fill)?;
            let price = &entry.facts[Promise::Price];
            let refused = entry.refused() && !price.stated;
            price.settled().and_then(Term::money).filter(|_| !refused).map(|m| (fill, m.clone()))
        };
        (0..self.base.fills.len()).filter_map(price).collect()
    }

    fn spare_answers(&self, promise: Promise, fills: &[usize]) -> Vec<Answer> {
        let entry = self.spare_entry(fills[0]);
        let entry = entry.as_deref();
        // A part offered to nobody has no years, no delivery and no price.
        let refused = entry.is_some_and(Spare::refused);
        let none = refused || self.record.support.no_spares && entry.is_none();
        let fact = entry.map(|e| &e.facts[promise]);
        let known = match promise {
            Promise::Price if !none => self.price_share(entry).map(|n| Term::Number(n.clone())),
            Promise::Price => Known::Is(unsold(promise)),
            // How it is made and who pairs it is no matter of whether it is sold.
            Promise::Interface | Promise::Pairing => known_or(fact, None),
            _ => known_or(fact, none.then(|| unsold(promise))),
        };
        self.answers(promise, &known, |value| Edit::Spare(fills.to_vec(), promise, value))
    }

    /// What a fact can be: its words, or a value for each cell of the thresholds that read it.
    fn answers(&self, promise: Promise, known: &Known<Term>, edit: impl Fn(Term) -> Edit) -> Vec<Answer> {
        let holds = promise.row().holds;
        let words = holds.words();
        if !words.is_empty() {
            let ranks: Vec<u8> = match known {
                Known::Is(term) => term.rank().into_iter().collect(),
                Known::OneOf(list) => list.iter().filter_map(Term::rank).collect::<BTreeSet<_>>().into_iter().collect(),
                _ => (0_u8..).take(words.len()).collect(),
            };
            let answer = |rank: u8| {
                let label = words.get(usize::from(rank)).copied().unwrap_or_default();
                Answer { label: label.to_owned(), edits: vec![edit(Term::Word(rank))] }
            };
            return ranks.into_iter().map(answer).collect();
        }
        // A share of a price has no end; code digits end where their table does.
        let most = if let Holds::Digit(_, most) = holds { Some(Exact::from(most)) } else { None };
        let read = self.measures.iter().filter(|m| m.facts().contains(&promise));
        let tables: Vec<_> = read.flat_map(|m| tables(self.method, m)).collect();
        let found = cells(&numbers(known), &tables, &Exact::zero(), most.as_ref());
        found.into_iter().map(|c| Answer { label: c.label, edits: vec![edit(Term::Number(c.value))] }).collect()
    }

    fn device_facts(&mut self) {
        for promise in Promise::ALL.iter().copied().filter(|p| !p.of_part() && p.row().of != Of::Ingress) {
            let Some(fact) = self.record.promise(promise).filter(|_| self.reads_fact(promise)) else { continue };
            let answers = self.answers(promise, &fact.known, |value| Edit::Support(promise, value));
            let read = |m: &&Measure| m.facts().contains(&promise);
            let touches = Touches::Device(self.measures.iter().filter(read).cloned().collect());
            self.ask(&fact.path, fact.span, || promise.row().question.to_owned(), touches, answers);
        }
        self.ingress();
    }

    fn ingress(&mut self) {
        let code = &self.record.device.ingress;
        let read: Vec<Promise> = Promise::of(Of::Ingress).filter(|p| self.reads_fact(*p)).collect();
        let digit = |promise: Promise, code: &str| match promise.row().holds {
            Holds::Digit(at, _) => Term::Number(Exact::from(i64::from(ingress_digit(code, at)))),
            _ => Term::Number(Exact::zero()),
        };
        // Alternatives are whole codes: the dust digit of one never goes with the water digit of another.
        if let Known::OneOf(codes) = &code.known
            && !read.is_empty()
        {
            let answer = |code: &ProtectionCode| {
                let edits = read.iter().map(|&p| Edit::Support(p, digit(p, code))).collect();
                Answer { label: code.0.clone(), edits }
            };
            let touches = Touches::Device(read.iter().map(|&p| Measure::Promise(p)).collect());
            let question = || "Which protection code does the device have?".to_owned();
            self.ask(&code.path, code.span, question, touches, codes.iter().map(answer).collect());
            return;
        }
        for promise in read {
            let known = match &code.known {
                Known::Is(code) => Known::Is(digit(promise, code)),
                _ => Known::Unknown,
            };
            let answers = self.answers(promise, &known, |value| Edit::Support(promise, value));
            let what = if promise == Promise::IngressDust { "dust" } else { "water" };
            let path = format!("{} ({what})", code.path);
            let touches = Touches::Device(vec![Measure::Promise(promise)]);
            self.ask(&path, code.span, || promise.row().question.to_owned(), touches, answers);
        }
    }

    fn marks(&mut self) {
        let rows: Vec<String> = self
            .measures
            .iter()
            .filter_map(|m| if let Measure::Mark(row) = m { Some(row.clone()) } else { None })
            .collect();
        for row in rows {
            let fact = self.record.marks.get(&self.method.id.value).and_then(|m| m.get(&row));
            let (path, span, known) = match fact {
                Some(f) => (f.path.clone(), f.span, f.known.clone()),
                None => (format!("marks.{}.{row}", self.method.id.value), self.nowhere(), Known::Unknown),
            };
            let measure = Measure::Mark(row.clone());
            let ten = Exact::from(10);
            let answers = cells(&known, &tables(self.method, &measure), &Exact::zero(), Some(&ten))
                .into_iter()
                .map(|c| Answer { label: c.label, edits: vec![Edit::Mark(row.clone(), c.value)] })
                .collect();
            let question = || format!("Which mark out of 10 has row {row}?");
            self.ask(&path, span, question, Touches::Device(vec![measure]), answers);
        }
    }
}

/// Of a part nobody sells: the worst word, no years, a delivery and a price beyond any bound.
fn unsold(promise: Promise) -> Term {
    let holds = promise.row().holds;
    match holds.words().len() {
        0 if holds.fewer() => Term::Number(Exact::from(NOT_SOLD)),
        0 => Term::Number(Exact::zero()),
        n => Term::Word(u8::try_from(n - 1).unwrap_or(u8::MAX)),
    }
}

/// `Does` one, `Do` several.
fn does(name: &str) -> &'static str {
    if many(name) { "Do" } else { "Does" }
}

/// A question about spare parts, in the singular or the plural.
fn spare_question(question: &str, names: &[String]) -> String {
    let (parts, several) = match names {
        [one] => (a_new(one), many(one)),
        [first, second] if first == second => (a_new(first), many(first)),
        [first, second] => (format!("{} and {}", a_new(first), a_new(second)), true),
        _ => ("each other spare part".to_owned(), false),
    };
    numbered(question, &parts, several)
}

/// A question about spare parts that are called something, one or several.
pub(super) fn numbered(question: &str, parts: &str, several: bool) -> String {
    let verbs = [("is {part}", "are {part}"), ("does {part}", "do {part}"), ("Does {part}", "Do {part}")];
    let said = verbs.iter().filter(|_| several).fold(question.to_owned(), |q, (one, more)| q.replace(one, more));
    said.replace("{part}", parts)
}

fn known_or<T: Clone>(fact: Option<&Fact<T>>, otherwise: Option<T>) -> Known<T> {
    match (fact, otherwise) {
        (Some(f), None) => f.known.clone(),
        // `years: unknown` left beside `to: none` states nothing.
        (Some(f), Some(_)) if f.stated && !matches!(f.known, Known::Unknown) => f.known.clone(),
        (_, Some(v)) => Known::Is(v),
        (None, None) => Known::Unknown,
    }
}

fn yes_no(known: &Known<bool>, edit: impl Fn(bool) -> Edit) -> Vec<Answer> {
    let list = match known {
        Known::Is(b) => vec![*b],
        _ => vec![true, false],
    };
    list.into_iter().map(|b| Answer { label: if b { "yes" } else { "no" }.to_owned(), edits: vec![edit(b)] }).collect()
}
