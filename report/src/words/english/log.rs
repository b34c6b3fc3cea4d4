//! English: the log: what was done on the bench, what came of it, how it is put back.

use scoring::record::{Outcome, Side};

/// Nobody tried, as the outcome of an action or of a part.
pub const NOT_ATTEMPTED: &str = "not attempted";

/// What came of an action.
pub fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Done => "done",
        Outcome::Failed => "failed",
        Outcome::NotAttempted => NOT_ATTEMPTED,
    }
}

/// A part nobody tried to take out, and why.
pub fn not_attempted(why: Option<&str>) -> String {
    why.map_or_else(|| NOT_ATTEMPTED.to_owned(), |why| format!("{NOT_ATTEMPTED}: {why}"))
}

/// The same of an action nobody tried.
pub fn nobody_tried(why: Option<&str>) -> String {
    let tried = super::NOBODY_TRIED;
    why.map_or_else(|| tried.to_owned(), |why| format!("{tried}: {why}"))
}

/// What was tried, did not work, and why.
pub fn tried_and_failed(why: Option<&str>) -> String {
    why.map_or_else(|| TRIED_AND_FAILED.to_owned(), |why| format!("{TRIED_AND_FAILED}: {why}"))
}

/// What was tried and did not work.
pub const TRIED_AND_FAILED: &str = "tried, and failed";

/// Taking something out: `free back glass`.
pub fn free(what: &str) -> String {
    format!("free {what}")
}

/// A tool, with how its work is known.
pub fn with_mark(tool: &str, known: &str) -> String {
    format!("{tool} ({known})")
}

/// No tool.
pub const HANDS: &str = "hands";

/// One thing after the other.
pub fn then<S: std::borrow::Borrow<str>>(all: &[S]) -> String {
    all.join(", then ")
}

/// Ways to do one thing, the first of which was taken.
pub fn otherwise(all: &[String]) -> String {
    all.join(", else ")
}

/// How hot.
pub fn celsius(degrees: u32) -> String {
    format!("{degrees} °C")
}

/// How long.
pub fn minutes(minutes: &str) -> String {
    format!("{minutes} min")
}

/// So many of a fastener.
pub fn times(count: &str, what: &str) -> String {
    format!("{count} x {what}")
}

/// Nobody said what must come first.
pub const ACTION_ABOVE: &str = "the action above (assumed)";

/// One of these must come first.
pub fn one_first(names: &[String]) -> String {
    format!("{} (not established which)", names.join(" or "))
}

/// Any of these comes first.
pub fn any_first(members: &[String]) -> String {
    format!("any of: {}", members.join("; "))
}

/// For whom a remark speaks.
pub fn side(side: Side) -> &'static str {
    match side {
        Side::For => "for",
        Side::Against => "against",
        Side::Neither => "note",
    }
}

/// What a picture shows, where nobody described it.
pub fn picture_of(what: &str) -> String {
    format!("Picture of: {what}")
}

/// A picture that can't be linked.
pub const NOT_RELATIVE: &str = "not a relative path";

/// Size of all pictures, in thousands of bytes.
pub fn kilobytes(thousands: usize) -> String {
    format!("{thousands} kB")
}

/// The way back of an action that takes nothing out.
pub fn undo(what: &str) -> String {
    format!("undo: {what}")
}

/// What an action destroys, for the list of what is lost.
pub fn lost_by(what: &str, action: &str) -> String {
    format!("{what} (by: {action})")
}

/// The same for the list of a part.
pub fn destroyed_by(what: &str, action: &str) -> String {
    format!("{what} (by {action})")
}

/// What is known of the device put back: together, under power, under test.
pub const PUT_BACK: [&str; 3] = ["put back together", "powers on", "tested"];

/// The device has no part of a role.
pub const DEVICE_HAS_NONE: &str = "the device has none";
