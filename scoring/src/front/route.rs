//! A route with its ledger.

use super::teardown::Teardown;
use crate::assess::evidence::Witness;
use crate::assess::ledger::ledger;
use crate::assess::{PartRoute, Reach};
use crate::record::complete::{Complete, open_count};

/// The reference route to a part, counted.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct CountedRoute {
    /// Steps counted; where nobody wrote down how much work something is, those that are known (see `any_more`).
    pub steps: u32,
    /// Any number of steps may come on top.
    pub any_more: bool,
    /// No way of the record gives the part more points.
    pub proved: bool,
    /// Something is destroyed on it.
    pub destroys: bool,
    /// One line an operation, in order.
    pub lines: Vec<RouteLine>,
}

/// One operation of a route.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct RouteLine {
    /// What is done (`free cell`), on the first line of an action; empty on its further operations.
    pub what: String,
    /// Tools with their settings, `hands` for none.
    pub tools: String,
    /// Steps it counts.
    pub counted: u32,
    /// Running total.
    pub total: u32,
    /// Why it counts.
    pub why: Vec<&'static str>,
    /// File, line and column of the action; `None` where nobody wrote it down.
    pub place: Option<String>,
    /// Hazards by name; follow the maker's safety information and local rules first.
    pub hazards: Vec<String>,
}

pub(super) fn told(teardown: &Teardown, device: &Complete, found: &PartRoute) -> Option<CountedRoute> {
    if found.reach == Reach::No {
        return None;
    }
    let witness = Witness { record: &teardown.record, device };
    let lines = ledger(&witness, found)
        .into_iter()
        .map(|line| RouteLine {
            tools: line.tools_said(),
            what: line.what,
            counted: line.counted,
            total: line.total,
            why: line.why,
            place: line.span.map(|span| teardown.sources.place(span)),
            hazards: line.hazards,
        })
        .collect();
    let (steps, any_more) = open_count(found.steps);
    Some(CountedRoute { steps, any_more, proved: found.proved, destroys: found.reach == Reach::Damage, lines })
}
