//! Variants: a file with `extends` starts from another record. Trees are merged, so every place stays that of the file
//! it was written in. What was observed on the bench of the base is not taken over: nobody took the variant apart there.

use std::collections::BTreeSet;

use super::names::free_id;
use super::parsed;
use crate::record::Base;
use crate::text::fields::short;
use crate::text::yaml::{Scalar, YamlEntry, YamlKind, YamlNode};
use crate::text::{Diagnostic, FileId, Source, Sources, Span, fold, near};
use crate::vocab::Basis;
use crate::vocab::class::Words;

/// How many files one record may be made from.
const MOST: usize = 16;

type Load<'l> = &'l mut dyn FnMut(&str) -> Result<Source, String>;

/// A record with all it extends.
pub(super) struct Merged {
    /// The tree.
    pub(super) root: YamlNode,
    /// What it is made from, the nearest first.
    pub(super) bases: Vec<Base>,
    /// What variants take out, with the place.
    pub(super) without: Vec<(String, Span)>,
}

/// The tree of a record with all it extends merged in; `None` after an error that ends reading.
pub(super) fn merged(
    sources: &mut Sources,
    file: FileId,
    load: Load<'_>,
    problems: &mut Vec<Diagnostic>,
) -> Option<Merged> {
    // From the variant to its bases.
    let mut chain = vec![parsed(sources, file, problems)?];
    let mut seen = vec![(normal(&sources.get(file).name), Span { file, ..Span::default() })];
    let mut from = file;
    while let Some((path, span)) = extended(&chain[chain.len() - 1]) {
        let target = joined(&sources.get(from).name, &path);
        let again = seen.iter().position(|(name, _)| *name == target);
        if let Some(again) = again {
            let mut names: Vec<_> = seen[again..].iter().map(|(name, _)| &**name).collect();
            names.push(&target);
            let mut circle = Diagnostic::error(
                "extends-circle",
                span,
                format!("records extend each other in a circle: {}", names.join(" -> ")),
            )
            .because("No file in the circle says where to start.")
            .mend("let one of them stand alone, without `extends`");
            for (_, place) in seen[again + 1..].iter().filter(|(_, place)| *place != span) {
                circle = circle.also(*place, "extended here");
            }
            problems.push(circle);
            return None;
        }
        if chain.len() >= MOST {
            problems.push(
                Diagnostic::error("extends-circle", span, format!("more than {MOST} records extend one another"))
                    .because("Nobody can follow that many.")
                    .mend("merge some of them into one file"),
            );
            return None;
        }
        let source = match load(&target) {
            Ok(source) => source,
            Err(reason) => {
                problems.push(
                    Diagnostic::error(
                        "extends-missing",
                        span,
                        format!("the record this extends can't be read: {}", short(&target)),
                    )
                    .because(format!("{reason}."))
                    .mend("write the path of a record, relative to this file"),
                );
                return None;
            }
        };
        from = sources.add(source);
        seen.push((target, span));
        chain.push(parsed(sources, from, problems)?);
    }
    let mut bases: Vec<Base> = Vec::new();
    let mut without = Vec::new();
    let mut root = chain.pop()?;
    while let Some(variant) = chain.pop() {
        let device = root.get("device").and_then(|d| d.value.get("name")).and_then(|n| n.value.text());
        bases.insert(0, Base { file: root.span.file, device: device.map(|d| d.trim().to_owned()) });
        let base = sources.get(root.span.file).name.to_string();
        root = apply(&root, &variant, &base, &mut without, problems);
    }
    Some(Merged { root, bases, without })
}

/// Fields at the top that tell what happened on one bench.
const OBSERVED: [&str; 5] = ["own verdict", "put back", "remarks", "corrections", "notes"];
/// Fields of `teardown` that tell when, where, by whom and how it was filmed.
const CIRCUMSTANCES: [&str; 5] = ["date", "by", "video", "place of work", "uncut"];
/// Fields of `device` that are those of one unit or one registered product.
const OF_THE_UNIT: [&str; 2] = ["condition", "register number"];
/// Fields of actions and parts that show the base: footage and pictures.
const SHOWN: [&str; 3] = ["at", "uncut", "photo"];

