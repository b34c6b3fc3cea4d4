//! `parts` and `absent`.

use super::facts;
use super::words::Vocabulary;
use crate::record::forms::known::yes_no;
use crate::record::{Part, SameAs, forms, tables};
use crate::text::fields::{Fields, Reader, short};
use crate::text::limits::MOST_ROLES;
use crate::text::{Diagnostic, Spanned, fold};

/// `parts`, in record order.
pub(super) fn parts(root: &Fields<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Part> {
    let entries = root.get("parts").and_then(|p| p.names("parts by name", reader)).unwrap_or_default();
    let mut out = Vec::new();
    for (name, item) in entries {
        usable_name(&name, reader);
        let mut part = Part {
            roles: Vec::new(),
            same_as: None,
            not_attempted: None,
            because: None,
            paired: crate::record::Fact::missing(name.span, format!("{}.paired", item.path)),
            hazards: Vec::new(),
            margin: crate::record::Margin::default(),
            name,
        };
        // The name counts even where the entry can't be read, so that it isn't reported as unknown elsewhere.
        if let Some(fields) = item.fields(&tables::PART, reader) {
            let roles = fields.get("role").map(|r| r.one_or_many()).unwrap_or_default();
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
            part.roles =
                roles.iter().take(MOST_ROLES).filter_map(|r| r.parse("a role", |t| words.role(t), reader)).collect();
            part.same_as = fields.get("same as").and_then(|item| {
                let text = item.text("the name of a part", reader)?;
                let (perhaps, at) = forms::perhaps(&text.value).map_or((false, 0), |at| (true, at));
                let name = text.value[at..].split_whitespace().collect::<Vec<_>>().join(" ");
                Some(SameAs { part: Spanned::new(name, text.span), perhaps, path: item.path.clone() })
            });
            let outcome = fields.get("outcome");
            let tried = outcome.and_then(|o| o.word("an outcome of a part", &["not attempted"], reader));
            part.not_attempted = tried.map(|o| o.span);
            part.because = fields.text("because", reader).map(|b| b.value);
            part.paired = facts::field(&fields, "paired", "yes or no", &yes_no, reader);
            part.hazards = words.hazards(fields.get("hazard"), reader);
            part.margin = facts::margin(&fields, reader);
        }
        out.push(part);
    }
    out
}

/// `absent`, by vocabulary name.
pub(super) fn absent(root: &Fields<'_>, words: &Vocabulary, reader: &mut Reader<'_>) -> Vec<Spanned<String>> {
    let items = root.get("absent").map(|i| i.one_or_many()).unwrap_or_default();
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
