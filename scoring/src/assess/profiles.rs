//! All routes to one part that no other beats in what a method reads on them.
//!
//! From the shortest route on: a route that beats it in some reading must do without something, be it every tool above a class,
//! an action that opens glue, or a part taken off. Each way of doing without is searched in turn, with what is left. So
//! every route that nothing beats has one among those found that equals it, and that one has the least key
//! (steps, worst tool class, fastener kind, environment, skill, parts off, actions, names).

mod again;
mod differs;
mod idle;
mod official;

pub(crate) use again::again;
pub(crate) use differs::{Behind, Differs};
pub(crate) use idle::Idle;

use std::cell::OnceCell;
use std::collections::HashSet;
use std::hash::{Hash, Hasher};
use std::sync::{Arc, Mutex, PoisonError};

use super::kept::same_under;
use super::measures::{Subject, of_part};
use super::outcome::{Met, PartRoute, Reach, Router};
use super::points::points;
use super::problem::way_class;
use super::restrict::Space;
use super::toward::Toward;
use super::{Plan, PlanKind};
use crate::exact::Exact;
use crate::hashed::Hashed;
use crate::method::{Measure, Points, Reading, RouteOrder};
use crate::record::complete::{CompleteAction, CompleteTool, Fill, OnRoutes};
use crate::route::{Certificate, Key, Limits, SearchAnswer, Thing};
use crate::vocab::class::Words;
use crate::vocab::{Kind, Place, Skill, ToolClass};

/// Searches for one part: past them the rest is bounded.
const SEARCHES: usize = 240;
/// Of the limit of a part one search has one in so many: no verdict of a shipped sample needs more.
const SHARE: u64 = 4;

/// A route and what it gives.
#[derive(Clone, Debug)]
pub(crate) struct Candidate {
    /// The route.
    pub(crate) route: PartRoute,
    /// Its key: steps first.
    pub(crate) key: Key,
    /// Points, in the order of [`Profiles::readings`].
    pub(crate) points: Vec<Exact>,
}

/// The routes to one part that nothing beats.
#[derive(Clone, Debug)]
pub(crate) struct Profiles {
    /// What is read on a route: leaf of the plan, and the role as filled.
    pub(crate) readings: Vec<(usize, usize)>,
    /// The routes, least key first; one that stands for no route where there is none.
    pub(crate) found: Vec<Candidate>,
    /// Where a search was left open: no route has more points than these.
    pub(crate) most: Option<Vec<Exact>>,
    /// Where a search for the one route that a reading names was left open: that route has no fewer points than these.
    /// `None`: no fewer than those found, which are routes to choose from or are proved to be that one.
    pub(crate) least: Option<Vec<Exact>>,
    /// States the searches took.
    pub(crate) states: u64,
}

/// Actions of all parts kept together: some tens of megabytes.
const KEPT: usize = 100_000;

/// Routes of parts found before, for cases of one plan that differ here and there: what a part's routes are found from is
/// the key, so what is kept never changes a result. A copy shares them.
#[derive(Clone, Debug, Default)]
pub(crate) struct Shared(Arc<Mutex<(Known, usize)>>);

/// By what they are found from: the limit, whether of those that tie each is the first in record order, and the routes.
type Known = Hashed<Content, Vec<(u64, bool, Arc<Profiles>)>>;

/// Everything the routes to one part, and what is read on them, are found from.
#[derive(Debug, PartialEq, Eq)]
struct Content {
    thing: Thing,
    asked: Vec<(usize, usize)>,
    actions: Vec<(usize, Arc<CompleteAction>)>,
    /// What the actions reach is taken in alphabetical order.
    names: Arc<Vec<String>>,
    tools: Vec<(usize, CompleteTool)>,
    fills: Vec<OnRoutes>,
}

