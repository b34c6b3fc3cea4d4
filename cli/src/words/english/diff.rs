//! English: what `diff` says of two records, and of two tables of sheets of marks.

use scoring::text::words::count;

use super::plain;

/// How verdicts of two records are told apart.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Sides {
    /// One record, corrected.
    Corrected,
    /// Records of two people.
    OfTwo,
}

/// What leads the verdict of each record in a sentence.
fn leads(sides: Sides) -> [&'static str; 2] {
    match sides {
        Sides::Corrected => ["was", "is now"],
        Sides::OfTwo => ["first", "second"],
    }
}

/// Heads of the columns of verdicts.
pub(crate) fn columns(sides: Sides) -> [&'static str; 3] {
    let [first, second] = match sides {
        Sides::Corrected => leads(sides),
        Sides::OfTwo => ["first record", "second record"],
    };
    ["method", first, second]
}

/// Records of two devices held against each other.
pub(crate) fn two_devices([old, new]: [&str; 2], places: usize) -> [String; 2] {
    [
        format!("these are records of two devices, {old} and {new}, and differ in {places} places"),
        "set devices side by side with `unfasten compare`; records of one device give it one name".to_owned(),
    ]
}

/// A verdict with what it is without the bench sheet.
pub(crate) fn without_sheet(said: &str, without: &str) -> String {
    format!("{said} ({without} without the sheet)")
}

/// What would be.
pub(crate) fn would(said: &str) -> String {
    format!("would {said}")
}

/// Which bench sheets two records are read on; empty without.
pub(crate) fn sheets(sheets: &[Option<String>; 2]) -> String {
    match sheets {
        [None, None] => String::new(),
        [Some(a), Some(b)] if a == b => format!("Both on the bench sheet of {a}."),
        [a, b] => {
            let said = |s: &Option<String>| s.as_ref().map_or("none".to_owned(), |s| format!("that of {s}"));
            format!("Bench sheets that fill something in: {} at first, {} then.", said(a), said(b))
        }
    }
}

/// A verdict that stays.
pub(crate) fn as_before(label: &str, said: &str) -> String {
    format!("{label}: {said}, as before")
}

/// A verdict that moves.
pub(crate) fn moves(label: &str, [before, after]: [&str; 2], sides: Sides) -> String {
    let [was, now] = leads(sides);
    format!("{label}: {was} {before}, {now} {after}")
}

pub(crate) const NO_VALUE_DIFFERS: &str = "No value differs.";

pub(crate) fn differences(n: usize) -> String {
    format!("{}:", count(n, "difference"))
}

/// What a variant lacks of what was observed on its base; `paths`: all of it.
pub(crate) fn not_taken_over(paths: &[String]) -> String {
    const SHOWN: usize = 4;
    let first = paths[..paths.len().min(SHOWN)].join(", ");
    let more = paths.len().saturating_sub(SHOWN);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!(
        "Not counted: what a variant never takes over of its base's bench, here {first}{rest}. No verdict moves for it."
    )
}

/// What was before, and what is after; nothing where one has none.
pub(crate) fn change(before: Option<&str>, after: Option<&str>) -> String {
    match (before, after) {
        (Some(before), Some(after)) => format!("{before} -> {after}"),
        (None, Some(after)) => format!("added, {after}"),
        (Some(before), None) => format!("taken out, {before}"),
        (None, None) => String::new(),
    }
}

/// What a change does to a verdict.
pub(crate) enum Effect<'e> {
    /// It moves, shown as before.
    Less(&'e str),
    /// It becomes another.
    Becomes(&'e str),
    /// The record makes no sense with this change alone.
    Later,
}

/// An effect on a verdict; `together`: beside other changes it is another one than alone.
pub(crate) fn effect(label: &str, effect: &Effect<'_>, together: bool) -> String {
    let with = if together { "; together with other changes it does otherwise than alone" } else { "" };
    match effect {
        Effect::Less(said) => format!("{label} moves by less than it shows, {said}{with}"),
        Effect::Becomes(said) => format!("{label} becomes {said}{with}"),
        Effect::Later => format!("{label}: only makes sense together with a later change"),
    }
}

pub(crate) fn no_effect(labels: &[String]) -> String {
    format!("no effect on {}", labels.join(", "))
}

/// How much two records share.
pub(crate) fn shared([first, second]: [usize; 2], same: usize) -> String {
    format!("The records hold {first} and {second} values; {same} stand in both at the same place.")
}

/// Whether the ranges of two records overlap.
pub(crate) fn overlap(label: &str, fits: bool) -> String {
    if fits {
        format!("{label}: the two ranges overlap: neither contradicts the other")
    } else {
        format!("{label}: the two ranges do not overlap: they contradict each other")
    }
}

/// Title of the records of two people.
pub(crate) fn two_records(name: &str) -> String {
    format!("Two records of one device: {name}")
}

/// Heads of a note.
pub(crate) fn moved_under(label: &str) -> String {
    format!("What moved under {label}:")
}
pub(crate) const WHAT_DIFFERS: &str = "What differs";

/// A change and where it stands.
pub(crate) fn standing_at(what: &str, places: &[&str]) -> String {
    if places.is_empty() { what.to_owned() } else { format!("{what} ({})", plain::places(places)) }
}

/// Title of what changed in tables of sheets.
pub(crate) const SHEETS: &str = "What changed in the sheets of marks";

/// A sheet and its category.
pub(crate) fn sheet(name: &str, [was, is]: [&str; 2]) -> String {
    if was == is { format!("{name} ({is})") } else { format!("{name} (was {was}, is now {is})") }
}

/// A figure printed that differs.
pub(crate) fn printed(row: &str, change: &str, places: &[&str]) -> String {
    format!("{row} printed: {change}; {} {}", plain::AT, plain::places(places))
}

/// What the marks give that differs.
pub(crate) fn from_marks(row: &str, change: &str) -> String {
    format!("{row} from the marks: {change}")
}

/// Sheets of one table alone, the old one or the new one.
pub(crate) fn only_in(old: bool, names: &[String]) -> String {
    format!("Only in the {} table: {}.", if old { "old" } else { "new" }, names.join("; "))
}

/// How many sheets stand in both tables, and how many of them changed.
pub(crate) fn in_both(changed: usize, same: usize) -> String {
    match changed {
        0 => format!("{} in both, none changed.", plain::sheets(same)),
        changed => format!("{} in both, {changed} changed.", plain::sheets(changed + same)),
    }
}
