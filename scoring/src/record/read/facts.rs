//! Facts from items: the value as well as it is known, with basis and source.

use crate::exact::Exact;
use crate::record::entries::FactFields;
use crate::record::field_tables::DESCRIBED;
use crate::record::forms::known::{known, known_number, money, yes_no};
use crate::record::forms::numbers;
use crate::record::{Fact, Known, Term};
use crate::text::fields::{Bad, Fields, Item, Reader, find_word};
use crate::text::yaml::YamlKind;
use crate::vocab::Basis;
use crate::vocab::class::Words;
use crate::vocab::promise::{Holds, Promise};

/// How the text of a fact becomes a value as well as it is known.
pub(super) type Known1<'f, T> = &'f dyn Fn(&str) -> Result<Known<T>, Bad>;

/// A fact from an item: the value itself or `{is, basis, source}`. `None` after a complaint.
pub(super) fn fact<T>(item: &Item<'_>, what: &str, read: Known1<'_, T>, reader: &mut Reader<'_>) -> Option<Fact<T>> {
    let mut out = Fact::missing(item.span(), item.path.clone());
    out.stated = true;
    let value = if let YamlKind::Map(_) = item.node.kind {
        let (fields, items) = item.typed::<FactFields>(&DESCRIBED, reader)?;
        (out.basis, out.source) = (fields.basis, fields.source);
        let is = items.get(&fields.is.0)?;
        out.span = is.span();
        is.parse(what, read, reader)
    } else {
        item.parse(what, read, reader)
    };
    out.known = value?.value;
    Some(out)
}

/// The fact of a field; unknown where it is missing or could not be read.
pub(super) fn field<T>(
    fields: &Fields<'_>,
    name: &str,
    what: &str,
    read: Known1<'_, T>,
    reader: &mut Reader<'_>,
) -> Fact<T> {
    let read = fields.get(name).and_then(|item| fact(&item, what, read, reader));
    read.unwrap_or_else(|| Fact::missing(fields.head, fields.path_of(name)))
}

/// A fact of a row, from its field; unknown where it is missing or could not be read.
pub(super) fn promise(fields: &Fields<'_>, promise: Promise, reader: &mut Reader<'_>) -> Fact<Term> {
    let row = promise.row();
    field(fields, row.field, row.holds.wanted(), &|text| term(row.holds, text), reader)
}

/// What a fact holds, as well as it is known.
fn term(holds: Holds, text: &str) -> Result<Known<Term>, Bad> {
    let rank = |at: usize| Term::Word(u8::try_from(at).unwrap_or(u8::MAX));
    let number = |n: &Exact| Term::Number(n.clone());
    Ok(match holds {
        Holds::Words(_, what) => known(text, &|t| find_word(t, what, &holds.words()))?.map(|at| rank(*at)),
        Holds::YesNo => yes_no(text)?.map(|yes| rank(usize::from(!yes))),
        Holds::Years => years(text)?.map(number),
        Holds::Days => working_days(text)?.map(number),
        Holds::Percent => percent(text)?.map(number),
        Holds::Count(_) => operations(text)?.map(number),
        Holds::Price => money(text)?.map(|m| Term::Money(m.clone())),
        Holds::Digit(at, _) => {
            let code = known(text, &numbers::ingress)?;
            code.map(|code| Term::Number(Exact::from(i64::from(numbers::ingress_digit(code, at)))))
        }
    })
}

macro_rules! number_facts {
    ($($name:ident: $doc:literal),+ $(,)?) => {
        $(#[doc = $doc]
        pub(super) fn $name(text: &str) -> Result<Known<Exact>, Bad> {
            known_number(text, &numbers::$name)
        })+
    };
}
number_facts! {
    years: "Years, as well as they are known.",
    working_days: "Working days, as well as they are known.",
    percent: "Percent, as well as they are known.",
    operations: "Operations, as well as they are known.",
}

/// `basis` of a mapping.
pub(super) fn basis(fields: &Fields<'_>, reader: &mut Reader<'_>) -> Option<Basis> {
    fields.get("basis")?.parse("a basis", Basis::read, reader).map(|b| b.value)
}
