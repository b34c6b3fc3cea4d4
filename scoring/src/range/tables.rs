//! What every leaf comes to, for every answer it depends on; and which unknowns belong together.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use super::bounds;
use super::case::{Case, Touches, may_exist};
use super::edit::Edit;
use crate::assess::evaluate::{LeafPoint, leaf};
use crate::assess::solved::remembering;
use crate::assess::{PartRoute, Plan, PlanKind, Pool, Router};
use crate::exact::Exact;
use crate::method::Measure;
use crate::record::complete::{Complete, CompleteAction};
use crate::route::{Limits, Need, Thing};

/// How much work one group of unknowns may take, counted in completions so that every machine gives the same answer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Completions per part: each costs a route.
    pub routes: u64,
    /// Completions per group of unknowns that belong together.
    pub group: u64,
    /// States of one route search.
    pub states: u64,
    /// States of all route searches of one assessment together; what is left open then gets outer bounds.
    pub pool: u64,
}

impl Default for Effort {
    fn default() -> Self {
        Self { routes: 60_000, group: 60_000, states: Limits::default().states, pool: 12_000_000 }
    }
}

/// Unknowns that belong together, and every distinct thing their answers do to the leaves that read them.
#[derive(Clone, Debug)]
pub struct Component {
    /// Indices into [`Case::unknowns`].
    pub unknowns: Vec<usize>,
    /// Leaves that read them (plan nodes).
    pub leaves: Vec<usize>,
    /// Distinct outcomes.
    pub signatures: Vec<Signature>,
    /// Outcome of every completion of the component (index into `signatures`), the last unknown turning fastest; empty
    /// where it is not exact.
    pub outcomes: Vec<u32>,
    /// False: too many completions; the signatures are sound outer bounds of one leaf, attained or not.
    pub exact: bool,
}

/// One distinct outcome of a component.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signature {
    /// Points of the component's leaves.
    pub points: Vec<Option<Exact>>,
    /// The first completion with this outcome: an answer per unknown of the component.
    pub choice: Vec<usize>,
}

/// Settled leaves and components of open ones.
#[derive(Clone, Debug)]
pub struct Tables {
    /// Points of leaves no unknown bears on, by plan node.
    pub settled: BTreeMap<usize, Option<Exact>>,
    /// Components, by their first unknown.
    pub components: Vec<Component>,
    /// Per unknown: whether its answer can change a leaf.
    pub matters: Vec<bool>,
    routes: Routes,
}

type Routes = BTreeMap<Thing, Solved>;

/// The routes to one part.
#[derive(Clone, Debug)]
struct Solved {
    /// The unknowns its route depends on.
    on: Vec<usize>,
    /// Its route per choice of them, the last turning fastest.
    routes: Vec<PartRoute>,
    /// States they took.
    states: u64,
}

/// Actions that may lie on a route to a part, in some completion.
pub fn closure(case: &Case, target: Thing) -> BTreeSet<usize> {
    let mut needs: Vec<BTreeSet<Thing>> = case.base.actions.iter().map(|a| mentions(&a.after)).collect();
    for edit in case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits) {
        match edit {
            Edit::After(a, list) => needs[*a].extend(mentions(list)),
            Edit::Replace(a, _, thing) => {
                needs[*a].insert(*thing);
            }
            _ => {}
        }
    }
    let may = may_exist(case);
    let mut found = BTreeSet::new();
    let mut things = vec![target];
    let mut seen = BTreeSet::from([target]);
    while let Some(thing) = things.pop() {
        for (index, action) in case.base.actions.iter().enumerate() {
            let does = action.frees.contains(&thing) || action.does == Some(thing);
            if may[index] && does && found.insert(index) {
                things.extend(needs[index].iter().filter(|t| seen.insert(**t)));
            }
        }
    }
    found
}

fn mentions(needs: &[Need]) -> BTreeSet<Thing> {
    let mut out = BTreeSet::new();
    let mut open: Vec<&Need> = needs.iter().collect();
    while let Some(need) = open.pop() {
        match need {
            Need::Thing(t) => {
                out.insert(*t);
            }
            Need::Any(members) => open.extend(members.iter().flatten()),
        }
    }
    out
}