/// A base as a variant takes it over: without what was observed on its bench.
fn taken_over(base: &YamlNode) -> YamlNode {
    let mut root = base.clone();
    drop_fields(&mut root, &OBSERVED);
    let YamlKind::Map(entries) = &mut root.kind else { return root };
    for entry in entries {
        match &*fold(&entry.key) {
            "teardown" => drop_fields(&mut entry.value, &CIRCUMSTANCES),
            "device" => drop_fields(&mut entry.value, &OF_THE_UNIT),
            "actions" | "back" | "parts" => each(&mut entry.value, &mut |node| drop_fields(node, &SHOWN)),
            _ => {}
        }
    }
    root
}

/// Whether a field tells what was observed on one bench, which no variant takes over; by keys from the root down, those of
/// the entries of lists left out.
pub(crate) fn observed(keys: &[&str]) -> bool {
    match keys {
        [top] => OBSERVED.contains(top),
        ["teardown", field] => CIRCUMSTANCES.contains(field),
        ["device", field] => OF_THE_UNIT.contains(field),
        ["actions" | "back", field] | ["parts", _, field] => SHOWN.contains(field),
        _ => false,
    }
}

/// Whether one record is a variant of another: made from its text.
pub(crate) fn made_from(sources: &Sources, variant: &YamlNode, base: &YamlNode) -> bool {
    let name = |node: &YamlNode| normal(&sources.get(node.span.file).name);
    let base = name(base);
    name(variant) != base && any(variant, &|node| name(node) == base)
}

fn any(node: &YamlNode, is: &dyn Fn(&YamlNode) -> bool) -> bool {
    is(node)
        || match &node.kind {
            YamlKind::Map(entries) => entries.iter().any(|e| any(&e.value, is)),
            YamlKind::List(items) => items.iter().any(|item| any(item, is)),
            YamlKind::Scalar(_) => false,
        }
}

fn drop_fields(node: &mut YamlNode, names: &[&str]) {
    if let YamlKind::Map(entries) = &mut node.kind {
        entries.retain(|e| !names.contains(&fold(&e.key).as_str()));
    }
}

fn each(node: &mut YamlNode, then: &mut dyn FnMut(&mut YamlNode)) {
    match &mut node.kind {
        YamlKind::List(items) => items.iter_mut().for_each(then),
        YamlKind::Map(entries) => entries.iter_mut().for_each(|e| then(&mut e.value)),
        YamlKind::Scalar(_) => {}
    }
}

/// Two records whose facts have other bases where none is stated, each with its own written into what it says: a fact that
/// both state alike is one. `None`: they have the same.
pub(crate) fn on_one_basis(records: [&YamlNode; 2]) -> Option<[YamlNode; 2]> {
    let stated = records.map(|r| Some(fold(r.get("teardown")?.value.get("basis")?.value.text()?)));
    (stated[0] != stated[1]).then(|| {
        records.map(|record| {
            let mut record = record.clone();
            keep_basis(&mut record);
            record
        })
    })
}

