//! The closed set of measures: what can be read from a record, in which unit, with which words.

use std::sync::LazyLock;

use crate::text::fold;
use crate::vocab::promise::{Holds, Promise};

macro_rules! measures {
    ($($(#[doc = $doc:literal])+ $variant:ident = $word:literal, $scale:ident;)+) => {
        /// What can be measured: a closed, documented set.
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Measure {
            $($(#[doc = $doc])+ $variant,)+
            /// One fact as it stands: a promise of the maker, or a figure of the device.
            Promise(Promise),
            /// A mark out of ten, given by the record or a table, for the row named.
            Mark(String),
        }

        /// Those that read more than one fact, with name, scale and meaning.
        const WORKED: &[(&str, MeasureScale, &str, Measure)] =
            &[$(($word, MeasureScale::$scale, concat!($($doc),+), Measure::$variant)),+];
    };
}

/// What values a measure takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MeasureScale {
    /// A number, fewer is better.
    Fewer,
    /// A number, more is better.
    Number,
    /// Words of a vocabulary ([`Measure::words`]), best first.
    Words,
    /// A set of roles offered; points by rungs.
    Rungs,
}

measures! {
    /// Steps of the reference route.
    Depth = "depth", Fewer;
    /// Worst fastener kind met.
    Fasteners = "fasteners", Words;
    /// Worst tool class met.
    Tools = "tools", Words;
    /// Worst working environment met.
    Environment = "environment", Words;
    /// Worst skill level met.
    Skill = "skill", Words;
    /// Whether the part comes off alone: `alone`, `with others`, `several roles in one part`.
    Isolation = "isolation", Words;
    /// Adhesive joints opened on the route.
    Adhesives = "adhesives", Fewer;
    /// Whether the part comes off: `yes`, `only by damage`, `no`.
    Reachable = "reachable", Words;
    /// Heat or solvents on the route: `none`, `heat or solvent`.
    HeatOrSolvent = "heat or solvent", Words;
    /// Other parts that must come off first.
    PartsInTheWay = "parts in the way", Fewer;
    /// Pairing by software: `no`, `yes`.
    Paired = "paired", Words;
    /// Which other roles its part fills, against the method's `company`: `alone`, `allowed company`, `allowed if sealed`, `other company`.
    Bundling = "bundling", Words;
    /// Which priority parts are offered to end users.
    SparesOffered = "spares offered to the public", Rungs;
    /// Repair information, who and at what cost together: `public, free`, `professional, free`, `public, fee`, `professional, fee`, `authorised or nobody`.
    Information = "information", Words;
}

static ALL: LazyLock<Vec<Measure>> = LazyLock::new(|| {
    let read = |p: &&Promise| !p.row().measure.is_empty();
    let facts = Promise::ALL.iter().filter(read).map(|p| Measure::Promise(*p));
    let (parts, device): (Vec<Measure>, Vec<Measure>) = facts.partition(Measure::per_part);
    let worked = WORKED.iter().map(|(.., m)| m.clone());
    let (part, whole): (Vec<Measure>, Vec<Measure>) = worked.partition(Measure::per_part);
    [part, parts, whole, device].concat()
});

impl Measure {
    /// Every measure but `mark ROW`: of parts, then of the device.
    pub fn all() -> &'static [Self] {
        &ALL
    }

    fn worked(&self) -> Option<&'static (&'static str, MeasureScale, &'static str, Self)> {
        WORKED.iter().find(|(.., measure)| measure == self)
    }

    /// The measure's name in method files.
    pub fn word(&self) -> String {
        match self {
            Self::Promise(promise) => promise.row().measure.to_owned(),
            Self::Mark(row) => format!("mark {row}"),
            worked => worked.worked().map_or_else(String::new, |(word, ..)| (*word).to_owned()),
        }
    }

    /// What it is, in one line.
    pub fn meaning(&self) -> &'static str {
        match self {
            Self::Promise(promise) => promise.row().meaning,
            Self::Mark(_) => "A mark out of ten, as given.",
            worked => worked.worked().map_or("", |(_, _, meaning, _)| meaning.trim_ascii()),
        }
    }

    /// What values it takes.
    pub fn scale(&self) -> MeasureScale {
        match self {
            Self::Promise(promise) => {
                let holds = promise.row().holds;
                match () {
                    () if !holds.words().is_empty() => MeasureScale::Words,
                    () if holds.fewer() => MeasureScale::Fewer,
                    () => MeasureScale::Number,
                }
            }
            Self::Mark(_) => MeasureScale::Number,
            worked => worked.worked().map_or(MeasureScale::Number, |(_, scale, ..)| *scale),
        }
    }

    /// The facts of [`Promise`] it reads.
    pub fn facts(&self) -> Vec<Promise> {
        match self {
            Self::Promise(promise) => vec![*promise],
            Self::SparesOffered => vec![Promise::To],
            Self::Information => vec![Promise::InformationTo, Promise::InformationCost],
            _ => Vec::new(),
        }
    }

    /// Whether it is read for one part (inside an `each`) or for the whole device.
    pub fn per_part(&self) -> bool {
        match self {
            Self::Promise(promise) => promise.of_part(),
            worked => *worked <= Self::Bundling,
        }
    }

    /// Whether it reads the reference route.
    pub fn on_route(&self) -> bool {
        *self <= Self::PartsInTheWay
    }

    /// Whether its meaning says itself that it is read on the route.
    pub(super) fn says_where(&self) -> bool {
        matches!(self, Self::Depth | Self::Adhesives | Self::HeatOrSolvent)
    }

    /// Its words, best first, where it takes words.
    pub fn words(&self) -> Vec<&'static str> {
        use crate::vocab::class::Words;
        use crate::vocab::{Kind, Place, Skill, ToolClass};
        fn all<W: Words>() -> Vec<&'static str> {
            W::ALL.iter().map(|w| w.word()).collect()
        }
        match self {
            Self::Fasteners => all::<Kind>(),
            Self::Tools => all::<ToolClass>(),
            Self::Environment => all::<Place>(),
            Self::Skill => all::<Skill>(),
            Self::Isolation => vec!["alone", "with others", "several roles in one part"],
            Self::Bundling => vec!["alone", "allowed company", "allowed if sealed", "other company"],
            Self::Reachable => vec!["yes", "only by damage", "no"],
            Self::HeatOrSolvent => vec!["none", "heat or solvent"],
            Self::Paired => vec!["no", "yes"],
            Self::Information => {
                vec!["public, free", "professional, free", "public, fee", "professional, fee", "authorised or nobody"]
            }
            Self::Promise(promise) => promise.row().holds.words(),
            _ => Vec::new(),
        }
    }
}

