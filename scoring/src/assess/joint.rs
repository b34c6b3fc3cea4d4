//! Routes that no method scores: to several parts in one opening, by another cost, as performed, as the maker has it.

use super::outcome::{PartRoute, Reach};
use super::problem::Posed;
use crate::record::complete::Complete;
use crate::route::{self, Route, RouteProblem, Step, Taken, Target, Thing};
use crate::text::fold;

/// What is to be reached: one part, all of several in one opening, or whichever of several comes first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// Parts by name.
    pub parts: Vec<String>,
    /// Any of them is enough.
    pub any: bool,
}

impl Wanted {
    /// One part.
    pub fn one(part: &str) -> Self {
        Self { parts: vec![part.to_owned()], any: false }
    }

    /// The parts as milestones of a completion; names the record doesn't have are left out.
    pub fn things(&self, device: &Complete) -> Vec<Thing> {
        let find = |name: &String| device.things.iter().position(|t| fold(t) == fold(name));
        self.parts.iter().filter_map(find).filter_map(|i| Thing::try_from(i).ok()).collect()
    }

    /// As the target of a search in a completion.
    pub fn target(&self, device: &Complete) -> Target {
        let things = self.things(device);
        if self.any { Target::AnyOf(things) } else { Target::All(things) }
    }
}

/// A found route with its ledger in the numbers of the completion. Only what a ledger and a duration need is read: steps,
/// reach, the order and the ways; what was met on it stays empty.
pub fn read(device: &Complete, posed: &Posed, problem: &RouteProblem, wanted: &Wanted, found: &Route) -> PartRoute {
    let ledger = route::replay(problem, None, &found.taken).map(|r| r.ledger).unwrap_or_default();
    let things = wanted.things(device);
    let meant = if wanted.any { 1 } else { u32::try_from(things.len()).unwrap_or(u32::MAX) };
    PartRoute {
        reach: if found.key.damaged > 0 { Reach::Damage } else { Reach::Yes },
        steps: found.key.steps,
        at_least: found.key.steps,
        in_the_way: found.key.parts.saturating_sub(meant),
        taken: taken(posed, &found.taken),
        ledger: lines(posed, &ledger),
        ..PartRoute::unread(device, things.first().copied().unwrap_or_default())
    }
}

/// Actions taken, in the numbers of the completion.
pub(super) fn taken(posed: &Posed, taken: &[Taken]) -> Vec<(usize, Vec<usize>)> {
    taken.iter().map(|t| (posed.origin[t.action], t.ways.clone())).collect()
}

/// A ledger in the numbers of the completion.
fn lines(posed: &Posed, ledger: &[Step]) -> Vec<Step> {
    ledger.iter().map(|s| Step { action: posed.origin[s.action], ..*s }).collect()
}
