//! What about the ways to a part is other than in a case close by.

use std::collections::BTreeSet;

use crate::assess::outcome::Router;
use crate::assess::toward::Toward;
use crate::method::Measure;
use crate::need::mentioned;
use crate::record::complete::{Complete, CompleteAction, Fill};
use crate::route::Thing;

/// What can lie on a way to a part.
#[derive(Debug)]
pub(crate) struct Behind {
    pub(super) thing: Thing,
    toward: Toward,
    pub(super) actions: BTreeSet<usize>,
    /// The part, and everything that one of the actions speaks of.
    pub(super) wanted: BTreeSet<Thing>,
}

impl Behind {
    pub(crate) fn new(router: &Router<'_>, thing: Thing) -> Self {
        let toward = router.toward(thing);
        let actions: BTreeSet<usize> = toward.origin.iter().copied().collect();
        let mut wanted = BTreeSet::from([thing]);
        for &action in &actions {
            mentioned(&router.device().actions[action].after, &mut |t| {
                wanted.insert(t);
            });
        }
        Self { thing, toward, actions, wanted }
    }

    /// What can lie on a way to the part of a device close by.
    pub(super) fn toward(&self, router: &Router<'_>, differs: &Differs) -> Toward {
        if differs.order {
            return router.toward(self.thing);
        }
        let actions = differs.actions.iter().copied().chain(differs.ways.iter().map(|(action, _)| *action));
        self.toward.with(router.device(), router.rule(), actions)
    }
}

/// What is other about the ways to a part.
#[derive(Clone, Debug, Default)]
pub(crate) struct Differs {
    /// What the part is, which actions there are, what they reach, destroy and need, or whether they could be done at all.
    pub(super) order: bool,
    operations: bool,
    fasteners: bool,
    place: bool,
    skill: bool,
    /// Actions that can lie on a way to the part and are done otherwise, ascending.
    pub(super) actions: Vec<usize>,
    /// Other ways from the closed device: the action, and the thing it takes off.
    pub(super) ways: Vec<(usize, Thing)>,
}

impl Differs {
    /// What differs between two devices; `behind`: what could lie on a way to the part before.
    pub(crate) fn new(before: &Complete, now: &Complete, behind: &Behind) -> Self {
        let mut out = Self::default();
        let fills = |device: &Complete| {
            let of_part = device.fills.iter().filter(|f| f.thing == behind.thing);
            of_part.map(Fill::on_routes).collect::<Vec<_>>()
        };
        out.order = now.actions.len() < before.actions.len()
            || before.things != now.things
            || before.official != now.official
            || fills(before) != fills(now);
        if out.order {
            return out;
        }
        for index in before.actions.len()..now.actions.len() {
            let more = &now.actions[index];
            match more.frees[..] {
                [thing] if more.does.is_none() && more.after.is_empty() && more.destroys.is_empty() && more.exists => {
                    out.ways.extend(behind.wanted.get(&thing).map(|t| (index, *t)));
                }
                _ => out.order = true,
            }
        }
        let tools = before.tools != now.tools;
        let other_tool = |x: &CompleteAction| {
            tools && x.operations.iter().flatten().flatten().any(|&t| before.tools.get(t) != now.tools.get(t))
        };
        for action in 0..before.actions.len() {
            let same = now.actions.same(&before.actions, action);
            if same && !tools {
                continue;
            }
            let (x, y) = (&before.actions[action], &now.actions[action]);
            out.order |= !alike(x, y);
            if !behind.actions.contains(&action) || same && !other_tool(y) {
                continue;
            }
            let kind = |x: &CompleteAction| (x.cleans, x.mains);
            out.order |= x.after != y.after || x.destroys != y.destroys || x.aside != y.aside || kind(x) != kind(y);
            out.order |= x.operations.iter().any(Vec::is_empty);
            out.operations |= x.operations != y.operations || other_tool(x) || other_tool(y);
            out.fasteners |= x.fasteners != y.fasteners;
            out.place |= x.place != y.place;
            out.skill |= x.skill != y.skill;
            out.actions.push(action);
        }
        out
    }

    /// Whether nothing does.
    pub(crate) fn nothing(&self) -> bool {
        !self.order && self.actions.is_empty() && self.ways.is_empty()
    }

    /// Whether a route may have another value here than one of the same actions had.
    pub(super) fn bears_on(&self, measure: &Measure) -> bool {
        self.order
            || !self.ways.is_empty()
            || match measure {
                Measure::Isolation | Measure::Reachable | Measure::PartsInTheWay => false,
                Measure::Fasteners | Measure::Adhesives => self.fasteners,
                Measure::Tools | Measure::HeatOrSolvent => self.operations,
                Measure::Environment => self.place,
                Measure::Skill => self.skill,
                _ => true,
            }
    }
}

/// Whether an action has the same place on the ways to anything, however it is done.
fn alike(x: &CompleteAction, y: &CompleteAction) -> bool {
    x.exists == y.exists && x.frees == y.frees && x.does == y.does
}
