//! Cases that differ in a few actions from one looked at before: the routes to a part that none of these can lie on are the
//! same, and need not even be looked up.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::looks::{Looker, Pick};
use crate::assess::profiles::{Profiles, again};
use crate::assess::{Plan, Router};
use crate::record::complete::{Complete, CompleteAction, Fill, OnRoutes};
use crate::route::Thing;

/// What was found in the completions at both ends of a case.
#[derive(Debug)]
pub(super) struct Near(Vec<Known>);

#[derive(Debug)]
struct Known {
    device: Complete,
    /// By part: the routes found, and the actions that can lie on them.
    found: BTreeMap<Thing, (Arc<Profiles>, BTreeSet<usize>)>,
}

impl Near {
    /// What was found in some completions of a case.
    pub(super) fn of(looker: &Looker<'_, '_>, choices: [&[usize]; 2]) -> Self {
        let [low, high] = choices;
        let choices = if low == high { vec![low] } else { vec![low, high] };
        Self(choices.into_iter().map(|choice| Known::new(looker, choice)).collect())
    }

    /// The routes to a part of a device, where they are those of a completion known.
    pub(super) fn same(&self, now: &Complete, thing: Thing) -> Option<Arc<Profiles>> {
        self.0.iter().find_map(|known| known.same(now, thing))
    }

    /// Routes to a part of a device as good as any for all that is read on them, where one that was found in a completion known
    /// is one.
    pub(super) fn again(&self, plan: &Plan<'_>, router: &Router<'_>, thing: Thing) -> Option<Profiles> {
        let known = self.0.iter().filter_map(|known| known.found.get(&thing));
        known.map(|(found, _)| found).find_map(|found| again(plan, router, thing, found))
    }
}

impl Known {
    fn new(looker: &Looker<'_, '_>, choice: &[usize]) -> Self {
        let picks: Vec<Pick> = choice.iter().map(|&a| Pick::Is(a)).collect();
        let device = looker.case.complete(choice);
        let router = looker.router(&device);
        let asked = looker.asked(&picks).into_iter();
        let found = asked.map(|thing| {
            let behind = router.behind(thing).into_iter().collect();
            (thing, (looker.profiles(&router, thing, &picks), behind))
        });
        let found = found.collect();
        drop(router);
        Self { device, found }
    }

    fn same(&self, now: &Complete, thing: Thing) -> Option<Arc<Profiles>> {
        let before = &self.device;
        let (found, behind) = self.found.get(&thing)?;
        let same = found.most.is_none()
            && now.actions.len() == before.actions.len()
            && behind.iter().all(|&a| now.actions.same(&before.actions, a))
            && (0..now.actions.len())
                .all(|a| now.actions.same(&before.actions, a) || alike(&now.actions[a], &before.actions[a]))
            && now.tools == before.tools
            && now.things == before.things
            && now.official == before.official
            && of(now, thing).eq(of(before, thing));
        same.then(|| Arc::clone(found))
    }
}

fn of(device: &Complete, thing: Thing) -> impl Iterator<Item = OnRoutes> {
    device.fills.iter().filter(move |f| f.thing == thing).map(Fill::on_routes)
}

/// Whether an action has the same place on the ways to anything, however it is done.
fn alike(x: &CompleteAction, y: &CompleteAction) -> bool {
    x.exists == y.exists && x.frees == y.frees && x.does == y.does
}
