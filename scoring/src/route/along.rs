//! Without a whole search: a given order with its best ways, and what no route goes below.

use super::answer::Route;
use super::bits::Bits;
use super::bound::needed;
use super::choose::{Aim, floor, search};
use super::jobs::Start;
use super::net::{Filter, Net};
use super::problem::{Cost, RouteProblem, Target};
use super::replay::{Replayed, replay};
use super::sequence::Budget;
use super::stages::ending;
use super::ways::Choice;

/// The route that performs actions in a given order, with tools of at most a class rank, over the ways that count least;
/// `None`: it is none to the target.
pub fn along(problem: &RouteProblem, target: &Target, order: &[usize], class: u8) -> Option<(Route, Replayed)> {
    let choice = Choice { class, every_change: false, each: problem.each };
    let taken = choice.least(problem, &ending(problem, order));
    let replayed = replay(problem, Some(target), &taken).ok()?;
    Some((Route { taken, key: replayed.key }, replayed))
}

/// What no route to a target without damage goes below, by what every route needs.
pub struct Floor {
    net: Net,
    /// Steps counted.
    pub steps: u32,
    /// Distinct parts taken off before whatever reaches the target.
    pub parts: u32,
}

impl Floor {
    /// `None`: there is no route, or the problem is too large to look at.
    pub fn new(problem: &RouteProblem, target: &Target) -> Option<Self> {
        let filter = Filter { damage: Vec::new(), ranks: [u8::MAX; 4] };
        let net = Net::compile(problem, target, &filter, Cost::Steps).ok()?;
        let steps = floor(&net, &Start::closed(&net), Cost::Steps)?;
        let goal = net.goal();
        let reaches = |act: usize| net.acts[act].gives.iter().any(|thing| net.acts[goal].needs.contains(thing));
        let mut parts = Bits::new(net.parts);
        for act in needed(&net, &net.lm[net.node(goal)]).filter(|act| !reaches(*act)) {
            net.acts[act].parts.iter().for_each(|part| parts.insert(*part));
        }
        let parts = parts.iter().count();
        let narrow = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
        Some(Self { steps: narrow(steps), parts: narrow(parts as u64), net })
    }

    /// Whether surely no route counts so few steps, within some states of a search; and the states it took.
    pub fn none_within(&self, most: u32, states: u64) -> (bool, u64) {
        let mut budget = Budget { left: states };
        let cutoff = [u64::from(most) + 1, 0, 0, 0];
        let outcome = search(&self.net, &Start::closed(&self.net), Cost::Steps, Aim::First, cutoff, &mut budget);
        (outcome.best.is_none() && outcome.stopped.is_none(), states - budget.left)
    }
}
