//! What completions of one record have in common, computed once.
//!
//! An unknown class, kind, environment or skill leaves most searches as they are, and an unknown
//! tool poses the same question for every tool nothing else on the way uses. So compiled problems
//! and searches are kept under what they depend on and nothing else. A kept search is
//! charged the states it took, and one that was stopped is not used again: an answer is the same
//! with and without a memo, whatever was asked before.

use std::sync::Arc;

use super::bound::Vector;
use super::choose::{Aim, Best, Outcome, search};
use super::frame::{Frame, Refusal};
use super::jobs::Start;
use super::net::{Filter, Net, permitted};
use super::problem::{Action, Cost, Need, RouteProblem, Target, ToolId};
use super::sequence::Budget;
use crate::hashed::Hashed;

/// Words compiled problems may fill before all is forgotten: 64 MB.
const WORDS: usize = 8_000_000;
/// Searches kept before they are forgotten.
const KEPT: usize = 50_000;
/// States a search may set aside beyond those it took.
const SLACK: u64 = 4_000;
/// Stands for an action that can't be performed; no count is as large.
const FORBIDDEN: u32 = u32::MAX;

type Compiled = Result<Arc<Net>, Refusal>;
type Framed = Result<Arc<Frame>, Refusal>;

/// Remembers compiled problems and searches between questions that are mostly alike.
///
/// Never changes an answer. Bounded: when full, everything is forgotten.
#[derive(Debug, Default)]
pub struct Memo {
    nets: Hashed<Vec<u32>, (usize, Compiled)>,
    /// By what is left of a question without how anything is done.
    frames: Hashed<Vec<u32>, Framed>,
    searches: Hashed<Asked, Kept>,
    /// Numbers given to compiled problems; never used twice.
    given: usize,
    words: usize,
}

#[derive(Debug, PartialEq, Eq, Hash)]
struct Asked {
    net: usize,
    aim: Aim,
    cutoff: Vector,
    ties: Vec<u64>,
}

/// A search that was not stopped.
#[derive(Debug)]
struct Kept {
    best: Option<Best>,
    states: u64,
}

impl Memo {
    /// The problem compiled, without ties, and a number that stands for it.
    pub(super) fn compile(
        &mut self,
        problem: &RouteProblem,
        target: &Target,
        filter: &Filter,
        cost: Cost,
    ) -> (usize, Compiled) {
        let key = Writer::default().question(problem, target, filter, cost);
        if let Some(known) = self.nets.get(&key) {
            return known.clone();
        }
        let frame = self.frame(problem, target, filter);
        let net = frame.map(|frame| Arc::new(Net::on(frame, problem, filter, cost)));
        self.grow(key.len() + net.as_ref().map_or(0, |net| 8 * net.frame.width()));
        self.given += 1;
        let entry = (self.given, net);
        self.nets.insert(key, entry.clone());
        entry
    }

    /// The frame of the problem.
    fn frame(&mut self, problem: &RouteProblem, target: &Target, filter: &Filter) -> Framed {
        let shape = Writer::default().shape(problem, target, filter);
        if let Some(known) = self.frames.get(&shape) {
            return known.clone();
        }
        let frame = Frame::new(problem, target, filter).map(Arc::new);
        let width = frame.as_ref().map_or(0, |frame| frame.width());
        self.grow(shape.len() + width * (8 + width.div_ceil(64)));
        self.frames.insert(shape, frame.clone());
        frame
    }

    /// The problem compiled, for one look.
    pub(super) fn once(
        &mut self,
        problem: &RouteProblem,
        target: &Target,
        filter: &Filter,
        cost: Cost,
    ) -> Result<Net, Refusal> {
        Ok(Net::on(self.frame(problem, target, filter)?, problem, filter, cost))
    }

    /// Makes room for more words.
    fn grow(&mut self, words: usize) {
        self.words += words;
        if self.words > WORDS {
            // What is in use stays with its users.
            self.forget();
            self.words = words;
        }
    }

