//! Bounds that hold for every completion, where there are too many to go through.

use super::case::Case;
use super::edit::Edit;
use crate::assess::points::points;
use crate::assess::{PartRoute, Plan, PlanKind, Pool, Reach, Router, Value};
use crate::exact::Exact;
use crate::method::{Absent, Measure, Remote};
use crate::record::complete::{Complete, CompleteTool};
use crate::route::{Limits, Need, Thing};
use crate::vocab::ToolClass;

/// Lowest and highest points a leaf can have in any completion; not always attained.
///
/// For the step count the kindest and the harshest completion bound all others: a route that works under stricter
/// needs works under laxer ones, a tool nothing else uses never saves a change, and leaving out a way never helps.
/// Every other measure may go either way with the route, so its table's ends stand.
pub(super) fn leaf(plan: &Plan<'_>, case: &Case, leaf: usize, limits: Limits, pool: &Pool) -> (Exact, Exact) {
    let node = &plan.nodes[leaf];
    let PlanKind::Leaf(measure, _, table) = &node.kind else { return (Exact::zero(), Exact::zero()) };
    let (mut low, mut high) = Plan::extremes(table);
    if **measure == Measure::Depth
        && let Some(slot) = node.slot
    {
        let (kind, harsh) = (kindest(case), harshest(case));
        let steps = |device: &Complete, read: &dyn Fn(&PartRoute) -> u32| -> Option<Exact> {
            let router = Router::sharing(device, &plan.method.steps, limits, pool);
            let worst = plan.slots[slot].fills.iter().map(|&f| {
                let route = router.to(device.fills[f].thing);
                let steps = i64::from(read(&route));
                (route.reach == Reach::Yes)
                    .then(|| points(table, measure.scale(), &[], &Value::Number(Exact::from(steps))).points)
            });
            worst.min().flatten()
        };
        // A search that was stopped knows a route no shorter than the shortest, and a bound no longer.
        let remote = plan.method.steps.remote;
        if remote != Remote::LeastPoints {
            low = steps(&harsh, &|route| route.steps.saturating_add(remote.steps())).unwrap_or(low);
        }
        high = steps(&kind, &|route| route.at_least).unwrap_or(high);
    }
    if let Absent::Points(absent) = &plan.method.absent {
        low = low.min(absent.clone());
        high = high.max(absent.clone());
    }
    (low.clone().min(high.clone()), high.max(low))
}

/// Every unknown answered in the way that can only make routes shorter: any order that may hold, any tool that may do.
fn kindest(case: &Case) -> Complete {
    let mut device = case.base.clone();
    for unknown in &case.unknowns {
        let mut orders: Vec<(usize, Vec<Need>)> = Vec::new();
        let mut ways: Vec<(usize, usize, Vec<Vec<usize>>)> = Vec::new();
        let mut swaps: Vec<(usize, Thing, Vec<Vec<Need>>)> = Vec::new();
        for edit in unknown.answers.iter().flat_map(|a| &a.edits) {
            match edit {
                Edit::After(a, needs) => orders.push((*a, needs.clone())),
                Edit::Ways(a, o, list) => match ways.iter_mut().find(|(x, y, _)| x == a && y == o) {
                    Some((.., all)) => all.extend(list.clone()),
                    None => ways.push((*a, *o, list.clone())),
                },
                Edit::Replace(a, slot, thing) => match swaps.iter_mut().find(|(x, s, _)| x == a && s == slot) {
                    Some((.., all)) => all.push(vec![Need::Thing(*thing)]),
                    None => swaps.push((*a, *slot, vec![vec![Need::Thing(*thing)]])),
                },
                Edit::Without(a, slot) => match swaps.iter_mut().find(|(x, s, _)| x == a && s == slot) {
                    Some((.., all)) => all.push(Vec::new()),
                    None => swaps.push((*a, *slot, vec![Vec::new()])),
                },
                Edit::Exists(a, _) => device.actions[*a].exists = true,
                _ => {}
            }
        }
        if let Some((a, _)) = orders.first() {
            let any: Vec<Vec<Need>> = orders.iter().map(|(_, needs)| needs.clone()).collect();
            device.actions[*a].after = if any.iter().any(Vec::is_empty) { Vec::new() } else { vec![Need::Any(any)] };
        }
        for (a, o, list) in ways {
            device.actions[a].operations[o] = list;
        }
        for (a, slot, members) in swaps {
            if members.iter().any(Vec::is_empty) {
                Edit::Without(a, slot).apply(&mut device);
                continue;
            }
            either(&mut device.actions[a].after, slot, &members);
        }
    }
    device
}

/// Every unknown answered in the way that can only make routes longer: everything that may have to come first, a tool
/// nothing else uses, no way that may not exist.
fn harshest(case: &Case) -> Complete {
    let mut device = case.base.clone();
    for unknown in &case.unknowns {
        let mut alone: Vec<(usize, usize)> = Vec::new();
        for edit in unknown.answers.iter().flat_map(|a| &a.edits) {
            match edit {
                Edit::After(a, needs) => device.actions[*a].after.extend(needs.clone()),
                Edit::Replace(a, _, thing) => device.actions[*a].after.push(Need::Thing(*thing)),
                Edit::Exists(a, exists) => device.actions[*a].exists &= *exists,
                Edit::Ways(a, o, _) => alone.push((*a, *o)),
                _ => {}
            }
        }
        alone.dedup();
        for (a, o) in alone {
            let name = "a tool nothing else uses".to_owned();
            device.tools.push(CompleteTool { name, class: ToolClass::Basic, heat: false, solvent: false, many: false });
            device.actions[a].operations[o] = vec![vec![device.tools.len() - 1]];
        }
        let slots = unknown.answers.iter().flat_map(|a| &a.edits).filter_map(|e| match e {
            Edit::Replace(a, slot, _) => Some((*a, *slot)),
            _ => None,
        });
        for (a, slot) in slots {
            device.actions[a].after.retain(|n| *n != Need::Thing(slot));
        }
    }
    device
}

fn either(needs: &mut [Need], slot: Thing, members: &[Vec<Need>]) {
    for need in needs {
        match need {
            Need::Thing(t) if *t == slot => *need = Need::Any(members.to_vec()),
            Need::Thing(_) => {}
            Need::Any(list) => list.iter_mut().for_each(|m| either(m, slot, members)),
        }
    }
}
