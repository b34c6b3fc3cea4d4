//! The part of a posed problem that can lie on a way to one thing, in numbers of its own.
//!
//! Two records, or two completions, that differ elsewhere ask the same question here, so it is answered once. Actions stand in
//! the alphabetical order of what they reach, and nothing depends on the order of the record.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::problem::Posed;
use crate::need::{each_thing, mentioned};
use crate::record::complete::Complete;
use crate::route::{Action, Problem, Thing, ToolId};

/// Everything that can lie on a way to one thing.
#[derive(Clone, Debug)]
pub(super) struct Toward {
    /// The problem.
    pub(super) problem: Problem,
    /// The thing, in its numbers.
    pub(super) target: Thing,
    /// For each action of the problem, its index in [`Complete::actions`].
    pub(super) origin: Vec<usize>,
}

impl Toward {
    /// Leaves out what can't lie on a way to `thing`.
    pub(super) fn new(device: &Complete, posed: &Posed, thing: Thing) -> Self {
        let mut places = behind(&posed.problem, thing);
        places.sort_by(|&a, &b| by_name(device, posed.origin[a], posed.origin[b]).then(a.cmp(&b)));
        let (mut things, mut tools) = (Numbers::default(), Numbers::default());
        let target = things.of(thing);
        let actions = places.iter().map(|&p| renumber(&posed.problem.actions[p], &mut things, &mut tools)).collect();
        let origin = places.into_iter().map(|p| posed.origin[p]).collect();
        Self { problem: Problem { things: things.count(), actions, each: posed.problem.each }, target, origin }
    }
}

/// Actions that reach a thing, or what they need, and so on.
fn behind(problem: &Problem, thing: Thing) -> Vec<usize> {
    let mut providers: BTreeMap<Thing, Vec<usize>> = BTreeMap::new();
    for (index, action) in problem.actions.iter().enumerate() {
        for &t in action.frees.iter().chain(&action.does) {
            providers.entry(t).or_default().push(index);
        }
    }
    let mut taken = vec![false; problem.actions.len()];
    let mut open = vec![thing];
    let mut seen = std::collections::BTreeSet::from([thing]);
    while let Some(next) = open.pop() {
        for &index in providers.get(&next).into_iter().flatten() {
            if !std::mem::replace(&mut taken[index], true) {
                mentioned(&problem.actions[index].after, &mut |t| {
                    if seen.insert(t) {
                        open.push(t);
                    }
                });
            }
        }
    }
    (0..taken.len()).filter(|&i| taken[i]).collect()
}

/// Alphabetical by what is reached, then by the tools.
fn by_name(device: &Complete, a: usize, b: usize) -> Ordering {
    let (a, b) = (&device.actions[a], &device.actions[b]);
    let names = |list: &[Thing]| list.iter().map(|t| device.things[*t as usize].as_str()).collect::<Vec<_>>();
    let reaches = |x: &crate::record::complete::CompleteAction| (names(&x.frees), x.does.map(|d| names(&[d])));
    reaches(a).cmp(&reaches(b)).then_with(|| {
        let tools = |x: &crate::record::complete::CompleteAction| -> Vec<Vec<Vec<&str>>> {
            let set = |w: &Vec<usize>| w.iter().map(|&t| device.tools[t].name.as_str()).collect();
            x.operations.iter().map(|o| o.iter().map(set).collect()).collect()
        };
        tools(a).cmp(&tools(b))
    })
}

/// New numbers in the order of asking.
#[derive(Default)]
struct Numbers(BTreeMap<u32, u32>);

impl Numbers {
    fn of(&mut self, old: u32) -> u32 {
        let next = self.count();
        *self.0.entry(old).or_insert(next)
    }

    fn count(&self) -> u32 {
        u32::try_from(self.0.len()).unwrap_or(u32::MAX)
    }
}

fn renumber(action: &Action, things: &mut Numbers, tools: &mut Numbers) -> Action {
    let mut out = action.clone();
    out.tie = 0;
    out.frees
        .iter_mut()
        .chain(&mut out.does)
        .chain(&mut out.aside)
        .chain(&mut out.damages)
        .for_each(|t| *t = things.of(*t));
    each_thing(&mut out.after, &mut |t| *t = things.of(*t));
    for way in out.operations.iter_mut().flat_map(|o| &mut o.ways) {
        for tool in &mut way.tools {
            *tool = ToolId::try_from(tools.of(u32::from(*tool))).unwrap_or(ToolId::MAX);
        }
        way.tools.sort_unstable();
    }
    out
}
