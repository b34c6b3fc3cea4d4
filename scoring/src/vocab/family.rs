//! What a fastener is on a page: who reads that a tape comes off looks for a tape, whatever entry its word stands under.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::words::{FASTENERS, fastener, singulars};
use crate::text::fold;

/// What a fastener is, as people call it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Family {
    /// Screws.
    Screw,
    /// What is unplugged.
    Plug,
    /// Tape, with foam or without.
    Tape,
    /// Strips that are pulled out.
    Strips,
    /// Silicone and the like.
    Sealant,
    /// A mass poured over parts.
    Potting,
    /// Anything else; where it sticks, glue.
    Other,
}

/// The families of the vocabulary, by folded word.
static WORDS: LazyLock<BTreeMap<String, Family>> = LazyLock::new(|| {
    let of =
        |(family, words): (&Family, &Vec<String>)| -> Vec<_> { words.iter().map(|w| (fold(w), *family)).collect() };
    FASTENERS.families.iter().flat_map(of).collect()
});

impl Family {
    /// Of a fastener in the words of a record, such as `adhesive strips`, or in own words (`long foam tape`): the word itself
    /// wins over the entry it stands under, and of own words the last that are known.
    pub fn of(text: &str) -> Self {
        let whole = text.trim();
        let tails = whole.match_indices(' ').map(|(at, _)| whole[at..].trim_start());
        std::iter::once(whole).chain(tails).find_map(named).unwrap_or(Self::Other)
    }
}

fn named(word: &str) -> Option<Family> {
    let written = singulars(word).iter().find_map(|w| WORDS.get(w).copied());
    written.or_else(|| fastener(word).map(|f| WORDS.get(&fold(&f.name)).copied().unwrap_or(Family::Other)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rstest::rstest;

    #[test]
    fn every_word_of_a_family_is_a_fastener() {
        for word in WORDS.keys() {
            assert!(fastener(word).is_some(), "{word}");
        }
        let listed: usize = FASTENERS.families.values().map(Vec::len).sum();
        assert_eq!(listed, WORDS.len(), "a word stands in two families");
    }

    #[rstest]
    #[case("machine screw", Family::Screw)]
    #[case("screws", Family::Screw)]
    #[case("bolt", Family::Other)]
    #[case("ribbon connectors", Family::Plug)]
    #[case("adhesive", Family::Other)]
    #[case("adhesive film", Family::Other)]
    #[case("double-sided tape", Family::Tape)]
    #[case("foam adhesive", Family::Tape)]
    #[case("adhesive strips", Family::Strips)]
    #[case("pull tab adhesive", Family::Strips)]
    #[case("silicone", Family::Sealant)]
    #[case("o-ring", Family::Sealant)]
    #[case("encapsulation", Family::Potting)]
    #[case("short foam tape", Family::Tape)]
    #[case("captive thumb screw", Family::Screw)]
    #[case("tape of no name", Family::Other)]
    #[case("", Family::Other)]
    fn words_have_a_family(#[case] text: &str, #[case] family: Family) {
        assert_eq!(Family::of(text), family);
    }
}
