//! The library in one page: read a record, load a method, assess, follow a number to its reason, ask for a route, ask
//! what is open, try a change.
//!
//! ```
//! use scoring::{Rules, Teardown};
//!
//! # let text = scoring::front::LANTERN;
//! let teardown = Teardown::read("lantern.yaml", text)?;
//! let verdict = teardown.assess(&Rules::shipped("en-45554")?);
//! let [low, high] = verdict.shown();
//! assert!(low < high); // promises nobody looked up keep it open
//! for because in verdict.becauses().filter(|b| b.part().is_some()) {
//!     assert!(!because.rule().text.is_empty() && !because.rule().source.is_empty());
//! }
//! # Ok::<(), scoring::Problems>(())
//! ```
//!
//! [`Teardown`] and [`Rules`] own what they were read from, so that every place they tell (`lantern.yaml:9:6`) can be
//! looked up. The one error is [`Problems`]: every mistake of a text, each with its place and its mend. Nothing here opens
//! a file: whoever calls brings texts.

mod because;
mod open;
mod problems;
mod route;
mod rules;
mod teardown;
mod verdict;

pub use because::{Because, Seen};
pub use open::{Gain, Open, OpenAnswer};
pub use problems::{Problem, Problems};
pub use route::{CountedRoute, RouteLine};
pub use rules::Rules;
pub use teardown::Teardown;
pub use verdict::Verdict;

/// The invented lantern of the examples.
#[doc(hidden)]
pub const LANTERN: &str = "\
unfasten: 1
device: {name: Lantern, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {cell: {weight: 1}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: base, with: PH1, loosen: 3 x screw PH1, after: []}
  - {free: cell, at: 0:41, with: hands, loosen: foam tape, after: base}
support: {spare parts: {cell: {to: public, years: 7}}, information: {to: public, scope: comprehensive}}
";