/// The word a level stands for where a table names none of its own: a fastener resupplied at cost counts as removable
/// unless the rule tells the two apart.
pub fn counts_as(word: &str) -> Option<&'static str> {
    use crate::vocab::{Kind, Words};
    (word == Kind::ResuppliedAtCost.word()).then_some(Kind::Removable.word())
}

impl Measure {
    /// The measure of this name, compared by [`fold`].
    pub fn from_word(text: &str) -> Option<Self> {
        let key = fold(text);
        if let Some(row) = key.strip_prefix("mark ") {
            return Some(Self::Mark(row.to_owned()));
        }
        Self::all().iter().find(|measure| fold(&measure.word()) == key).cloned()
    }

    /// Whether it only takes whole numbers.
    pub fn whole(&self) -> bool {
        match self {
            Self::Depth | Self::Adhesives | Self::PartsInTheWay => true,
            Self::Promise(promise) => matches!(promise.row().holds, Holds::Digit(..)),
            _ => false,
        }
    }

    /// Smallest and largest value a number of this measure can have; `None`: no limit.
    pub fn limits(&self) -> (i64, Option<i64>) {
        match self {
            // A part on the closed device takes at least one removal.
            Self::Depth => (1, None),
            Self::Promise(promise) => (0, promise.row().holds.most()),
            Self::Mark(_) => (0, Some(10)),
            _ => (0, None),
        }
    }

    /// Its unit, for numbers.
    pub fn unit(&self) -> &'static str {
        match self {
            Self::Depth => "steps",
            Self::Adhesives => "adhesive joints",
            Self::PartsInTheWay => "parts",
            Self::Promise(promise) => promise.row().holds.unit(),
            Self::Mark(_) => "marks out of 10",
            _ => "",
        }
    }

    /// What the record must say to settle it, in one line.
    pub fn settled_by(&self) -> String {
        let text = match self {
            Self::Promise(promise) => return promise.settled_by(),
            Self::Depth => "`after` and `with` of every action on the way",
            Self::Fasteners => "`loosen` with a kind, on every action on the way",
            Self::Tools => "`with` on every action on the way; `class` of your own tools",
            Self::Environment => "`place` of the teardown or of the actions on the way",
            Self::Skill => "`skill` of the teardown or of the actions on the way",
            Self::Isolation => "`free` of the freeing action and `role` of the part",
            Self::Adhesives => "`loosen` on every action on the way",
            Self::Reachable => "an action that frees the part, with `after`, `outcome` and `destroys`",
            Self::HeatOrSolvent => "`with` on every action on the way",
            Self::PartsInTheWay => "`after` of every action on the way",
            Self::Paired => "`paired` of the part",
            Self::Bundling => "`role` of the part",
            Self::SparesOffered => "`to` under `support: spare parts`, of every priority part",
            Self::Information => "`to` and `cost` under `support: information`",
            Self::Mark(_) => "`marks`, or a table of marks",
        };
        text.to_owned()
    }
}
