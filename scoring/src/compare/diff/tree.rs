//! What differs between two trees, and the changes that turn one into the other.
//!
//! Actions are the same when their ids, or what they free or do, are the same; other lists are compared as a whole.

use std::collections::BTreeMap;

use crate::text::fold;
use crate::text::yaml::{YamlEntry, YamlKind, YamlNode};

/// One change: where, and what stands there afterwards.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Op {
    /// Keys and items from the root down.
    pub steps: Vec<PathStep>,
    /// Before; `None` where something is added.
    pub before: Option<YamlNode>,
    /// After; `None` where something is taken out.
    pub after: Option<YamlNode>,
    /// Key as written, for an entry that is added.
    pub key: Option<YamlEntry>,
    /// For an item that is added: the item it follows.
    pub follows: Option<PathStep>,
}

/// One step down a tree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum PathStep {
    /// Entry of a mapping.
    Key(String),
    /// Item of a list of actions: what it is known by, and which of several known so.
    Item(String, usize),
}

/// The path in words: `actions[free cell].with`.
pub(super) fn path(steps: &[PathStep]) -> String {
    let mut out = String::new();
    for step in steps {
        match step {
            PathStep::Key(key) if out.is_empty() => out.push_str(key),
            PathStep::Key(key) => {
                out.push('.');
                out.push_str(key);
            }
            PathStep::Item(name, 0) => out.push_str(&format!("[{name}]")),
            PathStep::Item(name, n) => out.push_str(&format!("[{name}, {}]", n + 1)),
        }
    }
    out
}

/// Keys from the root down.
pub(super) fn keys(steps: &[PathStep]) -> Vec<&str> {
    let mut out = Vec::new();
    for step in steps {
        if let PathStep::Key(key) = step {
            out.push(key.as_str());
        }
    }
    out
}

/// Changes from one tree to another, in the order of the first; what is added comes where it stands in the second.
pub(super) fn ops(old: &YamlNode, new: &YamlNode) -> Vec<Op> {
    let mut out = Vec::new();
    compare(old, new, &mut Vec::new(), &mut out);
    out
}

/// How many single values two trees share at the same place.
pub(super) fn shared(old: &YamlNode, new: &YamlNode) -> usize {
    match (&old.kind, &new.kind) {
        (YamlKind::Map(a), YamlKind::Map(_)) => {
            a.iter().filter_map(|e| Some(shared(&e.value, &new.get(&e.key)?.value))).sum()
        }
        (YamlKind::List(a), YamlKind::List(b)) => match (names(a), names(b)) {
            (Some(x), Some(y)) => a
                .iter()
                .zip(&x)
                .filter_map(|(item, name)| Some(shared(item, &b[y.iter().position(|n| n == name)?])))
                .sum(),
            _ => a.iter().zip(b).map(|(x, y)| shared(x, y)).sum(),
        },
        (YamlKind::Scalar(a), YamlKind::Scalar(b)) => usize::from(a.text == b.text),
        _ => 0,
    }
}

fn same(a: &YamlNode, b: &YamlNode) -> bool {
    match (&a.kind, &b.kind) {
        (YamlKind::Scalar(x), YamlKind::Scalar(y)) => x.text == y.text,
        (YamlKind::List(x), YamlKind::List(y)) => x.len() == y.len() && x.iter().zip(y).all(|(p, q)| same(p, q)),
        (YamlKind::Map(x), YamlKind::Map(y)) => {
            x.len() == y.len() && x.iter().all(|e| b.get(&e.key).is_some_and(|o| same(&e.value, &o.value)))
        }
        _ => false,
    }
}

fn compare(old: &YamlNode, new: &YamlNode, steps: &mut Vec<PathStep>, out: &mut Vec<Op>) {
    if same(old, new) {
        return;
    }
    match (&old.kind, &new.kind) {
        (YamlKind::Map(a), YamlKind::Map(b)) => maps(a, b, (old, new), steps, out),
        (YamlKind::List(a), YamlKind::List(b)) => match (names(a), names(b)) {
            (Some(x), Some(y)) if !a.is_empty() && !b.is_empty() => lists((a, &x), (b, &y), (old, new), steps, out),
            _ => out.push(replace(old, new, steps)),
        },
        _ => out.push(replace(old, new, steps)),
    }
}

fn replace(old: &YamlNode, new: &YamlNode, steps: &[PathStep]) -> Op {
    Op { steps: steps.to_vec(), before: Some(old.clone()), after: Some(new.clone()), key: None, follows: None }
}

fn maps(
    a: &[YamlEntry],
    b: &[YamlEntry],
    (old, new): (&YamlNode, &YamlNode),
    steps: &mut Vec<PathStep>,
    out: &mut Vec<Op>,
) {
    for entry in a {
        steps.push(PathStep::Key(entry.key.clone()));
        match new.get(&entry.key) {
            Some(other) => compare(&entry.value, &other.value, steps, out),
            None => out.push(Op {
                steps: steps.clone(),
                before: Some(entry.value.clone()),
                after: None,
                key: None,
                follows: None,
            }),
        }
        steps.pop();
    }
    for entry in b.iter().filter(|e| old.get(&e.key).is_none()) {
        steps.push(PathStep::Key(entry.key.clone()));
        out.push(Op {
            steps: steps.clone(),
            before: None,
            after: Some(entry.value.clone()),
            key: Some(entry.clone()),
            follows: None,
        });
        steps.pop();
    }
}