/// Answers of some unknowns, counted like an odometer.
struct Odometer<'c> {
    sizes: Vec<usize>,
    now: Option<Vec<usize>>,
    _case: &'c Case,
}

impl<'c> Odometer<'c> {
    fn new(case: &'c Case, unknowns: &[usize]) -> Self {
        let sizes: Vec<usize> = unknowns.iter().map(|&u| case.unknowns[u].answers.len()).collect();
        let now = Some(vec![0; sizes.len()]);
        Self { sizes, now, _case: case }
    }
}

impl Iterator for Odometer<'_> {
    type Item = Vec<usize>;
    fn next(&mut self) -> Option<Vec<usize>> {
        let out = self.now.clone()?;
        self.now = None;
        let mut next = out.clone();
        for place in (0..next.len()).rev() {
            next[place] += 1;
            if next[place] < self.sizes[place] {
                self.now = Some(next);
                break;
            }
            next[place] = 0;
        }
        Some(out)
    }
}

fn count(case: &Case, unknowns: &[usize]) -> u64 {
    unknowns.iter().fold(1_u64, |n, &u| n.saturating_mul(case.unknowns[u].answers.len() as u64))
}

/// Position of a projected choice in a table over `unknowns`.
fn rank(case: &Case, unknowns: &[usize], answer: impl Fn(usize) -> usize) -> usize {
    unknowns.iter().fold(0, |n, &u| n * case.unknowns[u].answers.len() + answer(u))
}

/// Whether a part's routes are the same question in two cases: same actions, same unknowns with the same answers, and
/// tools that differ at most by some added at the end.
fn same_question(thing: Thing, a: (&Case, &[usize]), b: (&Case, &[usize])) -> bool {
    let near = closure(a.0, thing);
    near == closure(b.0, thing)
        && near.iter().all(|&i| a.0.base.actions[i] == b.0.base.actions[i])
        && a.0.base.tools.iter().zip(&b.0.base.tools).all(|(x, y)| x == y)
        && a.1.len() == b.1.len()
        && a.1.iter().zip(b.1).all(|(&x, &y)| a.0.unknowns[x].answers == b.0.unknowns[y].answers)
}

struct Reader<'a, 'm> {
    plan: &'a Plan<'m>,
    case: &'a Case,
    effort: Effort,
    routes: Routes,
    limits: Limits,
    pool: &'a Pool,
}

impl Tables {
    /// Reads every leaf of a plan under every answer it depends on.
    pub fn new(plan: &Plan<'_>, case: &Case, effort: Effort) -> Self {
        Self::build(plan, case, effort, None)
    }

    /// As [`Tables::new`] for a case close to another under the same method: routes to parts the difference can't
    /// touch are taken over.
    pub fn near(plan: &Plan<'_>, case: &Case, effort: Effort, other: (&Case, &Self)) -> Self {
        Self::build(plan, case, effort, Some(other))
    }

    /// States the searches took.
    pub fn states(&self) -> u64 {
        self.routes.values().map(|s| s.states).sum()
    }

    /// The whole reference route to a part, where no unknown bears on it.
    pub fn settled_route(&self, thing: Thing) -> Option<&PartRoute> {
        self.routes.get(&thing).filter(|s| s.on.is_empty()).and_then(|s| s.routes.first())
    }

