//! Looking at a case with some questions answered and the rest left open, and at completions.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::behind::Bearing;
use super::bound::{Side, fold};
use super::case::Case;
use super::edit::{Edit, Touched};
use super::loose::{Loose, apply, loosen};
use super::near::Near;
use super::standing::{Standing, standings};
use super::study::Effort;
use super::worst::{Worst, worst};
use crate::assess::evaluate::{device_points, evaluate_with, leaf_of, parts};
use crate::assess::points::points;
use crate::assess::profiles::{Profiles, Shared};
use crate::assess::{Evaluated, Kept, PartRoute, Plan, PlanKind, Router, Value};
use crate::exact::Exact;
use crate::hashed::Hashed;
use crate::method::{Absent, Instances, Measure, RouteOrder};
use crate::record::complete::Complete;
use crate::route::{Limits, Thing};

/// Readings of one leaf kept at a time.
const SEEN: usize = 4_096;

/// What is said to one question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Pick {
    /// This answer.
    Is(usize),
    /// Something at least as good as any answer.
    High,
    /// Something at least as bad.
    Low,
}

impl Pick {
    fn number(self) -> u32 {
        match self {
            Self::High => 0,
            Self::Low => 1,
            Self::Is(answer) => u32::try_from(answer).unwrap_or(u32::MAX).saturating_add(2),
        }
    }

    /// The answer; of a question left open the first.
    pub(super) fn answer(self) -> usize {
        if let Self::Is(answer) = self { answer } else { 0 }
    }
}

/// What stands for all answers of a question left open, per end; `None`: nothing can.
type Loosened = [Option<Vec<Loose>>; 2];

type Routes = Hashed<(Thing, Vec<Pick>), Arc<Profiles>>;

/// Ends of one leaf by the picks it hangs on: low and high, each of both for the verdict alone and by itself.
type Seen = [Hashed<Box<[u32]>, Side>; 4];

/// Everything about a case under a method that doesn't depend on what is answered.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) bearing: Bearing,
    pub(super) standings: Vec<Standing>,
    /// By question: it may turn the verdict either way, and other answers stand between those that can be tried.
    pub(super) elastic: Vec<bool>,
    /// Questions about what comes first, where some answers may contradict what was done.
    pub(super) tangled: Vec<usize>,
    loosened: Vec<Loosened>,
    /// Parts something is read about on a route.
    on_route: BTreeSet<Thing>,
    /// By part asked about: the worst that may be met at all; worked out when it is first asked for.
    worst: OnceLock<BTreeMap<Thing, Worst>>,
    /// By node: the questions that what is read at a leaf can hang on.
    behind: Vec<Vec<usize>>,
    routes: Mutex<Routes>,
    /// By node: what was read at a leaf before.
    seen: Mutex<Vec<Seen>>,
    /// What all leaves came to under the first picks looked at, by the four kinds of ends: most others differ from them in a
    /// question or two, on which few leaves hang.
    first: [OnceLock<(Vec<Pick>, Vec<Side>)>; 4],
    kept: Kept,
    shared: Shared,
    /// A case close by, with what was found there.
    near: Option<Arc<Near>>,
}

/// States of the searches for all parts of one completion together, where each part would have more: some ten seconds on devices of
/// some hundred actions, far more where a state is thousands of actions wide.
const TOGETHER: u64 = 3_000_000;

/// What a look saw.
pub(super) struct Look {
    /// The verdict at the end looked for: nothing in what is left open lies beyond. `None`: left out.
    pub(super) value: Option<Exact>,
    /// Of a completion: what it surely comes to at that end, the other side of its span where a search was left open.
    #[allow(clippy::option_option, reason = "no completion; one that leaves the node out; one with a value")]
    pub(super) reached: Option<Option<Exact>>,
    /// States it took.
    pub(super) states: u64,
}

