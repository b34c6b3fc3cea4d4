//! Words as they are spoken at a bench, and what captions make of them: read by `draft` only.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::class::Certainty;

/// What captions write for what was said.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Heard {
    /// As written, words apart by single spaces.
    pub heard: String,
    /// As meant.
    pub meant: String,
    /// Only where this follows: `number` or `word` (any).
    #[serde(default)]
    pub before: Option<String>,
}

/// A word that stands for a drive.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpokenDrive {
    /// As said.
    pub said: String,
    /// Letters before the size (`PH`).
    #[serde(default)]
    pub prefix: Option<String>,
    /// Word of the drive (`hex`).
    #[serde(default)]
    pub word: Option<String>,
}

/// Words for a fastener.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpokenFastener {
    /// Named in the singular without a number it is one.
    pub one: bool,
    /// As said, singular and plural.
    pub said: Vec<String>,
}

/// A word that is a tool only near another.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Beside {
    /// As said.
    pub said: String,
    /// The other word.
    pub beside: String,
    /// The tool.
    pub tool: String,
}

/// All lists. What each is for stands in `spoken.yaml`.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
#[allow(missing_docs)] // each is described in the file itself
pub struct Spoken {
    pub source: String,
    pub certainty: Certainty,
    pub heard: Vec<Heard>,
    #[serde(rename = "misheard numbers")]
    pub misheard_numbers: BTreeMap<String, u32>,
    pub drives: Vec<SpokenDrive>,
    pub tools: BTreeMap<String, Vec<String>>,
    #[serde(rename = "tools beside")]
    pub tools_beside: Vec<Beside>,
    pub fasteners: BTreeMap<String, SpokenFastener>,
    #[serde(rename = "verbs for fasteners")]
    pub verbs: BTreeMap<String, String>,
    pub between: Vec<String>,
    pub short: BTreeMap<String, String>,
    pub uncounted: Vec<String>,
    #[serde(rename = "counts in words")]
    pub counts: BTreeMap<String, u32>,
    pub heads: Vec<String>,
    pub modifiers: Vec<String>,
    pub looks: Vec<String>,
    #[serde(rename = "no parts")]
    pub no_parts: Vec<String>,
    pub prepositions: Vec<String>,
    pub starts: Vec<String>,
    #[serde(rename = "removing verbs")]
    pub removing_verbs: Vec<String>,
    #[serde(rename = "removing alone")]
    pub removing_alone: Vec<String>,
    #[serde(rename = "removing ends")]
    pub removing_ends: Vec<String>,
    #[serde(rename = "removing up")]
    pub removing_up: Vec<String>,
    pub be: Vec<String>,
    pub would: Vec<String>,
    #[serde(rename = "not would")]
    pub not_would: Vec<String>,
    pub warnings: Vec<String>,
    pub advice: Vec<String>,
    pub elsewhere: Vec<String>,
    #[serde(rename = "not attempted")]
    pub not_attempted: Vec<String>,
    pub failed: Vec<String>,
    pub tried: Vec<String>,
    pub told: Vec<String>,
    #[serde(rename = "putting back")]
    pub putting_back: Vec<String>,
    pub undoing: Vec<String>,
    /// Work on a part that takes nothing apart.
    pub cleaning: Vec<String>,
    pub again: Vec<String>,
    #[serde(rename = "that is it")]
    pub that_is_it: Vec<String>,
    #[serde(rename = "nothing holds")]
    pub nothing_holds: Vec<String>,
    #[serde(rename = "same tool")]
    pub same_tool: Vec<String>,
    pub wanted: Vec<String>,
    pub worn: Vec<String>,
    #[serde(rename = "verdict before")]
    pub verdict_before: Vec<String>,
    #[serde(rename = "for words")]
    pub for_words: Vec<String>,
    #[serde(rename = "against words")]
    pub against_words: Vec<String>,
    #[serde(rename = "back again")]
    pub back_again: Vec<String>,
}

static SPOKEN: LazyLock<Spoken> = LazyLock::new(|| {
    // The text is compiled in, and a test reads it.
    serde_yaml::from_str(include_str!("spoken.yaml")).unwrap_or_else(|e| panic!("the shipped spoken words: {e}"))
});

/// The shipped lists.
pub fn spoken() -> &'static Spoken {
    &SPOKEN
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_tool_and_fastener_is_of_the_vocabulary() {
        for tool in spoken().tools.keys().chain(spoken().tools_beside.iter().map(|b| &b.tool)) {
            assert!(tool == "hands" || crate::vocab::tool(tool).is_some(), "{tool}");
        }
        for fastener in spoken().fasteners.keys().chain(spoken().verbs.values()).filter(|f| *f != "none") {
            assert_eq!(crate::vocab::fastener(fastener).map(|f| &f.name), Some(fastener), "{fastener}");
        }
        for drive in &spoken().drives {
            let size = match drive.word.as_deref() {
                Some("hex" | "slotted" | "triangle") => " 2 mm",
                Some("two-hole") => " 4",
                _ => " 1",
            };
            let name = drive.prefix.clone().map_or_else(
                || format!("{}{size}", drive.word.clone().unwrap()),
                |p| match &*p {
                    "TR" => "TR8".to_owned(),
                    p => format!("{p}1"),
                },
            );
            assert!(crate::vocab::drive::drive(&name).is_some(), "{name}");
        }
    }
}
