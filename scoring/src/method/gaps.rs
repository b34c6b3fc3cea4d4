//! What of a method could not be read, so that checks run on the rest and stay silent about what only follows.

use std::collections::BTreeSet;

use crate::text::{Span, Spanned};

/// What is not known, at the place that names what it belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Gap {
    /// Devices in scope.
    Scope,
    /// Ends of the scale.
    Scale,
    /// Some part sets, at all.
    PartSets,
    /// Devices of a part set.
    For,
    /// Some weights, or what they must sum to, of a part set.
    Shares,
    /// Some bounds of classes.
    Classes,
    /// Some id of a criterion.
    Id,
    /// What a criterion is.
    Kind,
    /// How a criterion combines.
    Combine,
    /// Weight of a criterion.
    Weight,
    /// Devices of a criterion.
    Applies,
    /// Roles of an `each`.
    Roles,
    /// Some points of a measure.
    Points,
    /// The order in which bands follow one another.
    Order,
    /// Points told to lie outside the scale.
    Outside,
    /// Some options of a switch, or what they set.
    Options,
    /// Some id of a switch.
    Switches,
}

/// Everything that could not be read; each entry stands for a complaint that was made.
#[derive(Debug, Default)]
pub(super) struct Gaps(BTreeSet<(Gap, Span)>);

impl Gaps {
    pub(super) fn mark(&mut self, gap: Gap, at: Span) {
        self.0.insert((gap, at));
    }

    pub(super) fn has(&self, gap: Gap, at: Span) -> bool {
        self.0.contains(&(gap, at))
    }

    pub(super) fn any(&self, gap: Gap) -> bool {
        self.0.iter().any(|(g, _)| *g == gap)
    }
}

/// Names of things that stand elsewhere in the file, with their places: held against it once it is read.
#[derive(Debug, Default)]
pub(super) struct Named {
    /// Switches rules depend on.
    pub(super) switches: Vec<Spanned<String>>,
    /// Criteria, and what names them.
    pub(super) criteria: Vec<(Spanned<String>, &'static str)>,
    /// Roles named outside part sets and `each`.
    pub(super) roles: Vec<Spanned<String>>,
}
