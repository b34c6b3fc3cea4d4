//! A problem compiled for one search: only what can matter for the target, in dense numbers.
//!
//! Left out are actions that can't be reached and actions nothing on the way to the target needs.
//! Leaving out an unneeded action never costs a step: what it does to the tools held is worth no
//! more than it counts (taking up tools counts what having them in hand saves; a step ended counts
//! the change it absorbs). The one exception, an action that is needed for its `does` while other
//! actions can take off all it frees or lays aside, is compiled into two: one that ends a step, and
//! one that waits until all of that is off. Such parts count as needed.

use super::bits::Bits;
use super::landmarks::landmarks;
use super::moves::{HANDS, Move, Tools, least};
use super::problem::{Action, Cost, Need, RouteProblem, Target, Thing};
use crate::need::{all_hold, mentioned};

/// Members one flattened group may have; more is refused as undecided.
const MEMBERS: usize = 2_000;
/// Things and actions a search takes on; the landmark sets grow with the square.
const SIZE: usize = 4_096;

/// What a route may not contain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filter {
    /// Ids of parts that may be destroyed, sorted.
    pub(super) damage: Vec<u32>,
    /// Highest class, kind, place and skill rank.
    pub(super) ranks: [u8; 4],
}

#[derive(Clone, Debug)]
pub(super) struct Act {
    /// Index in the problem.
    pub(super) original: usize,
    /// Things needed, all of them.
    pub(super) needs: Vec<usize>,
    /// Things reached that matter.
    pub(super) gives: Vec<usize>,
    /// Parts taken off, in dense numbers.
    pub(super) parts: Vec<usize>,
    pub(super) moves: Vec<Move>,
    /// The tool set it can only begin with, if any.
    pub(super) demands: Option<u16>,
    /// Tool sets it may leave in hand, but for that one.
    pub(super) supplies: Bits,
    /// What it counts at least, taking up its first tools apart; see [`least`].
    pub(super) least: u32,
    /// It lets the next tools come without a change, whichever way is chosen.
    pub(super) absorbs: bool,
    /// 0 until [`Net::tied`].
    pub(super) tie: u64,
    pub(super) seconds: u64,
}

impl Act {
    /// Notes which tool sets it begins with and leaves.
    fn tools(&mut self, subset: &[Vec<bool>]) {
        let first = self.moves[0].first;
        let single = self.moves.iter().all(|entry| entry.first == first);
        self.demands = Some(first).filter(|first| single && usize::from(*first) < subset.len());
        self.supplies = Bits::new(subset.len());
        for (set, within) in subset.iter().enumerate().filter(|(set, _)| self.demands.map(usize::from) != Some(*set)) {
            let leaves = |entry: &Move| within.get(usize::from(entry.last)).is_some_and(|yes| *yes);
            if self.moves.iter().any(leaves) {
                self.supplies.insert(set);
            }
        }
    }
}

/// Alternatives: at least one member must hold.
#[derive(Clone, Debug)]
pub(super) struct Group {
    pub(super) owner: Owner,
    pub(super) members: Vec<Member>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Owner {
    /// The action needs one member before it; members are sets of things.
    Act(usize),
    /// The thing is reached by one member; members are single actions.
    Thing(usize),
}

#[derive(Clone, Debug)]
pub(super) struct Member {
    /// Things, or one action, by landmark index.
    pub(super) nodes: Vec<usize>,
    /// Everything reached on any way to all of them.
    pub(super) lm: Bits,
}

/// The compiled problem. Landmark indices: things first, then actions; the last action is the goal.
#[derive(Clone, Debug)]
pub(super) struct Net {
    pub(super) things: usize,
    pub(super) acts: Vec<Act>,
    pub(super) groups: Vec<Group>,
    /// Per thing, the actions that reach it.
    pub(super) providers: Vec<Vec<usize>>,
    /// Per landmark index, what every way to it contains, itself included.
    pub(super) lm: Vec<Bits>,
    pub(super) parts: usize,
    /// `subset[a][b]`: tool set a lies within b.
    pub(super) subset: Vec<Vec<bool>>,
    /// Per tool set, what taking it up counts beyond the change; no less than any tool set within it.
    pub(super) taking: Vec<u32>,
    /// Every last action of a route ends a step.
    pub(super) closing: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    Unreachable,
    TooLarge,
}

impl Net {
    pub(super) fn width(&self) -> usize {
        self.things + self.acts.len()
    }