    /// A search from the closed device.
    pub(super) fn search(
        &mut self,
        (number, net): (usize, &Net),
        cost: Cost,
        aim: Aim,
        cutoff: Vector,
        budget: &mut Budget,
    ) -> Outcome {
        let cutoff = match aim {
            Aim::Lead => [cutoff[0], 0, 0, 0],
            Aim::Vector | Aim::First => cutoff,
        };
        let ties = net.acts.iter().map(|act| act.tie).collect();
        let asked = Asked { net: number, aim, cutoff, ties };
        if let Some(kept) = self.searches.get(&asked)
            && budget.left >= kept.states.saturating_add(SLACK)
        {
            budget.take(kept.states);
            return Outcome { best: kept.best.clone(), stopped: None };
        }
        let before = budget.left;
        let outcome = search(net, &Start::closed(net), cost, aim, cutoff, budget);
        if outcome.stopped.is_none() && before - budget.left + SLACK <= before {
            if self.searches.len() >= KEPT {
                self.searches.clear();
            }
            let kept = Kept { best: outcome.best.clone(), states: before - budget.left };
            self.searches.insert(asked, kept);
        }
        outcome
    }

    fn forget(&mut self) {
        self.nets.clear();
        self.frames.clear();
        self.searches.clear();
        self.words = 0;
    }
}

impl Net {
    /// With the ties of the problem; `alone`: without those that every route has.
    pub(super) fn tied(mut self: Arc<Self>, problem: &RouteProblem, alone: bool) -> Arc<Self> {
        let goal = self.frame.node(self.frame.goal());
        for act in 0..self.frame.goal() {
            let shared = alone && self.frame.lm[goal].has(self.frame.node(act));
            let tie = problem.actions.get(self.acts[act].original).map_or(0, |action| action.tie);
            if !shared && tie > 0 {
                Arc::make_mut(&mut self).acts[act].tie = tie;
            }
        }
        self
    }
}

/// Writes a question down in one unambiguous line of numbers, tools numbered as met.
#[derive(Default)]
struct Writer {
    key: Vec<u32>,
    tools: Vec<Option<u32>>,
    met: u32,
}

impl Writer {
    /// What its frame depends on.
    fn shape(mut self, problem: &RouteProblem, target: &Target, filter: &Filter) -> Vec<u32> {
        self.target(target);
        for action in &problem.actions {
            if permitted(action, filter) {
                self.place(action);
            } else {
                self.key.push(FORBIDDEN);
            }
        }
        self.key
    }

    /// What the compiled problem depends on.
    fn question(mut self, problem: &RouteProblem, target: &Target, filter: &Filter, cost: Cost) -> Vec<u32> {
        let (kind, change) = match cost {
            Cost::Steps => (0, 0),
            Cost::Time { change } => (1, change),
            Cost::Parts => (2, 0),
        };
        self.key.extend([kind, change, u32::from(problem.each)]);
        self.target(target);
        for action in &problem.actions {
            if permitted(action, filter) {
                self.action(action, filter);
            } else {
                self.key.push(FORBIDDEN);
            }
        }
        self.key
    }

    fn count(&mut self, count: usize) {
        self.key.push(u32::try_from(count).unwrap_or(FORBIDDEN));
    }

    fn list(&mut self, list: &[u32]) {
        self.count(list.len());
        self.key.extend(list);
    }

    fn target(&mut self, target: &Target) {
        let (all, things) = match target {
            Target::All(things) => (1, things),
            Target::AnyOf(things) => (0, things),
        };
        self.key.push(all);
        self.list(things);
    }

    fn place(&mut self, action: &Action) {
        self.list(&action.frees);
        self.list(&action.aside);
        self.count(usize::from(action.does.is_some()));
        self.key.extend(action.does);
        self.needs(&action.after);
    }

    fn action(&mut self, action: &Action, filter: &Filter) {
        self.place(action);
        self.key.push(action.seconds);
        self.count(action.operations.len());
        for operation in &action.operations {
            let allowed = || operation.ways.iter().filter(|way| way.class <= filter.ranks[0]);
            self.key.push(u32::from(operation.ends));
            self.count(allowed().count());
            for way in allowed() {
                self.count(way.tools.len());
                self.key.extend([way.cost, u32::from(way.ends)]);
                let start = self.key.len();
                for tool in &way.tools {
                    let name = self.tool(*tool);
                    self.key.push(name);
                }
                self.key[start..].sort_unstable();
            }
        }
    }

    fn needs(&mut self, needs: &[Need]) {
        self.count(needs.len());
        for need in needs {
            match need {
                Need::Thing(thing) => self.key.extend([0, *thing]),
                Need::Any(members) => {
                    self.key.push(1);
                    self.count(members.len());
                    members.iter().for_each(|member| self.needs(member));
                }
            }
        }
    }

    fn tool(&mut self, tool: ToolId) -> u32 {
        let at = usize::from(tool);
        if self.tools.len() <= at {
            self.tools.resize(at + 1, None);
        }
        *self.tools[at].get_or_insert_with(|| {
            self.met += 1;
            self.met
        })
    }
}
