//! What stands behind every number: a rule once, what was read by it in groups, sources by number.

use serde::Serialize;

use super::Sum;

/// A criterion, a group of criteria or a requirement, with what was read by its rule.
#[derive(Clone, Debug, Serialize)]
pub struct Reason {
    /// Depth, 1 for the verdict.
    pub level: usize,
    /// Anchor; empty where the names of `read` carry them.
    pub anchor: String,
    /// Title.
    pub title: String,
    /// Points, or the result of a requirement.
    pub range: String,
    /// Ends are bounds that may not be reached.
    pub outer: bool,
    /// The rule in words; empty where it is that of the reason above.
    pub rule: String,
    /// Its number in the list of sources.
    pub source: usize,
    /// The open reading it depends on; may be empty.
    pub switch: String,
    /// What is measured, weight, and how it becomes points; may be empty.
    pub made: String,
    /// How its value came about where no table tells; may be empty.
    pub how: String,
    /// What would meet it; empty for points.
    pub meets: String,
    /// Shares that make the value.
    pub sum: Option<Sum>,
    /// What was read.
    pub read: Vec<Read>,
    /// It only joins requirements told before: one line is enough.
    pub joined: bool,
}

/// Parts of which the same was read.
#[derive(Clone, Debug, Serialize)]
pub struct Read {
    /// Points, or the result.
    pub range: String,
    /// `no`, `open` or `yes` for requirements, else empty.
    pub form: &'static str,
    /// Ends are bounds that may not be reached.
    pub outer: bool,
    /// What was read, at both ends, and how far it is to the next bound.
    pub said: String,
    /// Parts, or the criterion itself.
    pub names: Vec<ReadName>,
    /// `all nine parts`, where the same was read of all there are; else empty.
    pub all: String,
    /// Where it stands, for all of them.
    pub places: Vec<ReadPlace>,
    /// Numbers of the questions that are open on it; may be empty.
    pub open: String,
}

/// A part of which something was read.
#[derive(Clone, Debug, Serialize)]
pub struct ReadName {
    /// Role, or the title of the criterion.
    pub name: String,
    /// Anchor.
    pub anchor: String,
    /// Anchors of other lists that ask the same of it.
    pub also: Vec<String>,
    /// Index of the route it was read on.
    pub route: Option<usize>,
    /// Where it stands, where that differs from part to part.
    pub places: Vec<ReadPlace>,
}

/// A line of the record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReadPlace {
    /// The line, or the whole place where it is in another file.
    pub line: String,
    /// Anchor of the line in the listing.
    pub anchor: Option<String>,
    /// What it says; may be empty.
    pub text: String,
    /// Footage; may be empty.
    pub at: String,
    /// Where the fact comes from where nobody saw it; may be empty.
    pub basis: String,
}
