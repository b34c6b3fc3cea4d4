//! What a method says. The file format is described in `criteria/README.md`.

use crate::exact::{Exact, Rounding};
use crate::record::Spanned;
use crate::text::Span;
use crate::vocab::{Category, Certainty, Form};

/// A value with where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// Its own source and certainty, where they differ from those of the rule around it.
    pub certainty: Option<Certainty>,
    /// Source text, where it differs.
    pub source: Option<String>,
    /// A note shown beside it (`below the lowest level`).
    pub note: Option<String>,
    /// Where it stands in the method file.
    pub span: Span,
}

/// A rule in words and where it comes from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rule {
    /// The rule in plain words.
    pub text: String,
    /// Clause (`Annex IV point 5`); may be empty for own choices.
    pub clause: String,
    /// Source.
    pub source: String,
    /// How sure.
    pub certainty: Certainty,
    /// Id of the switch this rule depends on.
    pub switch: Option<String>,
}

/// A method.
#[derive(Clone, Debug)]
pub struct Method {
    /// Id (`eu-2023-1669`).
    pub id: Spanned<String>,
    /// Title.
    pub title: String,
    /// Edition.
    pub edition: String,
    /// Dates in force as written: from, until.
    pub in_force: (Option<String>, Option<String>),
    /// What it is and is not, Markdown.
    pub about: String,
    /// What it applies to.
    pub scope: Scope,
    /// Scale of the total and how it is shown.
    pub scale: Scale,
    /// Priority parts per category and form; the first that fits is used.
    pub part_sets: Vec<PartSet>,
    /// A priority part the device does not have.
    pub absent: Absent,
    /// Rule for absent parts.
    pub absent_rule: Rule,
    /// Rule for parts that fill a role several times (always: the worst per measure).
    pub repeated_rule: Rule,
    /// Classes of the total.
    pub classes: Option<Classes>,
    /// Open readings.
    pub switches: Vec<Switch>,
    /// The step rule's switches.
    pub steps: StepRule,
    /// The tree of criteria.
    pub root: Node,
    /// Ids of nodes shown as sub-scores beside the total.
    pub sub_scores: Vec<String>,
    /// Node that headlines a record without support facts (DESIGN section 6, `en-45554`).
    pub headline_without_support: Option<String>,
    /// Notes, Markdown.
    pub notes: Vec<String>,
    /// Id of the method this extends.
    pub extends: Option<Spanned<String>>,
    /// The whole file.
    pub span: Span,
}

/// What a method applies to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scope {
    /// Categories.
    pub categories: Vec<Category>,
    /// Forms out of scope.
    pub without_forms: Vec<Form>,
    /// Where that is said.
    pub rule: Rule,
}

/// Scale of a total.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Worst total.
    pub low: Exact,
    /// Best total.
    pub high: Exact,
    /// Digits after the point when shown.
    pub decimals: u8,
    /// Rounding for display, once, at the end.
    pub rounding: Rounding,
    /// How sure the rounding rule is.
    pub rule: Rule,
    /// A verdict method: the high end reads `pass`, the low end `fail`, between ends `not settled`.
    pub verdict: bool,
}

/// Priority parts and their weights.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartSet {
    /// Categories this set is for.
    pub categories: Vec<Category>,
    /// Forms this set is for; empty: any.
    pub forms: Vec<Form>,
    /// Role and weight, in the order of the source.
    pub weights: Vec<(String, Cited<Exact>)>,
    /// What the weights must sum to, where the source says so.
    pub sum: Option<Exact>,
    /// For category `other`: use the record's own roles and shares.
    pub own_roles: bool,
    /// Where they come from.
    pub rule: Rule,
}

/// A priority part that isn't there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Absent {
    /// Scores so many points in every part measure.
    Points(Exact),
    /// Is left out, its weight with it.
    LeaveOut,
}

/// Classes by lower bound, best first.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Classes {
    /// Name and lower bound of the total.
    pub bounds: Vec<(String, Cited<Exact>)>,
    /// Taken from the rounded total instead of the exact one.
    pub of_rounded: bool,
    /// Where they come from.
    pub rule: Rule,
}

/// An open reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Switch {
    /// Id.
    pub id: String,
    /// What is open, in words.
    pub text: String,
    /// Options: id and words.
    pub options: Vec<(String, String)>,
    /// Index of the option in force.
    pub chosen: usize,
    /// Where the choice comes from.
    pub rule: Rule,
}

