//! English: a verdict, the reason for it in a sentence, and what stands in its way.

use crate::plural::{count, list};
use crate::words;

/// What the bench shows alone, as a title.
pub const BENCH_VERDICT: &str = "bench verdict";

/// A requirement that is met.
pub const PASS: &str = "pass";

/// One that is missed.
pub const FAIL: &str = "fail";

/// A range bar in words.
pub fn on_scale(range: &str, least: &str, most: &str) -> String {
    format!("{range} on a scale from {least} to {most}")
}

/// A result that binds nobody, and why.
pub fn information_only(why: &str) -> String {
    format!("For information only. {why}")
}

/// What an index lacks.
pub const COEFFICIENTS_UNREAD: &str = "coefficients could not be read";

/// Marks a method is given, of which the record has none.
pub const NO_MARKS: &str = "the record holds none of its marks";

/// No part has a role.
pub const NO_ROLE_WEIGHED: &str = "the record names no part with a role that this method weighs";

/// The device lacks every part a method asks about.
pub fn has_none_of(roles: &[String]) -> String {
    format!("the device has none of the parts it asks about: {}", list(roles))
}

/// Nothing to score, for no reason of its own.
pub const NOTHING_IT_ASKS: &str = "nothing it asks about is in the record";

/// Why a method has nothing to score, as a sentence.
pub fn does_not_apply(why: &str) -> String {
    format!("It does not apply: {why}.")
}

/// The record is silent on every part; stands before a sentence.
pub fn mentions_none_of(roles: &[String]) -> String {
    format!("The record mentions none of the parts it asks about ({}). ", list(roles))
}

/// Whether the routes behind a verdict are proved shortest, as a clause; `there`: any leads to a part.
pub fn routes_behind(there: bool, proved: bool) -> &'static str {
    match (there, proved) {
        (false, _) => "no route is behind it: the record has no way to a part it asks about",
        (true, true) => "every route behind it is proved shortest",
        (true, false) => "not every route behind it is proved shortest",
    }
}

/// A clause as a sentence of its own.
pub fn as_sentence(clause: &str) -> String {
    format!("{}.", crate::words::capital(clause))
}

/// Where every loss hangs on an answer.
pub const NOTHING_LOST_FOR_SURE: &str = "nothing is lost for sure";

/// All is settled, and nothing lost.
pub const NOTHING_LOST: &str = "nothing is lost on any criterion";

/// What is kept.
pub fn holds_up(what: &str) -> String {
    format!("{what} holds it up")
}

/// How many unknowns leave a verdict open, and which most of all.
pub fn leave_it_open(unknowns: usize, most: Option<&str>) -> String {
    let one = unknowns == 1;
    let said = format!("{} {} it open", count(unknowns, "unknown"), if one { "leaves" } else { "leave" });
    most.map_or_else(|| said.clone(), |most| format!("{said}{} {most}", if one { ":" } else { ", most of all" }))
}

/// Which parts the limits of a verdict read, behind its sentence.
pub fn limits_read(what: &str) -> String {
    format!(" Its limits read {what}.")
}

/// How sure the weakest rule is, of a method with choices of our own.
pub fn with_own_choices(phrase: &str) -> String {
    format!("{phrase}, and choices of our own")
}

/// A role that the record is silent on.
pub const NOT_IN_THE_RECORD: &str = "not mentioned in the record";

/// What was read at two ends that differ.
pub fn read_at([low, high]: [&str; 2], attained: [bool; 2]) -> String {
    let at = |e: usize| {
        let end = words::end(attained[e], e == 1);
        if attained[e] { format!("at the {end}") } else { end.to_owned() }
    };
    format!("{low} {}, {high} {}", at(0), at(1))
}

/// The same was read at both ends, and answers change it none the less.
pub fn open_though(read: &str, attained: [bool; 2]) -> String {
    if attained == [true; 2] {
        return format!("open; {read} at both ends of the verdict");
    }
    format!("open; {read} in {}", words::both_ends(attained))
}

/// The most that is open.
pub fn up_to(points: &str) -> String {
    format!("up to {points}")
}

/// What a part costs over all criteria.
pub fn costs_in_all(points: &str) -> String {
    format!("costs up to {points} points in all")
}

/// What is kept on it over all criteria.
pub fn keeps_in_all(points: &str) -> String {
    format!("keeps up to {points} points in all")
}

/// What is open on it over all criteria.
pub fn moves_in_all(points: &str) -> String {
    format!("moves up to {points} points in all")
}

/// A criterion told over its parts.
pub fn over_parts(parts: usize) -> String {
    format!("over {}", count(parts, "part"))
}

/// Requirements that hang on one part.
pub fn on_requirements(n: usize) -> String {
    count(n, "requirement")
}

/// A part that is out of reach, and how surely.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum OutOfReach {
    /// No way leads to it, whatever the answers.
    Surely,
    /// Every way to it destroys a part, and the method scores no such way.
    Destroyed,
    /// No way leads to it at the low end.
    Perhaps,
    /// The record doesn't mention it.
    Unmentioned,
}

/// `battery, which can't be taken out`: stands in a list and in a sentence.
pub fn beyond(part: &str, why: OutOfReach, destroyed: &[String]) -> String {
    let how = match why {
        OutOfReach::Surely => "which can't be taken out".to_owned(),
        OutOfReach::Destroyed => format!("which can't be taken out without destroying {}", list(destroyed)),
        OutOfReach::Perhaps => "if it can't be taken out".to_owned(),
        OutOfReach::Unmentioned => "which the record does not mention".to_owned(),
    };
    format!("{part}, {how}")
}

/// What was reached of a range that is a bound, by the answers tried; `None`: nobody knows of any.
pub fn reached_within(reached: Option<(&str, &str)>, outer: &str) -> String {
    match reached {
        Some((a, b)) if a == b => format!("reached {a}; never outside {outer}"),
        Some((a, b)) => format!("reached {a} to {b}; never outside {outer}"),
        None => format!("never outside {outer}; which of it can be reached is not known"),
    }
}