impl Shared {
    /// The routes to a part that nothing beats.
    pub(crate) fn profiles(&self, plan: &Plan<'_>, router: &Router<'_>, thing: Thing) -> Arc<Profiles> {
        let device = router.device();
        if plan.method.routes.official_first && !device.official.is_empty() {
            return Arc::new(profiles(plan, router, thing));
        }
        let content = Content::new(plan, router, thing);
        let lock = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let states = router.limits().states;
        let fits = |(limit, ordered, found): &&(u64, bool, Arc<Profiles>)| {
            router.takes(*ordered) && (*limit == states || found.most.is_none() && same_under(found.states, states))
        };
        if let Some((_, _, found)) = lock().0.get(&content).and_then(|list| list.iter().find(fits)) {
            return Arc::clone(found);
        }
        let found = Arc::new(profiles(plan, router, thing));
        let mut store = lock();
        if store.1 > KEPT {
            *store = (Hashed::default(), 0);
        }
        store.1 += 1 + content.actions.len();
        store.0.entry(content).or_default().push((states, !router.takes(false), Arc::clone(&found)));
        found
    }
}

impl Hash for Content {
    /// Names are mostly those of the record: telling them apart is left to the comparison.
    fn hash<H: Hasher>(&self, state: &mut H) {
        (self.thing, &self.asked, &self.actions, &self.fills).hash(state);
    }
}

impl Content {
    fn new(plan: &Plan<'_>, router: &Router<'_>, thing: Thing) -> Self {
        let device = router.device();
        let behind = router.behind(thing);
        let mut tools: Vec<usize> =
            behind.iter().flat_map(|&a| device.actions[a].operations.iter().flatten().flatten().copied()).collect();
        tools.sort_unstable();
        tools.dedup();
        let asked: Vec<(usize, usize)> = asked(plan, router, thing).iter().map(|a| (a.leaf, a.fill)).collect();
        Self {
            thing,
            fills: device.fills.iter().filter(|f| f.thing == thing).map(Fill::on_routes).collect(),
            asked,
            actions: behind.iter().map(|&a| (a, device.actions.shared(a))).collect(),
            names: Arc::clone(&device.things),
            tools: tools.into_iter().map(|t| (t, device.tools[t].clone())).collect(),
        }
    }
}

/// One reading on a route.
struct Asked<'p> {
    leaf: usize,
    fill: usize,
    measure: &'p Measure,
    reading: Reading,
    table: &'p Points,
    words: Vec<&'static str>,
}

/// A level met on a route, for what measures read as its worst.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Level {
    Class,
    Kind,
    Place,
    Skill,
    Heat,
}

impl Level {
    fn of(measure: &Measure) -> Option<Self> {
        Some(match measure {
            Measure::Tools => Self::Class,
            Measure::Fasteners => Self::Kind,
            Measure::Environment => Self::Place,
            Measure::Skill => Self::Skill,
            Measure::HeatOrSolvent => Self::Heat,
            _ => return None,
        })
    }
}

/// Finds the routes to a part that nothing beats.
pub(crate) fn profiles(plan: &Plan<'_>, router: &Router<'_>, thing: Thing) -> Profiles {
    let asked = asked(plan, router, thing);
    let readings = asked.iter().map(|a| (a.leaf, a.fill)).collect();
    let mut job = Job::new(plan, router, thing, asked, router.toward(thing));
    let routes = &plan.method.routes;
    let by_steps = routes.order == RouteOrder::FewestSteps;
    if !(routes.official_first && job.official(by_steps)) {
        job.run(by_steps);
    }
    let Job { found, most, least, states, .. } = job;
    Profiles { readings, found: unbeaten(found), most, least, states }
}

fn asked<'p>(plan: &Plan<'p>, router: &Router<'_>, thing: Thing) -> Vec<Asked<'p>> {
    let mut out = Vec::new();
    for leaf in plan.leaves() {
        let node = &plan.nodes[leaf];
        let (PlanKind::Leaf(measure, reading, table), Some(slot)) = (&node.kind, node.slot) else { continue };
        if !measure.on_route() {
            continue;
        }
        for &fill in &plan.slots[slot].fills {
            if router.device().fills[fill].thing == thing {
                out.push(Asked { leaf, fill, measure, reading: *reading, table, words: measure.words() });
            }
        }
    }
    out
}

