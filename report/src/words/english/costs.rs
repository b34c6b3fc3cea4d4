//! English: what costs points, and what lies behind it.

use std::collections::BTreeSet;

use super::{aloud, many, number, steps, the, verb};
use crate::facts::Sticky;
use crate::plural::list;
use scoring::exact::Exact;

/// Where no cause weighs much and much is lost, before the two deepest parts.
pub const MANY_SMALL: &str = "many small things add up";
/// The same where no part has a way that was found.
pub const LITTLE: &str = "little adds up to much";
/// Where the search ended before what costs most was known.
pub const CUT_SHORT: &str = "what costs most is not known: the search was cut short";

/// The first thing to find out, spoken.
pub fn open(what: &str) -> String {
    // A question in its own words ends itself.
    if what.ends_with('?') { format!("Open: {what}") } else { format!("Open: {what}.") }
}

/// One more.
pub fn open_too(what: &str) -> String {
    format!("Also open: {what}.")
}

/// Nothing of the bench verdict is open.
pub const BENCH_SETTLED: &str = "Nothing the bench shows is left open.";

/// Nothing is open at all.
pub const ALL_SETTLED: &str = "Nothing is left open.";

/// `On the bench the Yarrow gets five to six out of ten.`
pub fn gets(device: &str, bench: bool, score: &str, top: &str) -> String {
    let on = if bench { "On the bench the" } else { "The" };
    format!("{on} {device} gets {score} out of {top}.")
}

/// Points that round to nothing.
pub const LESS_THAN_SHOWN: &str = "less than 0.1";

/// A line of the record.
pub fn record_line(n: u32) -> String {
    format!("line {n}")
}

/// `4.0 points are lost for sure, 0.9 more are open`.
pub fn lost_and_open(lost: Option<&str>, open: Option<&str>) -> String {
    let is = |points: &str| if points == "1.0" { "is" } else { "are" };
    let said = match (lost, open) {
        (None, None) => "No point is lost".to_owned(),
        (Some(lost), None) => format!("{lost} points are lost"),
        (None, Some(open)) => format!("No point is lost for sure, {open} {} open", is(open)),
        (Some(lost), Some(open)) => format!("{lost} points are lost for sure, {open} more {} open", is(open)),
    };
    crate::words::capital(&said)
}

/// What a verdict says that loses little; `much`: a point or more is open, so that something may cost much after all.
pub fn costs_little(much: bool, easy: bool, deepest: Option<u32>) -> String {
    let head = if much { "nothing costs much for sure" } else { "nothing costs much" };
    match (easy, deepest.map(steps)) {
        (true, Some(deepest)) => format!("{head}, no part takes heat or glue, none over {deepest}"),
        (false, Some(deepest)) => format!("{head}, no part lies over {deepest} deep"),
        (true, None) => format!("{head}, no part takes heat or glue"),
        (false, None) => head.to_owned(),
    }
}

/// `at least one step`.
pub fn at_least(what: &str) -> String {
    format!("at least {what}")
}

/// What a limit is read on, where that is no matter of course.
pub fn limit_reads(what: &str) -> String {
    format!(" (the limit reads {what})")
}

/// Different tools of a way; `open`: those of some action nobody established.
pub fn in_hand(tools: usize, open: bool) -> String {
    let known = match tools {
        0 => "bare hands".to_owned(),
        1 => "one tool".to_owned(),
        n => format!("{} tools", number(n)),
    };
    match (tools, open) {
        (_, false) => known,
        (0, true) => "tools not established".to_owned(),
        (_, true) => format!("{known}, others not established"),
    }
}

/// `at most 18 steps`.
pub fn at_most(what: &str) -> String {
    format!("at most {what}")
}

/// `the back is glued`, `the bezel is taped down`.
pub fn stuck(name: &str, sticky: Sticky) -> String {
    let how = match sticky {
        Sticky::Glue => "glued",
        Sticky::Tape => "taped down",
        Sticky::Strips => "held by adhesive strips",
        Sticky::Sealant => "sealed in",
        Sticky::Potting => "potted in",
    };
    format!("{} {} {how}", the(name), verb(name, "is", "are"))
}

/// What sticks.
pub fn sticky(sticky: Sticky) -> &'static str {
    match sticky {
        Sticky::Glue => "glue",
        Sticky::Tape => "tape",
        Sticky::Strips => "adhesive strips",
        Sticky::Sealant => "sealant",
        Sticky::Potting => "potting",
    }
}

/// `glue to cut`, `glue and tape to cut`; empty where nothing sticks.
pub fn to_cut(all: &BTreeSet<Sticky>) -> String {
    let all: Vec<&str> = all.iter().map(|s| sticky(*s)).collect();
    if all.is_empty() { String::new() } else { format!("{} to cut", list(&all)) }
}

/// `the glue of the back comes off clean`.
pub fn off_clean(what: Sticky, of: &str) -> String {
    let what = sticky(what);
    format!("the {what} of {of} {} off clean", verb(what, "comes", "come"))
}

/// `the bearing comes out only by destroying the tub`.
pub fn destroyed(name: &str, what: &[String]) -> String {
    format!("{} {} out {}", the(name), verb(name, "comes", "come"), by_destroying(name, what))
}

/// The same behind a clause of its form: `the right damper only by destroying it`.
pub fn destroyed_too(name: &str, what: &[String]) -> String {
    format!("{} {}", the(name), by_destroying(name, what))
}

/// A way that no route takes, and what it takes: `another way to the battery takes heat`.
pub fn other_way(name: &str, takes: &str) -> String {
    format!("another way to {} takes {takes}", the(name))
}

