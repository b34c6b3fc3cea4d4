//! Single facts of a record: what it says of each row of [`vocab::promise`](crate::vocab::promise).

use super::{Fact, Known, Money, Record};
use crate::exact::Exact;
use crate::vocab::promise::{Of, Promise};

/// A value of a fact.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Term {
    /// A number, in the unit of what the fact holds.
    Number(Exact),
    /// Rank in its words, 0 best.
    Word(u8),
    /// An amount of money; only as written in a record.
    Money(Money),
}

/// A number with its unit, one of them without its `s`; figures that have no end are rounded once, here.
pub fn with_unit(n: &Exact, unit: &str) -> String {
    let shown = n.plain();
    let shown = if shown.contains('/') { n.display(1, crate::exact::Rounding::HalfUp) } else { shown };
    match unit {
        "" | "code digit" => shown,
        unit if shown == "1" => format!("1 {}", unit.strip_suffix('s').unwrap_or(unit)),
        unit => format!("{shown} {unit}"),
    }
}

/// A value in words, with its unit; money as its amount and currency.
pub fn say(promise: Promise, term: &Term) -> String {
    let holds = promise.row().holds;
    match term {
        Term::Word(rank) => holds.words().get(usize::from(*rank)).map_or_else(String::new, |w| (*w).to_owned()),
        Term::Number(n) => with_unit(n, holds.unit()),
        Term::Money(m) => format!("{} {}", m.amount.plain(), m.currency),
    }
}

impl Term {
    /// The number, unless it is something else.
    pub fn number(&self) -> Option<&Exact> {
        match self {
            Self::Number(n) => Some(n),
            _ => None,
        }
    }

    /// The rank of the word, unless it is something else.
    pub fn rank(&self) -> Option<u8> {
        match self {
            Self::Word(rank) => Some(*rank),
            _ => None,
        }
    }

    /// The amount, unless it is something else.
    pub fn money(&self) -> Option<&Money> {
        match self {
            Self::Money(m) => Some(m),
            _ => None,
        }
    }
}

/// Facts of one place as a record states them: every row of that place has one.
#[derive(Clone, Debug, Default)]
pub struct Facts(Vec<(Promise, Fact<Term>)>);

impl Facts {
    /// A fact for each row of some places.
    pub(super) fn each(places: &[Of], mut fact: impl FnMut(Promise) -> Fact<Term>) -> Self {
        let rows = Promise::ALL.iter().copied().filter(|p| places.contains(&p.row().of));
        Self(rows.map(|p| (p, fact(p))).collect())
    }

    /// Each fact with its row, in their order.
    pub fn iter(&self) -> impl Iterator<Item = (Promise, &Fact<Term>)> {
        self.0.iter().map(|(p, fact)| (*p, fact))
    }

    /// Each fact with its row, to be changed.
    pub(super) fn iter_mut(&mut self) -> impl Iterator<Item = (Promise, &mut Fact<Term>)> {
        self.0.iter_mut().map(|(p, fact)| (*p, fact))
    }

    /// The number of a fact, where it is settled.
    pub fn number(&self, promise: Promise) -> Option<&Exact> {
        self[promise].settled().and_then(Term::number)
    }

    /// The word of a fact, where it is settled.
    pub fn word<W: crate::vocab::class::Words>(&self, promise: Promise) -> Option<W> {
        let rank = self[promise].settled().and_then(Term::rank)?;
        W::ALL.get(usize::from(rank)).copied()
    }
}

impl std::ops::Index<Promise> for Facts {
    type Output = Fact<Term>;

    /// # Panics
    /// If the fact stands elsewhere in a record.
    fn index(&self, promise: Promise) -> &Fact<Term> {
        match self.0.iter().find(|(p, _)| *p == promise) {
            Some((_, fact)) => fact,
            None => panic!("{promise:?} does not stand here"),
        }
    }
}

impl Record {
    /// What the record says of a fact of the device; `None` for one of a spare part, and for digits of the protection code.
    pub fn promise(&self, promise: Promise) -> Option<&Fact<Term>> {
        match promise.row().of {
            Of::Part | Of::Ingress => None,
            Of::Information | Of::Support => Some(&self.support.facts[promise]),
            Of::Battery | Of::Endurance => Some(&self.device.facts[promise]),
        }
    }
}

/// What a fact known as numbers may be.
pub fn numbers(known: &Known<Term>) -> Known<Exact> {
    known.map(|term| term.number().cloned().unwrap_or_else(Exact::zero))
}
