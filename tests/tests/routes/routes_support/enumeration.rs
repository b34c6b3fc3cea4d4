//! The full key by trying every order of every subset of actions, and every choice of ways.
#![allow(clippy::cast_possible_truncation, reason = "indices of small random problems")]

use std::collections::BTreeSet;

use scoring::route::{Key, RouteProblem, Target};

/// A route's key followed by its order and its ways: the whole of what is compared.
pub type Ranked = (Key, Vec<usize>, Vec<Vec<usize>>);

struct Walk<'a> {
    problem: &'a RouteProblem,
    target: &'a Target,
    best: Option<Ranked>,
    order: Vec<usize>,
    ways: Vec<Vec<usize>>,
}

/// Held tools, whether a step ended since their last use, and steps so far.
#[derive(Clone)]
struct Hand {
    held: BTreeSet<u16>,
    covered: bool,
    steps: u32,
    class: u8,
}

/// The best route of all, or none.
pub fn best(problem: &RouteProblem, target: &Target) -> Option<Ranked> {
    let mut walk = Walk { problem, target, best: None, order: Vec::new(), ways: Vec::new() };
    let hand = Hand { held: BTreeSet::new(), covered: false, steps: 0, class: 0 };
    walk.on(&BTreeSet::new(), &hand);
    walk.best
}

impl Walk<'_> {
    fn on(&mut self, off: &BTreeSet<u32>, hand: &Hand) {
        if self.target.holds(&|thing| off.contains(&thing)) {
            let found = (self.key(hand), self.order.clone(), self.ways.clone());
            if self.best.as_ref().is_none_or(|best| found < *best) {
                self.best = Some(found);
            }
            return;
        }
        for index in 0..self.problem.actions.len() {
            let action = &self.problem.actions[index];
            let open = action.after.iter().all(|need| need.holds(&|thing| off.contains(&thing)));
            if self.order.contains(&index) || !open {
                continue;
            }
            let comes_off = action.frees.iter().any(|part| !off.contains(part));
            let mut after = off.clone();
            after.extend(&action.frees);
            after.extend(action.does);
            self.order.push(index);
            self.ways.push(Vec::new());
            let laid_aside = action.aside.iter().any(|part| !off.contains(part));
            self.operate(index, hand.clone(), comes_off || laid_aside, &after);
            self.ways.pop();
            self.order.pop();
        }
    }

    /// Chooses the way of the next operation of an action in every possible manner.
    fn operate(&mut self, index: usize, hand: Hand, ends: bool, after: &BTreeSet<u32>) {
        let action = &self.problem.actions[index];
        let at = self.ways.last().unwrap().len();
        let Some(operation) = action.operations.get(at) else {
            self.on(after, &hand);
            return;
        };
        for (choice, way) in operation.ways.iter().enumerate() {
            let mut hand = hand.clone();
            if !way.tools.is_empty() {
                let tools: BTreeSet<u16> = way.tools.iter().copied().collect();
                let new = !tools.is_subset(&hand.held);
                if !hand.held.is_empty() && new && !hand.covered {
                    hand.steps += 1;
                }
                if self.problem.each && (new || hand.covered) {
                    hand.steps += tools.len() as u32 - 1;
                }
                hand.held = tools;
                hand.covered = false;
            }
            hand.class = hand.class.max(way.class);
            hand.steps += way.cost;
            if at + 1 == action.operations.len() && ends || operation.ends || way.ends {
                hand.steps += 1;
                hand.covered = true;
            }
            self.ways.last_mut().unwrap().push(choice);
            self.operate(index, hand, ends, after);
            self.ways.last_mut().unwrap().pop();
        }
    }

    fn key(&self, hand: &Hand) -> Key {
        let taken = || self.order.iter().map(|index| &self.problem.actions[*index]);
        let distinct = |ids: Vec<u32>| u32::try_from(ids.into_iter().collect::<BTreeSet<_>>().len()).unwrap();
        Key {
            damaged: distinct(taken().flat_map(|action| action.damages.clone()).collect()),
            steps: hand.steps,
            class: hand.class,
            kind: taken().map(|action| action.kind).max().unwrap_or(0),
            place: taken().map(|action| action.place).max().unwrap_or(0),
            skill: taken().map(|action| action.skill).max().unwrap_or(0),
            parts: distinct(taken().flat_map(|action| action.frees.clone()).collect()),
            actions: u32::try_from(self.order.len()).unwrap(),
            tie: taken().map(|action| action.tie).sum(),
        }
    }
}
