//! What a method says. The file format is described in `criteria/README.md`.

use crate::exact::{Exact, Rounding};
use crate::text::{Span, Spanned};
use crate::vocab::{Category, Certainty, Form, ToolClass};

use super::days::Days;
pub use super::measure::{Measure, MeasureScale};
pub use super::steps::{Heating, Remote, STEP_SWITCHES, Simultaneous, StepRule, StepSetting};

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
    /// Nobody could read it: the value only stands in ([`Method::no_total`]).
    pub unread: bool,
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
    /// From which day it applies.
    pub days: Days,
    /// What it is and is not, Markdown.
    pub about: String,
    /// What it applies to.
    pub scope: Scope,
    /// Scale of the total and how it is shown.
    pub scale: Scale,
    /// Categories of its own, each with the roles it has.
    pub own_categories: Vec<(Category, Vec<String>)>,
    /// Priority parts per category and form; the first that fits is used.
    pub part_sets: Vec<PartSet>,
    /// A priority part the device does not have.
    pub absent: Absent,
    /// Rule for absent parts.
    pub absent_rule: Rule,
    /// What several parts of one role count as together.
    pub instances: Instances,
    /// Rule for parts that fill a role several times.
    pub repeated_rule: Rule,
    /// Classes of the total.
    pub classes: Option<Classes>,
    /// Open readings.
    pub switches: Vec<Switch>,
    /// The step rule's switches.
    pub steps: StepRule,
    /// Which route to a part is its reference route, and where counting starts.
    pub routes: Routes,
    /// Which tools count as basic.
    pub basic_tools: BasicTools,
    /// Classes of tools that are read as another: a law with terms of its own.
    pub read_as: Vec<(ToolClass, ToolClass)>,
    /// Where the weights below some criteria come from for some categories.
    pub weight_origins: Vec<WeightOrigin>,
    /// Roles that may share one part (read by the measure `bundling`).
    pub company: Vec<Company>,
    /// The tree of criteria.
    pub root: Criterion,
    /// Ids of nodes shown as sub-scores beside the total.
    pub sub_scores: Vec<String>,
    /// What its source asks and this method does not cover.
    pub not_covered: Vec<String>,
    /// Notes, Markdown.
    pub notes: Vec<String>,
    /// Criteria a switch has left out, kept so that another reading can put them back.
    pub parked: Vec<Parked>,
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
    /// Categories for which the result is information only, and why.
    pub information_only: (Vec<Category>, String),
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
    /// Id, where a switch chooses among sets.
    pub id: Option<String>,
    /// A switch leaves it out.
    pub left_out: bool,
    /// Categories this set is for.
    pub categories: Vec<Category>,
    /// Forms this set is for; empty: any.
    pub forms: Vec<Form>,
    /// Role and weight, in the order of the source; `hinge assembly | display folding mechanism` is either.
    pub weights: Vec<(String, Cited<Exact>)>,
    /// What the weights must sum to, where the source says so.
    pub sum: Option<Exact>,
    /// For category `other`: use the record's own roles and shares.
    pub own_roles: bool,
    /// Where they come from.
    pub rule: Rule,
    /// Where it stands in the method file.
    pub span: Span,
}

/// A priority part that isn't there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Absent {
    /// Scores so many points in every part measure.
    Points(Exact),
    /// Is left out, its weight with it.
    LeaveOut,
}

/// What several parts of one role count as together. Limits (`cap`) read all of them either way.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Instances {
    /// Each measure takes the worst of them; two measures may take two parts.
    WorstPerMeasure,
    /// The part whose points come to the lowest total counts in every measure.
    LowestAsWhole,
}

/// Where the weights below some criteria come from for devices of some categories.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeightOrigin {
    /// Categories.
    pub categories: Vec<Category>,
    /// Ids of the criteria above the weights.
    pub below: Vec<String>,
    /// Source, where it differs.
    pub source: Option<String>,
    /// How sure, where it differs.
    pub certainty: Option<Certainty>,
    /// Nobody could read them.
    pub unread: bool,
}

/// Which tools count as basic ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BasicTools {
    /// Those of Regulation (EU) 2023/1670, Annex I.
    Law,
    /// Those, and what the list of EN 45554 is believed to have besides.
    Standard,
}

