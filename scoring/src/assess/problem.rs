//! A complete record as a route problem, by the step rule of a method.

use crate::method::{Heating, Simultaneous, StepRule};
use crate::need::Need;
use crate::record::complete::{Complete, CompleteAction, MANY};
use crate::route::{Action, Operation, RouteProblem, Thing, Way};
use crate::vocab::ToolClass;
use crate::vocab::class::Words;

/// A route problem and where its actions come from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Posed {
    /// The problem; actions that don't exist are left out.
    pub problem: RouteProblem,
    /// For each action of the problem, its index in [`Complete::actions`].
    pub origin: Vec<usize>,
}

/// Poses the problem of a complete record. Ties between equal routes are broken for no target yet: see [`Posed::aim`].
pub fn pose(device: &Complete, rule: &StepRule) -> Posed {
    let mut actions = Vec::new();
    let mut origin = Vec::new();
    for (index, action) in device.actions.iter().enumerate().filter(|(_, a)| a.exists) {
        actions.push(pose_action(device, action, rule));
        origin.push(index);
    }
    let things = u32::try_from(device.things.len()).unwrap_or(u32::MAX);
    Posed { problem: RouteProblem { things, actions, each: rule.simultaneous == Simultaneous::Each }, origin }
}

/// One action as the rule reads it.
pub(super) fn pose_action(device: &Complete, action: &CompleteAction, rule: &StepRule) -> Action {
    let aside = if rule.aside_is_step { action.aside.clone() } else { Vec::new() };
    Action {
        frees: action.frees.clone(),
        aside,
        does: action.does,
        operations: pose_operations(device, action, rule),
        // What an action takes off itself it doesn't wait for.
        after: action
            .after
            .iter()
            .filter(|n| !matches!(n, Need::Thing(t) if action.frees.contains(t)))
            .cloned()
            .collect(),
        damages: action.destroys.clone(),
        kind: action.fasteners.iter().filter(|f| f.count > 0).map(|f| f.kind.rank()).max().unwrap_or(0),
        place: action.place.rank(),
        skill: action.skill.rank(),
        tie: joints(action) + (u64::from(hot(device, action)) << 7),
        seconds: 0,
    }
}

/// The operations of an action as the rule reads them: those of the record, in order, and bare hands after a heating
/// that by itself would free a part or lay one aside, where heating is a step.
fn pose_operations(device: &Complete, action: &CompleteAction, rule: &StepRule) -> Vec<Operation> {
    let left_out = action.cleans && rule.heating == Heating::Nothing;
    let operation = |ways: &Vec<Vec<usize>>| Operation {
        ways: ways.iter().map(|set| pose_way(device, set, rule, left_out)).collect(),
        ends: false,
    };
    let mut operations: Vec<Operation> = action.operations.iter().map(operation).collect();
    let lifts = !(action.frees.is_empty() && action.aside.is_empty());
    let heats_last = operations.last().is_some_and(|last| last.ways.iter().any(|way| way.ends));
    let ends = action.mains && rule.mains_is_step || action.cleans && rule.heating == Heating::Step;
    if lifts && heats_last || operations.is_empty() && ends {
        operations.push(Operation { ways: vec![Way::default()], ends: false });
    }
    if let Some(last) = operations.last_mut() {
        last.ends = ends;
    }
    operations
}

/// Adhesive joints of an action, as far as ties tell them apart.
fn joints(action: &CompleteAction) -> u64 {
    let joints: u64 = action.fasteners.iter().filter(|f| f.adhesive).map(|f| u64::from(f.count)).sum();
    joints.min(127)
}

/// Whether an action can't be done without heat or a solvent.
fn hot(device: &Complete, action: &CompleteAction) -> bool {
    let uses = |set: &Vec<usize>| set.iter().any(|&t| device.tools[t].heat || device.tools[t].solvent);
    action.operations.iter().any(|ways| !ways.is_empty() && ways.iter().all(uses))
}

fn pose_way(device: &Complete, set: &[usize], rule: &StepRule, left_out: bool) -> Way {
    let class = way_class(device, set);
    let heats = !set.is_empty() && set.iter().all(|&t| device.tools[t].heat);
    let many = set.iter().any(|&t| device.tools[t].many);
    // What is left out of the count leaves the hand-and-change bookkeeping, but is still met.
    let tools = if left_out || heats && rule.heating == Heating::Nothing { &[] } else { set };
    Way {
        tools: tools.iter().map(|&t| u16::try_from(t).unwrap_or(u16::MAX)).collect(),
        class: class.rank(),
        cost: if many { MANY } else { 0 },
        ends: heats && rule.heating == Heating::Step,
    }
}

/// The worst class of a set of tools; none for bare hands.
pub fn way_class(device: &Complete, set: &[usize]) -> ToolClass {
    set.iter().map(|&t| device.tools[t].class).max().unwrap_or(ToolClass::None)
}

impl Posed {
    /// The problem with ties broken for one target, so that no measure read on the route depends on record order:
    /// bundled removal, then tool class and fastener kind of the freeing action, then actions that can't do without
    /// heat or a solvent (below 64), then adhesive joints (below 128).
    pub fn aim(&self, device: &Complete, target: Thing) -> RouteProblem {
        let mut problem = self.problem.clone();
        for (action, &origin) in problem.actions.iter_mut().zip(&self.origin) {
            if action.frees.contains(&target) {
                let bundled = u64::from(bundles(device, origin, target));
                let class = action
                    .operations
                    .iter()
                    .map(|o| o.ways.iter().map(|w| w.class).min().unwrap_or(0))
                    .max()
                    .unwrap_or(0);
                action.tie += bundled << 18 | u64::from(class) << 15 | u64::from(action.kind) << 13;
            }
        }
        problem
    }
}

/// Whether an action that frees `target` frees another part in the same lift.
pub fn bundles(device: &Complete, action: usize, target: Thing) -> bool {
    device.actions[action].frees.iter().any(|&t| t != target)
}