    pub(super) fn goal(&self) -> usize {
        self.acts.len() - 1
    }

    /// Landmark index of an action.
    pub(super) fn node(&self, act: usize) -> usize {
        self.things + act
    }

    pub(super) fn compile(
        problem: &RouteProblem,
        target: &Target,
        filter: &Filter,
        cost: Cost,
    ) -> Result<Self, Refusal> {
        Compiler::new(problem, filter)?.build(target, cost)
    }
}

/// Whether a filter leaves the action a way.
pub(super) fn permitted(action: &Action, filter: &Filter) -> bool {
    action.damages.iter().all(|id| filter.damage.binary_search(id).is_ok())
        && action.kind <= filter.ranks[1]
        && action.place <= filter.ranks[2]
        && action.skill <= filter.ranks[3]
        && action.operations.iter().all(|operation| operation.ways.iter().any(|way| way.class <= filter.ranks[0]))
}

/// Which actions can be performed at all, and in which order things are first reached.
pub(super) fn forward(problem: &RouteProblem, filter: &Filter, ids: &[Thing]) -> (Vec<usize>, Vec<bool>) {
    let mut reached = vec![false; ids.len()];
    let mut order = Vec::new();
    // Who asks for a thing is looked at again once it is reached, and nobody else.
    let mut asking = vec![Vec::new(); ids.len()];
    let mut waiting: Vec<bool> = problem.actions.iter().map(|action| permitted(action, filter)).collect();
    let mut done: Vec<bool> = waiting.iter().map(|allowed| !allowed).collect();
    for (index, action) in problem.actions.iter().enumerate().filter(|(index, _)| !done[*index]) {
        mentioned(&action.after, &mut |thing| {
            if let Ok(at) = ids.binary_search(&thing) {
                asking[at].push(index);
            }
        });
    }
    loop {
        let before = order.len();
        for index in 0..waiting.len() {
            if done[index] || !std::mem::take(&mut waiting[index]) {
                continue;
            }
            let action = &problem.actions[index];
            let holds = |thing: Thing| ids.binary_search(&thing).is_ok_and(|at| reached[at]);
            if !all_hold(&action.after, &holds) {
                continue;
            }
            done[index] = true;
            order.push(index);
            for thing in action.frees.iter().chain(&action.does) {
                if let Ok(at) = ids.binary_search(thing)
                    && !std::mem::replace(&mut reached[at], true)
                {
                    asking[at].iter().for_each(|other| waiting[*other] = true);
                }
            }
        }
        if order.len() == before {
            return (order, reached);
        }
    }
}

/// All things any action reaches, sorted.
pub(super) fn reached_ids(problem: &RouteProblem) -> Vec<Thing> {
    let mut ids: Vec<Thing> =
        problem.actions.iter().flat_map(|action| action.frees.iter().chain(&action.does).copied()).collect();
    ids.sort_unstable();
    ids.dedup();
    ids
}

/// Needs of an action in dense things: all of `all`, and one member of each group.
#[derive(Clone, Default)]
struct Flat {
    all: Vec<usize>,
    groups: Vec<Vec<Vec<usize>>>,
}

struct Compiler<'a> {
    problem: &'a RouteProblem,
    filter: &'a Filter,
    ids: Vec<Thing>,
    order: Vec<usize>,
    reached: Vec<bool>,
    /// Per thing, the performable actions that reach it.
    by_thing: Vec<Vec<usize>>,
}

impl<'a> Compiler<'a> {
    fn new(problem: &'a RouteProblem, filter: &'a Filter) -> Result<Self, Refusal> {
        let ids = reached_ids(problem);
        let (order, reached) = forward(problem, filter, &ids);
        let mut by_thing = vec![Vec::new(); ids.len()];
        for &index in &order {
            let action = &problem.actions[index];
            for thing in action.frees.iter().chain(&action.does) {
                let at = ids.binary_search(thing).map_err(|_| Refusal::Unreachable)?;
                if by_thing[at].last() != Some(&index) {
                    by_thing[at].push(index);
                }
            }
        }
        Ok(Self { problem, filter, ids, order, reached, by_thing })
    }

    fn at(&self, thing: Thing) -> Option<usize> {
        self.ids.binary_search(&thing).ok().filter(|at| self.reached[*at])
    }

