//! Two versions of a record: what changed, and what each change did to the verdict. Two people's records of one device:
//! where they differ, and what it does.

mod tree;

use super::changes::{MovedCriterion, said};
use super::threads::side_by_side;
use crate::method::Method;
use crate::range::{Case, Effort, Range, Study, fitted, form_of};
use crate::record::{Beside, Record, made_from, observed, on_one_basis, read_tree_beside};
use crate::text::Sources;
use crate::text::yaml::{YamlKind, YamlNode};

/// A verdict at one stage.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Stage {
    /// Range.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
    /// The same without what the bench sheet supplies, where one supplies something.
    pub without: Option<Box<Stage>>,
}

/// One change between two records.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Changed {
    /// Data path; actions by what they free or do (`actions[free cell].with`).
    pub path: String,
    /// What stood there, as written; `None` where something was added.
    pub before: Option<String>,
    /// What stands there now; `None` where something was taken out.
    pub after: Option<String>,
    /// Where it stood, as `file:line:column`.
    pub old_place: Option<String>,
    /// Where it stands.
    pub new_place: Option<String>,
    /// Verdict after this change and all before it, per method; `None` where the record can't be read at this stage:
    /// then the change only makes sense together with a later one.
    pub then: Vec<Option<Stage>>,
    /// Verdict after this change alone, per method.
    pub alone: Vec<Option<Stage>>,
    /// Per method: by this change alone the verdict moves differently than in its turn, so it depends on other changes.
    pub interacts: Vec<bool>,
    /// Per method: whether the verdict moved in its turn.
    pub moved: Vec<bool>,
}

/// What changed from one record to another, ready for a correction note.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Correction {
    /// Method ids.
    pub methods: Vec<String>,
    /// Bench sheets the records are read on, the old and the new one, where they supply something.
    pub sheets: [Option<String>; 2],
    /// Verdicts of the old record.
    pub before: Vec<Stage>,
    /// Verdicts of the new record.
    pub after: Vec<Stage>,
    /// Per method: every criterion and group whose range moved, in the order of the method, the verdict itself aside; what only
    /// one of the two has (a role that came or went) has `not there` on the other side.
    pub moved: Vec<Vec<MovedCriterion>>,
    /// Changes, in record order.
    pub changes: Vec<Changed>,
    /// Data paths of what the new record, a variant of the old one, lacks since no variant takes over what was observed on the
    /// bench of its base, where no verdict moves for it. Not among the changes.
    pub not_taken_over: Vec<String>,
}

/// How far two people's records of one device agree.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Agreement {
    /// Single values in the first record, and in the second.
    pub values: [usize; 2],
    /// Values that both have, at the same place.
    pub same: usize,
    /// Per method: the two ranges overlap, so that neither contradicts the other.
    pub compatible: Vec<bool>,
    /// Where they differ and what it does: from the first record to the second.
    pub differences: Correction,
}

/// Why two records can't be set against each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unreadable {
    /// The second record rather than the first.
    pub second: bool,
}

impl std::fmt::Display for Unreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the {} record can't be read", if self.second { "second" } else { "first" })
    }
}

impl std::error::Error for Unreadable {}

/// In how many places two records differ.
pub fn places(old: &YamlNode, new: &YamlNode) -> usize {
    match on_one_basis([old, new]) {
        Some([old, new]) => tree::ops(&old, &new).len(),
        None => tree::ops(old, new).len(),
    }
}

impl Correction {
    /// Sets two records against each other: trees as [`tree`](crate::record::tree) gives them, in texts of `sources`.
    /// Methods are fitted to the devices as they are read.
    ///
    /// # Errors
    /// [`Unreadable`] when one of the two is no record.
    pub fn new(
        sources: &Sources,
        old: &YamlNode,
        new: &YamlNode,
        methods: &[Method],
        effort: Effort,
    ) -> Result<Self, Unreadable> {
        Self::beside(sources, Beside::default(), [old, new], methods, effort)
    }