    fn build(plan: &Plan<'_>, case: &Case, effort: Effort, near: Option<(&Case, &Self)>) -> Self {
        let pool = Pool::new(effort.pool);
        let limits = Limits { states: effort.states };
        let mut reader = Reader { plan, case, effort, routes: BTreeMap::new(), limits, pool: &pool };
        let route_unknowns = reader.route_unknowns();
        let dependencies: BTreeMap<usize, Vec<usize>> =
            plan.leaves().map(|l| (l, reader.dependencies(l, &route_unknowns))).collect();
        reader.solve_routes(&route_unknowns, near);
        let groups = together(case.unknowns.len(), dependencies.values());
        let mut matters = vec![false; case.unknowns.len()];
        dependencies.values().flatten().for_each(|&u| matters[u] = true);
        let mut sure = Vec::new();
        let mut by_group: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for (&l, deps) in &dependencies {
            match deps.first() {
                None => sure.push(l),
                Some(&u) => by_group.entry(groups[u]).or_default().push(l),
            }
        }
        let settled = reader.table(&sure, &[]);
        let settled = sure.into_iter().zip(settled).filter_map(|(l, points)| Some((l, points.into_iter().next()?)));
        let settled = settled.collect();
        let mut components = Vec::new();
        let mut moved = vec![false; case.unknowns.len()];
        for (group, leaves) in by_group {
            let unknowns: Vec<usize> = (0..case.unknowns.len()).filter(|&u| matters[u] && groups[u] == group).collect();
            reader.component(unknowns, &leaves, &dependencies, &mut components, &mut moved);
        }
        Self { settled, components, matters: moved, routes: reader.routes }
    }
}

/// Group of each unknown: the smallest unknown it is connected with through a leaf.
fn together<'d>(unknowns: usize, dependencies: impl Iterator<Item = &'d Vec<usize>>) -> Vec<usize> {
    let mut group: Vec<usize> = (0..unknowns).collect();
    for deps in dependencies {
        if let Some(least) = deps.iter().map(|&u| group[u]).min() {
            let old: BTreeSet<usize> = deps.iter().map(|&u| group[u]).collect();
            for g in &mut group {
                if old.contains(g) {
                    *g = least;
                }
            }
        }
    }
    group
}

impl Reader<'_, '_> {
    /// Per part that route measures read: the unknowns its route depends on.
    fn route_unknowns(&self) -> BTreeMap<Thing, Vec<usize>> {
        let mut out = BTreeMap::new();
        let any = self.case.unknowns.iter().any(|u| matches!(u.touches, Touches::Routes(_)));
        for slot in &self.plan.slots {
            for &fill in &slot.fills {
                let thing = self.case.base.fills[fill].thing;
                out.entry(thing).or_insert_with(|| {
                    if !any {
                        return Vec::new();
                    }
                    let near = closure(self.case, thing);
                    let touching =
                        |t: &Touches| matches!(t, Touches::Routes(list) if list.iter().any(|a| near.contains(a)));
                    (0..self.case.unknowns.len()).filter(|&u| touching(&self.case.unknowns[u].touches)).collect()
                });
            }
        }
        out
    }

    fn dependencies(&self, leaf: usize, routes: &BTreeMap<Thing, Vec<usize>>) -> Vec<usize> {
        let node = &self.plan.nodes[leaf];
        let PlanKind::Leaf(measure, _, points) = &node.kind else { return Vec::new() };
        let of_slot: &[usize] = node.slot.map_or(&[], |s| &self.plan.slots[s].fills);
        let fills: Vec<usize> = match node.slot {
            Some(_) if measure.per_part() => of_slot.to_vec(),
            _ if **measure == Measure::SparesOffered => self.offered_fills(points),
            _ => Vec::new(),
        };
        let mut out = BTreeSet::new();
        if measure.on_route() {
            for &fill in &fills {
                let thing = self.case.base.fills[fill].thing;
                out.extend(routes.get(&thing).into_iter().flatten().copied());
            }
        }
        let surcharge = self.plan.method.steps.remote.counts() && **measure == Measure::Depth;
        let reads_pairing = surcharge || matches!(measure, Measure::Paired | Measure::Pairing);
        let spare = if **measure == Measure::SparesOffered { &Measure::SpareTo } else { *measure };
        for (u, unknown) in self.case.unknowns.iter().enumerate() {
            let touched = match &unknown.touches {
                Touches::Routes(_) => false,
                Touches::Spare(list, m) => m == spare && list.iter().any(|f| fills.contains(f)),
                Touches::Paired(list) => reads_pairing && list.iter().any(|f| fills.contains(f)),
                // A part that isn't there is asked nothing, not even about the device.
                Touches::Part(f) => fills.contains(f) || of_slot.contains(f),
                Touches::Device(list) => list.contains(measure),
            };
            if touched {
                out.insert(u);
            }
        }
        out.into_iter().collect()
    }

