//! Recounting a route from its actions alone. Shares no code with the search, so that each can
//! be held against the other.

use std::collections::BTreeSet;
use std::fmt;

use super::answer::{Key, Taken};
use super::problem::{Action, Problem, Target, Thing, ToolId, Way};

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
    /// It ended a removal, or a step as one.
    pub removal: bool,
    /// Steps counted for it: 0, 1 or 2.
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
pub fn replay(
    problem: &Problem,
    target: Option<&Target>,
    taken: &[Taken],
) -> Result<Replayed, ReplayError> {
    let mut bench = Bench::default();
    for (position, step) in taken.iter().enumerate() {
        let action = problem
            .actions
            .get(step.action)
            .ok_or(ReplayError::UnknownAction { position })?;
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
pub fn performed(
    problem: &Problem,
    target: &Target,
    order: &[usize],
) -> Result<Performed, ReplayError> {
    let mut off: BTreeSet<Thing> = BTreeSet::new();
    let mut seen = BTreeSet::new();
    let mut used: Vec<(usize, bool)> = Vec::new();
    let mut unmet = Vec::new();
    for (position, &index) in order.iter().enumerate() {
        if target.holds(&|thing| off.contains(&thing)) {
            break;
        }
        let action = problem
            .actions
            .get(index)
            .ok_or(ReplayError::UnknownAction { position })?;
        if !seen.insert(index) {
            return Err(ReplayError::Repeated { position });
        }
        if action
            .operations
            .iter()
            .any(|operation| operation.ways.is_empty())
        {
            return Err(ReplayError::WrongWays { position });
        }
        if !action
            .after
            .iter()
            .all(|need| need.holds(&|thing| off.contains(&thing)))
        {
            unmet.push(index);
        }
        let fresh = action
            .frees
            .iter()
            .filter(|part| off.insert(**part))
            .count()
            > 0;
        off.extend(action.does);
        used.push((index, fresh || action.ends_step));
    }
    let taken = least_ways(problem, &used);
    let mut bench = Bench::default();
    for step in &taken {
        let action = &problem.actions[step.action];
        if let Some(ways) = chosen(action, &step.ways) {
            bench.perform(step.action, action, &ways, &step.ways);
        }
    }
    let reached = bench.reaches(target);
    Ok(Performed {
        replayed: bench.count,
        taken,
        reached,
        unmet,
    })
}

/// For a fixed order with known removals, the ways that count least, the earliest first.
pub(super) fn least_ways(problem: &Problem, order: &[(usize, bool)]) -> Vec<Taken> {
    // One layer per operation; `cost[way]` is the least that can follow when that way is taken.
    struct Layer<'a> {
        at: usize,
        ways: &'a [Way],
        /// A removal ended with this operation.
        ends: bool,
    }
    let mut layers = Vec::new();
    for (at, &(index, ends)) in order.iter().enumerate() {
        let operations = &problem.actions[index].operations;
        for (place, operation) in operations.iter().enumerate() {
            let ends = ends && place + 1 == operations.len();
            layers.push(Layer {
                at,
                ways: &operation.ways,
                ends,
            });
        }
    }
    // States after a layer: the tools held (empty: none yet) and whether a removal covers.
    type State<'a> = (&'a [ToolId], bool);
    fn after<'a>(state: State<'a>, way: &'a Way, ends: bool) -> (State<'a>, u32) {
        let (held, covered) = state;
        if way.tools.is_empty() {
            return ((held, covered || ends), 0);
        }
        let change = !held.is_empty() && !subset(&way.tools, held);
        ((way.tools.as_slice(), ends), u32::from(change && !covered))
    }
    let mut reachable: Vec<Vec<State<'_>>> = vec![vec![(&[], false)]];
    for layer in &layers {
        let mut next = BTreeSet::new();
        for &state in reachable.last().into_iter().flatten() {
            next.extend(layer.ways.iter().map(|way| after(state, way, layer.ends).0));
        }
        reachable.push(next.into_iter().collect());
    }
    let mut rest: std::collections::BTreeMap<State<'_>, u32> = reachable
        .last()
        .into_iter()
        .flatten()
        .map(|state| (*state, 0))
        .collect();
    let mut best: Vec<std::collections::BTreeMap<State<'_>, usize>> = Vec::new();
    for (depth, layer) in layers.iter().enumerate().rev() {
        let mut costs = std::collections::BTreeMap::new();
        let mut picks = std::collections::BTreeMap::new();
        for &state in &reachable[depth] {
            let options = layer.ways.iter().enumerate().filter_map(|(way, tools)| {
                let (next, cost) = after(state, tools, layer.ends);
                rest.get(&next).map(|rest| (cost + rest, way))
            });
            if let Some((cost, way)) = options.min() {
                costs.insert(state, cost);
                picks.insert(state, way);
            }
        }
        rest = costs;
        best.push(picks);
    }
    best.reverse();
    let mut taken: Vec<Taken> = order
        .iter()
        .map(|&(action, _)| Taken {
            action,
            ways: Vec::new(),
        })
        .collect();
    let mut state: State<'_> = (&[], false);
    for (layer, picks) in layers.iter().zip(&best) {
        let Some(&way) = picks.get(&state) else { break };
        taken[layer.at].ways.push(way);
        state = after(state, &layer.ways[way], layer.ends).0;
    }
    taken
}