/// Those that no other beats or equals with a lesser key.
fn unbeaten(mut found: Vec<Candidate>) -> Vec<Candidate> {
    found.sort_by_key(|a| a.key);
    let mut out: Vec<Candidate> = Vec::new();
    for one in found {
        if !out.iter().any(|o| covers(&o.points, &one.points)) {
            out.retain(|o| !covers(&one.points, &o.points));
            out.push(one);
        }
    }
    out
}

/// As good in everything.
fn covers(a: &[Exact], b: &[Exact]) -> bool {
    a.iter().zip(b).all(|(a, b)| a >= b)
}

struct Job<'a, 'd> {
    plan: &'a Plan<'a>,
    router: &'a Router<'d>,
    thing: Thing,
    asked: Vec<Asked<'a>>,
    space: Space,
    /// By [`Level`].
    levels: [OnceCell<Vec<u8>>; 5],
    found: Vec<Candidate>,
    most: Option<Vec<Exact>>,
    least: Option<Vec<Exact>>,
    states: u64,
    searches: usize,
}

/// What a search came to.
struct Searched {
    candidate: Candidate,
    /// No route within has a lesser key.
    floor: Key,
    /// No route within counts fewer steps.
    whole: bool,
    /// Nor has one a lesser key.
    first: bool,
}

/// What is left of the ways, and what is known of every route within.
struct Cell {
    left: Vec<u64>,
    floor: Key,
    /// Worked out when it is first asked for; see [`Job::ideal`].
    ideal: OnceCell<PartRoute>,
}

impl Cell {
    fn new(left: Vec<u64>, floor: Key) -> Self {
        Self { left, floor, ideal: OnceCell::new() }
    }

    /// Lets in what is left in another one.
    fn join(&mut self, other: &Self) {
        self.left.iter_mut().zip(&other.left).for_each(|(all, more)| *all |= more);
        self.floor.steps = self.floor.steps.min(other.floor.steps);
        self.ideal.take();
    }
}

impl<'a, 'd> Job<'a, 'd> {
    fn new(plan: &'a Plan<'a>, router: &'a Router<'d>, thing: Thing, asked: Vec<Asked<'a>>, toward: Toward) -> Self {
        let space = Space::new(toward, router.rule().destructive_scored);
        let levels = Default::default();
        Self {
            plan,
            router,
            thing,
            asked,
            space,
            levels,
            found: Vec::new(),
            most: None,
            least: None,
            states: 0,
            searches: 0,
        }
    }

    fn run(&mut self, first_only: bool) {
        let mut seen: HashSet<Vec<u64>> = HashSet::new();
        let mut open = vec![Cell::new(self.space.start(), Key::default())];
        while let Some(mut cell) = open.pop() {
            self.states += self.space.weight();
            if !self.space.settle(&mut cell.left) || !seen.insert(cell.left.clone()) {
                continue;
            }
            if !self.found.is_empty() && self.hopeless(&cell) {
                continue;
            }
            if self.spent() {
                // Looking at each of what is left would be work too: all of it together has no less of anything.
                for other in open {
                    cell.join(&other);
                }
                self.bound(&cell, cell.floor.steps);
                break;
            }
            let Some(Searched { candidate, floor, whole, first }) = self.search(&cell) else { continue };
            if first_only && !first {
                self.unnamed(&cell, floor.steps, &candidate.points);
            }
            // What is left of a cell that a search didn't get through is bounded already, and no easier in pieces.
            if !first_only && whole {
                let ideal = self.best(&cell, candidate.key.steps);
                let spent = self.spent();
                if spent && !covers(&candidate.points, &ideal) {
                    self.bound(&cell, floor.steps);
                }
                for (place, best) in ideal.iter().enumerate() {
                    if !spent && candidate.points[place] < *best {
                        let ways = self.without(place, &candidate, &cell.left);
                        open.extend(ways.into_iter().map(|left| Cell::new(left, floor)));
                    }
                }
            }
            self.found.push(candidate);
            if first_only {
                break;
            }
        }
        if self.found.is_empty() {
            self.unreached();
        }
    }