impl Ground {
    pub(super) fn new(plan: &Plan<'_>, case: &Case, kept: &Kept, near: Option<Arc<Near>>) -> Self {
        let mut standings = standings(case, &plan.method.steps);
        let bearing = Bearing::new(plan, case);
        let unsteady = unsteady(plan, &bearing);
        for &u in &unsteady {
            let all: Vec<usize> = (0..case.unknowns[u].answers.len()).collect();
            standings[u] = Standing { best: all.clone(), worst: all };
        }
        let tangled = tangled(case);
        let elastic = (0..case.unknowns.len()).map(|u| unsteady.contains(&u) && case.unknowns[u].between).collect();
        let loosened = case
            .unknowns
            .iter()
            .zip(&standings)
            .enumerate()
            .map(|(index, (u, s))| {
                if unsteady.contains(&index) {
                    return [None, None];
                }
                [(&s.worst, false), (&s.best, true)].map(|(answers, high)| match answers[..] {
                    [_] => Some(Vec::new()),
                    _ => loosen(u, answers, &case.base, high),
                })
            })
            .collect();
        let behind = (0..plan.nodes.len()).map(|leaf| hangs_on(plan, case, &bearing, leaf)).collect();
        let seen = Mutex::new((0..plan.nodes.len()).map(|_| Seen::default()).collect());
        let (kept, shared) = (kept.clone(), kept.shared(plan));
        let on_route = read_on_route(plan, case, plan.leaves());
        let first = Default::default();
        let routes = Mutex::default();
        let worst = OnceLock::new();
        Self {
            bearing,
            standings,
            elastic,
            tangled,
            loosened,
            on_route,
            worst,
            behind,
            routes,
            seen,
            first,
            kept,
            shared,
            near,
        }
    }

    pub(super) fn kept(&self) -> &Kept {
        &self.kept
    }

    /// The first case of those that this one is close to, with what was found there.
    pub(super) fn base(&self) -> Option<Arc<Near>> {
        let near = self.near.as_ref()?;
        Some(near.base().unwrap_or_else(|| Arc::clone(near)))
    }
}

/// Parts that leaves read on a route.
fn read_on_route(plan: &Plan<'_>, case: &Case, leaves: impl Iterator<Item = usize>) -> BTreeSet<Thing> {
    leaves
        .filter(|&l| matches!(&plan.nodes[l].kind, PlanKind::Leaf(m, ..) if m.on_route()))
        .filter_map(|l| plan.nodes[l].slot)
        .flat_map(|s| plan.slots[s].fills.iter().map(|&f| case.base.fills[f].thing))
        .collect()
}

/// The questions that what is read at a leaf can hang on, whatever it reads: more than those that bear on it.
fn hangs_on(plan: &Plan<'_>, case: &Case, bearing: &Bearing, leaf: usize) -> Vec<usize> {
    let node = &plan.nodes[leaf];
    let PlanKind::Leaf(measure, ..) = &node.kind else { return Vec::new() };
    let of_slot: &[usize] = node.slot.map_or(&[], |s| &plan.slots[s].fills);
    let things: BTreeSet<Thing> = of_slot.iter().map(|&f| case.base.fills[f].thing).collect();
    let any_part = **measure == Measure::SparesOffered;
    let mut out: BTreeSet<usize> = BTreeSet::new();
    if measure.on_route() {
        out.extend(things.iter().filter_map(|t| bearing.about.get(t)).flatten());
    }
    for (u, touched) in bearing.touched.iter().enumerate() {
        let of_part = touched.fills.iter().any(|&f| any_part || things.contains(&case.base.fills[f].thing));
        if of_part || touched.support && !measure.per_part() {
            out.insert(u);
        }
    }
    out.into_iter().collect()
}

/// Questions whose answers may turn the verdict either way. Where routes are not chosen for the total, a better fact may bring in
/// a route on which other things are worse.
fn unsteady(plan: &Plan<'_>, bearing: &Bearing) -> BTreeSet<usize> {
    let shortest = plan.method.routes.order == RouteOrder::FewestSteps;
    let mut out = BTreeSet::new();
    for (thing, list) in &bearing.parts {
        if bearing.official.contains(thing) || shortest && bearing.choices.get(thing).copied().unwrap_or(true) {
            out.extend(list.iter().copied());
        }
    }
    // Where one of several parts counts as a whole, a better fact may make it another one.
    for (leaf, list) in &bearing.leaves {
        if as_whole(plan, *leaf) {
            out.extend(list.iter().copied());
        }
    }
    out
}

/// Questions about what comes first; none where nothing is known to have been done, with which answers could be at odds.
fn tangled(case: &Case) -> Vec<usize> {
    let order = |e: &Edit| {
        matches!(e, Edit::After(..) | Edit::Replace(..) | Edit::Without(..) | Edit::Exists(..) | Edit::Frees(..))
    };
    let open = |u: &usize| case.unknowns[*u].answers.iter().flat_map(|a| &a.edits).any(order);
    if case.done.is_empty() { Vec::new() } else { (0..case.unknowns.len()).filter(open).collect() }
}