type Named<'n> = (&'n [YamlNode], &'n [PathStep]);

fn lists(
    (a, x): Named<'_>,
    (b, y): Named<'_>,
    (old, new): (&YamlNode, &YamlNode),
    steps: &mut Vec<PathStep>,
    out: &mut Vec<Op>,
) {
    let both =
        |list: &[PathStep], other: &[PathStep]| list.iter().filter(|s| other.contains(s)).cloned().collect::<Vec<_>>();
    // Entries in another order: order of the log may matter, so the list is taken as a whole.
    if both(x, y) != both(y, x) {
        out.push(replace(old, new, steps));
        return;
    }
    let mut place = 0;
    let add = |to: usize, place: &mut usize, steps: &mut Vec<PathStep>, out: &mut Vec<Op>| {
        while *place < to {
            if !x.contains(&y[*place]) {
                steps.push(y[*place].clone());
                out.push(Op {
                    steps: steps.clone(),
                    before: None,
                    after: Some(b[*place].clone()),
                    key: None,
                    follows: place.checked_sub(1).map(|p| y[p].clone()),
                });
                steps.pop();
            }
            *place += 1;
        }
    };
    for (item, name) in a.iter().zip(x) {
        let at = y.iter().position(|n| n == name);
        if let Some(at) = at {
            add(at, &mut place, steps, out);
        }
        steps.push(name.clone());
        match at {
            Some(at) => compare(item, &b[at], steps, out),
            None => {
                out.push(Op {
                    steps: steps.clone(),
                    before: Some(item.clone()),
                    after: None,
                    key: None,
                    follows: None,
                });
            }
        }
        steps.pop();
    }
    add(y.len(), &mut place, steps, out);
}

/// What the items of a list of actions are known by; `None` for other lists.
fn names(items: &[YamlNode]) -> Option<Vec<PathStep>> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    items
        .iter()
        .map(|item| {
            let name = name(item)?;
            let count = seen.entry(fold(&name)).or_default();
            *count += 1;
            Some(PathStep::Item(name, *count - 1))
        })
        .collect()
}

/// An action by its id, where that says more than what it frees or does.
fn name(item: &YamlNode) -> Option<String> {
    let aim = ["free", "do"].iter().find_map(|k| item.get(k).map(|e| (*k, &e.value)));
    let things: Vec<&str> = match aim.map(|(_, what)| &what.kind) {
        Some(YamlKind::Scalar(s)) => vec![&s.text],
        Some(YamlKind::List(list)) => list.iter().filter_map(YamlNode::text).collect(),
        Some(YamlKind::Map(_)) | None => Vec::new(),
    };
    if let Some(id) = item.get("id") {
        let id = id.value.text()?;
        // What an action without one has.
        if fold(id) != fold(&things.join(" + ")) {
            return Some(id.to_owned());
        }
    }
    let (verb, _) = aim.filter(|_| !things.is_empty())?;
    Some(format!("{verb} {}", things.join(" and ")))
}

/// Makes a change; `None` where the tree has no such place.
pub(super) fn apply(tree: &YamlNode, op: &Op) -> Option<YamlNode> {
    let mut out = tree.clone();
    let (last, steps) = op.steps.split_last()?;
    let mut at = &mut out;
    for step in steps {
        at = down(at, step)?;
    }
    match last {
        PathStep::Key(key) => {
            let YamlKind::Map(entries) = &mut at.kind else { return None };
            let place = entries.iter().position(|e| fold(&e.key) == fold(key));
            match (place, &op.after, &op.key) {
                (Some(place), Some(after), _) => entries[place].value = after.clone(),
                (Some(place), None, _) => {
                    entries.remove(place);
                }
                (None, Some(_), Some(entry)) => entries.push(entry.clone()),
                (None, ..) => return None,
            }
        }
        PathStep::Item(..) => {
            let YamlKind::List(items) = &mut at.kind else { return None };
            let known = names(items)?;
            let place = known.iter().position(|n| n == last);
            match (place, &op.after) {
                (Some(place), Some(after)) => items[place] = after.clone(),
                (Some(place), None) => {
                    items.remove(place);
                }
                (None, Some(after)) => {
                    let follows = op.follows.as_ref().and_then(|f| known.iter().position(|n| n == f));
                    items.insert(follows.map_or(0, |p| p + 1), after.clone());
                }
                (None, None) => return None,
            }
        }
    }
    Some(out)
}

fn down<'n>(node: &'n mut YamlNode, step: &PathStep) -> Option<&'n mut YamlNode> {
    match (&mut node.kind, step) {
        (YamlKind::Map(entries), PathStep::Key(key)) => {
            entries.iter_mut().find(|e| fold(&e.key) == fold(key)).map(|e| &mut e.value)
        }
        (YamlKind::List(items), PathStep::Item(..)) => {
            let place = names(items)?.iter().position(|n| n == step)?;
            items.get_mut(place)
        }
        _ => None,
    }
}