    /// Whether no more searches are to be made.
    fn spent(&self) -> bool {
        self.searches >= SEARCHES || self.states >= self.router.limits().states
    }

    /// Without a route that may be scored: the least destructive one, or none.
    fn unreached(&mut self) {
        let toward = self.space.toward();
        let limits = self.left();
        let solved = self.router.search(toward.problem.clone(), toward.target, limits);
        self.states += solved.states;
        let (route, key) = self.router.read(self.thing, &toward.origin, None, &solved);
        // Whether damage can be done without was settled before: only an open search leaves a bound.
        if self.most.is_none() && route.reach == Reach::No && !route.proved {
            let all = Cell::new(self.space.start(), Key::default());
            self.bound(&all, route.at_least);
        }
        let points = self.points(&route);
        self.found.push(Candidate { route: PartRoute { proved: self.most.is_none(), ..route }, key, points });
    }

    fn left(&self) -> Limits {
        let all = self.router.limits().states;
        Limits { states: all.saturating_sub(self.states).min(all / SHARE).max(1) }
    }

    /// The shortest route with what is left.
    fn search(&mut self, cell: &Cell) -> Option<Searched> {
        self.searches += 1;
        let rest = self.space.filter(&cell.left);
        let solved = self.router.search(rest.problem, self.space.toward().target, self.left());
        self.states += solved.states;
        let at_least = match &solved.answer {
            SearchAnswer::Unreachable => return None,
            SearchAnswer::Undecided { at_least } => {
                self.bound(cell, *at_least);
                return None;
            }
            SearchAnswer::Route { certificate: Certificate::AtLeast(n), route, .. } if *n < route.key.steps => {
                self.bound(cell, *n);
                Some(*n)
            }
            SearchAnswer::Route { .. } => None,
        };
        let (route, key) = self.router.read(self.thing, &rest.origin, Some(&rest.ways), &solved);
        let route_proved = route.proved;
        let points = self.points(&route);
        let floor = at_least.map_or(key, |n| Key { steps: n, ..Key::default() });
        let whole = at_least.is_none();
        Some(Searched { candidate: Candidate { route, key, points }, floor, whole, first: whole && route_proved })
    }

    /// Whether something found covers all that could be found here.
    fn hopeless(&self, cell: &Cell) -> bool {
        let ideal = self.best(cell, cell.floor.steps);
        self.found.iter().any(|f| covers(&f.points, &ideal) && (f.points != ideal || f.key <= cell.floor))
    }

    /// Notes that a cell was not gone through.
    fn bound(&mut self, cell: &Cell, at_least: u32) {
        let ideal = self.best(cell, at_least);
        self.most = Some(match self.most.take() {
            Some(most) => most.into_iter().zip(ideal).map(|(a, b)| a.max(b)).collect(),
            None => ideal,
        });
    }

    /// Notes that a route stands for one that a search left open: it may have more points or fewer.
    fn unnamed(&mut self, cell: &Cell, at_least: u32, known: &[Exact]) {
        self.bound(cell, at_least);
        let worst = self.asked.iter().map(|a| Plan::extremes(a.table).0);
        self.least = Some(worst.zip(known).map(|(worst, points)| worst.min(points.clone())).collect());
    }

    /// No route of a cell with at least so many steps has more points than these.
    fn best(&self, cell: &Cell, steps: u32) -> Vec<Exact> {
        let steps = steps.saturating_add(self.router.authorisation(self.thing));
        let ideal = cell.ideal.get_or_init(|| self.ideal(&cell.left, |_| true)).clone();
        self.points(&PartRoute { steps, at_least: steps, ..ideal })
    }

