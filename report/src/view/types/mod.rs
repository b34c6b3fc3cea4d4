//! What templates receive: display strings only, nothing left to compute. Version [`VERSION`].
//!
//! Every text that comes from a record has been through [`crate::clean`]; none is escaped for a format yet.

mod bench;
mod brief;
mod node;
mod reason;
mod verdict;

use serde::Serialize;

pub use bench::*;
pub use brief::*;
pub use node::*;
pub use reason::*;
pub use verdict::*;

/// Version of the view. It changes when a field is renamed, removed or changes its meaning; additions keep it.
pub const VERSION: u32 = 4;

/// A whole report.
#[derive(Clone, Debug, Serialize)]
pub struct View {
    /// Version of this view.
    pub unfasten: u32,
    /// Program and version.
    pub program: String,
    /// Maker and name of the device.
    pub title: String,
    /// Name of the record.
    pub record: String,
    /// Category of the device.
    pub category: String,
    /// Day of the teardown; empty where it is not stated.
    pub date: String,
    /// Identity and circumstances: what, said.
    pub device: Vec<Pair>,
    /// The summary; none where the method that stands first has no points.
    pub brief: Option<Brief>,
    /// What the names of the pictures beside a Markdown report begin with: those of several reports may lie in one folder.
    pub pictures: String,
    /// What is open when printed: `summary`, `routes` or `all`.
    pub print: &'static str,
    /// One for each method, the headline first.
    pub assessments: Vec<Assessed>,
    /// One for each priority part of any of the methods.
    pub parts: Vec<Card>,
    /// Distinct reference routes, referred to by index.
    pub routes: Vec<RouteLedger>,
    /// Actions as logged.
    pub log: Vec<Logged>,
    /// The way back.
    pub back: WayBack,
    /// Remarks for and against, in the order of the footage; those without a time last.
    pub remarks: Vec<Remark>,
    /// What was put right since the record was first published, each a text; the oldest first.
    pub corrections: Vec<String>,
    /// What was corrected since an earlier record, where the report was given one.
    pub since: Option<Since>,
    /// The reviewer's own verdict; never mixed in.
    pub own_verdict: Option<String>,
    /// Hazards named in the record.
    pub cautions: Vec<Caution>,
    /// Whose word counts more than this report's.
    pub defers: String,
    /// What this report is not.
    pub status: String,
    /// Actions that a draft wrote and nobody has reviewed.
    #[serde(skip)]
    pub drafted: usize,
    /// Notes of the record, Markdown as written.
    pub notes: Option<String>,
    /// Pictures, by action or remark.
    pub photos: Vec<Picture>,
    /// Total size of embedded pictures, where there are any.
    pub photo_size: Option<String>,
    /// The record, line by line.
    pub listing: Vec<RecordLine>,
    /// Compact data block for `verify`, JSON.
    pub data: String,
}

/// What was corrected since an earlier record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Since {
    /// Title, with the day where the record states one.
    pub title: String,
    /// What changed, by whom, before and after with the cause, cumulative or not; a paragraph each.
    pub paragraphs: Vec<String>,
    /// Which record it was held against, and its fingerprint, in words.
    pub against: String,
    /// SHA-256 over that record, in hexadecimal.
    pub fingerprint: String,
}

/// A name and what is said about it.
#[derive(Clone, Debug, Serialize)]
pub struct Pair {
    /// What.
    pub what: String,
    /// Said.
    pub said: String,
}

/// A hazard and the usual caution.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Caution {
    /// Hazard.
    pub hazard: String,
    /// The usual caution; empty where none is known.
    pub caution: String,
    /// Where it arises.
    pub at: Vec<String>,
}

/// A picture.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    /// File as the record names it.
    pub file: String,
    /// Text equivalent.
    pub alt: String,
    /// Address to show it from: a relative path or a data address; empty when missing.
    pub source: String,
    /// What to say when it is not shown.
    pub missing: Option<String>,
    /// What it belongs to.
    pub of: String,
}

/// A line of the record.
#[derive(Clone, Debug, Serialize)]
pub struct RecordLine {
    /// Number, from 1.
    pub number: usize,
    /// Text.
    pub text: String,
}
