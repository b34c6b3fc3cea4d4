//! English: what is said of methods, readings and lines of JSON that can't be taken.

use super::plain;

/// A line that can't be read, in the words of the people who wrote it: what, why, and the mend.
pub(crate) const NO_JSON: [&str; 3] = [
    "this line is not valid JSON",
    "Each line of the file is one record as JSON; nothing of this one can be read.",
    "check its quotes, brackets and commas, and that the record stands on one line",
];

/// A method that is not for a device of this category and form.
pub(crate) fn not_for(method: &str, [category, form]: [&str; 2], all: &[&str]) -> [String; 2] {
    [format!("method {method} is not for this device ({category}, {form})"), plain::it_is_for(all)]
}

pub(crate) fn no_reading(reading: &str) -> [String; 2] {
    [format!("`{reading}` is not a reading"), "write SWITCH=OPTION".to_owned()]
}

/// A reading no method has, and those there are.
pub(crate) fn no_method_reads(reading: &str, known: &[String]) -> [String; 2] {
    let mend = if known.is_empty() {
        "none of the chosen methods has open readings".to_owned()
    } else {
        plain::there_are(&known.join(", "))
    };
    [format!("no chosen method has the reading `{reading}`"), mend]
}

/// A method nobody knows, a near one, and those shipped.
pub(crate) fn no_method(name: &str, near: Option<&str>, shipped: &[&str]) -> [String; 2] {
    let mend = match near {
        Some(id) => plain::did_you_mean(id),
        None => format!("shipped are: {}; or name a method file", shipped.join(", ")),
    };
    [format!("there is no method `{name}`"), mend]
}
