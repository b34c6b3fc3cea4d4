//! Without a whole search: a given order with its best ways, and what no route goes below.

use super::answer::Route;
use super::bits::Bits;
use super::bound::needed;
use super::choose::{Aim, floor, search};
use super::jobs::Start;
use super::memo::Memo;
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
}

/// States a look at how few parts there may be in the way takes.
const PARTS: u64 = 200;
/// No damage, everything else.
const FREELY: Filter = Filter { damage: Vec::new(), ranks: [u8::MAX; 4] };

impl Floor {
    /// `None`: there is no route, or the problem is too large to look at.
    pub fn new(problem: &RouteProblem, target: &Target, memo: &mut Memo) -> Option<Self> {
        let net = memo.once(problem, target, &FREELY, Cost::Steps).ok()?;
        let steps = floor(&net, &Start::closed(&net), Cost::Steps)?;
        Some(Self { steps: u32::try_from(steps).unwrap_or(u32::MAX), net })
    }

    /// Distinct parts taken off, on every route, before whatever reaches the target: as many as a short search proves, and
    /// the states it took.
    pub fn parts(problem: &RouteProblem, target: &Target, memo: &mut Memo) -> (u32, u64) {
        let Ok(net) = memo.once(problem, target, &FREELY, Cost::Parts) else { return (0, 0) };
        let goal = net.frame.goal();
        let reaches =
            |act: &usize| net.frame.places[*act].gives.iter().any(|thing| net.frame.places[goal].needs.contains(thing));
        let mut parts = Bits::new(net.frame.parts);
        for act in needed(&net, &net.frame.lm[net.frame.node(goal)]).filter(|act| !reaches(act)) {
            net.frame.places[act].parts.iter().for_each(|part| parts.insert(*part));
        }
        let needed = parts.iter().count() as u64;
        // Of all parts that come off on the way those that may come off with the target are not in its way.
        let with = (0..goal).filter(reaches).map(|act| net.frame.places[act].parts.len()).max().unwrap_or(0);
        let mut budget = Budget { left: PARTS };
        let outcome = search(&net, &Start::closed(&net), Cost::Parts, Aim::Lead, [u64::MAX; 4], &mut budget);
        let all = match (outcome.stopped, outcome.best) {
            (Some(bound), _) => bound,
            (None, Some(best)) => best.vector[0],
            (None, None) => 0,
        };
        let least = needed.max(all.saturating_sub(with as u64));
        (u32::try_from(least).unwrap_or(u32::MAX), PARTS - budget.left)
    }

    /// Whether surely no route counts so few steps, within some states of a search; and the states it took.
    pub fn none_within(&self, most: u32, states: u64) -> (bool, u64) {
        let mut budget = Budget { left: states };
        let cutoff = [u64::from(most) + 1, 0, 0, 0];
        let outcome = search(&self.net, &Start::closed(&self.net), Cost::Steps, Aim::First, cutoff, &mut budget);
        (outcome.best.is_none() && outcome.stopped.is_none(), states - budget.left)
    }
}
