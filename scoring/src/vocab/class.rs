//! Closed vocabularies: ordinal classes, best first, as EU law and EN 45554 order them.

use std::fmt;

/// A closed set of words with a spelling and an order.
pub trait Words: Copy + Ord + Sized + 'static {
    /// What the set is called in messages.
    const WHAT: &'static str;
    /// All members, best first.
    const ALL: &'static [Self];
    /// The spelling.
    fn word(self) -> &'static str;
    /// What it means, in a few words, where the word alone may mislead; empty elsewhere.
    fn means(self) -> &'static str {
        ""
    }
    /// The member spelled so (case, spaces, hyphens and underscores folded).
    fn from_word(text: &str) -> Option<Self> {
        let key = fold(text);
        Self::ALL.iter().copied().find(|m| fold(m.word()) == key)
    }
    /// The member a text names; else a complaint with the nearest one, or with all and what they mean.
    ///
    /// # Errors
    /// No member is spelled so.
    fn read(text: &str) -> Result<Self, Bad> {
        let words: Vec<_> = Self::ALL.iter().map(|w| w.word()).collect();
        let said =
            |w: &Self| if w.means().is_empty() { w.word().to_owned() } else { format!("{} ({})", w.word(), w.means()) };
        find_word(text, &wanted::<Self>(), &words).map(|i| Self::ALL[i]).map_err(|bad| match &bad.meant {
            // All are named: what each means belongs beside it.
            None => {
                let all: Vec<String> = Self::ALL.iter().map(said).collect();
                bad.mend(format!("write one of: {}", all.join(", ")))
            }
            Some(_) => bad,
        })
    }
    /// Rank, 0 best.
    fn rank(self) -> u8 {
        let at = Self::ALL.iter().position(|m| *m == self).unwrap_or(Self::ALL.len());
        u8::try_from(at).unwrap_or(u8::MAX)
    }
}

/// What is wanted where a word of a set stands: `a skill level`.
pub fn wanted<W: Words>() -> String {
    format!("a {}", W::WHAT)
}

use crate::text::fields::{Bad, find_word};
pub use crate::text::fold;

macro_rules! words {
    ($(#[$doc:meta])* $name:ident, $what:literal, { $($(#[$vdoc:meta])* $variant:ident = $word:literal $(: $means:literal)?),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        #[non_exhaustive]
        pub enum $name { $($(#[$vdoc])* $variant),+ }
        impl Words for $name {
            const WHAT: &'static str = $what;
            const ALL: &'static [Self] = &[$(Self::$variant),+];
            fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
            fn rank(self) -> u8 {
                // Members stand in the order of `ALL`, and a vocabulary has fewer than 256.
                self as u8
            }
            fn means(self) -> &'static str {
                match self { $(Self::$variant => concat!("" $(, $means)?)),+ }
            }
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }
        impl serde::Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_str(self.word())
            }
        }
        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({ "type": "string", "enum": [$($word),+] })
            }
        }
        impl<'de> serde::Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                crate::text::fields::form(deserializer, &wanted::<Self>(), Self::read)
            }
        }
    };
}

words!(
    /// Whether the display folds; priority parts of EU law depend on it.
    Form, "form", {
        /// Does not fold.
        NotFolding = "not folding",
        /// Folds.
        Folding = "folding",
        /// Rolls up (outside the scope of Regulation (EU) 2023/1669).
        Rollable = "rollable",
    }
);
words!(
    /// What becomes of a fastener when it is opened: Regulation (EU) 2023/1670, Annex I, best first.
    Kind, "fastener kind", {
        /// Fully reusable for the same purpose.
        Reusable = "reusable": "goes on again",
        /// Comes with the spare part at no extra cost.
        Resupplied = "resupplied": "a new one comes with the spare",
        /// Comes with the spare part, and costs extra. The tumble-dryer index tells it apart; a method that doesn't
        /// counts it as removable unless it says otherwise.
        ResuppliedAtCost = "resupplied at cost": "a new one must be bought",
        /// Not reusable, but its removal leaves no damage or residue.
        Removable = "removable": "comes off clean",
        /// Neither reusable nor removable.
        Neither = "neither": "leaves residue or damage",
    }
);

