//! The question: things to reach, actions that reach them, and what each costs.

pub use crate::need::{Need, Thing};

/// A tool, numbered from 0 by the caller.
pub type ToolId = u16;

/// Everything that can be done to one device.
///
/// Numbers are the caller's; an action's place in `actions` is its record order, the last key of
/// a reference route. A need for a thing that no action reaches is never met.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct RouteProblem {
    /// How many things there are; every [`Thing`] is below this.
    pub things: u32,
    /// The actions, in record order.
    pub actions: Vec<Action>,
    /// Each tool beyond the first of several at once counts a step when they are taken up (not all in hand
    /// already), or used after a step ended.
    pub each: bool,
}

/// One thing a person does, and all that a route through it costs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Action {
    /// Parts this takes off. If all of them are off already, no removal is ended.
    pub frees: Vec<Thing>,
    /// Parts this lays aside, where that ends a step as a removal does. If all of them are off already, it ends none.
    pub aside: Vec<Thing>,
    /// The milestone of having done it.
    pub does: Option<Thing>,
    /// Uses of tools or hands, contiguous and in order. Empty counts as one operation by hand.
    pub operations: Vec<Operation>,
    /// What must hold before; all of it.
    pub after: Vec<Need>,
    /// Parts destroyed, by any numbering; each distinct id counts once per route.
    pub damages: Vec<u32>,
    /// Rank of the worst fastener kind met, 0 best; the worst on a route is a key.
    pub kind: u8,
    /// Rank of the working environment, 0 best.
    pub place: u8,
    /// Rank of the skill level, 0 best.
    pub skill: u8,
    /// Additive tie-break, compared after the number of actions; below 2^20.
    pub tie: u64,
    /// Cost under [`Cost::Time`] without tool handling, in any integer unit.
    pub seconds: u32,
}

/// One contiguous use of tools; exactly one of its ways is chosen.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Operation {
    /// The ways; either suffices. Without any, the action can't be performed.
    pub ways: Vec<Way>,
    /// Ends a step as a removal does, whichever way is chosen.
    pub ends: bool,
}

/// Tools used at once in one operation.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Way {
    /// Sorted, without repeats; empty for bare hands.
    pub tools: Vec<ToolId>,
    /// Rank of the worst tool class among them, 0 best.
    pub class: u8,
    /// Steps it counts each time, beyond steps ended and changes. Sums saturate at `u32::MAX`.
    pub cost: u32,
    /// Chosen, it ends a step as a removal does.
    pub ends: bool,
}

/// What a route must reach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// Every one of these.
    All(Vec<Thing>),
    /// At least one of these.
    AnyOf(Vec<Thing>),
}

/// The leading cost of a route that is not a reference route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cost {
    /// Counted steps.
    Steps,
    /// Seconds of all actions, plus `change` for every change of tools. Every change is charged,
    /// coinciding or not; the first pick-up is free and hands are never a change.
    Time {
        /// Cost of one change, in the unit of [`Action::seconds`].
        change: u32,
    },
    /// Parts taken off.
    Parts,
}

impl Cost {
    /// A count of changes, as this cost takes it.
    pub(super) fn priced(self, changes: u32) -> u64 {
        match self {
            Self::Steps => changes.into(),
            Self::Time { change } => u64::from(changes) * u64::from(change),
            Self::Parts => 0,
        }
    }
}

/// How long a search may go on. Counted in states, so that every machine gives the same answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// States visited, over all stages of one question.
    pub states: u64,
}

impl Default for Limits {
    /// Four million states: seconds of work, and memory well below 500 MB.
    fn default() -> Self {
        Self { states: 4_000_000 }
    }
}

impl Target {
    /// Whether the target is reached, given which things are.
    pub fn holds(&self, reached: &impl Fn(Thing) -> bool) -> bool {
        match self {
            Self::All(things) => things.iter().all(|thing| reached(*thing)),
            Self::AnyOf(things) => things.iter().any(|thing| reached(*thing)),
        }
    }
}