/// Whether one of several parts may count as a whole for a leaf.
pub(super) fn as_whole(plan: &Plan<'_>, leaf: usize) -> bool {
    let several = plan.nodes[leaf].slot.is_some_and(|s| plan.slots[s].fills.len() > 1);
    several && plan.method.instances == Instances::LowestAsWhole
}

/// A case with its ground, for looking at.
pub(super) struct Looker<'a, 'm> {
    pub(super) plan: &'a Plan<'m>,
    pub(super) case: &'a Case,
    pub(super) ground: &'a Ground,
    pub(super) effort: Effort,
}

impl Looker<'_, '_> {
    /// The picks of an end: the one answer that is surely best or worst, else left open.
    pub(super) fn picks(&self, given: &[(usize, usize)], high: bool) -> Vec<Pick> {
        let mut out: Vec<Pick> = self
            .ground
            .standings
            .iter()
            .map(|s| match (if high { &s.best } else { &s.worst })[..] {
                [one] => Pick::Is(one),
                _ if high => Pick::High,
                _ => Pick::Low,
            })
            .collect();
        given.iter().for_each(|&(u, a)| out[u] = Pick::Is(a));
        out
    }

    /// What stands for a question left open, where anything can.
    fn stands_for(&self, u: usize, pick: Pick) -> Option<&[Loose]> {
        self.ground.loosened[u][usize::from(pick == Pick::High)].as_deref()
    }

    /// Questions left open that nothing can stand for.
    fn free(&self, picks: &[Pick]) -> Vec<usize> {
        let open = |(u, pick): (usize, &Pick)| {
            (!matches!(pick, Pick::Is(_)) && self.stands_for(u, *pick).is_none()).then_some(u)
        };
        picks.iter().enumerate().filter_map(open).collect()
    }

    /// The case with picks made.
    fn device(&self, picks: &[Pick]) -> Complete {
        let mut device = self.case.base.clone();
        let mut loose: Vec<Loose> = Vec::new();
        for (u, pick) in picks.iter().enumerate() {
            match pick {
                Pick::Is(answer) => {
                    self.case.unknowns[u].answers[*answer].edits.iter().for_each(|e| e.apply(&mut device));
                }
                _ => loose.extend(self.stands_for(u, *pick).into_iter().flatten().cloned()),
            }
        }
        apply(&loose, &mut device);
        device
    }

    /// Parts the plan asks about that the device has, as far as the picks tell; those that may be there count.
    pub(super) fn asked(&self, picks: &[Pick]) -> Vec<Thing> {
        let mut present: Vec<bool> = self.case.base.fills.iter().map(|f| f.present).collect();
        for (u, pick) in picks.iter().enumerate().filter(|(u, _)| !self.ground.bearing.touched[*u].fills.is_empty()) {
            let answers = &self.case.unknowns[u].answers;
            let made = match pick {
                Pick::Is(answer) => std::slice::from_ref(&answers[*answer]),
                _ => &answers[..],
            };
            for edit in made.iter().flat_map(|a| &a.edits) {
                if let Edit::Present(fill, is) = edit {
                    present[*fill] = *is || made.len() > 1;
                }
            }
        }
        let slots = self.plan.slots.iter().flat_map(|s| s.fills.iter());
        let there: BTreeSet<Thing> = slots.filter(|f| present[**f]).map(|&f| self.case.base.fills[f].thing).collect();
        there.into_iter().collect()
    }

    fn limits(&self) -> Limits {
        let parts = self.ground.bearing.about.len().max(1) as u64;
        Limits { states: self.effort.states.min(self.effort.pool.min(TOGETHER) / parts).max(1) }
    }

    pub(super) fn profiles(&self, router: &Router<'_>, thing: Thing, picks: &[Pick]) -> Arc<Profiles> {
        let key = self.key(thing, picks);
        self.known(&key).unwrap_or_else(|| {
            let near = self.ground.near.as_ref();
            let found = near.and_then(|near| near.profiles(self.plan, router, thing));
            let found = found.unwrap_or_else(|| self.ground.shared.profiles(self.plan, router, thing));
            self.ground.routes.lock().unwrap_or_else(PoisonError::into_inner).insert(key, Arc::clone(&found));
            found
        })
    }

