//! The closed set of measures: what can be read from a record, in which unit, with which words.

use crate::text::fold;

macro_rules! measures {
    ($($(#[doc = $doc:literal])+ $variant:ident = $word:literal, $scale:ident;)+) => {
        /// What can be measured: a closed, documented set.
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Measure {
            $($(#[doc = $doc])+ $variant,)+
            /// A mark out of ten, given by the record or a table, for the row named.
            Mark(String),
        }
        impl Measure {
            /// Name and kind of every measure but `mark ROW`.
            pub const ALL: &'static [(&'static str, MeasureScale, Measure)] =
                &[$(($word, MeasureScale::$scale, Measure::$variant)),+];
            /// The measure's name in method files.
            pub fn word(&self) -> String {
                match self { $(Self::$variant => $word.to_owned(),)+ Self::Mark(row) => format!("mark {row}") }
            }
            /// What it is, in one line.
            pub fn meaning(&self) -> &'static str {
                match self {
                    $(Self::$variant => concat!($($doc),+).trim_ascii(),)+
                    Self::Mark(_) => "A mark out of ten, as given.",
                }
            }
            /// What values it takes.
            pub fn scale(&self) -> MeasureScale {
                match self { $(Self::$variant => MeasureScale::$scale,)+ Self::Mark(_) => MeasureScale::Number }
            }
        }
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
    /// Spare part offered to.
    SpareTo = "spare part to", Words;
    /// Years a spare part is available.
    SpareYears = "spare part years", Number;
    /// Delivery of a spare part, working days.
    SpareDelivery = "spare part delivery", Fewer;
    /// Price of a spare part as a share of the device's price, percent.
    SparePrice = "spare part price share", Fewer;
    /// Whether the price is published.
    PricePublished = "spare part price published", Words;
    /// Interface of a spare part.
    SpareInterface = "spare part interface", Words;
    /// Who has access to pairing, for parts that need it.
    Pairing = "pairing access", Words;
    /// Which priority parts are offered to end users.
    SparesOffered = "spares offered to the public", Rungs;
    /// Years of operating-system updates.
    Updates = "update years", Number;
    /// Years of security updates.
    SecurityUpdates = "security update years", Number;
    /// Repair information, who and at what cost together: `public, free`, `professional, free`, `public, fee`, `professional, fee`, `authorised or nobody`.
    Information = "information", Words;
    /// Who gets repair information.
    InformationTo = "information to", Words;
    /// How much repair information holds.
    InformationScope = "information scope", Words;
    /// Diagnostic support and interfaces.
    Diagnosis = "diagnosis", Words;
    /// Return options.
    Returns = "return options", Words;
    /// Data transfer and deletion.
    Data = "data transfer and deletion", Words;
    /// Password and factory reset.
    Reset = "reset", Words;
    /// Battery endurance, full cycles to 80 %.
    BatteryCycles = "battery cycles", Number;
    /// Capacity after 500 cycles, percent.
    Capacity500 = "capacity after 500 cycles", Number;
    /// Capacity after 1 000 cycles, percent.
    Capacity1000 = "capacity after 1000 cycles", Number;
    /// First digit of the ingress code (dust).
    IngressDust = "ingress dust", Number;
    /// Second digit of the ingress code (water).
    IngressWater = "ingress water", Number;
    /// Endurance of the power key, operations.
    PowerKey = "power key endurance", Number;
    /// Endurance of the volume keys, operations.
    VolumeKeys = "volume keys endurance", Number;
    /// Endurance of the charging port, operations.
    PortEndurance = "charging port endurance", Number;
}

impl Measure {
    /// Whether it is read for one part (inside an `each`) or for the whole device.
    pub fn per_part(&self) -> bool {
        *self <= Self::Pairing
    }

    /// Whether it reads the reference route.
    pub fn on_route(&self) -> bool {
        *self <= Self::PartsInTheWay
    }

    /// Its words, best first, where it takes words.
    pub fn words(&self) -> Vec<&'static str> {
        use crate::vocab::class::Words;
        use crate::vocab::{Access, Kind, Place, Skill, ToolClass};
        fn all<W: Words>() -> Vec<&'static str> {
            W::ALL.iter().map(|w| w.word()).collect()
        }
        match self {
            Self::Fasteners => all::<Kind>(),
            Self::Tools => all::<ToolClass>(),
            Self::Environment => all::<Place>(),
            Self::Skill => all::<Skill>(),
            Self::SpareTo | Self::InformationTo => all::<Access>(),
            Self::Isolation => vec!["alone", "with others", "several roles in one part"],
            Self::Bundling => vec!["alone", "allowed company", "allowed if sealed", "other company"],
            Self::Reachable => vec!["yes", "only by damage", "no"],
            Self::HeatOrSolvent => vec!["none", "heat or solvent"],
            Self::Paired => vec!["no", "yes"],
            Self::PricePublished => vec!["yes", "no"],
            Self::SpareInterface => vec!["standard part", "standard interface", "non-standard interface"],
            Self::Pairing => [vec!["not needed"], all::<Access>()].concat(),
            Self::Information => {
                vec!["public, free", "professional, free", "public, fee", "professional, fee", "authorised or nobody"]
            }
            Self::InformationScope | Self::Returns => vec!["comprehensive", "basic", "none"],
            Self::Diagnosis => {
                vec!["intuitive signal", "public codes", "public interface", "proprietary interface", "none"]
            }
            Self::Data => vec!["built in", "on request", "none"],
            Self::Reset => vec!["integrated", "external", "service only", "none"],
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
        Self::ALL.iter().find(|(word, ..)| fold(word) == key).map(|(_, _, measure)| measure.clone())
    }

    /// Whether it only takes whole numbers.
    pub fn whole(&self) -> bool {
        matches!(self, Self::Depth | Self::Adhesives | Self::PartsInTheWay | Self::IngressDust | Self::IngressWater)
    }

    /// Smallest and largest value a number of this measure can have; `None`: no limit.
    pub fn limits(&self) -> (i64, Option<i64>) {
        match self {
            // A part on the closed device takes at least one removal.
            Self::Depth => (1, None),
            Self::Capacity500 | Self::Capacity1000 => (0, Some(100)),
            // Code digits run to 6 (dust) in IEC 60529, from memory, high confidence; water runs to 8, since 9 is no
            // rung above it.
            Self::IngressDust => (0, Some(6)),
            Self::IngressWater => (0, Some(8)),
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
            Self::SpareYears | Self::Updates | Self::SecurityUpdates => "years",
            Self::SpareDelivery => "working days",
            Self::SparePrice | Self::Capacity500 | Self::Capacity1000 => "%",
            Self::BatteryCycles => "cycles",
            Self::PowerKey | Self::VolumeKeys | Self::PortEndurance => "operations",
            Self::IngressDust | Self::IngressWater => "code digit",
            Self::Mark(_) => "marks out of 10",
            _ => "",
        }
    }

    /// What the record must say to settle it, in one line.
    pub fn settled_by(&self) -> &'static str {
        match self {
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
            Self::SpareTo => "`to` under `support: spare parts`",
            Self::SpareYears => "`years` under `support: spare parts`",
            Self::SpareDelivery => "`delivery` under `support: spare parts`",
            Self::SparePrice => "`price` under `support: spare parts`, and the device's `price` in the same currency",
            Self::PricePublished => "`price published` under `support: spare parts`",
            Self::SpareInterface => "`interface` under `support: spare parts`",
            Self::Pairing => "`paired: no` of the part, or `pairing` under `support: spare parts`",
            Self::SparesOffered => "`to` under `support: spare parts`, of every priority part",
            Self::Updates => "`support: updates`",
            Self::SecurityUpdates => "`support: security updates`",
            Self::Information => "`to` and `cost` under `support: information`",
            Self::InformationTo => "`to` under `support: information`",
            Self::InformationScope => "`scope` under `support: information`",
            Self::Diagnosis => "`support: diagnosis`",
            Self::Returns => "`support: return options`",
            Self::Data => "`support: data transfer and deletion`",
            Self::Reset => "`support: reset`",
            Self::BatteryCycles => "`cycles` under `device: battery`",
            Self::Capacity500 => "`capacity after 500 cycles` under `device: battery`",
            Self::Capacity1000 => "`capacity after 1000 cycles` under `device: battery`",
            Self::IngressDust | Self::IngressWater => "`device: ingress`",
            Self::PowerKey => "`power key` under `device: endurance`",
            Self::VolumeKeys => "`volume keys` under `device: endurance`",
            Self::PortEndurance => "`charging port` under `device: endurance`",
            Self::Mark(_) => "`marks`, or a table of marks",
        }
    }
}
