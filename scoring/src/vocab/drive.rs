//! Screw drives by their short names: `PH0`, `T5`, `hex 2 mm`, and everyday words for them.

use super::words::{DriveWord, drives};
use crate::text::fold;

/// A drive with its size.
#[derive(Clone, Debug)]
pub struct Drive {
    /// The drive.
    pub word: &'static DriveWord,
    /// Short name with size, one spelling for all ways to write it: `PH0`, `hex 2 mm`; without a size the drive's name.
    pub name: String,
}

impl Drive {
    /// What its tool is called: `screwdriver PH0`, `hexagon socket key 2 mm`.
    pub fn tool(&self) -> String {
        match (&*self.word.tool, self.name.strip_prefix("hex ")) {
            ("key", Some(size)) => format!("hexagon socket key {size}"),
            ("key", None) => "hexagon socket key".to_owned(),
            (tool, _) => format!("{tool} {}", self.name),
        }
    }
}

/// The drive a text names: short name with size, or an everyday word with or without one. `None` when it names none, or a
/// size that is not made.
pub fn drive(text: &str) -> Option<Drive> {
    let text = fold(text);
    // `PH0 screwdriver`, `screwdriver PH0`, `PH0 bit` all mean the drive.
    let text = text.strip_prefix("screwdriver ").unwrap_or(&text);
    let text = text.strip_suffix(" screwdriver").or_else(|| text.strip_suffix(" bit")).unwrap_or(text);
    drives().iter().find_map(|word| named(word, text))
}

fn named(word: &'static DriveWord, text: &str) -> Option<Drive> {
    let exact = |name: String| Some(Drive { word, name });
    if let Some(prefix) = &word.prefix {
        let rest = text.strip_prefix(&prefix.to_lowercase());
        if let Some(size) = rest.map(str::trim).filter(|s| word.sizes.iter().any(|made| made == s)) {
            return exact(format!("{prefix}{size}"));
        }
    }
    let heads = word.word.iter().chain(std::iter::once(&word.name)).chain(&word.also);
    for head in heads {
        let Some(rest) = text.strip_prefix(&fold(head)) else { continue };
        if rest.is_empty() {
            return exact(word.name.clone());
        }
        let Some(size) = rest.strip_prefix(' ') else { continue };
        if let Some(size) = sized(word, size) {
            return exact(size);
        }
    }
    None
}

fn sized(word: &DriveWord, size: &str) -> Option<String> {
    if word.mm {
        let number = size.strip_suffix("mm").unwrap_or(size).trim();
        return millimetres(number).map(|n| format!("{} {n} mm", word.word.as_ref().unwrap_or(&word.name)));
    }
    let bare = word.prefix.as_ref().and_then(|p| size.strip_prefix(&p.to_lowercase())).unwrap_or(size);
    let made = word.sizes.iter().find(|made| *made == bare)?;
    match (&word.prefix, &word.word) {
        (Some(prefix), _) => Some(format!("{prefix}{made}")),
        (None, short) => Some(format!("{} {made}", short.as_ref().unwrap_or(&word.name))),
    }
}

/// A size in millimetres, 0.1 to 99, at most two digits after the point, in one spelling.
pub(crate) fn millimetres(text: &str) -> Option<String> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || whole.len() > 2 || part.len() > 2 || !digits(whole) || !digits(part) {
        return None;
    }
    let whole = whole.trim_start_matches('0');
    let part = part.trim_end_matches('0');
    match (whole, part) {
        ("", "") => None,
        ("", _) => Some(format!("0.{part}")),
        (_, "") => Some(whole.to_owned()),
        _ => Some(format!("{whole}.{part}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    /// Short names after ISO 8764, ISO 10664, ISO 2936 and ISO 2380 as the project's terms give them.
    #[rstest]
    #[case("PH0", "PH0", "screwdriver PH0")]
    #[case("ph 00", "PH00", "screwdriver PH00")]
    #[case("screwdriver PH000", "PH000", "screwdriver PH000")]
    #[case("cross-head PH1", "PH1", "screwdriver PH1")]
    #[case("cross head 1", "PH1", "screwdriver PH1")]
    #[case("T5", "T5", "screwdriver T5")]
    #[case("star T5", "T5", "screwdriver T5")]
    #[case("TR8", "TR8", "screwdriver TR8")]
    #[case("hex 2 mm", "hex 2 mm", "hexagon socket key 2 mm")]
    #[case("Allen key 2.50mm", "hex 2.5 mm", "hexagon socket key 2.5 mm")]
    #[case("hexagon socket", "hexagon socket", "hexagon socket key")]
    #[case("slotted 3 mm", "slotted 3 mm", "screwdriver slotted 3 mm")]
    #[case("flat-blade 3", "slotted 3 mm", "screwdriver slotted 3 mm")]
    #[case("five-lobe 2", "five-lobe 2", "screwdriver five-lobe 2")]
    #[case("tri lobe 000", "tri-lobe 000", "screwdriver tri-lobe 000")]
    #[case("PZ2 bit", "PZ2", "screwdriver PZ2")]
    fn names_drives(#[case] text: &str, #[case] name: &str, #[case] tool: &str) {
        let found = drive(text).unwrap();
        assert_eq!((&*found.name, &*found.tool()), (name, tool));
    }

    #[rstest]
    #[case("PH9")]
    #[case("T")]
    #[case("T11")]
    #[case("hex 0 mm")]
    #[case("hex 1,5 mm")]
    #[case("tweezers")]
    #[case("PHO")]
    #[case("")]
    #[case("slotted 3 mm long")]
    #[case("staring")]
    fn knows_no_other(#[case] text: &str) {
        assert!(drive(text).is_none());
    }
}
