//! Measures: what is read, one family a file. A new measure is a variant of [`Measure`] and a line in its family.

mod route;
mod spare;
mod support;

use super::Plan;
use crate::assess::outcome::PartRoute;
use crate::exact::Exact;
use crate::method::{Measure, Method, Points, Reading};
use crate::record::Term;
use crate::record::complete::{Complete, Fill};

/// What a measure read.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Value {
    /// A number in the measure's unit.
    Number(Exact),
    /// Rank in the measure's words, 0 best.
    Word(u8),
    /// Per rung: everything it asks is offered.
    Offered(Vec<bool>),
    /// The part can't be reached: the table's worst points.
    Unreached,
    /// A new part needs remote authorisation, and the method gives it the table's worst points.
    Withheld,
}

impl Value {
    /// A fact as it stands.
    fn of(term: &Term) -> Self {
        match term {
            Term::Word(rank) => Self::Word(*rank),
            Term::Number(n) => Self::Number(n.clone()),
            // A price is a share of another once a record is complete.
            Term::Money(m) => Self::Number(m.amount.clone()),
        }
    }
}

/// One part as far as measures read it.
pub struct Subject<'a> {
    /// The role as filled.
    pub fill: &'a Fill,
    /// Its reference route and whether it may be scored.
    pub route: &'a PartRoute,
    /// Whether the route may be scored.
    pub scored: bool,
    /// Other roles that the same piece fills.
    pub company: Vec<&'a str>,
}

/// Reads a part measure.
pub fn of_part(method: &Method, measure: &Measure, reading: Reading, subject: &Subject<'_>) -> Value {
    if *measure == Measure::Bundling {
        Value::Word(method.bundling(&subject.fill.role, &subject.company))
    } else if measure.on_route() {
        route::read(measure, reading, subject, method.steps.remote)
    } else {
        spare::read(measure, subject.fill)
    }
}

/// Reads a measure of the whole device.
pub fn of_device(plan: &Plan<'_>, device: &Complete, measure: &Measure, points: &Points) -> Value {
    support::read(plan, device, measure, points)
}