    /// Fills that a ladder of offered parts reads.
    fn offered_fills(&self, points: &crate::method::Points) -> Vec<usize> {
        let crate::method::Points::Rungs(rungs) = points else { return Vec::new() };
        let named: Vec<&String> = rungs.iter().filter_map(|r| r.roles.as_ref()).flatten().collect();
        let all = rungs.iter().any(|r| r.roles.is_none());
        self.plan
            .slots
            .iter()
            .filter(|s| all && s.weight.is_some() || named.contains(&&s.role))
            .flat_map(|s| s.fills.iter().copied())
            .collect()
    }

    fn solve_routes(&mut self, unknowns: &BTreeMap<Thing, Vec<usize>>, near: Option<(&Case, &Tables)>) {
        let reads_routes =
            self.plan.leaves().any(|l| matches!(&self.plan.nodes[l].kind, PlanKind::Leaf(m, _, _) if m.on_route()));
        // Parts no unknown bears on are all read on the record as it stands, and come first: what is open may take all
        // the states that are left.
        let rule = &self.plan.method.steps;
        let settled = Router::sharing(&self.case.base, rule, self.limits, self.pool);
        let (open, sure): (Vec<_>, Vec<_>) = unknowns.iter().partition(|(_, list)| !list.is_empty());
        for (&thing, list) in sure.into_iter().chain(open) {
            if !reads_routes || count(self.case, list) > self.effort.routes {
                continue;
            }
            if let Some((case, tables)) = near
                && let Some(Solved { on, routes, states }) = tables.routes.get(&thing)
                && same_question(thing, (self.case, list), (case, on))
                && self.pool.left() >= *states
            {
                self.pool.take(*states);
                self.routes.insert(thing, Solved { on: list.clone(), routes: routes.clone(), states: *states });
                continue;
            }
            let before = self.pool.left();
            let routes = if list.is_empty() { Some(vec![settled.to(thing)]) } else { self.all_routes(thing, list) };
            if let Some(routes) = routes {
                let states = before - self.pool.left();
                self.routes.insert(thing, Solved { on: list.clone(), routes, states });
            }
        }
    }

    /// What measures read on the route to a part, for every choice of the unknowns; `None` when the pool runs dry.
    fn all_routes(&self, thing: Thing, unknowns: &[usize]) -> Option<Vec<PartRoute>> {
        let lean = self.lean(thing, unknowns);
        remembering(|memo| {
            let solve = |choice: Vec<usize>| {
                let device = self.partly(&lean, unknowns, &choice);
                let router = Router::sharing(&device, &self.plan.method.steps, self.limits, self.pool);
                // Orders and ledgers are recomputed for the ends that are shown.
                let route = PartRoute { taken: Vec::new(), ..router.measured(thing, memo) };
                (!self.pool.dry()).then_some(route)
            };
            Odometer::new(self.case, unknowns).map(solve).collect()
        })
    }

    /// The base without the actions that can't lie on a route to a part, and that no answer to the unknowns is about: a
    /// copy for each of many completions is small.
    fn lean(&self, thing: Thing, unknowns: &[usize]) -> Complete {
        let mut kept = closure(self.case, thing);
        for &u in unknowns {
            if let Touches::Routes(actions) = &self.case.unknowns[u].touches {
                kept.extend(actions);
            }
        }
        let mut device = self.case.base.clone();
        for (_, action) in device.actions.iter_mut().enumerate().filter(|(index, _)| !kept.contains(index)) {
            *action = CompleteAction {
                exists: false,
                frees: Vec::new(),
                aside: Vec::new(),
                operations: Vec::new(),
                fasteners: Vec::new(),
                after: Vec::new(),
                destroys: Vec::new(),
                cleans: false,
                ..*action
            };
        }
        device
    }

