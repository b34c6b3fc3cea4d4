//! What stands beside a shortest route: the order of the log, the maker's own route, a shorter way that destroys something,
//! the ways that failed or nobody tried, and what stands in the way.

use super::evidence::Witness;
use super::joint::{Wanted, read, taken};
use super::ledger::{LedgerLine, ledger};
use super::outcome::{PartRoute, Reach};
use super::problem::{Posed, pose};
use crate::method::StepRule;
use crate::record::Outcome;
use crate::route::{self, Limits, RouteProblem, SupposedChange};
use crate::text::Span;

/// What stands beside the best route.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Beside {
    /// The order of the log up to the target; `None` where nothing was done.
    pub performed: Option<Counted>,
    /// The maker's own route up to the target, where the record knows it.
    pub official: Option<Counted>,
    /// A way that destroys something and counts fewer steps than the best that doesn't; shown, never scored.
    pub destructive: Option<Destructive>,
    /// Ways to the target that failed, or that nobody tried, in record order.
    pub untaken: Vec<Untaken>,
}

/// An order of actions counted as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Steps counted until the target was off, or until the end.
    pub steps: u32,
    /// The target was reached.
    pub reached: bool,
    /// Ids of the actions counted, in order.
    pub actions: Vec<String>,
    /// Ids of actions whose needs, as the record has them, did not hold where they stand.
    pub unmet: Vec<String>,
    /// Ids of actions of the order that don't exist as ways (failed, or supposed not to work); not counted.
    pub failed: Vec<String>,
}

/// A shorter way that destroys something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Destructive {
    /// Steps.
    pub steps: u32,
    /// Names of what it destroys.
    pub destroys: Vec<String>,
    /// Its ledger.
    pub lines: Vec<LedgerLine>,
}

/// A way nobody can take, or nobody took.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Untaken {
    /// Id of the action, or name of the part.
    pub id: String,
    /// Tried in vain; otherwise not tried.
    pub failed: bool,
    /// Why.
    pub because: Option<String>,
    /// Where the record says so.
    pub span: Span,
}

/// One change to the device that would save steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InTheWay {
    /// The change in plain words: `` `free back glass` already done ``.
    pub text: String,
    /// Steps with the change made.
    pub steps: u32,
    /// Steps saved.
    pub saved: u32,
    /// The action it is about.
    pub span: Option<Span>,
}

/// What stands beside the best route to a target in one completion.
pub fn beside(witness: &Witness<'_>, rule: &StepRule, wanted: &Wanted, best: &PartRoute, limits: Limits) -> Beside {
    let posed = pose(witness.device, rule);
    let record = witness.record;
    let mut log: Vec<usize> =
        (0..record.actions.len()).filter(|&i| record.actions[i].outcome.value != Outcome::NotAttempted).collect();
    // The footage knows the order better than the file, where every action has its time.
    if log.iter().all(|&i| record.actions[i].at.is_some()) {
        log.sort_by_key(|&i| record.actions[i].at.as_ref().map(|t| t.value.from));
    }
    Beside {
        performed: counted(witness, &posed, wanted, &log).filter(|c| !c.actions.is_empty()),
        official: record.official.as_ref().and_then(|o| counted(witness, &posed, wanted, &o.value)),
        destructive: destructive(witness, &posed, wanted, best, limits),
        untaken: untaken(witness, wanted),
    }
}

/// Counts an order of the record's actions up to the target.
fn counted(witness: &Witness<'_>, posed: &Posed, wanted: &Wanted, order: &[usize]) -> Option<Counted> {
    let id = |action: usize| {
        let written = witness.device.actions[action].written;
        written.map_or_else(|| witness.what(action), |w| witness.record.actions[w].id.clone())
    };
    let place = |written: usize| posed.origin.iter().position(|&o| witness.device.actions[o].written == Some(written));
    let target = wanted.target(witness.device);
    let there: Vec<usize> = order.iter().filter_map(|&w| place(w)).collect();
    let done = route::performed(&posed.problem, &target, &there).ok()?;
    let last = done.taken.last().map(|t| posed.origin[t.action]);
    // What failed after the target was off is no matter here.
    let until = order.iter().position(|&w| last.is_some_and(|l| witness.device.actions[l].written == Some(w)));
    let until = if done.reached { until.map_or(0, |u| u + 1) } else { order.len() };
    let failed = order[..until].iter().filter(|&&w| place(w).is_none());
    Some(Counted {
        steps: done.replayed.key.steps,
        reached: done.reached,
        actions: taken(posed, &done.taken).iter().map(|(a, _)| id(*a)).collect(),
        unmet: done.unmet.iter().map(|&a| id(posed.origin[a])).collect(),
        failed: failed.map(|&w| witness.record.actions[w].id.clone()).collect(),
    })
}

