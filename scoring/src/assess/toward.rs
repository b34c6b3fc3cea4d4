//! The part of a posed problem that can lie on a way to one thing, in numbers of its own.
//!
//! Two records, or two completions, that differ elsewhere ask the same question here, so it is answered once. Actions stand in
//! the alphabetical order of what they reach, and nothing depends on the order of the record.

use super::problem::{Posed, pose_action};
use crate::method::StepRule;
use crate::need::{each_thing, mentioned};
use crate::record::complete::{Complete, CompleteAction};
use crate::route::{Action, RouteProblem, Thing, ToolId};

/// Everything that can lie on a way to one thing.
#[derive(Clone, Debug)]
pub(super) struct Toward {
    /// The problem.
    pub(super) problem: RouteProblem,
    /// The thing, in its numbers.
    pub(super) target: Thing,
    /// For each action of the problem, its index in [`Complete::actions`].
    pub(super) origin: Vec<usize>,
    things: Numbers,
    tools: Numbers,
}

/// A whole problem as every part of it is looked at: worked out once for all of them.
#[derive(Clone, Debug)]
pub(super) struct Web {
    /// Actions that reach a thing.
    providers: Vec<Vec<usize>>,
    /// The place of each action, alphabetically by what is reached, then by the tools.
    rank: Vec<usize>,
}

impl Web {
    pub(super) fn new(device: &Complete, posed: &Posed) -> Self {
        let actions = &posed.problem.actions;
        let mut providers = vec![Vec::new(); posed.problem.things as usize];
        for (index, action) in actions.iter().enumerate() {
            for &t in action.frees.iter().chain(&action.does) {
                providers[t as usize].push(index);
            }
        }
        let mut by_name: Vec<usize> = (0..actions.len()).collect();
        by_name.sort_by_cached_key(|&place| (name(device, &device.actions[posed.origin[place]]), place));
        let mut rank = vec![0; by_name.len()];
        by_name.into_iter().enumerate().for_each(|(at, place)| rank[place] = at);
        Self { providers, rank }
    }

    /// Actions that reach a thing, or what they need, and so on.
    pub(super) fn behind(&self, problem: &RouteProblem, thing: Thing) -> Vec<usize> {
        let mut taken = vec![false; problem.actions.len()];
        let mut seen = vec![false; problem.things as usize];
        let mut open = vec![thing];
        seen[thing as usize] = true;
        while let Some(next) = open.pop() {
            for &index in &self.providers[next as usize] {
                if !std::mem::replace(&mut taken[index], true) {
                    mentioned(&problem.actions[index].after, &mut |t| {
                        if !std::mem::replace(&mut seen[t as usize], true) {
                            open.push(t);
                        }
                    });
                }
            }
        }
        (0..taken.len()).filter(|&i| taken[i]).collect()
    }
}

impl Toward {
    /// Leaves out what can't lie on a way to `thing`.
    pub(super) fn new(posed: &Posed, web: &Web, thing: Thing) -> Self {
        let mut places = web.behind(&posed.problem, thing);
        places.sort_unstable_by_key(|&place| web.rank[place]);
        let (mut things, mut tools) = (Numbers::new(), Numbers::new());
        let target = things.of(thing);
        let actions = places.iter().map(|&p| renumber(&posed.problem.actions[p], &mut things, &mut tools)).collect();
        let origin = places.into_iter().map(|p| posed.origin[p]).collect();
        Self {
            problem: RouteProblem { things: things.count, actions, each: posed.problem.each },
            target,
            origin,
            things,
            tools,
        }
    }
}

impl Toward {
    /// The same where some actions are done otherwise, and others came in that reach only what something here speaks of.
    pub(super) fn with(&self, device: &Complete, rule: &StepRule, actions: impl Iterator<Item = usize>) -> Self {
        let mut out = self.clone();
        for index in actions {
            let posed = pose_action(device, &device.actions[index], rule);
            let posed = renumber(&posed, &mut out.things, &mut out.tools);
            match out.origin.iter().position(|&origin| origin == index) {
                Some(place) => out.problem.actions[place] = posed,
                None => {
                    out.problem.actions.push(posed);
                    out.origin.push(index);
                }
            }
        }
        out.problem.things = out.things.count;
        out
    }
}

/// What an action reaches, and with what tools.
type Name<'d> = (Vec<&'d str>, Option<&'d str>, Vec<Vec<Vec<&'d str>>>);

fn name<'d>(device: &'d Complete, action: &'d CompleteAction) -> Name<'d> {
    let named = |t: &Thing| device.things[*t as usize].as_str();
    let set = |set: &Vec<usize>| set.iter().map(|&t| device.tools[t].name.as_ref()).collect();
    let tools = action.operations.iter().map(|ways| ways.iter().map(set).collect()).collect();
    (action.frees.iter().map(named).collect(), action.does.as_ref().map(named), tools)
}

/// New numbers in the order of asking.
#[derive(Clone, Debug)]
struct Numbers {
    /// By old number; [`u32::MAX`]: not asked for yet.
    new: Vec<u32>,
    count: u32,
}

impl Numbers {
    fn of(&mut self, old: u32) -> u32 {
        let place = old as usize;
        if place >= self.new.len() {
            self.new.resize(place + 1, u32::MAX);
        }
        if self.new[place] == u32::MAX {
            self.new[place] = self.count;
            self.count += 1;
        }
        self.new[place]
    }

    fn new() -> Self {
        Self { new: Vec::new(), count: 0 }
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
