//! From the record of a device taken apart to assessments that can be defended.
//!
//! A record is one text, a method is another; an assessment is a tree of scored criteria in which every number has its
//! rule, its source and the lines of the record it rests on. What nobody established is carried as a range.
//!
//! ```
//! use scoring::method::load_shipped;
//! use scoring::range::{Assessment, Effort};
//! use scoring::text::{Source, Sources};
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
//! let mut sources = Sources::new();
//! let file = sources.add(Source::new("lantern.yaml", text));
//! let read = scoring::record::read(&sources, file);
//! assert!(read.diagnostics.is_empty());
//! let method = load_shipped("en-45554").unwrap();
//! let verdict = Assessment::new(&read.record.unwrap(), &method, Effort::default());
//! let depth = verdict.find("depth/part/cell").unwrap();
//! assert_eq!(depth.ends[0].said, "2 steps");
//! assert_eq!(sources.place(depth.ends[0].evidence[1].span), "lantern.yaml:9:6");
//! assert!(!verdict.unknowns.is_empty()); // return options, data and reset are promises nobody looked up
//! ```
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
#![warn(missing_docs)]

pub mod assess;
pub mod compare;
pub mod draft;
pub mod exact;
pub mod method;
pub mod need;
pub mod range;
pub mod record;
pub mod route;
pub mod text;
pub mod vocab;