/// The shortest way with destruction allowed, where it is shorter and destroys something.
fn destructive(
    witness: &Witness<'_>,
    posed: &Posed,
    wanted: &Wanted,
    best: &PartRoute,
    limits: Limits,
) -> Option<Destructive> {
    let damages = |p: &RouteProblem| p.actions.iter().any(|a| !a.damages.is_empty());
    if best.reach != Reach::Yes || !damages(&posed.problem) {
        return None;
    }
    let mut free = posed.problem.clone();
    free.actions.iter_mut().for_each(|a| a.damages.clear());
    let answer = route::cheapest(&free, &wanted.target(witness.device), route::Cost::Steps, limits);
    let found = answer.route().filter(|r| r.key.steps < best.steps)?;
    let way = read(witness.device, posed, &free, wanted, found);
    let mut destroys: Vec<String> = Vec::new();
    for thing in way.taken.iter().flat_map(|(a, _)| &witness.device.actions[*a].destroys) {
        let name = &witness.device.things[*thing as usize];
        if !destroys.contains(name) {
            destroys.push(name.clone());
        }
    }
    Some(Destructive { steps: way.steps, destroys, lines: ledger(witness, &way) })
}

fn untaken(witness: &Witness<'_>, wanted: &Wanted) -> Vec<Untaken> {
    let means = |name: &str| wanted.parts.iter().any(|p| crate::text::fold(p) == crate::text::fold(name));
    let mut out = Vec::new();
    for action in witness.record.actions.iter().filter(|a| a.names().into_iter().any(means)) {
        if action.outcome.value != Outcome::Done {
            out.push(Untaken {
                id: action.id.clone(),
                failed: action.outcome.value == Outcome::Failed,
                because: action.because.clone(),
                span: action.outcome.span,
            });
        }
    }
    for part in witness.record.parts.iter().filter(|p| means(&p.name.value)) {
        if let Some(span) = part.not_attempted {
            out.push(Untaken { id: part.name.value.clone(), failed: false, because: part.because.clone(), span });
        }
    }
    out
}

/// What stands in the way of a target in one completion, the largest saving first.
pub fn in_the_way(witness: &Witness<'_>, rule: &StepRule, wanted: &Wanted, limits: Limits) -> Vec<InTheWay> {
    let posed = pose(witness.device, rule);
    route::obstacles(&posed.problem, &wanted.target(witness.device), limits)
        .into_iter()
        .filter(|obstacle| match obstacle.change {
            // That a part wanted is off already is no finding.
            SupposedChange::Done(action) => {
                let frees = &witness.device.actions[posed.origin[action]].frees;
                !frees.iter().any(|&t| wanted.things(witness.device).contains(&t))
            }
            _ => true,
        })
        .map(|obstacle| {
            let about = match obstacle.change {
                SupposedChange::Done(action) | SupposedChange::ByHand(action) => Some(posed.origin[action]),
                SupposedChange::InHand(_) => None,
            };
            let text = match (obstacle.change, about) {
                (SupposedChange::Done(_), Some(a)) => format!("`{}` already done", witness.what(a)),
                (SupposedChange::ByHand(_), Some(a)) => format!("`{}` without a tool, by hand", witness.what(a)),
                (SupposedChange::InHand(tool), _) => {
                    format!("{} always in hand", witness.device.tools[usize::from(tool)].name)
                }
                (_, None) => String::new(),
            };
            let written = about.and_then(|a| witness.device.actions[a].written);
            let span = written.map(|w| witness.record.actions[w].span);
            InTheWay { text, steps: obstacle.steps, saved: obstacle.saved, span }
        })
        .collect()
}