    /// Parts whose routes may be anything while these questions are open.
    fn wild_things(&self, free: &[usize]) -> BTreeSet<Thing> {
        let bearing = &self.ground.bearing;
        let hit = |u: &usize| {
            let touched = &bearing.touched[*u];
            free.contains(u) && !(touched.actions.is_empty() && touched.tools.is_empty())
        };
        bearing.about.iter().filter(|(_, about)| about.iter().any(hit)).map(|(&thing, _)| thing).collect()
    }

    fn key(&self, thing: Thing, picks: &[Pick]) -> (Thing, Vec<Pick>) {
        let about = self.ground.bearing.about.get(&thing).map_or(&[][..], Vec::as_slice);
        (thing, about.iter().map(|&u| picks[u]).collect())
    }

    fn known(&self, key: &(Thing, Vec<Pick>)) -> Option<Arc<Profiles>> {
        self.ground.routes.lock().unwrap_or_else(PoisonError::into_inner).get(key).cloned()
    }

    pub(super) fn router<'d>(&self, device: &'d Complete) -> Router<'d>
    where
        Self: 'd,
    {
        Router::keeping(device, &self.plan.method.steps, self.limits(), &self.ground.kept)
    }

    /// A completion: an answer to every question.
    pub(super) fn completed(&self, choice: &[usize]) -> Evaluated {
        let picks: Vec<Pick> = choice.iter().map(|&a| Pick::Is(a)).collect();
        let device = self.case.complete(choice);
        let router = self.router(&device);
        evaluate_with(self.plan, &device, &router, &mut |thing| self.profiles(&router, thing, &picks))
    }

    /// One end of the verdict under these picks.
    pub(super) fn look(&self, picks: &[Pick], up: bool) -> Look {
        self.ground.kept.looked();
        let decided = picks.iter().all(|p| matches!(p, Pick::Is(_)));
        let mut states = 0;
        let free = self.free(picks);
        if free.is_empty() {
            let mut device: Option<Complete> = None;
            let mut single = self.plan.method.instances != Instances::LowestAsWhole;
            for thing in self.asked(picks) {
                let found = self.known(&self.key(thing, picks)).unwrap_or_else(|| {
                    let device = device.get_or_insert_with(|| self.device(picks));
                    let router = self.router(device);
                    self.profiles(&router, thing, picks)
                });
                states += found.states;
                single &= found.found.len() == 1 && found.most.is_none();
            }
            if !single {
                let device = device.unwrap_or_else(|| self.device(picks));
                let router = self.router(&device);
                let evaluated =
                    evaluate_with(self.plan, &device, &router, &mut |thing| self.profiles(&router, thing, picks));
                let [low, high] = [evaluated.values[0].clone(), evaluated.most[0].clone()];
                let [value, other] = if up { [high, low] } else { [low, high] };
                return Look { value, reached: decided.then_some(other), states };
            }
            // With one route to every part, what is read at the leaves is all there is to know.
        }
        let sides = self.sides_of(picks, up, false);
        let value = sides[0].value.clone();
        if !free.is_empty() {
            // Charged whether they were found now or before, so that what was asked before changes nothing.
            let wild = self.wild_things(&free);
            for thing in self.asked(picks).into_iter().filter(|t| self.ground.on_route.contains(t) && !wild.contains(t))
            {
                states += self.known(&self.key(thing, picks)).map_or(0, |found| found.states);
            }
        }
        Look { reached: decided.then(|| value.clone()), value, states }
    }

    /// One end of every node, whatever the routes chosen in a completion.
    pub(super) fn sides(&self, given: &[(usize, usize)], high: bool) -> Vec<Side> {
        let picks = self.picks(given, high);
        self.sides_of(&picks, high, true)
    }

    /// `each`: every node by itself, though a completion chooses its routes for the verdict; else for the verdict alone.
    fn sides_of(&self, picks: &[Pick], high: bool, each: bool) -> Vec<Side> {
        let place = usize::from(high) + 2 * usize::from(each);
        let Some((first, sides)) = self.ground.first[place].get() else {
            let leaves: Vec<usize> = self.plan.leaves().collect();
            let mut sides = vec![Side::default(); self.plan.nodes.len()];
            self.sides_at(&leaves, picks, high, each, &mut sides);
            let folded = fold(self.plan, high, &sides);
            // Of two that are first at once, either does.
            let _ = self.ground.first[place].set((picks.to_vec(), sides));
            return folded;
        };
        let differs: Vec<bool> = picks.iter().zip(first).map(|(a, b)| a != b).collect();
        let other = |leaf: &usize| self.ground.behind[*leaf].iter().any(|&u| differs[u]);
        let leaves: Vec<usize> = self.plan.leaves().filter(other).collect();
        let mut sides = sides.clone();
        self.sides_at(&leaves, picks, high, each, &mut sides);
        fold(self.plan, high, &sides)
    }

    /// The ends of some leaves, each read once for what it hangs on.
    fn sides_at(&self, leaves: &[usize], picks: &[Pick], high: bool, each: bool, out: &mut [Side]) {
        let place = usize::from(high) + 2 * usize::from(each);
        let mut key: Vec<u32> = Vec::new();
        let write = |leaf: usize, key: &mut Vec<u32>| {
            key.clear();
            key.extend(self.ground.behind[leaf].iter().map(|&u| picks[u].number()));
        };
        let mut missing: Vec<usize> = Vec::new();
        {
            let seen = self.ground.seen.lock().unwrap_or_else(PoisonError::into_inner);
            for &leaf in leaves {
                write(leaf, &mut key);
                match seen[leaf][place].get(&key[..]) {
                    Some(side) => out[leaf] = side.clone(),
                    None => missing.push(leaf),
                }
            }
        }
        if missing.is_empty() {
            return;
        }
        let read = self.read(picks, &missing, high, each);
        let mut seen = self.ground.seen.lock().unwrap_or_else(PoisonError::into_inner);
        for (leaf, side) in missing.into_iter().zip(read) {
            write(leaf, &mut key);
            let of = &mut seen[leaf][place];
            if of.len() >= SEEN {
                of.clear();
            }
            of.insert(key.clone().into_boxed_slice(), side.clone());
            out[leaf] = side;
        }
    }

    /// Reads some leaves under these picks.
    fn read(&self, picks: &[Pick], leaves: &[usize], high: bool, each: bool) -> Vec<Side> {
        let (mut device, free) = (self.device(picks), self.free(picks));
        let mut wild = Wild::default();
        for &u in &free {
            for edit in self.case.unknowns[u].answers.iter().flat_map(|a| &a.edits) {
                match edit {
                    Edit::Present(fill, _) => wild.open.insert(*fill),
                    _ => wild.questions.insert(u),
                };
            }
        }
        wild.open.iter().for_each(|&f| device.fills[f].present = true);
        wild.things = self.wild_things(&free);
        let mut without = device.clone();
        wild.open.iter().for_each(|&f| without.fills[f].present = false);
        let router = self.router(&device);
        // Routes of the parts that these leaves read.
        let wanted = read_on_route(self.plan, self.case, leaves.iter().copied());
        let mut routes: BTreeMap<Thing, Arc<Profiles>> = BTreeMap::new();
        for thing in parts(self.plan, &device) {
            if wanted.contains(&thing) && !wild.things.contains(&thing) {
                routes.insert(thing, self.profiles(&router, thing, picks));
            }
        }
        let reader =
            Reader { of: self, device: &device, without: &without, router: &router, routes: &routes, wild: &wild };
        leaves.iter().map(|&leaf| reader.side(leaf, high, each)).collect()
    }
}