    /// As [`new`](Self::new), both records read beside support tables and on a bench sheet.
    ///
    /// # Errors
    /// [`Unreadable`] when one of the two is no record.
    pub fn beside(
        sources: &Sources,
        beside: Beside<'_>,
        [old, new]: [&YamlNode; 2],
        methods: &[Method],
        effort: Effort,
    ) -> Result<Self, Unreadable> {
        let based = on_one_basis([old, new]);
        let [old, new] = based.as_ref().map_or([old, new], |[old, new]| [old, new]);
        let read = |root: &YamlNode, second| on_bench(root, sources, beside).ok_or(Unreadable { second });
        let ends = [read(old, false)?, read(new, true)?];
        let plain = ends[0].without_sheet().map(|(_, plain)| plain);
        let first: Vec<Method> = methods.iter().map(|m| fitted(m, &ends[0])).collect();
        let known = Known {
            record: &ends[0],
            on: first.iter().map(|m| Study::new(&ends[0], m, effort)).collect(),
            plain: plain.map(|plain| first.iter().map(|m| Study::new(plain, m, effort)).collect()),
        };
        let before: Vec<Stage> = (0..methods.len())
            .map(|m| Stage {
                without: known.plain.as_ref().map(|plain| Box::new(stage(&plain[m]))),
                ..stage(&known.on[m])
            })
            .collect();
        let after = stages(&ends[1], methods, &known);
        let moved = methods.iter().zip(&known.on).map(|(method, old)| {
            let fitted = fitted(method, &ends[1]);
            nodes_moved(old, &Study::new(&ends[1], &fitted, effort))
        });
        let moved = moved.collect();
        let sheets = ends.each_ref().map(|r| r.without_sheet().map(|(sheet, _)| sheet.to_owned()));
        // All stages first: each is worked out by itself.
        let mut tree = old.clone();
        let mut turns = Vec::new();
        for op in tree::ops(old, new) {
            let Some(next) = tree::apply(&tree, &op) else { continue };
            let alone = if idle(&op) { None } else { tree::apply(old, &op) };
            tree.clone_from(&next);
            turns.push((op, next, alone));
        }
        let roots: Vec<&YamlNode> = turns
            .iter()
            .filter(|(op, ..)| !idle(op))
            .flat_map(|(_, then, alone)| std::iter::once(then).chain(alone.as_ref()))
            .collect();
        let mut found =
            side_by_side(&roots, |root| Some(stages(&on_bench(root, sources, beside)?, methods, &known))).into_iter();
        let mut last: Vec<Stage> = before.clone();
        let (mut changes, mut not_taken_over) = (Vec::new(), Vec::new());
        let variant = made_from(sources, new, old);
        for (op, _, alone) in &turns {
            let (then, alone) = if idle(op) {
                (Some(last.clone()), Some(before.clone()))
            } else {
                let then = found.next().flatten();
                (then, alone.as_ref().and_then(|_| found.next().flatten()))
            };
            let per = |list: &Option<Vec<Stage>>| -> Vec<Option<Stage>> {
                (0..methods.len()).map(|m| list.as_ref().map(|l| l[m].clone())).collect()
            };
            let moved: Vec<bool> =
                (0..methods.len()).map(|m| then.as_ref().is_some_and(|t| t[m].ranges() != last[m].ranges())).collect();
            if variant
                && then.is_some()
                && op.after.is_none()
                && observed(&tree::keys(&op.steps))
                && !moved.contains(&true)
            {
                not_taken_over.push(tree::path(&op.steps));
                continue;
            }
            let interacts = (0..methods.len())
                .map(|m| match (&then, &alone) {
                    (Some(then), Some(alone)) => {
                        step(&last[m].range, &then[m].range) != step(&before[m].range, &alone[m].range)
                    }
                    _ => true,
                })
                .collect();
            let place = |n: &YamlNode| sources.place(n.span);
            changes.push(Changed {
                path: tree::path(&op.steps),
                before: op.before.as_ref().map(|n| written(sources, n)),
                after: op.after.as_ref().map(|n| written(sources, n)),
                old_place: op.before.as_ref().map(place),
                new_place: op.after.as_ref().map(place),
                then: per(&then),
                alone: per(&alone),
                interacts,
                moved,
            });
            if let Some(then) = then {
                last = then;
            }
        }
        let methods = methods.iter().map(|m| m.id.value.clone()).collect();
        Ok(Self { methods, sheets, before, after, moved, changes, not_taken_over })
    }
}

impl Agreement {
    /// Sets two people's records of one device against each other.
    ///
    /// # Errors
    /// [`Unreadable`] when one of the two is no record.
    pub fn new(
        sources: &Sources,
        first: &YamlNode,
        second: &YamlNode,
        methods: &[Method],
        effort: Effort,
    ) -> Result<Self, Unreadable> {
        Self::beside(sources, Beside::default(), [first, second], methods, effort)
    }

    /// As [`new`](Self::new), both records read beside support tables and on a bench sheet.
    ///
    /// # Errors
    /// [`Unreadable`] when one of the two is no record.
    pub fn beside(
        sources: &Sources,
        beside: Beside<'_>,
        [first, second]: [&YamlNode; 2],
        methods: &[Method],
        effort: Effort,
    ) -> Result<Self, Unreadable> {
        let differences = Correction::beside(sources, beside, [first, second], methods, effort)?;
        let compatible = differences
            .before
            .iter()
            .zip(&differences.after)
            .map(|(a, b)| a.range.low <= b.range.high && b.range.low <= a.range.high)
            .collect();
        let based = on_one_basis([first, second]);
        let [one, other] = based.as_ref().map_or([first, second], |[one, other]| [one, other]);
        Ok(Self { values: [one.leaves(), other.leaves()], same: tree::shared(one, other), compatible, differences })
    }
}

