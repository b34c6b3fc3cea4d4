//! `support`, `marks`, `remarks`.

use std::collections::BTreeMap;

use super::device::unless_unknown;
use super::names::Names;
use super::words::Vocabulary;
use super::{Root, facts};
use crate::exact::Exact;
use crate::record::entries::RemarkFields;
use crate::record::written::Mark;
use crate::record::{Fact, Facts, Known, Mended, Photo, Remark, Side, Spare, Support, Term, field_tables};
use crate::text::fields::{Fields, Item, Reader, short};
use crate::text::yaml::YamlNode;
use crate::text::{Diagnostic, Span, Spanned, fold, near};
use crate::vocab::Basis;
use crate::vocab::promise::{Of, Promise};

/// `support`; every fact unknown where it is left out.
pub(super) fn support(root: &Root<'_>, words: &Vocabulary, names: &Names, reader: &mut Reader<'_>) -> Support {
    let item = root.get(&root.support).and_then(|s| unless_unknown(&s));
    item.map_or_else(|| unstated(root.head), |item| support_of(&item, words, names, reader))
}

/// What stands under `support`, or would if a table's lines stood there.
pub(super) fn support_of(item: &Item<'_>, words: &Vocabulary, names: &Names, reader: &mut Reader<'_>) -> Support {
    let Some(fields) = item.fields(&field_tables::SUPPORT, reader) else { return unstated(item.head()) };
    let mut out = unstated(fields.head);
    spares(&fields, words, names, &mut out, reader);
    of_device(&fields, &mut out, reader);
    out
}

/// Reads every value under a `support`, whatever record it is for.
pub(super) fn values(node: &YamlNode, reader: &mut Reader<'_>) {
    let item = Item { node, key: None, path: "support".to_owned() };
    let Some(fields) = item.fields(&field_tables::SUPPORT, reader) else { return };
    let parts = fields.get("spare parts").and_then(|s| s.names("parts by name", reader)).unwrap_or_default();
    for (key, item) in parts {
        spare(key, &item, reader);
    }
    of_device(&fields, &mut unstated(fields.head), reader);
}

/// Facts about the whole device.
fn of_device(fields: &Fields<'_>, out: &mut Support, reader: &mut Reader<'_>) {
    information(fields, out, reader);
    for (promise, fact) in out.facts.iter_mut().filter(|(p, _)| p.row().of == Of::Support) {
        *fact = facts::promise(fields, promise, reader);
    }
}

fn unstated(span: Span) -> Support {
    Support {
        spares: BTreeMap::new(),
        spares_span: span,
        no_spares: false,
        tabled: BTreeMap::new(),
        tables: Vec::new(),
        facts: Facts::each(&[Of::Information, Of::Support], |p| Fact::missing(span, p.path())),
    }
}

fn is_none(item: &Item<'_>) -> bool {
    item.node.text().is_some_and(|t| fold(t) == "none")
}

fn spares(fields: &Fields<'_>, words: &Vocabulary, names: &Names, out: &mut Support, reader: &mut Reader<'_>) {
    let Some(item) = fields.get("spare parts") else { return };
    out.spares_span = item.key.unwrap_or_else(|| item.span());
    out.no_spares = is_none(&item);
    if out.no_spares {
        return;
    }
    let Some(item) = unless_unknown(&item) else { return };
    for (key, item) in item.names("parts or roles by name, or `unknown` or `none`", reader).unwrap_or_default() {
        let folded = fold(&key.value);
        let known = if folded == "every part" {
            Some(folded)
        } else if names.is_part(&key.value) {
            names.find(&key.value).map(fold)
        } else {
            known_role(&key.value, words, names)
        };
        if let Some(known) = known {
            if let Some(first) = out.spares.get(&known) {
                reader.complain(
                    Diagnostic::error(
                        "duplicate-field",
                        key.span,
                        format!("`{}` means a part already spoken for", short(&key.value)),
                    )
                    .also(first.key.span, "first here")
                    .because("Only one of the two could count.")
                    .mend("keep one of the two"),
                );
                continue;
            }
            if let Some(spare) = spare(key, &item, reader) {
                out.spares.insert(known, spare);
            }
        } else {
            unknown_spare(&key, words, names, reader);
            spare(key, &item, reader);
        }
    }
}

fn known_role(key: &str, words: &Vocabulary, names: &Names) -> Option<String> {
    let role = words.role(key).ok()?;
    // For category other any word could be a role; only those in use count here.
    let other = words.category.names_own_roles();
    let used = names.roles.contains(&fold(&role.name)) || crate::vocab::role(words.category, key).is_some();
    (!other || used).then(|| fold(&role.name))
}

fn unknown_spare(key: &Spanned<String>, words: &Vocabulary, names: &Names, reader: &mut Reader<'_>) {
    let roles = crate::vocab::words::roles(words.category).map(|r| &*r.name);
    let mend = match near(&key.value, names.parts().chain(roles).chain(["every part"])) {
        Some(name) => format!("did you mean `{name}`?"),
        None => "write a part of this record, a role, or `every part`".to_owned(),
    };
    let message = format!("`{}` is neither a part of this record nor a role", short(&key.value));
    reader.complain(
        Diagnostic::error("unknown-reference", key.span, message)
            .because("The promise would speak for nothing.")
            .mend(mend),
    );
}

