//! English: what was put right, and what it did.

use super::number;

/// Where a record says nothing of its corrections.
pub const CHANGED_BELOW: &str = "What changed: the values listed below; the record says nothing of its corrections.";

/// `Correction of 2 May 2026: Ostrel Yarrow`.
pub fn correction_of(day: Option<&str>, name: &str) -> String {
    match day {
        Some(day) => format!("Correction of {day}: {name}"),
        None => format!("Correction: {name}"),
    }
}

/// What was put right, and who pointed it out.
pub fn mended(what: &str, line: Option<u32>, by: Option<&str>) -> String {
    format!("What changed: {}{}. {}", what.trim_end_matches('.'), as_published(line), pointed_out(by))
}

/// Which line of the record as it was published a correction is about.
fn as_published(line: Option<u32>) -> String {
    line.map_or_else(String::new, |l| format!(" (line {l} of the record as it was published)"))
}

/// Who pointed something out.
pub fn pointed_out(by: Option<&str>) -> String {
    match by {
        Some(by) => format!("Pointed out by {}.", by.trim_end_matches('.')),
        None => "Who pointed it out: not stated.".to_owned(),
    }
}

/// `EN 45554: before 5.3 to 6.6, now 5.6 to 6.6 of 10. Why: …; …; and three more changes.`
pub fn before_and_now(method: &str, [before, now]: [&str; 2], of: &str, why: &[String], more: usize) -> String {
    let of = if of.is_empty() { String::new() } else { format!(" {of}") };
    let more = match more {
        0 => String::new(),
        n => format!("; and {} more {}", number(n), if n == 1 { "change" } else { "changes" }),
    };
    let why = if why.is_empty() { String::new() } else { format!(" Why: {}{more}.", why.join("; ")) };
    format!("{method}: before {before}, now {now}{of}.{why}")
}

/// The record a report says it was corrected from.
pub fn held_against(file: &str, fingerprint: &str) -> String {
    format!("Held against the earlier record {file}, SHA-256 {fingerprint}.")
}

/// That a report was corrected although its record lists no correction.
pub const CHANGED_SINCE: &str = "Changed since an earlier record; what and why stands under Corrections.";

/// What changed in a record, with its place.
pub fn cause(path: &str, before: Option<String>, after: Option<String>, place: Option<&str>) -> String {
    let place = place.map_or_else(String::new, |p| format!(" ({p})"));
    match (before, after) {
        (Some(before), Some(after)) => format!("{path} was {before} and is {after}{place}"),
        (None, Some(after)) => format!("{path} is new, {after}{place}"),
        (Some(before), None) => format!("{path} was {before} and is gone{place}"),
        (None, None) => format!("{path}{place}"),
    }
}

/// Results that no correction moved.
pub fn others_stay(moved: usize, all: usize) -> String {
    match (moved, all - moved) {
        (0, 1) => "The result stays as it was.".to_owned(),
        (0, _) => "All results stay as they were.".to_owned(),
        (_, 0) => "Every result moved.".to_owned(),
        (_, 1) => "The other result stays as it was.".to_owned(),
        (_, _) => "The other results stay as they were.".to_owned(),
    }
}

/// Whether a note stands alone or on earlier ones.
pub fn cumulative(before: usize, new: usize) -> String {
    match (before, new) {
        (_, 0) => "Whether it is the first correction: not stated.".to_owned(),
        (0, 1) => "First correction of this report.".to_owned(),
        (0, n) => format!("It holds the first {} corrections of this report together.", number(n)),
        (b, 1) => format!("Correction {} of this report; what stood before holds the earlier ones.", b + 1),
        (b, n) => {
            format!(
                "Corrections {} to {} of this report together; what stood before holds the earlier ones.",
                b + 1,
                b + n
            )
        }
    }
}

/// A correction in the report itself: `2 May 2026: the glue comes off clean. Pointed out by a reader.`
pub fn corrected(day: Option<&str>, what: &str, line: Option<u32>, by: Option<&str>) -> String {
    let day = day.unwrap_or("Day not stated");
    format!("{day}: {}{}. {}", what.trim_end_matches('.'), as_published(line), pointed_out(by))
}

/// That a report was corrected, for its summary.
pub fn corrected_on(day: Option<&str>, times: usize) -> String {
    match (times, day) {
        (0, _) => String::new(),
        (1, Some(day)) => format!("Corrected on {day}."),
        (1, None) => "Corrected once, day not stated.".to_owned(),
        (n, Some(day)) => format!("Corrected {} times, last on {day}.", number(n)),
        (n, None) => format!("Corrected {} times, the last on a day not stated.", number(n)),
    }
}
