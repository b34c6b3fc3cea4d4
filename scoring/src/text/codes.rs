//! Complaints explained: what every code means, as data beside the room that complains so.
//!
//! Each room that complains keeps a file `codes.yaml`; codes of any file stand here.

use std::sync::LazyLock;

use serde::Deserialize;

/// A code explained.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Code {
    /// The code, `order-circle`.
    pub code: String,
    /// What it says, in a few words.
    pub title: String,
    /// Why, and what to do.
    pub text: String,
    /// An extract that gets the complaint; empty where no text can show it.
    #[serde(default)]
    pub wrong: String,
    /// The same extract mended.
    #[serde(default)]
    pub right: String,
}

impl Code {
    /// The example as text: the bad extract, then the mended one; empty where no text can show it.
    pub fn example(&self) -> String {
        // What is left out or to be taken out has no text of its own.
        fn shown(extract: &str) -> &str {
            match extract.trim_matches('\n') {
                "" => "(nothing)",
                text => text,
            }
        }
        if self.wrong.is_empty() && self.right.is_empty() {
            return String::new();
        }
        format!("Instead of\n\n{}\n\nwrite\n\n{}\n", shown(&self.wrong), shown(&self.right))
    }
}

/// The codes of one room, from the text of its `codes.yaml`.
///
/// # Panics
/// If the text is not such a file: it is part of the program, and tests read every one.
pub fn load(text: &str) -> Vec<Code> {
    serde_yaml::from_str(text).unwrap_or_else(|e| panic!("a shipped file of codes: {e}"))
}

static CODES: LazyLock<Vec<Code>> = LazyLock::new(|| load(include_str!("codes.yaml")));

/// The codes of any file: bytes, YAML, fields.
pub fn all() -> &'static [Code] {
    &CODES
}
