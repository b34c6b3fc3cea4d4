//! The summary: how a device was taken apart, what work a part takes, who sells a new one, what the reviewer says.

use scoring::vocab::Access;

use super::{number, steps};
use crate::plural::list;

/// What a verdict without promises is about.
pub fn what_is_shown(planned: bool) -> &'static str {
    if planned { "what the design shows, not a bench" } else { "what the bench shows" }
}

/// The scale of a verdict, and its class where it has one.
pub fn scale(out_of: &str, class: &str) -> String {
    if class.is_empty() { out_of.to_owned() } else { format!("{out_of}, {class}") }
}

/// Whether, when and by whom it was taken apart.
pub fn taken_apart(planned: bool, date: Option<&str>, by: Option<&str>) -> String {
    let by = by.map(|b| format!("by {b}"));
    let (lead, date, between) = match (planned, date) {
        (true, date) => ("a design, not taken apart", date.map(str::to_owned), ", "),
        (false, Some(date)) => ("taken apart", Some(format!("on {date}")), " "),
        (false, None) => ("taken apart, on which day is not stated", None, ", "),
    };
    [Some(lead.to_owned()), date, by].into_iter().flatten().collect::<Vec<_>>().join(between)
}

/// The whole record was made by word lists.
pub const BENCH_DRAFTED: &str = "bench facts drafted, reviewed by nobody";

/// The whole record was told, or read somewhere.
pub fn bench_told(basis: &str) -> String {
    format!("bench facts {basis}, not done on this bench")
}

/// Actions made by word lists.
pub fn actions_drafted(some: usize, all: usize) -> String {
    format!("{some} of {all} actions drafted, reviewed by nobody")
}

/// Actions that were told, or read somewhere.
pub fn actions_elsewhere(some: usize, all: usize) -> String {
    format!("{some} of {all} actions not done on this bench")
}

/// Actions that stand in the record as not attempted.
pub fn actions_untried(some: usize, all: usize) -> String {
    format!("{some} of {all} actions nobody tried")
}

/// Nobody stated what must come first.
pub const ORDER_ASSUMED: &str = "order as logged, assumed";

/// A number of steps that is open.
pub fn between_steps(least: u32, most: u32) -> String {
    format!("{} to {}", number(least as usize), steps(most))
}

/// Steps at both ends, of which the greater is open upwards: `four to at least six steps`.
pub fn to_at_least(least: u32, most: u32) -> String {
    format!("{} to {}", number(least as usize), super::at_least(&steps(most)))
}

/// Steps of a part that may not come out; `open`: what must come before is not established.
pub fn if_at_all(least: u32, open: bool) -> String {
    let least = steps(least);
    format!("{} if it comes out at all", if open { super::at_least(&least) } else { least })
}

/// The record says nothing of a part.
pub const NOT_MENTIONED: &str = "not mentioned";

/// No way reaches it.
pub const CANT_BE_TAKEN_OUT: &str = "can't be taken out";

/// Heads of the rows of a part: what comes off before it, the work, a new one.
pub const ROWS: [&str; 3] = ["first off", "work", "spare"];

/// Nothing comes off before it.
pub const NOTHING_FIRST: &str = "nothing";

/// What comes off before it, where nobody established all of that.
pub fn first_at_least(off: &str) -> String {
    if off.is_empty() { "not established".to_owned() } else { format!("at least {off}") }
}

/// Parts that come off in the same lift.
pub fn comes_with(parts: &str) -> String {
    format!("comes off together with {parts}")
}

/// A way that did not work, and why where there is room for it.
pub fn failed_too(why: Option<&str>) -> String {
    why.map_or_else(|| "; another way failed".to_owned(), |why| format!("; another way failed: {why}"))
}

/// The only way tried did not work, and why.
pub fn only_failed(why: Option<&str>) -> String {
    why.map_or_else(|| "tried, and failed".to_owned(), |why| format!("tried, and failed: {why}"))
}

/// Heat, how often, and the degrees known.
pub fn heated(heats: &[Option<u32>]) -> Option<String> {
    Some(match heats {
        [] => return None,
        [Some(c)] => format!("heat {c} °C"),
        [None] => "heat".to_owned(),
        several => {
            let known: Vec<String> = several.iter().flatten().map(ToString::to_string).collect();
            let times = if several.len() == 2 { "twice".to_owned() } else { format!("{} times", several.len()) };
            if known.is_empty() {
                format!("heat {times}")
            } else {
                format!("heat {times}, {} °C", known.join(" and "))
            }
        }
    })
}

/// What is destroyed on a way.
pub fn destroys(what: &[String]) -> String {
    format!("destroys {}", list(what))
}

/// The maker offers no part at all.
pub const NONE_OFFERED: &str = "none offered";

/// Nothing is said of a new part.
pub const NOTHING_STATED: &str = "nothing stated";

/// Who may buy a new part.
pub fn sold_to(whom: Option<Access>) -> String {
    let known = match whom {
        Some(Access::Public) => "to anyone",
        Some(Access::Independent) => "to repairers",
        Some(Access::Authorised) => "to authorised repairers only",
        Some(Access::Manufacturer) => "kept by the maker",
        Some(Access::None) => "to nobody",
        Some(other) => return format!("to {other}"),
        None => "who can buy it is open",
    };
    known.to_owned()
}

/// How long a new part is offered.
pub fn for_years(years: &str) -> String {
    format!("{years} years")
}

/// Where a reviewer's number lies.
pub enum Beside {
    /// Below the range by so much.
    Below(String),
    /// Above it by so much.
    Above(String),
    /// In it.
    Within,
}

/// The reviewer's own verdict, where it lies and why.
pub fn own_verdict(text: &str, place: Option<&Beside>, because: Option<&str>) -> String {
    let place = match place {
        Some(Beside::Below(by)) => format!(", {by} below the range"),
        Some(Beside::Above(by)) => format!(", {by} above the range"),
        Some(Beside::Within) => ", within the range".to_owned(),
        None => String::new(),
    };
    let why = because.map_or_else(String::new, |b| format!(", because {b}"));
    format!("\u{201c}{text}\u{201d}{place}{why}.")
}

/// What comes off on the way to a part.
pub fn first(off: &str) -> String {
    format!("first {off}")
}

/// Marks of the picture in words: a plug, heat, a solvent.
pub const MARKS: [&str; 3] = ["plug", "heat", "solvent"];

/// From here on the device is safe. `on_the_way`: what is told after the part's own steps may come before or after that.
pub fn safe(on_the_way: bool) -> &'static str {
    if on_the_way { "made safe on the way" } else { SAFE_FROM_HERE }
}

/// The same where the order is plain.
pub const SAFE_FROM_HERE: &str = "safe from here";

/// It is safe only once others are done too.
pub const SAFE_TOGETHER: &str = "safe only with others";

/// Nobody has looked at what word lists made.
pub const DRAFTED: &str = "drafted, not reviewed";

/// Not done here.
pub const TOLD: &str = "told or planned";