/// Every node below the verdict whose range differs between two studies, by id.
fn nodes_moved(old: &Study<'_>, new: &Study<'_>) -> Vec<MovedCriterion> {
    let ids = |study: &Study<'_>| -> Vec<String> { study.plan.nodes.iter().skip(1).map(|n| n.id.clone()).collect() };
    let (was, is) = (ids(old), ids(new));
    let ends = |study: &Study<'_>, ids: &[String], id: &str| -> Option<[String; 2]> {
        let range = study.range(ids.iter().position(|i| i == id)? + 1);
        Some([said(study.method(), range.low.as_ref()), said(study.method(), range.high.as_ref())])
    };
    let gone = was.iter().filter(|id| !is.contains(id));
    let all = is.iter().map(|id| (new, id)).chain(gone.map(|id| (old, id)));
    all.filter_map(|(study, id)| {
        let not_there = || ["not there".to_owned(), "not there".to_owned()];
        let before = ends(old, &was, id).unwrap_or_else(not_there);
        let after = ends(new, &is, id).unwrap_or_else(not_there);
        let node = study.plan.nodes.iter().find(|n| n.id == *id)?;
        let role = node.slot.map(|s| study.plan.slots[s].role.clone());
        (before != after).then(|| MovedCriterion {
            id: id.clone(),
            title: node.node.title.clone(),
            role,
            before,
            after,
        })
    })
    .collect()
}

/// How far both ends move.
fn step(from: &Range, to: &Range) -> [Option<crate::exact::Exact>; 2] {
    [(&from.low, &to.low), (&from.high, &to.high)].map(|(a, b)| Some(b.as_ref()? - a.as_ref()?))
}

/// Footage, pictures and notes of an action are read by no method.
fn idle(op: &tree::Op) -> bool {
    match op.steps.as_slice() {
        [tree::PathStep::Key(list), tree::PathStep::Item(..), tree::PathStep::Key(field)] => {
            list == "actions" && matches!(field.as_str(), "at" | "photo" | "note" | "uncut")
        }
        _ => false,
    }
}

fn stage(study: &Study<'_>) -> Stage {
    let (range, method) = (study.range(0), study.method());
    Stage { shown: range.shown(method), classes: range.classes(method), range, without: None }
}

impl Stage {
    /// The range, and that without the bench sheet.
    fn ranges(&self) -> [Option<&Range>; 2] {
        [Some(&self.range), self.without.as_ref().map(|w| &w.range)]
    }
}

/// A tree read as a record, on its bench.
fn on_bench(root: &YamlNode, sources: &Sources, beside: Beside<'_>) -> Option<Record> {
    let record = read_tree_beside(root, sources, beside).record?;
    Some(record.on_bench().unwrap_or(record))
}

/// What is worked out of the old record already, method by method: on its bench sheet, and without where it has one.
struct Known<'k> {
    record: &'k Record,
    on: Vec<Study<'k>>,
    plain: Option<Vec<Study<'k>>>,
}

/// Verdicts of a record close to the old one.
fn stages(record: &Record, methods: &[Method], known: &Known<'_>) -> Vec<Stage> {
    let device = |r: &Record| (r.device.category.value, form_of(r));
    let alike = device(record) == device(known.record);
    let one = |record: &Record, method: &Method, near: &Study<'_>| {
        if !alike {
            return stage(&Study::new(record, &fitted(method, record), near.effort));
        }
        let case = Case::new(record, near.method());
        if case.base == near.case.base && case.unknowns == near.case.unknowns {
            stage(near)
        } else {
            stage(&near.beside(case))
        }
    };
    let plain = record.without_sheet().map(|(_, plain)| plain);
    methods
        .iter()
        .enumerate()
        .map(|(m, method)| {
            let near = known.plain.as_ref().unwrap_or(&known.on);
            let without = plain.map(|plain| Box::new(one(plain, method, &near[m])));
            Stage { without, ..one(record, method, &known.on[m]) }
        })
        .collect()
}

/// A value as written; a long one on one line.
fn written(sources: &Sources, node: &YamlNode) -> String {
    match &node.kind {
        YamlKind::Scalar(s) => s.text.clone(),
        _ => sources.excerpt(node.span).split_whitespace().collect::<Vec<_>>().join(" "),
    }
}
