//! What may be done in any way without a better route to a part: actions off a route, and things off it that get one more way,
//! where no other route beats it when all of them are as good as can be. What changes only these leaves the route as it is,
//! and nobody needs to look.

use std::sync::Arc;

use super::again::again;
use super::differs::{Behind, Differs};
use super::{Plan, Profiles};
use crate::assess::outcome::Router;
use crate::record::complete::CompleteAction;
use crate::route::Thing;

/// Looks spent on finding out what off the route of one part matters.
const LOOKS: usize = 6;
/// So few are as well looked at one by one when they change.
const FEW: usize = 4;

/// A route to a part, and what may change without touching it.
#[derive(Debug)]
pub(crate) struct Idle {
    stands: Option<Arc<Profiles>>,
    /// All of one group may change at once.
    groups: Vec<Vec<Off>>,
}

/// Something off the route.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Off {
    Action(usize),
    /// One more way to a thing.
    Way(Thing),
}

impl Idle {
    /// What may change about the ways to a part of a device.
    pub(crate) fn new(plan: &Plan<'_>, router: &Router<'_>, (found, behind): (&Profiles, &Behind)) -> Self {
        let mut out = Self { stands: None, groups: Vec::new() };
        let device = router.device();
        // As good as can be in all that is read: the search found one, and was not cut short.
        let [known] = &found.found[..] else { return out };
        if found.most.is_some() {
            return out;
        }
        let taken: Vec<usize> = known.route.taken.iter().map(|(action, _)| *action).collect();
        let off = |a: &usize| {
            let action = &device.actions[*a];
            // What destroys or can't be done is on no route; made as good as can be it would be a new way.
            let way = action.exists && action.destroys.is_empty() && !action.operations.iter().any(Vec::is_empty);
            way && !taken.contains(a)
        };
        let on = |t: &Thing| taken.iter().any(|&a| device.actions[a].frees.contains(t));
        let actions = behind.actions.iter().copied().filter(off).map(Off::Action);
        let ways = behind.wanted.iter().copied().filter(|t| !on(t)).map(Off::Way);
        let mut open = vec![ways.collect::<Vec<_>>(), actions.collect()];
        for _ in 0..LOOKS {
            let Some(group) = open.pop() else { break };
            let mut best = device.clone();
            for off in &group {
                match off {
                    Off::Action(a) => best.actions[*a].make_best(),
                    Off::Way(thing) => best.actions.push(CompleteAction::by_hand(*thing)),
                }
            }
            let differs = Differs::new(device, &best, behind);
            match again(plan, &router.on(&best, router.limits()), found, behind, &differs) {
                Some(same) => {
                    out.stands.get_or_insert_with(|| Arc::new(same));
                    out.groups.push(group);
                }
                None if group.len() > FEW => {
                    let (first, second) = group.split_at(group.len() / 2);
                    open.extend([second.to_vec(), first.to_vec()]);
                }
                None => {}
            }
        }
        out
    }

    /// The route, where what differs can't touch it.
    pub(crate) fn stands(&self, differs: &Differs) -> Option<&Arc<Profiles>> {
        let actions = differs.actions.iter().map(|a| Off::Action(*a));
        let all: Vec<Off> = actions.chain(differs.ways.iter().map(|(_, t)| Off::Way(*t))).collect();
        let within = |group: &Vec<Off>| all.iter().all(|one| group.binary_search(one).is_ok());
        self.stands.as_ref().filter(|_| !differs.order && self.groups.iter().any(within))
    }
}
