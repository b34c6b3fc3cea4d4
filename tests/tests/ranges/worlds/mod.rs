//! Small records and methods drawn at random, and everything about them counted without a line of the engine: every completion,
//! every order of actions and every way, every choice of one route for each part, the tree folded by hand.
//!
//! The rules counted are those of `criteria/STEPS.md` and `criteria/README.md` (own words of the project): steps of a
//! route, what measures read on it, and that reference routes are a choice with the highest total.

#![allow(clippy::option_option, reason = "refused, and left out, are two things")]
#![allow(clippy::range_plus_one, clippy::needless_range_loop, reason = "counts of small drawn worlds")]

mod count;
mod draw;
mod text;

use std::collections::BTreeMap;

use num_rational::Ratio;

pub(crate) type R = Ratio<i64>;

/// Words of the vocabularies, best first, as a record writes them.
pub(crate) const CLASSES: [&str; 4] = ["none", "basic", "commercially available", "proprietary"];
pub(crate) const KINDS: [&str; 3] = ["reusable", "removable", "neither"];
pub(crate) const SKILLS: [&str; 3] = ["layman", "expert", "manufacturer"];

/// A tool: rank of its class, heat.
pub(crate) type Tool = (usize, bool);

/// What must hold first: all of these, each one of its members.
pub(crate) type Needs = Vec<Vec<usize>>;

/// One thing done.
#[derive(Clone, Debug)]
pub(crate) struct Act {
    pub frees: Vec<usize>,
    pub does: Option<usize>,
    /// Operations: ways, each one tool or none.
    pub operations: Vec<Vec<Option<usize>>>,
    /// Kind and adhesive.
    pub fastener: (usize, bool),
    pub after: Needs,
    pub destroys: bool,
    pub skill: usize,
    pub exists: bool,
}

/// A place the text leaves open: alternatives, of which the world has the first.
#[derive(Clone, Debug)]
pub(crate) enum Hidden {
    /// Kind of an action's fastener.
    Kind(usize, Vec<usize>),
    Skill(usize, Vec<usize>),
    /// Whether an action nobody tried works.
    Works(usize),
    /// The one tool of an action's first operation.
    Tool(usize, Vec<Option<usize>>),
    /// The one member of an action's first need.
    Need(usize, Vec<usize>),
    /// Years for the spare part of a part.
    Years(usize, Vec<i64>),
    /// Whether the device has a role.
    Role(usize),
}

/// What a criterion reads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reads {
    Depth,
    Fasteners,
    Tools,
    Skill,
    Heat,
    Adhesives,
    InTheWay,
    Isolation,
    Reachable,
    Years,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum How {
    Mean,
    Sum,
    Worst,
    Best,
    Cap,
    Gate,
}

/// A criterion, once for each part, or a group.
#[derive(Clone, Debug)]
pub(crate) enum Tree {
    /// Measure, at the part, points by rank or number (the last for all beyond), roles, how parts become one.
    Each {
        reads: Reads,
        at_part: bool,
        points: Vec<i64>,
        roles: Vec<usize>,
        how: How,
    },
    Group {
        how: How,
        of: Vec<(i64, Tree)>,
    },
}

/// A record and a method.
#[derive(Clone, Debug)]
pub(crate) struct World {
    pub tools: Vec<Tool>,
    /// Role of each part, if it has one.
    pub parts: Vec<Option<usize>>,
    /// Which roles the device has.
    pub has: Vec<bool>,
    pub years: Vec<i64>,
    pub weights: Vec<i64>,
    pub actions: Vec<Act>,
    pub hidden: Vec<Hidden>,
    pub tree: Tree,
    /// Points of a part that isn't there; `None`: left out.
    pub absent: Option<i64>,
    pub destructive: bool,
    pub read: RouteRead,
    /// The maker's own route: actions by index, in order.
    pub official: Vec<usize>,
}

/// On which route a part is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum RouteRead {
    HighestTotal,
    /// Fewest steps first, whatever else is met.
    Fewest,
    /// The maker's own route where it reaches the part, else those of the highest total.
    Official,
    /// The maker's own route where it reaches the part, else that of fewest steps.
    OfficialOrFewest,
}

/// What is read on one route to a part.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    pub reach: usize,
    pub steps: usize,
    /// On the route and at the part: class, kind, skill, heat, adhesives.
    pub met: [[usize; 5]; 2],
    pub bundled: bool,
    pub in_the_way: usize,
}

/// A route for every part, by part.
pub(crate) type Choice = BTreeMap<usize, Way>;
