//! `support`, `marks`, `remarks`.

use std::collections::BTreeMap;

use super::device::unless_unknown;
use super::facts;
use super::names::Names;
use super::words::Vocabulary;
use crate::exact::Exact;
use crate::record::forms::times;
use crate::record::joined::each_spare_fact;
use crate::record::{Fact, Known, Remark, Side, Spare, Support, tables};
use crate::text::fields::{Fields, Item, Reader, short};
use crate::text::yaml::Node;
use crate::text::{Diagnostic, Span, Spanned, fold, near};
use crate::vocab::Access;

/// `support`; every fact unknown where it is left out.
pub(super) fn support(root: &Fields<'_>, words: &Vocabulary, names: &Names, reader: &mut Reader<'_>) -> Support {
    let item = root.get("support").and_then(|s| unless_unknown(&s));
    item.map_or_else(|| unstated(root.head), |item| support_of(&item, words, names, reader))
}

/// What stands under `support`, or would if a table's lines stood there.
pub(super) fn support_of(item: &Item<'_>, words: &Vocabulary, names: &Names, reader: &mut Reader<'_>) -> Support {
    let Some(fields) = item.fields(&tables::SUPPORT, reader) else { return unstated(item.head()) };
    let mut out = unstated(fields.head);
    spares(&fields, words, names, &mut out, reader);
    of_device(&fields, &mut out, reader);
    out
}

/// Reads every value under a `support`, whatever record it is for.
pub(super) fn values(node: &Node, reader: &mut Reader<'_>) {
    let item = Item { node, key: None, path: "support".to_owned() };
    let Some(fields) = item.fields(&tables::SUPPORT, reader) else { return };
    let parts = fields.get("spare parts").and_then(|s| s.names("parts by name", reader)).unwrap_or_default();
    for (key, item) in parts {
        spare(key, &item, reader);
    }
    of_device(&fields, &mut unstated(fields.head), reader);
}

/// Facts about the whole device.
fn of_device(fields: &Fields<'_>, out: &mut Support, reader: &mut Reader<'_>) {
    information(fields, out, reader);
    let read = &facts::years;
    out.updates = facts::field(fields, "updates", "years", read, reader);
    out.security_updates = facts::field(fields, "security updates", "years", read, reader);
    let mut word = |name: &str, what: &str, all: &[&'static str]| {
        facts::field(fields, name, what, &|t| facts::spelled(t, what, all), reader)
    };
    out.diagnosis = word("diagnosis", "a sort of diagnosis", tables::DIAGNOSES);
    out.returns = word("return options", "a sort of return options", tables::SCOPES);
    out.data = word("data transfer and deletion", "a way of data transfer and deletion", tables::DATA);
    out.reset = word("reset", "a sort of reset", tables::RESETS);
}

