//! Counting an order of actions as it was performed on the bench.

use std::collections::BTreeSet;

use super::answer::Taken;
use super::problem::{RouteProblem, Target, Thing};
use super::replay::{ReplayError, Replayed, replay};
use super::stages::ending;
use super::ways::Choice;

/// An order of actions as it was performed, counted until a target was reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Performed {
    /// The count up to the target, or of everything when it was never reached.
    pub replayed: Replayed,
    /// The actions counted, with the ways that count least.
    pub taken: Vec<Taken>,
    /// Whether the target was reached.
    pub reached: bool,
    /// Actions whose needs, as written, did not hold where they were performed.
    pub unmet: Vec<usize>,
}

/// Counts the steps of an order as performed on the bench until the target is reached.
///
/// A log is a fact, so unmet needs are listed and not refused. Where an operation has several
/// ways the log does not say which was used; the ways that give the fewest steps are taken, the
/// earliest written first.
///
/// # Errors
/// [`ReplayError::UnknownAction`], [`ReplayError::Repeated`], and [`ReplayError::WrongWays`] for
/// an operation without ways.
pub fn performed(problem: &RouteProblem, target: &Target, order: &[usize]) -> Result<Performed, ReplayError> {
    let mut off: BTreeSet<Thing> = BTreeSet::new();
    let mut seen = BTreeSet::new();
    let mut used: Vec<usize> = Vec::new();
    let mut unmet = Vec::new();
    for (position, &index) in order.iter().enumerate() {
        if target.holds(&|thing| off.contains(&thing)) {
            break;
        }
        let action = problem.actions.get(index).ok_or(ReplayError::UnknownAction { position })?;
        if !seen.insert(index) {
            return Err(ReplayError::Repeated { position });
        }
        if action.operations.iter().any(|operation| operation.ways.is_empty()) {
            return Err(ReplayError::WrongWays { position });
        }
        if !action.after.iter().all(|need| need.holds(&|thing| off.contains(&thing))) {
            unmet.push(index);
        }
        off.extend(action.frees.iter().chain(&action.does));
        used.push(index);
    }
    let reached = target.holds(&|thing| off.contains(&thing));
    let choice = Choice { class: u8::MAX, every_change: false, each: problem.each };
    let taken = choice.least(problem, &ending(problem, &used));
    // The log stands whatever the needs say, so they are left out of the recount.
    let mut bare = problem.clone();
    for action in &mut bare.actions {
        action.after.clear();
    }
    let replayed = replay(&bare, None, &taken)?;
    Ok(Performed { replayed, taken, reached, unmet })
}
