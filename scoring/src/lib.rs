//! From the record of a device taken apart to assessments that can be defended.
//!
//! A record is one text, a method is another; an assessment is a tree of scored criteria in which every number has its
//! rule, its source and the lines of the record it rests on. What nobody established is carried as a range.
//!
//! ```
//! use scoring::{Rules, Teardown};
//!
//! let text = "
//! unfasten: 1
//! device: {name: Lantern, maker: Ostrel, category: other}
//! teardown: {place: use, skill: layman}
//! roles: {cell: {weight: 1}}
//! parts: {cell: {role: cell, paired: no}}
//! actions:
//!   - {free: base, with: PH1, loosen: 3 x screw PH1, after: []}
//!   - {free: cell, with: hands, loosen: connector, after: base}
//! support: {spare parts: none, information: {to: none, scope: none}}
//! ";
//! let rules = Rules::shipped("en-45554")?;
//! let teardown = Teardown::read("lantern.yaml", text)?;
//! let verdict = teardown.assess(&rules);
//! let depth = verdict.because("depth/part/cell").unwrap();
//! assert_eq!(depth.said()[0], "2 steps");
//! assert_eq!(depth.evidence(0)[1].place, "lantern.yaml:9:6");
//! assert!(!teardown.open(&rules).is_empty()); // return options, data and reset are promises nobody looked up
//! # Ok::<(), scoring::Problems>(())
//! ```
//!
//! What stands at this root is the library: see [`front`] for each piece with an example. All else is public for the other
//! crates of this workspace alone and changes without notice; `RUSTDOCFLAGS='--cfg rooms' cargo doc` shows it.
//!
//! # The rooms, in the order they build on each other
//!
//! * [`exact`], [`need`]: numbers without rounding, and what must hold before something: below all the others
//! * [`text`]: texts, places in them, complaints about them
//! * [`vocab`]: the words of the trade, as data
//! * [`record`]: records as written, and complete records
//! * [`method`]: methods as data
//! * [`route`]: an integer problem in, a shortest route with its certificate out; knows no record
//! * [`assess`]: a complete record and a method in, a value for every criterion out; nothing uncertain in it
//! * [`range`]: unknowns and completions around that plain evaluation, and the range between their ends
//! * [`compare`]: changes to one design, several devices, two versions
//!
//! Scores are exact ratios ([`exact`]); decimals appear when a total is shown, rounded once by the method's own rule.
//!
//! # What this does not do
//!
//! It opens no file, reads no clock, prints nothing, and asks no network. It declares no class and draws no label: an
//! assessment is an unofficial pre-check. It knows no method of its own: rules, weights and points are all in method
//! files, each with its source and how sure that is. It does not guess: there is no default for a fact nobody stated.
#![forbid(unsafe_code)]
#![warn(missing_docs)]

pub mod front;

pub use exact::Exact;
pub use front::{
    Because, CountedRoute, Gain, Open, OpenAnswer, Problem, Problems, RouteLine, Rules, Seen, Teardown, Verdict,
};
pub use method::Rule;
pub use text::{Position, Severity};
pub use vocab::{Basis, Certainty};

#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod assess;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod compare;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod draft;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod exact;
mod hashed;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod method;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod need;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod range;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod record;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod route;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod text;
#[cfg_attr(not(any(clippy, rooms)), doc(hidden))]
pub mod vocab;
