//! What stands in the way of a target: one change to the device at a time, and what it saves.

use std::collections::BTreeSet;

use super::answer::SearchAnswer;
use super::problem::{Action, Limits, Operation, RouteProblem, Target, ToolId, Way};
use super::stages::reference_unordered;

/// One change to the device, looked at alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SupposedChange {
    /// This action were already done.
    Done(usize),
    /// Everything in this action were done by hand.
    ByHand(usize),
    /// This tool were always in hand, and never caused a change.
    InHand(ToolId),
}

/// A change and what it saves on the reference route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Obstacle {
    /// The change.
    pub change: SupposedChange,
    /// Steps of the reference route with the change made.
    pub steps: u32,
    /// Steps saved, at least 1.
    pub saved: u32,
}

/// The changes that save steps on the way to a target, the largest saving first; ties in the order
/// of [`SupposedChange`].
///
/// An action that reaches the target by itself is not taken as already done. Empty when the target
/// can't be reached; a change whose count is not proved within the limits is left out, so that
/// every saving shown is true of proved counts. The limits hold for each search.
pub fn obstacles(problem: &RouteProblem, target: &Target, limits: Limits) -> Vec<Obstacle> {
    let steps = |problem: &RouteProblem| match reference_unordered(problem, target, limits) {
        SearchAnswer::Route { route, certificate: super::Certificate::Proved, .. } => Some(route.key.steps),
        _ => None,
    };
    let Some(now) = steps(problem) else {
        return Vec::new();
    };
    let mut changes = Vec::new();
    for (index, action) in problem.actions.iter().enumerate() {
        let reaches = |thing| action.frees.contains(&thing) || action.does == Some(thing);
        if !target.holds(&reaches) {
            changes.push(SupposedChange::Done(index));
        }
        if uses(action).next().is_some() {
            changes.push(SupposedChange::ByHand(index));
        }
    }
    let tools: BTreeSet<ToolId> = problem.actions.iter().flat_map(uses).collect();
    changes.extend(tools.into_iter().map(SupposedChange::InHand));
    let mut found: Vec<Obstacle> = changes
        .into_iter()
        .filter_map(|change| {
            let after = steps(&changed(problem, change))?;
            let saved = now.checked_sub(after).filter(|saved| *saved > 0)?;
            Some(Obstacle { change, steps: after, saved })
        })
        .collect();
    found.sort_by_key(|obstacle| (std::cmp::Reverse(obstacle.saved), obstacle.change));
    found
}

/// The tools an action may use.
fn uses(action: &Action) -> impl Iterator<Item = ToolId> + '_ {
    let ways = action.operations.iter().flat_map(|operation| &operation.ways);
    ways.flat_map(|way| way.tools.iter().copied())
}

fn by_hand() -> Vec<Operation> {
    vec![Operation { ways: vec![Way::default()], ..Operation::default() }]
}

/// The problem with one change made.
fn changed(problem: &RouteProblem, change: SupposedChange) -> RouteProblem {
    let mut other = problem.clone();
    match change {
        SupposedChange::Done(index) => {
            // Each thing it reaches is there for nothing: done by hand, needing nothing.
            let action = std::mem::take(&mut other.actions[index]);
            for thing in action.frees.into_iter().chain(action.does) {
                let does = Some(thing);
                let operations = by_hand();
                other.actions.push(Action { does, operations, ..Action::default() });
            }
        }
        SupposedChange::ByHand(index) => {
            // What an operation counts or ends of itself it does by hand too.
            other.actions[index].operations.iter_mut().for_each(|operation| operation.ways = vec![Way::default()]);
        }
        SupposedChange::InHand(tool) => {
            let operations = other.actions.iter_mut().flat_map(|action| &mut action.operations);
            for way in operations.flat_map(|operation| &mut operation.ways) {
                way.tools.retain(|other| *other != tool);
            }
        }
    }
    other
}