/// Which of all routes to a part is its reference route, on which all its measures are read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Routes {
    /// The maker's own route (`official` of a record) goes first, where a record gives one to the part.
    pub official_first: bool,
    /// Which route it is otherwise.
    pub order: RouteOrder,
    /// The state in which counting starts.
    pub start: Start,
    /// Where that is said.
    pub rule: Rule,
}

/// Which route to a part is its reference route.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RouteOrder {
    /// The routes of all parts are chosen together so that the method's total is highest.
    HighestTotal,
    /// The route of fewest steps; what else is met on it does not choose.
    FewestSteps,
}

/// The state of the device in which counting starts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Start {
    /// As it is used, plugged in where it has a plug.
    AsUsed,
    /// Disconnected from any supply: an action on the mains is done before counting starts, with all it takes.
    Disconnected,
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
    /// What each option sets, in the order of `options`; all set the same things.
    pub sets: Vec<Vec<Setting>>,
    /// Index of the option in force.
    pub chosen: usize,
    /// Where the choice comes from.
    pub rule: Rule,
    /// Where it stands in the method file.
    pub span: Span,
}

/// One thing an option of a switch sets.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Where a leaf is read: node id and reading.
    Reading(String, Reading),
    /// A switch of the step rule.
    Steps(StepSetting),
    /// What an absent part scores.
    Absent(Absent),
    /// What several parts of one role count as.
    Instances(Instances),
    /// Whether the maker's own route goes first.
    OfficialFirst(bool),
    /// Which route is the reference route otherwise.
    RouteOrder(RouteOrder),
    /// The state in which counting starts.
    Start(Start),
    /// Whether classes are taken from the rounded total.
    ClassOfRounded(bool),
    /// Whether a criterion counts at all (limiting factors): node id and yes or no.
    Include(String, bool),
    /// As which class tools of a class are read.
    ReadAs(ToolClass, ToolClass),
    /// Whether a part set is used: its id and yes or no.
    PartSet(String, bool),
    /// Which tools count as basic.
    BasicTools(BasicTools),
}

/// A criterion left out by a switch, and where it belongs.
#[derive(Clone, Debug)]
pub struct Parked {
    /// Id of the node above.
    pub parent: String,
    /// Ids of the children before it, in the order of the file.
    pub before: Vec<String>,
    /// The criterion.
    pub node: Criterion,
}

/// Roles that may share one part with others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Company {
    /// These roles.
    pub roles: Vec<String>,
    /// May share a part with these; `None`: with any.
    pub with: Option<Vec<String>>,
    /// Only if ingress protection and endurance limits are met (`allowed if sealed`).
    pub if_sealed: bool,
    /// Where that is said.
    pub rule: Rule,
}

/// Devices a criterion is for; an empty list is any.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Applies {
    /// Categories.
    pub categories: Vec<Category>,
    /// Forms.
    pub forms: Vec<Form>,
}

/// EN 45554's two groups.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Group {
    /// What the bench shows.
    ProductRelated,
    /// What the maker promises.
    SupportRelated,
}

/// A criterion, or a group of criteria.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Criterion {
    /// Id, unique in the method.
    pub id: String,
    /// Title.
    pub title: String,
    /// One word of at most nine letters, for drawings.
    pub short: Option<String>,
    /// Weight in the node above (weighted mean, weighted sum).
    pub weight: Option<Cited<Exact>>,
    /// The rule.
    pub rule: Rule,
    /// Group, inherited from the node above where not stated.
    pub group: Option<Group>,
    /// Devices it is for ([`Method::for_device`] leaves it out for others, its weight with it).
    pub applies: Applies,
    /// What the weights of its children must sum to, where the source says so.
    pub weights_sum: Option<Spanned<Exact>>,
    /// What it is.
    pub kind: CriterionKind,
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
    /// Beside one another, with no value of their own.
    Apart,
}

/// What a node is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CriterionKind {
    /// Combines its children.
    Group {
        /// How.
        how: Combine,
        /// Children.
        of: Vec<Criterion>,
    },
    /// One child per part; leaves inside read that part.
    Each {
        /// Which roles.
        roles: Roles,
        /// How the parts' values become one.
        how: Combine,
        /// What is scored for each.
        node: Box<Criterion>,
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