/// Switches of the step rule (DESIGN section 5).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StepRule {
    /// Heat sources count as tools.
    pub heat_is_tool: bool,
    /// Unplugging mains equipment counts as a step.
    pub mains_is_step: bool,
    /// Added to the steps of a part whose replacement needs remote authorisation.
    pub pairing_surcharge: u32,
    /// A destructive route may be scored.
    pub destructive_scored: bool,
    /// Where that is said.
    pub rule: Rule,
}

/// EN 45554's two groups.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// What the bench shows.
    ProductRelated,
    /// What the maker promises.
    SupportRelated,
}

/// A criterion, or a group of criteria.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Node {
    /// Id, unique in the method.
    pub id: String,
    /// Title.
    pub title: String,
    /// Weight in the node above (weighted mean, weighted sum).
    pub weight: Option<Cited<Exact>>,
    /// The rule.
    pub rule: Rule,
    /// Group, inherited from the node above where not stated.
    pub group: Option<Group>,
    /// What it is.
    pub kind: NodeKind,
    /// Where it stands in the method file.
    pub span: Span,
}

/// How the values below a node become one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Combine {
    /// Σ w s / Σ w.
    Mean,
    /// Σ w s.
    Sum,
    /// The lowest.
    Worst,
    /// The highest.
    Best,
    /// The first child, but at most each of the others (limiting factors).
    Cap,
    /// The first child if every other child is at its best value, else the scale's low end.
    Gate,
}

/// What a node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NodeKind {
    /// Combines its children.
    Group {
        /// How.
        how: Combine,
        /// Children.
        of: Vec<Node>,
    },
    /// One child per part; leaves inside read that part.
    Each {
        /// Which roles.
        roles: Roles,
        /// How the parts' values become one.
        how: Combine,
        /// What is scored for each.
        node: Box<Node>,
    },
    /// A measure turned into points.
    Leaf {
        /// What is read.
        measure: Measure,
        /// Where on the route it is read.
        reading: Reading,
        /// How it becomes points.
        points: Points,
    },
}

/// Which roles a node is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Roles {
    /// The priority parts with their weights.
    Priority,
    /// Those of the highest weight.
    Highest,
    /// These (those that the category has).
    Named(Vec<Spanned<String>>),
}

/// Whether a route measure is read on the whole route or at the part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Reading {
    /// On the whole reference route.
    Route,
    /// The freeing action with its `do` ancestors up to the nearest `free`.
    Part,
}

macro_rules! measures {
    ($($(#[$doc:meta])* $variant:ident = $word:literal, $scale:ident;)+) => {
        /// What can be measured: a closed, documented set.
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Measure {
            $($(#[$doc])* $variant,)+
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
    /// `yes`, `only by damage`, `no`.
    Reachable = "reachable", Words;
    /// Heat or solvents on the route: `none`, `heat or solvent`.
    HeatOrSolvent = "heat or solvent", Words;
    /// Other parts that must come off first.
    PartsInTheWay = "parts in the way", Fewer;
    /// Pairing by software: `no`, `yes`.
    Paired = "paired", Words;
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
    /// Repair information, who and at what cost together: `public, free`, `public, fee`, `professional, free`, `professional, fee`, `authorised or nobody`.
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
            Self::Reachable => vec!["yes", "only by damage", "no"],
            Self::HeatOrSolvent => vec!["none", "heat or solvent"],
            Self::Paired => vec!["no", "yes"],
            Self::PricePublished => vec!["yes", "no"],
            Self::SpareInterface => vec!["standard part", "standard interface", "non-standard interface"],
            Self::Pairing => [vec!["not needed"], all::<Access>()].concat(),
            Self::Information => {
                vec!["public, free", "public, fee", "professional, free", "professional, fee", "authorised or nobody"]
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

/// How a measure becomes points.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Points {
    /// By upper bound, ascending; the last has none (`Fewer`), or by lower bound, descending; the last has none (`Number`).
    Bands(Vec<Band>),
    /// By word; every word of the measure is named.
    Levels(Vec<(String, Cited<Exact>)>),
    /// Linear between corner points (x ascending), constant outside.
    Linear(Vec<(Exact, Cited<Exact>)>),
    /// The highest rung fully met; last rung without roles is the floor.
    Rungs(Vec<Rung>),
    /// The number itself.
    AsIs,
}

/// A band of numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Band {
    /// `up to` (fewer is better) or `from` (more is better); `None` for the rest.
    pub bound: Option<Exact>,
    /// Points.
    pub points: Cited<Exact>,
}

/// A rung of roles that must all be offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rung {
    /// Roles; `None` is all priority parts, an empty list asks nothing (the floor).
    pub roles: Option<Vec<String>>,
    /// Points.
    pub points: Cited<Exact>,
}
