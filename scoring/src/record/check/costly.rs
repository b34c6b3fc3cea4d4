//! What lowers a verdict without a word: a way that destroys something, an assumed order that puts a part deep.

use std::collections::{BTreeMap, BTreeSet};

use super::order::Reach;
use crate::record::{Action, After, Aim, Need, Outcome, Part, Record};
use crate::text::fields::short;
use crate::text::{Diagnostic, fold};

pub(super) fn check(record: &Record, out: &mut Vec<Diagnostic>) {
    destroys_its_own(record, out);
    only_by_damage(record, out);
    deep_by_assumption(record, out);
}

/// Parts with a role: those a method may ask for.
fn asked(record: &Record) -> impl Iterator<Item = &Part> {
    record.parts.iter().filter(|p| !p.roles.is_empty())
}

fn destroys_its_own(record: &Record, out: &mut Vec<Diagnostic>) {
    for action in record.actions.iter().filter(|a| a.outcome.value != Outcome::Failed) {
        for destroyed in &action.destroys {
            if !action.names().iter().any(|n| fold(n) == fold(&destroyed.value)) {
                continue;
            }
            let message = format!("`{}` destroys `{}`, which it frees", action.id, short(&destroyed.value));
            out.push(
                Diagnostic::warning("destroys-what-it-frees", destroyed.span, message)
                    .because("A part that comes off in pieces counts as one that can't be taken out.")
                    .mend("write `wears:` if it can be used again, or name the piece of it that breaks"),
            );
        }
    }
}

fn only_by_damage(record: &Record, out: &mut Vec<Diagnostic>) {
    let destroying: Vec<usize> =
        (0..record.actions.len()).filter(|&i| !record.actions[i].destroys.is_empty()).collect();
    if destroying.is_empty() {
        return;
    }
    let (all, whole) = (Reach::of(record), Reach::among(record, &|i| !destroying.contains(&i)));
    // By the actions none of which can be left out, the parts that come off by them only.
    let mut found: BTreeMap<Vec<usize>, Vec<&str>> = BTreeMap::new();
    let without: Vec<Reach<'_>> = destroying.iter().map(|d| Reach::among(record, &|i| i != *d)).collect();
    for part in asked(record) {
        let name = &*part.name.value;
        if !all.achieves(name) || whole.achieves(name) {
            continue;
        }
        let needed = destroying.iter().zip(&without).filter(|(_, r)| !r.achieves(name)).map(|(d, _)| *d);
        let needed: Vec<usize> = needed.collect();
        // Said already, where what is destroyed is the part itself.
        let own = |&d: &usize| {
            let action = &record.actions[d];
            let itself = |n: &&str| fold(n) == fold(name);
            action.names().iter().any(itself) && action.destroys.iter().all(|n| fold(&n.value) == fold(name))
        };
        if !needed.is_empty() && needed.iter().all(own) {
            continue;
        }
        found.entry(if needed.is_empty() { destroying.clone() } else { needed }).or_default().push(name);
    }
    for (actions, parts) in found {
        let of = |i: usize| &record.actions[i];
        let names: Vec<&str> = of(actions[0]).destroys.iter().map(|d| &*d.value).collect();
        let parts = match parts.as_slice() {
            [one] => format!("`{one}`"),
            [one, other] => format!("`{one}` and `{other}`"),
            [one, rest @ ..] => format!("`{one}` and {} more with a role", rest.len()),
            [] => continue,
        };
        let message =
            format!("`{}` destroys {}, and no way to {parts} leaves that out", of(actions[0]).id, names.join(" and "));
        let mut made = Diagnostic::warning("only-by-damage", of(actions[0]).destroys[0].span, message);
        for &other in &actions[1..] {
            made = made.also(of(other).destroys[0].span, "so does this");
        }
        out.push(
            made.because("A part whose every way destroys something counts as one that can't be taken out.")
                .mend("write `wears:` for what can be lived with, or add the way that destroys nothing"),
        );
    }
}

fn deep_by_assumption(record: &Record, out: &mut Vec<Diagnostic>) {
    let Some(order) = record.as_logged else { return };
    let deep: Vec<(&str, usize, usize)> = asked(record)
        .map(|part| {
            let depth = |logged: bool| {
                let mut taken = BTreeSet::new();
                walk(record, &part.name.value, logged, &mut taken);
                taken.iter().filter(|&&i| matches!(record.actions[i].aim, Aim::Free(_))).count()
            };
            (&*part.name.value, depth(true), depth(false))
        })
        .filter(|(_, logged, stated)| *logged > 2 * stated)
        .collect();
    let Some((name, logged, stated)) = deep.iter().max_by_key(|(_, logged, stated)| logged - stated) else { return };
    let more = match deep.len() {
        0 | 1 => String::new(),
        2 => "; so it is for one more part".to_owned(),
        n => format!("; so it is for {} more", n - 1),
    };
    let message = format!("`as logged` puts `{name}` {logged} removals deep, {stated} by what is stated{more}");
    out.push(
        Diagnostic::warning("order-assumed-deep", order, message)
            .because("What was done first needn't be in the way, and depth is what most methods count.")
            .mend("write `after: []` where an action can be done on the closed device, or name what it needs"),
    );
}

/// The actions that come before a name, and the one that achieves it; the first way to each.
fn walk(record: &Record, name: &str, logged: bool, taken: &mut BTreeSet<usize>) {
    let mut open = vec![name.to_owned()];
    while let Some(name) = open.pop() {
        let achieves = |a: &Action| a.outcome.value != Outcome::Failed && a.names().contains(&&*name);
        let Some(at) = record.actions.iter().position(achieves) else { continue };
        if !taken.insert(at) {
            continue;
        }
        match &record.actions[at].after.value {
            After::Needs(needs) => needs.iter().for_each(|n| first(n, &mut open)),
            After::Above if logged => {
                let above = record.above(at).next().map(|a| &record.actions[a]);
                open.extend(above.into_iter().flat_map(Action::names).map(str::to_owned));
            }
            After::Above | After::Unknown => {}
        }
    }
}

fn first(need: &Need, out: &mut Vec<String>) {
    match need {
        Need::Is(name) => out.push(name.value.clone()),
        Need::OneOf(names, _) => out.extend(names.first().map(|n| n.value.clone())),
        Need::Perhaps(_) => {}
        Need::Any(members, _) => members.first().into_iter().flatten().for_each(|n| first(n, out)),
    }
}