/// Writes the basis of a base into what it says, so that a variant with a basis of its own (a design study: `planned`)
/// does not change what was seen on the base.
fn keep_basis(root: &mut YamlNode) {
    let stated = root.get("teardown").and_then(|t| t.value.get("basis")).map(|e| e.value.clone());
    let YamlKind::Map(entries) = &mut root.kind else { return };
    for entry in entries {
        let value = |at: &YamlNode| {
            let usual = YamlKind::Scalar(Scalar { text: Basis::Seen.word().to_owned(), plain: true });
            stated.clone().unwrap_or(YamlNode { span: at.span, kind: usual })
        };
        let with_basis = |node: &mut YamlNode| {
            let basis = value(node);
            if let YamlKind::Map(own) = &mut node.kind
                && own.iter().all(|e| fold(&e.key) != "basis")
            {
                own.push(YamlEntry { key: "basis".to_owned(), key_span: basis.span, value: basis });
            }
        };
        // A fact of a mapping the variant may change field by field carries its basis itself.
        let of_fact = |node: &mut YamlNode, names: &[&str]| {
            let YamlKind::Map(own) = &mut node.kind else { return };
            if own.iter().any(|e| fold(&e.key) == "basis") && !names.contains(&"place") {
                return;
            }
            for fact in own.iter_mut().filter(|e| names.contains(&fold(&e.key).as_str())) {
                if matches!(fact.value.kind, YamlKind::Scalar(_)) {
                    let is = YamlEntry { key: "is".to_owned(), key_span: fact.key_span, value: fact.value.clone() };
                    fact.value = YamlNode { span: fact.value.span, kind: YamlKind::Map(vec![is]) };
                }
                with_basis(&mut fact.value);
            }
        };
        match &*fold(&entry.key) {
            "actions" | "back" => each(&mut entry.value, &mut |node| with_basis(node)),
            "parts" => each(&mut entry.value, &mut |node| of_fact(node, &["paired"])),
            "teardown" => of_fact(&mut entry.value, &["place", "skill"]),
            _ => {}
        }
    }
}

fn extended(root: &YamlNode) -> Option<(String, Span)> {
    let entry = root.get("extends")?;
    let text = entry.value.text().filter(|t| !t.trim().is_empty() && !entry.value.is_nothing())?;
    Some((text.trim().to_owned(), entry.value.span))
}

/// Loads a text that another names at a place; paths are relative to the file that holds the place, and stay below its
/// folder.
pub(super) fn beside(sources: &mut Sources, at: Span, path: &str, load: Load<'_>) -> Result<FileId, String> {
    if path.starts_with(['/', '\\']) || normal(path).starts_with("..") {
        return Err("it lies outside the folder of the file that names it".to_owned());
    }
    let target = joined(&sources.get(at.file).name, path);
    load(&target).map(|source| sources.add(source))
}

/// A text already loaded by [`beside`] for the same place.
pub(super) fn at_hand(sources: &Sources, at: Span, path: &str) -> Option<FileId> {
    sources.named(&joined(&sources.get(at.file).name, path))
}

/// A path joined to the folder of the file it stands in.
fn joined(file: &str, path: &str) -> String {
    let folder = file.rfind(['/', '\\']).map_or("", |at| &file[..=at]);
    if path.starts_with(['/', '\\']) { normal(path) } else { normal(&format!("{folder}{path}")) }
}

/// A path without `.` and without `name/..`, so that two spellings of one file compare equal.
fn normal(path: &str) -> String {
    let mut out: Vec<&str> = Vec::new();
    for step in path.split('/') {
        match step {
            "." => {}
            ".." if out.last().is_some_and(|last| !matches!(*last, ".." | "")) => {
                out.pop();
            }
            _ => out.push(step),
        }
    }
    out.join("/")
}

/// A base with a variant's fields: mappings field by field, actions by id, all else replaced.
fn apply(
    base: &YamlNode,
    variant: &YamlNode,
    file: &str,
    gone: &mut Vec<(String, Span)>,
    problems: &mut Vec<Diagnostic>,
) -> YamlNode {
    let without = variant.get("without").map(|e| e.value.clone());
    let span = variant.span;
    let mut base = taken_over(base);
    if variant.get("teardown").is_some_and(|t| t.value.get("basis").is_some()) {
        keep_basis(&mut base);
    }
    let mut root = merge(&base, variant, true);
    root.span = span;
    if let (Some(without), YamlKind::Map(entries)) = (without, &mut root.kind) {
        entries.retain(|e| fold(&e.key) != "without");
        take_out(entries, &without, file, gone, problems);
    }
    root
}

fn merge(base: &YamlNode, variant: &YamlNode, top: bool) -> YamlNode {
    let (YamlKind::Map(old), YamlKind::Map(new)) = (&base.kind, &variant.kind) else { return variant.clone() };
    let mut entries = old.clone();
    for entry in new {
        let key = fold(&entry.key);
        let Some(at) = entries.iter().position(|e| fold(&e.key) == key) else {
            entries.push(entry.clone());
            continue;
        };
        let before = &entries[at].value;
        let value = match &*key {
            "actions" | "back" if top => actions(before, &entry.value),
            // A fact `{is, basis, source}` is one value: half of an old one would be wrong.
            _ if entry.value.get("is").is_some() => entry.value.clone(),
            _ => merge(before, &entry.value, false),
        };
        entries[at] = YamlEntry { value, ..entry.clone() };
    }
    YamlNode { span: variant.span, kind: YamlKind::Map(entries) }
}

