//! How sure a total is: as sure as the least sure of the rules and numbers it rests on.

use super::assessment::Completion;
use crate::assess::{Plan, PlanKind};
use crate::method::{Cited, Points};
use crate::vocab::Certainty;

/// The weakest certainty of what took part: the rules of all criteria, of the step count, of the part set and of the classes,
/// their weights and bounds, and the points given at the ends. `own` choices and `derived` arithmetic are marks of their
/// own and don't weaken; whether there are choices of one's own is the second answer.
pub(super) fn weakest(plan: &Plan<'_>, ends: &[Completion; 2]) -> (Certainty, bool) {
    fn own<T>(number: &Cited<T>) -> Option<Certainty> {
        number.certainty
    }
    let mut found = vec![plan.method.steps.rule.certainty];
    for node in &plan.nodes {
        found.push(node.node.rule.certainty);
        found.extend(node.node.weight.as_ref().and_then(own));
    }
    if let Some(set) = plan.parts {
        found.push(set.rule.certainty);
        found.extend(set.weights.iter().filter_map(|(_, weight)| own(weight)));
    }
    if let Some(classes) = &plan.method.classes {
        found.push(classes.rule.certainty);
        found.extend(classes.bounds.iter().filter_map(|(_, bound)| own(bound)));
    }
    for end in ends {
        for (node, leaf) in plan.nodes.iter().zip(&end.evaluated.leaves) {
            let row = leaf.as_ref().and_then(|l| l.row);
            if let (PlanKind::Leaf(_, _, points), Some(row)) = (&node.kind, row) {
                found.extend(given(points, row));
            }
        }
    }
    let own = found.contains(&Certainty::Own);
    (found.into_iter().filter(|c| *c <= Certainty::MemoryLow).max().unwrap_or(Certainty::Own), own)
}

/// The certainty of one row of a table, where it says its own.
pub(super) fn given(points: &Points, row: usize) -> Option<Certainty> {
    match points {
        Points::Bands(list) => list.get(row)?.points.certainty,
        Points::Levels(list) => list.get(row)?.1.certainty,
        Points::Rungs(list) => list.get(row)?.points.certainty,
        Points::Linear(_) | Points::AsIs => None,
    }
}
