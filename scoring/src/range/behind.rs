//! Which questions bear on which parts, and on which leaves of a method.

use std::collections::{BTreeMap, BTreeSet};

use super::case::{Case, Touches, may_exist};
use super::edit::{Edit, Touched};
use super::standing::touched;
use crate::assess::{Plan, PlanKind};
use crate::method::{Measure, Points, RouteOrder};
use crate::need::{Need, Thing, things};
use crate::vocab::Promise;

/// What bears on what in a case under a method.
#[derive(Clone, Debug)]
pub(super) struct Bearing {
    /// By part asked about: the questions its routes and what is read on them depend on.
    pub(super) parts: BTreeMap<Thing, Vec<usize>>,
    /// By part asked about: all questions about anything on its ways, read on them or not.
    pub(super) about: BTreeMap<Thing, Vec<usize>>,
    /// By part asked about: there may be more than one way to it in some completion.
    pub(super) choices: BTreeMap<Thing, bool>,
    /// Parts whose way may be the maker's own in some completions and another in others.
    pub(super) official: BTreeSet<Thing>,
    /// By leaf (plan node): the questions it depends on.
    pub(super) leaves: BTreeMap<usize, Vec<usize>>,
    /// By question: what its answers change.
    pub(super) touched: Vec<Touched>,
}

impl Bearing {
    pub(super) fn new(plan: &Plan<'_>, case: &Case) -> Self {
        let touched: Vec<Touched> = case.unknowns.iter().map(touched).collect();
        let scene = Scene::new(case);
        let mut measures: BTreeMap<Thing, BTreeSet<&Measure>> = BTreeMap::new();
        for slot in &plan.slots {
            for &fill in &slot.fills {
                measures.entry(case.base.fills[fill].thing).or_default();
            }
        }
        for leaf in plan.leaves() {
            if let (PlanKind::Leaf(measure, ..), Some(slot)) = (&plan.nodes[leaf].kind, plan.nodes[leaf].slot)
                && measure.on_route()
            {
                for &fill in &plan.slots[slot].fills {
                    measures.entry(case.base.fills[fill].thing).or_default().insert(measure);
                }
            }
        }
        let (mut parts, mut about, mut choices) = (BTreeMap::new(), BTreeMap::new(), BTreeMap::new());
        let mut some = BTreeSet::new();
        for (&thing, read) in &measures {
            let mut near = scene.closure(thing);
            // The maker's own route is followed up to the part, whether or not the part needs all of it.
            if plan.method.routes.official_first {
                let official = &case.base.official;
                let whole =
                    official.iter().position(|&a| scene.surely_frees(a, thing)).map_or(official.len(), |p| p + 1);
                near.extend(official[..whole].iter().copied());
                if official[..whole].iter().any(|&a| scene.turned(a)) {
                    some.insert(thing);
                }
            }
            let touches = |t: &Touched| {
                t.actions.iter().any(|a| near.contains(a))
                    || t.tools.iter().any(|tool| near.iter().any(|&a| scene.tools[a].contains(tool)))
                    || t.fills.iter().any(|&f| case.base.fills[f].thing == thing)
            };
            // Nothing promised for a part bears on the ways to it.
            let promise = |u: &usize| {
                let mut edits = case.unknowns[*u].answers.iter().flat_map(|a| &a.edits);
                edits.all(|e| matches!(e, Edit::Spare(..)))
            };
            let touches = |u: &usize| !promise(u) && touches(&touched[*u]);
            about.insert(thing, (0..touched.len()).filter(touches).collect());
            let surcharge = plan.method.steps.remote.counts();
            // A route that is not chosen for the total is chosen by all that is met on it.
            let routes = &plan.method.routes;
            let by_total = routes.order == RouteOrder::HighestTotal && !routes.official_first;
            let on = |u: &usize| {
                if !by_total {
                    return !read.is_empty() && touches(u);
                }
                let edits = case.unknowns[*u].answers.iter().flat_map(|a| &a.edits);
                !read.is_empty() && edits.into_iter().any(|e| scene.bears(e, &near, thing, read, surcharge))
            };
            parts.insert(thing, (0..case.unknowns.len()).filter(on).collect());
            choices.insert(thing, scene.choices(&near));
        }
        let mut out = Self { parts, about, choices, official: some, leaves: BTreeMap::new(), touched };
        out.leaves = plan.leaves().map(|l| (l, out.of_leaf(plan, case, l))).collect();
        out
    }