    /// Needs as one conjunction of things and groups of sets of things; nested groups are
    /// multiplied out. `None` if they can't hold.
    fn flatten(&self, needs: &[Need]) -> Result<Option<Flat>, Refusal> {
        let mut flat = Flat::default();
        for need in needs {
            match need {
                Need::Thing(thing) => match self.at(*thing) {
                    Some(at) => flat.all.push(at),
                    None => return Ok(None),
                },
                Need::Any(members) => {
                    let mut sets = Vec::new();
                    for member in members {
                        sets.extend(self.sets(member)?);
                        if sets.len() > MEMBERS {
                            return Err(Refusal::TooLarge);
                        }
                    }
                    let sets = smallest(sets);
                    match sets.len() {
                        0 => return Ok(None),
                        1 => flat.all.extend(&sets[0]),
                        _ => flat.groups.push(sets),
                    }
                }
            }
        }
        flat.all.sort_unstable();
        flat.all.dedup();
        Ok(Some(flat))
    }

    /// The sets of things that satisfy a conjunction of needs.
    fn sets(&self, needs: &[Need]) -> Result<Vec<Vec<usize>>, Refusal> {
        let Some(flat) = self.flatten(needs)? else {
            return Ok(Vec::new());
        };
        let mut sets = vec![flat.all];
        for group in flat.groups {
            if sets.len() * group.len() > MEMBERS {
                return Err(Refusal::TooLarge);
            }
            sets = sets.iter().flat_map(|set| group.iter().map(move |more| [&set[..], more].concat())).collect();
        }
        Ok(sets)
    }

    fn build(self, target: &Target, cost: Cost) -> Result<Net, Refusal> {
        let wanted: Vec<Need> = match target {
            Target::All(things) => things.iter().copied().map(Need::Thing).collect(),
            Target::AnyOf(things) => {
                vec![Need::Any(things.iter().map(|t| vec![Need::Thing(*t)]).collect())]
            }
        };
        let goal = self.flatten(&wanted)?.ok_or(Refusal::Unreachable)?;
        let mut flats: Vec<Option<Flat>> = vec![None; self.problem.actions.len()];
        let relevant = self.relevant(&goal, &mut flats)?;
        let count = self.order.iter().filter(|index| flats[**index].is_some()).count();
        let dense: Vec<usize> = {
            let mut next = 0;
            let number = |needed: &bool| {
                next += usize::from(*needed);
                next.wrapping_sub(1)
            };
            relevant.iter().map(number).collect()
        };
        let things = relevant.iter().filter(|needed| **needed).count();
        if things + count > SIZE {
            return Err(Refusal::TooLarge);
        }
        let mut tools = Tools::new(self.problem.each && cost == Cost::Steps);
        let mut parts: Vec<Thing> = Vec::new();
        let mut acts = Vec::new();
        let mut alternatives = Vec::new();
        for (index, flat) in flats.iter_mut().enumerate() {
            let Some(mut flat) = flat.take() else {
                continue;
            };
            let action = &self.problem.actions[index];
            let odd = self.odd(index, &relevant);
            for thing in &mut flat.all {
                *thing = dense[*thing];
            }
            for thing in flat.groups.iter_mut().flatten().flatten() {
                *thing = dense[*thing];
            }
            let mut gives: Vec<usize> = action
                .frees
                .iter()
                .chain(&action.does)
                .filter_map(|thing| self.at(*thing))
                .filter(|at| relevant[*at])
                .map(|at| dense[at])
                .collect();
            gives.sort_unstable();
            gives.dedup();
            let ends = !(action.frees.is_empty() && action.aside.is_empty());
            let moves = tools.moves(action, self.filter.ranks[0], cost, ends);
            let (least, absorbs) = self::least(&moves);
            let act = Act {
                original: index,
                needs: flat.all,
                gives,
                parts: action.frees.iter().map(|part| number(&mut parts, *part)).collect(),
                moves,
                demands: None,
                supplies: Bits::default(),
                least,
                absorbs,
                tie: 0,
                seconds: action.seconds.into(),
            };
            if odd {
                let mut late = act.clone();
                let off = action.frees.iter().chain(&action.aside).filter_map(|thing| self.at(*thing));
                late.needs.extend(off.map(|at| dense[at]));
                late.needs.sort_unstable();
                late.needs.dedup();
                late.moves = tools.moves(action, self.filter.ranks[0], cost, false);
                (late.least, late.absorbs) = self::least(&late.moves);
                late.parts.clear();
                alternatives.push(flat.groups.clone());
                acts.push(late);
            }
            alternatives.push(flat.groups);
            acts.push(act);
        }
        let closing = match target {
            Target::All(list) if list.len() == 1 => self.at(list[0]).is_some_and(|at| {
                let thing = dense[at];
                acts.iter().all(|act| act.absorbs || !act.gives.contains(&thing))
            }),
            _ => false,
        };
        acts.push(Act {
            original: usize::MAX,
            needs: goal.all.iter().map(|at| dense[*at]).collect(),
            gives: Vec::new(),
            parts: Vec::new(),
            moves: vec![Move { first: HANDS, last: HANDS, inner: 0 }],
            demands: None,
            supplies: Bits::default(),
            least: 0,
            absorbs: false,
            tie: 0,
            seconds: 0,
        });
        let goal_groups = goal
            .groups
            .into_iter()
            .map(|group| group.into_iter().map(|set| set.iter().map(|at| dense[*at]).collect()).collect());
        alternatives.push(goal_groups.collect());
        let mut providers = vec![Vec::new(); things];
        for (index, act) in acts.iter().enumerate() {
            for thing in &act.gives {
                providers[*thing].push(index);
            }
        }
        let subset = tools.subset();
        acts.iter_mut().for_each(|act| act.tools(&subset));
        let mut net = Net {
            things,
            acts,
            groups: Vec::new(),
            providers,
            lm: Vec::new(),
            parts: parts.len(),
            subset,
            taking: tools.taking(),
            closing,
        };
        landmarks(&mut net, alternatives);
        Ok(net)
    }