/// Actions of the base with those of the variant: the same id replaces, others are appended.
fn actions(base: &YamlNode, variant: &YamlNode) -> YamlNode {
    let (YamlKind::List(old), YamlKind::List(new)) = (&base.kind, &variant.kind) else { return variant.clone() };
    let mut all = old.clone();
    let old_ids = ids(old);
    for (action, id) in new.iter().zip(ids(new)) {
        match old_ids.iter().position(|o| fold(o) == fold(&id)) {
            Some(at) => all[at] = action.clone(),
            None => all.push(action.clone()),
        }
    }
    YamlNode { span: variant.span, kind: YamlKind::List(all) }
}

/// Ids of actions as written or as derived from what they achieve.
fn ids(actions: &[YamlNode]) -> Vec<String> {
    let text = |node: &YamlNode, key: &str| node.get(key).and_then(|e| e.value.text()).map(|t| t.trim().to_owned());
    let mut taken: BTreeSet<String> = actions.iter().filter_map(|a| text(a, "id")).map(|id| fold(&id)).collect();
    let mut out = Vec::new();
    for action in actions {
        let names = |e: &YamlEntry| match &e.value.kind {
            YamlKind::List(items) => {
                items.iter().filter_map(YamlNode::text).map(str::trim).collect::<Vec<_>>().join(" + ")
            }
            _ => e.value.text().unwrap_or_default().trim().to_owned(),
        };
        out.push(text(action, "id").unwrap_or_else(|| {
            let base = action.get("free").or_else(|| action.get("do")).map(names).unwrap_or_default();
            let id = free_id(&base, |id| taken.contains(&fold(id)));
            taken.insert(fold(&id));
            id
        }));
    }
    out
}

fn take_out(
    entries: &mut [YamlEntry],
    without: &YamlNode,
    file: &str,
    taken: &mut Vec<(String, Span)>,
    problems: &mut Vec<Diagnostic>,
) {
    let wanted: Vec<&YamlNode> = match &without.kind {
        YamlKind::List(items) => items.iter().collect(),
        _ => vec![without],
    };
    let Some(actions) = entries.iter_mut().find(|e| fold(&e.key) == "actions") else { return };
    let YamlKind::List(list) = &mut actions.value.kind else { return };
    let known = ids(list);
    let mut gone = vec![false; list.len()];
    for node in wanted {
        let Some(id) = node.text() else { continue };
        if let Some(at) = known.iter().position(|k| fold(k) == fold(id)) {
            gone[at] = true;
            taken.push((fold(id), node.span));
        } else {
            let mend = match near(id, known.iter().map(|k| &**k)) {
                Some(found) => format!("did you mean `{found}`?"),
                None => format!("ids there: {}", known.join(", ")),
            };
            problems.push(
                Diagnostic::error(
                    "unknown-reference",
                    node.span,
                    format!("{file} has no action with the id `{}`", short(id)),
                )
                .because("This file is a variant of it, and nothing would be taken out.")
                .mend(mend),
            );
        }
    }
    let mut at = 0;
    list.retain(|_| {
        at += 1;
        !gone[at - 1]
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case("samples/study.yaml", "base.yaml", "samples/base.yaml")]
    #[case("study.yaml", "./base.yaml", "base.yaml")]
    #[case("a/b/study.yaml", "../base.yaml", "a/base.yaml")]
    #[case("../study.yaml", "../base.yaml", "../../base.yaml")]
    #[case("-", "/x/./base.yaml", "/x/base.yaml")]
    fn paths_are_relative_to_the_file(#[case] file: &str, #[case] path: &str, #[case] target: &str) {
        assert_eq!(joined(file, path), target);
    }
}
