//! The answer: a route, its key, and what is proved about it.

/// One action on a route, with the way chosen for each of its operations.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Taken {
    /// Index into [`RouteProblem::actions`](super::RouteProblem::actions).
    pub action: usize,
    /// Per operation, index into [`Operation::ways`](super::Operation::ways).
    pub ways: Vec<usize>,
}

/// The measures of a route, compared from first to last; smaller is better.
///
/// Counts are exact; ranks are the worst on the route and 0 on an empty one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    /// Distinct parts destroyed.
    pub damaged: u32,
    /// Counted steps.
    pub steps: u32,
    /// Worst tool class rank.
    pub class: u8,
    /// Worst fastener kind rank.
    pub kind: u8,
    /// Worst environment rank.
    pub place: u8,
    /// Worst skill rank.
    pub skill: u8,
    /// Distinct parts taken off.
    pub parts: u32,
    /// Actions performed.
    pub actions: u32,
    /// Sum of [`Action::tie`](super::Action::tie).
    pub tie: u64,
}

/// A route from the closed device to a target.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Route {
    /// The actions in the order performed.
    pub taken: Vec<Taken>,
    /// What [`replay`](super::replay) counts on them.
    pub key: Key,
}

/// What is proved about the leading cost: steps, for a reference route.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Certificate {
    /// No route costs less.
    Proved,
    /// The search stopped at its limit; no route costs less than this.
    AtLeast(u32),
}

/// What a search found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SearchAnswer {
    /// A route, best known.
    Route {
        /// The route.
        route: Route,
        /// What is proved about its leading cost.
        certificate: Certificate,
        /// Whether every measure of the route's [`Key`] is proved, not only the leading cost.
        /// Record order, on which no score depends, is settled within a share of the limit.
        tie_proved: bool,
    },
    /// No order of actions reaches the target.
    Unreachable,
    /// The search stopped at its limit without a route.
    Undecided {
        /// No route costs less than this.
        at_least: u32,
    },
}

impl SearchAnswer {
    /// The route, when one was found.
    pub fn route(&self) -> Option<&Route> {
        match self {
            Self::Route { route, .. } => Some(route),
            Self::Unreachable | Self::Undecided { .. } => None,
        }
    }
}
