//! `parts` and `absent`.

use super::Root;
use super::words::Vocabulary;
use crate::record::{Margin, Part, PartFields, Photo, Role, SameAs, field_tables, forms};
use crate::text::fields::{Item, Reader, left_out, short};
use crate::text::limits::MOST_ROLES;
use crate::text::{Diagnostic, Spanned, fold};

/// `parts`, in record order.
pub(super) fn parts(root: &Root<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Part> {
    let entries = root.get(&root.parts).and_then(|p| p.names("parts by name", reader)).unwrap_or_default();
    let mut out = Vec::new();
    for (name, item) in entries {
        usable_name(&name, reader);
        // The name counts even where the entry can't be read, so that it isn't reported as unknown elsewhere.
        let (mut fields, items) = match item.typed::<PartFields>(&field_tables::DESCRIBED, reader) {
            Some((fields, items)) => (fields, Some(items)),
            None => match left_out(name.span, &item.path) {
                Some(fields) => (fields, None),
                None => continue,
            },
        };
        let roles = items.as_ref().and_then(|items| items.get(&fields.role)).map(|roles| roles.one_or_many());
        let same = items.as_ref().and_then(|items| items.get(&fields.same_as));
        let hazards = items.as_ref().and_then(|items| items.get(&fields.hazard));
        out.push(Part {
            name,
            roles: part_roles(&roles.unwrap_or_default(), words, reader),
            same_as: same.and_then(|item| same_as(&item, reader)),
            not_attempted: fields.outcome.as_ref().map(|o| o.span),
            hazards: words.hazards(hazards, reader),
            margin: Margin {
                basis: fields.basis,
                source: fields.source.take(),
                note: fields.note.take(),
                photos: Photo::all(std::mem::take(&mut fields.photo)),
            },
            fields,
        });
    }
    out
}

fn part_roles(roles: &[Item<'_>], words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Spanned<Role>> {
    if let Some(further) = roles.get(MOST_ROLES) {
        reader.complain(
            Diagnostic::error(
                "too-many-entries",
                further.node.span,
                format!("more than {MOST_ROLES} roles of one part"),
            )
            .because("A piece that does everything fills a dozen.")
            .mend("name the roles this part fills, and write other parts apart"),
        );
    }
    roles.iter().take(MOST_ROLES).filter_map(|r| r.parse("a role", |t| words.role(t), reader)).collect()
}

fn same_as(item: &Item<'_>, reader: &mut Reader<'_>) -> Option<SameAs> {
    let text = item.text("the name of a part", reader)?;
    let (perhaps, at) = forms::perhaps(&text.value).map_or((false, 0), |at| (true, at));
    let name = text.value[at..].split_whitespace().collect::<Vec<_>>().join(" ");
    Some(SameAs { part: Spanned::new(name, text.span), perhaps, path: item.path.clone() })
}

/// `absent`, by vocabulary name.
pub(super) fn absent(root: &Root<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Spanned<String>> {
    let items = root.get(&root.absent).map(|i| i.one_or_many()).unwrap_or_default();
    items.iter().filter_map(|i| i.parse("a role", |t| words.role(t).map(|r| r.name), reader)).collect()
}

/// Complains about a name of a part or `do` that could not be written where names stand.
pub(super) fn usable_name(name: &Spanned<String>, reader: &mut Reader<'_>) {
    let text = fold(&name.value);
    let reserved =
        matches!(&*text, "unknown" | "one unknown" | "nothing" | "") || forms::perhaps(&name.value).is_some();
    if name.value.contains('|') || reserved {
        reader.complain(
            Diagnostic::error("reserved-name", name.span, format!("`{}` can't be a name", short(&name.value)))
                .because("`|`, `nothing`, `perhaps` and `unknown` have a meaning of their own where names stand.")
                .mend("choose another name"),
        );
    }
}