impl Kind {
    /// What an adhesive or seal may turn out to be when nothing is stated.
    pub const STICKY: [Self; 4] = [Self::Resupplied, Self::ResuppliedAtCost, Self::Removable, Self::Neither];
}

words!(
    /// Tool class, best first (EN 45554 and EU law merged; samples/README.md).
    ToolClass, "tool class", {
        /// Bare hands.
        None = "none",
        /// On the list of basic tools of Regulation (EU) 2023/1670, Annex I.
        Basic = "basic",
        /// Comes with the spare part.
        WithPart = "supplied with part",
        /// Comes with the product.
        WithProduct = "supplied with product",
        /// Made for a group of products.
        GroupSpecific = "product-group specific",
        /// On sale to the general public.
        Commercial = "commercially available",
        /// Not on sale to the general public.
        Proprietary = "proprietary",
        /// No existing tool does it.
        NotFeasible = "not feasible",
    }
);
words!(
    /// Working environment, best first.
    Place, "working environment", {
        /// Where the product is used.
        Use = "use": "where the device is used",
        /// A workshop.
        Workshop = "workshop": "in a workshop",
        /// Comparable with production.
        Production = "production-equivalent": "surroundings comparable with those of production",
    }
);
words!(
    /// Skill level, best first.
    Skill, "skill level", {
        /// No specific repair experience or qualification.
        Layman = "layman": "the work needs no experience and no qualification",
        /// General knowledge of basic repair techniques and safety precautions.
        Generalist = "generalist": "it needs general knowledge of repair and of its precautions",
        /// Specific training or experience with the product.
        Expert = "expert": "it needs training or experience with this very product",
        /// The manufacturer or its authorised expert.
        Manufacturer = "manufacturer": "it needs the maker, or an expert the maker authorised",
    }
);
words!(
    /// Who may have something (spare parts, information, pairing), best first.
    Access, "target group", {
        /// Anyone.
        Public = "public",
        /// Independent repairers.
        Independent = "independent repairers",
        /// Authorised repairers.
        Authorised = "authorised repairers",
        /// The manufacturer only.
        Manufacturer = "manufacturer only",
        /// Nobody.
        None = "none",
    }
);
words!(
    /// Where a fact comes from.
    Basis, "basis", {
        /// Done on this bench.
        Seen = "seen",
        /// Shown or described elsewhere.
        Told = "told",
        /// Stated by the maker.
        Stated = "stated",
        /// A design, not built yet.
        Planned = "planned",
        /// Taken from captions or notes by word lists, not yet reviewed.
        Drafted = "drafted",
        /// Assumed.
        Assumed = "assumed",
    }
);
words!(
    /// How sure a rule or number is, surest first. `own` choices and `derived` arithmetic are marks of their own.
    Certainty, "certainty", {
        /// Read in the law, standard, register or paper named.
        Read = "read",
        /// Read in a text that restates the source.
        Secondary = "secondary",
        /// Recalled with high confidence, not verified against the source.
        MemoryHigh = "memory high",
        /// Recalled with medium confidence.
        MemoryMedium = "memory medium",
        /// Recalled with low confidence.
        MemoryLow = "memory low",
        /// Arithmetic on other facts; takes its weakest input.
        Derived = "derived",
        /// Our choice where the source leaves it to whoever applies it.
        Own = "own",
    }
);

impl Certainty {
    /// How the program speaks of it.
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Read => "read in the source",
            Self::Secondary => "as restated",
            Self::MemoryHigh => "from memory (high confidence), not verified against the source",
            Self::MemoryMedium => "from memory (medium confidence), not verified against the source",
            Self::MemoryLow => "from memory (low confidence), not verified against the source",
            Self::Derived => "derived",
            Self::Own => "own choice",
        }
    }
}