    fn points(&self, route: &PartRoute) -> Vec<Exact> {
        let scored = self.router.scored(route);
        self.asked
            .iter()
            .map(|a| {
                let fill = &self.router.device().fills[a.fill];
                let subject = Subject { fill, route, scored, company: Vec::new() };
                let value = of_part(self.plan.method, a.measure, a.reading, &subject);
                points(a.table, a.measure.scale(), &a.words, &value).points
            })
            .collect()
    }

    fn reads(&self, measure: &Measure) -> bool {
        self.asked.iter().any(|a| a.measure == measure)
    }

    /// A route that has the least of everything but steps any route within what is left can have; there need be none. What isn't
    /// wanted is at its best.
    fn ideal(&self, left: &[u64], wanted: impl Fn(&Measure) -> bool) -> PartRoute {
        let reads = |measure: &Measure| wanted(measure) && self.reads(measure);
        let mut route = PartRoute { reach: Reach::Yes, ..PartRoute::unread(self.router.device(), self.thing) };
        let space = &self.space;
        let able = space.able(left);
        let freeing: Vec<usize> = space.freeing(left).collect();
        for measure in
            [Measure::Tools, Measure::Fasteners, Measure::Environment, Measure::Skill, Measure::HeatOrSolvent]
        {
            let Some(level) = Level::of(&measure).filter(|_| reads(&measure)) else { continue };
            let levels = self.levels(level);
            let whole = space.least_level(left, &able, levels);
            let part = freeing.iter().map(|&a| space.level(left, a, levels)).min().unwrap_or(0);
            set_level(&mut route.route, level, whole);
            set_level(&mut route.part, level, part);
        }
        if reads(&Measure::Adhesives) {
            let glued = |a: usize| self.glued(a);
            let whole = space.least_sum(&able, glued);
            let part = freeing.iter().map(|&a| glued(a)).min().unwrap_or(0);
            route.route.joints = whole;
            route.part.joints = part;
        }
        if reads(&Measure::PartsInTheWay) {
            route.in_the_way = space.least_parts(&able);
        }
        route.bundled = freeing.iter().all(|&a| space.bundles(a));
        route
    }

    /// Adhesive joints an action opens.
    fn glued(&self, action: usize) -> u32 {
        let fasteners = &self.router.device().actions[self.space.origin(action)].fasteners;
        fasteners.iter().filter(|f| f.adhesive).fold(0, |n, f| n.saturating_add(f.count))
    }

    /// The level of every unit: worked out once, looked up for everything that is left at some time.
    fn levels(&self, level: Level) -> &[u8] {
        self.levels[level as usize].get_or_init(|| {
            let of_ways = matches!(level, Level::Class | Level::Heat);
            self.space.levels(of_ways, |a, o, w| self.rank(level, a, o, w))
        })
    }

    /// The level of one way of an action of the problem.
    fn rank(&self, level: Level, action: usize, operation: usize, way: usize) -> u8 {
        let device = self.router.device();
        let of = &device.actions[self.space.origin(action)];
        let set = || of.operations.get(operation).and_then(|o| o.get(way)).map_or(&[][..], Vec::as_slice);
        match level {
            Level::Class => way_class(device, set()).rank(),
            Level::Kind => of.fasteners.iter().filter(|f| f.count > 0).map(|f| f.kind.rank()).max().unwrap_or(0),
            Level::Place => of.place.rank(),
            Level::Skill => of.skill.rank(),
            Level::Heat => u8::from(set().iter().any(|&t| device.tools[t].heat || device.tools[t].solvent)),
        }
    }

