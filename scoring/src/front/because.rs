//! The reason behind a number: rule, source, and the lines of the record it rests on.

use super::verdict::Verdict;
use crate::exact::Exact;
use crate::method::Rule;
use crate::range::Graded;
use crate::vocab::Basis;

/// The reason behind one number of a verdict.
///
/// ```
/// use scoring::{Rules, Teardown};
/// let teardown = Teardown::read("lantern.yaml", scoring::front::LANTERN)?;
/// let verdict = teardown.assess(&Rules::shipped("en-45554")?);
/// let depth = verdict.because("depth/part/cell").unwrap();
/// assert_eq!((depth.part(), depth.said(), depth.exact()), (Some("cell"), ["2 steps"; 2], [true; 2]));
/// assert_eq!(depth.ends()[0], depth.ends()[1]); // nothing open bears on it
/// let last = depth.evidence(0).pop().unwrap();
/// assert_eq!((&*last.place, last.seconds), ("lantern.yaml:8:6", Some((41, 41))));
/// // A criterion is made of its parts, and each says by which rule.
/// let criterion = verdict.because("depth").unwrap();
/// assert!(criterion.children().any(|c| c.id() == depth.id() && c.rule().source == criterion.rule().source));
/// # Ok::<(), scoring::Problems>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Because<'v> {
    pub(super) verdict: &'v Verdict<'v>,
    pub(super) node: &'v Graded,
}

/// A place of the record that decided something.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Seen {
    /// File, line and column (`lantern.yaml:8:6`).
    pub place: String,
    /// Data path (`actions[1]`).
    pub path: String,
    /// What it says, in words.
    pub says: String,
    /// Footage, seconds from and to.
    pub seconds: Option<(u32, u32)>,
    /// Where the fact comes from.
    pub basis: Basis,
}

impl<'v> Because<'v> {
    /// Id, unique in the verdict (`depth/part/cell`).
    pub fn id(self) -> &'v str {
        &self.node.id
    }

    /// Title.
    pub fn title(self) -> &'v str {
        &self.node.title
    }

    /// The part it is about.
    pub fn part(self) -> Option<&'v str> {
        self.node.role.as_deref()
    }

    /// Lowest and highest points over everything open; `None` where it is left out.
    pub fn ends(self) -> [Option<&'v Exact>; 2] {
        [self.node.low.as_ref(), self.node.high.as_ref()]
    }

    /// Whether each end is exact; false marks a bound.
    pub fn exact(self) -> [bool; 2] {
        self.node.attained
    }

    /// The rule in plain words, its clause, source, and how sure it is.
    pub fn rule(self) -> &'v Rule {
        &self.node.rule
    }

    /// What was read (`2 steps`) where the verdict is lowest and where it is highest; empty for what only combines others.
    pub fn said(self) -> [&'v str; 2] {
        self.node.ends.each_ref().map(|end| end.said.as_str())
    }

    /// The places of the record that decided it, where the verdict is lowest (0) or highest (1).
    pub fn evidence(self, end: usize) -> Vec<Seen> {
        let sources = &self.verdict.teardown.sources;
        let seen = |e: &crate::assess::evidence::Evidence| Seen {
            place: sources.place(e.span),
            path: e.path.clone(),
            says: e.text.clone(),
            seconds: e.at.map(|at| (at.from, at.to)),
            basis: e.basis,
        };
        self.node.ends.get(end).map_or_else(Vec::new, |end| end.evidence.iter().map(seen).collect())
    }

    /// What it is made of.
    pub fn children(self) -> impl Iterator<Item = Because<'v>> {
        self.node.children.iter().map(move |node| Because { verdict: self.verdict, node })
    }
}