/// The same of one that destroys something.
pub fn other_way_destroys(name: &str, what: &[String]) -> String {
    let it = if many(name) { "them" } else { "it" };
    let what: Vec<String> = what.iter().map(|w| if w == name { it.to_owned() } else { the(w) }).collect();
    format!("another way to {} destroys {}", the(name), list(&what))
}

/// The same of one that is held by something that sticks.
pub fn other_way_stuck(name: &str, what: Sticky) -> String {
    format!("another way to {} is held by {}", the(name), sticky(what))
}

/// The same of one of which there is no more to say.
pub fn other_way_longer(name: &str) -> String {
    format!("another way to {} is no shorter", the(name))
}

fn by_destroying(name: &str, what: &[String]) -> String {
    let own = what.iter().any(|w| w == name);
    let others: Vec<String> = what.iter().filter(|w| *w != name).map(|w| the(w)).collect();
    let it = if many(name) { "them" } else { "it" };
    let what = if own && others.is_empty() { it.to_owned() } else { list(&others) };
    format!("only by destroying {what}")
}

/// `the motor can't be taken out`.
pub fn out_of_reach(name: &str) -> String {
    format!("{} can't be taken out", the(name))
}

/// `the battery takes seven steps, heat and alcohol`.
pub fn takes(name: &str, what: &[String]) -> String {
    format!("{} {} {}", the(name), verb(name, "takes", "take"), list(what))
}

/// What closes a way: `a stuck foot strip and seven screws of two kinds close the bottom cover`; `one`: it is a single thing.
pub fn closes(closers: &[String], one: bool, name: &str) -> String {
    format!("{} {} {}", list(closers), if one { "closes" } else { "close" }, the(name))
}

/// `seven screws of two kinds`.
pub fn screws(n: u32, drives: usize) -> String {
    let kinds = if drives > 1 { format!(" of {} kinds", number(drives)) } else { String::new() };
    format!("{} {}{kinds}", number(n as usize), if n == 1 { "screw" } else { "screws" })
}

/// `a glued foot strip`.
pub fn a_stuck(name: &str, sticky: Sticky) -> String {
    let how = match sticky {
        Sticky::Glue => "glued",
        Sticky::Tape => "taped-down",
        Sticky::Strips => "stuck-down",
        Sticky::Sealant => "sealed-in",
        Sticky::Potting => "potted",
    };
    if many(name) { format!("{how} {name}") } else { format!("a {how} {name}") }
}

/// What lies behind what is no part that counts itself: `all 13 parts lie behind it`, `six of the nine parts lie behind it`.
pub fn all_behind(n: usize, of: usize, one: Option<&str>, name: &str) -> Option<String> {
    let it = if many(name) { "them" } else { "it" };
    match (n, of) {
        (0, _) => None,
        (1, _) => one.map(|o| format!("{} {} behind {it}", the(o), verb(o, "lies", "lie"))),
        (n, of) if n == of => Some(format!("all {} parts lie behind {it}", number(n))),
        (n, of) => Some(format!("{} of the {} parts lie behind {it}", number(n), number(of))),
    }
}

/// What lies behind: `the other eight parts lie behind it`, `six of the other nine parts lie behind it`.
pub fn behind(n: usize, of: usize, one: Option<&str>, name: &str) -> Option<String> {
    let it = if many(name) { "them" } else { "it" };
    match (n, of) {
        (0, _) => None,
        (1, _) => one.map(|o| format!("{} {} behind {it}", the(o), verb(o, "lies", "lie"))),
        (n, of) if n == of => Some(format!("the other {} parts lie behind {it}", number(n))),
        (n, of) => Some(format!("{} of the other {} parts lie behind {it}", number(n), number(of))),
    }
}

/// How much points are, in words: `half a point`.
pub fn worth(points: &Exact) -> String {
    let shown = points.display(1, scoring::exact::Rounding::HalfUp);
    match shown.as_str() {
        "0.0" => "less than a tenth of a point".to_owned(),
        "0.1" => "a tenth of a point".to_owned(),
        "0.5" => "half a point".to_owned(),
        "1.0" => "a point".to_owned(),
        shown => match shown.strip_prefix("0.").and_then(|t| t.parse::<usize>().ok()) {
            Some(tenths) => format!("{} tenths of a point", number(tenths)),
            None => format!("{} points", aloud(shown)),
        },
    }
}

/// Points with so many decimals; what would be shown as nothing though it is something, as less than the least shown.
pub fn at_least_shown(points: &Exact, decimals: u8) -> String {
    let shown = points.display(decimals, scoring::exact::Rounding::HalfUp);
    if points.is_zero() || shown.contains(|c: char| c.is_ascii_digit() && c != '0') {
        return shown;
    }
    let least =
        Exact::ratio(1, 10_i64.pow(decimals.into())).map(|l| l.display(decimals, scoring::exact::Rounding::HalfUp));
    least.map_or(shown, |least| format!("less than {least}"))
}

/// What is left of a gain under the limits that hold the verdict, after the words for what gains it.
pub fn while_a_limit_holds(left: &str) -> String {
    match left {
        "0.0" => "; nothing while a limit holds".to_owned(),
        left => format!("; {left} while a limit holds"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[rstest]
    #[case(1, 4, "0.25")]
    #[case(-1, 4, "-0.25")]
    #[case(0, 1, "0.00")]
    #[case(1, 200, "0.01")]
    #[case(1, 201, "less than 0.01")]
    fn what_is_something_is_not_shown_as_nothing(#[case] n: i64, #[case] d: i64, #[case] wanted: &str) {
        assert_eq!(at_least_shown(&Exact::ratio(n, d).unwrap(), 2), wanted);
    }
}
