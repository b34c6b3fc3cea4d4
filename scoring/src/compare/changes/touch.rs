//! Which criteria a change may move, in whatever company.

use std::collections::BTreeSet;

use super::apply::Make;
use crate::assess::{Plan, PlanKind};
use crate::method::Measure;
use crate::range::{Case, Edit, Study, closure};

/// Leaves (plan nodes) a change may move: alone or together with others. No change adds a need, so once every way
/// that failed is let in, the actions that may lie on a route to a part only become fewer.
pub(super) fn touched(study: &Study<'_>, make: &Make) -> BTreeSet<usize> {
    let (plan, case) = (&study.plan, &study.case.awake());
    match make {
        Make::Works(action) | Make::BasicTool(action, _) | Make::Alone(action, _) => on_route(plan, case, *action),
        Make::Edits(edits) => edits.iter().flat_map(|e| by_edit(plan, case, e)).collect(),
    }
}

fn by_edit(plan: &Plan<'_>, case: &Case, edit: &Edit) -> BTreeSet<usize> {
    match edit {
        Edit::Ways(a, ..)
        | Edit::Operations(a, _)
        | Edit::After(a, _)
        | Edit::Replace(a, ..)
        | Edit::Without(a, _)
        | Edit::Fastener(a, ..)
        | Edit::Adhesive(a, ..)
        | Edit::Count(a, ..)
        | Edit::Fasten(a, ..)
        | Edit::Exists(a, _)
        | Edit::Frees(a, _) => on_route(plan, case, *a),
        Edit::Place(list, _) | Edit::Skill(list, _) => list.iter().flat_map(|&a| on_route(plan, case, a)).collect(),
        Edit::ToolClass(..) => leaves(plan, |m, _| m.on_route()),
        Edit::Present(f, _) | Edit::SeveralRoles(f, _) => leaves(plan, |_, slot| slot.contains(f)),
        Edit::Paired(list, _) => leaves(plan, |_, slot| list.iter().any(|f| slot.contains(f))),
        Edit::Spare(list, ..) => leaves(plan, |m, slot| {
            *m == Measure::SparesOffered || !m.on_route() && list.iter().any(|f| slot.contains(f))
        }),
        // Company may depend on facts of the device.
        Edit::Support(..) | Edit::Mark(..) => leaves(plan, |m, _| !m.per_part() || *m == Measure::Bundling),
    }
}

fn on_route(plan: &Plan<'_>, case: &Case, action: usize) -> BTreeSet<usize> {
    let near = |fill: &usize| closure(case, case.base.fills[*fill].thing).contains(&action);
    leaves(plan, |m, slot| m.on_route() && slot.iter().any(near))
}

fn leaves(plan: &Plan<'_>, wanted: impl Fn(&Measure, &[usize]) -> bool) -> BTreeSet<usize> {
    plan.leaves()
        .filter(|&l| {
            let node = &plan.nodes[l];
            let slot: &[usize] = node.slot.map_or(&[], |s| &plan.slots[s].fills);
            matches!(&node.kind, PlanKind::Leaf(m, _, _) if wanted(m, slot))
        })
        .collect()
}