fn unstated(span: Span) -> Support {
    fn missing<T>(span: Span, name: &str) -> Fact<T> {
        Fact::missing(span, format!("support.{name}"))
    }
    Support {
        spares: BTreeMap::new(),
        spares_span: span,
        no_spares: false,
        tabled: BTreeMap::new(),
        tables: Vec::new(),
        information_to: missing(span, "information.to"),
        information_free: missing(span, "information.cost"),
        information_scope: missing(span, "information.scope"),
        updates: missing(span, "updates"),
        security_updates: missing(span, "security updates"),
        diagnosis: missing(span, "diagnosis"),
        returns: missing(span, "return options"),
        data: missing(span, "data transfer and deletion"),
        reset: missing(span, "reset"),
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
    let missing = |span| Spare {
        to: Fact::missing(span, format!("{}.to", item.path)),
        years: Fact::missing(span, format!("{}.years", item.path)),
        delivery: Fact::missing(span, format!("{}.delivery", item.path)),
        price: Fact::missing(span, format!("{}.price", item.path)),
        price_published: Fact::missing(span, format!("{}.price published", item.path)),
        interface: Fact::missing(span, format!("{}.interface", item.path)),
        pairing: Fact::missing(span, format!("{}.pairing", item.path)),
        key: key.clone(),
    };
    if is_none(item) {
        let mut spare = missing(item.span());
        spare.to = Fact { stated: true, ..Fact::implied(Known::Is(Access::None), item.span(), spare.to.path.clone()) };
        return Some(spare);
    }
    if unless_unknown(item).is_none() {
        // Said to be unknown, so what is said of every part doesn't speak for it.
        let mut spare = missing(item.span());
        macro_rules! said {
            ($($fact:ident),+) => { $( spare.$fact.stated = true; )+ };
        }
        each_spare_fact!(said);
        return Some(spare);
    }
    let fields = item.fields(&tables::SPARE, reader)?;
    let basis = facts::basis(&fields, reader);
    let source = fields.text("source", reader).map(|s| s.value);
    let pairings = tables::pairings();
    let pairing = |t: &str| facts::spelled(t, "access to pairing", &pairings);
    let interface = |t: &str| facts::spelled(t, "an interface", tables::INTERFACES);
    let mut spare = Spare {
        to: facts::field(&fields, "to", "a target group", &facts::words, reader),
        years: facts::field(&fields, "years", "years such as `7 years`", &facts::years, reader),
        delivery: facts::field(
            &fields,
            "delivery",
            "working days such as `3 working days`",
            &facts::working_days,
            reader,
        ),
        price: facts::field(&fields, "price", "a price such as `19 EUR`", &facts::money, reader),
        price_published: facts::field(&fields, "price published", "yes or no", &facts::yes_no, reader),
        interface: facts::field(&fields, "interface", "an interface", &interface, reader),
        pairing: facts::field(&fields, "pairing", "access to pairing", &pairing, reader),
        key,
    };
    macro_rules! inherit {
        ($($field:ident),+) => { $(
            if spare.$field.stated {
                spare.$field.basis = spare.$field.basis.or(basis);
                if spare.$field.source.is_none() {
                    spare.$field.source.clone_from(&source);
                }
            }
        )+ };
    }
    inherit!(to, years, delivery, price, price_published, interface, pairing);
    Some(spare)
}

fn information(fields: &Fields<'_>, out: &mut Support, reader: &mut Reader<'_>) {
    let Some(item) = fields.get("information") else { return };
    if is_none(&item) {
        let fact = |path: &str| (item.span(), format!("support.information.{path}"));
        let (span, path) = fact("to");
        out.information_to = Fact { stated: true, ..Fact::implied(Known::Is(Access::None), span, path) };
        let (span, path) = fact("scope");
        out.information_scope = Fact { stated: true, ..Fact::implied(Known::Is("none".to_owned()), span, path) };
        // Nothing is offered, so nothing is paid for; the worst word keeps it from helping anywhere.
        let (span, path) = fact("cost");
        out.information_free = Fact { stated: true, ..Fact::implied(Known::Is(false), span, path) };
        return;
    }
    let Some(info) = unless_unknown(&item).and_then(|i| i.fields(&tables::INFORMATION, reader)) else { return };
    out.information_to = facts::field(&info, "to", "a target group", &facts::words, reader);
    let cost = |t: &str| {
        crate::record::forms::known::known(t, &|t| {
            crate::text::fields::find_word(t, "a cost", tables::COSTS).map(|i| i == 0)
        })
    };
    out.information_free = facts::field(&info, "cost", "`free` or `fee`", &cost, reader);
    let scope = |t: &str| facts::spelled(t, "a scope", tables::SCOPES);
    out.information_scope = facts::field(&info, "scope", "a scope", &scope, reader);
}

/// `marks`: method id, row, mark.
pub(super) fn marks(root: &Fields<'_>, reader: &mut Reader<'_>) -> BTreeMap<String, BTreeMap<String, Fact<Exact>>> {
    let mut out = BTreeMap::new();
    for (method, item) in root.get("marks").and_then(|m| m.names("methods by id", reader)).unwrap_or_default() {
        let mut rows = BTreeMap::new();
        for (row, item) in item.names("rows by name", reader).unwrap_or_default() {
            if let Some(mark) = facts::fact(&item, "a mark from 0 to 10", &facts::mark, reader) {
                rows.insert(row.value, mark);
            }
        }
        out.insert(method.value, rows);
    }
    out
}

/// `remarks`.
pub(super) fn remarks(root: &Fields<'_>, reader: &mut Reader<'_>) -> Vec<Remark> {
    let items = root.get("remarks").and_then(|r| r.list("a list of remarks", reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some(fields) = item.fields(&tables::REMARK, reader) else { continue };
        let at = fields.get("at").and_then(|a| a.parse("a time such as `0:41`", times::moment, reader));
        let photos = facts::photos(&fields, reader);
        let sides = [("for", Side::For), ("against", Side::Against), ("note", Side::Neither)];
        let stated: Vec<_> = sides.into_iter().filter_map(|(name, side)| Some((fields.get(name)?, side))).collect();
        let [(item, side)] = &*stated else {
            reader.complain(
                Diagnostic::error(
                    "remark-side",
                    fields.head,
                    "a remark needs exactly one of `for`, `against` and `note`",
                )
                .because("The report says of each whether it speaks for the device, against it, or neither.")
                .mend("write `{for: text}`, `{against: text}` or `{note: text}`, one remark an item"),
            );
            continue;
        };
        let Some(text) = item.text("text", reader) else { continue };
        out.push(Remark { side: *side, text, at: at.map(|a| a.value), photos });
    }
    out
}
