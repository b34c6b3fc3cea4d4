//! Cases that differ in a few actions from one looked at before: the routes to a part that none of these can lie on are the
//! same, and need not even be looked up.

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use super::looks::{Looker, Pick};
use crate::assess::profiles::{Behind, Differs, Idle, Profiles, again};
use crate::assess::{Plan, Router};
use crate::record::complete::Complete;
use crate::route::{Limits, Thing};

/// What was found in the completions at both ends of a case.
#[derive(Debug)]
pub(super) struct Near {
    ends: Vec<Known>,
    /// The same of a case that this one is close to.
    base: Option<Arc<Near>>,
}

#[derive(Debug)]
struct Known {
    device: Complete,
    /// Under which it was looked at: what may change beside a route is found under the same, whoever asks first.
    limits: Limits,
    found: BTreeMap<Thing, Part>,
}

#[derive(Debug)]
struct Part {
    /// The routes found.
    found: Arc<Profiles>,
    behind: Behind,
    /// Worked out when something differs first.
    idle: OnceLock<Idle>,
}

impl Near {
    /// What was found in some completions of a case, itself close to another one or not.
    pub(super) fn of(looker: &Looker<'_, '_>, choices: [&[usize]; 2], base: Option<Arc<Self>>) -> Self {
        let [low, high] = choices;
        let choices = if low == high { vec![low] } else { vec![low, high] };
        Self { ends: choices.into_iter().map(|choice| Known::new(looker, choice)).collect(), base }
    }

    /// Routes to a part of a device: those of a completion known where they are the same, else ones as good as any for all
    /// that is read on them, where some that were found there are.
    pub(super) fn profiles(&self, plan: &Plan<'_>, router: &Router<'_>, thing: Thing) -> Option<Arc<Profiles>> {
        let close = self.close(router, thing);
        // A search that was cut short there would be here, with no more work allowed.
        let same = close.iter().filter(|(_, _, differs)| differs.nothing());
        if let Some((_, part, _)) = same.min_by_key(|(_, part, _)| part.found.most.is_some()) {
            return Some(Arc::clone(&part.found));
        }
        let stands = match &self.base {
            Some(base) => stands(&base.close(router, thing), plan, router),
            None => stands(&close, plan, router),
        };
        let again =
            |(_, part, differs): &(_, &Part, _)| again(plan, router, &part.found, &part.behind, differs).map(Arc::new);
        stands.or_else(|| close.iter().find_map(again))
    }

    /// The case that this one is close to.
    pub(super) fn base(&self) -> Option<Arc<Self>> {
        self.base.clone()
    }

    /// The part in each completion known, and what differs.
    fn close(&self, router: &Router<'_>, thing: Thing) -> Vec<(&Known, &Part, Differs)> {
        let close = self.ends.iter().filter_map(|known| {
            let part = known.found.get(&thing)?;
            Some((known, part, Differs::new(&known.device, router.device(), &part.behind)))
        });
        close.collect()
    }
}

/// The route to a part, where what differs can't touch it.
fn stands(close: &[(&Known, &Part, Differs)], plan: &Plan<'_>, router: &Router<'_>) -> Option<Arc<Profiles>> {
    close.iter().find_map(|(known, part, differs)| {
        let idle = || {
            let router = router.on(&known.device, known.limits);
            Idle::new(plan, &router, (&part.found, &part.behind))
        };
        part.idle.get_or_init(idle).stands(differs).cloned()
    })
}

impl Known {
    fn new(looker: &Looker<'_, '_>, choice: &[usize]) -> Self {
        let picks: Vec<Pick> = choice.iter().map(|&a| Pick::Is(a)).collect();
        let device = looker.case.complete(choice);
        let router = looker.router(&device);
        let asked = looker.asked(&picks).into_iter();
        let found = asked.map(|thing| {
            let found = looker.profiles(&router, thing, &picks);
            (thing, Part { found, behind: Behind::new(&router, thing), idle: OnceLock::new() })
        });
        let (found, limits) = (found.collect(), router.limits());
        drop(router);
        Self { device, limits, found }
    }
}
