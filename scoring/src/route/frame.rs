//! Where every action stands on the ways to a target, in dense numbers: what it needs, reaches and takes off, and what no way
//! does without. How it is done, with which tools, is no part of it: problems that differ only in that share a frame.
//!
//! Left out are actions that can't be reached and actions nothing on the way to the target needs.
//! Leaving out an unneeded action never costs a step: what it does to the tools held is worth no
//! more than it counts (taking up tools counts what having them in hand saves; a step ended counts
//! the change it absorbs). The one exception, an action that is needed for its `does` while other
//! actions can take off all it frees or lays aside, is compiled into two: one that ends a step, and
//! one that waits until all of that is off. Such parts count as needed.

use super::bits::Bits;
use super::landmarks::landmarks;
use super::net::{Filter, permitted};
use super::problem::{Need, RouteProblem, Target, Thing};
use crate::need::{all_hold, mentioned};

/// Members one flattened group may have; more is refused as undecided.
const MEMBERS: usize = 2_000;
/// Things and actions a search takes on; the landmark sets grow with the square.
const SIZE: usize = 4_096;

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

/// Where an action stands.
#[derive(Clone, Debug)]
pub(super) struct Place {
    /// Index in the problem.
    pub(super) original: usize,
    /// Things needed, all of them.
    pub(super) needs: Vec<usize>,
    /// Things reached that matter.
    pub(super) gives: Vec<usize>,
    /// Parts taken off, in dense numbers.
    pub(super) parts: Vec<usize>,
    /// Its last operation ends a step.
    pub(super) ends: bool,
}

/// The places of all actions. Landmark indices: things first, then actions; the last action is the goal.
#[derive(Clone, Debug)]
pub(super) struct Frame {
    pub(super) things: usize,
    pub(super) places: Vec<Place>,
    pub(super) groups: Vec<Group>,
    /// Per thing, the actions that reach it.
    pub(super) providers: Vec<Vec<usize>>,
    /// Per landmark index, what every way to it contains, itself included.
    pub(super) lm: Vec<Bits>,
    pub(super) parts: usize,
    /// The one thing wanted; `None`: any of several, or all of them.
    pub(super) wanted: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Refusal {
    Unreachable,
    TooLarge,
}

impl Frame {
    pub(super) fn new(problem: &RouteProblem, target: &Target, filter: &Filter) -> Result<Self, Refusal> {
        Compiler::new(problem, filter)?.build(target)
    }

    pub(super) fn width(&self) -> usize {
        self.things + self.places.len()
    }

    pub(super) fn goal(&self) -> usize {
        self.places.len() - 1
    }

    /// Landmark index of an action.
    pub(super) fn node(&self, act: usize) -> usize {
        self.things + act
    }
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
    ids: Vec<Thing>,
    order: Vec<usize>,
    reached: Vec<bool>,
    /// Per thing, the performable actions that reach it.
    by_thing: Vec<Vec<usize>>,
}

impl<'a> Compiler<'a> {
    fn new(problem: &'a RouteProblem, filter: &Filter) -> Result<Self, Refusal> {
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
        Ok(Self { problem, ids, order, reached, by_thing })
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

    fn build(self, target: &Target) -> Result<Frame, Refusal> {
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
        let mut parts: Vec<Thing> = Vec::new();
        let mut places = Vec::new();
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
            let place = Place {
                original: index,
                needs: flat.all,
                gives,
                parts: action.frees.iter().map(|part| number(&mut parts, *part)).collect(),
                ends: !(action.frees.is_empty() && action.aside.is_empty()),
            };
            if odd {
                let mut late = place.clone();
                let off = action.frees.iter().chain(&action.aside).filter_map(|thing| self.at(*thing));
                late.needs.extend(off.map(|at| dense[at]));
                late.needs.sort_unstable();
                late.needs.dedup();
                late.parts.clear();
                late.ends = false;
                alternatives.push(flat.groups.clone());
                places.push(late);
            }
            alternatives.push(flat.groups);
            places.push(place);
        }
        let wanted = match target {
            Target::All(list) if list.len() == 1 => self.at(list[0]).map(|at| dense[at]),
            _ => None,
        };
        places.push(Place {
            original: usize::MAX,
            needs: goal.all.iter().map(|at| dense[*at]).collect(),
            gives: Vec::new(),
            parts: Vec::new(),
            ends: false,
        });
        let goal_groups = goal
            .groups
            .into_iter()
            .map(|group| group.into_iter().map(|set| set.iter().map(|at| dense[*at]).collect()).collect());
        alternatives.push(goal_groups.collect());
        let mut providers = vec![Vec::new(); things];
        for (index, place) in places.iter().enumerate() {
            for thing in &place.gives {
                providers[*thing].push(index);
            }
        }
        let parts = parts.len();
        let mut frame = Frame { things, places, groups: Vec::new(), providers, lm: Vec::new(), parts, wanted };
        landmarks(&mut frame, alternatives);
        Ok(frame)
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