    /// What is left after each way of doing without what keeps a route from more points in one reading.
    fn without(&self, place: usize, candidate: &Candidate, left: &[u64]) -> Vec<Vec<u64>> {
        let Asked { measure, reading, table, words, .. } = &self.asked[place];
        let now = &candidate.points[place];
        let route = &candidate.route;
        let space = &self.space;
        let ban = |units: &[usize]| {
            let mut rest = left.to_vec();
            units.iter().for_each(|&u| Space::ban(&mut rest, u));
            rest
        };
        let action = |a: usize| space.action_unit(a);
        let on_route: Vec<usize> = route.taken.iter().filter_map(|(a, _)| space.place(*a)).collect();
        if let Some(level) = Level::of(measure) {
            // Levels that give no more than this one.
            let bad = |rank: u8| {
                let value = super::Value::Word(rank);
                points(table, measure.scale(), words, &value).points <= *now
            };
            let levels = self.levels(level);
            // What was banned before keeps nothing back any more.
            let bad_ways = |a: usize| -> Vec<usize> {
                space.units(a).filter(|&u| Space::open(left, u) && bad(levels[u])).collect()
            };
            if *reading == Reading::Route {
                let all: Vec<usize> = (0..space.len()).flat_map(bad_ways).collect();
                return vec![ban(&all)];
            }
            let near = self.near(&on_route);
            let Some(at) = near.iter().position(|(a, _)| !bad_ways(*a).is_empty()) else { return Vec::new() };
            let mut out = vec![ban(&bad_ways(near[at].0))];
            out.extend(Self::path(&near, at).map(|a| ban(&[action(a)])));
            return out;
        }
        match measure {
            Measure::Adhesives if *reading == Reading::Route => {
                on_route.iter().filter(|&&a| self.glued(a) > 0).map(|&a| ban(&[action(a)])).collect()
            }
            Measure::Adhesives => {
                let near = self.near(&on_route);
                let mut out = Vec::new();
                for at in (0..near.len()).filter(|&at| self.glued(near[at].0) > 0) {
                    out.push(ban(&[action(near[at].0)]));
                    out.extend(Self::path(&near, at).map(|a| ban(&[action(a)])));
                }
                out
            }
            Measure::PartsInTheWay => space
                .parts_before(&on_route)
                .into_iter()
                .map(|part| ban(&space.only_before(part).map(action).collect::<Vec<_>>()))
                .collect(),
            Measure::Isolation => {
                vec![ban(&space.freeing(left).filter(|&a| space.bundles(a)).map(action).collect::<Vec<_>>())]
            }
            Measure::Reachable => vec![ban(&space.destroying().map(action).collect::<Vec<_>>())],
            _ => Vec::new(),
        }
    }

    /// The actions of a route at the part, each with the place in this list of the one that speaks of it.
    fn near(&self, on_route: &[usize]) -> Vec<(usize, Option<usize>)> {
        let space = &self.space;
        let mut out: Vec<(usize, Option<usize>)> =
            on_route.iter().copied().filter(|&a| space.frees_target(a)).take(1).map(|a| (a, None)).collect();
        let mut at = 0;
        while at < out.len() {
            let wanted = space.speaks_of(out[at].0);
            for &a in on_route {
                if space.does(a).is_some_and(|d| wanted.contains(&d)) && !out.iter().any(|(b, _)| *b == a) {
                    out.push((a, Some(at)));
                }
            }
            at += 1;
        }
        out
    }

    /// The actions between one at the part and the freeing action, that one included.
    fn path(near: &[(usize, Option<usize>)], at: usize) -> impl Iterator<Item = usize> + '_ {
        std::iter::successors(near[at].1, |&p| near[p].1).map(|p| near[p].0)
    }
}

fn set_level(met: &mut Met, level: Level, rank: u8) {
    fn word<W: Words>(rank: u8) -> W {
        W::ALL[usize::from(rank).min(W::ALL.len() - 1)]
    }
    match level {
        Level::Class => met.tools.0 = word::<ToolClass>(rank),
        Level::Kind => met.fasteners.0 = word::<Kind>(rank),
        Level::Place => met.place.0 = word::<Place>(rank),
        Level::Skill => met.skill.0 = word::<Skill>(rank),
        Level::Heat => met.heat_or_solvent = if rank > 0 { vec![0] } else { Vec::new() },
    }
}