    fn of_leaf(&self, plan: &Plan<'_>, case: &Case, leaf: usize) -> Vec<usize> {
        let node = &plan.nodes[leaf];
        let PlanKind::Leaf(measure, _, points) = &node.kind else { return Vec::new() };
        let of_slot: &[usize] = node.slot.map_or(&[], |s| &plan.slots[s].fills);
        let fills: Vec<usize> = match node.slot {
            Some(_) if measure.per_part() => of_slot.to_vec(),
            _ if **measure == Measure::SparesOffered => offered(plan, points),
            _ => Vec::new(),
        };
        let mut out = BTreeSet::new();
        if measure.on_route() {
            for &fill in &fills {
                out.extend(self.parts.get(&case.base.fills[fill].thing).into_iter().flatten().copied());
            }
        }
        let surcharge = plan.method.steps.remote.counts() && **measure == Measure::Depth;
        let reads_pairing = surcharge || matches!(measure, Measure::Paired | Measure::Promise(Promise::Pairing));
        let spare = if **measure == Measure::SparesOffered { &Measure::Promise(Promise::To) } else { *measure };
        for (u, unknown) in case.unknowns.iter().enumerate() {
            // A part that isn't there is asked nothing, not even about the device.
            let comes = |e: &Edit| matches!(e, Edit::Present(f, _) if fills.contains(f) || of_slot.contains(f));
            let bears = match &unknown.touches {
                Touches::Routes(_) => false,
                Touches::Spare(list, m) => m == spare && list.iter().any(|f| fills.contains(f)),
                Touches::Paired(list) => reads_pairing && list.iter().any(|f| fills.contains(f)),
                Touches::Part(f) => fills.contains(f) || of_slot.contains(f),
                Touches::Device(list) => list.contains(measure),
            };
            if bears || unknown.answers.iter().flat_map(|a| &a.edits).any(comes) {
                out.insert(u);
            }
        }
        out.into_iter().collect()
    }
}

/// Roles as filled that a ladder of offered parts reads.
fn offered(plan: &Plan<'_>, points: &Points) -> Vec<usize> {
    let Points::Rungs(rungs) = points else { return Vec::new() };
    let named: Vec<&String> = rungs.iter().filter_map(|r| r.roles.as_ref()).flatten().collect();
    let all = rungs.iter().any(|r| r.roles.is_none());
    let asked = plan.slots.iter().filter(|s| all && s.weight.is_some() || named.contains(&&s.role));
    asked.flat_map(|s| s.fills.iter().copied()).collect()
}

/// Actions that may lie on a route to a part, in some completion.
pub(crate) fn closure(case: &Case, target: Thing) -> BTreeSet<usize> {
    Scene::new(case).closure(target)
}

/// For some parts, the actions that may lie on a route to each, in some completion.
pub(super) fn closures(case: &Case, targets: impl Iterator<Item = Thing>) -> BTreeMap<Thing, BTreeSet<usize>> {
    let scene = Scene::new(case);
    targets.map(|target| (target, scene.closure(target))).collect()
}

/// Everything actions may be in some completion.
struct Scene<'a> {
    case: &'a Case,
    may: Vec<bool>,
    /// What each may free or do.
    gives: Vec<BTreeSet<Thing>>,
    /// What each may need.
    needs: Vec<BTreeSet<Thing>>,
    /// Tools each may use.
    tools: Vec<BTreeSet<usize>>,
    /// It may offer a choice of tools, or of what comes first.
    open: Vec<bool>,
    /// By thing: the actions that may free or do it.
    givers: BTreeMap<Thing, Vec<usize>>,
}

