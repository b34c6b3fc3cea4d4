//! English: what `report --watch` says in the terminal and on the page around a report.

use std::io::Error;

pub(crate) const NEEDS_A_FOLDER: [&str; 2] = ["--watch needs a folder to write to", "add --out DIR"];

pub(crate) const NO_INPUT: &str = "standard input can't be watched";

pub(crate) fn no_page(error: &Error) -> String {
    format!("no page can be shown on this machine: {error}")
}

pub(crate) fn open(address: &str) -> String {
    format!("open http://{address}/ ; it follows the record as it is saved. Ctrl-C ends the watch.")
}

/// What others are answered.
pub(crate) const THIS_MACHINE_ALONE: &str = "This page is for this machine alone.\n";
pub(crate) const NO_SUCH_FILE: &str = "No file of the report has this name.\n";

/// The texts of the page, by the keys in it.
pub(crate) const PAGE: [(&str, &str); 5] = [
    ("lang", "en"),
    ("title", "Report, as the record is saved"),
    ("report", "The report"),
    ("not rendered", "The record can't be rendered as it stands"),
    (
        "not shown",
        "The last verdict is not shown, since it no longer follows from the record. This page goes on as soon as the record is \
         mended and saved.",
    ),
];

/// The titles its script gives it, by their keys.
pub(crate) const SCRIPT: [(&str, &str); 3] = [
    ("TITLE", "Report, as the record is saved"),
    ("PROBLEMS", "Problems in the record"),
    ("ENDED", "The watch has ended"),
];
