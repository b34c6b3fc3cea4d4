//! English: what `score --marks` says of published sheets.

use super::plain;

pub(crate) const NO_DEVICES: [&str; 2] =
    ["sheets of marks are no devices", "write `--format csv`: one row a line of a sheet"];

/// A sheet of a category the method is not for: what, why, and the mend.
pub(crate) fn not_for(sheet: &str, method: &str, category: &str, all: &[&str]) -> [String; 3] {
    [
        format!("sheet `{sheet}`: method {method} is not for a {category}"),
        "It has no rows for this category.".to_owned(),
        plain::it_is_for(all),
    ]
}

pub(crate) const ONE_METHOD: [&str; 2] = ["sheets are added up by one method at a time", "name one with --method"];

pub(crate) fn no_sheets_by(method: &str) -> [String; 2] {
    [
        format!("method {method} does not add up marks as a sheet does"),
        "leave --method out, or name fr-index or a method that extends it".to_owned(),
    ]
}

/// What a printed line adds up.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Below {
    /// Marks.
    Marks,
    /// Criteria.
    Criteria,
    /// The total.
    Total,
}

/// A line that can't follow from what it adds up.
pub(crate) fn cannot_follow(row: &str, printed: &str, below: Below, allowed: &str) -> String {
    let below = match below {
        Below::Marks => "the marks allow",
        Below::Criteria => "the criteria allow",
        Below::Total => "the total allows",
    };
    format!("`{row}` can't follow: printed {printed}, {below} {allowed}")
}

/// What a row must lie in, before rounding.
pub(crate) fn narrowed(row: &str, interval: &str) -> String {
    format!("{row} from {interval}")
}

pub(crate) fn possible_if(row: &str, printed: &str, narrowed: &[String]) -> String {
    format!("`{row}` is printed {printed}: possible if, before rounding, {}", narrowed.join(", "))
}

/// Heads of the columns in a terminal.
pub(crate) const HEADS: [&str; 4] =
    ["row", "printed", "from the marks", "what values that print as these figures allow"];

/// Leads what is said of a line: that it is possible, or not.
pub(crate) fn lead(possible: bool) -> &'static str {
    if possible { "note" } else { "problem" }
}

/// How many sheets there are, and how many of them can't follow.
pub(crate) fn sheets(all: usize, bad: usize) -> String {
    match (all, bad) {
        (0, _) => "There is no sheet in the table.".to_owned(),
        (n, 0) => format!("{}: every printed line can follow from the marks.", plain::sheets(n)),
        (n, bad) => format!("{}, of which {bad} can't follow from their own marks.", plain::sheets(n)),
    }
}

pub(crate) const NOTICE: &str =
    "Marks are taken as printed: a figure stands for every value that rounds to it. Unofficial.";
