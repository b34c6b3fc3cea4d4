//! Routes: a pure integer problem in, a shortest route with its certificate out.
//!
//! This room knows no record, no method and no strings. A caller translates a completed record
//! into a [`RouteProblem`], asks for the [`reference()`] route to a part, or for the [`cheapest`] route by
//! another cost, and gets a [`Route`] together with what is proved about it. [`replay`] recounts
//! any route without a line of the search.
//!
//! The count is the step rule of the project's design, section 5:
//!
//! * the tools held are those of the last operation that used tools; hands leave them as they are;
//! * an operation whose tools are not all held is a *change*, unless nothing was held yet;
//! * an operation ends a step when a part comes off with it, when a part still on is laid aside with
//!   it, or when it is marked so ([`Operation::ends`], [`Way::ends`]);
//! * a change *coincides*, and costs nothing, when an operation since the last use of tools, that
//!   use included, ended a step;
//! * where each tool counts ([`RouteProblem::each`]), `m` tools at once count `m - 1` more when they are
//!   taken up or used after a step ended;
//! * steps = steps ended + changes that do not coincide + tools at once + what operations cost of
//!   themselves ([`Way::cost`]).

mod along;
mod answer;
mod bits;
mod bound;
mod canonical;
mod choose;
mod damage;
mod frame;
mod jobs;
mod laid_out;
mod landmarks;
mod memo;
mod moves;
mod net;
mod obstacles;
mod performed;
mod problem;
mod replay;
mod sequence;
mod stages;
mod ways;

pub use along::{Floor, along};
pub use answer::{Certificate, Key, Route, SearchAnswer, Taken};
pub use memo::Memo;
pub use obstacles::{Obstacle, SupposedChange, obstacles};
pub use performed::{Performed, performed};
pub use problem::{Action, Cost, Limits, Need, Operation, RouteProblem, Target, Thing, ToolId, Way};
pub use replay::{ReplayError, Replayed, Step, replay};
pub use stages::{Charged, Ties, cheapest, reference, reference_remembered, reference_unordered};
