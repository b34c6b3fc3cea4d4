//! Recounting a route from its actions alone. Shares no code with the search, so that each can
//! be held against the other.

use std::collections::BTreeSet;
use std::fmt;

use super::answer::{Key, Taken};
use super::problem::{Action, RouteProblem, Target, Thing, ToolId, Way};

/// One line of a ledger: an operation and what the rule counts for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// Index of the action.
    pub action: usize,
    /// Index of the operation within the action.
    pub operation: usize,
    /// Index of the way chosen.
    pub way: usize,
    /// The tools were changed for it.
    pub change: bool,
    /// The change costs nothing: a step had ended since the last use of tools.
    pub coincides: bool,
    /// Steps counted for using several tools at once.
    pub at_once: u32,
    /// A part came off with it.
    pub removal: bool,
    /// A part still on was laid aside with it, where that ends a step.
    pub aside: bool,
    /// It ended a step: by a removal, by laying aside, or of itself.
    pub ends: bool,
    /// Steps it counts of itself, each time.
    pub own: u32,
    /// Steps counted for it: a change that does not coincide, tools at once, a step ended and its own.
    pub counted: u32,
    /// Steps counted so far, this one included.
    pub total: u32,
}

/// A route recounted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Replayed {
    /// Its measures.
    pub key: Key,
    /// One line per operation, in order.
    pub ledger: Vec<Step>,
    /// Sum of [`Action::seconds`], without tool handling.
    pub seconds: u64,
    /// Changes of tools, coinciding or not.
    pub changes: u32,
}

/// Why an order of actions is not a route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReplayError {
    /// No action has this index.
    UnknownAction {
        /// Place in the order, from 0.
        position: usize,
    },
    /// The action was performed before.
    Repeated {
        /// Place in the order, from 0.
        position: usize,
    },
    /// A need of the action does not hold where it stands.
    NotEnabled {
        /// Place in the order, from 0.
        position: usize,
    },
    /// The ways chosen do not fit the action's operations.
    WrongWays {
        /// Place in the order, from 0.
        position: usize,
    },
    /// All actions are possible, but the target is not reached.
    TargetNotReached,
}

impl fmt::Display for ReplayError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (position, what) = match self {
            Self::UnknownAction { position } => (position, "is not an action of the problem"),
            Self::Repeated { position } => (position, "was performed before"),
            Self::NotEnabled { position } => (position, "needs something that does not hold yet"),
            Self::WrongWays { position } => (position, "has no such ways"),
            Self::TargetNotReached => return f.write_str("the target is not reached at the end"),
        };
        write!(f, "the action at place {} {what}", position + 1)
    }
}

impl std::error::Error for ReplayError {}

/// Recounts a route and checks that it is one.
///
/// With a target, the target must be reached at the end.
///
/// # Errors
/// The first [`ReplayError`] met, in order.
pub fn replay(problem: &RouteProblem, target: Option<&Target>, taken: &[Taken]) -> Result<Replayed, ReplayError> {
    let mut bench = Bench { each: problem.each, ..Bench::default() };
    for (position, step) in taken.iter().enumerate() {
        let action = problem.actions.get(step.action).ok_or(ReplayError::UnknownAction { position })?;
        if !bench.performed.insert(step.action) {
            return Err(ReplayError::Repeated { position });
        }
        if !bench.enables(action) {
            return Err(ReplayError::NotEnabled { position });
        }
        let ways = chosen(action, &step.ways).ok_or(ReplayError::WrongWays { position })?;
        bench.perform(step.action, action, &ways, &step.ways);
    }
    if target.is_some_and(|target| !bench.reaches(target)) {
        return Err(ReplayError::TargetNotReached);
    }
    Ok(bench.count)
}

/// The ways chosen, when they fit.
fn chosen<'a>(action: &'a Action, ways: &[usize]) -> Option<Vec<&'a Way>> {
    if action.operations.len() != ways.len() {
        return None;
    }
    action.operations.iter().zip(ways).map(|(operation, &way)| operation.ways.get(way)).collect()
}

fn subset(inner: &[ToolId], outer: &[ToolId]) -> bool {
    inner.iter().all(|tool| outer.contains(tool))
}

/// The device and the bench while a route is recounted.
#[derive(Default)]
struct Bench {
    each: bool,
    performed: BTreeSet<usize>,
    off: BTreeSet<Thing>,
    parts: BTreeSet<Thing>,
    damaged: BTreeSet<u32>,
    held: Vec<ToolId>,
    /// A step ended since the last use of tools, that use included.
    covered: bool,
    count: Replayed,
}

impl Bench {
    fn enables(&self, action: &Action) -> bool {
        action.after.iter().all(|need| need.holds(&|thing| self.off.contains(&thing)))
    }

    fn reaches(&self, target: &Target) -> bool {
        target.holds(&|thing| self.off.contains(&thing))
    }

    fn perform(&mut self, index: usize, action: &Action, ways: &[&Way], chosen: &[usize]) {
        let comes_off = action.frees.iter().any(|part| !self.off.contains(part));
        let laid_aside = action.aside.iter().any(|part| !self.off.contains(part));
        let last = ways.len().saturating_sub(1);
        let key = &mut self.count.key;
        for (operation, way) in ways.iter().enumerate() {
            let in_hand = subset(&way.tools, &self.held);
            let change = !way.tools.is_empty() && !self.held.is_empty() && !in_hand;
            let coincides = change && self.covered;
            let at_once = if self.each && (self.covered || !in_hand) { way.tools.len().saturating_sub(1) } else { 0 };
            let at_once = u32::try_from(at_once).unwrap_or(u32::MAX);
            let removal = operation == last && comes_off;
            let aside = operation == last && laid_aside;
            let ends = removal || aside || way.ends || action.operations[operation].ends;
            if !way.tools.is_empty() {
                self.held.clone_from(&way.tools);
                self.covered = false;
            }
            self.covered |= ends;
            let counted =
                (u32::from(ends) + u32::from(change && !coincides)).saturating_add(at_once).saturating_add(way.cost);
            key.steps = key.steps.saturating_add(counted);
            key.class = key.class.max(way.class);
            self.count.changes += u32::from(change);
            self.count.ledger.push(Step {
                action: index,
                operation,
                way: chosen[operation],
                change,
                coincides,
                at_once,
                removal,
                aside,
                ends,
                own: way.cost,
                counted,
                total: key.steps,
            });
        }
        if ways.is_empty() && (comes_off || laid_aside) {
            // Without a written operation the action is one by hand; it has no ledger line.
            self.covered = true;
            key.steps = key.steps.saturating_add(1);
        }
        self.off.extend(&action.frees);
        self.off.extend(action.does);
        self.parts.extend(&action.frees);
        self.damaged.extend(&action.damages);
        key.kind = key.kind.max(action.kind);
        key.place = key.place.max(action.place);
        key.skill = key.skill.max(action.skill);
        key.parts = u32::try_from(self.parts.len()).unwrap_or(u32::MAX);
        key.damaged = u32::try_from(self.damaged.len()).unwrap_or(u32::MAX);
        key.actions += 1;
        key.tie = key.tie.saturating_add(action.tie);
        self.count.seconds = self.count.seconds.saturating_add(action.seconds.into());
    }
}
