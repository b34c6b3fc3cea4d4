//! What keeps a target out of reach of a list of changes.

use std::collections::{BTreeMap, BTreeSet};

use super::cheapest::Job;
use super::touch::touched;
use super::{Change, best};
use crate::assess::evaluate::fold;
use crate::compare::Requirement;
use crate::exact::Exact;
use crate::range::Study;

/// Criteria named, at most, where those are meant that would bring most.
const NAMED: usize = 5;

/// What keeps a target out of reach of all the changes of a list.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Short {
    /// Criteria and limits that none of the changes lifts and that alone rule the target out, by title and part, in the order of
    /// the method.
    pub not_lifted: Vec<String>,
    /// Where each could be lifted by some change: how near all that helps comes.
    pub nearest: Option<Nearest>,
}

/// What comes of the changes that help, where they don't reach a target.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Nearest {
    /// The changes, in record order.
    pub changes: Vec<Change>,
    /// Both ends of the verdict with them, as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
    /// How far the low end is from the target, in points; `None` where the method says pass or fail.
    pub distance: Option<Exact>,
    /// Criteria still short at the low end, by title and part: of a method that says pass or fail all that are, in its order; else
    /// those that would bring most, most first.
    pub short: Vec<String>,
}

/// Why no set of changes reaches a target: costs by change id, as for [`cheapest`](super::cheapest()).
pub fn short_of(study: &Study<'_>, changes: &[Change], costs: &BTreeMap<String, Exact>, target: &Requirement) -> Short {
    let not_lifted = not_lifted(study, changes, target);
    if !not_lifted.is_empty() {
        return Short { not_lifted, nearest: None };
    }
    let (set, tried) = Job::new(study, changes, costs, target).nearest();
    let method = study.method();
    let low = |leaf: usize| tried.leaves.get(&leaf).and_then(|ends| ends[0].clone());
    let full = |leaf: usize| best(&study.plan.nodes[leaf].kind);
    let below = |leaf: &usize| low(*leaf).zip(full(*leaf)).is_some_and(|(low, full)| low < full);
    let mut short: Vec<usize> = study.plan.leaves().filter(below).collect();
    if !method.scale.verdict {
        let whole = |raised: Option<usize>| {
            let values = fold(&study.plan, &|leaf| if Some(leaf) == raised { full(leaf) } else { low(leaf) });
            values[0].clone().unwrap_or_else(Exact::zero)
        };
        let now = whole(None);
        let mut brings: Vec<(usize, Exact)> = short.into_iter().map(|leaf| (leaf, &whole(Some(leaf)) - &now)).collect();
        brings.sort_by(|(_, a), (_, b)| b.cmp(a));
        short =
            brings.into_iter().filter(|(_, gain)| *gain > Exact::zero()).map(|(leaf, _)| leaf).take(NAMED).collect();
    }
    let nearest = Nearest {
        changes: set.iter().map(|&i| changes[i].clone()).collect(),
        shown: tried.range.shown(method),
        classes: tried.range.classes(method),
        distance: target.distance(method, tried.range.low.as_ref()),
        short: short.into_iter().map(|leaf| said(study, leaf)).collect(),
    };
    Short { not_lifted, nearest: Some(nearest) }
}

/// What none of the changes can lift and rules the target out; empty where it is not that.
fn not_lifted(study: &Study<'_>, changes: &[Change], target: &Requirement) -> Vec<String> {
    let free: BTreeSet<usize> = changes.iter().flat_map(|c| touched(study, &c.make)).collect();
    let ends = study.leaf_ends();
    let top = |leaf: usize| {
        let high = ends.get(&leaf).and_then(|e| e[1].clone());
        if free.contains(&leaf) { high.max(best(&study.plan.nodes[leaf].kind)) } else { high }
    };
    let values = fold(&study.plan, &top);
    if target.reached(study.method(), values[0].as_ref()) {
        return Vec::new();
    }
    let short = |leaf: &usize| {
        let node = &study.plan.nodes[*leaf];
        !free.contains(leaf) && top(*leaf).is_some_and(|value| best(&node.kind).is_some_and(|best| value < best))
    };
    study.plan.leaves().filter(short).map(|leaf| said(study, leaf)).collect()
}

/// A criterion by title and part.
fn said(study: &Study<'_>, leaf: usize) -> String {
    let node = &study.plan.nodes[leaf];
    let part = node.slot.map(|s| format!(": {}", study.plan.slots[s].role)).unwrap_or_default();
    format!("{}{part}", node.node.title)
}