    /// Marks the things that can matter, and flattens the needs of the actions that do.
    fn relevant(&self, goal: &Flat, flats: &mut [Option<Flat>]) -> Result<Vec<bool>, Refusal> {
        let mut relevant = vec![false; self.ids.len()];
        let mut open: Vec<usize> = Vec::new();
        let mark = |at: usize, open: &mut Vec<usize>, relevant: &mut Vec<bool>| {
            if !relevant[at] {
                relevant[at] = true;
                open.push(at);
            }
        };
        for at in goal.all.iter().chain(goal.groups.iter().flatten().flatten()) {
            mark(*at, &mut open, &mut relevant);
        }
        while let Some(at) = open.pop() {
            for &index in &self.by_thing[at] {
                if flats[index].is_none() {
                    let flat = self.flatten(&self.problem.actions[index].after)?;
                    let flat = flat.ok_or(Refusal::Unreachable)?;
                    for at in flat.all.iter().chain(flat.groups.iter().flatten().flatten()) {
                        mark(*at, &mut open, &mut relevant);
                    }
                    flats[index] = Some(flat);
                }
                if self.odd(index, &relevant) {
                    let action = &self.problem.actions[index];
                    for part in action.frees.iter().chain(&action.aside) {
                        if let Some(at) = self.at(*part) {
                            mark(at, &mut open, &mut relevant);
                        }
                    }
                }
            }
        }
        Ok(relevant)
    }

    /// Needed for its `does`, while others can take off everything it frees or lays aside.
    fn odd(&self, index: usize, relevant: &[bool]) -> bool {
        let action = &self.problem.actions[index];
        let mut ending = action.frees.iter().chain(&action.aside).peekable();
        action.does.and_then(|thing| self.at(thing)).is_some_and(|at| relevant[at])
            && ending.peek().is_some()
            && ending.all(|part| {
                let others = |at: usize| self.by_thing[at].iter().any(|other| *other != index);
                self.at(*part).is_some_and(others)
            })
    }
}

fn number(parts: &mut Vec<Thing>, part: Thing) -> usize {
    parts.iter().position(|known| *known == part).unwrap_or_else(|| {
        parts.push(part);
        parts.len() - 1
    })
}

/// Sorted sets without those that contain another.
fn smallest(mut sets: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    for set in &mut sets {
        set.sort_unstable();
        set.dedup();
    }
    sets.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    sets.dedup();
    let mut kept: Vec<Vec<usize>> = Vec::new();
    for set in sets {
        let covered = |small: &Vec<usize>| small.iter().all(|at| set.binary_search(at).is_ok());
        if !kept.iter().any(covered) {
            kept.push(set);
        }
    }
    if kept.first().is_some_and(Vec::is_empty) {
        kept.truncate(1);
    }
    kept
}
