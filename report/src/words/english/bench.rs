//! English: what was done on the bench and along routes, and what nobody established of it.

use scoring::exact::Exact;
use scoring::record::complete::open_count;

/// What was loosened where nobody said what.
pub const ONE_FASTENER: &str = "one fastener, not established which";

/// The same for any number.
pub const ANY_FASTENERS: &str = "fasteners, not established which";

/// What was used where nobody said what.
pub const ONE_TOOL: &str = "one tool, not established which";

/// The same for any number.
pub const ANY_TOOLS: &str = "tools, not established which";

/// Nothing was loosened.
pub const NOTHING: &str = "nothing";

/// Fasteners nobody counted.
pub fn uncounted(fastener: &str) -> String {
    format!("{fastener} (how many is not established)")
}

/// A way whose beginning is that of another.
pub fn begins_as(lines: usize, target: &str, total: u32, whole: bool) -> String {
    let (known, _) = open_count(total);
    let steps = if known == 1 { "step" } else { "steps" };
    if whole {
        return format!("Its {lines} rows stand on the way to {target}, {known} {steps}.");
    }
    format!("Its first {lines} rows are those of the way to {target}, {known} {steps} so far; then:")
}

/// The action after which nothing is live any more. Rows have no numbers on the page, so it is named; a line is one of the record.
pub fn safe_after(what: &str) -> String {
    format!("Safe to work on after: {what}.")
}

/// The same work by another count.
pub fn counted_otherwise(steps: &str) -> String {
    format!("The same work as the route above of {steps}; counted otherwise where shown:")
}

/// The same work by another count, in which what is told elsewhere counts otherwise.
pub fn counted_as(steps: &str, target: &str, there: &str) -> String {
    format!("The same work as the route above of {steps}; counted otherwise as told on the way to {target} of {there}.")
}

/// A time of the record's own: `40 s`, `2 to 3 min`.
pub fn seconds(low: &Exact, high: &Exact) -> String {
    let minute = Exact::from(60);
    let whole = |v: &Exact| {
        let minutes = v.checked_div(&minute)?;
        (minutes.round(0, scoring::exact::Rounding::Down) == minutes && !minutes.is_zero()).then_some(minutes)
    };
    let told = |low: &Exact, high: &Exact, unit: &str| {
        if low == high {
            format!("{} {unit}", low.plain())
        } else {
            format!("{} to {} {unit}", low.plain(), high.plain())
        }
    };
    match (whole(low), whole(high)) {
        (Some(low), Some(high)) => told(&low, &high, "min"),
        _ => told(low, high, "s"),
    }
}

/// What nobody tried.
pub const NOBODY_TRIED: &str = "nobody tried";

/// Tools nobody established, of which the end at hand takes these.
pub fn taken_as(tools: &str) -> String {
    format!("not established, here counted as {tools}")
}
