//! Facts of a support table beside those of the record: which of two counts, and what is promised for one part.

use std::borrow::Cow;

use super::promises::Term;
use super::{Fact, Facts, Known, Spare, Support};
use crate::exact::Exact;
use crate::text::fold;
use crate::vocab::promise::Promise;

/// How a record's fact and a table's stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The record's counts: the table says nothing, or nothing that the record doesn't.
    Record,
    /// The table's counts: the record leaves open what the table says.
    Table,
    /// They contradict each other; the record's counts.
    Differs,
}

/// Values whose sizes can be compared, where they can.
pub trait Comparable: PartialEq {
    /// Whether this is at most another; false where the two can't be compared.
    fn at_most(&self, other: &Self) -> bool;
}

impl Comparable for Exact {
    fn at_most(&self, other: &Self) -> bool {
        self <= other
    }
}

impl Comparable for Term {
    fn at_most(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Money(x), Self::Money(y)) => x.currency == y.currency && x.amount <= y.amount,
            _ => self <= other,
        }
    }
}

/// Whether all that one may be, the other may be too.
fn within<T: Comparable>(one: &Known<T>, other: &Known<T>) -> bool {
    let holds = |v: &T| match other {
        Known::Is(w) => v == w,
        Known::OneOf(list) => list.contains(v),
        Known::Between(low, high) => {
            low.as_ref().is_none_or(|l| l.at_most(v)) && high.as_ref().is_none_or(|h| v.at_most(h))
        }
        Known::Unknown => true,
    };
    match (one, other) {
        (_, Known::Unknown) => true,
        (Known::Is(v), _) => holds(v),
        (Known::OneOf(list), _) => list.iter().all(holds),
        (Known::Between(low, high), Known::Between(least, most)) => {
            least.as_ref().is_none_or(|l| low.as_ref().is_some_and(|v| l.at_most(v)))
                && most.as_ref().is_none_or(|h| high.as_ref().is_some_and(|v| v.at_most(h)))
        }
        (Known::Unknown | Known::Between(..), _) => false,
    }
}

/// How two facts about one thing stand to each other.
pub fn standing<T: Comparable>(record: &Fact<T>, table: &Fact<T>) -> Standing {
    if !table.stated || within(&record.known, &table.known) {
        Standing::Record
    } else if within(&table.known, &record.known) {
        Standing::Table
    } else {
        Standing::Differs
    }
}

/// Puts the table's fact in place of the record's where it counts.
pub(crate) fn fill<T: Comparable + Clone>(record: &mut Fact<T>, table: &Fact<T>) {
    if standing(record, table) == Standing::Table {
        *record = table.clone();
    }
}

/// The same for all facts of one place.
pub(crate) fn fill_all(record: &mut Facts, table: &Facts) {
    for (promise, fact) in record.iter_mut() {
        fill(fact, &table[promise]);
    }
}

impl Support {
    /// What is promised for a spare part known by some keys, the nearest first: the part, its role, `every part`.
    ///
    /// Fact by fact the record's word under the first key that states it, then, for what stays open, the tables' likewise.
    /// `spare parts: none` in the record leaves nothing open. A part offered to nobody has no years, no delivery and no
    /// price, whatever is said of every part.
    pub fn spare<'k>(&self, keys: impl IntoIterator<Item = &'k str>) -> Option<Cow<'_, Spare>> {
        let keys: Vec<String> = keys.into_iter().map(fold).collect();
        let own = gathered(&self.spares, &keys);
        let table = if self.no_spares { None } else { gathered(&self.tabled, &keys) };
        let (Some(own), Some(table)) = (&own, &table) else { return own.or(table) };
        let mut out = own.clone().into_owned();
        fill_all(&mut out.facts, &table.facts);
        Some(Cow::Owned(out))
    }
}

/// The entries under some keys as one: each fact from the nearest that states it, else from the last, which speaks for
/// the most parts, so that what nobody stated stays one question.
fn gathered<'s>(entries: &'s std::collections::BTreeMap<String, Spare>, keys: &[String]) -> Option<Cow<'s, Spare>> {
    let mut found: Vec<&Spare> = Vec::new();
    for entry in keys.iter().filter_map(|k| entries.get(k)) {
        if found.iter().all(|f| !std::ptr::eq(*f, entry)) {
            found.push(entry);
        }
    }
    let (first, rest) = found.split_first()?;
    if rest.is_empty() || first.refused() {
        return Some(Cow::Borrowed(first));
    }
    let mut out = (*first).clone();
    for (promise, fact) in out.facts.iter_mut().filter(|(_, fact)| !fact.stated) {
        if let Some(from) = rest.iter().find(|e| e.facts[promise].stated).or(rest.last()) {
            fact.clone_from(&from.facts[promise]);
        }
    }
    Some(Cow::Owned(out))
}

impl Spare {
    /// Offered to nobody: then there are no years, no delivery and no price.
    pub fn refused(&self) -> bool {
        self.facts.word(Promise::To) == Some(crate::vocab::Access::None)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::Money;
    use crate::text::Span;
    use rstest::rstest;

    fn fact(text: &str) -> Fact<Exact> {
        let read = |t: &str| Exact::parse(t).ok_or_else(|| crate::text::fields::Bad::new(0..0, ""));
        let mut out = Fact::missing(Span::default(), "");
        out.stated = !text.is_empty();
        out.known =
            if out.stated { crate::record::forms::known::known_number(text, &read).unwrap() } else { Known::Unknown };
        out
    }

    #[rstest]
    #[case("", "7", Standing::Table)]
    #[case("unknown", "7", Standing::Table)]
    #[case("unknown", "5 | 7", Standing::Table)]
    #[case("5..7", "7", Standing::Table)]
    #[case("5 | 7", "7", Standing::Table)]
    #[case("at least 5", "5..7", Standing::Table)]
    #[case("7", "", Standing::Record)]
    #[case("7", "unknown", Standing::Record)]
    #[case("7", "7", Standing::Record)]
    #[case("7", "5..7", Standing::Record)]
    #[case("7", "at least 3", Standing::Record)]
    #[case("", "unknown", Standing::Record)]
    #[case("7", "5", Standing::Differs)]
    #[case("7", "5 | 6", Standing::Differs)]
    #[case("5..7", "6..8", Standing::Differs)]
    #[case("5 | 7", "6", Standing::Differs)]
    fn facts_stand_to_each_other(#[case] record: &str, #[case] table: &str, #[case] wanted: Standing) {
        assert_eq!(standing(&fact(record), &fact(table)), wanted);
    }

    #[test]
    fn amounts_in_two_currencies_differ() {
        let money = |known| Fact { known, stated: true, ..Fact::missing(Span::default(), "") };
        let amount = |c: &str, n| Term::Money(Money { currency: c.to_owned(), amount: Exact::from(n) });
        let least = money(Known::Between(Some(amount("EUR", 3)), None));
        assert_eq!(standing(&least, &money(Known::Is(amount("USD", 5)))), Standing::Differs);
        assert_eq!(standing(&least, &money(Known::Is(amount("EUR", 5)))), Standing::Table);
    }
}