impl<'a> Scene<'a> {
    fn new(case: &'a Case) -> Self {
        let actions = &case.base.actions;
        let any = |needs: &[Need]| needs.iter().any(|n| matches!(n, Need::Any(m) if m.len() > 1));
        let several = |list: &[Vec<Vec<usize>>]| list.iter().any(|o| o.len() > 1);
        let mut out = Self {
            case,
            may: may_exist(case),
            gives: actions.iter().map(|a| a.frees.iter().chain(&a.does).copied().collect()).collect(),
            needs: actions.iter().map(|a| things(&a.after)).collect(),
            tools: actions.iter().map(|a| a.operations.iter().flatten().flatten().copied().collect()).collect(),
            open: actions.iter().map(|a| several(&a.operations) || any(&a.after)).collect(),
            givers: BTreeMap::new(),
        };
        for edit in case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits) {
            match edit {
                Edit::After(a, list) => {
                    out.needs[*a].extend(things(list));
                    out.open[*a] |= any(list);
                }
                Edit::Replace(a, _, thing) => {
                    out.needs[*a].insert(*thing);
                }
                Edit::Frees(a, list) => out.gives[*a].extend(list),
                Edit::Ways(a, _, ways) => {
                    out.tools[*a].extend(ways.iter().flatten());
                    out.open[*a] |= ways.len() > 1;
                }
                Edit::Operations(a, list) => {
                    out.tools[*a].extend(list.iter().flatten().flatten());
                    out.open[*a] |= several(list);
                }
                _ => {}
            }
        }
        for (index, things) in out.gives.iter().enumerate().filter(|(a, _)| out.may[*a]) {
            things.iter().for_each(|t| out.givers.entry(*t).or_default().push(index));
        }
        out
    }

    /// Actions that may lie on a route to a part, in some completion.
    fn closure(&self, target: Thing) -> BTreeSet<usize> {
        let mut found = BTreeSet::new();
        let mut things = vec![target];
        let mut seen = BTreeSet::from([target]);
        while let Some(thing) = things.pop() {
            for &index in self.givers.get(&thing).into_iter().flatten() {
                if found.insert(index) {
                    things.extend(self.needs[index].iter().filter(|t| seen.insert(**t)));
                }
            }
        }
        found
    }

    /// Whether an action frees a part in every completion.
    fn surely_frees(&self, action: usize, part: Thing) -> bool {
        let stated = &self.case.base.actions[action];
        let turned = |e: &Edit| matches!(e, Edit::Exists(a, _) | Edit::Frees(a, _) if *a == action);
        let mut edits = self.case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        stated.exists && stated.frees.contains(&part) && !edits.any(turned)
    }

    /// Whether it may hang on the completion when an action can be done, and what it does.
    fn turned(&self, action: usize) -> bool {
        let mut edits = self.case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
        edits.any(|edit| match edit {
            Edit::After(a, _) | Edit::Replace(a, ..) | Edit::Without(a, _) | Edit::Exists(a, _) | Edit::Frees(a, _) => {
                *a == action
            }
            _ => false,
        })
    }

    /// Whether there may be more than one set of actions and tools within some actions.
    fn choices(&self, near: &BTreeSet<usize>) -> bool {
        let mut given: BTreeSet<Thing> = BTreeSet::new();
        near.iter().any(|&a| self.open[a] || self.gives[a].iter().any(|t| !given.insert(*t)))
    }

    /// Whether a change can alter what is read on a route to a part.
    fn bears(
        &self,
        edit: &Edit,
        near: &BTreeSet<usize>,
        thing: Thing,
        read: &BTreeSet<&Measure>,
        surcharge: bool,
    ) -> bool {
        let reads = |m: &Measure| read.contains(m);
        let of_part = |f: &usize| self.case.base.fills[*f].thing == thing;
        match edit {
            Edit::After(a, _) | Edit::Replace(a, ..) | Edit::Without(a, _) | Edit::Exists(a, _) | Edit::Frees(a, _) => {
                near.contains(a)
            }
            Edit::Ways(a, ..) | Edit::Operations(a, _) => near.contains(a) && read.iter().any(|m| self.by_tools(m)),
            Edit::Fastener(a, ..) => near.contains(a) && reads(&Measure::Fasteners),
            Edit::Adhesive(a, ..) => near.contains(a) && reads(&Measure::Adhesives),
            Edit::Count(a, ..) | Edit::Fasten(a, ..) => {
                near.contains(a) && (reads(&Measure::Fasteners) || reads(&Measure::Adhesives))
            }
            Edit::Place(list, _) => reads(&Measure::Environment) && list.iter().any(|a| near.contains(a)),
            Edit::Skill(list, _) => reads(&Measure::Skill) && list.iter().any(|a| near.contains(a)),
            Edit::ToolClass(t, _) => reads(&Measure::Tools) && near.iter().any(|&a| self.tools[a].contains(t)),
            Edit::SeveralRoles(f, _) => reads(&Measure::Isolation) && of_part(f),
            Edit::Paired(list, _) => surcharge && reads(&Measure::Depth) && list.iter().any(of_part),
            Edit::Present(..) | Edit::Spare(..) | Edit::Support(..) | Edit::Mark(..) => false,
        }
    }

    /// Whether tools alone can change what a measure reads.
    fn by_tools(&self, measure: &Measure) -> bool {
        // An operation nobody can do leaves no way at all, which every measure tells.
        let none = |list: &[Vec<Vec<usize>>]| list.iter().any(Vec::is_empty);
        matches!(measure, Measure::Depth | Measure::Tools | Measure::HeatOrSolvent)
            || self.case.base.actions.iter().any(|a| none(&a.operations))
    }
}
