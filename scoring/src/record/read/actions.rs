//! `actions` and `back`.

use serde::de::DeserializeOwned;

use super::words::Vocabulary;
use super::{Root, after, loosen, parts, tools};
use crate::record::written::MakesSafe;
use crate::record::{Action, ActionFields, Aim, Margin, Outcome, Photo, Teardown, field_tables};
use crate::text::fields::{Item, Items, Reader, Unread};
use crate::text::{Diagnostic, Spanned};

/// The actions of a list; names are as written, ids and references not yet resolved.
pub(super) fn actions(
    root: &Root<'_>,
    back: bool,
    words: &mut Vocabulary,
    teardown: &Teardown,
    reader: &mut Reader<'_>,
) -> Vec<Action> {
    let as_logged = root.order.is_some();
    let items = root
        .get(if back { &root.back } else { &root.actions })
        .and_then(|a| a.list("a list of actions", reader))
        .unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some((fields, items)) = item.typed(&field_tables::DESCRIBED, reader) else { continue };
        let entry = Entry { item: &item, items: &items, back, as_logged };
        out.extend(action(&entry, fields, words, teardown, reader));
    }
    out
}

/// An action as it stands in the list.
struct Entry<'a, 't> {
    item: &'a Item<'t>,
    /// What of its fields is still to be read.
    items: &'a Items<'t>,
    back: bool,
    as_logged: bool,
}

impl<'t> Entry<'_, 't> {
    fn get<T>(&self, field: &Option<Unread<T>>) -> Option<Item<'t>> {
        self.items.get(field)
    }
}

fn action(
    entry: &Entry<'_, '_>,
    mut fields: ActionFields,
    words: &mut Vocabulary,
    teardown: &Teardown,
    reader: &mut Reader<'_>,
) -> Option<Action> {
    let head = entry.item.head();
    let aim = aim(entry, &fields, reader);
    let loosened = entry.get(&fields.loosen);
    let safe = fields.makes_safe;
    let action = Action {
        span: head,
        path: entry.item.path.clone(),
        id: fields.id.take().unwrap_or_default(),
        uncut: fields.uncut.unwrap_or(teardown.uncut),
        loosen_stated: loosened.is_some(),
        loosen: loosened.map(|item| loosen::loosen(&item, words, reader)).unwrap_or_default(),
        with: tools::with(entry.get(&fields.with), entry.item, words, reader),
        after: after::after(entry.get(&fields.after), head, entry.as_logged, reader),
        outcome: fields.outcome.take().unwrap_or(Spanned::new(Outcome::Done, head)),
        aside: of_a_do(entry, &fields, "aside", fields.aside.as_ref(), reader).unwrap_or_default().0,
        cleans: of_a_do(entry, &fields, "cleans", fields.cleans.as_ref(), reader).unwrap_or_default(),
        makes_safe: safe == Some(MakesSafe::Yes),
        safe_together: safe == Some(MakesSafe::Together),
        hazards: words.hazards(entry.get(&fields.hazard), reader),
        margin: Margin {
            basis: fields.basis,
            source: fields.source.take(),
            note: fields.note.take(),
            photos: Photo::all(std::mem::take(&mut fields.photo)),
        },
        aim: aim?,
        fields,
    };
    Some(action)
}

/// The value of a field that only a `do` has.
fn of_a_do<T: DeserializeOwned>(
    entry: &Entry<'_, '_>,
    fields: &ActionFields,
    name: &str,
    field: Option<&Unread<T>>,
    reader: &mut Reader<'_>,
) -> Option<T> {
    let field = field?;
    if fields.free.is_none() || fields.r#do.is_some() {
        return entry.items.read(field, reader);
    }
    reader.complain(
        Diagnostic::error(
            "only-in-do",
            entry.items.item(field).head(),
            format!("`{name}` stands on an action that frees a part"),
        )
        .because("It says what a `do` achieves: a part laid aside is not off yet, and cleaning takes nothing off.")
        .mend("write it as an action of its own with `do:`, before or after this one"),
    );
    None
}

/// `free` or `do`: exactly one of the two.
fn aim(entry: &Entry<'_, '_>, fields: &ActionFields, reader: &mut Reader<'_>) -> Option<Aim> {
    let (free, does) = (entry.get(&fields.free), entry.get(&fields.r#do));
    match (&free, &does) {
        (Some(free), Some(does)) => {
            let (free, does) = (free.head(), does.head());
            let (first, second) = if free <= does { (free, does) } else { (does, free) };
            reader.complain(
                Diagnostic::error("two-aims", second, "an action has both `free` and `do`")
                    .also(first, "the other one")
                    .because("`free` takes parts off, `do` frees nothing; one entry can't be both.")
                    .mend("keep `free`; if something is needed before it, write that as an action of its own"),
            );
        }
        (None, None) => reader.complain(
            Diagnostic::error("no-aim", entry.item.head(), "an action has neither `free` nor `do`")
                .because("Without one of them it achieves nothing that others could need.")
                .mend("add `free:` with the part it takes off, or `do:` with a name for what it does"),
        ),
        (Some(free), None) if entry.back => reader.complain(
            Diagnostic::error("back-frees", free.head(), "an action on the way back has `free`")
                .because("Nothing comes off on the way back.")
                .mend("write `do:` with a name for what it does"),
        ),
        _ => {}
    }
    if let Some(free) = free {
        if let crate::text::yaml::YamlKind::List(items) = &free.node.kind
            && items.is_empty()
        {
            free.wrong_shape("the name of a part", reader);
        }
        let names: Vec<_> = free.one_or_many().iter().filter_map(|i| name(i, reader)).collect();
        return (!names.is_empty()).then_some(Aim::Free(names));
    }
    name(&does?, reader).map(Aim::Do)
}

fn name(item: &Item<'_>, reader: &mut Reader<'_>) -> Option<Spanned<String>> {
    let text = item.text("a name", reader)?;
    let name = Spanned::new(text.value.split_whitespace().collect::<Vec<_>>().join(" "), text.span);
    parts::usable_name(&name, reader);
    Some(name)
}