/// What is open and nothing stands for.
#[derive(Default)]
struct Wild {
    /// Parts that may be there or not.
    open: BTreeSet<usize>,
    /// Parts whose routes may be anything.
    things: BTreeSet<Thing>,
    /// Questions whose answers may be anything.
    questions: BTreeSet<usize>,
}

struct Reader<'a, 'm> {
    of: &'a Looker<'a, 'm>,
    /// Everything there that may be there.
    device: &'a Complete,
    /// Nothing there that may be missing.
    without: &'a Complete,
    router: &'a Router<'a>,
    routes: &'a BTreeMap<Thing, Arc<Profiles>>,
    wild: &'a Wild,
}

impl Reader<'_, '_> {
    fn side(&self, leaf: usize, high: bool, each: bool) -> Side {
        let plan = self.of.plan;
        let node = &plan.nodes[leaf];
        let PlanKind::Leaf(measure, _, table) = &node.kind else { return Side::default() };
        let (worst, best) = Plan::extremes(table);
        let utmost = if high { best } else { worst };
        // A part that isn't there is offered for all a ladder asks.
        let there = if high { self.without } else { self.device };
        let whole = || {
            if self.wild(leaf, |touched| touched.support || **measure == Measure::SparesOffered) {
                return Some(utmost.clone());
            }
            Some(device_points(plan, leaf, there))
        };
        let Some(slot) = node.slot else { return Side { value: whole(), optional: false } };
        let fills = plan.slots[slot].fills.iter().copied().filter(|&f| self.device.fills[f].present);
        let (open, sure): (Vec<usize>, Vec<usize>) = fills.partition(|f| self.wild.open.contains(f));
        let value = |fill: usize| {
            let found = if measure.per_part() { self.of_fill(leaf, fill, high, each) } else { whole() };
            found.unwrap_or_else(|| utmost.clone())
        };
        let absent = match &plan.method.absent {
            Absent::Points(p) => Some(p.clone()),
            Absent::LeaveOut => None,
        };
        if high {
            if as_whole(plan, leaf) && !sure.is_empty() {
                let most = sure.iter().chain(&open).map(|&f| value(f)).max();
                return Side { value: most, optional: false };
            }
            // Of several instances the worst counts: no more of them than must be.
            if let Some(least) = sure.iter().map(|&f| value(f)).min() {
                return Side { value: Some(least), optional: false };
            }
            let some = open.iter().map(|&f| value(f)).max();
            return match absent {
                Some(p) => Side { value: Some(some.map_or(p.clone(), |s| s.max(p))), optional: false },
                None => Side { value: some, optional: true },
            };
        }
        let least = sure.iter().chain(&open).map(|&f| value(f)).min();
        match (absent, sure.is_empty()) {
            (_, false) => Side { value: least, optional: false },
            (Some(p), true) => Side { value: Some(least.map_or(p.clone(), |l| l.min(p))), optional: false },
            (None, true) => Side { value: least, optional: true },
        }
    }

