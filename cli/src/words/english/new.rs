//! English: what `new` says beside the record.

use super::plain;

pub(crate) fn wrote(path: &str) -> String {
    format!("wrote {path}; fill it in, then: unfasten check {path}")
}

pub(crate) fn not_for(methods: &[String], category: &str) -> [String; 2] {
    [
        format!("{} is not for category {category}", methods.join(", ")),
        "leave --method out, or choose another".to_owned(),
    ]
}

/// A category nobody knows, a near one, and all there are.
pub(crate) fn no_category(words: &str, near: Option<&str>, all: &[&str]) -> [String; 2] {
    let mend = match near {
        Some(near) => plain::did_you_mean(near),
        None => format!("{}; one of your own takes a method whose scope names it", plain::there_are(&all.join(", "))),
    };
    [format!("there is no category `{words}`"), mend]
}
