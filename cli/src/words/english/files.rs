//! English: what is said of files and folders that can't be read or written.

use std::fmt::Display;
use std::io::Error;

/// What is wrong with a file, why, and the mend.
pub(crate) type Complaint = [String; 3];

fn complaint(what: String, why: &str, mend: &str) -> Complaint {
    [what, why.to_owned(), mend.to_owned()]
}

const CHECK_SPELLING: &str = "check the spelling and the folder you are in";

pub(crate) fn missing(name: &str) -> Complaint {
    complaint(
        format!("there is no file `{name}`"),
        "It was named on the command line or by another file.",
        CHECK_SPELLING,
    )
}

pub(crate) fn refused(name: &str, error: &Error) -> Complaint {
    complaint(cannot_be_read(name, error), "The system refused.", "check who may read it")
}

pub(crate) fn cannot_be_read(name: &str, error: &Error) -> String {
    format!("`{name}` can't be read: {error}")
}

pub(crate) fn directory(name: &str) -> Complaint {
    complaint(format!("`{name}` is a directory"), "One text file is wanted here.", "name the file in it")
}

/// A pipe, a socket or a device.
pub(crate) fn no_file(name: &str) -> Complaint {
    complaint(
        format!("`{name}` is a pipe or a device, not a file"),
        "It may never end, or never begin.",
        "save what it gives to a file, or write `-` and send it to standard input",
    )
}

/// A file of so many bytes, or of more than may be read.
pub(crate) fn too_large(name: &str, bytes: Option<u64>, most: usize) -> Complaint {
    large(match bytes {
        Some(bytes) => format!("`{name}` has {bytes} bytes; at most {most} are read"),
        None => format!("`{name}` has more than {most} bytes, which is all that is read"),
    })
}

pub(crate) fn line_too_large(file: &str, most: usize) -> Complaint {
    large(format!("this line of `{file}` has more than {most} bytes, which is all that is read"))
}

fn large(what: String) -> Complaint {
    complaint(
        what,
        "A file this large is not a text somebody wrote by hand.",
        "check that this is the file you mean; keep footage and pictures in files of their own",
    )
}

pub(crate) fn empty(file: &str) -> Complaint {
    complaint(format!("`{file}` is empty"), "There is no record in it.", "write one record a line, as JSON")
}

pub(crate) fn no_record_in(folder: &str) -> Complaint {
    complaint(
        format!("there is no record in the folder `{folder}`"),
        "Records in a folder end in .yaml, .yml or .jsonl.",
        "name another folder, or a file",
    )
}

pub(crate) fn no_pattern(pattern: &str, why: &str) -> Complaint {
    complaint(
        format!("there is no file `{pattern}`, and it is no pattern: {why}"),
        "In a pattern `*` stands for any text, `?` for one character, `[ab]` for one of some, `**` for folders.",
        CHECK_SPELLING,
    )
}

pub(crate) fn no_match(pattern: &str) -> Complaint {
    complaint(
        format!("no file matches `{pattern}`"),
        "It was taken for a pattern: there is no file of that name.",
        CHECK_SPELLING,
    )
}

/// A link in a circle.
pub(crate) fn leads_back(link: &str, above: &str) -> String {
    format!("the link `{link}` leads back to the folder `{above}`; it is passed over")
}

pub(crate) fn outside(path: &str, folder: &str) -> String {
    format!(
        "`{path}` is outside of the folder `{folder}`; only files below it are read, or below one named with --base"
    )
}

/// Why a file is no report.
pub(crate) enum NoReport<'e> {
    Unreadable(&'e Error),
    Other,
    TooLarge,
    NoText,
}

pub(crate) fn no_report(name: &str, why: &NoReport<'_>) -> [String; 2] {
    let what = match why {
        NoReport::Unreadable(error) => cannot_be_read(name, error),
        NoReport::Other => format!("`{name}` is not a report"),
        NoReport::TooLarge => format!("`{name}` is larger than any report"),
        NoReport::NoText => format!("`{name}` is not UTF-8 text"),
    };
    [what, "name an HTML, Markdown or JSON report".to_owned()]
}

pub(crate) fn no_folder(path: &str) -> [String; 2] {
    [format!("`{path}` is not a folder"), "name another folder with --out".to_owned()]
}

pub(crate) fn is_a_folder(path: &str) -> [String; 2] {
    [format!("`{path}` is a folder"), "move it out of the way".to_owned()]
}

pub(crate) fn cannot_be_written(path: &str, error: &dyn Display) -> String {
    format!("`{path}` can't be written: {error}")
}

/// Why a list of files written can't be used.
pub(crate) enum NoList<'e> {
    Unreadable(&'e dyn Display),
    Other,
    Version(u32),
}

pub(crate) fn no_list(path: &str, why: &NoList<'_>) -> [String; 2] {
    let why = match why {
        NoList::Unreadable(error) => error.to_string(),
        NoList::Other => "it is not a list of files".to_owned(),
        NoList::Version(version) => format!("it is of version {version}"),
    };
    [
        format!("`{path}` can't be used: {why}"),
        "delete it, name another folder with --out, or replace everything with --force".to_owned(),
    ]
}

/// Files that others wrote, or changed.
pub(crate) fn not_ours(paths: &[String]) -> [String; 2] {
    let was = if paths.len() == 1 { "was" } else { "were" };
    [
        format!("{} would be replaced, but {was} not written by unfasten or {was} changed since", paths.join(", ")),
        "move it, choose another place, or replace it with --force".to_owned(),
    ]
}

/// A folder in which other runs throw away what this one makes ready, over and over.
pub(crate) const SWEPT: &str = "other runs sweep this folder all the time";

/// The program was started without a standard output.
pub const OUTPUT_CLOSED: &str = "standard output is closed";
