//! English: what `compare` says beside the sentences that its page says too.

pub(crate) use report::words::compare::NOTICE;

pub(crate) const ONE_ALONE: [&str; 2] = ["one device alone can't be compared", "name two records or more"];

/// Devices that are not alike.
pub(crate) fn unlike(why: &str) -> [String; 2] {
    [format!("the devices are {why}"), "compare like with like, or insist with --mixed".to_owned()]
}

/// A device with the bench sheet it is judged by.
pub(crate) fn by_sheet(name: &str, sheet: Option<&str>) -> String {
    match sheet {
        Some(sheet) => format!("{name} [sheet of {sheet}]"),
        None => format!("{name} [no sheet]"),
    }
}

/// A device whose name another has too, with its file.
pub(crate) fn of_file(name: &str, file: &str) -> String {
    format!("{name} ({file})")
}

/// Said where devices are judged by different sheets.
pub(crate) const DIFFERENT_SHEETS: &str = "These devices are judged by different bench sheets, or some by none: what a sheet \
                                           takes for granted may be all that tells two of them apart. Each verdict stands with \
                                           its sheet and without.";

/// What is compared.
pub(crate) fn devices_by(devices: usize, method: &str, edition: &str) -> String {
    format!("{devices} devices by {method} ({edition})")
}

/// The same as a title; the edition stands below.
pub(crate) fn title(devices: usize, method: &str) -> String {
    format!("{devices} devices by {method}")
}

/// A heading above a list.
pub(crate) fn head(text: &str) -> String {
    format!("{text}:")
}

pub(crate) fn more(more: usize) -> String {
    format!("And {more} more: --format md or html.")
}

/// Heads of the table of criteria: its first column, and its last.
pub(crate) const CRITERION: &str = "criterion";
pub(crate) const WHY: &str = "why they differ";

/// Its heading.
pub(crate) const CRITERIA: &str = "Criteria";

pub(crate) const SIDE_BY_SIDE: &str = "Criteria side by side: --format md or csv.";