    /// The base with answers to some unknowns.
    fn partial(&self, unknowns: &[usize], choice: &[usize]) -> Cow<'_, Complete> {
        self.partly(&self.case.base, unknowns, choice)
    }

    fn partly<'d>(&self, base: &'d Complete, unknowns: &[usize], choice: &[usize]) -> Cow<'d, Complete> {
        let mut device = Cow::Borrowed(base);
        for (&u, &answer) in unknowns.iter().zip(choice) {
            self.case.unknowns[u].answers[answer].edits.iter().for_each(|e| e.apply(device.to_mut()));
        }
        device
    }

    /// Points of leaves for every choice of `unknowns`: one list per leaf.
    fn table(&self, leaves: &[usize], unknowns: &[usize]) -> Vec<Vec<Option<Exact>>> {
        let mut out = vec![Vec::new(); leaves.len()];
        let destructive = self.plan.method.steps.destructive_scored;
        let scored = |r: &PartRoute| match r.reach {
            crate::assess::Reach::Yes => true,
            crate::assess::Reach::Damage => destructive,
            crate::assess::Reach::No => false,
        };
        for choice in Odometer::new(self.case, unknowns) {
            let device = self.partial(unknowns, &choice);
            let answer = |u: usize| unknowns.iter().position(|&x| x == u).map_or(0, |p| choice[p]);
            let mut routes: BTreeMap<Thing, Cow<'_, PartRoute>> = BTreeMap::new();
            for (list, &l) in out.iter_mut().zip(leaves) {
                if let Some(slot) = self.plan.nodes[l].slot {
                    for &fill in &self.plan.slots[slot].fills {
                        let thing = device.fills[fill].thing;
                        routes.entry(thing).or_insert_with(|| match self.routes.get(&thing) {
                            Some(Solved { on, routes: solved, .. }) => {
                                Cow::Borrowed(&solved[rank(self.case, on, answer)])
                            }
                            None => Cow::Owned(PartRoute::unread(&device, thing)),
                        });
                    }
                }
                let LeafPoint { points, .. } = leaf(self.plan, l, &device, &routes, &scored);
                list.push(points);
            }
        }
        out
    }

    fn component(
        &self,
        unknowns: Vec<usize>,
        leaves: &[usize],
        dependencies: &BTreeMap<usize, Vec<usize>>,
        components: &mut Vec<Component>,
        moved: &mut [bool],
    ) {
        let solvable = |l: usize| {
            let node = &self.plan.nodes[l];
            let on_route = matches!(&node.kind, PlanKind::Leaf(m, _, _) if m.on_route());
            let fills = node.slot.map(|s| &self.plan.slots[s].fills);
            count(self.case, &dependencies[&l]) <= self.effort.group
                && (!on_route
                    || fills.into_iter().flatten().all(|&f| self.routes.contains_key(&self.case.base.fills[f].thing)))
        };
        // Leaves with the same dependencies are read together.
        let mut batches: BTreeMap<&Vec<usize>, Vec<usize>> = BTreeMap::new();
        for &l in leaves.iter().filter(|&&l| solvable(l)) {
            batches.entry(&dependencies[&l]).or_default().push(l);
        }
        let mut tables: BTreeMap<usize, (&Vec<usize>, Vec<Option<Exact>>)> = BTreeMap::new();
        for (deps, batch) in batches {
            for (l, table) in batch.iter().zip(self.table(&batch, deps)) {
                tables.insert(*l, (deps, table));
            }
        }
        for &l in leaves {
            match tables.get(&l) {
                Some((deps, table)) => self.movers(deps, table, moved),
                None => dependencies[&l].iter().for_each(|&u| moved[u] = true),
            }
        }
        if leaves.iter().all(|&l| solvable(l)) && count(self.case, &unknowns) <= self.effort.group {
            let (signatures, outcomes) = self.signatures(&unknowns, leaves, &tables);
            components.push(Component { unknowns, leaves: leaves.to_vec(), signatures, outcomes, exact: true });
            return;
        }
        // Too many: each leaf apart, between bounds that hold for every completion.
        for &l in leaves {
            let (ends, left_out) = match tables.get(&l) {
                Some((_, table)) => {
                    let there = || table.iter().flatten();
                    (there().min().cloned().zip(there().max().cloned()), table.iter().any(Option::is_none))
                }
                None => {
                    let (present, absent) = self.presence(l);
                    (present.then(|| bounds::leaf(self.plan, self.case, l, self.limits, self.pool)), absent)
                }
            };
            let mut points: Vec<Option<Exact>> = Vec::new();
            if let Some((low, high)) = ends {
                points.extend([Some(low.clone()), (low != high).then_some(high)].into_iter().flatten().map(Some));
            }
            if left_out {
                points.push(None);
            }
            let signatures = points.into_iter().map(|p| Signature { points: vec![p], choice: Vec::new() }).collect();
            components.push(Component {
                unknowns: dependencies[&l].clone(),
                leaves: vec![l],
                signatures,
                outcomes: Vec::new(),
                exact: false,
            });
        }
    }

    /// Marks the unknowns whose answer alone can change a leaf.
    fn movers(&self, deps: &[usize], table: &[Option<Exact>], moved: &mut [bool]) {
        let mut stride = 1;
        for &u in deps.iter().rev() {
            let answers = self.case.unknowns[u].answers.len();
            if !moved[u] {
                // Entries `stride` apart differ in this answer only.
                let differs = |i: usize| !(i / stride).is_multiple_of(answers) && table[i] != table[i - stride];
                moved[u] = (0..table.len()).any(differs);
            }
            stride *= answers;
        }
    }

    /// Whether the part a leaf is about can be there, and whether it can be left out.
    fn presence(&self, leaf: usize) -> (bool, bool) {
        let Some(slot) = self.plan.nodes[leaf].slot else { return (true, false) };
        let asked = |f: usize| self.case.unknowns.iter().any(|u| u.touches == Touches::Part(f));
        let fills = &self.plan.slots[slot].fills;
        let can_be = fills.iter().any(|&f| self.case.base.fills[f].present || asked(f));
        let can_lack = fills.iter().all(|&f| !self.case.base.fills[f].present || asked(f));
        let leaves_out = matches!(self.plan.method.absent, crate::method::Absent::LeaveOut);
        (can_be || !leaves_out, can_lack && leaves_out)
    }

    fn signatures(
        &self,
        unknowns: &[usize],
        leaves: &[usize],
        tables: &BTreeMap<usize, (&Vec<usize>, Vec<Option<Exact>>)>,
    ) -> (Vec<Signature>, Vec<u32>) {
        let mut seen: BTreeMap<Vec<u32>, u32> = BTreeMap::new();
        let mut out = Vec::new();
        let mut outcomes = Vec::new();
        // Points as small numbers per leaf: comparing those is cheap.
        let coded: Vec<(&Vec<usize>, Vec<u32>, &Vec<Option<Exact>>)> = leaves
            .iter()
            .map(|l| {
                let (deps, table) = &tables[l];
                let mut values: Vec<&Option<Exact>> = table.iter().collect();
                values.sort();
                values.dedup();
                let codes = table
                    .iter()
                    .map(|p| u32::try_from(values.binary_search(&p).unwrap_or(0)).unwrap_or(u32::MAX))
                    .collect();
                (*deps, codes, table)
            })
            .collect();
        let places: Vec<Vec<usize>> = coded
            .iter()
            .map(|(deps, ..)| deps.iter().map(|d| unknowns.iter().position(|u| u == d).unwrap_or(0)).collect())
            .collect();
        for choice in Odometer::new(self.case, unknowns) {
            let at: Vec<usize> = coded
                .iter()
                .zip(&places)
                .map(|((deps, ..), places)| {
                    deps.iter().zip(places).fold(0, |n, (&u, &p)| n * self.case.unknowns[u].answers.len() + choice[p])
                })
                .collect();
            let code: Vec<u32> = coded.iter().zip(&at).map(|((_, codes, _), &i)| codes[i]).collect();
            let next = u32::try_from(out.len()).unwrap_or(u32::MAX);
            let outcome = *seen.entry(code).or_insert(next);
            outcomes.push(outcome);
            if outcome == next {
                let points = coded.iter().zip(&at).map(|((_, _, table), &i)| table[i].clone()).collect();
                out.push(Signature { points, choice });
            }
        }
        (out, outcomes)
    }
}