/// The ways chosen, when they fit.
fn chosen<'a>(action: &'a Action, ways: &[usize]) -> Option<Vec<&'a Way>> {
    if action.operations.len() != ways.len() {
        return None;
    }
    action
        .operations
        .iter()
        .zip(ways)
        .map(|(operation, &way)| operation.ways.get(way))
        .collect()
}

fn subset(inner: &[ToolId], outer: &[ToolId]) -> bool {
    inner.iter().all(|tool| outer.contains(tool))
}

/// The device and the bench while a route is recounted.
#[derive(Default)]
struct Bench {
    performed: BTreeSet<usize>,
    off: BTreeSet<Thing>,
    parts: BTreeSet<Thing>,
    damaged: BTreeSet<u32>,
    held: Vec<ToolId>,
    /// A removal ended since the last use of tools, that use included.
    covered: bool,
    count: Replayed,
}

impl Bench {
    fn enables(&self, action: &Action) -> bool {
        action
            .after
            .iter()
            .all(|need| need.holds(&|thing| self.off.contains(&thing)))
    }

    fn reaches(&self, target: &Target) -> bool {
        target.holds(&|thing| self.off.contains(&thing))
    }

    fn perform(&mut self, index: usize, action: &Action, ways: &[&Way], chosen: &[usize]) {
        let comes_off = action.frees.iter().any(|part| !self.off.contains(part));
        let last = ways.len().saturating_sub(1);
        let key = &mut self.count.key;
        for (operation, way) in ways.iter().enumerate() {
            let change =
                !way.tools.is_empty() && !self.held.is_empty() && !subset(&way.tools, &self.held);
            let coincides = change && self.covered;
            let removal = operation == last && (comes_off || action.ends_step);
            if !way.tools.is_empty() {
                self.held.clone_from(&way.tools);
                self.covered = false;
            }
            self.covered |= removal;
            let counted = u32::from(removal) + u32::from(change && !coincides);
            key.steps += counted;
            key.class = key.class.max(way.class);
            self.count.changes += u32::from(change);
            self.count.ledger.push(Step {
                action: index,
                operation,
                way: chosen[operation],
                change,
                coincides,
                removal,
                counted,
                total: key.steps,
            });
        }
        if ways.is_empty() && (comes_off || action.ends_step) {
            // Without a written operation the action is one by hand; it has no ledger line.
            self.covered = true;
            key.steps += 1;
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