    /// Whether a question whose answers may be anything bears on a leaf by what they change.
    fn wild(&self, leaf: usize, changes: impl Fn(&Touched) -> bool) -> bool {
        let bearing = &self.of.ground.bearing;
        let mut questions = bearing.leaves.get(&leaf).into_iter().flatten();
        questions.any(|u| self.wild.questions.contains(u) && changes(&bearing.touched[*u]))
    }

    /// One end of what a leaf has for one part.
    fn of_fill(&self, leaf: usize, fill: usize, high: bool, each: bool) -> Option<Exact> {
        let (of, plan) = (self.of, self.of.plan);
        let PlanKind::Leaf(measure, _, table) = &plan.nodes[leaf].kind else { return None };
        if self.wild(leaf, |touched| touched.fills.contains(&fill)) {
            return None;
        }
        let thing = self.device.fills[fill].thing;
        if !measure.on_route() {
            // What else the piece does may hang on roles that it may not have.
            let same = |f: &usize| *f != fill && self.device.fills[*f].thing == thing;
            if **measure == Measure::Bundling && self.wild.open.iter().any(same) {
                return None;
            }
            let unread = PartRoute::unread(self.device, thing);
            return leaf_of(plan, leaf, self.device, fill, &unread, self.router.scored(&unread))?.points;
        }
        let profiles = self.routes.get(&thing)?;
        let place = profiles.readings.iter().position(|r| *r == (leaf, fill))?;
        let all = || profiles.found.iter().map(|c| &c.points[place]);
        if high {
            return all().chain(profiles.most.iter().map(|m| &m[place])).max().cloned();
        }
        if !each {
            return Some(profiles.least.as_ref().unwrap_or(&profiles.found[0].points)[place].clone());
        }
        // The verdict may be served by another route, in this completion or in another.
        let bearing = &of.ground.bearing;
        // That a part comes off undamaged holds on every route that may be scored, if it does on one.
        let alike = **measure == Measure::Reachable && !plan.method.steps.destructive_scored;
        let moved = !alike && bearing.parts.get(&thing).is_some_and(|list| !list.is_empty());
        // With one way at most it is the same in all completions, but for what is better or worse on it.
        if moved && bearing.choices.get(&thing).copied().unwrap_or(true) || profiles.most.is_some() {
            // Where every completion has a way, whatever is met on it is no worse than the worst of what may be met at all.
            let reached = profiles.found.iter().all(|c| self.router.scored(&c.route));
            let all = of.ground.worst.get_or_init(|| worst(of.case, bearing.about.keys().copied()));
            let worst = all.get(&thing).filter(|_| reached)?.of(measure)?;
            let words = measure.words();
            let at = |rank: u8| points(table, measure.scale(), &words, &Value::Word(rank)).points;
            return (0..=worst).map(at).min();
        }
        all().min().cloned()
    }
}
