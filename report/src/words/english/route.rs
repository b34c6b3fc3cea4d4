//! English: routes: how a part is reached, in how many steps, and whether that is proved.

use scoring::assess::Reach;
use scoring::record::complete::open_count;

use crate::plural::count;

/// How a part is reached.
pub fn reach(reach: Reach) -> &'static str {
    match reach {
        Reach::Yes => "without damage",
        Reach::Damage => "only by damage",
        Reach::No => "can't be reached",
    }
}

/// A number of steps in figures, which may be open upwards.
pub fn counted_steps(n: u32) -> String {
    let (known, open) = open_count(n);
    let steps = count(known as usize, "step");
    if open { super::at_least(&steps) } else { steps }
}

/// No order of actions reaches a part.
pub const PROVED_OUT_OF_REACH: &str = "proved: no order of the logged actions reaches it";

/// Where the search ended before a route was found; `least`: what any takes.
pub fn none_found(least: u32) -> String {
    format!("no route found within the limit; at least {}", count(open_count(least).0 as usize, "step"))
}

/// Which ends a route is read at: `the low end of en-45554`.
pub fn stands_behind(ends: &str) -> String {
    format!("Read at {ends}.")
}

/// No route takes fewer steps.
pub const PROVED_SHORTEST: &str = "proved shortest";

/// Where the search ended before that was known.
pub fn best_found(least: u32) -> String {
    format!("best found, at least {}", count(open_count(least).0 as usize, "step"))
}

/// What to know before the first step.
pub fn before_first(hazards: &[&str]) -> String {
    format!("Before the first step: {}.", crate::plural::list(hazards))
}

/// Why a line of a route counts.
pub fn counts_because(why: &[&str]) -> String {
    why.join(" and ")
}

/// Why a line does not count that looks as if it should.
pub const STEP_HAD_ENDED: &str = "a change of tool, but the step had ended";

/// What a chart of a route shows, in words; the ledger beside it says every line.
pub fn route_in_words(target: &str, steps: &str, tools: &[&str]) -> String {
    format!("Route to {target} in {steps}. In hand, in order: {}.", super::then(tools))
}

/// The name of a chart of a route.
pub fn step_chart(target: &str, steps: &str) -> String {
    format!("Step chart: {target}, {steps}")
}