fn spare(key: Spanned<String>, item: &Item<'_>, reader: &mut Reader<'_>) -> Option<Spare> {
    let missing = |span| Facts::each(&[Of::Part], |p| Fact::missing(span, format!("{}.{}", item.path, p.path())));
    if is_none(item) {
        let mut none = missing(item.span());
        for (_, fact) in none.iter_mut().filter(|(p, _)| *p == Promise::To) {
            refuse(fact, Promise::To);
        }
        return Some(Spare { key, facts: none });
    }
    if unless_unknown(item).is_none() {
        // Said to be unknown, so what is said of every part doesn't speak for it.
        let mut said = missing(item.span());
        said.iter_mut().for_each(|(_, fact)| fact.stated = true);
        return Some(Spare { key, facts: said });
    }
    let fields = item.fields(&field_tables::SPARE, reader)?;
    let basis = facts::basis(&fields, reader);
    let source = fields.text("source", reader).map(|s| s.value);
    let mut said = Facts::each(&[Of::Part], |p| facts::promise(&fields, p, reader));
    for (_, fact) in said.iter_mut().filter(|(_, fact)| fact.stated) {
        fact.basis = fact.basis.or(basis);
        if fact.source.is_none() {
            fact.source.clone_from(&source);
        }
    }
    Some(Spare { key, facts: said })
}

/// States the worst word of a fact: nothing is offered.
fn refuse(fact: &mut Fact<Term>, promise: Promise) {
    let worst = promise.row().holds.words().len().saturating_sub(1);
    fact.known = Known::Is(Term::Word(u8::try_from(worst).unwrap_or(u8::MAX)));
    fact.stated = true;
}

fn information(fields: &Fields<'_>, out: &mut Support, reader: &mut Reader<'_>) {
    let Some(item) = fields.get("information") else { return };
    let rows = |(promise, fact)| (Promise::row(promise).of == Of::Information).then_some((promise, fact));
    if is_none(&item) {
        for (promise, fact) in out.facts.iter_mut().filter_map(rows) {
            // Nothing is offered, so nothing is paid for; the worst word keeps it from helping anywhere.
            fact.span = item.span();
            refuse(fact, promise);
        }
        return;
    }
    let Some(info) = unless_unknown(&item).and_then(|i| i.fields(&field_tables::INFORMATION, reader)) else { return };
    for (promise, fact) in out.facts.iter_mut().filter_map(rows) {
        *fact = facts::promise(&info, promise, reader);
    }
}

/// `marks`: method id, row, mark.
pub(super) fn marks(root: &Root<'_>, reader: &mut Reader<'_>) -> BTreeMap<String, BTreeMap<String, Fact<Exact>>> {
    let mut out = BTreeMap::new();
    for (method, item) in root.get(&root.marks).and_then(|m| m.names("methods by id", reader)).unwrap_or_default() {
        let mut rows = BTreeMap::new();
        for (row, item) in item.names("rows by name", reader).unwrap_or_default() {
            if let Some((mark, _)) = item.typed::<Fact<Mark>>(&field_tables::DESCRIBED, reader) {
                rows.insert(row.value, mark.map(|mark| mark.0.clone()));
            }
        }
        out.insert(method.value, rows);
    }
    out
}

/// `corrections`.
pub(super) fn corrections(root: &Root<'_>, reader: &mut Reader<'_>) -> Vec<Mended> {
    let items = root.get(&root.corrections).and_then(|r| r.list("a list of corrections", reader)).unwrap_or_default();
    items.iter().filter_map(|item| item.typed(&field_tables::DESCRIBED, reader)).map(|(mended, _)| mended).collect()
}

/// `remarks`.
pub(super) fn remarks(root: &Root<'_>, reader: &mut Reader<'_>) -> Vec<Remark> {
    let items = root.get(&root.remarks).and_then(|r| r.list("a list of remarks", reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some((fields, items)) = item.typed::<RemarkFields>(&field_tables::DESCRIBED, reader) else { continue };
        let sides = [(&fields.r#for, Side::For), (&fields.against, Side::Against), (&fields.note, Side::Neither)];
        let stated: Vec<_> = sides.into_iter().filter_map(|(text, side)| Some((text.as_ref()?, side))).collect();
        let [(text, side)] = &*stated else {
            reader.complain(
                Diagnostic::error(
                    "remark-side",
                    item.head(),
                    "a remark needs exactly one of `for`, `against` and `note`",
                )
                .because("The report says of each whether it speaks for the device, against it, or neither.")
                .mend("write `{for: text}`, `{against: text}` or `{note: text}`, one remark an item"),
            );
            continue;
        };
        let Some(text) = items.read(text, reader) else { continue };
        out.push(Remark {
            side: *side,
            text,
            at: fields.at,
            photos: Photo::all(fields.photo),
            path: item.path.clone(),
            drafted: fields.basis == Some(Basis::Drafted),
        });
    }
    out
}
