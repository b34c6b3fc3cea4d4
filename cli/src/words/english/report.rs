//! English: what `report` says beside its pages, of templates, pictures and drafts.

use std::fmt::Display;

use scoring::text::words::count;

use super::plain;

pub(crate) const BEFORE_OF_ONE: [&str; 2] =
    ["--before names the earlier record of one device, and several are to be reported", "report that device by itself"];

pub(crate) const BEFORE_OF_INPUT: [&str; 2] =
    ["a record from standard input can't be held against an earlier one", "name the files of both"];

/// Title of the index of several reports.
pub(crate) const INDEX: &str = "Devices on record";

pub(crate) fn wrote(files: &[String], folder: &str) -> String {
    format!("wrote {} to {folder}", files.join(", "))
}

/// A draft: so many actions and remarks nobody has reviewed.
pub(crate) fn draft(name: &str, actions: usize, remarks: usize) -> [String; 2] {
    let what = match (actions, remarks) {
        (0, 0) => "nobody has confirmed which parts count".to_owned(),
        (0, n) => format!("{} nobody has reviewed", count(n, "remark")),
        (n, _) => format!("{} nobody has reviewed", plain::actions(n)),
    };
    [
        format!("`{name}` is a draft: {what}"),
        "review them (`unfasten answer` asks), or render it as a draft with --draft".to_owned(),
    ]
}

const NAME_A_FOLDER: &str = "name a folder with --out";

pub(crate) const SEVERAL_REPORTS: [&str; 2] = ["several reports can't share standard output", NAME_A_FOLDER];

pub(crate) const SEVERAL_FORMS: [&str; 2] = ["several forms can't share standard output", NAME_A_FOLDER];

pub(crate) fn unreadable_templates(folder: &str, error: &dyn Display) -> [String; 2] {
    [
        format!("templates in `{folder}` can't be read: {error}"),
        "`unfasten template DIR` writes a set to start from".to_owned(),
    ]
}

/// A template by a name nothing asks for, and the name meant.
pub(crate) fn no_template(name: &str, near: &str) -> [String; 2] {
    [
        format!("no template is called `{name}`, so nothing would use it"),
        format!("{} If it is something else, keep it in another folder", plain::did_you_mean_text(near)),
    ]
}

pub(crate) fn no_file(name: &str) -> [String; 2] {
    [
        format!("the template `{name}` is a link, a pipe or a folder, not a file"),
        "copy the template itself into the folder".to_owned(),
    ]
}

pub(crate) fn too_large(name: &str) -> [String; 2] {
    [format!("the template `{name}` is too large"), "take pictures out of it".to_owned()]
}

pub(crate) fn broken_template(error: &dyn Display) -> [String; 2] {
    [
        format!("a template can't be used: {error}"),
        "compare it with the shipped one (`unfasten template DIR`)".to_owned(),
    ]
}

/// A picture that is not shown, and why.
pub(crate) fn no_picture(name: &str, why: &str) -> String {
    format!("picture `{name}`: {why}; its text equivalent stands in")
}

/// Why a picture is not shown.
pub(crate) const NOT_BELOW: &str = "only paths below the record's own folder are followed";
pub(crate) const NOT_FOUND: &str = "not found";
pub(crate) fn not_at_most(megabytes: u64) -> String {
    format!("not a picture of at most {megabytes} MB")
}
