//! English: pictures: what stands in them, and what they show in words.

/// Signs of the legend: where a part comes off that counts.
pub const PART_THAT_COUNTS: &str = "part that counts";

/// Where something is destroyed.
pub const DESTROYS_A_PART: &str = "destroys a part";

/// Where something stuck is cut.
pub const STUCK_TO_CUT: &str = "glue or tape to cut";

/// The picture of ways in words.
pub fn ways_in_words(items: &str) -> String {
    format!("Ways to the parts that count: {items}")
}

/// What the columns of the picture count.
pub const COUNTED_STEPS: &str = "counted steps";

/// Some of many names, and how many more.
pub fn and_more(names: &[String], more: usize) -> String {
    format!("{} and {more} more", names.join(", "))
}

/// Plugs pulled one after the other.
pub fn plugs(n: usize) -> String {
    format!("{n} plugs")
}

/// What is destroyed for a part, beside its name.
pub fn destroys_all(what: &[String]) -> String {
    format!("destroys {}", what.join(", "))
}

/// A way that failed, and why where that is known.
pub fn failed(why: Option<&str>) -> String {
    why.map_or_else(|| super::TRIED_AND_FAILED.to_owned(), |why| format!("failed: {why}"))
}

/// The same in the picture: what is told of it stands behind a cross.
pub fn crossed(told: &str) -> String {
    format!("× {told}")
}

/// Where there is no room for what is told of it.
pub const CROSSED: &str = "× failed";

/// No way leads to a part.
pub const NO_WAY: &str = "no way in the record";

/// Two of a kind.
pub fn left_and_right(what: &str) -> String {
    format!("left and right {what}")
}

/// What a card is about.
pub const HOW_REPAIRABLE: &str = "How repairable it is, from one teardown";

/// What a card is not.
pub const NO_CLASS: &str = "Unofficial pre-check from one teardown record; not a declared class.";

/// A criterion on the strip of lost points; `open`: what may be lost beside.
pub fn lost_on(title: &str, sure: &str, open: Option<&str>) -> String {
    open.map_or_else(|| format!("{title} {sure}"), |open| format!("{title} {sure} and {open} open"))
}

/// The strip of lost points in words.
pub fn lost_points(criteria: &[String]) -> String {
    format!("Lost points by criterion: {}", criteria.join("; "))
}
