//! The results of other methods, a line each: from their numbers, never from words.

use std::collections::BTreeMap;

use scoring::exact::{Exact, Rounding};
use scoring::range::{Assessment, rests_on};

use super::english as en;
use crate::clean::line;
use crate::facts::losses;
use crate::plural::list;
use crate::view::types::Counts;

/// How a result is drawn: by form, not by colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Met.
    Yes,
    /// Not met.
    No,
    /// Not settled, or no result.
    Open,
    /// A number.
    Number,
}

impl Form {
    /// Its name in pages.
    pub fn word(self) -> &'static str {
        match self {
            Self::Yes => "yes",
            Self::No => "no",
            Self::Open => "open",
            Self::Number => "number",
        }
    }
}

/// A result and its form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// `would not be met`, `1.66 to 1.96 of 5, class E to D`.
    pub text: String,
    /// Its form.
    pub form: Form,
}

/// The result of a method.
pub fn result(a: &Assessment) -> Said {
    let would = a.standing.day().is_some();
    let (text, form) = match (&a.root.low, &a.root.high) {
        _ if a.method.no_total().is_some() => (en::NO_TOTAL.to_owned(), Form::Open),
        (None, None) => (en::DOES_NOT_APPLY.to_owned(), Form::Open),
        (low, high) if a.method.scale.verdict => match (low == high, low.as_ref().is_some_and(Exact::is_zero)) {
            (false, _) => (en::NOT_SETTLED.to_owned(), Form::Open),
            (true, met_not) => (en::met(!met_not, would).to_owned(), if met_not { Form::No } else { Form::Yes }),
        },
        (low, high) => {
            let [low, high] = [low, high].map(|v| v.as_ref().map_or_else(String::new, |v| line(&a.show(v))));
            let range = if low == high { low } else { en::to(&low, &high) };
            let class =
                a.classes.as_ref().map_or_else(String::new, |c| format!(", {}", en::class(&line(&c[0]), &line(&c[1]))));
            (format!("{range} {}{class}", en::out_of(&a.method.scale.high.plain())), Form::Number)
        }
    };
    Said { text, form }
}

/// How many requirements are not met, and the first of them.
pub fn requirements(counts: &Counts) -> String {
    en::requirements(counts.of, counts.not_met, counts.open, &counts.first)
}

/// How many criteria are named.
const NAMED: usize = 3;

/// Where most is lost, by criterion; these sums are those of the details.
pub fn points(a: &Assessment) -> String {
    if a.method.no_total().is_some() {
        return en::WEIGHTS_UNREAD.to_owned();
    }
    let lost = losses(a);
    let mut rows: Vec<_> = lost.criteria.iter().filter(|l| l.points.iter().any(|p| !p.is_zero())).collect();
    rows.sort_by(|x, y| (y.surely(), y.open()).cmp(&(x.surely(), x.open())));
    let shown = |v: &Exact| v.display(2, Rounding::HalfUp);
    let named: Vec<String> = rows
        .iter()
        .take(NAMED)
        .map(|l| {
            let (low, high) = (shown(l.surely()), shown((&l.points[0]).max(&l.points[1])));
            let points = if low == high { low } else { en::to(&low, &high) };
            format!("{} {points}", en::lower(&line(&l.title)))
        })
        .collect();
    en::most_lost_by_criterion(&list(&named))
}

/// For which devices a result is; empty where it binds this one.
pub fn day(a: &Assessment) -> String {
    a.standing.day().map_or_else(String::new, |day| en::supplied_from(&day.in_words()))
}

/// Where a result comes from, and on what it rests that nobody saw or read.
pub fn sure(a: &Assessment, only: bool) -> String {
    let mut how: BTreeMap<&str, usize> = BTreeMap::new();
    for rest in rests_on(a) {
        *how.entry(rest.how).or_default() += 1;
    }
    let rests: Vec<String> = how.iter().filter_map(|(how, n)| en::rests(how, *n)).collect();
    let mut out = vec![line(&a.method.edition)];
    out.extend(only.then(|| en::INFORMATION_ONLY.to_owned()));
    out.extend(Some(&rests).filter(|r| !r.is_empty()).map(|r| en::rests_on(&list(r))));
    out.join("; ")
}
