//! `actions` and `back`.

use super::words::Vocabulary;
use super::{after, facts, loosen, parts, tools};
use crate::exact::Exact;
use crate::record::forms::times;
use crate::record::{Action, Aim, Outcome, Refit, Teardown, tables};
use crate::text::fields::{Fields, Item, Reader};
use crate::text::{Diagnostic, Spanned};

/// The actions of a list; names are as written, ids and references not yet resolved.
pub(super) fn actions(
    root: &Fields<'_>,
    list: &str,
    words: &mut Vocabulary,
    teardown: &Teardown,
    reader: &mut Reader<'_>,
) -> Vec<Action> {
    let as_logged = root.get("order").is_some();
    let items = root.get(list).and_then(|a| a.list("a list of actions", reader)).unwrap_or_default();
    let mut out = Vec::new();
    for item in items {
        let Some(fields) = item.fields(&tables::ACTION, reader) else { continue };
        out.extend(action(&item, &fields, words, teardown, as_logged, list == "back", reader));
    }
    out
}

#[allow(clippy::too_many_arguments)] // one call, all of it the record's context
fn action(
    item: &Item<'_>,
    fields: &Fields<'_>,
    words: &mut Vocabulary,
    teardown: &Teardown,
    as_logged: bool,
    back: bool,
    reader: &mut Reader<'_>,
) -> Option<Action> {
    let aim = aim(fields, back, reader);
    let loosen = loosen::loosen(fields, words, reader);
    let with = tools::with(fields, words, reader);
    let outcome = fields.get("outcome").and_then(|o| o.word("an outcome", tables::OUTCOMES, reader));
    let outcomes = [Outcome::Done, Outcome::Failed, Outcome::NotAttempted];
    let safe = fields
        .get("makes safe")
        .and_then(|s| s.word("yes, no or together", &["yes", "no", "true", "false", "together"], reader))
        .map(|w| w.value);
    let action = Action {
        span: item.head(),
        path: item.path.clone(),
        id: fields.text("id", reader).map(|i| i.value).unwrap_or_default(),
        at: fields.get("at").and_then(|a| a.parse("a time such as `0:41`", times::moment, reader)),
        uncut: fields.yes_no("uncut", reader).map_or(teardown.uncut, |y| y.value),
        with,
        loosen_stated: fields.get("loosen").is_some(),
        loosen,
        after: after::after(fields, as_logged, reader),
        outcome: outcome.map_or(Spanned::new(Outcome::Done, item.head()), |o| Spanned::new(outcomes[o.value], o.span)),
        because: fields.text("because", reader).map(|b| b.value),
        destroys: facts::texts(fields, "destroys", reader),
        wears: facts::texts(fields, "wears", reader),
        aside: of_a_do(fields, "aside", reader).map_or_else(Vec::new, |_| facts::texts(fields, "aside", reader)),
        cleans: of_a_do(fields, "cleans", reader).and_then(|c| c.yes_no(reader)).is_some_and(|y| y.value),
        makes_safe: safe.is_some_and(|s| s % 2 == 0 && s < 4),
        safe_together: safe == Some(4),
        mains: fields.yes_no("mains", reader).is_some_and(|y| y.value),
        place: facts::stated(fields, "place", "a working environment", &facts::words, reader),
        skill: facts::stated(fields, "skill", "a skill level", &facts::words, reader),
        hazards: words.hazards(fields, reader),
        refit: refit(fields, reader),
        wait: fields
            .get("wait")
            .and_then(|w| w.parse("a duration such as `4 min`", times::duration, reader))
            .map(|w| Spanned::new(&w.value / &Exact::from(60), w.span)),
        takes: fields.get("takes").and_then(|t| t.parse("a duration such as `35 s`", times::duration_span, reader)),
        unreviewed: fields.yes_no("reviewed", reader).is_some_and(|y| !y.value),
        margin: facts::margin(fields, reader),
        aim: aim?,
    };
    Some(action)
}

/// A field that only a `do` has.
fn of_a_do<'t>(fields: &Fields<'t>, name: &str, reader: &mut Reader<'_>) -> Option<Item<'t>> {
    let item = fields.get(name)?;
    if fields.get("free").is_none() || fields.get("do").is_some() {
        return Some(item);
    }
    reader.complain(
        Diagnostic::error("only-in-do", item.head(), format!("`{name}` stands on an action that frees a part"))
            .because("It says what a `do` achieves: a part laid aside is not off yet, and cleaning takes nothing off.")
            .mend("write it as an action of its own with `do:`, before or after this one"),
    );
    None
}

/// `free` or `do`: exactly one of the two.
fn aim(fields: &Fields<'_>, back: bool, reader: &mut Reader<'_>) -> Option<Aim> {
    let (free, does) = (fields.get("free"), fields.get("do"));
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
            Diagnostic::error("no-aim", fields.head, "an action has neither `free` nor `do`")
                .because("Without one of them it achieves nothing that others could need.")
                .mend("add `free:` with the part it takes off, or `do:` with a name for what it does"),
        ),
        (Some(free), None) if back => reader.complain(
            Diagnostic::error("back-frees", free.head(), "an action on the way back has `free`")
                .because("Nothing comes off on the way back.")
                .mend("write `do:` with a name for what it does"),
        ),
        _ => {}
    }
    if let Some(free) = free {
        if let crate::text::yaml::NodeKind::List(items) = &free.node.kind
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

fn refit(fields: &Fields<'_>, reader: &mut Reader<'_>) -> Refit {
    let Some(refit) = fields.get("refit").and_then(|r| r.fields(&tables::REFIT, reader)) else {
        return Refit::default();
    };
    let mut texts = |name: &str| facts::texts(&refit, name, reader).into_iter().map(|t| t.value).collect();
    Refit {
        buy: texts("buy"),
        care: texts("care"),
        check: texts("check"),
        if_skipped: texts("if skipped"),
        span: refit.head,
    }
}
