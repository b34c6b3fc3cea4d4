//! `after`: what must be off or done before.

use crate::record::entries::AnyFields;
use crate::record::field_tables::DESCRIBED;
use crate::record::forms::{countable, perhaps, pieces};
use crate::record::{After, Need};
use crate::text::fields::{Bad, Item, Reader, short};
use crate::text::yaml::YamlKind;
use crate::text::{Diagnostic, Span, Spanned, fold};

/// How deep `any` may nest.
const DEEPEST: usize = 3;

/// `after` of an action that starts at `head`; names are as written.
pub(super) fn after(item: Option<Item<'_>>, head: Span, as_logged: bool, reader: &mut Reader<'_>) -> Spanned<After> {
    let Some(item) = item else {
        return Spanned::new(if as_logged { After::Above } else { After::Unknown }, head);
    };
    let value = match item.node.text().map(fold).as_deref() {
        Some("unknown") => After::Unknown,
        Some("nothing") => After::Needs(Vec::new()),
        // What could not be read is not an order nobody stated.
        _ => After::Needs(item.one_or_many().iter().filter_map(|i| need(i, 1, reader)).collect()),
    };
    Spanned::new(value, item.span())
}

fn need(item: &Item<'_>, depth: usize, reader: &mut Reader<'_>) -> Option<Need> {
    let wanted = "a name, or `{any: [a, b]}`";
    match &item.node.kind {
        YamlKind::Map(_) => any(item, depth, reader),
        YamlKind::List(_) => {
            item.wrong_shape(wanted, reader);
            None
        }
        YamlKind::Scalar(_) => {
            let text = item.text(wanted, reader)?;
            let raw = item.node.text()?;
            let lead = raw.len() - raw.trim_start().len();
            if let Some(at) = perhaps(raw.trim_start()).map(|at| lead + at) {
                let piece = raw[at..].trim();
                if piece.contains('|') {
                    let bad = Bad::new(0..raw.len(), "`perhaps` can't stand before several names");
                    item.bad(bad.mend("write one name behind it, or `a | b` if one of the two is needed"), reader);
                    return None;
                }
                let span = item.part(at..at + piece.len(), reader);
                return name(piece, span, reader).map(Need::Perhaps);
            }
            let pieces = pieces(raw, "|");
            if let Err(bad) = countable(raw, pieces.iter().map(|p| p.0)) {
                item.bad(bad, reader);
                return None;
            }
            let mut names: Vec<Spanned<String>> = Vec::new();
            for (at, piece) in pieces {
                let span = item.part(at..at + piece.len(), reader);
                names.push(name(piece, span, reader)?);
            }
            if names.len() > 1 { Some(Need::OneOf(names, text.span)) } else { names.pop().map(Need::Is) }
        }
    }
}

fn name(text: &str, span: Span, reader: &mut Reader<'_>) -> Option<Spanned<String>> {
    if matches!(&*fold(text), "unknown" | "nothing" | "") {
        let message = if text.is_empty() {
            "a name is missing here".to_owned()
        } else {
            format!("`{}` can't be one of several things needed", short(text))
        };
        reader.complain(
            Diagnostic::error("wrong-value", span, message)
                .because("What is needed here can't be told.")
                .mend("write it alone (`after: unknown`), or name what is needed"),
        );
        return None;
    }
    Some(Spanned::new(text.split_whitespace().collect::<Vec<_>>().join(" "), span))
}

fn any(item: &Item<'_>, depth: usize, reader: &mut Reader<'_>) -> Option<Need> {
    let (fields, items) = item.typed::<AnyFields>(&DESCRIBED, reader)?;
    if depth > DEEPEST {
        reader.complain(
            Diagnostic::error("any-too-deep", item.head(), format!("`any` nests more than {DEEPEST} deep here"))
                .because("Deeper conditions can't be read by eye, and no real device needs them.")
                .mend("give the inner condition a name: a `do` of its own with that `after`"),
        );
        return None;
    }
    let list = items.get(&fields.any.0)?;
    let members = list.list("a list of names", reader)?;
    if members.is_empty() {
        reader.complain(
            Diagnostic::error("wrong-value", list.span(), "`any` has no member")
                .because("One of nothing can never be met.")
                .mend("name at least two ways, or delete it"),
        );
        return None;
    }
    let mut out = Vec::new();
    let mut whole = true;
    for member in members {
        if matches!(&member.node.kind, YamlKind::List(items) if items.is_empty()) {
            reader.complain(
                Diagnostic::error("wrong-value", member.span(), "a member of `any` asks for nothing")
                    .because("Nothing is always met, so the whole would ask for nothing.")
                    .mend("name what is needed, or take the `any` out if nothing is"),
            );
            return None;
        }
        let read: Vec<Option<Need>> = member.one_or_many().iter().map(|i| need(i, depth + 1, reader)).collect();
        whole &= read.iter().all(Option::is_some);
        out.push(read.into_iter().flatten().collect());
    }
    // Half a condition would be judged as if it were whole.
    whole.then(|| Need::Any(out, item.head()))
}
