//! English: what `changes` says, apart from the changes themselves.

use scoring::compare::{Nearest, Short};
use scoring::text::words::count;

use super::plain;
use crate::arguments::VerdictOf;
use crate::ends::Ends;

/// How a method judges things as they stand.
pub(crate) fn now(method: &str, said: &str) -> String {
    format!("{method} now: {said}")
}

/// How a line of a table of costs is written.
pub(crate) const FORM: &str = "write `COST, CHANGE ID`, such as `2.5, fastener actions[3].loosen[0] -> reusable`";

pub(crate) const NO_COMMA: &str = "no cost and change with a comma between";

pub(crate) fn no_number(cost: &str) -> String {
    format!("`{cost}` is not a number")
}

/// A cost below nought: what, why, and the mend.
pub(crate) fn below_nought(cost: &str) -> [String; 3] {
    [
        format!("a cost of {cost} is below nought"),
        "A change that pays for itself would always be made.".to_owned(),
        "write 0 or more".to_owned(),
    ]
}

/// A cost of no change there is: what, why, and the mend.
pub(crate) fn no_change(id: &str, near: Option<&str>) -> [String; 3] {
    [
        format!("`{id}` is no change of this record"),
        "Its cost would count for nothing.".to_owned(),
        near.map_or_else(|| "copy ids from `unfasten changes RECORD --all`".to_owned(), plain::did_you_mean_text),
    ]
}

/// A change with two costs: what, why, and the mend.
pub(crate) fn two_costs(id: &str) -> [String; 3] {
    [format!("`{id}` has two costs"), "Only one of them could count.".to_owned(), "delete one of the two".to_owned()]
}

/// Where the first of two stands.
pub(crate) const FIRST_HERE: &str = "first here";

pub(crate) const NOTHING_BETTER: &str = "No single change tried makes anything better. Tried are fasteners, tools, order, \
                                         environment, skill, parts that come off alone, and promises; not a wholly new way. What \
                                         helps beside others only is tried with --target.";

/// In which order changes stand; `of`: which of the two verdicts ranks them.
pub(crate) fn order(of: Option<VerdictOf>, for_cost: bool) -> String {
    let by = of.map_or_else(String::new, |of| format!(" of the {}", plain::verdict_of(of)));
    let cost = if for_cost { " for its cost" } else { "" };
    format!("Single changes, what buys most at the low end{by}{cost} first:")
}

pub(crate) fn more(more: usize) -> String {
    format!("and {more} more: --all")
}

/// Leads the id of a change.
pub(crate) const ID: &str = "id";

/// What a change costs.
pub(crate) enum Cost<'c> {
    /// So much, and what each unit of it buys.
    Some(&'c str, &'c str),
    /// Nothing.
    None,
}

/// What a change makes of a verdict, what that gains, and for which cost; `bounds`: both ends may not be reached.
pub(crate) fn effect(range: &str, gain: &str, bounds: bool, cost: Option<Cost<'_>>) -> String {
    let bounds = if bounds { ", between bounds" } else { "" };
    let cost = match cost {
        None => String::new(),
        Some(Cost::Some(cost, each)) => format!(", cost {cost}: {each} for each 1"),
        Some(Cost::None) => ", at no cost".to_owned(),
    };
    format!("{range} ({gain} at the low end{bounds}{cost})")
}

/// Criteria that moved, and how many more did.
pub(crate) fn rows(shown: &[String], more: usize) -> String {
    let more = if more > 0 { format!("; {more} more") } else { String::new() };
    format!("{}{more}", shown.join("; "))
}

/// A criterion that moved.
pub(crate) fn row(title: &str, part: Option<&str>, before: &str, after: &str) -> String {
    let part = part.map_or_else(String::new, |p| format!(": {p}"));
    format!("{title}{part}: {before} becomes {after}")
}

/// From one end to the other.
pub(crate) fn to([low, high]: [&str; 2]) -> String {
    format!("{low} to {high}")
}

/// Nothing reaches the target, and what keeps it out of reach; `passes`: the method says pass or fail; `away`: how far what
/// helps most stays from it, behind a comma.
pub(crate) fn none_reaches(method: &str, target: &str, short: Option<&Short>, (passes, away): (bool, &str)) -> String {
    let text = format!("No set of these changes was found that brings {method} to {target} at the low end.");
    let Some(short) = short else { return text };
    let Some(nearest) = &short.nearest else {
        return format!("{text} None of them lifts: {}.", short.not_lifted.join("; "));
    };
    let (changes, rest) = (count(nearest.changes.len(), "change"), nearest.short.join("; "));
    let brings = match (nearest.changes.len(), passes) {
        (0, _) => "As things stand".to_owned(),
        (_, true) => format!("With the {changes} that help most"),
        (_, false) => format!("The {changes} that help most bring it to {}{away}. There", range_of(nearest)),
    };
    match (rest.is_empty(), passes) {
        (true, _) => text,
        (false, true) => format!("{text} {brings} these are still not met: {rest}."),
        (false, false) => format!("{text} {brings} most is still lost on: {rest}."),
    }
}

/// The range that what helps brings a verdict to.
fn range_of(nearest: &Nearest) -> String {
    plain::range(&Ends { passes: false, shown: &nearest.shown, classes: nearest.classes.as_ref() })
}

pub(crate) fn reached_already(target: &str, method: &str, now: &str) -> String {
    format!("{target} by {method}: reached as things stand ({now}).")
}

/// A set of so many changes, what it costs and what then stands.
pub(crate) fn set(target: &str, method: &str, proved: bool, changes: usize, cost: &str, then: &str) -> String {
    let how = if proved { "cheapest set, proved" } else { "set found greedily, perhaps not the cheapest" };
    format!("{target} by {method}: {how}; {}, cost {cost}; then {then}.", plain::changes(changes))
}
